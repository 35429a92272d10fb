"""What a night says of sources, heating and limits; the van is invented and checks nothing else."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

import vanclimate as vc
from vanclimate.answers.days import CAME, WENT
from vanclimate.answers.judge import Failure, night_rows
from vanclimate.report import power_words
from vanclimate.van.reading import loads_text

VAN = """
name: An invented van
site: greensboro
heading: S
units: si
body: {kind: long high van, colour: white, leakage: ordinary}
stacks:
  roof: [steel 0.9 mm, sprayed foam 50 mm, plywood 6 mm]
  walls: [steel 0.9 mm, sprayed foam 50 mm, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 25 mm, plywood 12 mm]
people: {sleepers: 2, bedtime: 22:00, waking: 06:30, home: 17:30 to 07:30, limit: 26 C}
vents: {high: 60 cm2, low: 30 cm2}
"""
WINTER = (
    VAN
    + """
month: January
battery: {capacity: 400 Ah, voltage: 12.8 V, charge at bedtime: followed}
inverter: {rating: 3 kW}
heater: {fuel: diesel, output: 2 kW}
alternator: 180 A
dc charger: 2 x 30 A
driving: 2 h a day
roof panels: {power: 200 W}
"""
)
SUMMER = (
    VAN
    + """
month: July
battery: {capacity: 600 Ah, voltage: 12.8 V}
inverter: {rating: 2000 W, surge: 6 kW}
air conditioner: {capacity: 3.9 kW, power: 1300 W, by day: hold 26 C}
loads:
  - {name: induction cooking, power: 1500 W, when: 21:30 to 22:10, feed: inverter}
  - {name: kettle, power: 1200 W, when: 21:40 to 21:45, feed: inverter}
"""
)


@pytest.fixture(scope="module")
def winter() -> vc.Night:
    return vc.night(loads_text(WINTER))


@pytest.fixture(scope="module")
def summer() -> vc.Night:
    return vc.night(loads_text(SUMMER))


def test_a_heated_van_in_january_is_asked_about_its_coldest_night(winter):
    assert winter.which == "coldest"
    assert [w.way for w in winter.ways] == ["closed", "fresh", "heat"]
    assert winter.result.fuel_l > 0
    assert power_words.heating(winter, "si").startswith("Heating: ")
    assert "diesel" in power_words.heating(winter, "si")


def test_without_heating_the_same_night_is_too_cold(winter):
    by_way = {w.way: w for w in winter.ways}
    assert by_way["fresh"].failure.kind == "cold"
    assert by_way["fresh"].fuel_l == 0.0
    assert by_way["heat"].felt_coldest_c > by_way["fresh"].felt_coldest_c + 5.0


def test_each_day_tells_where_its_charge_came_from_and_went(winter, summer):
    assert len(winter.days) == 4  # the three before, and the one that begins with the night
    assert summer.days[0].end_ah < 0.1 * 600.0  # down where the volts fall off
    for day in winter.days + summer.days:
        left = day.start_ah + sum(day.came.values()) - sum(day.went.values()) - day.losses_ah
        assert left == pytest.approx(day.end_ah, abs=1e-6)
        assert set(day.came) == set(CAME)
        assert set(day.went) == set(WENT)
        # lithium keeps 99.5 % of what is put in, and the day's table has no other loss
        assert -1e-9 <= day.losses_ah <= 0.005 * sum(day.came.values()) + 1e-9
    assert any(day.came["driving"] > 10 for day in winter.days)


def test_the_nights_table_adds_up_in_amp_hours_too(winter, summer):
    for answer in (winter, summer):
        run = answer.runs[answer.main]
        part = night_rows(run, answer.bedtime, answer.sheet)
        came = sum(run.amp_hours(f"{x}_used_w", part) for x in ("solar", "drive", "shore"))
        charge, rate = run.column("battery_charge_ah"), run.column("battery_charge_rate_ah_s")
        begins = charge[part.start] - rate[part.start] * run.width[part.start]
        fell = begins - charge[part.stop - 1]
        assert sum(row.ah for row in answer.charge) == pytest.approx(fell + came, abs=1e-6)


@pytest.mark.slow
def test_what_a_limit_cost_is_told_with_its_source():
    text = WINTER.replace("alternator: 180 A", "alternator: {amps: 180 A, post fuse: 40 A}")
    found = vc.night(loads_text(text))
    lines = power_words.cost_lines(found)
    assert any("Of driving held back" in x and "fuse of the power post" in x for x in lines), lines


def test_fuel_burnt_before_bedtime_is_told_with_the_day_from_when_on_it_is_followed(winter):
    said = power_words.heating(winter, "si")
    run = winter.runs[winter.main]
    burnt = run.gear.burner.fuel - winter.result.fuel_l - winter.result.fuel_left_l
    assert burnt > 0.02 * run.gear.burner.fuel
    assert f"within reach on {run.start:%b} {run.start.day}" in said


def test_what_heating_took_of_the_bank_is_told_since_the_last_bedtime(winter):
    drawn = winter.heating_draw
    assert drawn.since == winter.bedtime - timedelta(days=1)
    # the day's table is of the run that goes on to the next bedtime, whose weather ends later
    assert sum(drawn.before.values()) == pytest.approx(winter.days[-2].went["heating"], abs=0.1)
    (in_table,) = (row.ah for row in winter.charge if row.name == "heating")
    assert sum(drawn.night.values()) == pytest.approx(in_table, abs=1e-6)
    greatest = replace(winter, heating_draw=replace(drawn, greatest=True))
    said = power_words.heating_draw(greatest)
    assert f"Heating takes {drawn.total:.0f} Ah of the bank" in said
    assert "(fuel heater's fan, pump and glow) since 22:00 on Jan" in said
    assert f"{sum(drawn.night.values()):.0f} Ah from then to waking" in said


def test_what_heating_took_is_told_where_it_is_much_or_the_charge_fails(winter):
    assert not winter.heating_draw.greatest  # its inverter idles on end
    assert power_words.heating_draw(winter) == ""
    result = replace(winter.result, failure=Failure("charge", winter.bedtime, None))
    short = replace(winter, ways=(*winter.ways[:-1], result))
    assert power_words.heating_draw(short)
    none = dict.fromkeys(winter.heating_draw.night, 0.0)
    unheated = replace(winter.heating_draw, before=none, night=none)
    assert power_words.heating_draw(replace(short, heating_draw=unheated)) == ""
    given = replace(winter.heating_draw, since=winter.bedtime, before=none)
    assert "from bedtime to waking; the charge at bedtime is as given" in (
        power_words.heating_draw(replace(short, heating_draw=given))
    )


def test_loads_that_trip_the_inverter_are_named_with_the_time(summer):
    said = " ".join(summer.warnings)
    assert "kettle and induction cooking together ask more than the inverter gives at 21:40" in said
    assert "induction cooking and AC together trip the inverter at" in said


def test_the_trace_names_one_cause(summer):
    frame = summer.runs["ac"].frame()
    assert "inverter" in set(frame["stopped_by"])
    waiting = frame[frame["stopped_by"] == "inverter"]
    assert (waiting["stopped_inverter_share"] > 0).all()


@pytest.mark.slow
def test_cooling_ahead_on_the_sun_is_told_beside_the_night_without():
    panels = (
        "roof panels: {power: 3000 W}\nrules: [cool to 20 C from 13:00 while the panels carry it]"
    )
    text = SUMMER.replace(", by day: hold 26 C", "") + panels
    said = " ".join(vc.night(loads_text(text)).warnings)
    assert "it cools ahead in" in said
    assert "; without it the air conditioner takes" in said
    few = text.replace("3000 W", "1500 W")
    assert "it never cools ahead" in " ".join(vc.night(loads_text(few)).warnings)
