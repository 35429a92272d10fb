"""Events in five-minute steps against the same van in steps of ten seconds.

Energies within 1 % and starts within 5 %, set before the first run. Vans with one kind of device
for three days, on shore, so that no bank ends a run early and blurs what the events do; and one
with all kinds for a week.
"""

from __future__ import annotations

import pytest

from tests.bench.cases import everything_scene, span
from tests.bench.compare import SHIFTS, STRETCHES, events
from tests.electric_vans import (
    AIR_HEATER,
    ALTERNATOR,
    COLD,
    FIXED,
    HEAT_PUMP,
    HOT,
    HYDRONIC,
    VARIABLE,
    Sections,
    day,
    kwh,
    lived,
    van,
)

MILD, FROST = day(5, 14, "03-15"), day(-20, -12, "01-15")
SUMMER = day(18, 28, "06-01")
SMALL = {"capacity": "2 kW", "power": "700 W", "airflow": "200 CFM", "heats": "yes",
         "heating when": "always"}  # fmt: skip
ELECTRIC = {"power": "1500 W", "when": "always"}
CONTINUOUS = {"blower": "continuous"}
VANS: dict[str, Sections] = {
    "AC": {"air_conditioner": FIXED},
    "AC, mild": {"site": SUMMER, "air_conditioner": FIXED},
    "AC, blower runs on": {"air_conditioner": FIXED | CONTINUOUS},
    "variable speed": {"air_conditioner": VARIABLE},
    "variable speed, mild": {"site": SUMMER, "air_conditioner": VARIABLE},
    "variable speed, blower runs on": {"air_conditioner": VARIABLE | CONTINUOUS},
    "heat pump, variable speed": {"site": COLD, "air_conditioner": HEAT_PUMP},
    "heat pump, variable speed, mild": {"site": MILD, "air_conditioner": HEAT_PUMP},
    "heat pump": {"site": day(0, 10, "03-15"), "air_conditioner": SMALL},
    "air heater, stepless": {"site": FROST, "heater": AIR_HEATER},
    "air heater": {"site": COLD, "heater": AIR_HEATER},
    "air heater, below its floor": {"site": MILD, "heater": AIR_HEATER},
    "hydronic": {"site": COLD, "heater": HYDRONIC},
    "hydronic, mild": {"site": MILD, "heater": HYDRONIC},
    "electric heater": {"site": COLD, "electric_heater": ELECTRIC},
    "electric heater, mild": {"site": MILD, "electric_heater": ELECTRIC},
    "off shore: AC": {"air_conditioner": FIXED | {"by day": "off"}, "shore": None,
                      "roof_panels": {"power": "800 W"}, "battery": {"capacity": "600 Ah"}},
    "off shore: air heater": {"site": COLD, "heater": AIR_HEATER, "shore": None, **ALTERNATOR,
                              "battery": {"capacity": "400 Ah"}},
}  # fmt: skip
ENERGIES = ("ac_power_w", "heat_pump_w", "heater_output_w", "electric_heat_w")
STARTS = ("ac_starts", "heater_starts")


@pytest.mark.parametrize("name", VANS)
def test_long_steps_take_the_events_as_short_ones_do(name: str) -> None:
    sheet = van(**{"site": HOT, "shore": {"inlet": "30 A"}} | VANS[name])
    coarse, fine = (lived(sheet, 3.0, base=base) for base in (300.0, 10.0))
    compared = 0
    for column in ENERGIES:
        if kwh(fine, column) != 0.0:
            assert kwh(coarse, column) == pytest.approx(kwh(fine, column), rel=0.01), column
            compared += 1
    for column in STARTS:
        starts = fine.column(column).sum()
        assert coarse.column(column).sum() == pytest.approx(starts, rel=0.05), column
    assert compared > 0
    if "below its floor" in name or "mild" in name:
        assert fine.column("ac_on_share").mean() + fine.column("heater_on_share").mean() < 0.9


@pytest.mark.slow
@pytest.mark.parametrize(("month", "day"), STRETCHES)
def test_and_with_every_device_at_once(month: int, day: int) -> None:
    # the mean of eleven weeks, up to 0.05 K warmer or colder outdoors: one run of the heat pump
    # more or less is 0.7 % of its week, and short steps scatter by that among themselves
    week = events(span(everything_scene(), "ac", month, day, 7, "", True))
    for name, device in week.items():
        assert len(device.kwh) == len(SHIFTS)
        if device.fine_kwh.mean() > 0.0:
            assert device.kwh.mean() == pytest.approx(device.fine_kwh.mean(), rel=0.01), name
            assert device.starts.mean() == pytest.approx(device.fine_starts.mean(), rel=0.05), name


def test_the_stepless_heater_burns_on_while_the_other_goes_on_and_off() -> None:
    stepless, cycling = (
        lived(van(site, heater=AIR_HEATER, shore={"inlet": "30 A"}), 3.0)
        for site in (FROST, MILD)
    )  # fmt: skip
    hour = stepless.seconds[:-1] % 86400.0 / 3600.0
    night = (stepless.seconds[:-1] > 86400.0) & ((hour < 7.0) | (hour >= 19.0))
    assert stepless.column("heater_on_share")[night].min() == pytest.approx(1.0)
    output = stepless.column("heater_output_w")[night]
    assert stepless.gear.burner.floor < output.min() < output.max() < stepless.gear.burner.full
    assert cycling.column("heater_starts").sum() > 100
