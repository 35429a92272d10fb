"""What each limit cost: amps times hours are what came and what each limit kept."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from tests.electric_vans import HEAT_PUMP, Sections, day, plan_of, run_of, scene_of, van
from vanclimate.answers.days import WENT, Day, days_of

WARM, COOL = day(29.9, 30.1, "12-21"), day(9.9, 20.0, "06-21")
QUIET: Sections = {
    "people": {"sleepers": 0, "bedtime": "22:30", "waking": "07:00"},
    "windows": [], "loads": [], "inverter": {"on": "needed"},
}  # fmt: skip
DRIVES: Sections = {
    "alternator": "110 A", "dc_charger": "2 x 30 A",
    "driving": {"hours": "10:00 to 13:00", "speed": "town"},
}  # fmt: skip
SHADED = {"power": "400 W", "module power": "100 W", "in series": 2, "in parallel": 2}


def the_day(charge: float, site: Sections = WARM, *, nth: int = 1, **sections: Any) -> Day:
    scene = scene_of(van(site, **(QUIET | sections)))
    run = run_of(scene, plan_of(scene, nth, charge=charge))
    return days_of(run, run.start)[nth - 1]


def costs(found: Day, *limits: str) -> float:
    return sum(c.ah for c in found.costs if not limits or c.limit in limits)


def own(found: Day) -> float:
    """Return what limits of the sources cost, those of the bank left out."""
    return sum(c.ah for c in found.costs if "bank" not in c.limit.replace("above the bank", ""))


@pytest.mark.parametrize("voltage", ["12.8 V", "25.6 V"])
def test_what_came_and_what_each_limit_cost_are_amps_times_hours(voltage: str) -> None:
    alternator = "110 A" if voltage == "12.8 V" else "220 A"
    battery = {"capacity": "600 Ah", "voltage": voltage}
    found = the_day(0.2, **(DRIVES | {"alternator": alternator}), battery=battery)
    assert found.costs, "the alternator's heat or speed must limit it"
    assert found.came["driving"] + costs(found) == pytest.approx(2 * 30.0 * 3.0, rel=1e-3)


def test_a_second_alternators_amps_count_as_they_are() -> None:
    second = {"amps": "100 A", "regulator share": "80 %"}
    found = the_day(0.1, **DRIVES, second_alternator=second, battery={"capacity": "900 Ah"})
    asked = (2 * 30.0 + 100.0) * 3.0
    assert found.came["driving"] + costs(found) == pytest.approx(asked, rel=1e-3)


def test_a_full_bank_makes_no_other_limit_cost_anything() -> None:
    panels = SHADED | {"shaded": "1 of 4, 10:00 to 16:00"}
    # its fans take less of it in a day than the twentieth below which it is charged again
    battery = {"capacity": "1500 Ah"}
    found = the_day(1.0, COOL, nth=2, **DRIVES, roof_panels=panels, battery=battery)
    assert own(found) == 0.0, found.costs
    assert costs(found, "a bank that was full, or nearly") > 50.0


def test_a_limit_costs_no_more_than_the_bank_would_have_taken() -> None:
    # 110 A in town leave about 40 A of the 60; the bank lets in 45
    found = the_day(0.1, **DRIVES, battery={"capacity": "400 Ah", "charge limit": "45 A"})
    free = the_day(0.1, **DRIVES, battery={"capacity": "400 Ah"})
    assert own(free) > own(found)
    by_fans = found.went["fans"] * 3.0 / 24.0
    asked = 45.0 * 3.0 + by_fans
    assert found.came["driving"] + own(found) == pytest.approx(asked, rel=0.01)


def test_a_shadow_costs_what_the_same_panels_bring_without_it() -> None:
    battery = {"capacity": "600 Ah"}
    shaded = SHADED | {"shaded": "1 of 4, 10:00 to 16:00"}
    dark = the_day(0.1, COOL, roof_panels=shaded, battery=battery)
    bright = the_day(0.1, COOL, roof_panels=SHADED, battery=battery)
    lost = costs(dark, "shadow on their strings")
    assert lost > 10.0
    # a bank that was charged more stands at other volts
    assert dark.came["sun"] + lost == pytest.approx(bright.came["sun"], rel=0.01)


def test_a_heat_pumps_charge_is_not_called_the_air_conditioners() -> None:
    cold, hot = (
        the_day(1.0, site, air_conditioner=HEAT_PUMP, battery={"capacity": "900 Ah"},
                inverter={"rating": "3000 W"})
        for site in (day(-4, 2, "01-15"), day(26, 36, "07-10"))
    )  # fmt: skip
    assert cold.went["heat pump"] > 20.0 > cold.went["AC"]
    assert hot.went["AC"] > 20.0 > hot.went["heat pump"]
    assert np.isfinite([cold.went[name] for name in WENT]).all()
