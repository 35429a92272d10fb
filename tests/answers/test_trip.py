"""A trip run: what is carried from stop to stop, what runs out, and when."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from tests.answers.test_season import real
from tests.answers.trips import going, taken, van
from vanclimate.answers.trip.answer import Trip, trip
from vanclimate.errors import OptionError
from vanclimate.site.record import record_of

SHORT = ("greensboro, 12 January, 2 nights", "greensboro, 2 nights, 2 h driving")
CLOSES = 1e-9


def carried(found: Trip, column: str) -> list[tuple[float, float]]:
    """Return what each stop but the first begins with, and what the one before left."""
    runs = [stage.run.column(column) for stage in found.stages]
    begins = [stage.charge_ah if column == "battery_charge_ah" else stage.fuel_l
              for stage in found.stages]  # fmt: skip
    return list(zip(begins[1:], [float(run[-1]) for run in runs], strict=False))


def test_charge_fuel_and_water_go_on_from_stop_to_stop():
    found = taken(*SHORT)
    for column in ("battery_charge_ah", "heater_fuel_l"):
        for begins, left in carried(found, column):
            assert begins == left
    heater = found.sheet.heater
    assert found.results[-1].fuel_left_l == pytest.approx(
        heater.usable_fuel - found.total("fuel_l"), abs=1e-9
    )
    tank = 1e3 * found.sheet.water.tank
    assert found.results[-1].water_left_l == pytest.approx(tank - found.total("water_used_l"))
    people = found.sheet.people.sleepers
    days = (found.halts[-1].ends - found.halts[0].begins).total_seconds() / 86400.0
    a_day = 1e3 * found.sheet.water.use * people
    assert found.total("water_used_l") == pytest.approx(a_day * days)


def test_all_books_close():
    found = taken(*SHORT)
    assert [book.name for book in found.balances] == ["energy", "water", "charge", "power", "fuel"]
    assert all(book.ratio < CLOSES for book in found.balances)
    for stage, result in zip(found.stages, found.results, strict=True):
        rate = stage.run.total("battery_charge_rate_ah_s")
        assert stage.charge_ah + rate == pytest.approx(result.charge_ends_ah, abs=1e-6)


@pytest.mark.parametrize("first", [1, 3])
def test_two_stops_of_one_place_are_one_but_for_the_warm_up(first):
    """A stop's warm-up replaces the walls' own past: 0.1 % of the fuel and 0.2 Ah a cut."""
    whole = taken("greensboro, 12 January, 4 nights")
    parts = taken(f"greensboro, 12 January, {first} nights", f"greensboro, {4 - first} nights")
    assert sum(parts.needs_l) == pytest.approx(sum(whole.needs_l), rel=1e-3)
    assert parts.results[-1].charge_ends_ah == pytest.approx(
        whole.results[-1].charge_ends_ah, abs=0.2
    )
    assert parts.total("heater_hours") == pytest.approx(whole.total("heater_hours"), rel=2e-3)
    assert parts.cold_days == whole.cold_days
    assert parts.total("water_used_l") == pytest.approx(whole.total("water_used_l"))
    ends = [
        x.stages[-1].run.seconds[-1] + x.stages[-1].run.start.timestamp() for x in (whole, parts)
    ]
    assert ends[0] == ends[1]


def test_driving_charges_and_so_does_shore():
    driven = taken(*SHORT)
    parked = taken(SHORT[0], "greensboro, 2 nights, at 14:00")
    assert driven.results[1].drive_ah > 40.0 > parked.results[1].drive_ah == 0.0
    plugged = taken(SHORT[0], "greensboro, 2 nights, shore")
    assert plugged.results[1].shore_ah > 100.0 > driven.results[1].shore_ah == 0.0
    assert plugged.charge_least_ah == plugged.results[0].charge_least_ah
    run = driven.stages[1].run  # while it drives alone
    driving = run.column("drive_available_w") > 0.0
    assert run.width[driving].sum() == pytest.approx(2 * 3600.0)
    assert run.seconds[:-1][driving].min() == pytest.approx(
        (driven.halts[1].begins - run.start).total_seconds()
    )


@cache
def dry() -> Trip:
    changes = ("heater.tank=5 L", "heater.usable=100 %", "battery.capacity=600 Ah")
    return taken(*SHORT, "greensboro, 2 nights", changes=changes)


def test_what_runs_out_is_told_with_where_to_buy():
    found = dry()
    assert found.first.kind == "fuel"
    assert found.figures[0].name == "nights before anything fails"
    stage = found.stages[found.first.stop]
    before = (found.first.at - stage.run.start).total_seconds()
    rows = stage.run.seconds[1:] < before
    assert stage.run.column("heater_fuel_l")[rows].min() > 1e-3
    assert found.total("fuel_l") == pytest.approx(5.0, abs=2e-3)
    assert sum(found.needs_l) > 8.0
    assert found.purchases[0].stop == found.first.stop
    bought = sum(x.litres for x in found.purchases)
    assert bought == pytest.approx(sum(found.needs_l) - 5.0, abs=0.06)
    assert found.results[-1].nights_cold > 0
    assert [x.kind for x in found.shortfalls].index("cold") > 0  # the fuel comes first


def test_with_the_fuel_bought_the_trip_lasts():
    found = dry()
    stops = [*SHORT, "greensboro, 2 nights"]
    for purchase in found.purchases:
        stops[purchase.stop] += ", fuel filled"
    changes = ("heater.tank=5 L", "heater.usable=100 %", "battery.capacity=600 Ah")
    filled = taken(*stops, changes=changes)
    assert all(x.kind != "fuel" for x in filled.shortfalls)
    assert filled.results[found.purchases[0].stop].fuel_bought_l > 0.0
    assert sum(filled.needs_l) == pytest.approx(sum(found.needs_l), rel=0.01)


def test_water_runs_out_when_it_is_used_up_and_not_where_it_is_filled():
    changes = ("water.tank=60 L", "water.use=10 L")
    found = taken(*SHORT, changes=changes)
    assert found.first.kind == "water"
    since = found.first.at - found.halts[0].begins
    assert since.total_seconds() == pytest.approx(3 * 86400.0, abs=1.0)
    filled = taken(SHORT[0], SHORT[1] + ", water filled", changes=changes)
    assert filled.first is None
    assert np.isnan(taken(*SHORT, changes=("water=none",)).water_nights)


def test_a_small_bank_falls_to_its_reserve():
    found = taken("greensboro, 12 January, 2 nights", changes=("battery.capacity=60 Ah",))
    assert found.first.kind == "charge"
    charge = found.stages[0].run.charge_at([found.first.at])[0]
    assert charge == pytest.approx(found.stages[0].run.gear.kept, abs=2.0)


def test_a_van_without_heating_is_cold_but_never_fails_on_it():
    found = taken(*SHORT, changes=("heater=none",))
    assert found.first is None
    assert found.cold_days == 5
    assert found.total("nights_cold") == 0.0
    assert found.awake_coldest_c < 5.0
    assert found.figures[0].name == "cold days"
    assert sum(found.needs_l) == 0.0


def test_electric_heat_counts_kilowatt_hours_and_no_fuel():
    heater = "electric heater={power: 1800 W, setpoint: 22 C, when: always}"
    changes = ("heater=none", heater, "inverter.rating=3000 W", "shore={inlet: 30 A}")
    found = taken("greensboro, 12 January, 2 nights, shore", changes=changes)
    assert found.figures[0].name == "heat of all heating"
    assert found.total("heat_electric_wh") > 10e3
    assert found.total("heat_electric_wh") == pytest.approx(found.total("heat_wh"))
    assert found.total("fuel_l") == 0.0


def test_a_stop_that_is_too_warm_with_heat_has_its_fans():
    found = taken("miami, 20 January, 2 nights")
    assert found.stages[0].way == "fans"
    assert found.results[0].nights_warm == 0


@pytest.mark.slow
def test_july_is_cold_in_the_south():
    made = "{design day: {low: -2 C, high: 8 C, latitude: -38, longitude: 145, humidity: 80 %, "
    made += "date: 07-12}}"
    of = van(f"site={made}")
    south = trip(going(of, "12 July, 2 nights", "miami, 15 July, 1 night"), draws=1)
    assert south.results[0].fuel_l > 2.0
    assert south.results[1].fuel_l < 0.1
    sun = south.stages[0].run.column("solar_available_w")
    noon = south.stages[0].run.seconds[:-1][sun.argmax()] % 86400.0 / 3600.0
    base = south.stages[0].run.start
    assert 11.0 < (base.hour + noon) % 24.0 < 14.0


@pytest.mark.slow
def test_real_years_are_each_driven_and_the_hardest_is_shown():
    of = going(van(), "12 January, 2 nights", "2 nights")
    found = trip(of, real(), draws=1)
    assert [year.year for year in found.years] == [2015, 2016, 2017]  # each a kelvin warmer
    burnt = [year.heat_wh for year in found.years]
    assert burnt == sorted(burnt, reverse=True)
    assert all(year.first is None and year.lasted_h == np.inf for year in found.years)
    assert found.halts[0].begins.year == 2015
    given = trip(going(van(), "12 January 2016, 2 nights", "2 nights"), real(), draws=1)
    assert not given.years
    assert given.total("fuel_l") == pytest.approx(found.years[1].fuel_l, rel=1e-9)


def test_days_that_a_record_does_not_have_are_refused():
    record = record_of(real())
    with pytest.raises(OptionError, match="2018"):
        trip(going(van(), "12 January 2018, 2 nights"), record, draws=1)
    with pytest.raises(OptionError, match="whole data"):
        trip(going(van(), "2 January 2015, 2 nights"), record, draws=1)
    hole = real()
    temp = np.array(hole.temp_air)
    temp[24 * 12] = np.nan
    holed = record_of(replace(hole, temp_air=temp))
    with pytest.raises(OptionError, match="whole data"):
        trip(going(van(), "12 January 2015, 2 nights"), holed, draws=1)


@pytest.mark.slow
def test_ranges_are_the_same_each_time_and_hold_the_middle():
    one, two = (taken(*SHORT, draws=16), trip(going(van(), *SHORT), draws=16))
    assert one.ranges == two.ranges
    low, high = one.ranges.fuel_l
    assert low < sum(one.needs_l) < high
    assert one.ranges.odds.of == 16
    assert one.ranges.odds.held + sum(one.ranges.first.values()) == 16


def test_the_trace_is_the_whole_trip():
    found = taken(*SHORT)
    frame = found.trace
    assert list(frame.columns[:3]) == ["step_s", "stop", "place"]
    assert frame.index.name == "start"
    assert len(frame) == sum(len(stage.run.rows) for stage in found.stages)
    assert frame.loc[frame["stop"] == 2, "step_s"].sum() == pytest.approx(
        (found.halts[1].ends - found.halts[1].begins).total_seconds()
    )
    burnt = (frame["heater_fuel_l_s"] * frame["step_s"]).sum()
    assert burnt == pytest.approx(found.total("fuel_l"))
    stamps = [x.timestamp() for x in frame.index]
    assert np.diff(stamps) == pytest.approx(frame["step_s"].to_numpy()[:-1])


def test_figures_begin_with_the_fuel():
    found = taken(*SHORT)
    assert found.figures[0].name == "fuel"
    assert found.figures[0].value == pytest.approx(1e-3 * sum(found.needs_l))
    assert {f.name for f in found.figures} >= {"heater hours", "lowest charge", "cold days"}
