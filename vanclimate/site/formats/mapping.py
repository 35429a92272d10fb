"""The three lines at the top of a table of one's own: its columns, its clock, its place.

::

    # columns: time = Date + Time, air = "Temp, out" in F, humidity = RH (%), sun = GHI in W/m2
    # clock: America/Denver, stamp at end
    # place: Ridge camp, 38.57 N, 109.55 W, 1234 m
    # missing: -9999, NA                                 (only where the table has such codes)

A unit stands after ``in``, or in brackets; where the column's own name ends in brackets, it is
taken from there. What does not belong here: the rows (`mapped`) and their times (`times`).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from vanclimate.errors import UnitError, WeatherError, near
from vanclimate.site.formats.rows import PLACE, station
from vanclimate.site.table import Station
from vanclimate.units import parse

QUANTITY_OF = {
    "air": "temp_air", "air temperature": "temp_air", "temperature": "temp_air",
    "dew point": "temp_dew", "dew": "temp_dew",
    "humidity": "relative_humidity", "relative humidity": "relative_humidity",
    "rh": "relative_humidity",
    "sun": "ghi", "global sun": "ghi", "ghi": "ghi",
    "direct sun": "dni", "dni": "dni", "diffuse sun": "dhi", "dhi": "dhi",
    "pressure": "pressure", "wind": "wind_speed", "wind speed": "wind_speed",
    "wind direction": "wind_direction", "direction": "wind_direction",
    "cloud": "cloud_total", "longwave": "longwave",
}  # fmt: skip
"""What may stand left of an equals sign."""

WORDS = (
    "time, air, dew point, humidity, sun, direct sun, diffuse sun, pressure, wind, "
    "wind direction, cloud, longwave"
)

_KIND = {
    "temp_air": "temperature", "temp_dew": "temperature", "relative_humidity": "fraction",
    "ghi": "irradiance", "dni": "irradiance", "dhi": "irradiance", "longwave": "irradiance",
    "pressure": "pressure", "wind_speed": "speed", "wind_direction": "angle",
    "cloud_total": "fraction",
}  # fmt: skip
_UNITS = {
    "temperature": "C, F or K", "fraction": "% or share", "irradiance": "W/m2 or kW/m2",
    "pressure": "hPa, mbar, kPa, Pa, inHg or mmHg", "speed": "m/s, km/h, mph or knots",
    "angle": "deg",
}  # fmt: skip
_SHARES = {"share": 1.0, "1": 1.0, "tenths": 0.1, "oktas": 0.125}

_LINE = re.compile(r"#\s*(columns|clock|place|missing)\s*:\s*(.*)", re.IGNORECASE)
_ZONE = re.compile(
    r"(?:UTC|GMT)\s*(?:([-+−])\s*(\d{1,2})(?::?([0-5]\d)|(\.\d{1,2}))?)?", re.IGNORECASE
)
_STAMP = re.compile(r"(?:the )?stamps?(?: is| are)? (?:at )?(?:the )?(start|middle|end)", re.I)
BRACKETS = re.compile(r"(.*?)\s*(?:\(([^()]*(?:\([^()]*\)[^()]*)*)\)|\[([^\[\]]*)\])")
CLOCK = (
    "a zone (UTC-7, America/Denver, or 'stamps carry their offset') and 'stamp at start', "
    "'stamp at middle' or 'stamp at end'"
)


@dataclass(frozen=True)
class Clock:
    """How a table's times are meant.

    Attributes
    ----------
    offset_h : fixed lead over UTC; None for a named zone, or where each stamp carries its own
    zone : such as 'America/Denver', for a clock that follows daylight saving
    stamp : 'start', 'middle' or 'end' of the interval
    instants : all but the sun were read at the stamp
    day_first : order of dates such as 03/04/2024; None where not said
    """

    offset_h: float | None
    zone: str | None
    stamp: str
    instants: bool
    day_first: bool | None

    @property
    def carried(self) -> bool:
        """Whether each stamp carries its own offset."""
        return self.offset_h is None and self.zone is None


@dataclass(frozen=True)
class Chosen:
    """A quantity's column: its place in the row, its name there, and ``SI = value * a + b``."""

    index: int
    header: str
    scale: float
    offset: float


def top_lines(lines: Sequence[str]) -> tuple[dict[str, tuple[int, str]], int]:
    """Return the three lines as word → (row, text), and the index of the line after them."""
    found: dict[str, tuple[int, str]] = {}
    for i, line in enumerate(lines):
        plain = line.strip()
        if plain.startswith('"#'):  # a spreadsheet quotes a line with commas, doubling its quotes
            plain = plain.rstrip(",;\t").strip('"').replace('""', '"')
        if plain and not plain.startswith("#"):
            return found, i
        match = _LINE.match(plain.rstrip(",;\t "))
        if match:
            word = match[1].casefold()
            row, before = found.get(word, (i + 1, ""))
            found[word] = (row, f"{before}, {match[2]}" if before else match[2].strip())
    return found, len(lines)


def read_place(text: str, row: int, zone: float | None, name: str) -> Station:
    """Read ``Ridge camp, 38.57 N, 109.55 W, 1234 m``; the height may be left out."""
    allowed = "a name, latitude, longitude and height, such as Ridge camp, 38.57 N, 109.55 W, 90 m"
    parts = [part.strip() for part in text.split(",")]
    height: float | None = None
    pair = [_degrees(p, sign) for p, sign in zip(parts[-3:-1], ("NS", "EW"), strict=False)]
    if len(pair) == 2 and None not in pair:
        try:
            height = parse(parts.pop(), "length")
        except UnitError as fault:
            raise WeatherError(name, row, "place", fault.text, fault.allowed) from fault
    signs = ("NS", "EW")
    numbers = [_degrees(part, sign) for part, sign in zip(parts[-2:], signs, strict=False)]
    if len(parts) < 2 or None in numbers:
        raise WeatherError(name, row, "place", text, allowed)
    title = ", ".join(parts[:-2]) or "own table"
    return station(title, [*numbers, height, zone], name, row, ("elevation", "time zone"))


def _degrees(text: str, hemispheres: str) -> float | None:
    match = re.fullmatch(r"([-+−]?\d+(?:\.\d+)?)\s*°?\s*([NSEWnsew])?", text)
    if match is None or (match[2] and match[2].upper() not in hemispheres):
        return None
    value = float(match[1].replace("−", "-"))
    return -value if match[2] and match[2].upper() in "SW" else value


def read_clock(text: str, row: int, name: str) -> Clock:
    """Read ``UTC-7, stamp at end`` and its like."""
    offset: float | None = None
    zone = stamp = None
    carried = instants = False
    day_first: bool | None = None
    for part in (p.strip() for p in text.split(",")):
        lower = part.casefold()
        if match := _ZONE.fullmatch(part):
            offset = int(match[2] or 0) + int(match[3] or 0) / 60 + float(match[4] or 0.0)
            offset = -offset if match[1] in ("-", "−") else offset
            if not PLACE["time zone"][0] <= offset <= PLACE["time zone"][1]:
                raise WeatherError(name, row, "clock", part, "UTC-12 to UTC+14")
        elif "/" in part and " " not in part:
            zone = _known_zone(part, row, name)
        elif match := _STAMP.fullmatch(part):
            stamp = match[1].casefold()
        elif lower in ("stamps carry their offset", "stamps carry offset"):
            carried = True
        elif lower in ("readings at the stamp", "readings at stamp"):
            instants = True
        elif lower in ("day first", "month first"):
            day_first = lower == "day first"
        elif part:
            raise WeatherError(name, row, "clock", part, CLOCK)
    if stamp is None or (offset is not None) + (zone is not None) + carried != 1:
        raise WeatherError(name, row, "clock", text or "nothing", CLOCK)
    return Clock(offset, zone, stamp, instants, day_first)


def _known_zone(zone: str, row: int, name: str) -> str:
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

    try:
        return ZoneInfo(zone).key
    except (ZoneInfoNotFoundError, ValueError, OSError) as fault:
        hint = near(zone, available_timezones())
        allowed = "a zone such as America/Denver, or UTC-7"
        raise WeatherError(name, row, "clock", zone, allowed, hint) from fault


def read_columns(
    text: str, row: int, header: Sequence[str], header_row: int, name: str
) -> tuple[list[int], dict[str, Chosen]]:
    """Return the places of the time's columns, and the column of each quantity.

    Raises
    ------
    WeatherError
        for an unknown word or unit, and a column that is not in the header
    """
    times: list[int] = []
    chosen: dict[str, Chosen] = {}
    for entry in _entries(text):
        what, equals, rest = (part.strip() for part in entry.partition("="))
        word = " ".join(what.casefold().replace("_", " ").split())
        if not equals or not rest:
            raise WeatherError(name, row, "columns", entry, "entries such as air = Temp in F")
        if word == "time":
            pieces = re.split(r"\s+\+\s+", rest) if _place_of(rest, header)[0] is None else [rest]
            times = [_find(piece, header, header_row, what, name)[0] for piece in pieces]
            continue
        if word not in QUANTITY_OF:
            hint = near(word, [*QUANTITY_OF, "time"])
            raise WeatherError(name, row, "columns", what, WORDS, hint)
        quantity = QUANTITY_OF[word]
        if quantity in chosen:
            raise WeatherError(name, row, "columns", what, f"{what} once")
        index, unit = _find(rest, header, header_row, what, name)
        scale, offset = _unit(unit, quantity, what, row, name)
        label = header[index] if unit and unit in header[index] else f"{header[index]} in {unit}"
        chosen[quantity] = Chosen(index, label, scale, offset)
    if not times:
        raise WeatherError(name, row, "columns", "no time", "time = and the name of its column")
    return times, chosen


def _entries(text: str) -> list[str]:
    """Split at commas and semicolons outside quotes and brackets."""
    found, depth, quoted, entry = [], 0, False, ""
    for char in text:
        quoted ^= char == '"'
        depth += (char in "([") - (char in ")]") if not quoted else 0
        if char in ",;" and not quoted and depth <= 0:
            found.append(entry.strip())
            entry = ""
        else:
            entry += char
    return [e for e in (*found, entry.strip()) if e]


def _place_of(wanted: str, header: Sequence[str]) -> tuple[int | None, int]:
    """Return the only column of a name, by its whole name or the one before its brackets."""
    plain = " ".join(wanted.strip().strip('"').casefold().split())
    full = [i for i, field in enumerate(header) if " ".join(field.casefold().split()) == plain]
    if not full:
        full = [i for i, field in enumerate(header) if _without_unit(field) == plain]
    return (full[0], 1) if len(full) == 1 else (None, len(full))


def _without_unit(field: str) -> str:
    match = BRACKETS.fullmatch(field.strip())
    return " ".join((match[1] if match else field).casefold().split())


def _find(
    rest: str, header: Sequence[str], header_row: int, what: str, name: str
) -> tuple[int, str | None]:
    """Return the place of the column that an entry names, and its unit where one is said."""
    quoted = re.fullmatch(r'"([^"]*)"\s*(.*)', rest)
    tried: list[tuple[str, str | None]] = []
    if quoted:
        unit = re.fullmatch(r"(?:in\s+|\(|\[)?(.*?)[)\]]?", quoted[2].strip())
        tried.append((quoted[1], (unit[1].strip() or None) if unit else None))
    else:
        tried.append((rest, None))
        if match := re.fullmatch(r"(.+?)\s+in\s+(\S.*)", rest):
            tried.append((match[1], match[2].strip()))
        if match := BRACKETS.fullmatch(rest):
            tried.append((match[1], match[2] or match[3]))
    twice = False
    for wanted, unit_text in tried:
        index, count = _place_of(wanted, header)
        twice |= count > 1
        if index is not None:
            own = BRACKETS.fullmatch(header[index].strip())
            return index, unit_text or ((own[2] or own[3]) if own else None)
    wanted = tried[min(1, len(tried) - 1)][0]
    found = f"{wanted} twice" if twice else f"no column {wanted}"
    allowed = f"a column of the header: {', '.join(header)[:200]}"
    raise WeatherError(name, header_row, what, found, allowed, near(wanted, header))


def _unit(unit: str | None, quantity: str, what: str, row: int, name: str) -> tuple[float, float]:
    """Return scale and offset from a unit into SI."""
    kind = _KIND[quantity]
    if unit is None:
        raise WeatherError(
            name, row, "columns", f"{what} without its unit", f"'in' and {_UNITS[kind]}"
        )
    plain = unit.strip().removeprefix("in ").strip()
    if kind == "fraction" and plain.casefold() in _SHARES:
        return _SHARES[plain.casefold()], 0.0
    try:
        zero = parse(f"0 {plain}", kind)
        return parse(f"1 {plain}", kind) - zero, zero
    except UnitError as fault:
        raise WeatherError(
            name, row, "columns", f"{what} in {plain}", _UNITS[kind], fault.hint
        ) from fault


def delimiter_of(line: str) -> str:
    """Return what parts a header's fields: tab, semicolon or comma."""
    return max("\t;,", key=line.count)
