"""Bars of a page: what is shown is told in words, whatever the names and values are."""

from __future__ import annotations

import re
from html import unescape

import pytest

from vanclimate.page import ink
from vanclimate.page.bars import HATCHED, SOLID, Bar, Bars, cut, draw_bars

NAMES = ("polyiso", "sheep wool", "x" * 300, "<b>&\"'", "\u540d\u524d \U0001f600", "\u202eabc")


def drawn(shown: Bars, width: float) -> str:
    with ink.looks():
        return ink.svg(draw_bars(shown, width), "bars", "Some bars.")


def texts(svg: str) -> list[str]:
    return [unescape(text).strip() for text in re.findall(r"<text[^>]*>(.*?)</text>", svg, re.S)]


@pytest.mark.parametrize("width", [700.0, 340.0])
@pytest.mark.parametrize("dots", [False, True])
def test_every_value_is_told_and_long_names_are_cut(width, dots):
    rows = tuple(Bar(name, 10.0 * i, f"{10 * i} Wh", beside="1 L") for i, name in enumerate(NAMES))
    told = texts(drawn(Bars("AC", rows, "fuel", dots=dots, line=(25.0, "limit")), width))
    assert [t for t in told if t.endswith("Wh")] == [bar.told for bar in rows]
    assert told.count("1 L") == len(rows)
    assert {"AC", "fuel", "limit", "polyiso"} <= set(told)
    assert any(t.startswith("xxx") and t.endswith(" …") for t in told)
    assert max(ink.text_width(t, ink.NORMAL) for t in told) <= width


@pytest.mark.parametrize("values", [(0.0, 0.0), (-5.0, 3.0), (4.0, 4.0)])
def test_no_value_breaks_a_scale(values):
    rows = tuple(Bar(f"bar {i}", value, str(value)) for i, value in enumerate(values))
    for dots in (False, True):
        assert "nan" not in drawn(Bars("some", rows, dots=dots), 700.0)


def test_fills_differ_without_colour():
    def fill(kind: str) -> str:
        svg = drawn(Bars("one", (Bar("a", 1.0, "1", kind),)), 700.0)
        return "pattern" if "<pattern" in svg else "solid" if "fill: var(--inside)" in svg else ""

    assert [fill(x) for x in (SOLID, HATCHED, "pale")] == ["solid", "pattern", ""]


def test_rows_are_cut_but_the_bold_one():
    rows = [Bar(str(i), 1.0, "1", bold=i == 30) for i in range(40)]
    kept, more = cut(rows, 12, "stacks")
    assert [bar.name for bar in kept] == [*map(str, range(11)), "30"]
    assert more == "and 28 more stacks, not shown here"
    assert cut(rows[:12], 12, "stacks") == (tuple(rows[:12]), "")
