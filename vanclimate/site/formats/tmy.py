"""The layout of TMY2 and TMY3 files: columns, codes, limits, and the strict check of each row.

pvlib.iotools reads the values; the check before it names the row and column of a fault, which a
whole-table reader cannot. What does not belong here: paths, packing, caching (`readers`).
"""

from __future__ import annotations

import csv
import io
import math
import re
import tempfile
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.clock import HOURS_OF_YEAR, FloatArray, nominal_stamps


@dataclass(frozen=True)
class Column:
    """A column that we need: its name in both formats, TMY2 position, scales to SI, limits in SI.

    The missing-value codes of both formats (9999, 999, 99, -9900) lie outside the limits.
    """

    name: str
    tmy3: str
    tmy2: str
    span: tuple[int, int]
    scale_tmy3: float
    scale_tmy2: float
    low: float
    high: float


COLUMNS = (
    Column("ghi", "GHI (W/m^2)", "GHI", (17, 21), 1, 1, 0, 1500),
    Column("dni", "DNI (W/m^2)", "DNI", (23, 27), 1, 1, 0, 1500),
    Column("dhi", "DHI (W/m^2)", "DHI", (29, 33), 1, 1, 0, 1500),
    Column("cloud_total", "TotCld (tenths)", "TotCld", (59, 61), 0.1, 0.1, 0, 1),
    Column("cloud_opaque", "OpqCld (tenths)", "OpqCld", (63, 65), 0.1, 0.1, 0, 1),
    Column("temp_air", "Dry-bulb (C)", "DryBulb", (67, 71), 1, 0.1, -90, 60),
    Column("temp_dew", "Dew-point (C)", "DewPoint", (73, 77), 1, 0.1, -90, 60),
    Column("pressure", "Pressure (mbar)", "Pressure", (84, 88), 100, 100, 50_000, 110_000),
    Column("wind_direction", "Wdir (degrees)", "Wdir", (90, 93), 1, 1, 0, 360),
    Column("wind_speed", "Wspd (m/s)", "Wspd", (95, 98), 1, 0.1, 0, 90),
    Column("ceiling", "CeilHgt (m)", "CeilHgt", (106, 111), 1, 1, -math.inf, math.inf),
)

UNLIMITED = 77777
"""Code of a sky without a ceiling; 88888 is cirroform cloud, 99999 and -9900 unknown."""

DEW_POINT_SLACK = 0.5
"""K by which a dew point may lie above the dry bulb: two roundings to whole degrees Fahrenheit."""

TMY2_LINE = 142
_TMY2_HEAD = re.compile(
    r"\s?(?P<station>\d{5})\s+(?P<city>\S.*?)\s+(?P<state>[A-Z]{2})\s+(?P<tz>[-+]?\d+)\s+"
    r"(?P<ns>[NS])\s*(?P<lat>\d+)\s+(?P<lat_min>\d+)\s+(?P<ew>[EW])\s*(?P<lon>\d+)\s+"
    r"(?P<lon_min>\d+)\s+(?P<alt>-?\d+)"
)
_DATE, _TIME = "Date (MM/DD/YYYY)", "Time (HH:MM)"


@dataclass(frozen=True)
class Table:
    """A checked file: columns in SI, one value a row; place and station; the months' years."""

    columns: dict[str, FloatArray]
    meta: dict[str, Any]
    years: list[int]


def detect(text: str) -> Callable[[str, str], Table] | None:
    """Return the reader of the format of `text`, or None."""
    first, _, rest = text.partition("\n")
    if rest.partition("\n")[0].startswith(_DATE):
        return read_tmy3
    return read_tmy2 if _TMY2_HEAD.match(first) else None


def read_tmy3(text: str, name: str) -> Table:
    """Return the checked content of a TMY3 file, read by ``pvlib.iotools.read_tmy3``."""
    try:
        lines = list(csv.reader(io.StringIO(text, newline="")))
    except csv.Error as fault:
        raise WeatherError(name, found=str(fault), allowed="a table of commas") from fault
    while lines and not any(lines[-1]):
        lines.pop()
    place, head, rows = lines[0], lines[1], lines[2:]
    meta = _tmy3_place(place, name)
    for wanted in (_DATE, _TIME, *(c.tmy3 for c in COLUMNS)):
        if wanted not in head:
            raise WeatherError(name, 2, found=f"no column {wanted}", allowed="all TMY3 columns")
    _check_count_above(len(rows), name)
    at = [head.index(_DATE), head.index(_TIME)]
    stamps = [tuple(row[i] if i < len(row) else "" for i in at) for row in rows]
    years = _check_stamps([_tmy3_stamp(d, t) for d, t in stamps], [*map(" ".join, stamps)], name, 3)
    _check_count(len(rows), name)
    texts = {}
    for column in COLUMNS:
        i = head.index(column.tmy3)
        texts[column.name] = [row[i].strip() if i < len(row) else "" for row in rows]
        _check_numbers(texts[column.name], column, column.tmy3, column.scale_tmy3, name, 3)
    _check_dew_point(texts, 1.0, "Dew-point (C)", name, 3)
    plain = f"0,station,XX,{meta['utc_offset_h']},{meta['latitude']},{meta['longitude']},0\n"
    body = text.partition("\n")[2]

    def read() -> Any:
        from pvlib.iotools import read_tmy3 as pvlib_read

        return pvlib_read(io.StringIO(plain + body), map_variables=False)[0]

    data = _through_pvlib(read, name)
    values = {c.name: data[c.tmy3].to_numpy(dtype=float) * c.scale_tmy3 for c in COLUMNS}
    return Table(_ceiling(values), meta, years)


def read_tmy2(text: str, name: str) -> Table:
    """Return the checked content of a TMY2 file, read by ``pvlib.iotools.read_tmy2``."""
    lines = text.rstrip().splitlines()
    match = _TMY2_HEAD.match(lines[0])
    assert match is not None, "detect() has seen the first line"
    meta = _tmy2_place(match, name)
    rows = lines[1:]
    _check_count_above(len(rows), name)
    stamps = [_tmy2_stamp(row) for row in rows]
    years = _check_stamps(stamps, [row[1:9] for row in rows], name, 2)
    _check_count(len(rows), name)
    for i, row in enumerate(rows):
        if len(row) < TMY2_LINE - 2:  # the last quality code may be absent
            raise WeatherError(name, i + 2, found=f"{len(row)} characters", allowed=str(TMY2_LINE))
    texts = {}
    for column in COLUMNS:
        low, high = column.span
        texts[column.name] = [row[low:high].strip() for row in rows]
        _check_numbers(texts[column.name], column, column.tmy2, column.scale_tmy2, name, 2)
    _check_dew_point(texts, 0.1, "DewPoint", name, 2)
    head = " 00000 STATION XX 0 N 0 0 E 0 0 0"  # pvlib splits a name of two words

    def read() -> Any:
        from pvlib.iotools import read_tmy2 as pvlib_read

        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / "year.tm2"  # pvlib takes a name only
            path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
            return pvlib_read(path)[0]

    data = _through_pvlib(read, name)
    values = {c.name: data[c.tmy2].to_numpy(dtype=float) * c.scale_tmy2 for c in COLUMNS}
    return Table(_ceiling(values), meta, years)


def _through_pvlib(read: Callable[[], Any], name: str) -> Any:
    """Run a reader of pvlib; whatever it trips over becomes one message."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # mixed types in columns that we do not use
            return read()
    except Exception as fault:  # pvlib raises many kinds on a bad file
        raise WeatherError(name, found=str(fault), allowed="what pvlib.iotools reads") from fault


def _ceiling(values: dict[str, FloatArray]) -> dict[str, FloatArray]:
    """Replace the codes of the ceiling by inf and mark the unknown ones."""
    raw = values["ceiling"]
    unknown = (raw < 0) | (raw >= 99999)
    values["ceiling"] = np.where(unknown | (raw >= UNLIMITED), np.inf, raw)
    values["ceiling_unknown"] = unknown.astype(float)
    return values


def _tmy3_place(fields: list[str], name: str) -> dict[str, Any]:
    if len(fields) < 7:
        allowed = "station, name, state, time zone, latitude, longitude, altitude"
        raise WeatherError(name, 1, found=",".join(fields), allowed=allowed)
    station, title, state = (f.strip() for f in fields[:3])
    return _place("TMY3", station, f"{title.title()}, {state}", fields[3:7], name)


def _tmy2_place(match: re.Match[str], name: str) -> dict[str, Any]:
    part = match.groupdict()
    latitude = float(part["lat"]) + float(part["lat_min"]) / 60
    longitude = float(part["lon"]) + float(part["lon_min"]) / 60
    south, west = part["ns"] == "S", part["ew"] == "W"
    numbers = [part["tz"], -latitude if south else latitude, -longitude if west else longitude]
    title = f"{part['city'].title()}, {part['state']}"
    return _place("TMY2", part["station"], title, [*map(str, numbers), part["alt"]], name)


def _place(form: str, station: str, title: str, numbers: list[str], name: str) -> dict[str, Any]:
    """Return the place as a mapping, its four numbers checked."""
    limits = {
        "utc_offset_h": (-12, 14),
        "latitude": (-90, 90),
        "longitude": (-180, 180),
        "elevation": (-430, 6000),
    }
    meta: dict[str, Any] = {"format": form, "station": station, "name": title}
    for (key, (low, high)), text in zip(limits.items(), numbers, strict=True):
        value = _number(text)
        if value is None or not low <= value <= high:
            raise WeatherError(name, 1, key, text.strip(), f"{low} to {high}")
        meta[key] = value
    return meta


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) and "_" not in text else None


Stamp = tuple[int, int, int, int]  # year, month, day, hour 1 to 24


def _tmy3_stamp(date: str, time: str) -> Stamp | None:
    match = re.fullmatch(r"(\d\d?)/(\d\d?)/(\d{4}) (\d\d?):00(?::00)?", f"{date} {time}")
    if match is None:
        return None
    month, day, year, hour = map(int, match.groups())
    return year, month, day, hour


def _tmy2_stamp(row: str) -> Stamp | None:
    parts = [row[i : i + 2].strip() for i in (1, 3, 5, 7)]
    if not all(part.isascii() and part.isdigit() for part in parts):
        return None
    year, month, day, hour = map(int, parts)
    return 1900 + year, month, day, hour


def _check_stamps(stamps: list[Stamp | None], texts: list[str], name: str, first: int) -> list[int]:
    """Refuse a row that is out of the calendar; return the year of each month."""
    years: dict[int, int] = {}
    for i, (stamp, wanted) in enumerate(zip(stamps, nominal_stamps(), strict=False)):
        if stamp is None or stamp[1:] != wanted:
            month, day, hour = wanted
            allowed = f"month {month}, day {day}, hour {hour}: the hours of a year in order"
            raise WeatherError(name, first + i, "date and time", texts[i], allowed)
        years.setdefault(stamp[1], stamp[0])
    return list(years.values())


def _check_count_above(rows: int, name: str) -> None:
    """Refuse a leap year, or more, before its rows are compared with the calendar."""
    if rows > HOURS_OF_YEAR:
        _check_count(rows, name)


def _check_count(rows: int, name: str) -> None:
    if rows != HOURS_OF_YEAR:
        allowed = f"{HOURS_OF_YEAR} rows, a year without 29 February"
        raise WeatherError(name, found=f"{rows} rows", allowed=allowed)


def _check_numbers(
    texts: list[str], column: Column, header: str, scale: float, name: str, first: int
) -> None:
    """Refuse the first text, missing-value code or impossible value of a column."""
    for i, text in enumerate(texts):
        value = _number(text)
        if value is None or not column.low <= value * scale <= column.high:
            allowed = "a number"
            if math.isfinite(column.low):
                allowed += f" from {column.low / scale:g} to {column.high / scale:g}"
            raise WeatherError(name, first + i, header, text, allowed)


def _check_dew_point(
    texts: dict[str, list[str]], scale: float, header: str, name: str, first: int
) -> None:
    for i, (air, dew) in enumerate(zip(texts["temp_air"], texts["temp_dew"], strict=True)):
        if (float(dew) - float(air)) * scale > DEW_POINT_SLACK + 1e-9:
            allowed = f"the dry bulb, {air}, or less"
            raise WeatherError(name, first + i, header, dew, allowed)
