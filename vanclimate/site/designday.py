"""Days made from a formula: clear sky, lows and highs, repeated. They say that they are synthetic.

For a builder who wants 'what if it is 75 to 100 °F' before he has a weather file. What does not
belong here: measured data, statistics of a site.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from vanclimate.cache import cached_arrays
from vanclimate.errors import OptionError
from vanclimate.physics import air
from vanclimate.site.clearsky import LINKE_TURBIDITY, clear_day
from vanclimate.site.clock import FloatArray, fixed_zone
from vanclimate.site.weather import Weather
from vanclimate.site.years import MONTHS

# Share of the daily range below the high at solar hours 1 to 24, after the daily profile in the
# ASHRAE Handbook of Fundamentals (chapter on fenestration and cooling loads); from memory.
RANGE_SHARES = (
    *(0.87, 0.92, 0.96, 0.99, 1.00, 0.98, 0.93, 0.84, 0.71, 0.56, 0.39, 0.23),
    *(0.11, 0.03, 0.00, 0.03, 0.10, 0.21, 0.34, 0.47, 0.58, 0.68, 0.76, 0.82),
)

WIND = 2.0
"""Wind at 10 m [m/s]: a calm, hot spell; assumed."""

_LIMITS = {
    "low": (-60.0, 55.0),
    "high": (-60.0, 60.0),
    "latitude": (-90.0, 90.0),
    "longitude": (-180.0, 180.0),
    "elevation": (-450.0, 6000.0),
    "relative_humidity": (0.01, 1.0),
    "utc_offset_h": (-12.0, 14.0),
    "days": (1, 60),
}


def weekly_temperature(hour: FloatArray, lows: FloatArray, highs: FloatArray) -> FloatArray:
    """Return the air temperature at solar hours of a run of days that repeats [°C].

    Equation: ``high - share (high - low)``, the share by straight lines between the hours of
    `RANGE_SHARES`: lowest at 5, highest at 15. From its high on, a day falls to the next day's low.

    Parameters
    ----------
    hour : solar hours since the first day's midnight [h]
    lows, highs : of each day, shape (days,) [°C]

    >>> weekly_temperature(np.array([5.0, 15.0]), np.array([20.0]), np.array([35.0])).tolist()
    [20.0, 35.0]
    """
    days = len(lows)
    day = np.floor(hour / 24.0).astype(int)
    clock = hour - 24.0 * day
    share = np.interp(clock, np.arange(1, 25), RANGE_SHARES, period=24.0)
    # before the day's low at 5 the air still falls from the high of the day before
    high = np.where(clock < 5.0, highs[(day - 1) % days], highs[day % days])
    low = np.where(clock >= 15.0, lows[(day + 1) % days], lows[day % days])
    temperature: FloatArray = high - share * (high - low)
    return temperature


def design_day(
    *,
    low: float,
    high: float,
    latitude: float,
    date: dt.date,
    relative_humidity: float,
    longitude: float = 0.0,
    elevation: float = 0.0,
    utc_offset_h: float | None = None,
    days: int = 6,
) -> Weather:
    """Return the same clear day, `days` times over; see `design_week`."""
    _check("days", days)
    made = design_week(
        lows=[low] * days, highs=[high] * days, latitude=latitude, date=date,
        relative_humidity=relative_humidity, longitude=longitude, elevation=elevation,
        utc_offset_h=utc_offset_h,
    )  # fmt: skip
    return replace(
        made,
        name=f"synthetic day, {low:.0f} to {high:.0f} °C, {date.day} {MONTHS[date.month - 1]}",
        period=f"one clear day, {days} times over",
    )


def design_week(
    *,
    lows: Sequence[float],
    highs: Sequence[float],
    latitude: float,
    date: dt.date,
    relative_humidity: float,
    longitude: float = 0.0,
    elevation: float = 0.0,
    utc_offset_h: float | None = None,
) -> Weather:
    """Return a run of clear days from their lows and highs; it repeats.

    Parameters
    ----------
    lows, highs : air temperature of each day [°C]
    latitude, longitude : north and east positive [deg]
    date : of the first day, whose sun all days have
    relative_humidity : at each day's low, its dampest hour; the dew point stays to the next [0..1]
    elevation : above sea level [m]
    utc_offset_h : standard time; by default the zone of the longitude [h]

    Raises
    ------
    OptionError
        for a value beyond its limits, and for a low that is not below its high

    Notes
    -----
    Sun: clear sky after Ineichen & Perez 2002, Solar Energy 73:151, in pvlib. Temperature:
    `weekly_temperature`. Pressure: standard atmosphere. No cloud.
    """
    offset = float(round(longitude / 15.0)) if utc_offset_h is None else utc_offset_h
    given = {
        "latitude": latitude, "longitude": longitude, "elevation": elevation,
        "relative_humidity": relative_humidity, "utc_offset_h": offset, "days": len(lows),
    }  # fmt: skip
    _check_all(given, lows, highs)
    start = dt.datetime(date.year, date.month, date.day, tzinfo=fixed_zone(offset))
    said = (sorted(given.items()), list(lows), list(highs), str(start))
    digest = hashlib.sha256(repr(said).encode()).hexdigest()
    days = len(lows)
    n = 24 * days
    hour = np.arange(n + 1, dtype=np.float64) + longitude / 15.0 - offset
    temp_air = weekly_temperature(hour, _floats(lows), _floats(highs))
    temp_dew = _dew_points(hour, _floats(lows), relative_humidity)
    pressure = float(air.standard_pressure(elevation))
    points = np.ones(n + 1)
    sun = cached_arrays(
        "designday", (digest,), lambda: clear_day(start, latitude, longitude, elevation, pressure)
    )
    return Weather(
        name=f"synthetic days, {min(lows):.0f} to {max(highs):.0f} °C, from {date.day} "
        f"{MONTHS[date.month - 1]}",
        latitude=latitude,
        longitude=longitude,
        elevation=elevation,
        utc_offset_h=offset,
        source="synthetic: a formula, not measured",
        period=f"{days} clear days",
        typical=False,
        synthetic=True,
        notes=(f"synthetic: clear sky, wind {WIND:g} m/s and turbidity {LINKE_TURBIDITY:g}",),
        digest=digest,
        start=start,
        n=n,
        temp_air=temp_air,
        temp_dew=np.minimum(temp_dew, temp_air),
        pressure=points * pressure,
        wind_speed=points * WIND,
        wind_direction=points * 0.0,
        cloud_total=points * 0.0,
        cloud_opaque=points * 0.0,
        ceiling=points * math.inf,
        ghi=np.tile(sun["ghi"], days),
        dni=np.tile(sun["dni"], days),
        dhi=np.tile(sun["dhi"], days),
    )


def _floats(values: Sequence[float]) -> FloatArray:
    return np.asarray(values, dtype=np.float64)


def _dew_points(hour: FloatArray, lows: FloatArray, relative_humidity: float) -> FloatArray:
    """Return the dew point at solar hours, in straight lines from low to low."""
    vapour = relative_humidity * np.asarray(air.saturation_pressure(lows))
    at_low = np.minimum(np.asarray(air.dew_point_of_vapour_pressure(vapour), dtype=float), lows)
    day = np.floor((hour - 5.0) / 24.0).astype(int)
    into = (hour - 5.0) / 24.0 - day
    now, after = at_low[day % len(lows)], at_low[(day + 1) % len(lows)]
    dew: FloatArray = now + (after - now) * into
    return dew


def _check_all(given: dict[str, float], lows: Sequence[float], highs: Sequence[float]) -> None:
    for name, value in given.items():
        _check(name, value)
    for low, high in zip(lows, highs, strict=True):
        _check("low", low)
        _check("high", high)
        if low >= high:
            raise OptionError("low", f"{low:g} °C", f"less than the high, {high:g} °C")


def _check(name: str, value: float) -> None:
    least, most = _LIMITS[name]
    if not least <= value <= most:  # a NaN fails too
        raise OptionError(name, value, f"{least:g} to {most:g}")
