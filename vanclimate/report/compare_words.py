"""A comparison of two sheets in words.

What does not belong here: their order and tables (compare.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.report.figure_words import figure_text, is_nothing, move_text

if TYPE_CHECKING:
    from vanclimate.answers.compare.answer import Comparison, Move
    from vanclimate.answers.figures import Answer
    from vanclimate.units import System


def verdict(comparison: Comparison, system: System) -> str:
    """Return the first line: which sheet is better, by what, and what makes most of it.

    Before it the caution of answers of which no figure stands without one.
    """
    caution = caution_first(comparison)
    said = _outcome(comparison, system)
    return f"{caution}. {said}" if caution else said


def caution_first(comparison: Comparison) -> str:
    """Return what must stand before any figure of the answers, or ''."""
    return str(getattr(comparison.first, "caution_first", ""))


def _outcome(comparison: Comparison, system: System) -> str:
    lead = comparison.headline
    first, second = (figure_text(x, lead.kind, system) for x in (lead.first, lead.second))
    if not comparison.differences:
        return f"Nothing differs but names: {lead.name} {first} in both"
    one_alone = comparison.yes[0] != comparison.yes[1]
    if is_nothing(lead.difference, lead.kind) and not one_alone:
        return f"Both come to the same, {lead.name} {first}; {_most(comparison, system)}"
    if not lead.winner and not one_alone:
        text = f"They differ: {lead.name} {first} in the first, {second} in the second"
    elif comparison.yes[0] if one_alone else lead.winner == 1:
        better = "holds and the second does not" if one_alone else "is better"
        text = f"{_named('first', comparison.first)} {better}: {lead.name} {first}, not {second}"
    else:
        better = "holds and the first does not" if one_alone else "is better"
        text = f"{_named('second', comparison.second)} {better}: {lead.name} {second}, not {first}"
    return f"{text}; {_most(comparison, system)}"


def _named(which: str, answer: Answer) -> str:
    return f"The {which} sheet, {answer.sheet.file},"


def _most(comparison: Comparison, system: System) -> str:
    """Return which exchange moves the headline most."""
    told = [m for m in comparison.moves if m.by == m.by]
    if not told:
        return "no difference can be had alone"
    most = told[0]
    if is_nothing(most.by, comparison.headline.kind):
        return "no difference alone moves it"
    moved = move_text(most.by, comparison.headline.kind, system)
    alone = " alone" if len(comparison.moves) > 1 else ""
    return f"{most.key} matters most, {moved}{alone}"


def sum_line(comparison: Comparison, system: System) -> str:
    """Return what the single exchanges add up to, and what the rest is."""
    kind = comparison.headline.kind
    told = [m for m in comparison.moves if not m.refused]
    whole, singles, rest = (
        move_text(x, kind, system)
        for x in (comparison.of_whole, comparison.of_singles, comparison.together)
    )
    if len(comparison.moves) == 1:
        return f"It is all that differs, and makes the whole of {whole}."
    text = f"Alone they add up to {singles} of the whole {whole}"
    if is_nothing(comparison.together, kind):
        return f"{text}: they hardly act on each other."
    if len(told) < len(comparison.moves):
        return f"{text}; the rest, {rest}, is how they act together, and what cannot stand alone."
    return f"{text}; the rest, {rest}, is how they act together."


def refused_line(move: Move) -> str:
    """Return why a difference could not be put into the first sheet."""
    return f"{move.key} cannot stand in the first sheet without the others: {move.refused}"
