"""The page of stacks: two sheets in both unit systems, with the terminal's words and figures."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.answers.test_stacks import AC, TRIED, WARM, van
from tests.page.made import read_page
from vanclimate.answers.stacks.answer import Stacks, stacks
from vanclimate.page import stacks as stacks_page
from vanclimate.page.make import page_of
from vanclimate.report import stacks_words as words


@pytest.fixture(scope="module")
def hot() -> Stacks:
    return stacks(van(f"{AC}{TRIED}\nprices: {{XPS: 2 EUR per board foot}}", site=WARM))


def many(answer: Stacks, count: int) -> Stacks:
    """Return an answer with many rows of long names, the own one the last."""
    other = next(row for row in answer.rows if not row.own)
    rows = [replace(other, rank=i + 1, name=f"{i} {'long ' * 11}") for i in range(count - 1)]
    return replace(answer, rows=(*rows, replace(answer.own, rank=count)))


@pytest.mark.parametrize("system", ["us", "si"])
def test_the_page_says_what_the_terminal_says(hot, system):
    read = read_page(page_of(hot, system), system)
    assert read.texts["line"] == [words.verdict(hot, system)]
    assert words.gain_words(hot, system) in read.texts["p"]
    assert all(caution in read.texts["li"] for caution in hot.cautions)
    ranking = read.tables["The stacks, best first"]
    assert [row[0] for row in ranking[1:]] == [f"{row.rank} {row.name}" for row in hot.rows]
    assert [row[1].rstrip("!") for row in ranking[1:]] == [f"{r.hot.ac_wh:,.0f}" for r in hot.rows]


def test_the_picture_marks_the_own_stack_and_tells_all_values(hot):
    shown = stacks_page._bars(hot)
    assert [bar.bold for bar in shown.rows] == [row.own for row in hot.rows]
    assert [bar.value for bar in shown.rows] == [row.hot.ac_wh for row in hot.rows]
    assert shown.rows[0].told.startswith(f"{hot.best.hot.ac_wh:,.0f} Wh")


def test_forty_stacks_are_cut_with_the_own_among_them_and_a_word_of_the_rest(hot):
    answer = many(hot, 40)
    shown = stacks_page._bars(answer)
    assert len(shown.rows) == stacks_page.MOST_BARS
    assert shown.rows[-1].bold
    assert shown.more == f"and {40 - stacks_page.MOST_BARS} more stacks, not shown here"
    page = page_of(answer, "us")
    ranking = read_page(page, "us").tables["The stacks, best first"]
    assert ranking[-1][0].startswith("40 ")
    assert f"and {40 - len(ranking) + 1} more: the terminal and --json list all" in page


def test_what_the_best_changes_is_told_in_the_reader_s_units(hot):
    us, si = (" ".join(stacks_page._changes(hot, system)) for system in ("us", "si"))
    assert hot.best.own or " in" in us
    assert " mm" not in us
    assert " mm" in si
    assert "e-" not in us + si
