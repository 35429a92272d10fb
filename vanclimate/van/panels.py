"""Solar panels as a sheet describes them.

What does not belong here: the sun on them (site/panel), their wiring's behaviour (energy/array).
"""

from __future__ import annotations

from vanclimate.van.fields import Part, quantity


class RoofPanels(Part):
    """Solar panels on the roof; left out, there are none."""

    power: float = quantity("power", 0.0, 5000.0, 0.0)
    area: float = quantity(
        "area", 0.0, 30.0, default_of=lambda panels: 0.0053 * panels.power, spread=(0.85, 1.2),
        why="assumed: 190 W a square metre", settle="measure the panels",
    )  # fmt: skip
    soiling: float = quantity(
        "fraction", 0.0, 0.9, 0.05, why="assumed: a roof that is washed now and then",
        at_least=0.02, at_most=0.15, settle="the panels' amps before and after washing",
    )  # fmt: skip
    controller_efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.97, why="0.96-0.98, from memory", at_least=0.96, at_most=0.98
    )
    tilt: float = quantity("angle", 0.0, 90.0, 0.0, why="assumed: flat on the roof")
