"""When covers are closed, and which planes a place has to light."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from vanclimate.simulate.place import planes_of
from vanclimate.simulate.segments import cut_times
from vanclimate.simulate.times import at_times
from vanclimate.van.reading import loads_text

TEXT = """
site: miami
body: {length: 3 m, width: 2 m, height: 2 m}
stacks: {roof: [steel 1 mm], walls: [steel 1 mm], floor: [plywood 12 mm]}
windows:
  - {name: screen, side: front, area: 1 m2, glass: laminated, slope: 40 deg}
  - name: pane
    side: left
    area: 1 m2
    cover: blind
    covered: 20:10 to 08:20, 12:40 to 14:00
"""
HOURS = np.arange(24.0)
MINUTE = 60 * HOURS + 30
NIGHT = (HOURS >= 23) | (HOURS < 7)


@pytest.mark.parametrize(
    ("when", "hours"),
    [
        ("never", set()),
        ("always", set(range(24))),
        ("night", {23, *range(7)}),
        ("day", set(range(7, 23))),
        (((1200, 480),), {20, 21, 22, 23, *range(8)}),
        (((1200, 480), (720, 780)), {20, 21, 22, 23, *range(8), 12}),
    ],
)
def test_a_cover_is_at_times_its_word_or_its_clock_says(when, hours):
    closed = at_times(when, MINUTE, NIGHT)
    assert set(np.flatnonzero(closed)) == hours


def test_the_times_of_a_cover_cut_the_plan():
    start = datetime(2025, 7, 1, tzinfo=UTC)
    edges = cut_times(loads_text(TEXT), start, start, start + timedelta(days=1))
    for minute in (20 * 60 + 10, 8 * 60 + 20, 12 * 60 + 40, 14 * 60):
        assert 60.0 * minute in edges


def test_a_leaning_window_has_a_plane_of_its_own():
    planes = planes_of(loads_text(TEXT))
    assert planes["front 40"] == (0.0, 40.0)
    assert planes["left"] == (270.0, 90.0)
    assert len(planes) == 5
