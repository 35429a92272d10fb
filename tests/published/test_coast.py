"""The coast's own runs and readings on a parked car in the sun, against measured cars.

`test_parked_vehicle` holds the model against the same sources; here the plan is cut by
`answers.coast.cut`, the car shut up by it, and times and rate are read by `answers.coast.runs`,
as the command does. The car starts at ambient, at noon of a clear 21 June; nobody is inside.

Sources and bands, as there: Null 2003, table 1 (mean and sd of 12 trials derived from its rows):
rise after 10, 20, 30, 60 min, two deviations. Grundstein et al. 2010 (read): the greatest of 14
days, from half of it to one of Null's deviations above it. Selover et al. 2016 (abstract read):
23 K in an hour in Arizona's sun, 7 K either way, vans the slowest. McLaren, Null and Quinn 2005
(abstract read): 80 % of the hour's rise within 30 min, so 63 % of it sooner than that; the first
10 K by their 1.9 K per 5 min on average and Null's 10.5 K in the first 10 min, two deviations.
Time constant 15 to 55 min, derived.
"""

from __future__ import annotations

from functools import lru_cache
from math import nan

import numpy as np
import pytest

from tests.published.cars import CARRIER, DARK, VAN, scene_of, weather_of
from vanclimate.answers.coast.cut import HOUR, Held, with_cuts
from vanclimate.answers.coast.runs import crossing, rise_rate, rows_after
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import execute

RISE = {10: (10.5, 2.4), 20: (15.8, 2.7), 30: (18.1, 2.9), 60: (23.7, 3.5)}
GREATEST = {5: (4.0, 2.4), 10: (7.0, 2.4), 30: (16.0, 2.9), 60: (26.0, 3.5)}
CUT = 1.0  # s after the start: all of the car is at ambient still
SHUT = Held("free", nan, 0.0, 3.0 * HOUR, breathes=False)


@lru_cache
def coasted(text: str, place: str = "bay", high: float = 28.0) -> tuple[np.ndarray, np.ndarray]:
    """Return the time [s] since a car was shut up, and its air's rise since then [K]."""
    weather = weather_of(place, high - 11.0, high, 6)
    scene = scene_of(text, weather)
    start, end = weather.start.replace(hour=12), weather.start.replace(hour=16)
    plan = make_plan(scene.sheet, scene.model, scene.place, "fans", start, end, (), 0.0)
    plan = with_cuts(plan, scene.sheet, scene.model, [CUT], SHUT)
    cabin = cabin_of(scene.sheet, scene.model, plan.outside.pressure)
    run = execute(scene.model, plan, cabin, scene.gear)
    rows = rows_after(run, CUT, SHUT.watch_s)
    seconds = run.seconds[rows.start + 1 : rows.stop + 1] - CUT
    return seconds, run.column("cabin_temp_c")[rows] - run.outdoor[rows]


def after(text: str, minute: int, place: str = "bay", high: float = 28.0) -> float:
    return float(np.interp(60.0 * minute, *coasted(text, place, high)))


def test_it_starts_at_ambient():
    assert after(DARK, 0) == pytest.approx(0.0, abs=0.2)


@pytest.mark.parametrize("minute", RISE)
def test_a_shut_car_rises_as_measured(minute):
    mean, sd = RISE[minute]
    assert after(DARK, minute) == pytest.approx(mean, abs=2 * sd)


@pytest.mark.parametrize("minute", GREATEST)
def test_it_keeps_to_the_greatest_of_fourteen_clear_days(minute):
    greatest, sd = GREATEST[minute]
    assert 0.5 * greatest <= after(DARK, minute) <= greatest + sd


def test_an_hour_in_arizonas_sun():
    assert after(DARK, 60, "arizona", 27.5) == pytest.approx(23.0, abs=7.0)


def test_the_time_constant_is_15_to_55_minutes():
    seconds, rise = coasted(DARK)
    minutes = crossing(seconds, rise, 0.632 * rise.max(), True) / 60.0
    assert 15.0 <= minutes <= 55.0


def test_63_percent_of_the_hours_rise_come_within_half_an_hour():
    seconds, rise = coasted(DARK)
    assert crossing(seconds, rise, 0.632 * after(DARK, 60), True) <= 1800.0


def test_the_first_ten_degrees_go_at_the_measured_rate():
    mean, sd = RISE[10]
    rate = 600.0 * rise_rate(*coasted(DARK))
    assert mean - 2 * sd <= rate <= mean + 2 * sd


@pytest.mark.parametrize("slow", [CARRIER, VAN])
def test_vans_are_slower_to_every_degree(slow):
    for limit in (5.0, 10.0, 15.0):
        assert crossing(*coasted(slow), limit, True) > crossing(*coasted(DARK), limit, True)
