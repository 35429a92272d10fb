"""A van whose bank a lamp empties, and nothing else: its hour can be reckoned without the loop.

The integrator is scipy's, on the bank's open-circuit volts and ohms straight from its table. No
figure here is a check.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import lru_cache, partial
from typing import Any

from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from tests.electric_vans import scene_of, van
from tests.invented import nights
from tests.published.test_bus import ALONE, HEAVY, STEADY, amps
from vanclimate.answers.futures.worlds import Worlds, worlds_of
from vanclimate.answers.scene import Scene
from vanclimate.answers.season import record_for, season_of
from vanclimate.energy.cells import Cells
from vanclimate.van.sheet import Sheet

NOTHING: dict[str, Any] = {
    **ALONE, "inverter": None, "fans": {"count": 0, "bed fan power": "0 W"},
    "people": {"sleepers": 0, "limit": "35 C"},
}  # fmt: skip
MEDIAN_HEALTH = 0.8 + 0.2 * 0.5**0.5  # of a triangle from 0.8 to 1, likeliest 1
DAYS, LENGTH = 2, 24.0 + 15.0  # h from coming home to leaving on the last morning


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


def worlds(sheet: Sheet, count: int, days: int = DAYS, seed: int = 20) -> Worlds:
    """Return futures of a sheet."""
    return worlds_of(sheet, season_of(sheet, record_for(sheet)), days, count, seed)


@lru_cache
def coin_watts() -> float:
    """Return the lamp that a bank of middling health bears just as long as the stay."""
    sheet = lamp_van(20.0).with_value("battery.health", MEDIAN_HEALTH)
    gear = scene_of(sheet).gear
    return float(brentq(lambda w: hours_to(gear.cells, gear.kept, w) - LENGTH, 10.0, 60.0,
                        xtol=1e-3))  # fmt: skip
