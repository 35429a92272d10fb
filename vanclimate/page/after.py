"""The picture of a van after what cools or heats it stops: one cut's course, and all cuts' times.

What does not belong here: which cut, and what is said of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

import numpy as np

from vanclimate.page import ink
from vanclimate.page.common import degrees
from vanclimate.page.hours import edges_of, two_scales
from vanclimate.report.chart import by_column
from vanclimate.report.numbers import fixed

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

HEAD, COURSE, TIMES = 22.0, 120.0, 36.0  # px: a key, the curves, the hours and the rows' heads
ROW, TALL = 20.0, 34.0  # px of a row, of one whose name stands above its marks
ROOMY = 520.0  # px from which names stand beside their rows
BINS, HOVERS = 160, 12
NUMBERS = 76.0  # px of a column of times
SIDE = 48.0  # px for a scale


@dataclass(frozen=True)
class Limit:
    """A limit, and how soon it is reached; s, inf where it is not.

    Attributes
    ----------
    name : in both systems of units
    early, median : one cut in twenty is faster, half of them are
    told : both in words
    bold : a danger
    """

    name: str
    early: float
    median: float
    told: tuple[str, str]
    bold: bool = False


@dataclass(frozen=True)
class After:
    """What the picture shows.

    Attributes
    ----------
    trace : of one cut, from half an hour before it on
    before, watched : s of it before and after the cut
    stops : what happens at the cut
    felt : whether the heat index is drawn
    dangers : heat indices [°C] from which a danger begins, with its name; the last is the highest
        that is drawn, for beyond it the index says no more
    limits : whose times are told below
    """

    trace: pd.DataFrame
    before: float
    watched: float
    stops: str
    felt: bool
    dangers: tuple[tuple[float, str], ...]
    limits: tuple[Limit, ...]


def draw_after(shown: After, width: float) -> Figure:
    """Return the picture at a width [px]; a narrow one has its names above the marks."""
    roomy = width >= ROOMY
    row = ROW if roomy else TALL
    total = HEAD + COURSE + TIMES + row * len(shown.limits) + 4.0
    names = max(ink.text_width(limit.name, ink.SMALL, limit.bold) for limit in shown.limits)
    left = max(SIDE, names + 12.0) if roomy else SIDE
    right = 2 * NUMBERS + 6.0 if roomy else SIDE
    figure = ink.figure(width, total, layout=None)

    def axes(top: float, height: float) -> Axes:
        box = (left / width, 1 - (top + height) / total, 1 - (left + right) / width, height / total)
        made = figure.add_axes(box)
        made.set_xlim(-shown.before / 3600.0, shown.watched / 3600.0)
        return made

    course = axes(HEAD, COURSE)
    _draw_course(course, shown)
    below = axes(HEAD + COURSE + TIMES, row * len(shown.limits))
    below.set_axis_off()
    below.set_ylim(row * len(shown.limits), 0.0)
    _draw_hours(course, below, shown)
    for i, limit in enumerate(shown.limits):
        _draw_limit(below, shown, limit, row * (i + 1) - ROW / 2.0)
    _write_rows(figure, shown, row, total)
    _tell(course, shown)
    return figure


def _hours(shown: After, bins: int) -> tuple[np.ndarray, np.ndarray]:
    """Return edges of the trace's rows and middles of equal spans, in hours after the cut."""
    edges = edges_of(shown.trace["step_s"].to_numpy(float))
    middles = (np.arange(bins) + 0.5) * edges[-1] / bins - shown.before / 3600.0
    return edges, middles


def _draw_course(axes: Axes, shown: After) -> None:
    """Draw the cut's temperatures."""
    edges, at = _hours(shown, BINS)

    def drawn(column: str, name: str, color: str, style: object, wide: float) -> np.ndarray:
        values = by_column(edges, shown.trace[column].to_numpy(float), BINS)
        axes.plot(at, values, color=ink.light(color), ls=style, lw=wide, label=name)
        return values

    every = [drawn("cabin_temp_c", "air inside", "inside", "-", 2.4)]
    if shown.felt:
        every.append(drawn("heat_index_c", "heat index", "no", (0, (6, 2)), 1.8))
    every.append(drawn("outdoor_temp_c", "outdoors", "outside", (0, (2, 1.6)), 1.6))
    low, high = min(map(np.min, every)), max(map(np.max, every))
    if shown.dangers:
        high = max(float(every[0].max()), shown.dangers[-1][0] + 1.0)
    axes.set_ylim(low - 0.06 * (high - low), high + 0.12 * (high - low))
    for value, name in shown.dangers:
        axes.axhline(value, color=ink.light("no"), lw=1.2, ls=(0, (1, 1.6)))
        axes.annotate(name, (0.0, value), xycoords=("axes fraction", "data"), xytext=(2, 2),
                      textcoords="offset points", va="bottom", color=ink.light("no"),
                      fontsize=ink.SMALL,
                      bbox={"facecolor": ink.light("paper"), "edgecolor": "none", "pad": 0.3},
                      )  # fmt: skip
    two_scales(axes)
    axes.grid(axis="y")
    axes.legend(loc="lower left", bbox_to_anchor=(-0.01, 1.0), ncol=3, fontsize=ink.SMALL,
                borderaxespad=0.1, handlelength=2.0, columnspacing=0.8)  # fmt: skip


def _draw_hours(course: Axes, below: Axes, shown: After) -> None:
    """Mark the hours after the cut on both parts, and the cut itself."""
    most = shown.watched / 3600.0
    step = next((s for s in (1, 2, 3, 4, 6, 12) if most / s <= 8), 24)
    ticks = np.arange(0.0, most + 1e-6, step)
    course.set_xticks(ticks)
    course.set_xticklabels(["0", *(f"{fixed(t)} h" for t in ticks[1:])])
    course.tick_params(axis="x", length=3)
    for axes in (course, below):
        for tick in ticks[1:]:
            axes.axvline(tick, color=ink.light("rule"), lw=0.7, zorder=0.5)
        axes.axvline(0.0, color=ink.light("ink"), lw=1.2, ls=(0, (2, 1.5)))
    course.annotate(shown.stops, (0.0, 0.02), xycoords=("data", "axes fraction"), xytext=(5, 2),
                    textcoords="offset points", fontsize=ink.SMALL, va="bottom",
                    bbox={"facecolor": ink.light("paper"), "edgecolor": "none", "pad": 0.5},
                    )  # fmt: skip


def _draw_limit(axes: Axes, shown: After, limit: Limit, y: float) -> None:
    """Draw when one cut in twenty reaches a limit, and when half do."""
    if not isfinite(limit.early):
        return
    color = ink.light("no" if limit.bold else "ink")
    end = min(limit.median, shown.watched) / 3600.0
    early = limit.early / 3600.0
    axes.plot([early, end], [y, y], color=color, lw=2.0, solid_capstyle="butt")
    axes.plot([early], [y], marker="o", ms=8.0, color=color, mec=ink.light("paper"), mew=0.5,
              clip_on=False)  # fmt: skip
    marker = "o" if isfinite(limit.median) else ">"
    axes.plot([end], [y], marker=marker, ms=7.0, color=ink.light("paper"), mec=color, mew=1.5,
              clip_on=False)  # fmt: skip


def _write_rows(figure: Figure, shown: After, row: float, total: float) -> None:
    """Write the limits' names and times, and their heads."""
    width = float(figure.get_figwidth() * ink.PIXELS)
    roomy = width >= ROOMY

    def put(x: float, y: float, text: str, ha: str = "left", bold: bool = False) -> None:
        behind = {"facecolor": ink.light("paper"), "edgecolor": "none", "pad": 0.5}
        figure.text(x / width, 1.0 - y / total, text, ha=ha, va="center", fontsize=ink.SMALL,
                    fontweight="bold" if bold else "normal", bbox=behind)  # fmt: skip

    top = HEAD + COURSE + TIMES
    heads = ("● 1 in 20 by", "○ half by")
    put(0.0, top - 8.0, "limit")
    if roomy:
        put(width - NUMBERS, top - 8.0, heads[0], "right")
        put(width, top - 8.0, heads[1], "right")
    else:
        put(width, top - 8.0, "  ".join(heads), "right")
    for i, limit in enumerate(shown.limits):
        y = top + row * i + (ROW / 2.0 if roomy else 8.0)
        put(0.0, y, limit.name, bold=limit.bold)
        if roomy:
            put(width - NUMBERS, y, limit.told[0], "right", limit.bold)
            put(width, y, limit.told[1], "right", limit.bold)
        else:
            put(width, y, " · ".join(limit.told), "right", limit.bold)


def _tell(axes: Axes, shown: After) -> None:
    """Let the values of a moment show under the pointer."""
    edges, middles = _hours(shown, HOVERS)
    air, out = (by_column(edges, shown.trace[c].to_numpy(float), HOVERS)
                for c in ("cabin_temp_c", "outdoor_temp_c"))  # fmt: skip
    half = (middles[1] - middles[0]) / 2.0
    for i, middle in enumerate(middles):
        when = f"{fixed(abs(middle), 1)} h {'after' if middle > 0 else 'before'} the cut"
        text = f"{when}: air inside {degrees(air[i], 0)}, outdoors {degrees(out[i], 0)}"
        ink.hover(axes, middle - half, middle + half, text)
