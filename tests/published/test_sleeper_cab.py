"""A truck's sleeper cab: what curtain, window covers, paint and insulation save.

Source: Proc, Chaney & Sailor 2008, Thermal load reduction of truck tractor sleeper cabins, SAE
2008-01-2618 (abstract read): outdoors, a curtain between seats and bunk took 21 % off the sleeper's
heating, a thick one 26 %, insulated window covers 16 %, and 8 K off what the sun adds by day; with
the insulation doubled their model cooled with 35 % less. Black paint takes 26 % more cooling energy
than white over a sunny summer day (NREL, read at second hand).

The cab is invented: sizes of a usual long-nosed truck with a 70 in bunk, and all its layers, are
assumed; theirs were two other trucks with heater and weather of their own. So the band of every
figure was set, before the first run, at half of the saving either way; the description and the
bands have been kept. In each run an ideal plant in the sleeper holds its air.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from functools import lru_cache
from math import nan

import numpy as np
import pytest

from vanclimate.answers.scene import set_scene
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import execute
from vanclimate.site.designday import design_day
from vanclimate.van import loads_text

TRUCK = """
name: A sleeper cab, invented for this test
site: miami
body:                       # the sleeper: bunk across, 70 in long
  length: 1.8 m
  width: 2.1 m
  height: 2.1 m
  colour: {colour}
  rib share: 12 %
  leakage: ordinary
  furnishing: 120 kg
stacks:
  roof: [aluminium 1.5 mm, glass wool {wool}, ABS 3 mm]
  walls: [aluminium 1.5 mm, glass wool {wool}, ABS 3 mm]
  floor: [steel 2 mm, XPS 12 mm, carpet 8 mm]
cab:                        # the seats; nearly as high, thinly lined
  divider: {divider}
  drawn: {drawn}
  opening: 2 m2
  length: 1.4 m
  height: 1.7 m
  roof: [steel 1 mm, glass wool {felt}, carpet 4 mm]
  walls: [steel 1 mm, glass wool {felt}, ABS 3 mm]
  floor: [steel 2 mm, carpet 15 mm]
  furnishing: 80 kg
windows:
  - {{name: windscreen, side: front, area: 1.8 m2, glass: laminated, slope: 60 deg, zone: cab,
     cover: {cover}}}
  - {{name: left door, side: left, area: 0.6 m2, glass: green, zone: cab, cover: {cover}}}
  - {{name: right door, side: right, area: 0.6 m2, glass: green, zone: cab, cover: {cover}}}
  - {{name: left bunk, side: left, area: 0.1 m2, glass: tinted, zone: living, cover: {cover}}}
  - {{name: right bunk, side: right, area: 0.1 m2, glass: tinted, zone: living, cover: {cover}}}
people: {{sleepers: 0}}
battery: {{conductance: 0 W/K}}  # no bank stands in it, so none warms and cools with its air
inverter: {{on: needed}}
loads: none
fans: {{count: 0}}
"""
USUAL = {
    "colour": "white", "wool": "25 mm", "felt": "12 mm", "divider": "curtain", "drawn": "never",
    "cover": "none",
}  # fmt: skip
BUNK = 22.0  # °C, what the sleeper is held at
COLD = {"low": -10.0, "high": 0.0, "date": datetime.date(2025, 1, 15)}
HOT = {"low": 18.0, "high": 32.0, "date": datetime.date(2025, 7, 1)}


@lru_cache
def run(season: str, held: bool, first: int, hours: int, **changed: str) -> tuple[float, float]:
    """Return the plant's mean watts and the sleeper's warmest air [°C] over some hours."""
    said = USUAL | changed
    if said["cover"] != "none":
        said["cover"] += ", covered: always"
    sheet = loads_text(TRUCK.format(**said), "truck")
    day = design_day(
        latitude=39.7, longitude=-105.0, elevation=1600.0, relative_humidity=0.5, utc_offset_h=-7,
        **(COLD if season == "cold" else HOT),
    )  # fmt: skip
    scene = set_scene(sheet, day, 180.0)
    start = day.start.replace(hour=12) - datetime.timedelta(days=3)
    end = start + datetime.timedelta(days=3, hours=(first - 12) % 24 + hours)
    plan = make_plan(sheet, scene.model, scene.place, "closed", start, end, [end], 100.0)
    limit = np.full(len(plan.schedule.start), BUNK)
    if held:
        held_at = plan.schedule._replace(
            heat_below=limit if season == "cold" else limit * nan,
            cool_above=limit if season == "hot" else limit * nan,
        )
        plan = replace(plan, schedule=held_at)
    done = execute(
        scene.model, plan, cabin_of(sheet, scene.model, plan.outside.pressure), scene.gear,
    )  # fmt: skip
    counted = done.seconds[1:] > done.seconds[-1] - 3600.0 * hours
    plant = float(np.abs(done.column("plant_w")[counted]).mean())
    return plant, float(done.column("cabin_temp_c")[counted].max())


def heating(**changed: str) -> float:
    """Return the mean heating [W] from 22:00 to 06:00 of a cold night."""
    return run("cold", True, 22, 8, **changed)[0]


def cooling(first: int = 0, hours: int = 24, **changed: str) -> float:
    """Return the mean cooling [W] of a sunny summer day, curtain drawn, blinds in the cab."""
    return run("hot", True, first, hours, **({"drawn": "always", "cover": "curtain"} | changed))[0]


def test_a_curtain_saves_a_fifth_of_the_heating():
    saved = 1 - heating(drawn="always") / heating()
    assert saved == pytest.approx(0.21, abs=0.105)


def test_a_thick_curtain_saves_a_quarter_and_more_than_a_thin_one():
    saved = 1 - heating(divider="thick curtain", drawn="always") / heating()
    assert saved == pytest.approx(0.26, abs=0.13)
    assert heating(divider="thick curtain", drawn="always") < heating(drawn="always")


def test_insulated_window_covers_save_a_sixth_of_the_heating():
    saved = 1 - heating(cover="insulated") / heating()
    assert saved == pytest.approx(0.16, abs=0.08)


def test_insulated_window_covers_take_8_k_off_the_sun_s_rise():
    warmest = [run("hot", False, 10, 8, cover=cover)[1] for cover in ("none", "insulated")]
    assert warmest[0] - warmest[1] == pytest.approx(8.0, abs=4.0)


# Missed: 122 % more, 631 W against 285. The source measured an air conditioner's energy; what an
# ideal plant takes out lacks the parts that paint does not move: blower, sleeper, fresh air, a
# compressor whose watts follow the outdoor air. With a unit of 2.2 or 3.5 kW (730 and 1200 W at its
# rating, invented), its blower always on, and one sleeper, the same cab's energy rises by 39 and by
# 50 %.
@pytest.mark.xfail(strict=True, reason="thermal load, not the air conditioner's energy")
def test_black_paint_takes_a_quarter_more_cooling_than_white():
    more = cooling(colour="black") / cooling() - 1
    assert more == pytest.approx(0.26, abs=0.13)


# Missed: 9 %. With white paint and 22 against 32 °C most of our load is sun through the glass of a
# cab and air, and a fixed bridging by ribs; the black cab, 1242 W and 995 with double insulation,
# saves 20 %. Their cabs' colour, and the glass they left bare, the abstract does not say.
@pytest.mark.xfail(strict=True, reason="a white cab's load comes through its glass")
def test_double_insulation_saves_a_third_of_the_cooling_of_a_day_s_rest():
    # a rest period by day, 10:00 to 20:00
    thick = {"wool": "50 mm", "felt": "24 mm"}
    saved = 1 - cooling(10, 10, **thick) / cooling(10, 10)
    assert saved == pytest.approx(0.35, abs=0.175)
