"""How far the futures of an answer lie apart: the range of its margins, and how many hold.

What does not belong here: the futures themselves (answers/night_odds, answers/last).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, isfinite
from typing import NamedTuple

import numpy as np

from vanclimate.answers.futures.odds import Odds
from vanclimate.answers.futures.worlds import Columns
from vanclimate.answers.judge import WayResult
from vanclimate.answers.night_odds import NightOdds
from vanclimate.page import ink
from vanclimate.page.drawings.canvas import Box, Canvas, Drawing, shading, wrapped
from vanclimate.report.numbers import MINUS, amp_hours, difference, percent

WIDTH = 340.0
LINE, BAND, DOT = 14.0, 12.0, 17.0  # px: of text, of a band, from dot to dot
DOTS = 100
FREE = 0.04  # of a scale, left free at both ends
TENTH, MIDDLE = 0.1, 0.5


class Range(NamedTuple):
    """A margin: its name, its middle, the ends of 8 in 10, and how a value is written.

    ``what`` says what the middle is: the sheet's own, or half of all.
    """

    name: str
    middle: float
    low: float
    high: float
    what: str
    write: Callable[[float], str]

    @property
    def words(self) -> str:
        """The range in words."""
        return (
            f"8 in 10 from {self.write(self.low)} to {self.write(self.high)}; "
            f"{self.what} {self.write(self.middle)}"
        )


class Lot(NamedTuple):
    """Futures as dots: how many hold of how many, on which day each of the others fails, in words.

    A ``day`` of 0 has no number.
    """

    held: int
    of: int
    days: tuple[int, ...]
    words: str


def night_spread(
    result: WayResult, odds: NightOdds, capacity: float, *, width: float = WIDTH
) -> Drawing:
    """Return the margins of a night over all that is not known of the van, and how often it holds.

    Parameters
    ----------
    result, odds : of the night
    capacity : of the bank [Ah]
    width : of the drawing [px]
    """
    own = "as the sheet has it"
    ranges = [
        Range("Room to the nearer limit", result.margin_degrees, odds.room_low, odds.room_high,
              own, _degrees)
    ]  # fmt: skip
    if result.opened is None:  # the charge of a bank that opens is no margin
        ranges.insert(0, Range(
            "Charge above what must stay", result.margin_charge, odds.charge_low,
            odds.charge_high, own, lambda x: _charge(x, capacity),
        ))  # fmt: skip
    lots = [_lot(odds.night, "this night {} of {} vans built to this sheet hold")]
    if odds.season is not None:
        lots.append(_lot(odds.season, "in any night of the season {} of {} such vans hold"))
    return _drawn(ranges, lots, width)


def last_spread(futures: Columns, days: int, *, width: float = WIDTH) -> Drawing:
    """Return the margins of stays, and of 100 how many last and on which day the others fail.

    Parameters
    ----------
    futures : of `Last`
    days : of a stay
    width : of the drawing [px]
    """
    margin = futures["margin"]
    low, middle, high = (float(x) for x in np.quantile(margin, [TENTH, MIDDLE, 1.0 - TENTH]))
    name = "Margin, of the whole bank or of 10 K"
    ranges = [Range(name, middle, low, high, "half have more than", percent)]
    after = futures["failed_after_h"]
    failed = futures["failed"] > 0
    on = [min(days, max(1, ceil(float(h) / 24.0))) for h in after[failed]]
    counts = [int((~failed).sum()), *(on.count(day) for day in range(1, days + 1))]
    shares = _of_hundred(counts)
    fails = tuple(day for day, n in enumerate(shares[1:], 1) for _ in range(n))
    words = f"{shares[0]} of {DOTS} stays of {days} day{'s' * (days > 1)} last"
    if fails:
        words += "; the others fail on the day in them"
    return _drawn(ranges, [Lot(shares[0], DOTS, fails, words)], width)


def _lot(odds: Odds, words: str) -> Lot:
    """Return vans as dots; the words have places for how many hold, and of how many."""
    fails = (0,) * (odds.of - odds.held)
    return Lot(odds.held, odds.of, fails, words.format(odds.held, odds.of))


def _of_hundred(counts: Sequence[int]) -> list[int]:
    """Return counts as so many of a hundred, the largest rests rounded up.

    >>> _of_hundred([1, 1, 1])
    [34, 33, 33]
    """
    exact = [DOTS * n / sum(counts) for n in counts]
    whole = [int(x) for x in exact]
    rest = sorted(range(len(counts)), key=lambda i: whole[i] - exact[i])
    for i in rest[: DOTS - sum(whole)]:
        whole[i] += 1
    return whole


def _signed(value: float, text: str) -> str:
    return f"{MINUS}{text}" if value < 0.0 else text


def _charge(share: float, capacity: float) -> str:
    return f"{percent(share)} ({_signed(share, amp_hours(abs(share) * capacity))})"


def _degrees(kelvin: float) -> str:
    text = f"{difference(abs(kelvin), 'us')} · {difference(abs(kelvin), 'si')}"
    return _signed(kelvin, text.replace(" · ", f" · {MINUS}") if kelvin < 0.0 else text)


def _drawn(ranges: Sequence[Range], lots: Sequence[Lot], width: float) -> Drawing:
    """Draw the ranges and below them the dots."""
    there = [r for r in ranges if all(map(isfinite, (r.low, r.middle, r.high)))]
    with ink.looks():
        canvas = Canvas(width)
        y = 0.0
        for own in there:
            y = _range(canvas, own, y)
        for lot in lots:
            y = _dots(canvas, lot, y)
        words = [f"{r.name}: {r.words}" for r in there]
        words += [lot.words for lot in lots]
        return Drawing(canvas.close(y), f"{'. '.join(w[0].upper() + w[1:] for w in words)}.")


def _range(canvas: Canvas, own: Range, y: float) -> float:
    """Draw a margin's range on a line with nothing marked; return where to go on."""
    told = own.words.replace(f"; {own.what}", f"; ◇ {own.what}")
    for i, line in enumerate([own.name, *wrapped(told, canvas.width, 3)]):
        canvas.text(0.0, y + 11.0, line, bold=i == 0)
        y += LINE
    least, most = min(0.0, own.low, own.middle), max(0.0, own.high, own.middle)
    free = FREE * max(most - least, 1e-9)
    scale = canvas.width / (most - least + 2.0 * free)

    def at(value: float) -> float:
        return (value - least + free) * scale

    y += 5.0
    box = Box(at(own.low), y, max(at(own.high), at(own.low) + 1.0), y + BAND)
    good = Box(max(box.left, at(0.0)), y, max(box.right, at(0.0)), y + BAND)
    bad = Box(min(box.left, at(0.0)), y, min(box.right, at(0.0)), y + BAND)
    for part, name in ((good, "yes"), (bad, "no")):
        if part.right > part.left:
            canvas.rectangle(part, fill=name, told=own.words)
    if bad.right > bad.left:
        corners = [(bad.left, y), (bad.right, y), (bad.right, y + BAND), (bad.left, y + BAND)]
        canvas.lines(shading(corners, 5.0), "paper", 1.2)
    canvas.lines([[(at(0.0), y - 5.0), (at(0.0), y + BAND + 5.0)]], "ink", 1.2)
    x = at(own.middle)
    canvas.area([(x, y - 4.0), (x + 5.0, y + BAND / 2.0), (x, y + BAND + 4.0),
                 (x - 5.0, y + BAND / 2.0)], fill="paper", edge="ink", width=1.2)  # fmt: skip
    y += BAND + 16.0
    zero = canvas.box_of(at(0.0), y, "0", ha="center")
    canvas.text(min(max(at(0.0), 4.0), canvas.width - 4.0), y, "0", ha="center", colour="soft")
    canvas.keep(zero)
    return y + 8.0


def _dots(canvas: Canvas, lot: Lot, y: float) -> float:
    """Draw futures as dots, full ones that hold first; return where to go on."""
    for line in wrapped(f"{lot.words[0].upper()}{lot.words[1:]}", canvas.width, 3):
        canvas.text(0.0, y + 11.0, line)
        y += LINE
    y += 3.0
    across = int(canvas.width / DOT)
    spots = [(DOT * (i % across + 0.5), y + DOT * (i // across + 0.5)) for i in range(lot.of)]
    canvas.dots(spots[: lot.held], 11.0, "yes")
    for size, colour in ((15.0, "no"), (13.0, "paper")):
        canvas.dots(spots[lot.held :], size, colour)
    for (x, top), day in zip(spots[lot.held :], lot.days, strict=True):
        if day:
            canvas.text(x, top + 4.0, str(day), ha="center", colour="no")
    return y + DOT * ceil(lot.of / across) + 6.0
