"""Where fuel must be bought: what is said gets the van through, and a drop less does not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.answers.trip.purchases import LEAST, purchases

litres = st.floats(0.0, 30.0)
stops = st.lists(st.tuples(litres, st.booleans()), min_size=1, max_size=8)


def least_level(needs, filled, at_start, full, bought) -> float:
    """Return the least that is ever in the tank."""
    level, least = at_start, at_start
    for stop, need in enumerate(needs):
        level = full if filled[stop] else level
        level += sum(x.litres for x in bought if x.stop == stop and not x.while_there)
        assert level <= full + 1e-9
        level += sum(x.litres for x in bought if x.stop == stop and x.while_there)
        level -= need
        least = min(least, level)
        level = max(level, 0.0)
    return least


@given(stops, st.floats(1.0, 20.0), st.floats(0.0, 1.0))
def test_what_is_bought_gets_through(trip, full, share):
    needs, filled = [need for need, _ in trip], [fill for _, fill in trip]
    bought = purchases(needs, filled, share * full, full)
    assert least_level(needs, filled, share * full, full, bought) >= -LEAST - 1e-9
    if bought:  # without the first of them it does not
        assert least_level(needs, filled, share * full, full, ()) < 0.0


@pytest.mark.parametrize(
    ("needs", "filled", "expected"),
    [
        ([3.0, 3.0], [False, False], []),
        ([6.0, 6.0], [False, False], [(1, 2.0, False)]),
        ([6.0, 6.0], [False, True], []),
        ([12.0, 1.0], [False, False], [(0, 2.0, True), (1, 1.0, False)]),
    ],
)
def test_no_more_than_is_needed_and_as_late_as_can_be(needs, filled, expected):
    found = purchases(needs, filled, 10.0, 10.0)
    assert [(x.stop, pytest.approx(x.litres), x.while_there) for x in found] == expected
