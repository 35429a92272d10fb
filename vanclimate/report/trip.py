"""A trip on a terminal: what is printed, in which order.

What does not belong here: wording (trip_words.py, trip_notes.py) and tables (trip_tables.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.text import Text

from vanclimate.report import tables, trip_notes, trip_tables, trip_words
from vanclimate.report.closing import print_cautions
from vanclimate.report.layout import facts, first_line, heading, put, say
from vanclimate.report.opening import say_van

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.answers.trip.answer import Trip
    from vanclimate.units import System


def print_trip(trip: Trip, system: System, console: Console, *, demo: str = "") -> None:
    """Print the whole answer, the verdict first.

    Parameters
    ----------
    trip : the answer
    system : units to show it in
    console : where to
    demo : what to say of an invented van, or ''
    """
    style = tables.GOOD if trip.first is None else tables.BAD
    first_line(console, trip_words.verdict(trip, system), style)
    say(console, trip_words.odds_line(trip, system))
    if years := trip_words.year_words(trip):
        say(console, f"{years[0].upper()}{years[1:]}.")
    say_van(console, trip.sheet, system, demo)
    heading(console, "Stop by stop, the drive to each counted with it")
    width = console.width - 2
    for tables_of in (trip_tables.heat_tables, trip_tables.bank_tables):
        for table in tables_of(trip, system, width):
            put(console, table)
            console.print()
    if trip.years:
        put(console, trip_tables.years_table(trip, system))
        console.print()
    console.print(Text("What runs out", style="bold"))
    rows = trip_words.left_words(trip, system)
    rows += [("lacking", text) for text in trip_words.lack_words(trip, system)]
    rows += [("helps", text) for text in trip_words.help_words(trip, system)]
    facts(console, rows)
    _print_grounds(console, trip, system)


def _print_grounds(console: Console, trip: Trip, system: System) -> None:
    """Print what the answer stands on, and the cautions."""
    heading(console, "What it stands on")
    put(console, tables.balance_table(trip.balances))
    rows = [("place", line) for line in trip_notes.place_lines(trip, system)]
    rows += [("licence", text) for text in trip_notes.licences(trip)]
    rows += [("note", text) for text in trip_notes.notes(trip)]
    facts(console, rows)
    print_cautions(console, trip.cautions)
