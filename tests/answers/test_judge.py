"""What 'holds' means: the rules, on the demo's van with one thing changed at a time."""

from __future__ import annotations

import itertools
from datetime import datetime, timedelta, timezone
from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest

from tests.invented import weather_of
from vanclimate.answers.judge import WayResult, early_minutes, felt_temperature, judge
from vanclimate.answers.scene import night_of, run_way, set_scene
from vanclimate.cache import data_path
from vanclimate.errors import SheetError
from vanclimate.van import load

BEDTIME = datetime(2025, 7, 13, 22, 30, tzinfo=timezone(timedelta(hours=-5)))


@cache
def result(changes: tuple[tuple[str, str], ...] = (), way: str = "ac") -> WayResult:
    sheet = load(data_path("scenarios", "holds.yaml"))
    for path, value in changes:
        sheet = sheet.with_value(path, value)
    scene = set_scene(sheet, weather_of(sheet), 270.0)
    return judge(run_way(scene, way, BEDTIME), sheet, way, BEDTIME)


def with_value(path: str, value: str, way: str = "ac") -> WayResult:
    return result(((path, value),), way)


def test_an_earlier_start_never_takes_room_away():
    room = [
        with_value("air_conditioner.starts", t).margin_degrees
        for t in ("22:30", "22:00", "21:30", "21:00", "20:45", "20:30", "20:00", "19:00")
    ]
    # a cycle's phase may cost a little, never more than a third of a kelvin
    assert all(later > earlier - 0.33 for earlier, later in itertools.pairwise(room))
    assert room[-1] > room[0] + 1


@pytest.mark.parametrize(
    ("path", "values"),
    [
        ("air_conditioner.fit_factor", ("60 %", "80 %", "100 %")),
        # less to cool; furniture thicker than a day's heat reaches keeps a core that helps
        ("body.furnishing", ("300 kg", "200 kg", "100 kg")),
        ("body.colour", ("black", "grey", "white")),
    ],
)
def test_what_helps_never_takes_room_away(path, values):
    room = [with_value(path, v).margin_degrees for v in values]
    assert all(later > earlier - 0.33 for earlier, later in itertools.pairwise(room))
    assert room[-1] > room[0]


def test_a_night_without_fresh_air_is_unfit_whatever_its_temperature():
    stale = with_value("fresh_air", "0 L/s")
    assert not stale.fit_to_sleep
    assert not stale.holds
    assert stale.co2_at_waking_ppm > 2000
    fresh = result()
    assert fresh.fit_to_sleep
    assert fresh.co2_at_waking_ppm < 1200


def test_without_roof_fans_the_fresh_air_fan_runs():
    still = with_value("fans.count", "0", "fans")
    assert still.fit_to_sleep
    assert still.co2_at_waking_ppm < 1200


def test_closed_up_is_never_fit():
    assert not result(way="closed").fit_to_sleep
    assert not result(way="closed").holds


def test_too_small_a_bank_fails_on_charge_before_waking():
    small = with_value("battery.capacity", "150 Ah")
    assert small.failure is not None
    assert small.failure.kind == "charge"
    assert BEDTIME < small.failure.at < BEDTIME + timedelta(hours=8.5)


def test_too_low_a_limit_fails_on_heat_from_bedtime():
    cold = with_value("people.limit", "66 F")
    assert cold.failure is not None
    assert cold.failure.kind == "heat"
    assert cold.failure.at == BEDTIME
    assert cold.margin_degrees < 0
    assert cold.pull_down_minutes is None


def test_the_margin_is_what_stays_above_reserve_and_morning():
    less = with_value("battery.reserve", "20 %")
    assert result().margin_charge - less.margin_charge == pytest.approx(0.10, abs=1e-9)


def test_the_unlimited_night_is_the_limited_one_where_it_holds():
    sheet = load(data_path("scenarios", "holds.yaml"))
    scene = set_scene(sheet, weather_of(sheet), 270.0)
    assert night_of(scene, "ac", BEDTIME) == result()


@pytest.mark.parametrize(("starts", "minutes"), [("22:30", 0), ("21:30", 60), ("23:30", 0)])
def test_minutes_before_bedtime(starts, minutes):
    sheet = load(data_path("scenarios", "holds.yaml"))
    assert early_minutes(sheet.with_value("air_conditioner.starts", starts)) == minutes


@pytest.mark.parametrize("starts", ["08:00", "12:00", "05:00"])
def test_a_unit_that_starts_by_day_is_refused(starts):
    with pytest.raises(SheetError, match="by day"):
        with_value("air_conditioner.starts", starts)


def test_a_bank_that_cannot_pass_the_draw_is_refused():
    with pytest.raises(SheetError, match="passes"):
        with_value("battery.resistance", "60 mohm")


@pytest.mark.parametrize(("temp", "felt"), [(5.0, 5.0), (22.0, 22.0), (24.0, 23.0)])
def test_nobody_is_chilled_by_a_bed_fan(temp, felt):
    rows = {"cabin_temp_mean_c": temp, "radiant_temp_c": temp, "cabin_humidity_kg_kg": 0.004}
    run = SimpleNamespace(
        column=lambda name: np.full(4, rows[name]),
        plan=SimpleNamespace(outside=SimpleNamespace(pressure=101325.0)),
        width=np.full(4, 900.0),
        seconds=900.0 * np.arange(5),
    )
    sheet = load(data_path("scenarios", "holds.yaml"))
    assert felt_temperature(run, sheet, "fans") == pytest.approx(np.full(4, felt))  # type: ignore[arg-type]
    assert felt_temperature(run, sheet, "ac") == pytest.approx(np.full(4, temp))  # type: ignore[arg-type]
