"""The answer on a terminal or in a pipe: what is printed, in which order.

What does not belong here: wording (words.py), tables (tables.py) and the chart (chart.py).
"""

from __future__ import annotations

import os
import sys
from typing import IO, TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from vanclimate.report import (
    margin_words,
    odds_words,
    place_words,
    power_words,
    tables,
    words,
)
from vanclimate.report.chart import FULL_SIGNS, PLAIN_SIGNS, night_chart
from vanclimate.report.closing import print_cautions, print_unknowns
from vanclimate.report.comfort import comfort_lines
from vanclimate.report.layout import facts, first_line, heading, put, say
from vanclimate.report.opening import say_van
from vanclimate.report.remedy_words import night_change_lines
from vanclimate.report.stream import Carrying

if TYPE_CHECKING:
    from vanclimate.answers.night import Night
    from vanclimate.units import System

WIDEST, NARROWEST = 100, 40


class _Honest(Console):
    """A console that says so when nobody reads on, in place of ending the program by itself."""

    def on_broken_pipe(self) -> None:
        """Let the command line end as it does for any closed pipe."""
        raise BrokenPipeError


def console_for(stream: IO[str] | None = None, width: int | None = None) -> Console:
    """Return a console no wider than reads well; a pipe gets text without control codes."""
    out = Carrying(stream or sys.stdout)
    on_terminal = out.isatty()
    given = os.environ.get("COLUMNS", "")
    if width is None and not on_terminal and not (given.isdigit() and int(given)):
        width = WIDEST
    console = _Honest(
        file=out,  # type: ignore[arg-type]  # rich writes, flushes and asks for the encoding only
        width=width, highlight=False, markup=False, emoji=False, soft_wrap=False,
        force_terminal=on_terminal, no_color=True if not on_terminal else None,
    )  # fmt: skip
    console.width = max(NARROWEST, min(WIDEST, console.width))
    return console


def print_night(
    night: Night, system: System, console: Console, *, check: str, demo: str = ""
) -> None:
    """Print the whole answer, the verdict first.

    Parameters
    ----------
    night : the answer
    system : units to show it in
    console : where to
    check : the command that lists the sheet's values
    demo : what to say of an invented van, or ''
    """
    style = tables.GOOD if night.holds else tables.BAD
    first_line(console, words.verdict(night, system), style)
    pull_down = words.pull_down(night)
    if pull_down and (night.main == "ac" or not words.heated(night)):
        say(console, pull_down)
    if words.heated(night):
        say(console, power_words.heating(night, system))
    if drawn := power_words.heating_draw(night):
        say(console, drawn)
    say(console, odds_words.night_odds_line(night, system))
    say(console, margin_words.margin_meaning(night, system))
    say_van(console, night.sheet, system, demo)
    heading(console, "Three ways" if len(night.ways) > 2 else "Two ways")
    put(console, tables.ways_table(night, system))
    say(console, f"* {words.settled(night)}. {words.three_ways_note(night, system)}")
    if night.changes is not None:
        heading(console, "What would make it hold")
        for line in night_change_lines(night.changes, system):
            say(console, line)
    _print_where(console, night)
    heading(console, "The bank, from bedtime to bedtime")
    put(console, tables.days_table(night, console.width - 2))
    for line in power_words.cost_lines(night):
        say(console, line)
    heading(console, "How it feels")
    facts(console, comfort_lines(night, system))
    heading(console, f"Bedtime to waking, {words.way_name(night.main, night)}")
    ledgers = [tables.heat_table(night), tables.charge_table(night), tables.sun_table(night)]
    for grid in tables.side_by_side(ledgers, console.width):
        put(console, grid)
        console.print()
    carrying = console.file.carries("".join(FULL_SIGNS))  # type: ignore[attr-defined]
    signs = FULL_SIGNS if carrying else PLAIN_SIGNS
    for line in night_chart(night, system, console.width, signs):
        console.print(Text(line, no_wrap=True), crop=True, overflow="crop")
    odds = night.odds
    print_unknowns(console, odds.movers, night.sheet, system, check, by_heat=odds.by_heat)
    _print_grounds(console, night, system)


def _print_where(console: Console, night: Night) -> None:
    """Print which night, how the month does, and what the sun brings."""
    heading(console, "This night and the next")
    rows = [
        ("night", words.which_night(night)),
        ("month" if night.sheet.stay is None else "stay", words.nights_held(night)),
        ("nose to", place_words.heading_words(night)),
        ("next day", power_words.tomorrow(night)),
        ("in a row", power_words.nights_in_a_row(night)),
    ]
    facts(console, rows)


def _print_grounds(console: Console, night: Night, system: System) -> None:
    """Print what the answer stands on, and the cautions."""
    heading(console, "What it stands on")
    put(console, tables.balance_table(night.balances))
    rows = [
        ("place", place_words.place_line(night, system)),
        ("sky", words.sky_line(night, system)),
    ]
    rows += words.spot_lines(night, system)
    rows.append(("clock", place_words.clock_line(night)))
    if licence := place_words.licence_line(night):
        rows.append(("licence", licence))
    rows += [("note", text) for text in night.warnings]
    facts(console, rows)
    print_cautions(console, night.cautions)
