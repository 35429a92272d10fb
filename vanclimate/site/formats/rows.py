"""What every format shares: lines, numbers, stamps and places, checked with row and column.

Columns become arrays in one go; the row of a fault is looked for only where there is one. What does
not belong here: any one format's layout.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from vanclimate.errors import WeatherError
from vanclimate.site.clock import HOURS_OF_YEAR, FloatArray, IntArray, nominal_stamps
from vanclimate.site.table import QUANTITIES, Station
from vanclimate.site.years import NOMINAL_YEAR

HOUR, DAY = 3600, 86_400

DEW_POINT_SLACK = 0.5
"""K by which a dew point may lie above the dry bulb: two roundings to whole degrees Fahrenheit."""

NIGHT_OFFSET = 20.0
"""W/m2 below zero that a pyranometer may read in the dark, its dome colder than its body; the
networks' own limit for a fault is -4 W/m2 (Long & Dutton, BSRN recommended checks, from memory),
widened for single minutes: assumed."""

ZONE_SLACK = 4.0
"""h that a clock may be away from the sun's: 3 in the widest zone, 1 for daylight saving (common
knowledge)."""

PLACE = {
    "latitude": (-90.0, 90.0),
    "longitude": (-180.0, 180.0),
    "elevation": (-430.0, 6000.0),
    "time zone": (-12.0, 14.0),
}

_CODES = (-9999.9, -9999.0, -9900.0, -999.9, -999.0, -99999.0, -99.9, -99.0, 999.0, 9999.0)


@dataclass(frozen=True)
class Source:
    """A file's name, and in which of its rows, counted from 1, record i stands."""

    name: str
    first: int = 2
    stride: int = 1

    def row(self, i: int) -> int:
        """Return the row of record `i`, counted from 0."""
        return self.first + self.stride * i


@dataclass(frozen=True)
class Column:
    """A column that we need.

    Attributes
    ----------
    quantity : key of `table.QUANTITIES`, whose limits hold in SI
    header : its name in the file, with its unit
    scale, offset : ``SI = value * scale + offset``
    codes : values that mean 'missing'
    slack : how far below the least value it may lie, in SI
    """

    quantity: str
    header: str
    scale: float = 1.0
    offset: float = 0.0
    codes: tuple[float, ...] = ()
    slack: float = 0.0


def lines_of(text: str) -> list[str]:
    """Return the lines of a text, without the empty ones at its end."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    while lines and not lines[-1].strip():
        lines.pop()
    return lines


def printable(text: str) -> str:
    """Return a text without what would break a line of a message."""
    return " ".join("".join(c if c.isprintable() else " " for c in text).split())


def split(line: str, delimiter: str = ",") -> list[str]:
    """Return the fields of a line; quotes keep a delimiter inside a field."""
    if '"' not in line:
        return line.split(delimiter)
    if line.count('"') % 2 or len(line) > 100_000:
        return [line]  # a quote that is not closed is no table; the count of fields will say so
    return next(csv.reader([line], delimiter=delimiter))


def table_rows(
    lines: Sequence[str], width: int, source: Source, delimiter: str = ","
) -> list[list[str]]:
    """Return the fields of each line, each of them `width` wide.

    Raises
    ------
    WeatherError
        for the first line with fewer fields, or with more that are not empty
    """
    rows = [split(line, delimiter) for line in lines]
    for i, row in enumerate(rows):
        if len(row) == width:
            continue
        if len(row) > width and not any(field.strip() for field in row[width:]):
            del row[width:]
            continue
        word = "field" if len(row) == 1 else "fields"
        found = f"{len(row)} {word}" if lines[i].strip() else "an empty line"
        raise WeatherError(source.name, source.row(i), None, found, f"{width}, as in the header")
    return rows


def number(text: object) -> float | None:
    """Return a finite number, or None."""
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        return None
    try:
        value = float(text)
    except (ValueError, OverflowError):
        return None
    return value if math.isfinite(value) and "_" not in str(text) else None


def _floats(values: Sequence[object]) -> FloatArray:
    """Return an array; NaN where there is no finite number."""
    try:
        if "_" not in "".join(values):  # type: ignore[arg-type]
            return np.array([float(value) for value in values], dtype=float)  # type: ignore[arg-type]
    except (ValueError, TypeError):
        pass
    found = [number(value) for value in values]
    return np.array([math.nan if value is None else value for value in found], dtype=float)


def numbers(
    values: Sequence[object],
    column: Column,
    source: Source,
    missing: NDArray[np.bool_] | None = None,
) -> FloatArray:
    """Return a column in SI, NaN where missing.

    Parameters
    ----------
    values : texts or numbers, one a record
    missing : True where the file itself says that a value does not count

    Raises
    ------
    WeatherError
        for the first text, or impossible value
    """
    raw = _floats(values)
    gone = np.zeros(len(raw), dtype=bool) if missing is None else missing.copy()
    for code in column.codes:
        gone |= raw == code
    with np.errstate(over="ignore"):
        found = raw * column.scale + column.offset
    low, high = QUANTITIES[column.quantity]
    margin = 1e-9 * max(1.0, abs(high)) if math.isfinite(high) else 0.0
    possible = np.isfinite(raw)
    if math.isfinite(low):
        possible &= (found >= low - column.slack - margin) & (found <= high + margin)
    wrong = ~(possible | gone)
    if wrong.any():
        i = int(np.argmax(wrong))
        _refuse_number(values[i], float(raw[i]), column, source.row(i), source.name)
    found[gone] = np.nan
    if column.quantity == "relative_humidity" and column.scale != 1.0:
        _check_percent(found, column, source)
    return found


def _refuse_number(value: object, raw: float, column: Column, row: int, name: str) -> None:
    low, high = QUANTITIES[column.quantity]
    allowed, hint = "a number", ""
    if math.isfinite(low):
        ends = sorted((end - column.offset) / column.scale for end in (low, high))
        allowed += f" from {ends[0]:g} to {ends[1]:g}"
    text = "nothing" if value is None or not str(value).strip() else str(value).strip()
    if raw in _CODES:
        hint = "a code for a missing value?"
    elif column.quantity in ("temp_air", "temp_dew") and high < raw < 140 and column.scale == 1:
        hint = "degrees Fahrenheit in a column of degrees Celsius?"
    elif text.count(",") == 1 and number(text.replace(",", ".")) is not None:
        hint = "decimals are written with a point"
    raise WeatherError(name, row, column.header, text, allowed, hint)


def _check_percent(found: FloatArray, column: Column, source: Source) -> None:
    """Refuse humidity that is written as a share in a column of percent."""
    known = found[~np.isnan(found)]
    if known.size and float(known.max()) < 0.015:
        highest = f"no value above {known.max() / column.scale:g}"
        hint = "shares from 0 to 1 in a column of percent?"
        raise WeatherError(
            source.name, source.row(0), column.header, highest, "0 to 110 percent", hint
        )


def not_below_zero(columns: dict[str, FloatArray], quantities: Sequence[str]) -> tuple[str, ...]:
    """Set what a pyranometer read below zero to zero, in place; return a note where any was."""
    count = 0
    for quantity in quantities:
        if quantity in columns:
            below = columns[quantity] < 0.0
            columns[quantity][below] = 0.0
            count += int(below.sum())
    words = "values of sun a little below zero, as instruments read in the dark: set to zero"
    return (f"{count} {words}",) if count else ()


def clip_dew_point(
    columns: dict[str, FloatArray], header: str, source: Source, slack: float = DEW_POINT_SLACK
) -> tuple[str, ...]:
    """Clip the dew point to the dry bulb, in place; return a note where that was needed.

    Raises
    ------
    WeatherError
        for the first dew point above the dry bulb by more than `slack` [K]
    """
    if "temp_dew" not in columns or "temp_air" not in columns:
        return ()
    air, dew = columns["temp_air"], columns["temp_dew"]
    far = dew - air > slack + 1e-9  # NaN is not far
    if far.any():
        i = int(np.argmax(far))
        allowed = f"the dry bulb, {air[i]:.1f} °C, or less"
        raise WeatherError(source.name, source.row(i), header, f"{dew[i]:.1f} °C", allowed)
    above = dew > air
    columns["temp_dew"] = np.where(above, air, dew)
    count = int(above.sum())
    note = f"dew point above dry bulb by {slack:g} K or less in {count} rows: clipped"
    return (note,) if count else ()


@lru_cache(maxsize=1 << 16)
def midnight(year: int, month: int, day: int) -> int | None:
    """Return seconds from 1970 to the start of a day, or None where there is no such day.

    >>> midnight(1970, 1, 2), midnight(2023, 2, 29)
    (86400, None)
    """
    try:
        return (date(year, month, day).toordinal() - 719_163) * DAY
    except (ValueError, OverflowError):
        return None


def checked_step(
    stamps: Sequence[int | None],
    texts: Sequence[str],
    source: Source,
    allowed: str,
    column: str = "date and time",
) -> tuple[IntArray, int]:
    """Return stamps in seconds and the step between them.

    The step is the most frequent distance. Rows may be missing: they leave a gap of whole steps.

    Raises
    ------
    WeatherError
        for a stamp that cannot be read, that does not follow the one before, or is off the step
    """
    for i, stamp in enumerate(stamps):
        if stamp is None:
            raise WeatherError(source.name, source.row(i), column, texts[i], allowed)
    seconds = np.array(stamps, dtype=np.int64)
    if len(seconds) < 2:
        raise WeatherError(source.name, found=f"{len(seconds)} rows", allowed="a day or more")
    steps = np.diff(seconds)
    back = steps <= 0
    if back.any():
        i = int(np.argmax(back)) + 1
        after = f"a time after {texts[i - 1].strip()}"
        hint = "the same time twice" if steps[i - 1] == 0 else "time goes back"
        raise WeatherError(source.name, source.row(i), column, texts[i], after, hint)
    values, counts = np.unique(steps, return_counts=True)
    step = int(values[np.argmax(counts)])
    off = steps % step != 0
    if off.any():
        i = int(np.argmax(off)) + 1
        every = f"a row every {step / 60:g} min"
        raise WeatherError(source.name, source.row(i), column, texts[i], every)
    if step > HOUR:
        every = "a row an hour, or more"
        raise WeatherError(source.name, source.row(1), column, f"{step / HOUR:g} h apart", every)
    return seconds, step


def check_calendar(
    stamps: Sequence[tuple[int, int, int, int] | None], texts: Sequence[str], source: Source
) -> tuple[int, ...]:
    """Refuse a typical year that is out of order; return the year of each month.

    Parameters
    ----------
    stamps : year, month, day and hour from 0 of each hour's start
    """
    if len(stamps) > HOURS_OF_YEAR:
        check_year_count(len(stamps), source.name)
    years: dict[int, int] = {}
    for i, (stamp, wanted) in enumerate(zip(stamps, nominal_stamps(), strict=False)):
        month, day, hour = wanted
        if stamp is None or stamp[1:] != (month, day, hour - 1):
            allowed = f"month {month}, day {day}, hour {hour}: the hours of a year in order"
            raise WeatherError(source.name, source.row(i), "date and time", texts[i], allowed)
        years.setdefault(month, stamp[0])
    check_year_count(len(stamps), source.name)
    return tuple(years.values())


def check_year_count(rows: int, name: str) -> None:
    """Refuse a typical year that is not whole."""
    if rows != HOURS_OF_YEAR:
        allowed = f"{HOURS_OF_YEAR} rows, a year without 29 February"
        raise WeatherError(name, found=f"{rows} rows", allowed=allowed)


def nominal_hours(utc_offset_h: float) -> IntArray:
    """Return the starts of a typical year's hours [s since 1970 UTC] by a clock so far ahead."""
    first = midnight(NOMINAL_YEAR, 1, 1)
    assert first is not None
    return np.asarray(
        first - round(utc_offset_h * HOUR) + HOUR * np.arange(HOURS_OF_YEAR), dtype=np.int64
    )


def station(
    title: str,
    numbers_: Sequence[object],
    name: str,
    row: int | None,
    optional: tuple[str, ...] = (),
) -> Station:
    """Return a place whose four numbers are checked.

    Parameters
    ----------
    numbers_ : latitude, longitude, elevation [m], time zone [h], as texts or numbers
    optional : keys of `PLACE` that may be None

    Raises
    ------
    WeatherError
        for a number outside `PLACE`, and for a clock more than `ZONE_SLACK` away from the sun
    """
    found: dict[str, float | None] = {}
    for key, value in zip(PLACE, numbers_, strict=True):
        if value is None and key in optional:
            found[key] = None
            continue
        parsed, (low, high) = number(value), PLACE[key]
        if parsed is None or not low <= parsed <= high:
            text = "nothing" if value is None else str(value).strip()
            raise WeatherError(name, row, key, text, f"{low:g} to {high:g}")
        found[key] = parsed
    lat, lon, zone_h = found["latitude"], found["longitude"], found["time zone"]
    assert lat is not None
    assert lon is not None
    if zone_h is not None:
        apart = (zone_h - lon / 15 + 12) % 24 - 12
        if abs(apart) > ZONE_SLACK:
            allowed = f"about UTC{lon / 15:+.0f}, as the longitude {lon:g} says"
            raise WeatherError(name, row, "time zone", f"UTC{zone_h:+g}", allowed)
    return Station(title, lat, lon, found["elevation"], zone_h)
