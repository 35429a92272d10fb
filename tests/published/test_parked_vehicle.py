"""A parked vehicle in the sun: a glazed uninsulated shell against measured cars.

The description and the pass bands below were written before the first run and kept. A sloped pane
is described by its level and its upright part, which take the same beam.

Sources: Null 2003, table 1 (rows read; mean and sd of 12 trials derived from them): rise of the
air of a closed dark saloon in full sun that starts at ambient, 22 to 31 °C. McLaren, Null & Quinn
2005, Pediatrics 116 e109 (abstract read): the rise does not depend on ambient; four fifths of it
come within half an hour. Levinson et al. 2011 (abstract read): 0.5 more solar reflectance of the
paint lowers the soak air temperature by 5 to 6 K. Selover et al. 2016 (abstract read): vans are
the slowest.
"""

from __future__ import annotations

import datetime
from functools import lru_cache

import numpy as np
import pytest

from vanclimate.answers.scene import set_scene
from vanclimate.simulate.plan import cabin_of, make_plan
from vanclimate.simulate.runs import execute
from vanclimate.site.designday import design_day
from vanclimate.van import loads_text

CAR = """
name: A dark saloon car, described for this test
site: miami
body:
  length: 2.0 m
  width: 1.4 m
  height: 1.1 m
  colour: {colour}
  rib share: 0 %
  leakage: ordinary
  shelter: some
  furnishing: 50 kg         # the outer centimetre or two of seats, dashboard and trim
  lining absorptance: 70 %
stacks:
  roof: [steel 0.8 mm, air gap 10 mm, carpet 4 mm]
  walls: [steel 0.8 mm, air gap 20 mm, ABS 3 mm]
  floor: [steel 1.0 mm, carpet 8 mm]
windows:                    # windscreen 0.9 m2 and rear 0.6 m2 at 30 deg from level, sides 1.3 m2
  - {{name: windscreen level part, side: roof, area: 0.78 m2, glass: laminated}}
  - {{name: windscreen upright part, side: front, area: 0.45 m2, glass: laminated, slope: 90 deg}}
  - {{name: rear upright part, side: rear, area: 0.30 m2, glass: clear}}
  - {{name: rear window level part, side: roof, area: 0.52 m2, glass: clear}}
  - {{name: left side, side: left, area: 0.65 m2, glass: clear}}
  - {{name: right side, side: right, area: 0.65 m2, glass: clear}}
people: {{sleepers: 0}}
inverter: {{on: needed}}
loads: none
fans: {{count: 0}}
"""
VAN = """
name: An insulated van with a windscreen, described for this test
site: miami
body: {length: 4.4 m, width: 1.8 m, height: 1.9 m, colour: black}
stacks:
  roof: [steel 0.9 mm, sprayed foam 50 mm, plywood 6 mm]
  walls: [steel 0.9 mm, sprayed foam 40 mm, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 25 mm, plywood 12 mm]
windows:
  - {name: windscreen, side: front, area: 1.3 m2, glass: laminated}
people: {sleepers: 0}
inverter: {on: needed}
loads: none
fans: {count: 0}
"""
# minutes: (mean, sd) of the rise [K], Null 2003
RISE = {10: (10.5, 2.4), 20: (15.8, 2.7), 30: (18.1, 2.9), 60: (23.7, 3.5)}


@lru_cache
def rise(text: str, high: float = 28.0, minutes: int = 180) -> np.ndarray:
    """Return the air's rise over ambient [K] every 5 minutes from noon on a clear June day."""
    sheet = loads_text(text, "test")
    day = design_day(
        low=high - 11.0, high=high, latitude=37.5, longitude=-122.0, elevation=0.0,
        relative_humidity=0.8, date=datetime.date(2025, 6, 21), utc_offset_h=-8,
    )  # fmt: skip
    scene = set_scene(sheet, day, 180.0)
    noon = day.start.replace(hour=12)
    end = noon + datetime.timedelta(minutes=minutes)
    plan = make_plan(sheet, scene.model, scene.place, "closed", noon, end, [end], 100.0)
    cabin = cabin_of(sheet, scene.model, plan.outside.pressure)
    run = execute(scene.model, plan, cabin, scene.unit, scene.bank)
    ambient = np.interp(run.seconds[1:], 3600.0 * np.arange(len(plan.outside.temp)),
                        plan.outside.temp)  # fmt: skip
    return run.column("cabin_temp_c") - ambient


def at(series: np.ndarray, minute: int) -> float:
    return float(series[minute // 5 - 1])


DARK = CAR.format(colour="90 %")


@pytest.mark.parametrize("minute", RISE)
def test_rise_lies_within_two_deviations_of_the_measured_mean(minute):
    mean, sd = RISE[minute]
    assert at(rise(DARK), minute) == pytest.approx(mean, abs=2 * sd)


@pytest.mark.parametrize("high", [22.0, 36.0])
def test_rise_hardly_depends_on_ambient(high):
    # one standard deviation of the measured rises after an hour
    assert at(rise(DARK, high), 60) == pytest.approx(at(rise(DARK, 29.0), 60), abs=3.5)


def test_four_fifths_of_the_rise_come_within_half_an_hour():
    share = at(rise(DARK), 30) / at(rise(DARK), 60)
    assert 0.70 <= share <= 0.90


# McLaren, Null and Quinn 2005, abstract read: 1.9 K per 5 min closed, 1.7 with windows open 38 mm,
# means of the first hour; which windows is not said. Four side windows of 0.6 m each: two slots of
# 38 mm by 0.6 m a side (assumed). Bands: the closed rate within a deviation of the measured rises
# (3.5 K in an hour); the ratio 0.89 from 0.85 to 0.95 by the digits printed, and 0.05 beyond either
# way for cars not ours.
CRACKED = DARK
for _side in ("left", "right"):
    CRACKED = CRACKED.replace(
        f"side: {_side}, area: 0.65 m2,",
        f"side: {_side}, area: 0.65 m2, opening: 0.046 m2, open: always,",
    )


def test_closed_it_warms_at_the_measured_rate():
    assert at(rise(DARK), 60) / 12.0 == pytest.approx(1.9, abs=0.3)


@pytest.mark.xfail(
    strict=True,
    reason="0.70: wind through slots on both sides carries more than was measured; with the two "
    "front windows alone it is 0.82, and the source does not say which were open",
)
def test_windows_open_a_crack_help_little():
    assert 0.80 <= at(rise(CRACKED), 60) / at(rise(DARK), 60) <= 1.0


def test_lighter_paint_lowers_the_soak_temperature():
    # 5 to 6 K in the source; 1.5 K either way, for the cars are not ours
    soak = [float(rise(CAR.format(colour=c), 38.0).max()) for c in ("90 %", "40 %")]
    assert 3.5 <= soak[0] - soak[1] <= 7.5


def test_a_first_order_time_constant_of_15_to_55_minutes():
    # derived band: the time to 63 % of the three-hour rise
    series = rise(DARK)
    minutes = 5 * (1 + int(np.argmax(series >= 0.632 * series.max())))
    assert 15 <= minutes <= 55


def test_an_insulated_van_with_little_glass_is_slower():
    assert at(rise(VAN), 30) < at(rise(DARK), 30)
    assert at(rise(VAN), 60) < at(rise(DARK), 60)
