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
    """A margin: its name, that of the sheet's van, the ends of 8 in 10, how a value is written."""

    name: str
    own: float
    low: float
    high: float
    write: Callable[[float], str]

    def words(self, mark: str = "") -> str:
        """Return the range in words, with a mark before the sheet's own."""
        return (
            f"8 in 10 from {self.write(self.low)} to {self.write(self.high)}; "
            f"{mark}as the sheet has it {self.write(self.own)}"
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
    ranges = [
        Range("Room to the nearer limit", result.margin_degrees, odds.room_low, odds.room_high,
              _degrees)
    ]  # fmt: skip
    if result.opened is None:  # the charge of a bank that opens is no margin
        ranges.insert(0, Range(
            "Charge above what must stay", result.margin_charge, odds.charge_low,
            odds.charge_high, lambda x: _charge(x, capacity),
        ))  # fmt: skip
    return _drawn(ranges, width)


def _signed(value: float, text: str) -> str:
    return f"{MINUS}{text}" if value < 0.0 else text


def _charge(share: float, capacity: float) -> str:
    return f"{percent(share)} ({_signed(share, amp_hours(abs(share) * capacity))})"


def _degrees(kelvin: float) -> str:
    us, si = (_signed(kelvin, difference(abs(kelvin), system)) for system in ("us", "si"))
    return f"{us} · {si}"


def _drawn(ranges: Sequence[Range], width: float) -> Drawing:
    """Draw the ranges, one below the other."""
    there = [r for r in ranges if all(map(isfinite, (r.low, r.own, r.high)))]
    with ink.looks():
        canvas = Canvas(width)
        y = 0.0
        for each in there:
            y = _range(canvas, each, y)
        words = [f"{r.name}: {r.words()}" for r in there]
        return Drawing(canvas.close(y), f"{'. '.join(words)}.")


def _range(canvas: Canvas, shown: Range, y: float) -> float:
    """Draw a margin's range on a line with nothing marked; return where to go on."""
    for i, line in enumerate([shown.name, *wrapped(shown.words("◇ "), canvas.width, 3)]):
        canvas.text(0.0, y + 11.0, line, bold=i == 0)
        y += LINE
    least, most = min(0.0, shown.low, shown.own), max(0.0, shown.high, shown.own)
    free = FREE * max(most - least, 1e-9)
    scale = canvas.width / (most - least + 2.0 * free)

    def at(value: float) -> float:
        return (value - least + free) * scale

    y += 5.0
    box = Box(at(shown.low), y, max(at(shown.high), at(shown.low) + 1.0), y + BAND)
    good = Box(max(box.left, at(0.0)), y, max(box.right, at(0.0)), y + BAND)
    bad = Box(min(box.left, at(0.0)), y, min(box.right, at(0.0)), y + BAND)
    for part, name in ((good, "yes"), (bad, "no")):
        if part.right > part.left:
            canvas.rectangle(part, fill=name, told=shown.words())
    if bad.right > bad.left:
        corners = [(bad.left, y), (bad.right, y), (bad.right, y + BAND), (bad.left, y + BAND)]
        canvas.lines(shading(corners, 5.0), "paper", 1.2)
    canvas.lines([[(at(0.0), y - 5.0), (at(0.0), y + BAND + 5.0)]], "ink", 1.2)
    x = at(shown.own)
    canvas.area([(x, y - 4.0), (x + 5.0, y + BAND / 2.0), (x, y + BAND + 4.0),
                 (x - 5.0, y + BAND / 2.0)], fill="paper", edge="ink", width=1.2)  # fmt: skip
    y += BAND + 16.0
    canvas.text(min(max(at(0.0), 4.0), canvas.width - 4.0), y, "0", ha="center", colour="soft")
    return y + 8.0
