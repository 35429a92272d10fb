"""The inverter as a sheet describes it.

What does not belong here: how it behaves (energy/inverter).
"""

from __future__ import annotations

from typing import Literal

from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import Part, choice, quantity


class Inverter(Part):
    """The inverter between the bank and the mains sockets."""

    idle: float = quantity(
        "power", 0.0, 200.0, 20.0, why="5-25 W, from memory", at_least=5.0, at_most=25.0,
        settle="a clamp meter with the inverter on and nothing plugged in",
    )  # fmt: skip
    efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.90, why="0.85-0.93, from memory", at_least=0.85, at_most=0.93,
        settle="watts in and out while the air conditioner runs",
    )  # fmt: skip
    rating: float = quantity(
        "power", 50.0, 20000.0, 3000.0, why="assumed: a class that starts an air conditioner",
        settle="read the label",
    )  # fmt: skip
    on: Literal["always", "needed"] = choice(
        ("always", "needed"), "always", why="assumed: left on", settle="ask the client"
    )
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )
