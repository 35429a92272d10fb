from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from math import inf, nan

import numpy as np
import pytest

from tests.answers.test_season import real
from vanclimate.answers.coast import part as coast_part
from vanclimate.answers.coast.answer import Coast, coast
from vanclimate.answers.coast.cut import HOUR, MINUTE, Held, recut
from vanclimate.answers.coast.part import held_of, way_of
from vanclimate.answers.coast.read import read_cases
from vanclimate.answers.coast.runs import (
    COLD_LIMITS,
    HEAT_LIMITS,
    Case,
    Job,
    Limit,
    cases_of,
    crossing,
    cut_moments,
    rise_rate,
    run_job,
    sunny_hours,
)
from vanclimate.answers.coast.tank import Tank, ice_times, tank_of
from vanclimate.answers.scene import Scene, set_scene
from vanclimate.answers.season import record_for, season_of
from vanclimate.cache import data_path
from vanclimate.physics.freezing import FUSION, WATER_HEAT
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import Run, execute
from vanclimate.site.record import record_of
from vanclimate.van.place import read_stay
from vanclimate.van.reading import load, loads_text
from vanclimate.van.sheet import Sheet

AIR = [i for i, limit in enumerate(HEAT_LIMITS) if limit.kind == "air"]


def sheet_of(name: str, stay: str) -> Sheet:
    return load(data_path("scenarios", name)).for_stay(read_stay(stay))


@pytest.fixture(scope="module", autouse=True)
def few_vans() -> Iterator[None]:
    """Draw eight vans, each once at least, in place of thirty-two."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(coast_part, "VANS", 8)
        patch.setattr(coast_part, "RUNS", {"heat": 8, "cold": 8})
        yield


@pytest.fixture(scope="module")
def hot() -> Coast:
    return coast(sheet_of("holds.yaml", "14 July to 16 July"))


@pytest.fixture(scope="module")
def cold() -> Coast:
    return coast(sheet_of("winter-work-van.yaml", "10 January to 13 January"))


def scene_of(sheet: Sheet) -> Scene:
    spell = season_of(sheet, record_for(sheet)).spells[0]
    return set_scene(sheet, spell.weather(), 180.0)


def job_of(kind: str, scene: Scene, minute: int) -> Job:
    nights = season_of(scene.sheet, record_for(scene.sheet)).spells[0].nights[:1]
    cuts = tuple(cut_moments(nights, minute, kind == "cold"))
    return Job(scene, 0, minute, cuts, way_of(kind, scene.sheet), held_of(kind, scene.sheet))


def case_of(kind: str, scene: Scene, minute: int) -> tuple[Run, Case]:
    job = job_of(kind, scene, minute)
    run = run_job(job)
    limits = HEAT_LIMITS if kind == "heat" else COLD_LIMITS
    return run, cases_of(job, 0, run, limits)[0]


def test_heat_and_cold_are_asked_where_they_fit(hot, cold):
    assert (hot.leads, hot.heat is not None, hot.cold) == ("heat", True, None)
    assert (cold.leads, cold.heat, cold.cold is not None) == ("cold", None, True)


def test_the_headline_is_the_adults_time_to_danger(hot, cold):
    for answer in (hot, cold):
        headline = answer.figures[0]
        assert headline.value == answer.first.adults_danger_s
        assert (headline.kind, headline.better) == ("duration", 1)
    steps = [hot.first.reach("air", 40.0).early_s, hot.first.reach("heat index", (103 - 32) / 1.8)]
    # of each cut the sooner of both, so no later than either alone
    assert hot.first.adults_danger_s <= min(steps[0], steps[1].early_s)
    assert cold.first.adults_danger_s == cold.first.reach("air", 10.0).early_s


def test_one_in_twenty_is_faster_than_half_and_each_limit_later_than_the_last(hot, cold):
    for part in (hot.first, cold.first):
        assert all(x.early_s <= x.median_s for x in part.adults)
        for kind in ("air", "heat index"):
            early = [x.early_s for x in part.adults if x.limit.kind == kind]
            assert early == sorted(early)
    ice = {x.limit.kind: x.early_s for x in cold.first.adults}
    assert cold.first.reach("air", 5.0).early_s < ice["first ice"] < ice["half ice"]


def test_whoever_cannot_leave_gets_a_rate_and_no_time(hot, cold):
    alone = hot.first.alone
    assert alone.advice == "do not rely on it"
    assert 0.05 < alone.first_rise_k_min < 3.0
    assert not any("alone" in f.name or "child" in f.name for f in hot.figures)
    assert cold.first.alone is None


def test_the_first_caution_is_about_whoever_cannot_leave(hot, cold):
    for answer in (hot, cold):
        assert "Never leave a child, an animal" in answer.cautions[0]
        assert "not a permission" in answer.cautions[1]


def test_books_close(hot, cold):
    for answer in (hot, cold):
        assert all(abs(book.ratio) < 1e-9 for book in answer.first.balances)


def test_the_trace_is_of_the_case(hot):
    frame, part = hot.trace, hot.first
    after = frame[frame.index >= part.moment]
    assert after.index[0] == part.moment
    assert (after["ac_on_share"] == 0.0).all()
    assert frame[frame.index < part.moment]["ac_on_share"].max() > 0.0
    danger = (after["heat_index_c"] >= (103 - 32) / 1.8) | (after["cabin_temp_c"] >= 40.0)
    first = danger.idxmax() + timedelta(seconds=float(after["step_s"][danger.idxmax()]))
    assert (first - part.moment).total_seconds() == pytest.approx(part.adults_danger_s, abs=300.0)


def test_shade_is_left_out_and_said(hot):
    sheet = sheet_of("holds.yaml", "14 July to 16 July").with_value("shade.beam_transmission", 0.1)
    shaded = coast(sheet)
    assert shaded.shaded
    assert not hot.shaded
    assert shaded.first.adults_danger_s == pytest.approx(hot.first.adults_danger_s)


def test_a_van_without_a_unit_is_shut_up_as_it_stands():
    sheet = sheet_of("holds.yaml", "14 July to 16 July").with_value("air_conditioner", None)
    answer = coast(sheet)
    assert (answer.leads, answer.first.held.kind) == ("heat", "free")
    assert answer.first.start_c > 24.0


def test_a_moment_given_is_the_only_one(hot):
    answer = coast(sheet_of("holds.yaml", "14 July to 16 July"), at=15 * 60 + 20)
    assert answer.first.hours == (920,)
    assert (answer.first.moment.hour, answer.first.moment.minute) == (15, 20)
    assert answer.first.adults_danger_s != hot.first.adults_danger_s


def test_every_year_of_real_data_is_cut_in():
    answer = coast(sheet_of("holds.yaml", "14 July to 16 July"), record_of(real()))
    assert answer.season.years == (2015, 2016, 2017)
    # three years and four hours take turns over at least as many runs, two days each
    assert answer.first.cuts == 12 * 2
    assert answer.weather.start.year in answer.season.years


def test_a_made_up_cold_day_freezes_the_sheets_own_tank():
    text = data_path("scenarios", "winter-work-van.yaml").read_text(encoding="utf-8")
    day = "low: -25 C, high: -15 C, latitude: 45, longitude: -112, date: 2025-01-15, humidity: 40 %"
    site = f"site:\n  design day: {{{day}}}\nwater: 20 L"
    answer = coast(loads_text(text.replace("site: greensboro\nmonth: January", site)))
    assert answer.tank == Tank(0.020, assumed=False)
    first, half = answer.first.adults[2:]
    assert (first.share, half.share) == (1.0, 1.0)
    assert HOUR < first.early_s < half.early_s < 72 * HOUR
    # a usual tank takes longer
    usual = coast(loads_text(text.replace("site: greensboro\nmonth: January", site[:-11])))
    assert usual.tank.assumed
    assert usual.first.adults[2].early_s > first.early_s


def test_the_same_seed_gives_the_same_answer(hot):
    again = coast(sheet_of("holds.yaml", "14 July to 16 July"))
    assert again.figures == hot.figures


# One run.


def test_the_plant_stops_and_nothing_blows():
    sheet = sheet_of("holds.yaml", "14 July to 16 July")
    run, case = case_of("heat", scene_of(sheet), 13 * 60)
    cut = (job_of("heat", scene_of(sheet), 780).cuts[0] - run.start).total_seconds()
    after = run.seconds[:-1] >= cut - 1e-3
    after &= run.seconds[1:] <= cut + 6 * HOUR
    assert run.column("ac_power_w")[after].max() == 0.0
    assert run.column("fans_w")[after].max() == 0.0
    assert run.column("plant_w")[after].max() == 0.0
    unit = sheet.air_conditioner
    hour = (run.seconds[:-1] > cut - HOUR) & (run.seconds[1:] <= cut + 1e-3)
    assert run.column("cabin_temp_mean_c")[hour].mean() == pytest.approx(unit.setpoint, abs=1.5)
    # where the unit would just start again
    assert case.start_c == pytest.approx(unit.setpoint + 0.5 * unit.differential, abs=0.05)


def test_edges_that_change_nothing_change_nothing():
    sheet = sheet_of("holds.yaml", "14 July to 16 July")
    scene = scene_of(sheet)
    night = season_of(sheet, record_for(sheet)).spells[0].nights[0]
    start, end = night - timedelta(hours=12), night
    plan = make_plan(sheet, scene.model, scene.place, "fans", start, end, (), 0.0)
    cabin = cabin_of(sheet, scene.model, plan.outside.pressure)
    cut = recut(plan, np.arange(0.0, 12 * HOUR, 300.0))
    one, other = (execute(scene.model, p, cabin, scene.gear) for p in (plan, cut))
    # the same rows, though they are segments now: the forecast of the films starts anew in none
    assert len(one.rows) == len(other.rows)
    assert other.column("cabin_temp_c") == pytest.approx(one.column("cabin_temp_c"), abs=0.02)


@pytest.mark.parametrize("minute", [660, 900])
def test_more_sun_never_lengthens_the_coast_of_the_ac(minute):
    base = scene_of(sheet_of("fails-on-heat.yaml", "14 July to 16 July"))
    last = None
    for share in (0.0, 0.4, 0.7, 1.0):
        weather = base.place.weather
        sun = {name: share * getattr(weather, name) for name in ("ghi", "dni", "dhi")}
        lit = set_scene(base.sheet, replace(weather, digest=f"{share}", **sun), 180.0)
        times = np.array(case_of("heat", lit, minute)[1].times)[AIR]
        assert last is None or (times <= last + 1.0).all(), share
        last = times
    assert np.isfinite(last).any()


def test_more_insulation_never_shortens_the_coast_of_the_heater():
    last = None
    for inches in ("1/2", "1", "2", "4"):
        times = np.array(case_of("cold", scene_of(insulated(inches)), 210)[1].times[:2])
        assert last is None or (times >= last - 1.0).all(), inches
        last = times
    assert np.isfinite(last[0])


def insulated(inches: str) -> Sheet:
    """Return the winter van with so much foam in roof and walls."""
    foam = f"XPS {inches} in"
    text = data_path("scenarios", "winter-work-van.yaml").read_text(encoding="utf-8")
    text = text.replace("XPS 1-1/2 in", foam).replace("R-7 sheep wool", foam)
    return loads_text(text, "test").for_stay(read_stay("10 January to 13 January"))


# What is read off it.


def test_a_crossing_is_located_between_rows():
    seconds, air = np.array([0.0, 60.0, 120.0]), np.array([20.0, 26.0, 29.0])
    assert crossing(seconds, air, 23.0, True) == pytest.approx(30.0)
    assert crossing(seconds, air, 20.0, True) == 0.0
    assert crossing(seconds, air, 29.5, True) == inf
    assert crossing(seconds, -air, -27.5, False) == pytest.approx(90.0)


def test_the_rate_is_of_the_first_ten_degrees_and_of_half_an_hour_at_most():
    seconds = np.arange(0.0, 7200.0, 60.0)
    assert rise_rate(seconds, 20.0 + seconds / 60.0) * 60.0 == pytest.approx(1.0)
    slow = 20.0 + 8.0 * (1.0 - np.exp(-seconds / 1800.0))
    assert rise_rate(seconds, slow) == pytest.approx(8.0 * (1.0 - np.exp(-1.0)) / 1800.0)


def test_moments_are_one_a_night_before_or_after_bedtime():
    sheet = sheet_of("holds.yaml", "14 July to 16 July")
    (first, second) = season_of(sheet, record_for(sheet)).spells[0].nights
    for found in cut_moments([first, second], 780, after=False):
        assert found.hour == 13
    assert [m.day for m in cut_moments([first, second], 780, after=False)] == [14, 15]
    assert [m.day for m in cut_moments([first, second], 210, after=True)] == [15, 16]
    assert cut_moments([first], 22 * 60 + 30, after=True) == [first]


def test_the_hours_of_full_sun_lie_round_noon():
    sheet = sheet_of("holds.yaml", "14 July to 16 July")
    spell = season_of(sheet, record_for(sheet)).spells[0]
    hours = sunny_hours([spell.weather()], spell.nights, 4)
    assert len(hours) == 4
    assert 7 * 60 <= hours[0] < 12 * 60 < hours[-1] <= 17 * 60


def test_the_time_told_is_that_which_one_in_twenty_is_faster_than(hot):
    # a hundred made-up cuts at two hours, the cold's: 1, 2, … 50 min at the one, twice that later
    minutes = np.arange(1.0, 51.0)
    scene = scene_of(sheet_of("winter-work-van.yaml", "10 January to 13 January"))
    job = job_of("cold", scene, 0)
    jobs = [replace(job, hour=60 * h, cuts=job.cuts * 50) for h in (0, 1)]
    cases = [
        Case(j, i, 20.0, 18.0, -5.0, 72 * HOUR, 0.0, (MINUTE * (1 + j) * m, inf, inf, inf))
        for j in range(2)
        for i, m in enumerate(minutes)
    ]
    found = read_cases("cold", jobs, cases, COLD_LIMITS, [0, 60])
    told = found.adults[0]
    # of fifty the third: two, so one in twenty-five, are faster, and the fourth would be too many
    assert (told.early_s, told.hour) == (3 * MINUTE, 0)
    assert told.median_s == 25 * MINUTE
    assert found.adults[1].early_s == inf
    assert found.adults[1].share == 0.0


# The tank.


def test_a_tank_in_steady_cold_freezes_as_the_hand_says():
    tank = Tank(0.060, assumed=False)
    air = np.full((1, 400), -8.0)
    first, half = (float(x[0]) for x in ice_times(tank, np.array([12.0]), air, 1800.0))
    # exponential cooling to 0 °C, then Q = m L / (UA ΔT)
    assert first == pytest.approx(WATER_HEAT / tank.exchange * np.log(20.0 / 8.0), rel=1e-2)
    assert half - first == pytest.approx(0.5 * FUSION / (tank.exchange * 8.0), rel=1e-3)


def test_a_tank_knows_no_ice_where_the_air_is_not_known():
    air = np.full((2, 100), -8.0)
    air[0] = nan
    first, half = ice_times(Tank(0.060, assumed=False), np.array([0.5, 0.5]), air, 300.0)
    assert first[0] == inf
    assert np.isfinite(first[1])
    assert (half == inf).all()


def test_a_larger_tank_takes_longer_and_the_sheets_comes_first():
    sheet = load(data_path("scenarios", "holds.yaml"), ["water=80 L"])
    assert tank_of(None).assumed
    small, large = Tank(0.02, assumed=False), Tank(0.1, assumed=False)
    assert small.exchange > large.exchange
    assert sheet.water is not None
    assert tank_of(sheet.water).volume_m3 == pytest.approx(0.080)


def test_limits_are_named_once():
    assert len({(x.kind, x.temp_c) for x in HEAT_LIMITS}) == len(HEAT_LIMITS)
    assert Limit("air", 10.0) in COLD_LIMITS


def test_a_held_van_says_how(hot, cold):
    assert isinstance(hot.first.held, Held)
    assert hot.first.held.breathes is False
    assert cold.first.held.breathes is True
    assert cold.first.start_c == pytest.approx(22.2, abs=2.5)
