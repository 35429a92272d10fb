"""Daily files of the SURFRAD network: means of 1 or 3 minutes, UTC, stamps at their end.

Columns, the missing value and the flags are from memory of the network's own description: flag 0 is
good, 1 a value known to be bad, 2 one to be used with scrutiny; only 0 is taken. What does not
belong here: joining days (`formats.read_many`).
"""

from __future__ import annotations

import re

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.formats.rows import (
    NIGHT_OFFSET,
    Column,
    Source,
    checked_step,
    lines_of,
    midnight,
    not_below_zero,
    numbers,
    station,
)
from vanclimate.site.table import SUN, Table

FIELDS = 48
SOLRAD_FIELDS = (22, 31)
LICENCE = "SURFRAD, United States government: public domain; its name is asked for"  # from memory

_MISSING = (-9999.9,)
# place of the value in a row; its flag follows
_COLUMNS = {
    8: Column("ghi", "dw_solar (W/m2)", codes=_MISSING, slack=NIGHT_OFFSET),
    12: Column("dni", "direct_n (W/m2)", codes=_MISSING, slack=NIGHT_OFFSET),
    14: Column("dhi", "diffuse (W/m2)", codes=_MISSING, slack=NIGHT_OFFSET),
    16: Column("longwave", "dw_ir (W/m2)", codes=_MISSING),
    38: Column("temp_air", "temp (°C)", codes=_MISSING),
    40: Column("relative_humidity", "rh (%)", 0.01, codes=_MISSING),
    42: Column("wind_speed", "windspd (m/s)", codes=_MISSING),
    44: Column("wind_direction", "winddir (deg)", codes=_MISSING),
    46: Column("pressure", "pressure (mb)", 100.0, codes=_MISSING),
}
_PLACE = re.compile(r"\s*(-?\d+\.\d+)\s+(-?\d+\.\d+)\s+(-?\d+(?:\.\d+)?)\s*m?\b.*")
_ROW = re.compile(r"\s*\d{4}\s+\d{1,3}\s+\d{1,2}\s+\d{1,2}\s+\d{1,2}\s+\d{1,2}\s")


def is_surfrad(text: str) -> bool:
    """Say whether the second line is a place and the third a row of minutes."""
    lines = text[:2000].split("\n", 3)
    return len(lines) > 2 and bool(_PLACE.match(lines[1])) and bool(_ROW.match(lines[2]))


def read_surfrad(text: str, name: str) -> Table:
    """Return the checked content of a file.

    Raises
    ------
    WeatherError
        also for a SOLRAD file, whose first lines look alike: it holds no air temperature
    """
    lines = lines_of(text)
    place = _PLACE.match(lines[1])
    assert place is not None, "is_surfrad() has seen the second line"
    source = Source(name, 3)
    rows = [line.split() for line in lines[2:]]
    if len(rows[0]) in SOLRAD_FIELDS:
        allowed = "a network's file with air temperature, such as SURFRAD"
        raise WeatherError(name, 3, None, f"{len(rows[0])} fields, a SOLRAD file", allowed)
    for i, row in enumerate(rows):
        if len(row) != FIELDS:
            raise WeatherError(name, source.row(i), None, f"{len(row)} fields", str(FIELDS))
    where = station(lines[0].strip(), [*place.groups(), None], name, 2, ("time zone",))
    texts = [" ".join((row[0], *row[2:6])) for row in rows]
    seconds = [_seconds(row) for row in rows]
    stamps, step = checked_step(seconds, texts, source, "year, month, day, hour, minute")
    columns, flagged = {}, 0
    for i, column in _COLUMNS.items():
        bad = np.array([row[i + 1] != "0" for row in rows])
        columns[column.quantity] = numbers([row[i] for row in rows], column, source, bad)
        flagged += int(bad.sum())
    notes = not_below_zero(columns, SUN)
    if flagged:
        notes = (*notes, f"{flagged} values flagged by the network left out")
    return Table(
        "SURFRAD", where, stamps - step, step, columns, points=None, sun=None,
        stamps="end of the interval, means, UTC",
        names={c.quantity: c.header for c in _COLUMNS.values()}, first_row=3, notes=notes,
        licence=LICENCE,
    )  # fmt: skip


def _seconds(row: list[str]) -> int | None:
    try:
        year, month, day, hour, minute = map(int, (row[0], *row[2:6]))
    except ValueError:
        return None
    first = midnight(year, month, day)
    if first is None or not (0 <= hour <= 24 and 0 <= minute <= 59):
        return None
    return first + 3600 * hour + 60 * minute
