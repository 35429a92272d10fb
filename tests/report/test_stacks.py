"""What is said of insulation stacks: the first line, the gain, the water, and what is missing."""

from __future__ import annotations

from dataclasses import replace
from io import StringIO

import pytest

from tests.answers.test_stacks import AC, COLD, TRIED, WARM, van
from vanclimate.answers.compare.answer import compare
from vanclimate.answers.stacks.answer import Stacks, stacks
from vanclimate.report import stacks_words as words
from vanclimate.report.compare import print_compare
from vanclimate.report.stacks import print_stacks
from vanclimate.report.terminal import console_for

LISTED = "\nprices: {XPS: 2 EUR per board foot, foil: 1 per m2}"


@pytest.fixture(scope="module")
def hot() -> Stacks:
    return stacks(van(f"{AC}{TRIED}{LISTED}", site=WARM))


@pytest.fixture(scope="module")
def ordinary() -> Stacks:
    return stacks(van(AC))


def page(answer: Stacks, system: str, width: int) -> str:
    out = StringIO()
    print_stacks(answer, system, console_for(out, width))
    return out.getvalue()


@pytest.mark.parametrize("system", ["us", "si"])
@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_line_is_wider_than_the_page_and_no_figure_is_cut(ordinary, hot, system, width):
    for answer in (ordinary, hot):
        first, *lines = page(answer, system, width).splitlines()
        assert first == words.verdict(answer, system)
        assert max(map(len, lines)) <= width
        assert "…" not in "".join(lines)
    whole = page(ordinary, system, width)
    for row in ordinary.rows:
        assert words.water_words(row, system).split()[-1] in whole


def test_a_comparison_tells_the_cautions_too(hot):
    found = compare("stacks", (hot.sheet, hot.sheet), lambda _sheet, _record: hot)
    out = StringIO()
    print_compare(found, ("a", "b"), "si", console_for(out, 100))
    told = " ".join(out.getvalue().split())
    assert hot.cautions
    assert all(caution in told for caution in hot.cautions)


def test_the_first_line_says_best_and_own(hot):
    line = words.verdict(hot, "si")
    best, own = (f"{row.hot.ac_wh:,.0f} Wh" for row in (hot.best, hot.own))
    assert line.startswith(f"Best of 3 stacks for this van: {hot.best.name} ({best} of AC on ")
    assert f"; your own is 2nd ({own}, " in line
    mine = replace(hot, rows=tuple(sorted(hot.rows, key=lambda row: not row.own)))
    line = words.verdict(mine, "si")
    assert line.startswith(f"Best of 3 stacks for this van: your own ({own} of AC on ")
    assert f"; next is {hot.best.name} ({best})" in line
    assert words.gain_words(mine, "si") == ""


def test_a_mild_night_alone_ranks_no_insulation(hot):
    bare = replace(hot.best, figures=replace(hot.best.figures, u_w_m2k=9.9))
    line = words.verdict(replace(hot, rows=(bare, *hot.rows[1:])), "si")
    assert hot.cold is None
    assert line.startswith("No rank for insulation: on the made-up night what insulates less")
    assert line.endswith("and no cold night is known")


def test_a_best_stack_that_misses_says_so(hot):
    short = hot.best.hot._replace(short_k=1.5)
    late = replace(hot, rows=(replace(hot.best, hot=short), *hot.rows[1:]))
    assert words.verdict(late, "si").endswith("; even so it gets 1.5 K too warm")
    assert "! gets warmer than the limit of 26.0 °C." in words.other_night_words(late, "si")
    assert f"{short.ac_wh:,.0f}!" in page(late, "si", 100)


def test_the_gain_has_its_range_in_the_reader_s_units(hot):
    text = words.gain_words(hot, "si")
    low, high = (f"{x:,.0f}" for x in hot.gain_80)
    assert f"saves {hot.gain.ac_wh:,.0f} Wh as your sheet stands, and {low} to {high} Wh" in text


def test_made_up_days_say_what_is_not_there(hot):
    told = page(hot, "us", 100)
    assert "No cold night is shown: the site has made-up days." in told
    assert "Water inside the stacks is not worked out: the site has made-up days." in told
    assert "heat, Wh" not in told
    assert "cold, R" not in told


def test_prices_have_a_column_only_where_they_are_given(hot, ordinary):
    told = page(hot, "si", 100)
    assert " EUR" in told
    assert "No price in your sheet for sheep wool." in told
    own, thick = hot.own.figures, next(r for r in hot.rows if r.name == "thick").figures
    assert own.price is None
    assert f" {thick.price:,.0f}\n" in told
    assert "EUR" not in page(ordinary, "si", 100)


def test_a_winter_says_where_water_settles_and_who_stays_dry(ordinary):
    said = words.damp_words(ordinary, "si")
    assert len(said) == 1
    assert said[0].startswith("Water in a winter: the best holds up to ")
    assert "between the skin and the" in said[0]
    assert "is the first that holds no more than 200 g/m2" in said[0]
    dry = ordinary.driest
    assert dry is not None
    assert not any(damp.trouble for _, damp in dry.figures.damp)
    assert "Nothing heats this van" in page(ordinary, "si", 100)


def test_layers_that_earn_nothing_are_named(ordinary):
    assert "Foil (walls) earns nothing on either night: no air lies on its shiny side." in (
        words.idle_words(ordinary)
    )


def test_a_cold_night_that_is_not_held_is_starred():
    weak = "heater: {output: 2 kW, floor: 1 kW, setpoint: 20 C, when: always}"
    answer = stacks(van(f"{weak}{TRIED}", site=COLD))
    told = page(answer, "us", 100)
    bare = answer.rows[-1].cold
    assert f"{bare.fuel_l / 3.785412:.2f}*" in told
    assert "* gets colder than the 60.8 °F that is wanted." in told
    assert "fuel, gal" in told


def test_the_next_inch_names_a_surface(ordinary, hot):
    for answer in (ordinary, hot):
        text = words.inch_words(answer, "us")
        assert text.startswith("The next inch goes to the ")
        assert answer.inches[0].where in text


@pytest.mark.parametrize(("number", "word"), [(1, "1st"), (2, "2nd"), (12, "12th"), (23, "23rd")])
def test_ordinals(number, word):
    assert words.ordinal(number) == word
