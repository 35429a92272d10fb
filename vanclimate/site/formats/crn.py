"""Rows of five minutes of the U.S. Climate Reference Network: stamps at their end.

Fields by spaces, their missing values and flags (0 is good) as the network describes them, from
memory and as pvlib.iotools reads them. Sun is global only, wind is measured at 1.5 m, and neither
height nor pressure is given. What does not belong here: joining years (`formats.read_many`).
"""

from __future__ import annotations

import re

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.formats.rows import (
    Column,
    Source,
    checked_step,
    lines_of,
    midnight,
    numbers,
    station,
)
from vanclimate.site.table import Table

FIELDS = 23
LICENCE = "U.S. Climate Reference Network, United States government: public domain"  # from memory

TO_10_M = (10.0 / 1.5) ** 0.14
"""Wind at 10 m over that at 1.5 m over open ground, as `physics.wind.wind_at_height` has it;
written out here, for that module brings the compiler."""

# place of the value and of its flag
_COLUMNS = (
    (8, None, Column("temp_air", "AIR_TEMPERATURE (°C)", codes=(-9999.0,))),
    (10, 11, Column("ghi", "SOLAR_RADIATION (W/m2)", codes=(-99999.0,))),
    (15, 16, Column("relative_humidity", "RELATIVE_HUMIDITY (%)", 0.01, codes=(-9999.0,))),
    (21, 22, Column("wind_speed", "WIND_1_5 (m/s at 1.5 m)", TO_10_M, codes=(-99.0,))),
)
_ROW = re.compile(r"\s*\d{5}\s+\d{8}\s+\d{1,4}\s+\d{8}\s+\d{1,4}\s+\S+\s+-?\d+\.\d+\s")


def is_crn(text: str) -> bool:
    """Say whether the first line is a row of the network."""
    return bool(_ROW.match(text[:200].partition("\n")[0] + " "))


def read_crn(text: str, name: str) -> Table:
    """Return the checked content of a file of one station."""
    lines, source = lines_of(text), Source(name, 1)
    rows = [line.split() for line in lines]
    for i, row in enumerate(rows):
        if len(row) != FIELDS:
            raise WeatherError(name, i + 1, None, f"{len(row)} fields", str(FIELDS))
        if row[0] != rows[0][0] or row[6:8] != rows[0][6:8]:
            found = f"{row[0]} at {row[7]}, {row[6]}"
            raise WeatherError(name, i + 1, "WBANNO", found, f"one station, {rows[0][0]}")
    texts = [" ".join(row[1:3]) for row in rows]
    seconds = [_seconds(*row[1:3]) for row in rows]
    stamps, step = checked_step(seconds, texts, source, "date and time such as 20230131 1305")
    local = _seconds(*rows[0][3:5])
    zone = None if local is None else (local - int(stamps[0])) / 3600
    title = f"CRN station {rows[0][0]}"
    where = station(title, [rows[0][7], rows[0][6], None, zone], name, 1, ("elevation",))
    columns, flagged = {}, 0
    for i, flag, column in _COLUMNS:
        bad = np.array([flag is not None and row[flag] != "0" for row in rows])
        columns[column.quantity] = numbers([row[i] for row in rows], column, source, bad)
        flagged += int(bad.sum())
    notes = ["wind measured at 1.5 m is moved to 10 m by the power law of open country"]
    if flagged:
        notes.append(f"{flagged} values flagged by the network left out")
    return Table(
        "CRN", where, stamps - step, step, columns, points=None, sun=None,
        stamps="end of the interval, means, UTC",
        names={column.quantity: column.header for _, _, column in _COLUMNS}, first_row=1,
        notes=tuple(notes), licence=LICENCE,
    )  # fmt: skip


def _seconds(day: str, time: str) -> int | None:
    if not (len(day) == 8 and len(time) <= 4 and (day + time).isascii() and (day + time).isdigit()):
        return None
    first = midnight(int(day[:4]), int(day[4:6]), int(day[6:]))
    hour, minute = divmod(int(time), 100)
    if first is None or minute > 59 or hour > 24:
        return None
    return first + 3600 * hour + 60 * minute
