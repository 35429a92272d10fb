"""The answer about insulation stacks on a terminal or in a pipe: what is printed, in which order.

What does not belong here: sentences (stacks_words.py) and tables (stacks_tables.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.report import stacks_tables as tables
from vanclimate.report import stacks_words as words
from vanclimate.report.closing import print_cautions
from vanclimate.report.layout import facts, first_line, heading, put, say
from vanclimate.report.opening import say_van
from vanclimate.report.place_words import name_of, nose_words
from vanclimate.report.tables import GOOD, balance_table

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from vanclimate.answers.stacks.answer import Stacks
    from vanclimate.units import System


def print_stacks(answer: Stacks, system: System, console: Console, *, demo: str = "") -> None:
    """Print the whole answer, the verdict first; see `terminal.print_night`."""
    first_line(console, words.verdict(answer, system), GOOD)
    _say_all(console, [words.gain_words(answer, system), *words.damp_words(answer, system)])
    say_van(console, answer.sheet, system, demo)
    _print_ranking(console, answer, system)
    heading(console, "What they are")
    for table in tables.figures_tables(answer, system, console.width):
        _print_table(console, table)
    _say_all(console, [words.figures_note(answer, system), words.price_note(answer)])
    heading(console, "What each layer of yours earns, added last")
    _print_table(console, tables.worth_table(answer, system))
    _say_all(console, words.idle_words(answer))
    heading(console, f"Where the next {words.inch_word(system)} goes")
    _print_table(console, tables.inch_table(answer, system, console.width))
    _say_all(console, [words.inch_words(answer, system)])
    _print_grounds(console, answer, system)


def _print_ranking(console: Console, answer: Stacks, system: System) -> None:
    """Print the stacks on the two nights, and where their water lies."""
    heading(console, "The stacks, best first")
    _print_table(console, tables.nights_table(answer, system, console.width))
    _say_all(console, [words.ranking_words(answer), *words.other_night_words(answer, system)])
    if answer.own.figures.damp:
        heading(console, "Where water settles in a winter, at most")
        rows = [(f"{row.rank:>2}", words.water_words(row, system)) for row in answer.rows]
        facts(console, rows)


def _print_table(console: Console, table: Table) -> None:
    put(console, table)


def _say_all(console: Console, texts: list[str]) -> None:
    for text in texts:
        if text:
            say(console, text)


def _print_grounds(console: Console, answer: Stacks, system: System) -> None:
    """Print what the answer stands on, and the cautions."""
    heading(console, "What it stands on")
    _print_table(console, balance_table(answer.balances))
    nights = [night for night in (answer.hot, answer.cold) if night is not None]
    rows = [
        (f"{'cold' if night.cold else 'hot'} night", words.night_line(night, system))
        for night in nights
    ]
    place = answer.night.scene.place
    weather = place.weather
    rows.append(("nose to", nose_words(place.heading, answer.sheet, " on that night")))
    rows.append(("place", f"{name_of(weather)}; {weather.source}; {weather.period}"))
    rows += [("licence", weather.licence)] if weather.licence else []
    rows += [("room", words.ROOM), ("stacks", words.tried_words(answer, system))]
    facts(console, rows)
    print_cautions(console, answer.cautions)
