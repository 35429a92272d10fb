"""A comparison's bars: both figures, and each difference that moves them, in both systems."""

from __future__ import annotations

from math import nan
from types import SimpleNamespace

import pytest

from tests.page.words_of import outside, overlaps
from vanclimate.answers.compare.answer import Comparison, Move, Pair
from vanclimate.page import compare, ink

MOVES = (
    Move("stacks", 4.0, 3.0),
    Move("air conditioner.setpoint as people set it at home", 0.5, -0.5),
    Move("month", 1.0, 0.0),
    Move("garage", nan, nan, "a 'garage:' section would describe one"),
    *(Move(f"windows ({i}).cover", 1.1, 0.1) for i in range(20)),
)


def compared(kind="temperature_difference"):
    pair = Pair("margin of temperature", kind, 1, 1.0, 4.2)
    sheet = SimpleNamespace(guessed=())
    answer = SimpleNamespace(sheet=sheet)
    return Comparison("night", answer, answer, (pair,), ("one",), MOVES, 3.2, 4.5, -1.3)


def test_what_moves_nothing_or_cannot_stand_alone_has_no_bar():
    names = [bar.name for bar in compare._bars(compared()).rows]
    assert names[0] == "sheet 1"
    assert names[-1] == "sheet 2"
    assert "stacks" in names
    assert "month" not in names
    assert "garage" not in names


def test_what_is_left_out_is_told():
    shown = compare._bars(compared())
    assert len(shown.rows) == compare.MOST_BARS + 2
    assert shown.more == f"and {22 - compare.MOST_BARS} more differences, not shown here"


def test_figures_are_told_in_both_systems_and_once_where_they_agree():
    told = {bar.name: bar.told for bar in compare._bars(compared()).rows}
    assert told["stacks"] == "+5.4 F° · +3.0 K"
    assert told["sheet 2"] == "7.6 F° · 4.2 K"
    told = {bar.name: bar.told for bar in compare._bars(compared("share")).rows}
    assert told["stacks"] == "+300 points"


@pytest.mark.parametrize("width", [700.0, 340.0])
def test_words_stand_clear(width):
    with ink.looks():
        figure = compare.draw(compared(), width)
    assert overlaps(figure) == []
    assert outside(figure) == []


def test_refusals_beyond_the_first_are_counted():
    lines = compare._sum(compared(), "si")
    assert lines[0].startswith("Alone they add up to")
    assert any("garage cannot stand in the first sheet" in line for line in lines)
