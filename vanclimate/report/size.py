"""The sizes a build needs, on a terminal or in a pipe: what is printed, in which order.

What does not belong here: wording (size_words.py, size_hand_words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.report import size_words as words
from vanclimate.report import tables
from vanclimate.report.closing import place_rows, print_cautions, seed_row
from vanclimate.report.guesses import count_line
from vanclimate.report.layout import facts, first_line, heading, put, say
from vanclimate.report.opening import say_van
from vanclimate.report.size_hand_words import hand_text

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from vanclimate.answers.size.answer import Size
    from vanclimate.units import System

LADDER = (
    "Sizes are classes and steps as the trade sells them (common practice, no source). 'Holds' and "
    "'fails' are counted in runs; they are about this season's weather, not about a warranty."
)


def print_size(
    answer: Size, system: System, console: Console, *, check: str, demo: str = ""
) -> None:
    """Print the whole answer, the verdict first.

    Parameters
    ----------
    answer, system, console : what, in which units, where to
    check : the command that lists the sheet's values
    demo : what to say of an invented van, or ''
    """
    whole = all(one.own_enough for one in answer.sized)
    first_line(console, words.verdict(answer, system), tables.GOOD if whole else tables.BAD)
    say(console, words.asked_line(answer))
    say_van(console, answer.sheet, system, demo)
    heading(console, "The smallest that is enough")
    put(console, sizes_table(answer, system))
    if answer.missing:
        say(console, words.missing_line(answer))
    say(console, words.together_line(answer))
    heading(console, "The hour that sets each")
    facts(console, [(one.name, words.hour_text(answer, one, system)) for one in answer.sized])
    heading(console, "By hand, and why it differs")
    facts(console, [(one.name, hand_text(one, system)) for one in answer.sized])
    heading(console, "What each is asked to do")
    facts(console, words.meaning_rows(answer, system))
    say(console, LADDER)
    heading(console, "What it stands on")
    say(console, count_line(answer.sheet, check))
    put(console, tables.balance_table(answer.balances))
    facts(console, place_rows(answer, system, seed_row(answer.seed)))
    print_cautions(console, answer.cautions)


def sizes_table(answer: Size, system: System) -> Table:
    """Return each device's size, how often it holds, and what the sheet has."""
    table = tables.plain_table("", "needed", "holds", "a size less", "your sheet")
    for one in answer.sized:
        table.add_row(one.name, words.needed(one, system), words.holds_text(answer, one),
                      words.below_text(one, system), words.own_text(one, system))  # fmt: skip
    return table
