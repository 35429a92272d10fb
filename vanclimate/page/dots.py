"""Futures as dots: each stands for as many, where its margin lies; those that hold are hollow.

What does not belong here: whose margins, and what is said of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from vanclimate.page import ink

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from vanclimate.network.compile import Array

COUNT = 50  # dots
SIZE = 9.0  # px of a dot
HEAD, PILE, FOOT = 36.0, 60.0, 34.0  # px: words above, the highest pile, the axis
EDGE = 14.0  # px from the axis's ends in which no number has room
SIDE = 8.0  # px beside the outermost dots


@dataclass(frozen=True)
class Dots:
    """What the picture shows.

    Attributes
    ----------
    margins : of the futures, as shares; below 0 one fails
    share : of them that hold
    heading : above the dots
    fails, holds : words for both sides
    axis : below the axis, what the margin is of
    """

    margins: Array
    share: float
    heading: str
    fails: str
    holds: str
    axis: str


def tall() -> float:
    """Return how high the picture is [px]."""
    return HEAD + PILE + FOOT


def places(shown: Dots) -> tuple[Array, int]:
    """Return where the dots lie, and how many of them fail.

    Each is a quantile of the futures' margins; as many fail as of all of them do, one at least
    where any does.
    """
    of = np.sort(np.clip(shown.margins, -1.0, 1.0))
    found: Array = np.quantile(of, (np.arange(COUNT) + 0.5) / COUNT)
    fails = round(COUNT * (1.0 - shown.share))
    if 0.0 < shown.share < 1.0:
        fails = min(max(fails, 1), COUNT - 1)
    found[:fails] = np.minimum(found[:fails], -1e-9)
    found[fails:] = np.maximum(found[fails:], 0.0)
    return found, fails


def put_dots(figure: Figure, shown: Dots, width: float, total: float) -> None:
    """Draw the picture at the top of a figure.

    Parameters
    ----------
    figure : of that width
    shown : what is drawn
    width, total : of the figure [px]
    """
    where, fails = places(shown)
    box = (SIDE / width, 1.0 - (HEAD + PILE) / total, 1.0 - 2 * SIDE / width, PILE / total)
    axes = figure.add_axes(box)
    low, high, x, y = _piled(where, fails, width - 2 * SIDE)
    axes.set_xlim(low, high)
    axes.set_ylim(0.0, PILE)
    look: dict[str, Any] = {"ls": "", "marker": "o", "ms": SIZE - 1.5, "clip_on": False}
    axes.plot(x[:fails], y[:fails], color=ink.light("no"), mec=ink.light("no"), mew=1.0, **look)
    axes.plot(x[fails:], y[fails:], color=ink.light("paper"), mec=ink.light("yes"), mew=1.5,
              **look)  # fmt: skip
    axes.axvline(0.0, color=ink.light("ink"), lw=1.2, ls=(0, (2, 1.5)), ymax=1.05, clip_on=False)
    _write_round(figure, shown, fails, width, total)
    _scale(axes, shown, width)


def _piled(where: Array, fails: int, room: float) -> tuple[float, float, Array, Array]:
    """Return the axis's ends, and where dots stand [px up] so that none lies on another.

    Where a pile is full the next dots stand farther out, never nearer to 0.
    """
    low, high = min(float(where.min()), -0.1), max(float(where.max()), 0.1)
    for _ in range(4):  # what stands farther out widens the axis, and with it a dot
        step = (high - low) / (room / SIZE)
        out = _outward(np.floor(where[fails:] / step)), _outward(-np.floor(where[:fails] / step))
        column = np.concatenate([-out[1][0][::-1], out[0][0]])
        low, high = min(low, step * column.min()), max(high, step * (column.max() + 1.0))
    up = np.concatenate([out[1][1][::-1], out[0][1]])
    step = (high - low) / (room / SIZE)
    return low, high, (column + 0.5) * step, SIZE * (up + 0.5)


def _outward(columns: Array) -> tuple[Array, Array]:
    """Return columns and places in them of dots, from the innermost on."""
    most = int(PILE // SIZE)
    order = np.argsort(columns, kind="stable")
    found, up = np.zeros(len(columns)), np.zeros(len(columns))
    now, count = -np.inf, 0
    for i in order:
        if columns[i] > now:
            now, count = columns[i], 0
        elif count == most:
            now, count = now + 1.0, 0
        found[i], up[i] = now, count
        count += 1
    return found, up


def _write_round(figure: Figure, shown: Dots, fails: int, width: float, total: float) -> None:
    """Write the heading, and both sides' words at the ends of a line of their own."""

    def put(x: float, y: float, text: str, ha: str, color: str) -> None:
        figure.text(x / width, 1.0 - y / total, text, ha=ha, va="center", fontsize=ink.SMALL,
                    color=ink.light(color))  # fmt: skip

    put(0.0, 7.0, ink.fitted(shown.heading, width, ink.SMALL), "left", "ink")
    sides = f"● {fails} of {COUNT} {shown.fails}", f"○ {COUNT - fails} of {COUNT} {shown.holds}"
    put(0.0, 24.0, sides[0], "left", "no")
    put(width, 24.0, sides[1], "right", "yes")


def _scale(axes: Axes, shown: Dots, width: float) -> None:
    """Mark the axis in percent."""
    from matplotlib.ticker import MaxNLocator

    low, high = axes.get_xlim()
    ticks = MaxNLocator(6 if width > 500.0 else 4, steps=[1, 2, 5, 10]).tick_values(low, high)
    edge = EDGE * (high - low) / (width - 2 * SIDE)
    kept = [t for t in ticks if max(low + edge, -1.0) <= t <= min(high - edge, 1.0)]
    axes.set_xticks(kept)
    axes.set_xticklabels([_percent(t) for t in kept])
    axes.set_xlabel(shown.axis, labelpad=1.0)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)


def _percent(share: float) -> str:
    whole = round(100.0 * share)
    sign = "+" if whole > 0 else "−" if whole < 0 else ""
    return f"{sign}{abs(whole)} %"
