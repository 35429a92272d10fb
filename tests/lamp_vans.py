"""A van whose bank a lamp empties, and nothing else: its hour can be reckoned without the loop.

The integrator is scipy's, on the bank's open-circuit volts and ohms straight from its table. No
figure here is a check.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import partial
from typing import Any

from scipy.integrate import solve_ivp

from tests.electric_vans import van
from tests.invented import nights
from tests.published.test_bus import ALONE, HEAVY, STEADY, amps
from vanclimate.answers.scene import Scene
from vanclimate.energy.cells import Cells
from vanclimate.van.sheet import Sheet

NOTHING: dict[str, Any] = {
    **ALONE, "inverter": None, "fans": {"count": 0, "bed fan power": "0 W"},
    "people": {"sleepers": 0, "limit": "35 C"},
}  # fmt: skip


def lamp_van(watts: float, capacity: float = 100.0, kind: str = "lithium", **more: Any) -> Sheet:
    """Return a van in a lasting 25 °C with a lamp that always burns."""
    bank = {"kind": kind, "capacity": f"{capacity} Ah"} | HEAVY | more.pop("battery", {})
    lamp = {"name": "lamp", "power": f"{watts} W"}
    return van(STEADY, **(NOTHING | {"loads": [lamp], "battery": bank} | more))


def evenings(scene: Scene, count: int, apart: int) -> list[datetime]:
    """Return evenings some days apart: made-up days go on for ever."""
    return [nights(scene)[0] + timedelta(days=apart * i) for i in range(count)]


def hours_to(cells: Cells, kept: float, watts: float, start: float | None = None) -> float:
    """Return the hours until watts at the terminals bring a bank from a charge to what is kept."""

    def above(_: float, charge: Any) -> float:
        return float(charge[0] - kept)

    above.terminal = True  # type: ignore[attr-defined]
    drawn = partial(amps, cells, watts=watts, temp=25.0)
    begin = cells.capacity if start is None else start
    found = solve_ivp(lambda _, q: [-drawn(q[0])[0]], (0.0, 5e3), [begin], events=above,
                      rtol=1e-9, atol=1e-9, max_step=1.0)  # fmt: skip
    return float(found.t[-1])
