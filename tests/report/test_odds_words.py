"""Odds in words: they never claim more than the binomial interval holds."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.answers.futures.odds import odds_of
from vanclimate.report.odds_words import in_ten

ROUNDING = 1e-9


def claimed(words: str) -> tuple[float, float]:
    """Return the shares that a sentence is true of: 'about 9' of all that round to 8, 9 or 10."""
    fixed = {"nearly all nights": (0.95, 1.0), "hardly any nights": (0.0, 0.05)}
    if words in fixed:
        return fixed[words]
    words = words.replace("1 in 10 nights", "1 nights in 10")
    found = re.fullmatch(r"(.*?) ?(\d+)(?: to (\d+))? nights in 10", words)
    assert found is not None, words
    first = int(found[2]) / 10.0
    return {
        "about": (first - 0.15, first + 0.15), "at least": (first, 1.0), "more than": (first, 1.0),
        "at most": (0.0, first), "less than": (0.0, first),
        "": (first, int(found[3] or 0) / 10.0),
    }[found[1]]  # fmt: skip


@settings(deadline=None)
@given(st.data())
def test_the_words_hold_at_both_ends_of_the_interval(data):
    of = data.draw(st.integers(1, 1200))
    held = data.draw(st.one_of(st.integers(0, of), st.sampled_from([0, of])))
    odds = odds_of(held, of, data.draw(st.integers(1, of)))
    low, high = claimed(in_ten(odds, "nights"))
    for true in (odds.low, odds.share, odds.high):
        assert low - ROUNDING <= true <= high + ROUNDING, (odds, in_ten(odds, "nights"))


@pytest.mark.parametrize("of", [1, 2, 3, 5, 10, 15, 20, 31, 40, 64, 100])
def test_they_hold_for_every_count_of_ordinary_samples(of):
    for held in range(of + 1):
        odds = odds_of(held, of, of)
        low, high = claimed(in_ten(odds, "nights"))
        assert low - ROUNDING <= odds.low
        assert odds.high <= high + ROUNDING


@pytest.mark.parametrize(
    ("held", "of", "independent", "words"),
    [
        (27, 31, 31, "about 9 nights in 10"),
        (88, 100, 100, "about 9 nights in 10"),
        (38, 40, 40, "8 to 10 nights in 10"),  # an eighth of them may fail
        (990, 1000, 1000, "more than 9 nights in 10"),
        (4, 1000, 1000, "less than 1 in 10 nights"),
        (64, 64, 64, "nearly all nights"),
        (0, 64, 64, "hardly any nights"),
        (40, 40, 1, "at least 1 in 10 nights"),  # one try tells next to nothing
        (0, 40, 1, "at most 9 nights in 10"),
        (20, 40, 1, "0 to 10 nights in 10"),
    ],
)
def test_words_of_some_odds(held, of, independent, words):
    assert in_ten(odds_of(held, of, independent), "nights") == words
