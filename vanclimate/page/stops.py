"""The picture of a trip: its stops along the dates, and what warmth, fuel, bank and water do.

What does not belong here: what is said of the trip (trip.py).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np

from vanclimate.page import ink
from vanclimate.page.hours import two_scales

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from vanclimate.network.compile import Array

BINS = 220  # spans that a trip's lines are drawn through
SIDE = 44.0  # px left and right of the plots, for their scales
BOX = 18.0  # px of the stops' row
LINE = 13.0  # px of a line of words below it
WARM, LEVELS = 92.0, 92.0  # px of the two plots
HEAD = 16.0  # px of a line of words above a plot
FOOT = 20.0  # px of the dates
FAR = 0.5  # of the range of temperatures: a limit farther off is not drawn
APART = 0.1  # h between two stops from which a line has a gap
RULED = 40  # stops up to which a line parts them in the plots
ROOM = 26.0  # px of a stop from which words are written below it


@dataclass(frozen=True)
class Leg:
    """One stop, the drive to it included; hours since the trip's start.

    Attributes
    ----------
    number : from 1
    begins, arrives, ends : of the drive, the stay, and the stop
    lines : words below it, as far as they fit
    told : what shows under the pointer
    """

    number: int
    begins: float
    arrives: float
    ends: float
    lines: tuple[str, ...]
    told: str


@dataclass(frozen=True)
class Track:
    """Values over one stop: (rows + 1,) edges [h] since the trip's start, (rows,) values."""

    edges: Array
    values: Array

    def spans(self, total: float, how: Callable[..., Array]) -> tuple[Array, Array]:
        """Return centres and extremes of spans, by `np.minimum` and its like's ``reduceat``."""
        count = len(self.values)
        wanted = max(1, round(BINS * (self.edges[-1] - self.edges[0]) / total))
        starts = np.unique(np.linspace(0, count, min(wanted, count), endpoint=False).astype(int))
        ends = np.append(starts[1:], count)
        return (self.edges[starts] + self.edges[ends]) / 2.0, how(self.values, starts)

    def means(self, total: float) -> tuple[Array, Array]:
        """Return centres and means of spans."""
        centres, sums = self.spans(total, np.add.reduceat)
        _, counts = Track(self.edges, np.ones(len(self.values))).spans(total, np.add.reduceat)
        return centres, sums / counts


def _flowing(tracks: Sequence[Track]) -> list[Track]:
    """Return tracks with those that follow each other at once as one."""
    found: list[Track] = []
    for track in tracks:
        if found and abs(track.edges[0] - found[-1].edges[-1]) < APART:
            edges = np.append(found[-1].edges, track.edges[1:])
            found[-1] = Track(edges, np.append(found[-1].values, track.values))
        else:
            found.append(track)
    return found


@dataclass(frozen=True)
class Level:
    """What fills and empties: a tank, or the bank.

    Attributes
    ----------
    name : with what is left of it
    tracks : one a stop
    full : what is 100 %
    ink, dash : its line's
    kept : what must stay in it
    """

    name: str
    tracks: tuple[Track, ...]
    full: float
    ink: str
    dash: Any = "-"
    kept: float = 0.0


@dataclass(frozen=True)
class Stops:
    """What the picture shows.

    Attributes
    ----------
    start : of the trip
    legs : its stops
    felt, outdoors : temperatures [°C] of each
    limits : temperatures wanted asleep, drawn as lines
    wanted : how they are written
    levels : below the temperatures
    unfit, dry : moments from which nights are too warm or cold, and something runs out [h], by
        their names
    """

    start: datetime
    legs: tuple[Leg, ...]
    felt: tuple[Track, ...]
    outdoors: tuple[Track, ...]
    limits: tuple[float, ...]
    wanted: str
    levels: tuple[Level, ...]
    unfit: tuple[tuple[float, str], ...]
    dry: tuple[tuple[float, str], ...]

    @property
    def length(self) -> float:
        """Hours of the whole trip."""
        return self.legs[-1].ends


def draw_stops(shown: Stops, width: float) -> Figure:
    """Return the picture at a width [px]."""
    lines = _lines_that_fit(shown, width)
    legend = ["felt inside", "outdoor air", shown.wanted]
    warm, levels = _keys(legend, width), _keys([level.name for level in shown.levels], width)
    tops = [BOX + LINE * lines + 4.0 + HEAD * warm]
    tops.append(tops[0] + WARM + 4.0 + HEAD * levels)
    total = tops[1] + LEVELS + FOOT
    figure = ink.figure(width, total, layout=None)

    def axes(above: float, height: float) -> Axes:
        share = (SIDE / width, 1.0 - (above + height) / total,
                 1.0 - 2.0 * SIDE / width, height / total)  # fmt: skip
        found = figure.add_axes(share)
        found.set_xlim(0.0, shown.length)
        return found

    top = BOX + LINE * lines
    _draw_legs(axes(0.0, top), shown, width, top, lines)
    plots = [axes(tops[0], WARM), axes(tops[1], LEVELS)]
    _draw_temperatures(plots[0], shown)
    _draw_levels(plots[1], shown)
    for plot, rows, count in ((plots[0], warm, 3), (plots[1], levels, len(shown.levels))):
        plot.legend(
            loc="lower left", bbox_to_anchor=(-SIDE / (width - 2.0 * SIDE), 1.0),
            ncol=1 if rows == count else count, fontsize=ink.SMALL, borderaxespad=0.1,
            handlelength=2.2, columnspacing=1.2, labelspacing=0.3,
        )  # fmt: skip
        for leg in shown.legs[1:] if len(shown.legs) <= RULED else ():
            plot.axvline(leg.begins, color=ink.light("rule"), lw=0.8)
        _date_axis(plot, shown, width, named=plot is plots[-1])
    for leg in shown.legs:
        ink.hover(plots[0], leg.begins, leg.ends, leg.told)
    return figure


def _keys(names: Sequence[str], width: float) -> int:
    """Return how many rows the names of lines take above a plot: one where they fit."""
    wide = sum(ink.text_width(name, ink.SMALL) + 46.0 for name in names)
    return 1 if wide <= width else len(names)


def _pixels(shown: Stops, width: float) -> float:
    """Return px of an hour."""
    return (width - 2.0 * SIDE) / shown.length


def _lines_that_fit(shown: Stops, width: float) -> int:
    """Return how many lines of words stand below the stops: those that fit below most of them."""
    scale = _pixels(shown, width)
    most = max(len(leg.lines) for leg in shown.legs)
    for count in range(most, 0, -1):
        wide = [
            leg for leg in shown.legs
            if ink.text_width(leg.lines[count - 1], ink.SMALL) <= scale * (leg.ends - leg.begins)
        ]  # fmt: skip
        if 2 * len(wide) >= len(shown.legs):
            return count
    return 0


def _draw_legs(axes: Axes, shown: Stops, width: float, top: float, lines: int) -> None:
    """Draw a box a stop, hatched while the van drives, with its number, and words below."""
    axes.set_ylim(top, 0.0)
    axes.set_axis_off()
    scale, soft = _pixels(shown, width), ink.light("soft")
    for leg in shown.legs:
        if leg.arrives > leg.begins:
            axes.barh(BOX / 2.0, leg.arrives - leg.begins, BOX - 2.0, leg.begins, lw=0.8,
                      facecolor="none", edgecolor=soft, hatch="////")  # fmt: skip
        axes.barh(BOX / 2.0, leg.ends - leg.arrives, BOX - 2.0, leg.arrives, lw=0.8,
                  facecolor=ink.light("wash"), edgecolor=soft)  # fmt: skip
        room = scale * (leg.ends - leg.arrives)
        if room >= ink.text_width(str(leg.number), ink.NORMAL, bold=True):
            axes.text((leg.arrives + leg.ends) / 2.0, BOX / 2.0, str(leg.number), ha="center",
                      va="center_baseline", fontweight="bold")  # fmt: skip
        room = scale * (leg.ends - leg.begins) - 3.0
        for i, text in enumerate(leg.lines[:lines]):
            fits = ink.text_width(text, ink.SMALL) <= room
            said = text if fits else ink.fitted(text, room, ink.SMALL) if i == 0 else ""
            if room >= ROOM and said:
                axes.text(leg.begins + 2.0 / scale, BOX + LINE * (i + 0.5), said, va="center",
                          fontsize=ink.SMALL)  # fmt: skip


def _draw_temperatures(axes: Axes, shown: Stops) -> None:
    """Draw what is felt inside, and the outdoor air from its low to its high."""
    total, seen = shown.length, list[float]()
    for i, (felt, out) in enumerate(zip(*map(_flowing, (shown.felt, shown.outdoors)), strict=True)):
        at, inside = felt.means(total)
        axes.plot(at, inside, color=ink.light("inside"), lw=2.0,
                  label="" if i else "felt inside")  # fmt: skip
        at, least = out.spans(total, np.minimum.reduceat)
        _, most = out.spans(total, np.maximum.reduceat)
        axes.fill_between(at, least, most, color=ink.light("rule"), lw=0.0, zorder=0.5)
        for edge in (least, most):
            axes.plot(at, edge, color=ink.light("outside"), lw=1.1, ls=(0, (4, 1.6)),
                      label="" if i or edge is most else "outdoor air")  # fmt: skip
        seen += [float(x) for x in (inside.min(), inside.max(), least.min(), most.max())]
    reach = max(max(seen) - min(seen), 4.0)
    low, high = min(seen) - FAR * reach, max(seen) + FAR * reach
    near = [x for x in shown.limits if low < x < high]
    for i, value in enumerate(near):
        axes.axhline(value, color=ink.light("no"), lw=1.1, ls=(0, (1, 1.6)),
                     label="" if i else shown.wanted)  # fmt: skip
    low, high = min([*seen, *near]), max([*seen, *near])
    axes.set_ylim(low - 0.06 * reach, high + 0.08 * reach)
    two_scales(axes)
    axes.grid(axis="y")
    _mark(axes, shown.unfit)


def _draw_levels(axes: Axes, shown: Stops) -> None:
    """Draw how full tanks and bank are, in percent."""
    total = shown.length
    for level in shown.levels:
        for i, track in enumerate(_flowing(level.tracks)):
            at, least = track.spans(total, np.minimum.reduceat)
            axes.plot(at, 100.0 * least / level.full, color=ink.light(level.ink), lw=2.0,
                      ls=level.dash, label="" if i else level.name)  # fmt: skip
        if level.kept > 0.0:
            axes.fill_between([0, total], 0.0, 100.0 * level.kept / level.full, hatch="////",
                              facecolor="none", edgecolor=ink.light("soft"), lw=0)  # fmt: skip
    axes.set_ylim(-2.0, 106.0)
    axes.set_yticks([0, 50, 100])
    axes.set_yticklabels(["0 %", "50 %", "100 %"])
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="y")
    _mark(axes, shown.dry)


def _mark(axes: Axes, moments: Sequence[tuple[float, str]]) -> None:
    """Mark moments by dotted lines with their names, one name below the other."""
    end = axes.get_xlim()[1]
    behind = {"facecolor": ink.light("paper"), "edgecolor": "none", "pad": 0.5}
    for i, (at, name) in enumerate(moments):
        axes.axvline(at, color=ink.light("no"), lw=1.6, ls=(0, (1, 1.4)))
        late = at > 0.55 * end
        axes.annotate(name, (at, 1.0), xycoords=("data", "axes fraction"), va="top",
                      xytext=(-4 if late else 4, -3 - 14 * i), textcoords="offset points",
                      ha="right" if late else "left", color=ink.light("no"),
                      fontsize=ink.SMALL, fontweight="bold", bbox=behind)  # fmt: skip


def _date_axis(axes: Axes, shown: Stops, width: float, named: bool) -> None:
    """Mark midnights, as many as there is room for."""
    first = shown.start.replace(hour=0, minute=0, second=0, microsecond=0)
    days = int(shown.length // 24) + 2
    room = max(2.0, (width - 2.0 * SIDE) / 50.0)
    step = next((s for s in (1, 2, 3, 5, 7, 10, 14, 28, 56, 91) if days / s <= room), 182)
    moments = [first + timedelta(days=i) for i in range(1, days, step)]
    places = [((m - shown.start).total_seconds() / 3600.0, m) for m in moments]
    places = [(x, m) for x, m in places if 0.0 <= x <= shown.length]
    axes.set_xticks([x for x, _ in places])
    axes.set_xticklabels([f"{m:%b} {m.day}" for _, m in places] if named else [])
    axes.tick_params(axis="x", length=3 if named else 0)
