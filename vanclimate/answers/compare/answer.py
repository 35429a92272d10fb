"""Two sheets on one question: both answers, what differs, and which difference matters most.

Starting from the first sheet, each of the second's values is put in alone, and the move of the
headline figure ranks them. What does not belong here: how the sheets differ (``differences``,
``exchanges``), and any particular question.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import isfinite, nan
from typing import ClassVar, Protocol

from vanclimate.answers.compare.differences import Difference, differences
from vanclimate.answers.compare.exchanges import (
    Exchange,
    as_one,
    by_section,
    exchanged,
    exchanges,
)
from vanclimate.answers.figures import UNTOLD, Answer, Figure
from vanclimate.errors import SheetError, VanclimateError
from vanclimate.site.record import Record
from vanclimate.van.sheet import Sheet

MOST_SINGLE = 12  # differences that are exchanged one by one; more go by section


class HasFigures(Protocol):
    """An answer, or the short form of one."""

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The answer's numbers, its headline first."""


@dataclass(frozen=True)
class Pair:
    """A figure of both answers; NaN where one has no such figure.

    ``better`` is 1 where more of it is better, -1 where less is, 0 where neither.
    """

    name: str
    kind: str
    better: int
    first: float
    second: float
    also_told: ClassVar = ("difference", "winner")

    @property
    def difference(self) -> float:
        """The second's less the first's."""
        return _move(self.first, self.second)

    @property
    def winner(self) -> int:
        """1 or 2, the sheet in which it is better; 0 where neither is."""
        gain = self.difference * self.better
        return 2 if gain > 0.0 else 1 if gain < 0.0 else 0


@dataclass(frozen=True)
class Move:
    """What the second sheet's values of some keys, alone in the first sheet, do to the headline.

    ``headline`` is the figure then, ``by`` its move. Where they cannot stand in the first sheet
    without others both are NaN, and ``refused`` says why.
    """

    key: str
    headline: float  # in the unit of the first figure, as the next
    by: float  # its move from the first sheet's
    refused: str = ""


@dataclass(frozen=True)
class Comparison:
    """Two answers to one question; ``pairs`` begin with the headline.

    ``of_whole`` is the headline's whole difference, ``of_singles`` what the moves add up to, and
    ``together`` the rest: how they act together.
    """

    question: str
    first: Answer
    second: Answer
    pairs: tuple[Pair, ...] = field(metadata=UNTOLD)  # in JSON they are the figures
    differences: tuple[Difference, ...]
    moves: tuple[Move, ...]
    of_whole: float  # in the headline's unit, as the next two
    of_singles: float  # the moves, added up
    together: float  # the rest
    also_told: ClassVar = ("yes",)

    @property
    def yes(self) -> tuple[bool, bool]:
        """Whether each answer is a yes, where its question has one."""
        return _good(self.first), _good(self.second)

    @property
    def headline(self) -> Pair:
        """The figure by which the differences are ranked."""
        return self.pairs[0]


def compare(
    question: str,
    sheets: tuple[Sheet, Sheet],
    answer: Callable[[Sheet, Record | None], Answer],
    headline: Callable[[Sheet, Record | None], HasFigures] | None = None,
    ready: Callable[[Sheet], tuple[Sheet, Record | None]] = lambda sheet: (sheet, None),
    tick: Callable[[int, int], None] = lambda done, of: None,
) -> Comparison:
    """Return two sheets' answers side by side, and what makes the difference.

    Parameters
    ----------
    question : its name
    sheets : the first and the second, as they were read
    answer : answers for a sheet, at a record or at the sheet's own site
    headline : a shorter way to the same figures, for the exchanges
    ready : what is done to a sheet between reading and answering, such as a load more
    tick : is told how many exchanges of how many are done

    Raises
    ------
    VanclimateError : where one of the sheets cannot be answered
    """
    both = [ready(sheet) for sheet in sheets]
    first, second = (answer(*given) for given in both)
    pairs = _pairs(first, second)
    moves = _Exchanging(sheets, headline or answer, ready, pairs[0]).moves(tick)
    whole = pairs[0].difference
    singles = sum(move.by for move in moves if isfinite(move.by))
    return Comparison(
        question=question,
        first=first,
        second=second,
        pairs=pairs,
        differences=differences(both[0][0], both[1][0]),
        moves=moves,
        of_whole=whole,
        of_singles=singles,
        together=whole - singles,
    )


def _pairs(first: Answer, second: Answer) -> tuple[Pair, ...]:
    """Return the figures of both, first the one by which the worse answer is judged."""
    mine, theirs = ({f.name: f for f in x.figures} for x in (first, second))
    fails = _good(first) and not _good(second)
    lead = (second if fails else first).figures[0].name
    names = dict.fromkeys([lead, *mine, *theirs])
    return tuple(_pair(name, mine.get(name), theirs.get(name)) for name in names)


def _good(answer: Answer) -> bool:
    """Return whether an answer is a yes, where its question has one."""
    return bool(getattr(answer, "holds", getattr(answer, "lasts", True)))


def _pair(name: str, one: Figure | None, other: Figure | None) -> Pair:
    known = one or other
    assert known is not None, "a figure of one of them"
    first, second = (nan if f is None else float(f.value) for f in (one, other))
    return Pair(name, known.kind, known.better, first, second)


def _move(before: float, after: float) -> float:
    """Return a difference; none between two that have no end."""
    return 0.0 if before == after else after - before


class _Exchanging:
    """The second sheet's values put into the first, one exchange at a time."""

    def __init__(
        self,
        sheets: tuple[Sheet, Sheet],
        headline: Callable[[Sheet, Record | None], HasFigures],
        ready: Callable[[Sheet], tuple[Sheet, Record | None]],
        lead: Pair,
    ) -> None:
        self.first, self.second = sheets
        self.headline, self.ready, self.lead = headline, ready, lead
        self.base = ready(self.first)[0]
        self.idle: list[Exchange] = []  # other words for the same; they may let others stand

    def moves(self, tick: Callable[[int, int], None]) -> tuple[Move, ...]:
        """Return the moves, the greatest first, those that cannot be had at the end."""
        every = exchanges(self.first, self.second)
        singles = [x for x in every if self._changes(x)]
        self.idle = [x for x in every if x not in singles]
        waiting = by_section(singles) if len(singles) > MOST_SINGLE else singles
        if len(waiting) == 1:  # it is the whole difference
            return (Move(waiting[0].key, self.lead.second, self.lead.difference),)
        done: list[tuple[Exchange, Move]] = []
        while waiting:
            exchange, move = self._had(waiting[0], [*waiting[1:], *(x for x, _ in done)])
            waiting = [x for x in waiting if not exchange.holds(x)]
            done = [(x, m) for x, m in done if not exchange.holds(x)] + [(exchange, move)]
            tick(len(done), len(done) + len(waiting))
        return tuple(sorted((move for _, move in done), key=_weight, reverse=True))

    def _changes(self, exchange: Exchange) -> bool:
        """Return whether an exchange changes what is understood, or cannot be had alone."""
        try:
            changed, _ = self.ready(exchanged(self.first, self.second, exchange))
        except VanclimateError:
            return True
        # a night that is given is sought otherwise than the same one guessed
        same_night = changed.is_guess("night") == self.base.is_guess("night")
        return dict(changed) != dict(self.base) or not same_night

    def _try(self, exchange: Exchange) -> Move:
        try:
            given = self.ready(exchanged(self.first, self.second, exchange))
            figures = {f.name: f.value for f in self.headline(*given).figures}
        except SheetError as error:  # its line is one of either file
            told = SheetError(None, None, error.key, error.found, error.allowed, error.hint)
            return Move(exchange.key, nan, nan, str(told))
        except VanclimateError as error:
            return Move(exchange.key, nan, nan, str(error))
        value = float(figures.get(self.lead.name, nan))
        return Move(exchange.key, value, _move(self.lead.first, value))

    def _had(self, exchange: Exchange, others: list[Exchange]) -> tuple[Exchange, Move]:
        """Return an exchange and its move; one that cannot stand alone with others that let it.

        Those beside it come first, then all of its section, then any one other.
        """
        alone = self._try(exchange)
        if not alone.refused:
            return exchange, alone
        steps = exchange.edits[0].steps
        beside = [x for x in others if x.edits[0].steps[:-1] == steps[:-1]]
        own = [x for x in others if x.edits[0].steps[0] == steps[0]]
        tries = [as_one([exchange, *near]) for near in (beside, own) if near and len(steps) > 1]
        tries += [Exchange(exchange.key, exchange.joined(x).edits) for x in self.idle]
        tries += [exchange.joined(x) for x in others if x not in own]
        for wider in tries:
            if not (move := self._try(wider)).refused:
                return wider, move
        return exchange, alone


def _weight(move: Move) -> float:
    return abs(move.by) if move.by == move.by else -1.0
