"""Hourly series as NASA POWER gives them, JSON and CSV.

Each value is the mean from the stamp on. Stamps are UTC, or local solar time: the same hours named
by the nearest whole hours of longitude / 15, since the service's hours are whole ones of UTC
(assumed). What does not belong here: the service itself.
"""

from __future__ import annotations

import re
from typing import Any

from vanclimate.errors import WeatherError
from vanclimate.site.clock import FloatArray
from vanclimate.site.formats.jsons import member, parse
from vanclimate.site.formats.rows import (
    HOUR,
    Column,
    Source,
    checked_step,
    clip_dew_point,
    lines_of,
    midnight,
    number,
    numbers,
    station,
    table_rows,
)
from vanclimate.site.table import Station, Table

TITLE = "NASA POWER point"
LICENCE = "NASA POWER: free to use with its name (see the service's terms)"  # from memory

MEAN_SLACK = 1.0
"""K by which the mean dew point of an hour may lie above the mean air temperature."""

_SUN = {
    "Wh/m^2": 1.0, "W/m^2": 1.0, "W m-2": 1.0, "kW-hr/m^2": 1000.0, "kWh/m^2": 1000.0,
    "MJ/hr": 1e6 / HOUR, "MJ/m^2/hr": 1e6 / HOUR, "MJ/m^2": 1e6 / HOUR,
}  # fmt: skip
_DEGREES = {"C": 1.0}
_KNOWN: dict[str, tuple[str, dict[str, float]]] = {
    "T2M": ("temp_air", _DEGREES),
    "T2MDEW": ("temp_dew", _DEGREES),
    "RH2M": ("relative_humidity", {"%": 0.01}),
    "PS": ("pressure", {"kPa": 1000.0, "hPa": 100.0, "Pa": 1.0}),
    "WS10M": ("wind_speed", {"m/s": 1.0}),
    "WD10M": ("wind_direction", {"Degrees": 1.0}),
    "ALLSKY_SFC_SW_DWN": ("ghi", _SUN),
    "ALLSKY_SFC_SW_DNI": ("dni", _SUN),
    "ALLSKY_SFC_SW_DIFF": ("dhi", _SUN),
    "ALLSKY_SFC_LW_DWN": ("longwave", _SUN),
    "CLOUD_AMT": ("cloud_total", {"%": 0.01}),
}


def is_json(text: str) -> bool:
    """Say whether a JSON holds this service's parameters."""
    return text[:1] == "{" and '"parameter"' in text[:4000] and '"geometry"' in text


def is_csv(text: str) -> bool:
    """Say whether a text starts with the service's head."""
    return text[:200].startswith("-BEGIN HEADER-")


def read_json(text: str, name: str) -> Table:
    """Return the checked content of an hourly JSON."""
    reply = parse(text, name)
    series = member(reply, "properties.parameter", name, dict)
    place = member(reply, "geometry.coordinates", name, list)
    if len(place) < 2:
        raise WeatherError(name, None, "geometry.coordinates", str(place), "longitude, latitude")
    height = place[2] if len(place) > 2 else None
    where = station(TITLE, [place[1], place[0], height, None], name, None, _OPTIONAL)
    missing = number(member(reply, "header.fill_value", name, object, -999.0))
    if missing is None:
        raise WeatherError(name, None, "header.fill_value", "no number", "a number such as -999")
    told = member(reply, "parameters", name, dict)
    units = {k: str(v.get("units", "")) for k, v in told.items() if isinstance(v, dict)}
    standard = member(reply, "header.time_standard", name, str)
    stamps: list[str] | None = None
    for key in (k for k in series if k in _KNOWN):
        if not isinstance(series[key], dict) or not series[key]:
            raise WeatherError(name, None, key, str(series[key]), "hours and their values")
        if stamps is not None and stamps != list(series[key]):
            raise WeatherError(name, None, key, "other hours", "the hours of the other parameters")
        stamps = list(series[key])
    columns = {k: list(v.values()) for k, v in series.items() if k in _KNOWN}
    return _series(where, stamps or [], columns, units, missing, standard, Source(name, 1))


def read_csv(text: str, name: str) -> Table:
    """Return the checked content of an hourly CSV."""
    lines = lines_of(text)
    end = next((i for i, line in enumerate(lines[:200]) if line.startswith("-END HEADER-")), None)
    if end is None or end + 2 >= len(lines):
        raise WeatherError(name, found="no end of its head", allowed="-END HEADER- and a table")
    head = "\n".join(lines[:end])
    found = {
        "latitude": re.search(r"latitude\s+(\S+)", head),
        "longitude": re.search(r"longitude\s+(\S+)", head),
        "elevation": re.search(r"elevation.*=\s*(\S+)\s*meters", head),
        "code": re.search(r"missing.*:\s*(-?\d+(?:\.\d+)?)", head),
        "standard": re.search(r"through\s+\S+\s+in\s+(\w+)", head),
    }
    given = {key: match[1] if match else None for key, match in found.items()}
    numbers_ = [given[key] for key in ("latitude", "longitude", "elevation")]
    where = station(TITLE, [*numbers_, None], name, None, _OPTIONAL)
    units = dict(re.findall(r"^(\w+)\s.*\(([^()]*)\)\s*$", head, re.MULTILINE))
    header = [field.strip() for field in lines[end + 1].split(",")]
    if header[:4] != ["YEAR", "MO", "DY", "HR"]:
        found_ = ",".join(header[:4])
        raise WeatherError(name, end + 2, None, found_, "YEAR,MO,DY,HR and the parameters")
    source = Source(name, end + 3)
    rows = table_rows(lines[end + 2 :], len(header), source)
    stamps = ["{}{:0>2}{:0>2}{:0>2}".format(*(field.strip() for field in r[:4])) for r in rows]
    columns: dict[str, list[Any]] = {
        key: [row[i] for row in rows] for i, key in enumerate(header) if key in _KNOWN
    }
    code = float(given["code"] or -999.0)
    if given["standard"] is None:
        raise WeatherError(
            name, found="no time standard", allowed="'in UTC' or 'in LST' in its head"
        )
    return _series(where, stamps, columns, units, code, given["standard"], source)


_OPTIONAL = ("time zone", "elevation")


def _series(
    where: Station,
    stamps: list[str],
    values: dict[str, list[Any]],
    units: dict[str, str],
    code: float,
    standard: str,
    source: Source,
) -> Table:
    name = source.name
    for wanted in ("T2M", "ALLSKY_SFC_SW_DWN"):
        if wanted not in values:
            raise WeatherError(name, None, wanted, "nothing", "a series with this parameter")
    seconds = [_seconds(stamp) for stamp in stamps]
    start, step = checked_step(seconds, stamps, source, "year, month, day and hour")
    if step != HOUR:
        raise WeatherError(name, source.row(1), None, f"{step / HOUR:g} h apart", "a row an hour")
    notes: tuple[str, ...] = ()
    if standard.upper() not in ("UTC", "GMT"):
        shift = round(where.longitude / 15)
        start = start - HOUR * shift
        notes = (f"local solar time read as UTC{shift:+d}, the whole hours of longitude / 15",)
    columns: dict[str, FloatArray] = {}
    names: dict[str, str] = {}
    for key, (quantity, known) in _KNOWN.items():
        if key not in values or (key == "RH2M" and "T2MDEW" in values):
            continue
        unit = units.get(key, "").strip()
        scale = {spelling.casefold(): scale for spelling, scale in known.items()}
        if unit.casefold() not in scale:
            allowed = " or ".join(known)
            raise WeatherError(name, None, f"unit of {key}", unit or "nothing", allowed)
        column = Column(quantity, f"{key} ({unit})", scale[unit.casefold()], codes=(code,))
        columns[quantity] = numbers(values[key], column, source)
        names[quantity] = column.header
    notes = (*notes, *clip_dew_point(columns, names.get("temp_dew", ""), source, MEAN_SLACK))
    clock = "UTC" if standard.upper() in ("UTC", "GMT") else "local solar time"
    return Table(
        "NASA POWER", where, start, HOUR, columns, points=None, sun=None,
        stamps=f"start of the hour, means, {clock}", names=names, first_row=source.first,
        notes=notes, licence=LICENCE,
    )  # fmt: skip


def _seconds(stamp: str) -> int | None:
    if len(stamp) != 10 or not (stamp.isascii() and stamp.isdigit()):
        return None
    first = midnight(int(stamp[:4]), int(stamp[4:6]), int(stamp[6:8]))
    hour = int(stamp[8:])
    return None if first is None or hour > 23 else first + HOUR * hour
