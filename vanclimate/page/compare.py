"""Two sheets on two sheets of paper: both first lines, and what each difference is worth.

What does not belong here: the pages of single answers.
"""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from math import isfinite
from typing import TYPE_CHECKING, Any

from vanclimate.answers.cautions import ESTIMATE
from vanclimate.page import common
from vanclimate.page.bars import HATCHED, SOLID, Bar, Bars, cut, draw_bars
from vanclimate.page.parts import Assumption, Block, Page, Picture
from vanclimate.report import compare as rows
from vanclimate.report import compare_words as words
from vanclimate.report import place_words
from vanclimate.report.figure_words import figure_text, is_nothing, move_text
from vanclimate.report.tables import balance_table

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.compare.answer import Comparison
    from vanclimate.answers.ledgers import Balance
    from vanclimate.units import System

FIRST_LINES = {"night": "words", "last": "last_words", "size": "size_words",
               "coast": "coast_words", "stacks": "stacks_words", "trip": "trip_words"}  # fmt: skip
"""The module of `report` that writes an answer's first line, by its question."""
ASKED = {
    "night": "Which of the two vans does better through the night?",
    "last": "Which of the two vans does better without shore power?",
    "size": "Which of the two vans needs less?",
    "coast": "Which of the two vans gets dangerous later when its air conditioning or heat stops?",
    "stacks": "Which of the two vans is insulated better?",
    "trip": "Which of the two vans does better on the trip?",
}
CAPTION = (
    "Full: the figure of each sheet. Hatched: what a difference adds to it where sheet 2's is put "
    "into sheet 1, alone."
)
MOST_BARS, MOST_FIGURES, MOST_MOVES, MOST_ROWS = 9, 17, 12, 14
MOST_REFUSED, MOST_STOPS = 2, 2
ENDS = 2  # bars that are no difference's


def pictures(comparison: Comparison) -> dict[str, Picture]:
    """Draw both headlines, and between them what each difference does alone."""
    shown = _bars(comparison)
    told = "; ".join(f"{bar.name}: {bar.told}" for bar in shown.rows)
    says = f"{comparison.headline.name}. {told}."
    caution = words.caution_first(comparison)
    says = f"{caution}. {says}" if caution else says
    caption = CAPTION if len(shown.rows) > ENDS else ""
    drawn = common.picture("moves", says, lambda width: draw_bars(shown, width), caption)
    return {"moves": drawn}


def draw(comparison: Comparison, width: float) -> Figure:
    """Draw both headlines, and between them what each difference does alone."""
    return draw_bars(_bars(comparison), width)


def _bars(comparison: Comparison) -> Bars:
    lead = comparison.headline
    moves = [
        Bar(move.key, move.by, _both(move_text, move.by, lead.kind), HATCHED)
        for move in comparison.moves
        if isfinite(move.by) and not is_nothing(move.by, lead.kind)
    ]
    kept, more = cut(moves, MOST_BARS, "differences")
    ends = [
        Bar(f"sheet {number}", value if isfinite(value) else 0.0,
            _both(figure_text, value, lead.kind), SOLID, bold=True)
        for number, value in (("1", lead.first), ("2", lead.second))
    ]  # fmt: skip
    return Bars(lead.name, (ends[0], *kept, ends[1]), more=more)


def _both(write: Any, value: float, kind: str) -> str:
    """Write a figure in both systems of units, once where they agree."""
    us, si = write(value, kind, "us"), write(value, kind, "si")
    return us if us == si else f"{us} · {si}"


def page(comparison: Comparison, system: System, pictures: dict[str, Picture]) -> Page:
    """Build the page in one unit system."""
    first, second = comparison.first.sheet, comparison.second.sheet
    every = (*_cautions(comparison.first), *_cautions(comparison.second))
    cautions = tuple(sorted(dict.fromkeys(every), key=lambda text: text == ESTIMATE))
    ahead = bool(words.caution_first(comparison))
    names = [str(s.file) if s.name == common.NOBODY else s.name for s in (first, second)]
    return Page(
        question=_question(comparison),
        answer="",
        verdict=words.verdict(comparison, system),
        says=_first_lines(comparison, system),
        picture=pictures["moves"],
        assumptions=_assumptions(comparison),
        changes_title="How the differences add up",
        changes=_sum(comparison, system),
        warnings=tuple(text for text in cautions if text != ESTIMATE) if ahead else (),
        cautions=tuple(text for text in cautions if text == ESTIMATE) if ahead else cautions,
        place=_places(comparison, system),
        van="; ".join(f"{i}: {name}" for i, name in enumerate(names, 1)),
        prepared=common.prepared(first),
        blocks=_blocks(comparison, system),
    )


def _question(comparison: Comparison) -> str:
    """Return what the client asks."""
    if getattr(comparison.first, "on_shore", False):
        return "Which of the two vans does better on shore power?"
    return ASKED[comparison.question]


def _cautions(answer: Any) -> tuple[str, ...]:
    return tuple(getattr(answer, "cautions", ()))


def _first_lines(comparison: Comparison, system: System) -> tuple[str, ...]:
    """Return both answers' first lines."""
    module = import_module(f"vanclimate.report.{FIRST_LINES[comparison.question]}")
    answers = enumerate((comparison.first, comparison.second), 1)
    return tuple(f"{i}, {x.sheet.file}: {module.verdict(x, system)}" for i, x in answers)


def _assumptions(comparison: Comparison) -> tuple[Assumption, ...]:
    """Return what holds for both; what matters to each stands on its own page."""
    first, second = comparison.first.sheet, comparison.second.sheet
    found = [
        Assumption("one at a time", "each difference is put alone into sheet 1, all else as it is "
                   "there; together they may do more, or less", ""),
        Assumption("what neither sheet says", "is guessed alike in both: "
                   f"{len(first.guessed)} values in 1, {len(second.guessed)} in 2",
                   "vanclimate check lists them"),
    ]  # fmt: skip
    weathers = [_weather(answer) for answer in (comparison.first, comparison.second)]
    if None not in weathers:
        season = getattr(comparison.first, "season", None)
        years = bool(season is not None and season.years)
        found.append(common.weather_assumption(years, weathers[0].synthetic))
    return tuple(found)


def _weather(answer: Any) -> Any:
    """Return an answer's weather, None where it has several."""
    if hasattr(answer, "weather"):
        return answer.weather
    return answer.night.scene.place.weather if hasattr(answer, "hot") else None


def _sum(comparison: Comparison, system: System) -> tuple[str, ...]:
    """Return what the differences add up to, and what cannot be told alone."""
    if not comparison.differences:
        return ("Nothing differs but names.",)
    refused = [words.refused_line(m) for m in comparison.moves if m.refused]
    told = len(refused) < len(comparison.moves)
    lines = [words.sum_line(comparison, system)] if told else []
    lines += [f"{text}." for text in refused[:MOST_REFUSED]]
    if refused[MOST_REFUSED:]:
        lines.append(f"And {len(refused) - MOST_REFUSED} more that cannot stand alone.")
    return tuple(lines)


def _places(comparison: Comparison, system: System) -> str:
    """Return where both stand, once where it is the same."""
    told: list[tuple[str, str]] = []
    for answer in (comparison.first, comparison.second):
        told += _lines(answer, system)
    lines, licences = ([*dict.fromkeys(texts)] for texts in zip(*told, strict=True))
    return common.places(lines, licences)


def _lines(answer: Any, system: System) -> list[tuple[str, str]]:
    """Return an answer's places, each with its data's terms."""
    weather = _weather(answer)
    if weather is None:
        stops = [stage.scene.place.weather for stage in answer.stages[:MOST_STOPS]]
        return [(place_words.weather_line(x, system), x.licence) for x in stops]
    season = getattr(answer, "season", None)
    if season is None:
        return [(place_words.weather_line(weather, system), weather.licence)]
    return [(place_words.place_line(answer, system), weather.licence)]


def _blocks(comparison: Comparison, system: System) -> tuple[Block, ...]:
    answers = comparison.first, comparison.second
    found = [
        Block("Side by side", table=common.cut(
            common.as_table(rows.figures_table(comparison.pairs, system)), MOST_FIGURES)),
    ]  # fmt: skip
    if comparison.differences:
        moves = common.as_table(rows.moves_table(comparison, system))
        if moves.rows:
            name = f"What matters most, by {comparison.headline.name}"
            found.append(Block(name, table=common.cut(moves, MOST_MOVES)))
        differ = common.as_table(rows.differences_table(comparison, system))
        found.append(Block("What differs, as understood", table=common.cut(differ, MOST_ROWS)))
    first = comparison.first.sheet
    found.append(replace(common.input_block(first, system), heading="Sheet 1 as understood"))
    books = [x for i, answer in enumerate(answers, 1) for x in _told_books(answer, i)]
    found.append(Block("Balances", facts=tuple(books)))
    return tuple(found)


def _told_books(answer: Any, number: int) -> list[tuple[str, str]]:
    """Return each book of an answer in a line, and whether it closes."""
    shown = common.as_table(balance_table(_books(answer)))
    return [
        (f"{number}, {name}", f"{through} passed through, {left} left over; closes: {yes}")
        for name, through, left, _, yes in shown.rows
    ]


def _books(answer: Any) -> tuple[Balance, ...]:
    """Return an answer's balances, a coast's of its first part."""
    own = getattr(answer, "balances", None)
    found: tuple[Balance, ...] = answer.first.balances if own is None else own
    return tuple(book for book in found if book.throughput)
