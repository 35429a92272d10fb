"""A table of one's own, whose three lines at the top say what it holds (`mapping`).

Comma, semicolon or tab; steps of up to an hour, even or not; empty cells are missing values. Values
are means over their intervals unless the clock line says 'readings at the stamp'. What does not
belong here: the three lines themselves, and times (`times`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vanclimate.errors import WeatherError
from vanclimate.site.clock import FloatArray, IntArray
from vanclimate.site.formats.guess import suggest
from vanclimate.site.formats.mapping import (
    CLOCK,
    Chosen,
    delimiter_of,
    read_clock,
    read_columns,
    read_place,
    top_lines,
)
from vanclimate.site.formats.rows import (
    HOUR,
    NIGHT_OFFSET,
    Column,
    Source,
    clip_dew_point,
    lines_of,
    not_below_zero,
    numbers,
    printable,
    split,
    table_rows,
)
from vanclimate.site.formats.times import utc_seconds
from vanclimate.site.table import SUN, Table

EVEN = (60, 120, 180, 300, 360, 600, 720, 900, 1200, 1800, 3600)
"""Steps [s] on which uneven rows are laid: whole parts of an hour."""


def is_mapped(text: str) -> bool:
    """Say whether one of the three lines stands at the top."""
    found, _ = top_lines(text[:20_000].split("\n", 20)[:20])
    return bool(found)


def how_to_map(text: str) -> str:
    """Return in a line what to put at the top of what looks like a table, else ''."""
    lines = [line for line in text[:20_000].splitlines() if line.strip()][:2]
    if len(lines) < 2:
        return ""
    fields = [split(line, delimiter_of(lines[0])) for line in lines]
    if len(fields[0]) > 3 and all(map(_is_number, fields[0])):
        return "the rows of its head are missing?"
    if (
        len(fields[0]) < 2
        or len(fields[0]) != len(fields[1])
        or not any(map(_is_number, fields[1]))
    ):
        return ""
    return "a table of your own? put at its top: " + " | ".join(suggest(text).splitlines())


def _is_number(text: str) -> bool:
    return text.strip().replace(",", ".").replace(".", "", 1).lstrip("-").isdigit()


def read_mapped(text: str, name: str) -> Table:
    """Return the checked content of a mapped table."""
    lines = lines_of(text)
    top, at = top_lines(lines)
    for word, allowed in (("columns", "time = …, air = … in C, and so on"), ("clock", CLOCK),
                          ("place", "a name, latitude, longitude, height")):  # fmt: skip
        if word not in top:
            raise WeatherError(name, 1, word, f"no line # {word}:", allowed)
    if at >= len(lines) - 1:
        raise WeatherError(name, found="no rows", allowed="a header and rows below the three lines")
    delimiter = delimiter_of(lines[at])
    header = [printable(field) for field in split(lines[at], delimiter)]
    clock = read_clock(top["clock"][1], top["clock"][0], name)
    source = Source(name, at + 2)
    times, chosen = read_columns(top["columns"][1], top["columns"][0], header, at + 1, name)
    rows = table_rows(lines[at + 1 :], len(header), source, delimiter)
    texts = [" ".join(row[i].strip() for i in times) for row in rows]
    seconds, zone = utc_seconds(texts, clock, source)
    where = read_place(top["place"][1], top["place"][0], zone, name)
    stamps = _increasing(seconds, texts, source)
    codes = _codes(top.get("missing", (0, ""))[1])
    columns = {
        quantity: _numbers([row[c.index] for row in rows], quantity, c, codes, delimiter, source)
        for quantity, c in chosen.items()
    }
    names = {quantity: c.header for quantity, c in chosen.items()}
    notes = (
        *not_below_zero(columns, SUN),
        *clip_dew_point(columns, names.get("temp_dew", ""), source),
    )
    start, step, columns, laid = _even(stamps, columns, source, texts)
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[clock.stamp]
    what = "sun: means, others: at the stamp" if clock.instants else "means"
    return Table(
        "own table", where, start - int(share * step), step, columns,
        points=share if clock.instants else None, sun=None,
        stamps=f"{clock.stamp} of the interval, {what}, clock {top['clock'][1].split(',')[0]}",
        names=names, first_row=source.first, notes=(*notes, *laid),
    )  # fmt: skip


def _codes(text: str) -> set[str]:
    return {part.strip().strip('"').casefold() for part in text.split(",")} | {""}


def _numbers(
    values: list[str],
    quantity: str,
    chosen: Chosen,
    codes: set[str],
    delimiter: str,
    source: Source,
) -> FloatArray:
    values = [value.strip().strip('"') for value in values]
    missing = np.array([value.casefold() in codes for value in values], dtype=bool)
    joined = "".join(values)
    if delimiter != "," and "," in joined and "." not in joined:
        values = [value.replace(",", ".") for value in values]
    slack = NIGHT_OFFSET if quantity in SUN else 0.0
    column = Column(quantity, chosen.header, chosen.scale, chosen.offset, slack=slack)
    try:
        return numbers(values, column, source, missing)
    except WeatherError as fault:
        if str(fault.found).casefold() in ("nan", "na", "n/a", "null", "-", "--", "---") or (
            fault.hint.startswith("a code")
        ):
            hint = f"where it means a missing value, put at the top: # missing: {fault.found}"
            raise WeatherError(
                fault.file, fault.row, fault.column, fault.found, fault.allowed, hint
            ) from fault
        raise


def _increasing(seconds: list[int], texts: list[str], source: Source) -> IntArray:
    stamps = np.array(seconds, dtype=np.int64)
    steps = np.diff(stamps)
    if len(stamps) < 2:
        raise WeatherError(source.name, found=f"{len(stamps)} rows", allowed="a day or more")
    if (steps <= 0).any():
        i = int(np.argmax(steps <= 0)) + 1
        hint = "the same time twice" if steps[i - 1] == 0 else "time goes back"
        after = f"a time after {texts[i - 1]}"
        raise WeatherError(source.name, source.row(i), "time", texts[i], after, hint)
    return stamps


def _even(
    stamps: IntArray, columns: dict[str, FloatArray], source: Source, texts: list[str]
) -> tuple[IntArray, int, dict[str, FloatArray], tuple[str, ...]]:
    """Return rows at even steps: as they are, or each step's mean of the rows nearest to it.

    Raises
    ------
    WeatherError
        where rows are more than an hour apart
    """
    steps = np.diff(stamps)
    values, counts = np.unique(steps, return_counts=True)
    step = int(values[np.argmax(counts)])
    middle = int(np.median(steps))
    if step > HOUR or middle > HOUR:
        found = f"{max(step, middle) / HOUR:g} h apart"
        raise WeatherError(source.name, source.row(1), "time", found, "a row an hour, or more")
    off = steps % step != 0
    if not off.any() and step >= EVEN[0]:
        return stamps, step, columns, ()
    width = next(even for even in EVEN if even >= 0.95 * middle)
    place = np.floor_divide(stamps + width // 2, width)
    kept, first, group = np.unique(place, return_index=True, return_inverse=True)
    laid = {q: _mean(q, column, group, len(kept)) for q, column in columns.items()}
    moved = int((stamps % width != 0).sum())
    note = f"{moved} rows at uneven times laid on the nearest {width // 60} min"
    return kept * width, width, laid, (note,) if moved or len(first) < len(stamps) else ()


def _mean(quantity: str, values: FloatArray, group: NDArray[np.intp], n: int) -> FloatArray:
    """Return the mean of each group, NaN where it has no value; directions as vectors."""
    there = ~np.isnan(values)
    count = np.bincount(group[there], minlength=n)

    def mean(parts: FloatArray) -> FloatArray:
        total = np.bincount(group[there], weights=parts[there], minlength=n)
        with np.errstate(invalid="ignore", divide="ignore"):
            return np.where(count > 0, total / count, np.nan)

    if quantity == "wind_direction":
        turned = np.radians(values)
        return np.mod(np.degrees(np.arctan2(mean(np.sin(turned)), mean(np.cos(turned)))), 360.0)
    return mean(values)
