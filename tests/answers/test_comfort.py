"""Bedding and thresholds of nights as warm as wanted, and of one that is run."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.answers import comfort
from vanclimate.answers.night import night
from vanclimate.answers.thresholds import ANIMALS_WARMEST, WHO_LEAST
from vanclimate.cache import data_path
from vanclimate.physics.air import saturation_pressure
from vanclimate.physics.bedding import BEDS
from vanclimate.van import load, loads_text

BEDTIME = datetime(2019, 7, 1, 22, 30)


def air_with(*temps: float, humidity: float = 0.5) -> comfort.Air:
    """Return a night of 8 h at temperatures [°C] that follow one another for equal times."""
    rows = 96
    seconds = 300.0 * np.arange(rows)
    temp = np.asarray(temps, dtype=float)[np.arange(rows) * len(temps) // rows]
    return comfort.Air(
        tuple(BEDTIME + timedelta(seconds=s) for s in seconds), seconds, np.full(rows, 300.0),
        temp, temp, humidity * np.asarray(saturation_pressure(temp)), np.full(rows, humidity),
    )  # fmt: skip


def covered(*temps: float, speed: float = 0.8) -> tuple[str, bool]:
    found = comfort.asleep("ac", air_with(*temps), speed).cover
    return found.bed.name, found.fan


def test_the_warmer_the_night_the_less_lies_over_the_sleeper():
    names = [bed.name for bed in BEDS]
    beds = [names.index(covered(temp)[0]) for temp in np.arange(6.0, 34.0, 1.0)]
    assert beds == sorted(beds, reverse=True)
    assert (beds[0], beds[-1]) == (len(BEDS) - 1, 0)


@pytest.mark.parametrize(
    ("temp", "bed", "fan"),
    [
        # each bed's neutral temperature at 50 %, by the sleeper's equation (see tests/physics)
        (32.5, "no cover", True),
        (30.0, "no cover", False),
        (25.0, "a sheet and a blanket", False),
        (12.0, "a heavy duvet", False),
    ],
)
def test_bedding_by_temperature(temp, bed, fan):
    assert covered(temp) == (bed, fan)


def test_no_fan_is_advised_where_there_is_none_or_it_cools_nobody():
    assert covered(33.0, speed=0.0) == ("no cover", False)
    for temp in np.arange(5.0, 25.0):
        assert not covered(temp)[1]


def test_a_night_that_gets_cold_asks_for_more_before_waking():
    found = comfort.asleep("ac", air_with(27.0, 27.0, 24.0, 18.0), 0.8)
    assert found.last[0] < -comfort.UNEASY
    assert found.before_waking.bed.clo > found.cover.bed.clo
    assert abs(found.last[1]) < abs(found.last[0])
    assert found.coldest.pmv == found.waking.pmv < found.bedtime.pmv
    assert found.worst.dissatisfied >= found.bedtime.dissatisfied


def test_a_night_that_starts_warm_asks_for_less_at_first():
    found = comfort.asleep("ac", air_with(30.0, *[20.0] * 7), 0.8)
    assert found.first[0] > comfort.UNEASY
    assert found.at_first.bed.clo < found.cover.bed.clo


@given(st.lists(st.floats(-5.0, 40.0), min_size=1, max_size=8))
def test_no_other_cover_is_nearer_to_neutral(temps):
    air = air_with(*temps)
    found = comfort.asleep("fans", air, 0.8)

    def off(cover: comfort.Cover) -> float:
        return float(np.mean(comfort.votes(air, cover, 0.8) ** 2)) ** 0.5

    least = off(found.cover)
    assert all(least <= off(comfort.Cover(bed, False)) + 1e-9 for bed in BEDS)
    assert all(
        least <= off(comfort.Cover(bed, True)) + comfort.WORTH_A_FAN + 1e-9
        for bed in comfort.UNDER_A_FAN
    )
    assert found.coldest.pmv <= found.bedtime.pmv <= found.warmest.pmv


def test_a_short_night_is_read_too():
    air = air_with(24.0)
    short = replace(air, **{k: getattr(air, k)[:6] for k in comfort.Air.__dataclass_fields__})
    assert comfort.asleep("ac", short, 0.8).cover.bed.name == "a sheet and a blanket"


def test_clothes_of_who_is_awake():
    worn = [comfort.awake(air_with(temp)).clothes for temp in (12.0, 24.0, 28.0)]
    assert worn == ["winter clothes", "trousers and a jacket", "light clothes"]


def test_nights_that_leave_the_range_of_the_votes_are_known():
    # 10 to 30 °C of air, 10 to 40 °C of walls, up to 2700 Pa: ISO 7730, from memory
    assert comfort.out_of_range(air_with(20.0, 29.0)) == ()
    assert comfort.out_of_range(air_with(20.0, 9.0)) == ("temp_air", "temp_radiant")
    assert comfort.out_of_range(air_with(31.0)) == ("temp_air",)
    assert comfort.out_of_range(air_with(29.0, humidity=0.9)) == ("vapour",)


def test_the_longest_stretch_and_all_hours():
    where = np.array([True, False, True, True, False])
    hours = np.array([1.0, 1.0, 0.5, 0.75, 4.0])
    assert comfort.longest_stretch(where, hours) == 1.25
    assert comfort.longest_stretch(~where, hours) == 4.0
    assert comfort.longest_stretch(where & False, hours) == 0.0


@pytest.fixture(scope="module")
def demo():
    return night(load(data_path("scenarios", "holds.yaml")).with_value("heading", "S"))


def test_hours_beyond_are_those_of_the_trace(demo):
    run, found = demo.runs["ac"], demo.comfort.lived
    whole = run.between(run.seconds[-1] - 86400.0, run.seconds[-1])
    assert whole.width.sum() == pytest.approx(86400.0)
    warm = whole.column("cabin_temp_mean_c") > ANIMALS_WARMEST
    assert found.above.hours == pytest.approx(whole.width[warm].sum() / 3600.0)
    assert 0.0 < found.above.at_a_stretch <= found.above.hours + 1e-9


def test_a_van_shut_up_gets_hotter_than_one_that_is_lived_in_by_day(demo):
    assert demo.comfort.shut.above.hours > demo.comfort.lived.above.hours
    assert demo.comfort.day.index_c > demo.comfort.night.index_c
    assert demo.comfort.day.at < demo.bedtime
    assert demo.bedtime <= demo.comfort.night.at < demo.waking


def test_nobody_is_in_the_van_that_is_shut_up(demo):
    crowd = demo.sheet.with_value("people.sleepers", 4)
    lit = loads_text(
        data_path("scenarios", "holds.yaml")
        .read_text(encoding="utf-8")
        .replace("{name: lights, power: 15 W", "{name: lights, power: 900 W")
    ).with_value("heading", "S")
    for sheet in (crowd, lit):
        found = night(sheet)
        assert found.comfort.shut == demo.comfort.shut
        assert found.comfort.night != demo.comfort.night


def test_ways_unfit_to_sleep_in_get_no_bedding(demo):
    assert [found.way for found in demo.comfort.asleep] == ["ac", "fans"]


def test_a_cold_night_counts_its_hours_below_the_least_that_is_advised():
    text = data_path("scenarios", "holds.yaml").read_text(encoding="utf-8")
    cold = night(
        loads_text(text.replace("month: July", "month: January")).with_value("heading", "S")
    )
    trace = cold.trace
    below = trace["operative_temp_c"] < WHO_LEAST
    assert cold.comfort.hours_below_who == pytest.approx(
        float(trace["step_s"][below].sum()) / 3600.0, abs=0.1
    )
    assert cold.comfort.hours_below_who > 1.0
