"""Ledgers as bars: where heat or charge came from and went, each with its number.

What does not belong here: the rows themselves (answers/ledgers).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from vanclimate.answers.ledgers import ChargeRow, HeatRow
from vanclimate.page import ink
from vanclimate.page.drawings import writing
from vanclimate.page.drawings.canvas import Box, Canvas, Drawing, Point, shading, width_of, wrapped
from vanclimate.report.numbers import fixed

WIDTH = 340.0
BAR, LINE, GAP = 8.0, 13.5, 6.0  # px: of a bar, of a line, between name, bars and number
NAMES = 0.45  # of the width, for names at most
LEAST = 0.5  # Wh; what is less is no row, as in the terminal
SHADE = 4.0


class Row(NamedTuple):
    """A row: its name, its value, and that in words."""

    name: str
    value: float
    text: str


def heat_ledger(rows: Sequence[HeatRow], *, width: float = WIDTH) -> Drawing:
    """Return the heat into the cabin's air as bars: to the right what came, to the left what went.

    What went with water is no part of the sum and stands last.
    """
    in_air = [r for r in rows if not r.latent]
    told = [Row(r.name, r.wh, writing.heat(r.wh)) for r in in_air if abs(r.wh) >= LEAST]
    left = sum(r.wh for r in in_air)
    told.append(Row("left in the air", left, writing.heat(left)))
    told += [
        Row(f"besides: {r.name}", r.wh, writing.heat(r.wh))
        for r in rows
        if r.latent and abs(r.wh) >= LEAST
    ]
    return ledger("Heat into the cabin", told, width=width)


def charge_ledger(rows: Sequence[ChargeRow], *, width: float = WIDTH) -> Drawing:
    """Return where the charge went as bars."""
    there = [r for r in rows if abs(r.wh) >= LEAST]
    told = [Row(r.name, r.ah, f"{fixed(r.ah, 1)} Ah · {fixed(r.wh)} Wh") for r in there]
    ah, wh = sum(r.ah for r in there), sum(r.wh for r in there)
    told.append(Row("all", ah, f"{fixed(ah, 1)} Ah · {fixed(wh)} Wh"))
    return ledger("Charge went to", told, width=width)


def ledger(title: str, rows: Sequence[Row], *, width: float = WIDTH) -> Drawing:
    """Return rows as bars from one line of nothing, those below it shaded."""
    with ink.looks():
        canvas = Canvas(width)
        most = max([0.0, *(r.value for r in rows)])
        least = min([0.0, *(r.value for r in rows)])
        names = min(NAMES * width, max(width_of(r.name) for r in rows))
        first = names + GAP
        room = width - first - max(width_of(r.text) for r in rows) - GAP
        scale = room / max(most - least, 1e-9)
        zero, y = first - least * scale, 2.0
        marks: list[list[Point]] = []
        for row in rows:
            marks.append([(zero, y + 1.0), (zero, y + LINE - 1.0)])
            y = _row(canvas, row, names, zero, scale, y)
        canvas.lines(marks, "ink", 1.2)
        words = "; ".join(f"{r.name} {r.text}" for r in rows)
        return Drawing(canvas.close(y + 2.0), f"{title}: {words}.")


def _row(canvas: Canvas, row: Row, names: float, zero: float, scale: float, y: float) -> float:
    """Draw a row: name, bar and number; return where the next begins."""
    lines = wrapped(row.name, names + 0.1)
    for i, line in enumerate(lines):
        canvas.text(0.0, y + 10.5 + LINE * i, line)
    canvas.text(canvas.width, y + 10.5, row.text, ha="right")
    end, top = zero + row.value * scale, y + (LINE - BAR) / 2.0
    box = Box(min(zero, end), top, max(zero, end), top + BAR)
    corners = [(box.left, box.top), (box.right, box.top), (box.right, box.bottom),
               (box.left, box.bottom)]  # fmt: skip
    name = "outside" if row.value >= 0.0 else "inside"
    canvas.rectangle(box, fill=name, told=f"{row.name}: {row.text}")
    if row.value < 0.0:
        canvas.lines(shading(corners, SHADE), "paper", 1.0)
    return y + LINE * len(lines)
