"""Monthly station-to-archive files of the BSRN: means of a minute from the stamp on, UTC.

The place is in logical record 0004, the values in 0100, two lines a minute in fixed columns
(GCOS-174, technical plan for BSRN data management, 2013, from memory and as pvlib.iotools reads
them). Latitude counts from the South Pole, longitude from the date line. There is no wind. What
does not belong here: other records; joining months (`formats.read_many`).
"""

from __future__ import annotations

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.clock import FloatArray
from vanclimate.site.formats.rows import (
    NIGHT_OFFSET,
    Column,
    Source,
    checked_step,
    lines_of,
    midnight,
    not_below_zero,
    number,
    numbers,
    station,
)
from vanclimate.site.table import SUN, Station, Table

# from memory
LICENCE = "BSRN: free to use with stations and network named (see its conditions of data release)"

_CODES = (-999.0, -99.9, -99.99, -999.9)
# line of the pair, columns
_COLUMNS = (
    (0, (10, 16), Column("ghi", "global (W/m2)", codes=_CODES, slack=NIGHT_OFFSET)),
    (0, (32, 39), Column("dni", "direct (W/m2)", codes=_CODES, slack=NIGHT_OFFSET)),
    (1, (10, 16), Column("dhi", "diffuse (W/m2)", codes=_CODES, slack=NIGHT_OFFSET)),
    (1, (32, 39), Column("longwave", "long-wave down (W/m2)", codes=_CODES)),
    (1, (55, 64), Column("temp_air", "air temperature (°C)", codes=_CODES)),
    (1, (64, 70), Column("relative_humidity", "relative humidity (%)", 0.01, codes=_CODES)),
    (1, (70, 75), Column("pressure", "pressure (hPa)", 100.0, codes=_CODES)),
)


def is_bsrn(text: str) -> bool:
    """Say whether the first line opens record 0001."""
    return text[:2] in ("*U", "*C") and text[2:6] == "0001"


def read_bsrn(text: str, name: str) -> Table:
    """Return the checked content of a month."""
    lines = lines_of(text)
    head = lines[1].split() if len(lines) > 1 else []
    month = midnight(int(head[2]), int(head[1]), 1) if _whole(head[:3], 3) else None
    if month is None:
        found = lines[1] if len(lines) > 1 else "nothing"
        raise WeatherError(name, 2, None, found, "station, month and year")
    where = _place(lines, f"BSRN station {head[0]}", name)
    begin = _record(lines, "0100", name) + 1
    end = next((i for i in range(begin, len(lines)) if lines[i].startswith("*")), len(lines))
    records = lines[begin:end]
    if len(records) % 2:
        raise WeatherError(name, end, None, "half a minute", "two lines a minute")
    source = Source(name, begin + 1, 2)
    texts = [line[:9] for line in records[::2]]
    seconds = [_seconds(text, month) for text in texts]
    stamps, step = checked_step(seconds, texts, source, "day of the month, minute of the day")
    columns: dict[str, FloatArray] = {}
    names: dict[str, str] = {}
    for line, (low, high), column in _COLUMNS:
        values = [record[low:high].strip() for record in records[line::2]]
        blank = np.array([not value for value in values])
        shifted = Source(name, source.first + line, 2)
        measured = numbers(values, column, shifted, blank)
        if not np.isnan(measured).all():
            columns[column.quantity], names[column.quantity] = measured, column.header
    return Table(
        "BSRN", where, stamps, step, columns, points=None, sun=None,
        stamps="start of the interval, means, UTC", names=names, first_row=source.first,
        notes=not_below_zero(columns, SUN), licence=LICENCE,
    )  # fmt: skip


def _record(lines: list[str], number_: str, name: str) -> int:
    """Return the index of the line that opens a logical record."""
    for i, line in enumerate(lines):
        if line.startswith("*") and line[2:6] == number_:
            return i
    raise WeatherError(name, found=f"no logical record {number_}", allowed="records 0004 and 0100")


def _place(lines: list[str], title: str, name: str) -> Station:
    """Read the seventh line of record 0004: latitude, longitude, altitude in fixed columns."""
    row = _record(lines, "0004", name) + 6
    line = lines[row] if row < len(lines) else ""
    latitude, longitude = number(line[:8]), number(line[8:16])
    lat = None if latitude is None else latitude - 90.0
    lon = None if longitude is None else longitude - 180.0
    return station(title, [lat, lon, line[16:21], None], name, row + 1, ("time zone",))


def _whole(parts: list[str], count: int) -> bool:
    return len(parts) == count and all(part.isascii() and part.isdigit() for part in parts)


def _seconds(text: str, month: int) -> int | None:
    parts = text.split()
    if not _whole(parts, 2):
        return None
    day, minute = int(parts[0]), int(parts[1])
    if not (1 <= day <= 31 and 0 <= minute < 1440):
        return None
    return month + 86_400 * (day - 1) + 60 * minute
