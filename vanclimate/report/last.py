"""Whether a van lasts, on a terminal or in a pipe: what is printed, in which order.

What does not belong here: wording (last_words.py, odds_words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.text import Text

from vanclimate.report import last_words as words
from vanclimate.report import odds_words, place_words, tables
from vanclimate.report.guesses import count_line
from vanclimate.report.layout import facts, heading, say
from vanclimate.report.opening import say_van

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.answers.last import Last
    from vanclimate.units import System


STEPS = (
    "One step less of the first is not enough. Steps count alike: a module, a battery, half an "
    "hour, half an inch; your sheet may list its own under 'remedies'."
)


def print_last(
    answer: Last, system: System, console: Console, *, check: str, demo: str = "", trace: str = ""
) -> None:
    """Print the whole answer, the verdict first.

    Parameters
    ----------
    answer, system, console : what, in which units, where to
    check : the command that lists the sheet's values
    demo : what to say of an invented van, or ''
    trace : what to say of the trace that was written, or ''
    """
    style = tables.GOOD if answer.lasts else tables.BAD
    console.print(Text(words.verdict(answer, system), style=style),
                  soft_wrap=not console.is_terminal)  # fmt: skip
    say(console, words.asked_line(answer))
    say_van(console, answer.sheet, system, demo)
    heading(console, "What fails first")
    rows = words.cause_rows(answer) or [("nothing", "all stays last")]
    facts(console, rows)
    _print_changes(console, answer, system)
    heading(console, "What nobody has measured yet")
    lines = odds_words.mover_lines(answer.movers, False, system, "the margin")
    facts(console, [(f"{i}", line) for i, line in enumerate(lines, 1)])
    if not lines:
        say(console, "No single unknown moves the margin beyond chance.")
    say(console, count_line(answer.sheet, check))
    heading(console, "What it stands on")
    console.print(Padding(tables.balance_table(answer.balances), (0, 0, 0, 2)))
    facts(console, _grounds(answer, system, trace))
    heading(console, "Cautions")
    facts(console, [("!", text) for text in answer.cautions])


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
            table.add_row(words.change_words(change, system), f"{change.steps}", *row)
        console.print(Padding(table, (0, 0, 0, 2)))
        say(console, STEPS)
    else:
        say(console, "No change of the list is enough, nor the two together that turn most stays.")
    for short in search.short:
        say(console, words.short_words(short, system))


def _grounds(answer: Last, system: System, trace: str) -> list[tuple[str, str]]:
    rows = [
        ("margin", words.margin_line(answer)),
        ("hardest", words.hardest_line(answer, system)),
        ("stays", words.arrives_line(answer)),
        ("nose to", place_words.heading_words(answer)),
        ("place", place_words.place_line(answer, system)),
        ("clock", place_words.clock_line(answer)),
        ("seed", f"{answer.seed}; the same seed gives the same answer"),
    ]
    if licence := place_words.licence_line(answer):
        rows.append(("licence", licence))
    if trace:
        rows.append(("trace", trace))
    return rows
