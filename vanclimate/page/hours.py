"""The picture of some hours: temperatures, what cools or heats, and the bank, one over the other.

What does not belong here: which hours, and what is said of them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.trace import run_columns
from vanclimate.page import ink
from vanclimate.page.common import degrees
from vanclimate.report.chart import by_column
from vanclimate.report.numbers import fixed
from vanclimate.units import show

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from vanclimate.network.compile import Array
    from vanclimate.simulate.runs import Run
    from vanclimate.van.sheet import Sheet

BINS = 160  # spans of time that a line is drawn through
HOVERS = 17  # places along the axis that tell their values; about one in half an hour of a night
FAR = 0.6  # of the range of temperatures: a limit farther off is not drawn
BROAD = 560.0  # px from which on all names of lines stand side by side
_CLEAR = {"facecolor": ink.light("paper"), "edgecolor": "none", "pad": 1.0}  # behind words
DAYS = 40.0  # hours from which on the axis tells days


@dataclass(frozen=True)
class Device:
    """What is on and off below the temperatures: its name, and its column of the trace."""

    name: str
    column: str


@dataclass(frozen=True)
class Course:
    """What some rows of a run hold.

    Attributes
    ----------
    begins : the moment at which the first begins
    columns : by name, see `answers.trace.run_columns`
    """

    begins: datetime
    columns: Mapping[str, NDArray[Any]]

    @property
    def edges(self) -> Array:
        """(rows + 1,) hours since the first row."""
        return edges_of(self.columns["step_s"])


def edges_of(lengths: Array) -> Array:
    """Return (rows + 1,) hours since the first of some rows, each so many seconds long."""
    edges: Array = np.concatenate([[0.0], np.cumsum(lengths / 3600.0)])
    return edges


def course_of(run: Run, sheet: Sheet, way: str, part: slice) -> Course:
    """Return some rows of a run for a picture; no library of tables is loaded for it."""
    begins = run.start + timedelta(seconds=float(run.seconds[part.start]))
    return Course(begins, run_columns(run, sheet, way, part))


@dataclass(frozen=True)
class Hours:
    """What the picture shows.

    Attributes
    ----------
    course : rows of a run
    limits : temperatures [°C] that are drawn as lines, by their names
    devices : that are on and off
    capacity, kept : of the bank, and the charge that must stay in it [Ah]; None: no bank is drawn
    marks : moments by their names
    warm : how high the temperatures are drawn [px], 0 for not at all
    """

    course: Course
    limits: tuple[tuple[str, float], ...]
    devices: tuple[Device, ...]
    capacity: float | None
    kept: float = 0.0
    marks: tuple[tuple[str, datetime], ...] = ()
    warm: float = 176.0

    @property
    def edges(self) -> Array:
        """(rows + 1,) hours since the first row."""
        return self.course.edges

    def column(self, name: str, bins: int = BINS) -> Array:
        """Return the means of a column over equal spans."""
        return by_column(self.edges, self.course.columns[name], bins)


def draw_hours(shown: Hours, width: float) -> Figure:
    """Return the picture at a width [px]; a narrow one has fewer marks, not smaller type."""
    figure = ink.figure(width, tall(shown), layout=None)
    put_hours(figure, shown, width, 0.0, tall(shown))
    return figure


def tall(shown: Hours) -> float:
    """Return how high the picture is [px]."""
    return sum(_heights(shown)) + sum(_gaps(shown))


def _heights(shown: Hours) -> tuple[float, float, float]:
    """Return the heights [px] of temperatures, devices and the bank."""
    strip = 30.0 * len(shown.devices)
    return shown.warm, strip, 78.0 if shown.capacity is not None else 0.0


def _gaps(shown: Hours) -> tuple[float, float, float, float]:
    """Return what lies above each of them, and below the last [px]."""
    warm, strip, bank = _heights(shown)
    between = 14.0 if warm else 0.0
    return (46.0 if warm else 0.0, between if strip else 0.0,
            14.0 if bank else 0.0, 26.0)  # fmt: skip


def put_hours(figure: Figure, shown: Hours, width: float, above: float, total: float) -> None:
    """Draw the picture into a figure, below something else.

    Parameters
    ----------
    figure : of that width
    shown : what is drawn
    width, total : of the figure [px]
    above : what is left free at its top [px]
    """
    heights, gaps = _heights(shown), _gaps(shown)
    left, right = 44.0, 44.0
    tops = [above + gaps[0], above + gaps[0] + heights[0] + gaps[1], total - gaps[3] - heights[2]]
    draws: tuple[Callable[[Axes], None], ...] = (
        lambda axes: _draw_temperatures(axes, shown, width),
        lambda axes: _draw_devices(axes, shown),
        lambda axes: _draw_bank(axes, shown),
    )
    below: list[Axes] = []
    for top, height, draw in zip(tops, heights, draws, strict=True):
        if height:
            box = (left / width, 1 - (top + height) / total, 1 - (left + right) / width,
                   height / total)  # fmt: skip
            below.append(figure.add_axes(box))
            draw(below[-1])
    for each in below:
        _time_axis(each, shown, width, named=each is below[-1])
        for _, moment in shown.marks:
            each.axvline(_since(shown, moment), color=ink.light("no"), lw=1.2, ls=(0, (1, 2)))
    for name, moment in shown.marks:
        at = _since(shown, moment)
        late = at > 0.6 * shown.edges[-1]
        free = below[0] if shown.capacity is None else below[-1]  # devices have words of their own
        free.annotate(
            name, (at, 1.0), xycoords=("data", "axes fraction"), va="top",
            xytext=(-4 if late else 4, -2), textcoords="offset points",
            ha="right" if late else "left", color=ink.light("no"), fontsize=ink.SMALL, bbox=_CLEAR,
        )  # fmt: skip
    _tell(below[0], shown)


def _since(shown: Hours, moment: datetime) -> float:
    return (moment - shown.course.begins).total_seconds() / 3600.0


def _centres(shown: Hours, bins: int = BINS) -> Array:
    centres: Array = (np.arange(bins) + 0.5) * shown.edges[-1] / bins
    return centres


def _draw_temperatures(axes: Axes, shown: Hours, width: float) -> None:
    """Draw inside and outdoors, °F to the left and °C to the right."""
    at = _centres(shown)
    inside, outdoors = shown.column("operative_temp_c"), shown.column("outdoor_temp_c")
    least = float(min(inside.min(), outdoors.min()))
    most = float(max(inside.max(), outdoors.max()))
    reach = max(most - least, 4.0)
    near = [(n, t) for n, t in shown.limits if least - FAR * reach < t < most + FAR * reach]
    low, high = min([least, *(t for _, t in near)]), max([most, *(t for _, t in near)])
    axes.set_ylim(low - 0.06 * (high - low), high + 0.08 * (high - low))
    axes.plot(at, inside, color=ink.light("inside"), lw=2.4, label="felt inside")
    axes.plot(at, outdoors, color=ink.light("outside"), lw=1.6, ls=(0, (5, 2)), label="outdoor air")
    for (name, value), dashes in zip(near, ((1.0, 1.6), (4.0, 1.5, 1.0, 1.5)), strict=False):
        told = " · ".join(show(value, "temperature", units, 3) for units in ("us", "si"))
        axes.axhline(value, color=ink.light("no"), lw=1.4, ls=(0, dashes), label=f"{name} {told}")
    two_scales(axes)
    axes.grid(axis="y")
    axes.legend(loc="lower left", bbox_to_anchor=(-0.01, 1.0), fontsize=ink.SMALL,
                ncol=4 if width > BROAD else 2,
                borderaxespad=0.1, handlelength=2.4, columnspacing=1.2)  # fmt: skip


def two_scales(axes: Axes) -> None:
    """Write °F to the left and °C to the right of an axis in °C."""
    from matplotlib.ticker import MaxNLocator

    low, high = axes.get_ylim()
    whole = MaxNLocator(5, steps=[1, 2, 5, 10]).tick_values
    right = axes.twinx()
    right.set_ylim(low, high)
    right.set_yticks([t for t in whole(low, high) if low <= t <= high])
    right.set_yticklabels([f"{fixed(t)} °C" for t in right.get_yticks()])
    far = [t for t in whole(1.8 * low + 32, 1.8 * high + 32) if low <= (t - 32) / 1.8 <= high]
    axes.set_yticks([(t - 32) / 1.8 for t in far])
    axes.set_yticklabels([f"{fixed(t)} °F" for t in far])
    for side in ("top", "left", "right"):
        right.spines[side].set_visible(False)
    axes.spines["left"].set_visible(False)
    for each in (axes, right):
        each.tick_params(axis="y", length=0)


def _draw_devices(axes: Axes, shown: Hours) -> None:
    """Draw what is on and off, each in a row of its own, filled as far as it is on."""
    at = np.linspace(0.0, shown.edges[-1], BINS + 1)
    axes.set_ylim(-len(shown.devices), 0)
    for i, device in enumerate(shown.devices):
        share = np.clip(shown.column(device.column), 0.0, 1.0)
        base = -i - 1 + 0.12
        axes.stairs(base + 0.5 * share, at, baseline=base, fill=True, color=ink.light("device"))
        axes.axhline(base, color=ink.light("rule"), lw=0.7)
        axes.text(0.0, base + 0.54, f"{device.name}: how much of the time on", fontsize=ink.SMALL,
                  transform=axes.get_yaxis_transform(), va="bottom")  # fmt: skip
    axes.set_yticks([])
    for side in ("left", "bottom"):
        axes.spines[side].set_visible(False)


def _draw_bank(axes: Axes, shown: Hours) -> None:
    """Draw the charge over what must stay, as a share of the bank."""
    assert shown.capacity, "draw_hours asks"
    at = _centres(shown)
    share = 100.0 * shown.column("battery_charge_ah") / shown.capacity
    axes.fill_between(at, 0.0, share, color=ink.light("bank"), alpha=0.25, lw=0)
    axes.plot(at, share, color=ink.light("bank"), lw=2.0)
    kept = 100.0 * shown.kept / shown.capacity
    axes.fill_between([0, shown.edges[-1]], 0.0, kept, hatch="////", facecolor="none",
                      edgecolor=ink.light("soft"), lw=0)  # fmt: skip
    axes.set_ylim(0, max(104.0, float(share.max()) + 2))
    axes.set_yticks([0, 50, 100])
    axes.set_yticklabels(["0 %", "50 %", "100 %"])
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="y")
    hatched = ", hatched: must stay in it" if kept > 0 else ""
    axes.text(0.0, 1.02, f"charge of the bank{hatched}", transform=axes.transAxes,
              fontsize=ink.SMALL, va="bottom")  # fmt: skip


def _time_axis(axes: Axes, shown: Hours, width: float, named: bool) -> None:
    """Mark hours, of long spans days; their names stand under the lowest axes only."""
    first, length = shown.course.begins, float(shown.edges[-1])
    axes.set_xlim(0.0, length)
    room = max(2.0, (width - 88.0) / 46.0)  # names that fit
    by_day = length > DAYS
    steps = (24, 48, 72, 120, 240, 480) if by_day else (1, 2, 3, 4, 6, 12)
    step = next((s for s in steps if length / s <= room), steps[-1])
    whole = first.replace(minute=0, second=0, microsecond=0)
    if by_day:
        whole = whole.replace(hour=0)
    moments = [whole + timedelta(hours=i) for i in range(int(length) + 26)]
    kept = [m for m in moments if (m.hour % step == 0 if not by_day else m.hour == 0)]
    if by_day:
        kept = kept[:: step // 24]
    places = [((m - first).total_seconds() / 3600.0, m) for m in kept]
    places = [(x, m) for x, m in places if 0.0 <= x <= length]
    axes.set_xticks([x for x, _ in places])
    names = [f"{m:%b} {m.day}" if by_day else f"{m:%H:%M}" for _, m in places]
    axes.set_xticklabels(names if named else [])
    axes.tick_params(axis="x", length=3 if named else 0)


def _tell(axes: Axes, shown: Hours) -> None:
    """Let the values of a moment show under the pointer."""
    edges = np.linspace(0.0, shown.edges[-1], HOVERS + 1)
    inside, out = (shown.column(x, HOVERS) for x in ("operative_temp_c", "outdoor_temp_c"))
    charge = None
    if shown.capacity:
        charge = 100.0 * shown.column("battery_charge_ah", HOVERS) / shown.capacity
    first = shown.course.begins
    for i in range(HOVERS):
        begins = first + timedelta(hours=float(edges[i]))
        ends = first + timedelta(hours=float(edges[i + 1]))
        text = (
            f"{begins:%b} {begins.day}, {begins:%H:%M} to {ends:%H:%M}: felt inside "
            f"{degrees(inside[i])}, outdoors {degrees(out[i])}"
        )
        if charge is not None:
            text += f", bank {charge[i]:.0f} %"
        ink.hover(axes, float(edges[i]), float(edges[i + 1]), text)
