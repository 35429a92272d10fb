"""Futures as dots: as many fail as do, and none lies on another or beyond 0 from where it is."""

from __future__ import annotations

import numpy as np
import pytest

from tests.page.words_of import outside, overlaps
from vanclimate.page import dots, ink, last

WIDTHS = (700.0, 340.0)
SPREADS = {
    "wide": np.random.default_rng(1).normal(0.1, 0.3, 1000),
    "all too little": np.full(300, -1.0),
    "near": np.random.default_rng(2).normal(-0.55, 0.01, 1000),
    "all hold": np.random.default_rng(3).uniform(0.2, 0.4, 64),
}


def shown(margins):
    share = float((margins >= 0.0).mean())
    return dots.Dots(margins, share, "1,000 stays tried", "fail", "last", last.AXIS)


@pytest.mark.parametrize("margins", SPREADS.values(), ids=list(SPREADS))
def test_as_many_dots_fail_as_futures_do(margins):
    where, fails = dots.places(shown(margins))
    assert len(where) == dots.COUNT
    assert abs(fails / dots.COUNT - (margins < 0.0).mean()) <= 0.5 / dots.COUNT
    assert np.all(where[:fails] < 0.0)
    assert np.all(where[fails:] >= 0.0)


def test_one_that_fails_of_many_is_seen():
    margins = np.append(np.full(999, 0.3), -0.2)
    assert dots.places(shown(margins))[1] == 1


@pytest.mark.parametrize("margins", SPREADS.values(), ids=list(SPREADS))
@pytest.mark.parametrize("width", WIDTHS)
def test_no_dot_lies_on_another_nor_across_zero(margins, width):
    where, fails = dots.places(shown(margins))
    room = width - 2 * dots.SIDE
    low, high, x, y = dots._piled(where, fails, room)
    across = (x - low) / (high - low) * room
    apart = np.hypot(across[:, None] - across, y[:, None] - y) + 1e9 * np.eye(dots.COUNT)
    assert apart.min() >= dots.SIZE - 1e-6
    assert np.all(x[:fails] < 0.0)
    assert np.all(x[fails:] > 0.0)
    assert y.min() > 0.0
    assert y.max() < dots.PILE
    assert across.min() >= 0.0
    assert across.max() <= room


@pytest.mark.parametrize("margins", SPREADS.values(), ids=list(SPREADS))
@pytest.mark.parametrize("width", WIDTHS)
def test_words_stand_clear(margins, width):
    with ink.looks():
        figure = ink.figure(width, dots.tall(), layout=None)
        dots.put_dots(figure, shown(margins), width, dots.tall())
    assert overlaps(figure) == []
    assert outside(figure) == []
