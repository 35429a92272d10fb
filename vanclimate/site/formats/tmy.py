"""TMY2 and TMY3 files: columns, codes, and the strict reading of each row.

TMY2: Marion & Urban 1995, doi:10.2172/87130, table 3-1. TMY3: Wilcox & Marion 2008,
doi:10.2172/928611, table 1-3. Both stamp the END of the hour in local standard time: radiation is
the sum over the hour before the stamp, the other quantities are read at the stamp. The codes of
missing values (9999, 999, 99, -9900) lie outside the limits. What does not belong here: paths,
packing, caching (`readers`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.clock import FloatArray
from vanclimate.site.formats.rows import (
    Column,
    Source,
    check_calendar,
    check_year_count,
    clip_dew_point,
    lines_of,
    nominal_hours,
    numbers,
    split,
    station,
    table_rows,
)
from vanclimate.site.table import Station, Table


@dataclass(frozen=True)
class _Both:
    """A column in both formats: names, places in a TMY2 line, scales to SI."""

    quantity: str
    tmy3: str
    tmy2: str
    span: tuple[int, int]
    scale_tmy3: float = 1.0
    scale_tmy2: float = 1.0


COLUMNS = (
    _Both("ghi", "GHI (W/m^2)", "GHI", (17, 21)),
    _Both("dni", "DNI (W/m^2)", "DNI", (23, 27)),
    _Both("dhi", "DHI (W/m^2)", "DHI", (29, 33)),
    _Both("cloud_total", "TotCld (tenths)", "TotCld", (59, 61), 0.1, 0.1),
    _Both("cloud_opaque", "OpqCld (tenths)", "OpqCld", (63, 65), 0.1, 0.1),
    _Both("temp_air", "Dry-bulb (C)", "DryBulb", (67, 71), 1, 0.1),
    _Both("temp_dew", "Dew-point (C)", "DewPoint", (73, 77), 1, 0.1),
    _Both("pressure", "Pressure (mbar)", "Pressure", (84, 88), 100, 100),
    _Both("wind_direction", "Wdir (degrees)", "Wdir", (90, 93)),
    _Both("wind_speed", "Wspd (m/s)", "Wspd", (95, 98), 1, 0.1),
    _Both("ceiling", "CeilHgt (m)", "CeilHgt", (106, 111)),
)

UNLIMITED = 77777
"""Code of a sky without a ceiling; 88888 is cirroform cloud, 99999 and -9900 unknown."""

STAMPS = "end of the hour, local standard time; sun: mean of the hour, others: at the stamp"
# from memory
LICENCE = "published by the United States government's laboratory: free to use with its name"

TMY2_LINE = 142
_TMY2_HEAD = re.compile(
    r"\s?(?P<station>\d{5})\s+(?P<city>\S.*?)\s+(?P<state>[A-Z]{2})\s+(?P<tz>[-+]?\d+)\s+"
    r"(?P<ns>[NS])\s*(?P<lat>\d+)\s+(?P<lat_min>\d+)\s+(?P<ew>[EW])\s*(?P<lon>\d+)\s+"
    r"(?P<lon_min>\d+)\s+(?P<alt>-?\d+)"
)
_STAMP = re.compile(r"(\d\d?)/(\d\d?)/(\d{4}) (\d\d?):00(?::00)?")
_DATE, _TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"


def is_tmy3(text: str) -> bool:
    """Say whether the second line is TMY3's header."""
    return text.partition("\n")[2][:80].startswith(_DATE)


def is_tmy2(text: str) -> bool:
    """Say whether the first line is a TMY2 place."""
    return _TMY2_HEAD.match(text.partition("\n")[0][:200]) is not None


def read_tmy3(text: str, name: str) -> Table:
    """Return the checked content of a TMY3 file."""
    lines = lines_of(text)
    place, head = split(lines[0]), [field.strip() for field in split(lines[1])]
    if len(place) < 7:
        allowed = "station, name, state, time zone, latitude, longitude, altitude"
        raise WeatherError(name, 1, found=lines[0], allowed=allowed)
    title = f"{place[1].strip().title()}, {place[2].strip()}"
    where = station(title, [*place[4:7], place[3]], name, 1)
    for wanted in (_DATE, _TIME, *(c.tmy3 for c in COLUMNS)):
        if wanted not in head:
            raise WeatherError(name, 2, found=f"no column {wanted}", allowed="all TMY3 columns")
    source = Source(name, 3)
    if len(lines) - 2 > 8760:  # a leap year, or more, before its rows meet the calendar
        check_year_count(len(lines) - 2, name)
    rows = table_rows(lines[2:], len(head), source)
    date, time = head.index(_DATE), head.index(_TIME)
    stamps = [_tmy3_stamp(row[date], row[time]) for row in rows]
    years = check_calendar(stamps, [f"{row[date]} {row[time]}" for row in rows], source)
    columns = {}
    for c in COLUMNS:
        i = head.index(c.tmy3)
        column = Column(c.quantity, c.tmy3, c.scale_tmy3)
        columns[c.quantity] = numbers([row[i] for row in rows], column, source)
    names = {c.quantity: c.tmy3 for c in COLUMNS}
    return _typical("TMY3", where, columns, names, source, years)


def read_tmy2(text: str, name: str) -> Table:
    """Return the checked content of a TMY2 file."""
    lines = lines_of(text)
    match = _TMY2_HEAD.match(lines[0])
    assert match is not None, "is_tmy2() has seen the first line"
    where, source, rows = _tmy2_place(match, name), Source(name, 2), lines[1:]
    if len(rows) > 8760:
        check_year_count(len(rows), name)
    years = check_calendar([_tmy2_stamp(row) for row in rows], [row[1:9] for row in rows], source)
    for i, row in enumerate(rows):
        if len(row) < TMY2_LINE - 2:  # the last quality code may be absent
            raise WeatherError(name, i + 2, found=f"{len(row)} characters", allowed=str(TMY2_LINE))
    columns = {}
    for c in COLUMNS:
        low, high = c.span
        column = Column(c.quantity, c.tmy2, c.scale_tmy2)
        columns[c.quantity] = numbers([row[low:high] for row in rows], column, source)
    names = {c.quantity: c.tmy2 for c in COLUMNS}
    return _typical("TMY2", where, columns, names, source, years)


def _typical(
    form: str,
    where: Station,
    columns: dict[str, FloatArray],
    names: dict[str, str],
    source: Source,
    years: tuple[int, ...],
) -> Table:
    notes = clip_dew_point(columns, names["temp_dew"], source)
    raw = columns["ceiling"]
    unknown = (raw < 0) | (raw >= 99999)
    columns["ceiling"] = np.where(unknown | (raw >= UNLIMITED), np.inf, raw)
    if unknown.any():
        notes = (*notes, f"cloud base unknown in {unknown.sum()} rows")
    assert where.utc_offset_h is not None
    return Table(
        form, where, nominal_hours(where.utc_offset_h), 3600, columns, points=1.0, sun=None,
        stamps=STAMPS, names=names, first_row=source.first, typical=True, years=years, notes=notes,
        licence=LICENCE,
    )  # fmt: skip


def _tmy2_place(match: re.Match[str], name: str) -> Station:
    part = match.groupdict()
    latitude = float(part["lat"]) + float(part["lat_min"]) / 60
    longitude = float(part["lon"]) + float(part["lon_min"]) / 60
    latitude = -latitude if part["ns"] == "S" else latitude
    longitude = -longitude if part["ew"] == "W" else longitude
    title = f"{part['city'].title()}, {part['state']}"
    return station(title, [latitude, longitude, part["alt"], part["tz"]], name, 1)


def _tmy3_stamp(date: str, time: str) -> tuple[int, int, int, int] | None:
    match = _STAMP.fullmatch(f"{date} {time}")
    if match is None:
        return None
    month, day, year, hour = map(int, match.groups())
    return year, month, day, hour - 1


def _tmy2_stamp(row: str) -> tuple[int, int, int, int] | None:
    parts = [row[i : i + 2].strip() for i in (1, 3, 5, 7)]
    if not all(part.isascii() and part.isdigit() for part in parts):
        return None
    year, month, day, hour = map(int, parts)
    return 1900 + year, month, day, hour - 1
