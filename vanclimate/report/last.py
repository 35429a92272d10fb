"""Whether a van lasts, on a terminal or in a pipe: what is printed, in which order.

What does not belong here: wording (last_words.py, odds_words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.report import last_words as words
from vanclimate.report import tables
from vanclimate.report.closing import place_rows, print_cautions, print_unknowns, seed_row
from vanclimate.report.layout import facts, first_line, heading, put, say
from vanclimate.report.opening import say_van
from vanclimate.report.remedy_words import together_words

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.answers.last import Last
    from vanclimate.units import System


STEPS = (
    "One step less of the first is not enough. Steps count alike: a module, a battery, half an "
    "hour, half an inch; your sheet may list its own under 'remedies'."
)


def print_last(
    answer: Last, system: System, console: Console, *, check: str, demo: str = ""
) -> None:
    """Print the whole answer, the verdict first.

    Parameters
    ----------
    answer, system, console : what, in which units, where to
    check : the command that lists the sheet's values
    demo : what to say of an invented van, or ''
    """
    style = tables.GOOD if answer.lasts else tables.BAD
    first_line(console, words.verdict(answer, system), style)
    say(console, words.asked_line(answer))
    say_van(console, answer.sheet, system, demo)
    heading(console, "What fails first")
    rows = words.cause_rows(answer) or [("nothing", "all stays last")]
    facts(console, rows)
    _print_changes(console, answer, system)
    print_unknowns(console, answer.movers, answer.sheet, system, check)
    heading(console, "What it stands on")
    put(console, tables.balance_table(answer.balances))
    facts(console, _grounds(answer, system))
    print_cautions(console, answer.cautions)


def _print_changes(console: Console, answer: Last, system: System) -> None:
    """Print the changes that are enough, smallest first, and those that are not."""
    search = answer.search
    if search is None:
        return
    heading(console, "What would make it last")
    if search.enough:
        table = tables.plain_table("change", "its steps", "then last", "of those tried")
        for change in search.enough:
            odds = change.odds
            row = (words.then_words(odds), f"{odds.held:,} of {odds.of:,}")
            table.add_row(together_words(change.done, system), f"{change.steps}", *row)
        put(console, table)
        say(console, STEPS)
    else:
        say(console, "No change of the list is enough, nor the two together that turn most stays.")
    for short in search.short:
        say(console, words.short_words(short, system))


def _grounds(answer: Last, system: System) -> list[tuple[str, str]]:
    return [
        ("margin", words.margin_line(answer, system)),
        ("hardest", words.hardest_line(answer, system)),
        ("stays", words.arrives_line(answer)),
        *place_rows(answer, system, seed_row(answer.seed)),
    ]
