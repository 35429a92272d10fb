"""What stands at the end of every answer: what is not known, where it stands, the cautions.

What does not belong here: what any one answer stands on besides.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from vanclimate.report import odds_words, place_words
from vanclimate.report.guesses import count_line
from vanclimate.report.layout import facts, heading, say

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.answers.futures.odds import Mover
    from vanclimate.units import System
    from vanclimate.van.sheet import Sheet


def print_unknowns(
    console: Console, movers: tuple[Mover, ...], sheet: Sheet, system: System, check: str, *,
    by_heat: bool = False,
) -> None:  # fmt: skip
    """Print the unknowns that matter most, each with what would settle it.

    Parameters
    ----------
    console, sheet, system : where to, of which van, in which units
    movers : the unknowns, the greatest first
    check : the command that lists the sheet's values
    by_heat : the margin is of temperature, else of charge
    """
    heading(console, "What nobody has measured yet")
    lines = odds_words.mover_lines(movers, by_heat, system)
    facts(console, [(f"{i}", line) for i, line in enumerate(lines, 1)])
    if not lines:
        say(console, "No single unknown moves the margin beyond chance.")
    say(console, count_line(sheet, check))


def place_rows(
    answer: place_words.Placed, system: System, *more: tuple[str, str]
) -> list[tuple[str, str]]:
    """Return where an answer's van stands, what ``more`` it stands on, and its licence."""
    rows = [
        ("nose to", place_words.heading_words(answer)),
        ("place", place_words.place_line(answer, system)),
        ("clock", place_words.clock_line(answer)),
        *more,
        ("licence", place_words.licence_line(answer)),
    ]
    return [(name, text) for name, text in rows if text]


def seed_row(seed: int) -> tuple[str, str]:
    """Return which draws an answer is of."""
    return "seed", f"{seed}; the same seed gives the same answer"


def print_cautions(console: Console, texts: Iterable[str]) -> None:
    """Print cautions under their heading."""
    heading(console, "Cautions")
    facts(console, [("!", text) for text in texts])
