"""A comparison in words: who is better, by what, and how the differences add up."""

from __future__ import annotations

import io
import json
from math import inf, nan

import pytest

from tests.answers.test_compare import DEMO, OTHER, added, compared, toy, usable
from vanclimate.report.compare import print_compare
from vanclimate.report.compare_json import comparison_text
from vanclimate.report.compare_words import sum_line, verdict
from vanclimate.report.figure_words import figure_text, move_text
from vanclimate.report.terminal import console_for
from vanclimate.van.reading import load


def page(comparison, width: int = 80, system="us") -> str:
    out = io.StringIO()
    print_compare(comparison, ("Holds: a", "Holds: b"), system, console_for(out, width))
    return out.getvalue()


def test_the_first_line_says_who_is_better_and_what_makes_most_of_it():
    assert verdict(compared(toy(usable)), "si") == (
        "The first sheet, holds.yaml, is better: figure 0 567 Ah, not 400 Ah; battery.capacity "
        "matters most, −117 Ah alone"
    )
    other = compared(toy(usable), changes=("battery.capacity=700 Ah",))
    assert verdict(other, "si") == (
        "The second sheet, holds.yaml, is better: figure 0 630 Ah, not 567 Ah; battery.capacity "
        "matters most, +63 Ah"
    )


def test_sheets_that_come_to_the_same_are_said_to():
    same = compared(toy(usable), changes=("loads.fridge.power=60 W",))
    assert verdict(same, "si") == (
        "Both come to the same, figure 0 567 Ah; no difference alone moves it"
    )
    alike = compared(toy(usable), changes=("name=Another",))
    assert verdict(alike, "si") == "Nothing differs but names: figure 0 567 Ah in both"


def test_a_yes_against_a_no_counts_before_any_figure():
    def least(sheet) -> bool:
        return sheet.battery.capacity > 600.0

    found = compared(toy(lambda sheet: -sheet.battery.capacity, holds=least), changes=OTHER[:1])
    assert found.pairs[0].winner == 2
    assert verdict(found, "si") == (
        "The first sheet, holds.yaml, holds and the second does not: figure 0 −630 Ah, not "
        "−500 Ah; battery.capacity matters most, +130 Ah"
    )


def test_the_sum_of_the_single_exchanges_and_the_rest_are_said():
    assert sum_line(compared(toy(usable)), "si") == (
        "Alone they add up to −180 Ah of the whole −167 Ah; the rest, +13 Ah, is how they act "
        "together."
    )
    assert sum_line(compared(toy(added)), "si") == (
        "Alone they add up to −125 Ah of the whole −125 Ah: they hardly act on each other."
    )


@pytest.mark.parametrize("width", [60, 80, 100])
def test_the_page_fits_and_shows_all_that_differs(width):
    text = page(compared(toy(usable)), width)
    assert max(map(len, text.splitlines()[1:])) <= width
    for said in ("1  holds.yaml: Holds: a", "battery.mass", "(guess)", "moved by", "−117 Ah"):
        assert said in text
    assert text.index("What matters most") < text.index("What differs")


def test_what_was_set_in_the_first_sheet_is_shown():
    first = load(DEMO, OTHER)
    found = compared(toy(usable), first=DEMO, changes=())
    assert "set:" not in page(found)
    from vanclimate.answers.compare.answer import compare

    swapped = compare("toy", (first, load(DEMO)), toy(usable))
    assert "set: battery.capacity 500 Ah, in place of 630 Ah" in page(swapped)


def test_its_json_is_strict_and_holds_the_same_figures():
    found = compared(toy(usable, lambda sheet: inf))
    text = comparison_text(found, ("a", "b"), ("1.yaml", "2.yaml"), "si", ())
    told = json.loads(text, parse_constant=lambda word: pytest.fail(word))
    assert told["schema"] == "vanclimate.compare/1"
    assert told["first_line"] == verdict(found, "si")
    assert told["inputs"]["second"]["sheet"] == "2.yaml"
    assert told["figures"][0]["difference"] == pytest.approx(-167.0)
    assert told["figures"][0]["winner"] == 1
    assert told["figures"][1]["first"] is None
    assert told["answer"]["first_lines"] == ["a", "b"]
    assert told["answer"]["moves"][0]["key"] == "battery.capacity"
    assert {"si": "630 Ah", "us": "630 Ah", "guessed": False} in [
        row["first"] for row in told["answer"]["differences"]
    ]


@pytest.mark.parametrize(
    ("value", "kind", "figure", "move"),
    [
        (0.254, "share", "25 %", "+25 points"),
        (-0.004, "share", "0 %", "−0.4 points"),
        (3.0, "count", "3", "+3"),
        (-4.9, "temperature_difference", "−4.9 K", "−4.9 K"),
        (20.0, "temperature", "20.0 °C", "+20.0 K"),
        (inf, "hours", "no end of hours", "–"),
        (-inf, "duration", "no end", "–"),
        (nan, "hours", "–", "–"),
        (0.0, "energy", "0 Wh", "0"),
        (-1170.0, "energy", "−1.17 kWh", "−1.17 kWh"),
    ],
)
def test_figures_and_moves_by_their_kind(value, kind, figure, move):
    assert figure_text(value, kind, "si") == figure
    assert move_text(value, kind, "si") == move
