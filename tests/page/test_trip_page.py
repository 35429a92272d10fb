"""The page of a trip: what runs out where, in the picture's data, in words and in figures."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import numpy as np
import pytest

from tests.answers.test_trip import SHORT, dry
from tests.answers.trips import taken
from tests.page.made import read_page
from vanclimate.page import ink
from vanclimate.page import trip as trip_page
from vanclimate.page.make import page_of
from vanclimate.page.stops import BINS, Leg, Level, Stops, Track, draw_stops
from vanclimate.report import trip_words


def hand_made(count: int) -> Stops:
    """Return a trip of a number of days at places with long names; no figure here is a check."""
    edges = np.linspace(0.0, 24.0, 97)
    wave = 10.0 + 8.0 * np.sin(edges[1:] / 4.0)
    tracks = tuple(Track(edges + 24.0 * i, wave) for i in range(count))
    legs = tuple(
        Leg(i + 1, 24.0 * i, 24.0 * i + 3.0, 24.0 * (i + 1), ("name " * 24, "9 h", "80 %"), "x")
        for i in range(count)
    )  # fmt: skip
    levels = (Level("bank", tracks, 30.0, "bank", kept=6.0), Level("fuel", tracks, 20.0, "device"))
    unfit, out = ((5.0, "too cold"),), ((30.0, "fuel out"), (31.0, "water out"))
    return Stops(datetime(2025, 1, 6, 16), legs, tracks, tracks, (16.0, 26.0), "wanted", levels,
                 unfit, out if count > 1 else ())  # fmt: skip


@pytest.mark.parametrize("width", [700.0, 340.0])
@pytest.mark.parametrize("count", [1, 3, 20, 60])
def test_a_trip_of_any_length_is_drawn_in_its_width(count, width):
    with ink.looks():
        svg = ink.svg(draw_stops(hand_made(count), width), "stops", "Some stops.")
    assert "nan" not in svg
    assert "bank" in svg
    assert "too cold" in svg
    assert len(svg) < 300_000
    assert ("fuel out" in svg) == (count > 1)


def test_spans_keep_lows_and_highs():
    values = np.sin(np.arange(5000.0))
    track = Track(np.arange(5001.0), values)
    at, low = track.spans(5000.0, np.minimum.reduceat)
    _, high = track.spans(5000.0, np.maximum.reduceat)
    assert len(at) == BINS
    assert (low.min(), high.max()) == (values.min(), values.max())
    _, means = track.means(5000.0)
    assert ((low <= means) & (means <= high)).all()


@pytest.mark.parametrize("system", ["us", "si"])
def test_a_trip_that_runs_dry_says_no_where_and_how_much(system):
    found = dry()
    read = read_page(page_of(found, system), system)
    assert read.texts["word"] == ["No"]
    assert read.texts["line"] == [trip_words.verdict(found, system)]
    told = trip_words.lack_words(found, system)
    assert any("of fuel are lacking" in text for text in told)
    for text in (*told, *trip_words.help_words(found, system)):
        assert f"{text[0].upper()}{text[1:]}." in read.texts["li"]
    assert all(caution in read.texts["li"] for caution in found.cautions)
    marked = [name for _, name in trip_page._stops(found).dry]
    assert "fuel out" in marked


def test_the_picture_is_of_the_answer_s_own_figures():
    found = taken(*SHORT, changes=("people.sleepers=1",))
    shown = trip_page._stops(found)
    assert [leg.number for leg in shown.legs] == [h.index + 1 for h in found.halts]
    assert shown.length == pytest.approx(
        (found.halts[-1].ends - found.halts[0].begins).total_seconds() / 3600.0
    )
    bank, fuel, water = shown.levels
    low = min(track.values.min() for track in bank.tracks)
    assert low == pytest.approx(found.charge_least_ah)
    assert fuel.tracks[-1].values[-1] == pytest.approx(found.results[-1].fuel_left_l)
    assert water.tracks[-1].values[-1] == pytest.approx(found.results[-1].water_left_l)
    first = found.results[0]
    assert water.tracks[0].values[0] == pytest.approx(
        first.water_left_l + first.water_used_l, rel=0.02
    )
    assert read_page(page_of(found, "si"), "si").texts["word"] == ["Yes"]


def test_what_lacks_adds_up():
    found = dry()
    assert found.fuel_lacks_l > 0.0
    low = taken(*SHORT, changes=("battery.capacity=60 Ah",))
    kept = low.stages[0].scene.gear.kept
    assert low.charge_short_ah == pytest.approx(kept - low.charge_least_ah)
    assert f"the bank falls up to {low.charge_short_ah:.1f} Ah below" in " ".join(
        trip_words.lack_words(low, "si")
    )
    full = replace(low, results=tuple(replace(r, shortfalls=()) for r in low.results))
    assert trip_words.lack_words(full, "si") == trip_words.help_words(full, "si") == []
