"""Places by name or by coordinates, without a network.

Names come from a list of the world's airfields (package airportsdata, MIT licence): each has its
town, and a town's position, elevation and time zone here are those of its airfield, as a rule
within 20 km. An airfield's own name is never shown. Names of countries and time zones come from the
package tzdata (public domain). What does not belong here: weather.
"""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, cast

import numpy as np

from vanclimate.errors import OptionError, near
from vanclimate.site.clock import FloatArray
from vanclimate.site.years import NOMINAL_YEAR

FOOT = 0.3048
EARTH_RADIUS_KM = 6371.0
"""Mean radius of the earth (IUGG, from memory)."""

LARGEST_LIST = 8
SAME_TOWN_KM = 100.0
"""Within which two fields of one town's name and country are one town's; assumed."""

ZONE_WITHIN_KM = 300.0
"""As far as the time zone of a listed place is believed; assumed."""

HEIGHT_WITHIN_KM = 50.0
"""As far as a listed place's height stands for that of a station without one; assumed."""

_STATES = """
AL Alabama, AK Alaska, AZ Arizona, AR Arkansas, CA California, CO Colorado, CT Connecticut,
DE Delaware, DC District of Columbia, FL Florida, GA Georgia, HI Hawaii, ID Idaho, IL Illinois,
IN Indiana, IA Iowa, KS Kansas, KY Kentucky, LA Louisiana, ME Maine, MD Maryland,
MA Massachusetts, MI Michigan, MN Minnesota, MS Mississippi, MO Missouri, MT Montana,
NE Nebraska, NV Nevada, NH New Hampshire, NJ New Jersey, NM New Mexico, NY New York,
NC North Carolina, ND North Dakota, OH Ohio, OK Oklahoma, OR Oregon, PA Pennsylvania,
PR Puerto Rico, RI Rhode Island, SC South Carolina, SD South Dakota, TN Tennessee, TX Texas,
UT Utah, VT Vermont, VA Virginia, VI Virgin Islands, WA Washington, WV West Virginia,
WI Wisconsin, WY Wyoming
"""
STATES = {pair.strip()[:2]: pair.strip()[3:] for pair in _STATES.replace("\n", " ").split(",")}
"""Postal code → name of the states of the US (USPS, common knowledge)."""

_MORE_NAMES = {
    "usa": "US",
    "united states of america": "US",
    "america": "US",
    "uk": "GB",
    "united kingdom": "GB",
    "great britain": "GB",
    "czechia": "CZ",
    "south korea": "KR",
    "north korea": "KP",
    "turkiye": "TR",
}

_LETTERS = str.maketrans({"ø": "o", "æ": "ae", "ß": "ss", "ð": "d", "þ": "th", "ł": "l", "đ": "d"})


@dataclass(frozen=True)
class PlaceFound:
    """A place: name, degrees, elevation [m] or None, lead of standard time over UTC [h].

    ``zone`` says in words where the time zone is from, such as 'America/Denver'.
    """

    name: str
    latitude: float
    longitude: float
    elevation: float | None
    utc_offset_h: float
    zone: str


@dataclass(frozen=True)
class _Town:
    """The towns of one name, region and country, at the airfield that was chosen for them."""

    name: str
    region: str
    country: str
    latitude: float
    longitude: float
    elevation: float
    zone: str
    rank: int
    fields: int


@lru_cache(maxsize=65536)
def fold(text: str) -> str:
    """Return `text` for comparing: case, accents, hyphens, dots and apostrophes are ignored.

    >>> fold("São-Paulo"), fold("St. John's")
    ('sao paulo', 'st johns')
    """
    spread = unicodedata.normalize("NFKD", text.casefold()).translate(_LETTERS)
    plain = "".join(c for c in spread if not unicodedata.combining(c))
    return " ".join(re.sub(r"[-_/,()\s]+", " ", re.sub(r"[.'’`]", "", plain)).split())


_DEGREES = (
    r"(?P<{0}sign>[-+−]?)\s*(?P<{0}lead>[NSEW]?)\s*(?P<{0}deg>\d{{1,3}}(?:\.\d+)?)\s*°?"
    r"(?:\s*(?P<{0}min>\d{{1,2}}(?:\.\d+)?)\s*['′’])?"
    r"(?:\s*(?P<{0}sec>\d{{1,2}}(?:\.\d+)?)\s*(?:\"|″|”|''|′′))?\s*(?P<{0}tail>[NSEW]?)"
)
_PAIR = re.compile(
    rf"\s*{_DEGREES.format('a')}(?:\s*[,;]\s*|\s+){_DEGREES.format('b')}\s*", re.IGNORECASE
)


def parse_coordinates(text: str) -> tuple[float, float] | None:
    """Return latitude and longitude [deg, north and east positive], or None for another text.

    Raises
    ------
    OptionError
        for a pair that is no place on earth

    Examples
    --------
    >>> parse_coordinates("38.57, -109.55")
    (38.57, -109.55)
    >>> parse_coordinates("38°34′N, 109°33′W") == (38 + 34 / 60, -109 - 33 / 60)
    True
    >>> parse_coordinates("Moab, Utah") is None
    True
    """
    match = _PAIR.fullmatch(text[:100])
    if match is None:
        return None
    allowed = "latitude -90 to 90, longitude -180 to 180, such as '38.57, -109.55'"
    (first, axis), (second, other) = (_degrees(match, part) for part in "ab")
    if axis in ("E", "W") and other in ("N", "S"):
        first, second, axis, other = second, first, other, axis
    wrong_axes = axis in ("E", "W") or other in ("N", "S")
    if wrong_axes or not (abs(first) <= 90.0 and abs(second) <= 180.0):
        raise OptionError("coordinates", text, allowed)
    return first, second


def _degrees(match: re.Match[str], part: str) -> tuple[float, str]:
    """Return one half of a pair in degrees, and its letter; NaN where it contradicts itself."""
    group = {key: match[part + key] or "" for key in ("sign", "lead", "deg", "min", "sec", "tail")}
    minutes, seconds = float(group["min"] or 0), float(group["sec"] or 0)
    value = float(group["deg"]) + minutes / 60.0 + seconds / 3600.0
    letter = (group["lead"] + group["tail"]).upper()
    fraction_twice = "." in group["deg"] and group["min"] != ""
    signed = group["sign"] in ("-", "−")
    if len(letter) > 1 or minutes >= 60 or seconds >= 60 or fraction_twice or (signed and letter):
        return math.nan, letter[:1]
    return (-value if signed or letter in ("S", "W") else value), letter


@lru_cache(maxsize=1)
def _countries() -> dict[str, str]:
    """Return ISO 3166 code → English name, from the table that comes with tzdata."""
    from importlib.resources import files

    table = files("tzdata").joinpath("zoneinfo", "iso3166.tab").read_text(encoding="utf-8")
    rows = [line.split("\t") for line in table.splitlines() if line and line[0] != "#"]
    return {row[0]: row[1] for row in rows}


@lru_cache(maxsize=1)
def _fields() -> list[dict[str, Any]]:
    import airportsdata

    return cast(list[dict[str, Any]], list(airportsdata.load("ICAO").values()))


@lru_cache(maxsize=1)
def _towns() -> dict[str, list[_Town]]:
    """Return folded name of a town → its towns; 'A / B' stands under both of its parts too."""
    groups: dict[tuple[str, str, str], list[dict[str, Any]]] = {}
    for field in _fields():
        if field["city"]:
            key = (fold(field["city"]), fold(field["subd"]), field["country"])
            groups.setdefault(key, []).append(field)
    towns: dict[str, list[_Town]] = {}
    for (folded, _, _), fields in groups.items():
        best = min(fields, key=_rank)
        town = _Town(
            name=" ".join(best["city"].split()),
            region=best["subd"],
            country=best["country"],
            latitude=float(best["lat"]),
            longitude=float(best["lon"]),
            elevation=round(float(best["elevation"]) * FOOT, 1),
            zone=best["tz"],
            rank=_rank(best),
            fields=len(fields),
        )
        parts = {fold(part) for part in re.split(r"[/(]", best["city"])}
        for key_of_town in sorted({folded, *parts} - {""}):
            towns.setdefault(key_of_town, []).append(town)
    return towns


def _rank(field: dict[str, Any]) -> int:
    """Return 0 for a field with scheduled traffic's code, 1 with a world-wide one, else 2."""
    if field["iata"]:
        return 0
    return 1 if re.fullmatch("[A-Z]{4}", field["icao"]) else 2


def find_places(text: str) -> list[PlaceFound]:
    """Return the places of that name, those with more air traffic first.

    Parameters
    ----------
    text : ``Moab``, ``Moab, Utah``, ``Moab, UT``, ``Paris, France``, ``Paris, Ile-de-France, FR``
    """
    name, *regions = [part.strip() for part in text[:200].split(",")]
    wanted = fold(name)
    found = [
        town
        for town in _towns().get(wanted, [])
        if all(_lies_in(town, region) for region in regions)
    ]
    # 'Stockholm' is the town of that name, not also 'Stockholm / Nykoping' in the same country
    whole = {town.country for town in found if fold(town.name) == wanted}
    found = [t for t in found if t.country not in whole or fold(t.name) == wanted]
    found.sort(key=lambda t: (t.rank, -t.fields, _label(t)))
    return [_place(t) for i, t in enumerate(found) if not any(_same(t, u) for u in found[:i])]


def _same(town: _Town, other: _Town) -> bool:
    """Say whether two of one name are one town, one field of it listed in the next region.

    Not so in the US, where two states may each have a town of that name side by side.
    """
    if town.country != other.country or town.country == "US":
        return False
    at = (np.array([other.latitude]), np.array([other.longitude]))
    return float(distance_km(town.latitude, town.longitude, *at)[0]) < SAME_TOWN_KM


def _lies_in(town: _Town, region: str) -> bool:
    code = region.strip().upper()
    if town.country == "US" and code in STATES:
        return fold(STATES[code]) == fold(town.region)
    wanted = fold(region)
    names = {fold(town.region), town.country.casefold(), fold(_countries().get(town.country, ""))}
    return wanted in names or _MORE_NAMES.get(wanted) == town.country


def _label(town: _Town) -> str:
    """Return 'Town, State', or 'Town, Region, Country' outside the US; it finds the town again."""
    country = _countries().get(town.country, town.country)
    regions = [town.region] if town.country == "US" else [town.region, country]
    return ", ".join(part for part in (town.name, *regions) if part)


def _place(town: _Town) -> PlaceFound:
    offset = zone_offset(town.zone)
    at = (_label(town), town.latitude, town.longitude, town.elevation)
    return PlaceFound(*at, utc_offset_h=offset, zone=town.zone)


def the_place(text: str) -> PlaceFound:
    """Return the one place of that name.

    Raises
    ------
    OptionError
        for none, with a near spelling, and for several, with a list to choose from
    """
    found = find_places(text)
    if len(found) == 1:
        return found[0]
    if found:
        shown = "; ".join(place.name for place in found[:LARGEST_LIST])
        more = f"; and {len(found) - LARGEST_LIST} more" if len(found) > LARGEST_LIST else ""
        raise OptionError("place", text, "one place", f"say which: {shown}{more}")
    allowed = "a town, 'Town, State', 'Town, Country', or coordinates such as '38.57, -109.55'"
    name = text.split(",")[0]
    elsewhere = find_places(name) if "," in text else []
    if elsewhere:
        hint = "known: " + "; ".join(place.name for place in elsewhere[:LARGEST_LIST])
    else:
        known = (towns[0].name for towns in _towns().values())
        hint = near(name, known) or "coordinates always work"
    raise OptionError("place", text, allowed, hint)


def locate(text: str) -> PlaceFound:
    """Return the place of a name or of coordinates.

    >>> locate("38.57, -109.55").name
    '38.570, -109.550'
    """
    pair = parse_coordinates(text)
    if pair is None:
        return the_place(text)
    offset, zone = standard_offset(*pair)
    return PlaceFound(f"{pair[0]:.3f}, {pair[1]:.3f}", *pair, None, offset, zone)


def zone_offset(zone: str) -> float:
    """Return the lead of a zone's standard time over UTC [h]: the lesser of January's and July's.

    >>> zone_offset("America/Denver")
    -7.0
    """
    from zoneinfo import ZoneInfo

    rules = ZoneInfo(zone)
    offsets = [datetime(NOMINAL_YEAR, month, 1, tzinfo=rules).utcoffset() for month in (1, 7)]
    return min(offset.total_seconds() / 3600.0 for offset in offsets if offset is not None)


@lru_cache(maxsize=1)
def _positions() -> tuple[FloatArray, FloatArray]:
    latitude = np.array([field["lat"] for field in _fields()], dtype=np.float64)
    return latitude, np.array([field["lon"] for field in _fields()], dtype=np.float64)


def standard_offset(latitude: float, longitude: float) -> tuple[float, str]:
    """Return the lead of standard time over UTC [h] at a spot, and in words where it is from.

    The zone is that of the nearest listed place within 300 km; else, as at sea, the whole hours
    nearest to the sun's time. Near a border between zones it may be the neighbour's.

    >>> standard_offset(38.57, -109.55)
    (-7.0, 'America/Denver')
    >>> standard_offset(-45.0, -120.0)[0]
    -8.0
    """
    away = distance_km(latitude, longitude, *_positions())
    nearest = int(np.argmin(away))
    if away[nearest] <= ZONE_WITHIN_KM:
        zone = str(_fields()[nearest]["tz"])
        return zone_offset(zone), zone
    hours = float(round(longitude / 15.0))
    return hours, f"UTC{hours:+.0f} h by longitude, no listed place within {ZONE_WITHIN_KM:.0f} km"


def nearest_height(latitude: float, longitude: float) -> tuple[float, str] | None:
    """Return the height [m] of the nearest listed place within 50 km, and in words whose it is."""
    away = distance_km(latitude, longitude, *_positions())
    nearest = int(np.argmin(away))
    if away[nearest] > HEIGHT_WITHIN_KM:
        return None
    field = _fields()[nearest]
    height = round(float(field["elevation"]) * FOOT, 1)
    at = f"{height:,.0f} m ({height / FOOT:,.0f} ft)"
    return height, f"{at} of {field['city']}, {away[nearest]:.0f} km away, is taken"


def distance_km(
    latitude: float,
    longitude: float,
    latitudes: FloatArray,
    longitudes: FloatArray,
) -> FloatArray:
    """Return the distance along the earth from a spot to others [km], shape of `latitudes`.

    Equation: haversine, ``d = 2 R asin(sqrt(sin²(Δφ/2) + cos φ₁ cos φ₂ sin²(Δλ/2)))`` (Sinnott
    1984, from memory).

    >>> round(float(distance_km(0.0, 0.0, np.array([0.0]), np.array([90.0]))[0]))
    10008
    """
    first, others = math.radians(latitude), np.radians(latitudes)
    half_north = np.sin((others - first) / 2.0) ** 2
    half_east = np.sin(np.radians(longitudes - longitude) / 2.0) ** 2
    share = np.minimum(half_north + math.cos(first) * np.cos(others) * half_east, 1.0)
    away: FloatArray = 2.0 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(share))
    return away
