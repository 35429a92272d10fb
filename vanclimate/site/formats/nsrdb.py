"""The table that the NSRDB's service gives for a point: real years and typical ones.

Two rows of facts about the place, one of column names, then year, month, day, hour and minute. Each
value is the satellite's for the moment of its stamp (from memory of the service's description): it
stands for the interval whose middle the stamp is. What does not belong here: the service itself.
"""

from __future__ import annotations

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.clock import HOURS_OF_YEAR, FloatArray
from vanclimate.site.formats.rows import (
    HOUR,
    PLACE,
    Column,
    Source,
    check_calendar,
    checked_step,
    clip_dew_point,
    lines_of,
    midnight,
    nominal_hours,
    number,
    numbers,
    split,
    station,
    table_rows,
)
from vanclimate.site.table import Table

STAMPS = "middle of the interval, instants; clock of the file's time zone"
LICENCE = "NSRDB: free to use with its name (see the service's terms)"  # from memory

_TIME = ["Year", "Month", "Day", "Hour", "Minute"]
# column, quantity, key of its unit in the head, spellings of the unit, scale to SI
_KNOWN = (
    ("GHI", "ghi", ("w/m2", "w/m^2", "w/m²"), 1.0),
    ("DNI", "dni", ("w/m2", "w/m^2", "w/m²"), 1.0),
    ("DHI", "dhi", ("w/m2", "w/m^2", "w/m²"), 1.0),
    ("Temperature", "temp_air", ("c", "°c"), 1.0),
    ("Dew Point", "temp_dew", ("c", "°c"), 1.0),
    ("Relative Humidity", "relative_humidity", ("%",), 0.01),
    ("Pressure", "pressure", ("mbar", "millibar", "hpa"), 100.0),
    ("Wind Speed", "wind_speed", ("m/s", "meter/second", "meters/second"), 1.0),
    ("Wind Direction", "wind_direction", ("degrees", "degree", "deg"), 1.0),
)


def is_nsrdb(text: str) -> bool:
    """Say whether the third line names year, month, day, hour, minute."""
    lines = text[:20_000].split("\n", 3)
    return len(lines) > 2 and "Latitude" in lines[0] and lines[2].startswith("Year,Month,Day,Hour")


def read_nsrdb(text: str, name: str) -> Table:
    """Return the checked content; a leap year without 29 February has a gap there."""
    lines = lines_of(text)
    keys, values, head = (split(line) for line in lines[:3])
    facts = {k.strip(): v.strip() for k, v in zip(keys, values, strict=False)}
    head = [field.strip() for field in head]
    while head and not head[-1]:
        head.pop()
    for wanted in (*_TIME, "GHI", "Temperature"):
        if wanted not in head:
            raise WeatherError(name, 3, found=f"no column {wanted}", allowed="all NSRDB columns")
    title = ", ".join(
        facts[k] for k in ("City", "State") if facts.get(k, "-").strip("-") and facts[k] != "None"
    )
    title = title or f"NSRDB point {facts.get('Location ID', '')}".strip()
    zone = facts.get("Local Time Zone", facts.get("Time Zone"))
    numbers_ = [*(facts.get(key) for key in ("Latitude", "Longitude", "Elevation")), zone]
    where = station(title, numbers_, name, 2)
    clock = _clock(facts.get("Time Zone"), name)
    source = Source(name, 4)
    rows = table_rows(lines[3:], len(head), source)
    columns: dict[str, FloatArray] = {}
    names: dict[str, str] = {}
    at = [head.index(part) for part in _TIME]
    texts = ["{}-{}-{} {}:{}".format(*(row[i].strip() for i in at)) for row in rows]
    parts = [_parts([row[i] for i in at]) for row in rows]
    typical = _is_typical(parts)
    years: tuple[int, ...] = ()
    if typical:
        years = check_calendar([p[:4] if p else None for p in parts], texts, source)
        step = HOUR
        minutes = {p[4] for p in parts if p}
        minute = minutes.pop() * 60
        if minutes:
            raise WeatherError(name, 4, "Minute", "several", "the same in every row")
        start = nominal_hours(clock) + minute - HOUR // 2
    else:
        allowed = "year, month, day, hour, minute"
        seconds = [_seconds(p) if p else None for p in parts]
        stamps, step = checked_step(seconds, texts, source, allowed)
        start = stamps - round(clock * HOUR) - step // 2
    for header, quantity, units, scale in _KNOWN:
        if header not in head or (quantity == "relative_humidity" and "Dew Point" in head):
            continue
        unit = facts.get(f"{header} Units", units[0])
        if unit.casefold() not in units:
            raise WeatherError(name, 2, f"{header} Units", unit, " or ".join(units[:1]))
        i, names[quantity] = head.index(header), f"{header} ({unit})"
        column = Column(quantity, names[quantity], scale)
        columns[quantity] = numbers([row[i] for row in rows], column, source)
    notes = clip_dew_point(columns, names.get("temp_dew", ""), source)
    # a mean over a short interval around its middle and the value there are the same
    return Table(
        "NSRDB typical year" if typical else "NSRDB", where, np.asarray(start, dtype=np.int64),
        step, columns, points=0.5, sun=0.5 if step == HOUR else None, stamps=STAMPS, names=names,
        first_row=4, typical=typical, years=years, notes=notes, licence=LICENCE,
    )  # fmt: skip


def _clock(text: str | None, name: str) -> float:
    """Return the lead over UTC of the file's clock [h]: the place's own, or 0."""
    zone, (low, high) = number(text), PLACE["time zone"]
    if zone is None or not low <= zone <= high:
        raise WeatherError(name, 2, "Time Zone", text or "nothing", f"{low:g} to {high:g}")
    return zone


def _parts(fields: list[str]) -> tuple[int, int, int, int, int] | None:
    try:
        year, month, day, hour, minute = map(int, fields)
    except ValueError:
        return None
    return year, month, day, hour, minute


def _seconds(parts: tuple[int, int, int, int, int]) -> int | None:
    year, month, day, hour, minute = parts
    first = midnight(year, month, day)
    if first is None or not (0 <= hour <= 23 and 0 <= minute <= 59):
        return None
    return first + HOUR * hour + 60 * minute


def _is_typical(parts: list[tuple[int, int, int, int, int] | None]) -> bool:
    """Say whether months of several years stand in one calendar year."""
    if len(parts) != HOURS_OF_YEAR or parts[0] is None or parts[0][1] != 1:
        return False
    years = {p[0] for p in parts if p}
    months = {p[:2] for p in parts if p}
    return len(years) > 1 and len(months) == 12
