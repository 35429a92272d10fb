"""The whole bus through the loop against an integrator of its own, and three sayings of the trade.

The integrator is scipy's, on the bank's open-circuit volts and ohms straight from its table; the
laws of Arrhenius and Peukert are written out here. The sayings have no source; the vans are
invented, so only findings are asserted. What was found stands in docs/validation.md.
"""

from __future__ import annotations

from datetime import timedelta
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from tests import invented
from tests.electric_vans import (
    ALTERNATOR,
    Sections,
    columns,
    day,
    kwh,
    lived,
    run_of,
    van,
)
from vanclimate.answers.scene import set_scene
from vanclimate.energy.cells import Cells
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import Run
from vanclimate.van.reading import loads_text

STEADY = day(25.0, 25.01, "03-20")
ALONE: Sections = {
    "inverter": {"on": "needed"},
    "people": {"sleepers": 0},
    "fans": {"by day": "off"},
}
HEAVY = {"mass": "3000 kg", "conductance": "0 W/K", "discharge limit": "500 A"}  # 25 °C all along
BIG = {"capacity": "630 Ah", "charge limit": "315 A"}
CHARGE, VOLTS, RISE = 0, 1, 3  # rows of the bank's table


def amps(cells: Cells, charge: Any, watts: float, temp: float) -> tuple[Any, Any]:
    """Return the amps out of the bank for watts at its terminals, and the ohms there."""
    volts = np.interp(charge, cells.table[CHARGE], cells.table[VOLTS])
    ohm = cells.resistance * np.interp(charge, cells.table[CHARGE], cells.table[RISE])
    ohm = ohm * np.exp(cells.activation * (1.0 / (temp + 273.15) - 1.0 / 298.15))
    return (volts - np.sqrt(volts * volts - 4.0 * ohm * watts)) / (2.0 * ohm), ohm


@pytest.mark.parametrize(
    ("kind", "capacity", "watts"),
    [("lithium", 100, 100), ("lithium", 100, 600), ("lithium", 200, 1000),
     ("lithium", 630, 1500), ("AGM", 100, 60), ("AGM", 100, 300)],
)  # fmt: skip
def test_a_discharge_ends_when_the_integrator_says(kind: str, capacity: int, watts: int) -> None:
    sheet = van(STEADY, **ALONE, loads=[{"name": "lamp", "power": f"{watts} W"}],
                battery={"kind": kind, "capacity": f"{capacity} Ah"} | HEAVY)  # fmt: skip
    run = lived(sheet, 2.0, way="closed")
    c, cells = columns(run), run.gear.cells
    temp = float(c["battery_temp_c"][0])
    row = int(np.flatnonzero(c["stopped_cells_share"] > 0.0)[0])
    assert c["draw_w"][:row] == pytest.approx(watts)
    ends = run.seconds[row + 1] - c["stopped_cells_share"][row] * run.width[row]

    def above(_: float, charge: Any) -> float:
        """Return how far the bank is from the first of its limits."""
        out, ohm = amps(cells, charge[0], watts, temp)
        volts = np.interp(charge[0], cells.table[CHARGE], cells.table[VOLTS]) - out * ohm
        peukert = min(1.0, (cells.slow_current / out) ** (cells.peukert - 1.0))
        floor = max(cells.cut_off, cells.capacity * (1.0 - peukert))
        return float(min(charge[0] - floor, volts - cells.low_voltage))

    above.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(lambda _, q: [-amps(cells, q[0], watts, temp)[0] / 3600.0], (0.0, 3e5),
                      [cells.capacity], events=above, rtol=1e-9, atol=1e-9,
                      max_step=60.0)  # fmt: skip
    assert ends == pytest.approx(found.t[-1], rel=0.005)


@pytest.mark.parametrize("start", [0.05, 0.5])
def test_150_amps_from_shore_refill_630_ah_by_the_acceptance_curve(start: float) -> None:
    """'150 A refill about 630 Ah': common practice, no source, for the amps."""
    sheet = van(STEADY, **ALONE, loads=[], battery=BIG | HEAVY,
                shore={"inlet": "50 A", "charger": "150 A"})  # fmt: skip
    run = lived(sheet, 1.0, way="closed", charge=start)
    c, cells = columns(run), run.gear.cells
    temp = float(c["battery_temp_c"][0])

    def taken(charge: float) -> float:
        """Return the amps: the charger's, what the volts leave, and what the tail allows."""
        volts = np.interp(charge, cells.table[CHARGE], cells.table[VOLTS]) + cells.gap
        ohm = amps(cells, charge, 1.0, temp)[1]
        near = cells.tail + cells.acceptance * (cells.capacity - charge)
        return float(min(150.0, (cells.charge_voltage - volts) / ohm, near))

    def full(_: float, charge: Any) -> float:
        return float(charge[0] - 0.99 * cells.capacity)

    full.terminal = True  # type: ignore[attr-defined]
    found = solve_ivp(lambda _, q: [cells.charge_efficiency * taken(q[0]) / 3600.0], (0.0, 1e5),
                      [start * cells.capacity], events=full, rtol=1e-8, max_step=30.0)  # fmt: skip
    charge = c["battery_charge_ah"]
    reached = float(np.interp(0.99 * cells.capacity, charge[: charge.argmax() + 1],
                              run.seconds[1 : charge.argmax() + 2]))  # fmt: skip
    # asked first: 1 %; from half it is 1.07, 80 s, for the charger's watts go by the volts of the
    # step before, five minutes ago
    assert reached == pytest.approx(found.t[-1], rel=0.02)
    assert reached / 3600.0 < (1.0 - start) * 4.5  # 4.3 hours from empty, 2.2 from half


def test_a_drive_of_three_hours_puts_back_three_times_sixty_amp_hours() -> None:
    """'Two 30 A chargers give 60 A': common practice, no source; 3 h of it is derived."""
    into = {}
    for speed, plate in (("highway", "250 A"), ("town", "250 A"), ("idle", "250 A")):
        sources = ALTERNATOR | {"alternator": plate,
                                "driving": {"hours": "3 h from 10:00", "speed": speed}}  # fmt: skip
        sheet = van(STEADY, **ALONE, loads=[], battery=BIG | HEAVY, **sources)
        run = lived(sheet, 1.0, way="closed", charge=0.3)
        into[speed] = kwh(run, "battery_current_a") * 1e3
        kept = run.column("battery_charge_ah")[-1] - 0.3 * 630.0
        assert kept == pytest.approx(0.995 * into[speed], rel=1e-3)
    assert into["highway"] == into["town"] == pytest.approx(180.0, rel=0.005)
    assert 100.0 < into["idle"] < 125.0  # warm and standing, its heat and speed take the rest


DRIVING = "alternator: 250 A\ndc charger: 2 x 30 A\ndriving: 3 h a day from 10:00\n"
PLUGGED = "shore: {hours: 18:00 to 08:00, inlet: 30 A, charger: 60 A}\n"
WAYS = {
    "panels": "", "panels and driving": DRIVING, "panels and shore": PLUGGED,
    "panels, driving and shore": DRIVING + PLUGGED,
}  # fmt: skip
PLACES = ("greensboro", "miami", "sand point")
DAYS = 360


@cache
def days_that_close(place: str, way: str) -> np.ndarray[Any, Any]:
    """Return of 360 days from 1 January whether the bank ends no lower than it began.

    From bedtime to bedtime, each begun at 90 %: the insulated van of scenarios/holds.yaml with
    400 W of panels, 630 Ah, its air conditioner by night, and a fuel heater.
    """
    text = (Path(__file__).parents[2] / "scenarios" / "holds.yaml").read_text(encoding="utf-8")
    text = text.replace("site: greensboro", f"site: {place}")
    sheet = loads_text(text + "heater: {output: 2 kW, tank: 500 L}\n" + WAYS[way])
    scene = set_scene(sheet, invented.weather_of(sheet), 180.0)
    first = scene.place.weather.start.replace(month=1, day=1, hour=22, minute=30)
    beds = [first + timedelta(days=d) for d in range(DAYS)]
    begins = 0.9 * scene.gear.cells.capacity
    plan = make_plan(sheet, scene.model, scene.place, "ac", first, first + timedelta(days=DAYS),
                     beds, begins)  # fmt: skip
    return ends_of_days(run_of(scene, plan)) >= begins - 1e-6


def ends_of_days(run: Run) -> np.ndarray[Any, Any]:
    """Return the charge at the end of each day of a run that begins with one."""
    ends = run.seconds[0] + 86400.0 * np.arange(1, DAYS + 1)
    rows = np.searchsorted(run.seconds[1:], ends - 1.0)
    return np.asarray(run.column("battery_charge_ah")[rows])


@pytest.mark.slow
@pytest.mark.parametrize("place", PLACES)
def test_panels_driving_and_shore_are_always_enough(place: str) -> None:
    """'Panels plus driving plus shore are always enough': common practice, no source."""
    found = {way: int(days_that_close(place, way).sum()) for way in WAYS}
    assert found["panels, driving and shore"] == DAYS
    assert found["panels"] <= found["panels and driving"] <= DAYS
    assert found["panels"] < DAYS / 2  # they alone are not
