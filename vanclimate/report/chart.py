"""A small chart of the night in characters: temperatures above, the bank below.

What does not belong here: what is drawn (the runs come from answers/).
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from math import ceil, floor
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from vanclimate.report.numbers import fixed, in_units, scale
from vanclimate.units import show

if TYPE_CHECKING:
    from vanclimate.answers.night import Night
    from vanclimate.network.compile import Array
    from vanclimate.units import System

MOST_ROWS = 9
FAR = 0.5  # of the range of temperatures: a limit farther off is not drawn
STEPS = (0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 10.0, 20.0, 50.0)  # degrees from row to row
AXIS = 7  # characters left of the plot


class Signs(NamedTuple):
    """The characters that a chart is drawn with."""

    felt: str
    outdoor: str
    both: str
    limit: str
    edge: str
    bars: str


FULL_SIGNS = Signs("●", "○", "◉", "┄", "│", " ▁▂▃▄▅▆▇█")
PLAIN_SIGNS = Signs("*", "o", "@", "-", "|", "0123456789")


def by_column(seconds: Array, values: Array, columns: int) -> Array:
    """Return the means of stepwise values over equal spans of time.

    Parameters
    ----------
    seconds : (rows + 1,) edges of the rows
    values : (rows,)
    columns : number of spans

    >>> by_column(np.array([0.0, 1.0, 2.0]), np.array([1.0, 3.0]), 2).tolist()
    [1.0, 3.0]
    """
    sums = np.concatenate([[0.0], np.cumsum(values * np.diff(seconds))])
    edges = np.linspace(seconds[0], seconds[-1], columns + 1)
    means: Array = np.diff(np.interp(edges, seconds, sums)) / np.diff(edges)
    return means


def night_chart(night: Night, system: System, width: int, signs: Signs) -> list[str]:
    """Return the lines of the chart, none longer than the width."""
    from vanclimate.answers.judge import felt_temperature, night_rows

    run = night.runs[night.main]
    part = night_rows(run, night.bedtime, night.sheet)
    edges = run.seconds[part.start : part.stop + 1]
    columns = max(20, min(68, width - AXIS - 8))

    def degrees(values: Array) -> list[float]:
        return [in_units(float(v), "temperature", system) for v in values]

    felt = degrees(by_column(edges, felt_temperature(run, night.sheet, night.main)[part], columns))
    outdoor = degrees(by_column(edges, run.outdoor[part], columns))
    cold = night.which == "coldest"
    edge = night.sheet.people.least if cold else night.sheet.people.limit
    limit = in_units(edge, "temperature", system)
    share = run.column("battery_charge_ah")[part] / run.gear.cells.capacity
    said = f"{'least' if cold else 'limit'} {show(edge, 'temperature', system)}"
    lines = _plot(felt, outdoor, limit, signs)
    lines[0] = f"{lines[0]} {scale(system)}"
    lines.append(_bank_line(by_column(edges, share, columns), signs))
    lines.append(_hours_line(night, columns))
    lines.append(
        f"{'':{AXIS}}{signs.felt} felt inside  {signs.outdoor} outdoor air  "
        f"{signs.both} both  {signs.limit} {said}"
    )
    return lines


def _plot(felt: Sequence[float], outdoor: Sequence[float], limit: float, signs: Signs) -> list[str]:
    """Return the temperature rows, the warmest first."""
    bottom, top = min(*felt, *outdoor), max(*felt, *outdoor)
    # a limit far from the night's temperatures would press them flat
    near = bottom - FAR * (top - bottom) <= limit <= top + FAR * (top - bottom)
    if near:
        bottom, top = min(bottom, limit), max(top, limit)
    for step in STEPS:
        low, high = floor(bottom / step) * step, ceil(top / step) * step
        height = round((high - low) / step) + 1
        if height <= MOST_ROWS:
            break

    def row_of(value: float) -> int:
        return round((high - value) / step)

    rows = [[" "] * len(felt) for _ in range(height)]
    if near:
        rows[row_of(limit)] = [signs.limit] * len(felt)
    for i, (inside, outside) in enumerate(zip(felt, outdoor, strict=True)):
        rows[row_of(outside)][i] = signs.outdoor
        same = row_of(outside) == row_of(inside)
        rows[row_of(inside)][i] = signs.both if same else signs.felt
    labels = [fixed(high - step * i, 1 if step < 1 else 0) for i in range(height)]
    return [
        f"{label:>{AXIS - 2}} {signs.edge}{''.join(row)}"
        for label, row in zip(labels, rows, strict=True)
    ]


def _bank_line(share: Array, signs: Signs) -> str:
    """Return the bank's charge as a row of bars, from empty to full."""
    steps = len(signs.bars) - 1
    bars = "".join(signs.bars[round(min(1.0, max(0.0, float(s))) * steps)] for s in share)
    return f"{'bank':>{AXIS - 2}} {signs.edge}{bars} {share[-1]:.0%}"


def _hours_line(night: Night, columns: int) -> str:
    """Return the hours below the plot."""
    length = (night.waking - night.bedtime).total_seconds()
    apart = 1 if columns >= 60 else 2
    line = [" "] * (columns + 2)
    moment = night.bedtime.replace(minute=0) + timedelta(hours=1)
    if night.bedtime.minute == 0:
        moment = night.bedtime
    while moment <= night.waking:
        at = round((moment - night.bedtime).total_seconds() / length * columns)
        if at + 2 <= len(line):
            line[at : at + 2] = f"{moment:%H}"
        moment += timedelta(hours=apart)
    return f"{'hour':>{AXIS - 2}}  {''.join(line).rstrip()}"
