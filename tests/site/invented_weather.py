"""A `Weather` made by us, for days of a real year and for a typical one, and its moments.

Suns between the hours' means follow the height of the sun inside each hour, so that a file of
instants or of minutes has the means it was made from. Every value is invented: nothing here checks
physics. What does not belong here: the layouts of files (``invented_files``).
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import numpy as np

from vanclimate.physics import air
from vanclimate.site.clock import HOURS_OF_YEAR, nominal_start
from vanclimate.site.weather import MEANS, Weather

HOUR = 3600


def invented_days(
    days: int = 3,
    start: datetime | None = None,
    latitude: float = 38.57,
    longitude: float = -109.55,
    elevation: float = 1234.0,
) -> Weather:
    """Return days of a real year that never was; by default from 2 July 2021, UTC-7."""
    first = start or datetime(2021, 7, 2, tzinfo=timezone(timedelta(hours=-7)))
    return _invented(first, 24 * days, latitude, longitude, elevation, typical=False)


def invented_year(utc_offset_h: float = -7.0, **place: float) -> Weather:
    """Return a typical year that never was, its months from years of its own."""
    where = {"latitude": 38.57, "longitude": -109.55, "elevation": 1234.0} | place
    return _invented(nominal_start(utc_offset_h), HOURS_OF_YEAR, **where, typical=True)


def _invented(
    first: datetime, n: int, latitude: float, longitude: float, elevation: float, typical: bool
) -> Weather:
    offset = first.utcoffset()
    assert offset is not None
    edges = first.timestamp() + HOUR * np.arange(n + 1)
    hour = (edges / HOUR + longitude / 15) % 24
    day = edges / 86400
    season = np.cos(2 * np.pi * (day - 20468) / 365)  # warmest around the middle of July
    season *= 1 if latitude >= 0 else -1
    wave = np.cos(2 * np.pi * (hour - 15) / 24)
    temp_air = 14 - 12 * season + 7 * wave + 2 * np.sin(day * 0.7)
    temp_dew = np.minimum(temp_air - 0.5, 3 - 7 * season + 2 * np.sin(day * 0.9))
    cloud = np.round(np.clip(0.35 + 0.35 * np.sin(day * 1.3), 0, 1), 1)
    middle = edges[:-1] + HOUR / 2
    fine = sine_of_height((middle[:, None] + np.arange(-1740, 1800, 120)), latitude, longitude)
    clear = 1 - 0.6 * (0.5 * (cloud[:-1] + cloud[1:]))[:, None]
    beam = np.where(fine > 0.02, 900 * clear * (1 - np.exp(-6 * fine)), 0.0)
    diffuse = 130 * np.sqrt(fine) * (1.5 - 0.6 * clear)
    source_years = (1983, 1990, 1977, 1981, 1985, 1978, 1982, 1984, 1989, 1979, 1976, 1988)
    typical_or_not: dict[str, object] = {"source_years": source_years} if typical else {}
    values = {
        "temp_air": temp_air,
        "temp_dew": temp_dew,
        "pressure": float(air.standard_pressure(elevation)) + 300 * np.sin(day * 0.5),
        "wind_speed": 2.5 + 1.5 * wave + np.abs(np.sin(day * 2.1)),
        "wind_direction": np.round((200 + 90 * np.sin(day * 1.7)) % 360, -1),
        "cloud_total": cloud,
        "cloud_opaque": cloud,
        "ceiling": np.where(cloud > 0.5, 1500.0, np.inf),
        "ghi": (beam * fine + diffuse).mean(axis=1),
        "dni": beam.mean(axis=1),
        "dhi": diffuse.mean(axis=1),
    }
    if typical:
        for name, line in values.items():
            if name not in MEANS:
                line[-1] = line[0]
    return Weather(
        name="Invented Flats", latitude=latitude, longitude=longitude, elevation=elevation,
        utc_offset_h=offset.total_seconds() / HOUR, source="invented", period="invented",
        typical=typical, synthetic=False, notes=(), digest="0" * 64, start=first, n=n,
        **values, **typical_or_not,
    )  # fmt: skip


def sine_of_height(seconds: np.ndarray, latitude: float, longitude: float) -> np.ndarray:
    """Return the sine of the sun's height, 0 below the horizon, at seconds since 1970 UTC.

    Declination and equation of time of Spencer 1971 (from memory), good to about 0.1 degrees.
    """
    turn = 2 * np.pi * ((seconds / 86400.0) % 365.2425 - 0.0) / 365.2425
    declination = (
        0.006918 - 0.399912 * np.cos(turn) + 0.070257 * np.sin(turn)
        - 0.006758 * np.cos(2 * turn) + 0.000907 * np.sin(2 * turn)
    )  # fmt: skip
    minutes = 229.18 * (
        0.000075 + 0.001868 * np.cos(turn) - 0.032077 * np.sin(turn)
        - 0.014615 * np.cos(2 * turn) - 0.040849 * np.sin(2 * turn)
    )  # fmt: skip
    angle = np.pi * ((seconds / 43200 + longitude / 180 + minutes / 720) % 2 - 1)
    phi = np.radians(latitude)
    sine = np.sin(phi) * np.sin(declination)
    sine = sine + np.cos(phi) * np.cos(declination) * np.cos(angle)
    return np.clip(sine, 0.0, None)


# ------------------------------------------------------------------ from hours to a file's moments


def edges_at(weather: Weather, name: str, at: np.ndarray) -> np.ndarray:
    """Return an edge quantity in straight lines at hours since the start (a year wraps round)."""
    at = at % weather.n if weather.typical else at
    line = getattr(weather, name)
    if name in ("wind_direction", "ceiling"):  # a turn through north has no straight line
        return line[np.clip(np.rint(at).astype(int), 0, weather.n)]
    return np.interp(at, np.arange(weather.n + 1), line)


def sun_at(weather: Weather, name: str, at: np.ndarray) -> np.ndarray:
    """Return an instant's sun: the hour's mean times the height there over its mean in the hour."""
    at = at % weather.n if weather.typical else at
    hour = np.clip(np.floor(at).astype(int), 0, weather.n - 1)
    first = weather.start.timestamp()

    def height(hours: np.ndarray) -> np.ndarray:
        return sine_of_height(first + HOUR * hours, weather.latitude, weather.longitude)

    inside = (np.arange(30) + 0.5) / 30
    mean = height(np.arange(weather.n)[:, None] + inside).mean(axis=1)[hour]
    ratio = np.where(mean > 0.0, height(at) / np.where(mean > 0.0, mean, 1.0), 0.0)
    if name == "dni":  # the beam hardly follows the height: on or off
        ratio = (ratio > 0.0).astype(float)
    return getattr(weather, name)[hour] * ratio


def mean_of_edges(weather: Weather, name: str) -> np.ndarray:
    """Return an edge quantity's means over the hours."""
    line = getattr(weather, name)
    return line[:-1] if name == "wind_direction" else 0.5 * (line[:-1] + line[1:])


def humidity(temp_air: np.ndarray, temp_dew: np.ndarray) -> np.ndarray:
    """Return relative humidity [%]."""
    over = np.asarray(air.saturation_pressure(temp_dew))
    return 100 * over / np.asarray(air.saturation_pressure(temp_air))


def utc_year_rows(weather: Weather) -> np.ndarray:
    """Return hours since the weather's start of each UTC hour of a typical year."""
    return np.arange(HOURS_OF_YEAR) + weather.utc_offset_h


def utc(weather: Weather, at: float) -> datetime:
    """Return the moment in UTC; of a typical year with the year that its month was taken from."""
    moment = (weather.start + timedelta(hours=float(at))).astimezone(UTC)
    if weather.typical:
        moment = moment.replace(year=source_year(weather, moment.month))
    return moment


def source_year(weather: Weather, month: int) -> int:
    return weather.source_years[month - 1] if weather.source_years else 2005
