"""A season's futures: which stays they are, and what keeps two of them apart."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.electric_vans import day, van
from vanclimate.answers.futures.worlds import MOST_DAYS, Worlds, units_of, worlds_of
from vanclimate.answers.season import record_for, season_of
from vanclimate.errors import OptionError
from vanclimate.van import load
from vanclimate.van.unknowns import OTHERS, draws

SCENARIOS = Path(__file__).parents[2] / "scenarios"
ZONE = timezone(timedelta(hours=-5))
JULY = [datetime(2025, 7, 1, 22, 30, tzinfo=ZONE) + timedelta(days=i) for i in range(31)]
SIZES = {"length": "3.6 m", "width": "1.78 m", "height": "1.88 m"}
KEY = """
from tests.answers.test_worlds import worlds
print(worlds(body={"length": "3.6 m", "width": "1.78 m", "height": "1.88 m"}).key)
"""


def worlds(count: int = 20, seed: int = 20, **sections: Any) -> Worlds:
    sheet = van(day(18.0, 28.0, "07-10"), loads=[{"name": "lamp", "power": "20 W"}],
                inverter=None, **sections)  # fmt: skip
    season = season_of(sheet, record_for(sheet), timedelta(days=3))
    return worlds_of(sheet, season, 2, count, seed)


@pytest.mark.parametrize("days", [1, 2, 3, 7, 40])
@pytest.mark.parametrize("count", [1, 10, 47, 200])
def test_there_are_as_many_futures_as_asked_and_no_stays_of_a_van_overlap(days, count):
    units = units_of([JULY], days, count, 20)
    assert sum(len(unit.nights) for unit in units) == count
    assert [unit.draw for unit in units] == list(range(len(units)))
    for unit in units:
        gaps = np.diff([night.timestamp() for night in unit.nights]) / 86400.0
        assert (gaps == days).all()


def test_every_evening_begins_some_stay_and_spells_are_met_alike():
    second = [night.replace(year=2026) for night in JULY]
    units = units_of([JULY, second], 3, 400, 20)
    met = np.bincount([unit.spell for unit in units])
    assert max(met) - min(met) <= 1
    for spell, nights in enumerate((JULY, second)):
        begun = [night for unit in units if unit.spell == spell for night in unit.nights]
        assert set(begun) == set(nights)
        counts = [begun.count(night) for night in nights]
        assert max(counts) < 3 * min(counts)  # about a third of the vans each


@pytest.mark.parametrize("years", [2, 3, 4, 8])
def test_each_year_meets_all_vans_and_all_evenings(years):
    # drawn apart, the mean of some uniform numbers has a standard deviation of 1 / sqrt(12 n)
    units = units_of([JULY] * years, 3, 1000, 20)
    shares = draws(len(units), 20)[:, OTHERS:]
    for spell in range(years):
        mine = [unit for unit in units if unit.spell == spell]
        means = shares[[unit.draw for unit in mine]].mean(axis=0)
        assert abs(means - 0.5).max() < 2.5 / np.sqrt(12.0 * len(mine))
        assert {unit.nights[0] for unit in mine} == set(JULY[:3])


def test_more_futures_begin_with_the_same_ones():
    few, many = units_of([JULY], 3, 100, 20), units_of([JULY], 3, 300, 20)
    assert many[: len(few) - 1] == few[:-1]
    assert units_of([JULY], 3, 100, 21) != few


@pytest.mark.parametrize(
    ("days", "count", "option"), [(0, 10, "days"), (MOST_DAYS + 1, 10, "days"), (3, 0, "futures")]
)
def test_no_days_or_no_futures_are_refused(days, count, option):
    with pytest.raises(OptionError) as caught:
        units_of([JULY], days, count, 20)
    assert option in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_given_value_is_kept_apart_from_the_same_one_guessed():
    """What is measured is drawn closer, so its futures are others though the values are alike."""
    guessed, given = worlds(), worlds(body=SIZES | {"colour": "white", "leakage": "ordinary"})
    assert repr(guessed.sheet) == repr(given.sheet)
    assert guessed.key != given.key
    assert guessed.key == worlds().key


def test_what_else_the_futures_hang_on_is_in_their_key():
    keys = [worlds().key, worlds(21).key, worlds(seed=21).key, worlds(people={"sleepers": 1}).key,
            worlds(heading="90 deg").key]  # fmt: skip
    assert len(set(keys)) == len(keys)


def test_the_key_is_the_same_in_another_process():
    environ = os.environ | {"PYTHONPATH": str(SCENARIOS.parent), "PYTHONHASHSEED": "12345"}
    said = subprocess.check_output([sys.executable, "-c", KEY], env=environ, text=True)
    assert said.strip() == str(worlds(body=SIZES).key)


def test_another_sheet_meets_the_same_futures():
    mine = worlds()
    other = mine.changed(mine.sheet.with_value("battery.capacity", 300.0))
    assert other.units == mine.units
    for one, two in ((mine.van(i), other.van(i)) for i in range(len(mine.shares))):
        assert two.battery.capacity == 300.0
        assert repr(two.with_value("battery.capacity", 200.0)) == repr(one)


def test_stays_of_the_month_alone_have_weather_of_their_own():
    sheet = load(SCENARIOS / "winter-work-van.yaml").with_value("heading", 180.0)
    season = season_of(sheet, record_for(sheet), timedelta(days=4))
    assert worlds_of(sheet, season, 3, 200, 20).independent == 31 // 3
    assert worlds_of(sheet, season, 3, 20, 20).independent == 2  # vans
