"""Horizontal bars, a row each: names, values in words, and which of them are meant.

What does not belong here: what is compared, and how it is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from vanclimate.page import ink

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SOLID, HATCHED, PALE = "solid", "hatched", "pale"
"""How a bar is filled: each tells itself from the others in black and white."""
ROOMY = 520.0  # px from which names stand beside their bars, not above
NAMES = 0.4  # of the width that names take at most, where they stand beside
ROW, TALL = 22.0, 38.0  # px of a row, of one whose name stands above its bar
THICK = 14.0  # px of a bar
GAP = 6.0  # px between a bar and the words at its end


@dataclass(frozen=True)
class Bar:
    """One row.

    Attributes
    ----------
    name : to the left of it, or above where that is narrow
    value : its length
    told : the value in words, at its end
    fill : `SOLID`, `HATCHED` or `PALE`
    bold : the row that the reader looks for
    beside : words at the row's right end, in a column of their own
    """

    name: str
    value: float
    told: str
    fill: str = PALE
    bold: bool = False
    beside: str = ""


@dataclass(frozen=True)
class Bars:
    """What the picture shows.

    Attributes
    ----------
    heading : above the bars: what they are of, and in which unit
    rows : the first at the top
    beside : heading of the column to the right, '' where there is none
    dots : the values have no zero to begin a bar at, as temperatures: dots on lines
    line : a value that all are measured by, and its name
    more : below the last row: what is left out, '' where nothing is
    """

    heading: str
    rows: tuple[Bar, ...]
    beside: str = ""
    dots: bool = False
    line: tuple[float, str] | None = None
    more: str = ""


@dataclass(frozen=True)
class _Plan:
    """Where things stand in px: names from 0, bars between, words at their ends, a column."""

    width: float
    row: float
    names: float
    left: float
    right: float
    low: float
    high: float

    def at(self, value: float) -> float:
        """Return where a value lies."""
        return self.left + (value - self.low) / (self.high - self.low) * (self.right - self.left)


def draw_bars(shown: Bars, width: float) -> Figure:
    """Return the picture at a width [px]; a narrow one has its names above the bars."""
    plan = _planned(shown, width)
    top = 40.0 if shown.line is not None else 26.0
    height = top + plan.row * len(shown.rows) + (20.0 if shown.more else 4.0)
    figure = ink.figure(width, height, layout=None)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    axes.set_axis_off()
    axes.set_xlim(0.0, width)
    axes.set_ylim(height, 0.0)
    heading = ink.fitted(shown.heading, width - _wide(shown.beside) - GAP, ink.SMALL)
    _write(axes, 0.0, 10.0, heading, ink.SMALL)
    _write(axes, width, 10.0, shown.beside, ink.SMALL, ha="right")
    bottom = top + plan.row * len(shown.rows)
    for i, bar in enumerate(shown.rows):
        _draw_row(axes, plan, shown, bar, top + plan.row * i)
    if shown.line is not None:
        at, name = plan.at(shown.line[0]), shown.line[1]
        ha = "right" if at > width / 2.0 else "left"
        _write(axes, at, top - 10.0, name, ink.SMALL, ha=ha, color="no")
    _write(axes, 0.0, bottom + 11.0, shown.more, ink.SMALL)
    return figure


def _planned(shown: Bars, width: float) -> _Plan:
    roomy = width >= ROOMY
    widest = max(ink.text_width(bar.name, ink.NORMAL, bar.bold) for bar in shown.rows)
    left = min(widest + 10.0, NAMES * width) if roomy else 0.0
    told = max(_wide(bar.told, bar.bold) for bar in shown.rows) + 2 * GAP
    column = max(_wide(bar.beside) for bar in shown.rows) if roomy else 0.0
    right = width - told - (max(column, _wide(shown.beside)) + 10.0 if column else 0.0)
    values = [bar.value for bar in shown.rows]
    values += [shown.line[0]] if shown.line is not None else []
    low, high = min(values), max(values)
    if shown.dots:
        low -= 0.1 * max(high - low, 1.0)
    else:
        low, high = min(low, 0.0), max(high, 0.0)
    names = left
    if low < 0.0 and not shown.dots:
        left += told + 2.0  # words at the ends of bars to the left
    high = high if high > low else low + 1.0
    return _Plan(width, ROW if roomy else TALL, names, left, max(right, left + 40.0), low, high)


def _wide(text: str, bold: bool = False) -> float:
    return ink.text_width(text, ink.SMALL, bold)


def _draw_row(axes: Axes, plan: _Plan, shown: Bars, bar: Bar, top: float) -> None:
    roomy = plan.row == ROW
    middle = top + plan.row - ROW / 2.0
    room = plan.names - 10.0 if roomy else plan.width - _wide(bar.beside) - GAP
    name = ink.fitted(bar.name, room, ink.NORMAL, bar.bold)
    _write(axes, 0.0, middle if roomy else top + 8.0, name, ink.NORMAL, bold=bar.bold)
    _write(axes, plan.width, middle if roomy else top + 8.0, bar.beside, ink.SMALL, ha="right")
    start, end = plan.at(plan.low if shown.dots else 0.0), plan.at(bar.value)
    span = [middle - ROW / 2.0 + 1.0, middle + ROW / 2.0 - 1.0]
    if shown.line is not None:
        at = plan.at(shown.line[0])
        axes.plot([at] * 2, span, color=ink.light("no"), lw=1.2, ls=(0, (1, 1.6)), zorder=2.5)
    if shown.dots:
        axes.plot([start, plan.right], [middle] * 2, color=ink.light("rule"), lw=1.0)
        _draw_dot(axes, end, middle, bar.fill)
        _write(axes, plan.right + GAP + 4.0, middle, bar.told, ink.SMALL, bold=bar.bold)
        return
    axes.plot([start] * 2, span, color=ink.light("soft"), lw=0.8)
    axes.barh(middle, end - start, height=THICK, left=start, lw=1.0, **_look(bar.fill))
    way, ha = (-1.0, "right") if end < start else (1.0, "left")
    _write(axes, end + way * GAP, middle, bar.told, ink.SMALL, bold=bar.bold, ha=ha)


def _draw_dot(axes: Axes, x: float, y: float, fill: str) -> None:
    edge = ink.light("inside")
    face = edge if fill == SOLID else ink.light("paper")
    marker = "D" if fill == HATCHED else "o"
    axes.plot([x], [y], marker=marker, ms=9.0, color=face, mec=edge, mew=1.6)


def _look(fill: str) -> dict[str, Any]:
    """Return how a bar is drawn."""
    dark = ink.light("inside")
    if fill == SOLID:
        return {"facecolor": dark, "edgecolor": dark}
    if fill == HATCHED:
        return {"facecolor": "none", "edgecolor": dark, "hatch": "////"}
    return {"facecolor": ink.light("wash"), "edgecolor": ink.light("soft")}


def _write(
    axes: Axes, x: float, y: float, text: str, size: float, *, ha: str = "left",
    bold: bool = False, color: str = "ink",
) -> None:  # fmt: skip
    """Write a text on paper, which hides what lies behind it."""
    if text:
        behind = {"facecolor": ink.light("paper"), "edgecolor": "none", "pad": 0.5}
        axes.text(x, y, text, ha=ha, va="center", fontsize=size, color=ink.light(color),
                  fontweight="bold" if bold else "normal", bbox=behind)  # fmt: skip


def cut(rows: Sequence[Bar], most: int, name: str) -> tuple[tuple[Bar, ...], str]:
    """Return as many rows as a sheet has room for, bold ones always among them, and what is lost.

    Parameters
    ----------
    rows : in order
    most : that are shown
    name : of the things, such as 'stacks'
    """
    if len(rows) <= most:
        return tuple(rows), ""
    bold = sum(bar.bold for bar in rows)
    plain = [bar for bar in rows if not bar.bold][: max(0, most - bold)]
    kept = tuple(bar for bar in rows if bar.bold or any(bar is x for x in plain))
    return kept, f"and {len(rows) - len(kept)} more {name}, not shown here"
