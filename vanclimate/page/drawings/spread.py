"""How far the futures of a night lie apart: the range of its margins.

What does not belong here: the futures themselves (answers/night_odds).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import isfinite
from typing import NamedTuple

from vanclimate.answers.judge import WayResult
from vanclimate.answers.night_odds import NightOdds
from vanclimate.page import ink
from vanclimate.page.drawings.canvas import Box, Canvas, Drawing, shading, wrapped
from vanclimate.report.numbers import MINUS, amp_hours, difference, percent

WIDTH = 340.0
LINE, BAND = 14.0, 12.0  # px: of text, of a band
FREE = 0.04  # of a scale, left free at both ends


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


def night_spread(
    result: WayResult, odds: NightOdds, capacity: float, *, width: float = WIDTH
) -> Drawing:
    """Return the margins of a night over all that is not known of the van.

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
    return _drawn(ranges, width)


def _signed(value: float, text: str) -> str:
    return f"{MINUS}{text}" if value < 0.0 else text


def _charge(share: float, capacity: float) -> str:
    return f"{percent(share)} ({_signed(share, amp_hours(abs(share) * capacity))})"


def _degrees(kelvin: float) -> str:
    text = f"{difference(abs(kelvin), 'us')} · {difference(abs(kelvin), 'si')}"
    return _signed(kelvin, text.replace(" · ", f" · {MINUS}") if kelvin < 0.0 else text)


def _drawn(ranges: Sequence[Range], width: float) -> Drawing:
    """Draw the ranges, one below the other."""
    there = [r for r in ranges if all(map(isfinite, (r.low, r.middle, r.high)))]
    with ink.looks():
        canvas = Canvas(width)
        y = 0.0
        for own in there:
            y = _range(canvas, own, y)
        words = [f"{r.name}: {r.words}" for r in there]
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
