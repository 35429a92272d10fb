"""Hourly series and typical years as PVGIS gives them, CSV and JSON, in UTC.

Series: a satellite's bases give the sun at the minute of their stamps; bases of a reanalysis stamp
the half hour and give the hour's mean (from memory of the service's manual). Typical years: air at
the stamp, the sun's moment a fraction of an hour from it, which newer files state. What does not
belong here: the service itself; the sun's beam, which low suns make of two small numbers
(``complete`` derives it with the hour's own sun).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from vanclimate.errors import WeatherError
from vanclimate.site.clock import FloatArray
from vanclimate.site.formats.jsons import member, parse
from vanclimate.site.formats.rows import (
    HOUR,
    Column,
    Source,
    check_calendar,
    checked_step,
    lines_of,
    midnight,
    nominal_hours,
    number,
    numbers,
    station,
    table_rows,
)
from vanclimate.site.table import Station, Table

# from memory
LICENCE = "PVGIS © European Union: free to use with its name (see the service's terms)"
REANALYSIS = ("ERA5", "COSMO")
"""Bases that give hours' means, by a part of their names (from memory)."""

LONGEST_OFFSET = 0.75
"""h by which a typical year's sun may be away from its stamps; half an hour and some slack."""

_AIR = {
    "temp_air": Column("temp_air", "T2m (°C)"),
    "wind_speed": Column("wind_speed", "WS10m (m/s)"),
}
_TYPICAL = {
    "T2m": _AIR["temp_air"],
    "RH": Column("relative_humidity", "RH (%)", 0.01),
    "G(h)": Column("ghi", "G(h) (W/m2)"),
    "Gb(n)": Column("dni", "Gb(n) (W/m2)"),
    "Gd(h)": Column("dhi", "Gd(h) (W/m2)"),
    "IR(h)": Column("longwave", "IR(h) (W/m2)"),
    "WS10m": _AIR["wind_speed"],
    "WD10m": Column("wind_direction", "WD10m (deg)"),
    "SP": Column("pressure", "SP (Pa)"),
}
TITLE = "PVGIS point"
_STAMP = "a stamp such as 20050131:1310"


@dataclass(frozen=True)
class _Series:
    """What both writings of a file hold: the place and its columns as they stand there."""

    station: Station
    source: Source
    times: list[str]
    column: Callable[[str], list[Any] | None]
    facts: dict[str, Any]


def is_hourly_csv(text: str) -> bool:
    """Say whether the head names latitude and a radiation database."""
    head = text[:2000]
    return head.startswith("Latitude (decimal degrees)") and "Radiation database" in head


def is_typical_csv(text: str) -> bool:
    """Say whether the head is a place and then months with their years."""
    head = text[:400]
    return head.startswith("Latitude (decimal degrees)") and "month,year" in head.casefold()


def is_hourly_json(text: str) -> bool:
    """Say whether a JSON holds a PVGIS series."""
    return text[:1] == "{" and '"hourly"' in text[:4000] and '"mounting_system"' in text[:4000]


def is_typical_json(text: str) -> bool:
    """Say whether a JSON holds a PVGIS typical year."""
    return text[:1] == "{" and '"tmy_hourly"' in text[:6000]


def read_hourly_csv(text: str, name: str) -> Table:
    """Return the checked content of an hourly series as CSV."""
    series = _from_csv(text, name, "time")
    for slope in (v for k, v in series.facts.items() if k.startswith("Slope")):
        row, value = slope
        found = re.match(r"\s*([-\d.]+)", value)
        _level(number(found[1]) if found else None, value, row, name)
    base = next((v[1] for k, v in series.facts.items() if k.startswith("Radiation data")), "")
    return _hourly(series, base)


def read_hourly_json(text: str, name: str) -> Table:
    """Return the checked content of an hourly series as JSON."""
    reply = parse(text, name)
    series = _from_json(reply, "hourly", "time", name)
    slope = member(reply, "inputs.mounting_system.fixed.slope.value", name, object)
    _level(number(slope), str(slope), None, name)
    base = member(reply, "inputs.meteo_data.radiation_db", name, str, "unknown")
    return _hourly(series, base)


def read_typical_csv(text: str, name: str) -> Table:
    """Return the checked content of a typical year as CSV."""
    series = _from_csv(text, name, "time(UTC)")
    row, stated = series.facts.get("Irradiance Time Offset (h)", (None, None))
    return _typical(series, stated, row)


def read_typical_json(text: str, name: str) -> Table:
    """Return the checked content of a typical year as JSON."""
    reply = parse(text, name)
    series = _from_json(reply, "tmy_hourly", "time(UTC)", name)
    location = member(reply, "inputs.location", name, dict)
    return _typical(series, location.get("irradiance_time_offset"), None)


def _level(slope: float | None, text: str, row: int | None, name: str) -> None:
    if slope != 0:
        allowed = "0: the sun on a level plane"
        raise WeatherError(name, row, "slope", text, allowed, "fetch the series with slope 0")


def _hourly(series: _Series, base: str) -> Table:
    """Lay a series' checked columns out; the stamps' minute says where in the hour they hold."""
    source, name = series.source, series.source.name
    seconds = [_seconds(text) for text in series.times]
    stamps, step = checked_step(seconds, series.times, source, _STAMP, "time")
    if step != HOUR:
        raise WeatherError(name, source.row(1), "time", f"{step / 60:g} min", "a row an hour")
    minute = int(stamps[0] % HOUR)
    mean = any(part in base for part in REANALYSIS)
    columns: dict[str, FloatArray] = {}
    names: dict[str, str] = {}
    for header, column in (("T2m", _AIR["temp_air"]), ("WS10m", _AIR["wind_speed"])):
        values = series.column(header)
        if values is not None:
            columns[column.quantity] = numbers(values, column, source)
            names[column.quantity] = column.header
    parts = {}
    for header, quantity in (("G(i)", "ghi"), ("Gb(i)", "ghi"), ("Gd(i)", "dhi"), ("Gr(i)", "dhi")):
        values = series.column(header)
        if values is not None:
            parts[header] = numbers(values, Column(quantity, f"{header} (W/m2)"), source)
    if "Gb(i)" in parts and "Gd(i)" in parts:
        columns["dhi"] = parts["Gd(i)"] + parts.get("Gr(i)", 0.0)
        columns["ghi"] = parts["Gb(i)"] + columns["dhi"]
        names |= {"ghi": "Gb(i) + Gd(i) (W/m2)", "dhi": "Gd(i) (W/m2)"}
    elif "G(i)" in parts:
        columns["ghi"] = parts["G(i)"]
        names["ghi"] = "G(i) (W/m2)"
    for quantity, header in (("temp_air", "T2m"), ("ghi", "G(i), or Gb(i) and Gd(i)")):
        if quantity not in columns:
            raise WeatherError(name, None, header, "nothing", "a series with this column")
    share = None if mean else minute / HOUR
    when = "hours' means" if mean else f"instants at minute {minute // 60}"
    return Table(
        "PVGIS hourly", series.station, stamps - minute, HOUR, columns, points=minute / HOUR,
        sun=share, stamps=f"{when}, UTC, base {base}", names=names, first_row=source.first,
        notes=_reconstructed(series), licence=LICENCE,
    )  # fmt: skip


def _reconstructed(series: _Series) -> tuple[str, ...]:
    flags = series.column("Int")
    count = sum(number(flag) == 1 for flag in flags) if flags else 0
    return (f"sun reconstructed by the service in {count} hours",) if count else ()


def _typical(series: _Series, stated: object, row: int | None) -> Table:
    """Lay a typical year out; rows run through the year in UTC."""
    source, name = series.source, series.source.name
    seen = [_STAMP_PARTS.fullmatch(text) for text in series.times]
    stamps = [tuple(map(int, m.groups()[:4])) if m and m[5] == "00" else None for m in seen]
    years = check_calendar(stamps, series.times, source)  # type: ignore[arg-type]
    notes: tuple[str, ...] = ()
    offset = 0.0 if stated is None else number(stated)
    if offset is None or abs(offset) > LONGEST_OFFSET:
        allowed = f"{-LONGEST_OFFSET} to {LONGEST_OFFSET} h"
        raise WeatherError(name, row, "irradiance time offset", str(stated), allowed)
    if stated is None:
        notes = ("the file does not say at which minute its sun holds: at the stamp is assumed",)
    columns: dict[str, FloatArray] = {}
    names: dict[str, str] = {}
    for header, column in _TYPICAL.items():
        values = series.column(header)
        if values is None:
            raise WeatherError(name, None, header, "nothing", "all columns of a typical year")
        columns[column.quantity] = numbers(values, column, source)
        names[column.quantity] = column.header
    # the moment of the sun lies within the row that starts an hour before where it comes early
    early = offset < 0.0
    start = nominal_hours(0.0) - (HOUR if early else 0)
    return Table(
        "PVGIS typical year", series.station, start, HOUR, columns, points=float(early),
        sun=offset + early, stamps=f"instants, UTC; the sun's {offset:+.2f} h from the stamp",
        names=names, first_row=source.first, typical=True, years=years, notes=notes,
        licence=LICENCE,
    )  # fmt: skip


def _from_csv(text: str, name: str, time: str) -> _Series:
    """Take the head's facts, ``name: value`` with their rows, and the table that follows."""
    lines = lines_of(text)
    facts: dict[str, Any] = {}
    at = next((i for i, line in enumerate(lines[:60]) if line.startswith(time + ",")), None)
    if at is None:
        raise WeatherError(name, found="no table", allowed=f"a header that starts with {time},")
    for i, line in enumerate(lines[:at]):
        key, colon, value = line.partition(":")
        if colon:
            facts[key.strip()] = (i + 1, value.strip())
    head = [field.strip() for field in lines[at].split(",")]
    end = next((i for i in range(at + 1, len(lines)) if not lines[i].strip()), len(lines))
    source = Source(name, at + 2)
    rows = table_rows(lines[at + 1 : end], len(head), source)
    keys = ("Latitude (decimal degrees)", "Longitude (decimal degrees)", "Elevation (m)")
    numbers_ = [facts.get(key, (None, None))[1] for key in keys]
    where = station(TITLE, [*numbers_, None], name, 1, ("time zone",))

    def column(header: str) -> list[Any] | None:
        return [row[head.index(header)] for row in rows] if header in head else None

    return _Series(where, source, [row[0] for row in rows], column, facts)


def _from_json(reply: Any, key: str, time: str, name: str) -> _Series:
    rows = member(reply, f"outputs.{key}", name, list)
    place = member(reply, "inputs.location", name, dict)
    source = Source(name, 1)
    for i, row in enumerate(rows):
        if not isinstance(row, dict) or not isinstance(row.get(time), str):
            raise WeatherError(name, i + 1, f"outputs.{key} {time}", str(row), _STAMP)
    values = [place.get(part) for part in ("latitude", "longitude", "elevation")]
    where = station(TITLE, [*values, None], name, None, ("time zone",))

    def column(header: str) -> list[Any] | None:
        return [row.get(header) for row in rows] if header in rows[0] else None

    return _Series(where, source, [row[time] for row in rows], column, {})


_STAMP_PARTS = re.compile(r"(\d{4})(\d\d)(\d\d):(\d\d)(\d\d)")


def _seconds(text: str) -> int | None:
    match = _STAMP_PARTS.fullmatch(text)
    if match is None:
        return None
    year, month, day, hour, minute = map(int, match.groups())
    first = midnight(year, month, day)
    if first is None or hour > 23 or minute > 59:
        return None
    return first + HOUR * hour + 60 * minute
