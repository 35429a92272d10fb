"""A coast's page: cautions before any figure, then adults who can leave, then whoever cannot.

What does not belong here: its sentences (coast_words.py).
"""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from vanclimate.report import coast_words as words
from vanclimate.report import tables
from vanclimate.report.closing import place_rows
from vanclimate.report.layout import facts, first_line, heading, put, say
from vanclimate.report.numbers import percent
from vanclimate.report.opening import say_van
from vanclimate.units import show_clock

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from vanclimate.answers.coast.answer import Coast
    from vanclimate.answers.coast.read import Coasting
    from vanclimate.units import System


def print_coast(answer: Coast, system: System, console: Console, *, demo: str = "") -> None:
    """Print the whole answer.

    Parameters
    ----------
    answer : what is told
    system : units to show it in
    console : where to
    demo : what to say of an invented van, or ''
    """
    first_line(console, words.verdict(answer, system), tables.BAD)
    facts(console, [("!", text) for text in answer.cautions])
    say_van(console, answer.sheet, system, demo)
    other = answer.heat if answer.first is answer.cold else answer.cold
    for part in (answer.first, other):
        if part is not None:
            _print_part(console, answer, part, system)
    _print_grounds(console, answer, system)


def _print_part(console: Console, answer: Coast, part: Coasting, system: System) -> None:
    """Print one part, adults who can leave first."""
    cools = answer.sheet.air_conditioner is not None
    stops = (
        "The heater stops" if part.kind == "cold" else "The AC stops" if cools else "Shut up, no AC"
    )
    heading(console, f"{stops}: adults who can leave")
    put(console, times_table(part, system))
    say(console, words.how_many(answer, part))
    say(console, words.farthest_line(part, system))
    say(console, words.how_held(answer, part, system))
    if part.kind == "cold":
        say(console, words.tank_line(answer, system))
    else:
        say(console, words.sun_line(answer))
    if part.alone is not None:
        heading(console, "Children, animals, whoever cannot leave by themselves")
        for line in words.alone_lines(part):
            say(console, line)


def times_table(part: Coasting, system: System) -> Table:
    """Return how soon each limit is reached."""
    apart = part.kind == "cold" and len(part.hours) > 1
    columns = ["", "1 in 20", "1 in 2", "reached in"]
    table = tables.plain_table(*columns, *(["worst cut at"] if apart else []))
    table.columns[0].no_wrap = False  # a limit's name gives way, not the times
    for reach in part.adults:
        row = [
            words.limit_name(reach.limit, system),
            words.lasts(reach.early_s, part.watched_s),
            words.lasts(reach.median_s, part.watched_s),
            percent(reach.share),
        ]
        if apart:
            told = reach.hour is not None and isfinite(reach.early_s)
            row.append(show_clock(reach.hour) if told and reach.hour is not None else "")
        table.add_row(*row)
    return table


def _print_grounds(console: Console, answer: Coast, system: System) -> None:
    """Print what the answer stands on."""
    heading(console, "What it stands on")
    books = [book for book in answer.first.balances if book.throughput]
    put(console, tables.balance_table(books))
    rows = [("case", words.case_line(answer, answer.first))]
    rows += [("checked", words.MEASURED)] if answer.heat is not None else []
    facts(console, [*rows, *place_rows(answer, system)])
