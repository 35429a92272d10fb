"""Files of station networks and tables of one's own, made by us from a `Weather`, values invented.

What does not belong here: the data services' files (``invented_services``).
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from tests.site.invented_weather import HOUR, edges_at, mean_of_edges, sun_at
from tests.site.invented_weather import humidity as humidity_of
from vanclimate.site.weather import MEANS, Weather

# ------------------------------------------------------------------ station networks


def _minutes(weather: Weather, first: float, rows: int, step: int) -> np.ndarray:
    """Return the middles [h since the weather's start] of intervals from `first` [s UTC]."""
    return (first - weather.start.timestamp() + 60 * step * (np.arange(rows) + 0.5)) / HOUR


def _inside(weather: Weather, at: np.ndarray) -> np.ndarray:
    return (at >= 0) & (at <= weather.n)


def as_surfrad(weather: Weather, day: date | None = None, step: int = 1) -> str:
    """Write a day (UTC) of SURFRAD: means of 1 or 3 minutes, stamps at their end."""
    day = day or (weather.start.astimezone(UTC) + timedelta(hours=23)).date()
    midnight = datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()
    rows = 1440 // step
    at = _minutes(weather, midnight - 60 * step, rows, step)
    ghi, dni, dhi = (sun_at(weather, name, at) for name in MEANS)
    air_, dew = (edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    wind, turn = (edges_at(weather, name, at) for name in ("wind_speed", "wind_direction"))
    pressure, humidity = edges_at(weather, "pressure", at) / 100, humidity_of(air_, dew)
    cover = edges_at(weather, "cloud_total", at)
    longwave = (0.75 + 0.2 * cover) * 5.670374e-8 * (air_ + 273.15) ** 4
    lines = [
        " Invented Flats",
        f"   {weather.latitude:.3f} {weather.longitude:.3f} {weather.elevation:.0f} m version 1",
    ]
    for i in np.flatnonzero(_inside(weather, at)):
        minute = int(i) * step
        head = f" {day.year} {day.timetuple().tm_yday:3d} {day.month:2d} {day.day:2d} "
        head += f"{minute // 60:2d} {minute % 60:2d} {minute / 60:6.3f}  45.00"
        filler = " -9999.9 0"
        lines.append(
            f"{head} {ghi[i]:7.1f} 0{filler} {dni[i]:7.1f} 0 {dhi[i]:7.1f} 0 {longwave[i]:7.1f} 0"
            f"{filler * 10} {air_[i]:7.1f} 0 {humidity[i]:7.1f} 0 {wind[i]:7.1f} 0"
            f" {turn[i]:7.1f} 0 {pressure[i]:7.1f} 0"
        )
    return "\n".join(lines) + "\n"


def as_bsrn(weather: Weather, month: date | None = None) -> str:
    """Write a month (UTC) of a BSRN station archive: means of a minute from the stamp on."""
    first_day = month or weather.start.astimezone(UTC).date()
    begin = datetime(first_day.year, first_day.month, 1, tzinfo=UTC)
    end = begin.replace(year=begin.year + begin.month // 12, month=begin.month % 12 + 1)
    rows = int((end - begin).total_seconds()) // 60
    at = _minutes(weather, begin.timestamp(), rows, 1)
    ghi, dni, dhi = (sun_at(weather, name, at) for name in MEANS)
    air_, dew = (edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    pressure, humidity = edges_at(weather, "pressure", at) / 100, humidity_of(air_, dew)
    longwave = 0.85 * 5.670374e-8 * (air_ + 273.15) ** 4
    lines = [
        "*U0001",
        f" 99 {begin.month:2d} {begin.year} 1",
        "         2         3         4         5        21        22        23",
        "*U0004",
        " -1 -1 -1",
        "  1  1",
        "Invented Flats",
        f"{'none':20s} none",
        f"{'none':15s} none",
        f"{weather.latitude + 90:7.3f} {weather.longitude + 180:7.3f} "
        f"{weather.elevation:4.0f} XXXXX",
        " -1 -1 -1",
        "   0 0 90 0 180 0 270 0",
        "*U0100",
    ]
    for i in np.flatnonzero(_inside(weather, at)):
        day, minute = divmod(int(i), 1440)
        spread = f"{-99.9:6.1f}{-999:5d}{-999:5d}"
        lines.append(
            f" {day + 1:2d} {minute:5d} {ghi[i]:6.0f}{spread}{dni[i]:7.0f}{spread}".rstrip()
        )
        lines.append(
            f"{'':10s}{dhi[i]:6.0f}{spread}{longwave[i]:7.0f}{spread}"
            f"{air_[i]:9.1f}{humidity[i]:6.1f}{pressure[i]:5.0f}"
        )
    return "\n".join(lines) + "\n"


def as_crn(weather: Weather) -> str:
    """Write CRN rows of 5 minutes: UTC and local standard stamps at the end, wind at 1.5 m."""
    at = (np.arange(weather.n * 12) + 0.5) / 12
    air_, dew = (edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    ghi, humidity = sun_at(weather, "ghi", at), humidity_of(air_, dew)
    wind = edges_at(weather, "wind_speed", at) * (1.5 / 10) ** 0.14
    lines = []
    for i in range(weather.n * 12):
        local = weather.start + timedelta(minutes=5 * (i + 1))
        utc = local.astimezone(UTC)
        lines.append(
            f"99999 {utc:%Y%m%d %H%M} {local:%Y%m%d %H%M} {'2.622':>6s} {weather.longitude:7.2f} "
            f"{weather.latitude:7.2f} {air_[i]:7.1f} {0.0:7.1f} {ghi[i]:6.0f} 0 {air_[i]:7.1f} "
            f"C 0 {humidity[i]:5.0f} 0 {-99.0:7.3f} {-9999.0:7.1f} {1000:5d} 0 {wind[i]:6.2f} 0"
        )
    return "\n".join(lines) + "\n"


# ------------------------------------------------------------------ a table of one's own


def as_mapped_csv(
    weather: Weather, stamp: str = "end", zone: str | None = None, us_units: bool = False
) -> str:
    """Write a plain table with our three lines at its top: means over the hours.

    Parameters
    ----------
    stamp : 'start', 'middle' or 'end' of the hour
    zone : such as 'America/Denver' for a clock that follows daylight saving; None: the fixed one
    us_units : °F, mph and inHg
    """
    temp_air, temp_dew, pressure, wind, turn = (
        mean_of_edges(weather, name)
        for name in ("temp_air", "temp_dew", "pressure", "wind_speed", "wind_direction")
    )
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[stamp]
    clock = zone or f"UTC{weather.utc_offset_h:+g}"
    f, mph, in_hg = (" in F", " in mph", " in inHg") if us_units else (" in C", " in m/s", " in Pa")
    lines = [
        f"# columns: time = Time, air = Air{f}, dew point = Dew{f}, sun = GHI in W/m2, "
        f"direct sun = DNI in W/m2, diffuse sun = DHI in W/m2, pressure = Baro{in_hg}, "
        f"wind = Wind{mph}, wind direction = Dir in deg",
        f"# clock: {clock}, stamp at {stamp}",
        f"# place: Invented Flats, {weather.latitude:.4f}, {weather.longitude:.4f}, "
        f"{weather.elevation:.0f} m",
        "Time,Air,Dew,GHI,DNI,DHI,Baro,Wind,Dir",
    ]
    if us_units:
        temp_air, temp_dew = temp_air * 1.8 + 32, temp_dew * 1.8 + 32
        pressure, wind = pressure / 3386.389, wind * 3600 / 1609.344
    for i in range(weather.n):
        t = weather.start + timedelta(hours=i + shift)
        if zone:
            t = t.astimezone(ZoneInfo(zone))
        lines.append(
            f"{t:%Y-%m-%d %H:%M},{temp_air[i]:.2f},{temp_dew[i]:.2f},{weather.ghi[i]:.1f},"
            f"{weather.dni[i]:.1f},{weather.dhi[i]:.1f},{pressure[i]:.3f},{wind[i]:.2f},"
            f"{turn[i]:.0f}"
        )
    return "\n".join(lines) + "\n"
