"""From a file's rows to whole hours: values at the edges, sunlight as means between them.

One way for every format: a file's own stamps are in its `Table`, and here they are met. What does
not belong here: what a file leaves out (``complete``) and how a format is read (``formats``).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from vanclimate.errors import WeatherError
from vanclimate.site.clock import HOURS_OF_YEAR, FloatArray
from vanclimate.site.complete import complete_hours, complete_rows
from vanclimate.site.table import QUANTITIES, SUN, Hours, Table

HOUR = 3600.0
YEAR = HOUR * HOURS_OF_YEAR
WHOLE = 0.75  # share of an hour's shorter rows that must be there; common practice, no source
LONGEST_FILLED = 3.0  # h
SAMPLES = 12  # of an hour, from which the mean of a sun known at an instant is taken

Mask = NDArray[np.bool_]


def lay(table: Table, name: str, fill: bool = False) -> Hours:
    """Lay a table on whole hours.

    Parameters
    ----------
    table : the file as read
    name : the file, for messages
    fill : gaps of up to 3 h are bridged by straight lines, and said; what is longer stays NaN in a
        real year, so that the nights it touches can be left out

    Raises
    ------
    WeatherError
        for a gap that is not filled, naming row and column; for less than a day of rows

    Notes
    -----
    Edges: values read at an instant are joined by straight lines; means, and values of the hour's
    middle, become edges between which straight lines have them, see `_between_means`. Hours:
    sunlight of shorter rows is the mean of what covers the hour; sunlight known at one instant of
    the hour is spread over it by its ratio to a clear sky, see `_spread_instants`.
    """
    table = complete_rows(table, name)
    start, n = _grid(table, name)
    edges = start + HOUR * np.arange(n + 1, dtype=np.float64)
    arrays: dict[str, FloatArray] = {}
    bridged: dict[str, int] = {}
    for quantity, values in table.columns.items():
        lined = quantity in SUN
        found = _means(table, values, edges) if lined else _edges(table, quantity, values, edges)
        if quantity == "wind_direction":
            found = np.nan_to_num(found)  # told of, never used: no reason to refuse an hour
        if np.isnan(found).any():
            found, filled = _bridged(table, quantity, found, edges, name, fill)
            bridged[quantity] = filled
        arrays[quantity] = found
    if table.sun is not None:
        _spread_instants(table, arrays, start, n)
    arrays, derived = complete_hours(arrays, table.station, start, n)
    return Hours(int(start), arrays, (*table.notes, *_told(table, bridged), *derived))


def _told(table: Table, bridged: dict[str, int]) -> list[str]:
    """Return a note of what was filled, in the file's own columns; none where nothing was."""
    own = {table.name_of(quantity): hours for quantity, hours in bridged.items()
           if hours and quantity in (table.names or bridged)}  # fmt: skip
    if not own:
        return []
    alike = len(set(own.values())) == 1 and len(own) > 1
    each = [f"{hours} h in {name}" for name, hours in own.items()]
    said = f"{max(own.values())} h in each column" if alike else ", ".join(each)
    return [f"gaps of up to {LONGEST_FILLED:.0f} h filled by straight lines: {said}"]


def _grid(table: Table, name: str) -> tuple[float, int]:
    """Return the first hour's start [s since 1970] and how many whole hours the rows cover."""
    first, last = float(table.start[0]), float(table.start[-1]) + table.step
    phase = first % HOUR if table.step == HOUR else 0.0
    # the first and the last hour count where as much of them is there as of any other
    spare = (1.0 - WHOLE) * HOUR if table.step < HOUR else 0.0
    start = np.ceil((first - spare - phase) / HOUR) * HOUR + phase
    n = int((last + spare - start) // HOUR)
    if table.typical:
        n = HOURS_OF_YEAR
    elif n < 24:
        raise WeatherError(name, found=f"{max(0, n)} whole hours", allowed="a day or more")
    return float(start), n


def _means(table: Table, values: FloatArray, edges: FloatArray) -> FloatArray:
    """Return the means over the hours of a quantity that is a mean over each row's interval.

    The running sums of value and of time covered are straight between the rows' ends.
    """
    begin = table.start.astype(float)
    if table.step == HOUR and len(begin) == len(edges) - 1 and begin[0] == edges[0]:
        return values.astype(float)  # the rows are the hours
    end = np.minimum(begin + table.step, np.append(begin[1:], np.inf))
    there = ~np.isnan(values)
    width = np.where(there, end - begin, 0.0)
    knots = np.stack([begin, end], axis=1).ravel()
    covered = np.interp(edges, knots, _running(width))
    summed = np.interp(edges, knots, _running(np.where(there, values, 0.0) * width))
    share = np.diff(covered) / HOUR
    with np.errstate(invalid="ignore", divide="ignore"):
        mean: FloatArray = np.diff(summed) / np.diff(covered)
    return np.where(share >= WHOLE - 1e-9, mean, np.nan)


def _running(steps: FloatArray) -> FloatArray:
    """Return a running sum at the start and the end of each row, one after the other."""
    total = np.concatenate([[0.0], np.cumsum(steps)])
    return np.stack([total[:-1], total[1:]], axis=1).ravel()


def _edges(table: Table, quantity: str, values: FloatArray, edges: FloatArray) -> FloatArray:
    """Return a quantity at the edges of the hours; NaN where no row is near."""
    if quantity == "wind_direction":
        turned = np.radians(values)
        parts = (_straight_or_mean(table, f(turned), edges) for f in (np.sin, np.cos))
        return np.mod(np.degrees(np.arctan2(*parts)), 360.0)
    if quantity == "ceiling":
        return _nearest(table, values, edges)
    found = _straight_or_mean(table, values, edges)
    low, high = QUANTITIES[quantity]
    return np.clip(found, low, high)


def _straight_or_mean(table: Table, values: FloatArray, edges: FloatArray) -> FloatArray:
    # many rows an hour become their mean, so that a gust counts as such; what holds in the hour's
    # middle is what straight lines have for its mean
    if table.step < HOUR or table.points in (None, 0.5):
        return _between_means(_means(_around(table), values, edges), table.typical)
    at = np.asarray(table.start + table.points * table.step, dtype=np.float64)
    return _straight(at, values, edges, table.typical)


def _around(table: Table) -> Table:
    """Return a table whose rows' intervals lie around the moments at which they were read."""
    if table.points in (None, 0.5):
        return table
    assert table.points is not None
    shift = round((table.points - 0.5) * table.step)
    return replace(table, start=table.start + shift)


def _straight(at: FloatArray, values: FloatArray, edges: FloatArray, wraps: bool) -> FloatArray:
    """Return straight lines between samples no farther apart than an hour; ends are held."""
    there = ~np.isnan(values)
    at, values = at[there], values[there]
    if wraps:
        at = np.concatenate([at[-1:] - YEAR, at, at[:1] + YEAR])
        values = np.concatenate([values[-1:], values, values[:1]])
    if not at.size:
        return np.full(len(edges), np.nan)
    found = np.interp(edges, at, values)
    after = np.searchsorted(at, edges - 1e-6)
    left = at[np.clip(after - 1, 0, len(at) - 1)]
    right = at[np.clip(after, 0, len(at) - 1)]
    # at an end both are the same sample, and its value is held for an hour at most
    near = (right - left < HOUR + 1.0) & (np.abs(edges - left) < HOUR + 1.0)
    near |= np.abs(edges - right) < 1.0
    return np.where(near, found, np.nan)


def _between_means(means: FloatArray, wraps: bool) -> FloatArray:
    """Return values at the edges of hours whose means are known.

    ``(5 (m0 + m1) - (m-1 + m2)) / 8``: to fourth order, straight lines between such edges have the
    means that were given. (Values of the smooth curve itself, with 7 and 12 in the formula's place,
    would not: on a night that cools ever more slowly straight lines lie above the curve, by 0.05 K
    in the mean of an ordinary day.) A missing neighbour leaves the mean of the two beside the edge,
    and at an end the only one there is.
    """
    if wraps:
        padded = np.concatenate([means[-2:], means, means[:2]])
    else:
        padded = np.concatenate([[np.nan] * 2, means, [np.nan] * 2])
    before, left, right, after = (padded[i : len(padded) - 3 + i] for i in range(4))
    plain = 0.5 * (left + right)
    fourth = (5.0 * (left + right) - (before + after)) / 8.0
    found: FloatArray = np.where(np.isnan(fourth), plain, fourth)
    if not wraps:
        found[0], found[-1] = means[0], means[-1]
    return found


def _nearest(table: Table, values: FloatArray, edges: FloatArray) -> FloatArray:
    """Return the value of the row nearest to each edge; of a typical year, round New Year too."""
    at = table.start + (0.5 if table.points is None else table.points) * table.step
    if table.typical:
        steps = np.round((edges - at[0]) / table.step - 1e-6).astype(int)
        turned: FloatArray = values[steps % len(values)]
        return turned
    position = np.searchsorted(at, edges - 0.5 * table.step)
    return values[np.clip(position, 0, len(values) - 1)]


def _bridged(
    table: Table, quantity: str, found: FloatArray, edges: FloatArray, name: str, fill: bool
) -> tuple[FloatArray, int]:
    """Return an array whose short gaps are bridged, and how many values that took.

    Raises
    ------
    WeatherError
        for any gap where filling is not asked for, and for a long one in a typical year
    """
    missing = np.isnan(found)
    starts, lengths = runs_of(missing)
    # k rows that are missing leave k edges open where edges are what is read, else k + 1
    read_at_edges = table.points in (0.0, 1.0) and table.step == HOUR
    extra = 0 if read_at_edges or len(found) != len(edges) else 1
    longest = int(np.argmax(lengths))
    worst = float(lengths[longest]) - extra
    if not fill or (table.typical and worst > LONGEST_FILLED):
        at = int(starts[longest if fill else 0])
        hours = max(1, int(lengths[longest if fill else 0]) - extra)
        moment = datetime.fromtimestamp(edges[at], UTC)
        row = table.first_row + int(np.searchsorted(table.start, edges[at]))
        allowed = (
            "gaps of 3 h at most"
            if fill
            else "every hour; `gaps: fill` under `site`, or --fill, bridges gaps to 3 h"
        )
        gap = f"{hours} h without a value from {moment:%Y-%m-%d %H:%M} UTC"
        raise WeatherError(name, row, table.name_of(quantity), gap, allowed)
    if missing.all():
        return found, 0
    index = np.arange(len(found))
    bridged = np.interp(index, index[~missing], found[~missing])
    short = np.zeros(len(found), dtype=bool)
    hours = 0
    for at, length in zip(starts, lengths, strict=True):
        inside = at > 0 and at + length < len(found)
        if inside and length - extra <= LONGEST_FILLED:
            short[at : at + length] = True
            hours += max(1, int(length) - extra)
    return np.where(short, bridged, found), hours


def runs_of(mask: Mask) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Return where runs of True start, and how long they are."""
    steps = np.diff(np.concatenate([[0], mask.astype(np.int8), [0]]))
    starts = np.flatnonzero(steps == 1)
    return starts, np.flatnonzero(steps == -1) - starts


def _spread_instants(table: Table, arrays: dict[str, FloatArray], start: float, n: int) -> None:
    """Turn sunlight known at one instant of each hour into the hour's mean, in place.

    Its ratio to a clear sky (Haurwitz 1945, in pvlib) goes in straight lines from instant to
    instant, and the mean of ratio times clear sky over the hour is the hour's. Where the clear sky
    gives less than 20 W/m2 no ratio is taken and the line goes on. Diffuse light keeps its share of
    the global.
    """
    from vanclimate.site.clearsky import haurwitz_ghi
    from vanclimate.site.sun import zenith_at

    assert table.sun is not None
    station = table.station
    at = np.asarray(start + HOUR * (np.arange(n) + table.sun), dtype=np.float64)
    parts = (np.arange(SAMPLES) + 0.5) / SAMPLES
    fine = np.asarray(start + HOUR * (np.arange(n)[:, None] + parts), dtype=np.float64).ravel()

    quarters = start + HOUR / 4.0 * np.arange(4 * n + 1, dtype=np.float64)
    zenith = zenith_at(quarters, station.latitude, station.longitude)
    height = np.cos(np.radians(zenith))

    def clear(moments: FloatArray) -> FloatArray:
        # between quarters of an hour the height's sine is as good as straight: 0.0005 at most
        at_moments = np.degrees(np.arccos(np.interp(moments, quarters, height)))
        return haurwitz_ghi(at_moments)

    there, around = clear(at), clear(fine)
    ghi = arrays["ghi"]
    known = (there > 20.0) & ~np.isnan(ghi)
    if not known.any():
        return
    ratio = np.interp(fine, at[known], ghi[known] / there[known])
    mean = (ratio * around).reshape(n, SAMPLES).mean(axis=1)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(ghi > 0.0, arrays["dhi"] / ghi, np.nan) if "dhi" in arrays else None
    arrays["ghi"] = np.where(np.isnan(ghi), np.nan, mean)
    if share is not None:
        known = ~np.isnan(share) & known
        kept = np.interp(at, at[known], share[known]) if known.any() else np.ones(n)
        arrays["dhi"] = arrays["ghi"] * np.clip(kept, 0.0, 1.0)
    arrays.pop("dni", None)  # follows from the other two with the hour's own sun
