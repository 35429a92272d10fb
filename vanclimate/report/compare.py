"""Two sheets side by side: what is printed, in which order.

What does not belong here: wording (compare_words.py) and single figures (figure_words.py).
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from rich.table import Table
from rich.text import Text

from vanclimate.report import compare_words as words
from vanclimate.report.closing import print_cautions
from vanclimate.report.figure_words import figure_text, is_nothing, move_text
from vanclimate.report.layout import LONGEST, facts, first_line, heading, put, say
from vanclimate.report.opening import setting_lines
from vanclimate.report.tables import plain_table
from vanclimate.report.words import plain

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.answers.compare.answer import Comparison, Pair
    from vanclimate.units import System


def print_compare(
    comparison: Comparison, lines: tuple[str, str], system: System, console: Console, *,
    demo: str = "",
) -> None:  # fmt: skip
    """Print a comparison, its verdict first.

    Parameters
    ----------
    comparison, system, console : what, in which units, where to
    lines : the first lines of both answers
    demo : what to say of an invented first van, or ''
    """
    first_line(console, words.verdict(comparison, system), "bold")
    answers = (comparison.first, comparison.second)
    cautioned = bool(words.caution_first(comparison))
    if cautioned:
        _print_cautions(console, answers)
    for text in (demo, *setting_lines(comparison.first.sheet, system)):
        if text:
            say(console, text)
    heading(console, f"Both answers, {comparison.question}")
    files = (comparison.first.sheet.file, comparison.second.sheet.file)
    order = zip(("1", "2"), files, lines, strict=True)
    facts(console, [(number, f"{file}: {line}") for number, file, line in order])
    heading(console, "Side by side")
    put(console, figures_table(comparison.pairs, system))
    if comparison.differences:
        _print_moves(console, comparison, system)
        heading(console, "What differs, as understood")
        put(console, differences_table(comparison, system))
    if not cautioned:
        _print_cautions(console, answers)


def figures_table(pairs: tuple[Pair, ...], system: System) -> Table:
    """Return the figures of both, without those that are nothing in both."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="underline")
    table.add_column("")
    for name in ("1", "2", "difference", "better"):
        table.add_column(name, justify="right", no_wrap=True)
    for pair in pairs:
        if all(x != x or x == 0.0 for x in (pair.first, pair.second)):
            continue
        better = "" if is_nothing(pair.difference, pair.kind) else ("", "1", "2")[pair.winner]
        first, second = (figure_text(x, pair.kind, system) for x in (pair.first, pair.second))
        moved = move_text(pair.difference, pair.kind, system)
        table.add_row(pair.name, first, second, moved, better)
    return table


def _print_moves(console: Console, comparison: Comparison, system: System) -> None:
    """Print what each difference does alone, and what they do together."""
    lead = comparison.headline
    heading(console, f"What matters most, by {lead.name}")
    told = [m for m in comparison.moves if not m.refused]
    if told:
        put(console, moves_table(comparison, system))
        say(console, words.sum_line(comparison, system))
    for move in comparison.moves:
        if move.refused:
            say(console, words.refused_line(move))


def moves_table(comparison: Comparison, system: System) -> Table:
    """Return what each difference does alone, those that can stand alone."""
    lead = comparison.headline
    table = plain_table("from 2 put into 1, alone", "it is then", "moved by")
    for move in comparison.moves:
        if not move.refused:
            value = figure_text(move.headline, lead.kind, system)
            table.add_row(move.key, value, move_text(move.by, lead.kind, system))
    return table


def differences_table(comparison: Comparison, system: System) -> Table:
    """Return all that differs in the two sheets."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="underline")
    words = (len(word) for row in comparison.differences for word in plain(row.key).split())
    table.add_column("", ratio=3, overflow="fold", min_width=min(LONGEST, max(words)))
    for name in ("1", "2"):
        table.add_column(name, ratio=4, overflow="fold")
    for row in comparison.differences:
        texts = (row.key, row.first.text(system), row.second.text(system))
        table.add_row(*(Text(plain(text)) for text in texts))
    return table


def _print_cautions(console: Console, answers: Iterable[Any]) -> None:
    """Print the cautions of both, each once."""
    found = [text for answer in answers for text in getattr(answer, "cautions", ())]
    if found:
        print_cautions(console, dict.fromkeys(found))
