"""Weather files made by us in each service's layout, from a `Weather`; every value is invented.

The layouts are written from memory of the services' own descriptions and of what pvlib.iotools
reads; no file was copied. Take a `Weather` (hour means, values at edges) and get the text::

    text = as_nsrdb(invented_days(3))

Suns between the hours' means follow the height of the sun inside each hour, so that a file of
instants or of minutes has the means it was made from. Values are rounded to the digits that each
service gives. What does not belong here: real downloads, and any check of physics.
"""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import numpy as np

from vanclimate.physics import air
from vanclimate.site.clock import HOURS_OF_YEAR, nominal_start
from vanclimate.site.weather import MEANS, Weather

HOUR = 3600


# ------------------------------------------------------------------ invented weather


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
    fine = _sine_of_height((middle[:, None] + np.arange(-1740, 1800, 120)), latitude, longitude)
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


def _sine_of_height(seconds: np.ndarray, latitude: float, longitude: float) -> np.ndarray:
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


def _edges_at(weather: Weather, name: str, at: np.ndarray) -> np.ndarray:
    """Return an edge quantity in straight lines at hours since the start (a year wraps round)."""
    at = at % weather.n if weather.typical else at
    line = getattr(weather, name)
    if name in ("wind_direction", "ceiling"):  # a turn through north has no straight line
        return line[np.clip(np.rint(at).astype(int), 0, weather.n)]
    return np.interp(at, np.arange(weather.n + 1), line)


def _sun_at(weather: Weather, name: str, at: np.ndarray) -> np.ndarray:
    """Return an instant's sun: the hour's mean times the height there over its mean in the hour."""
    at = at % weather.n if weather.typical else at
    hour = np.clip(np.floor(at).astype(int), 0, weather.n - 1)
    first = weather.start.timestamp()

    def height(hours: np.ndarray) -> np.ndarray:
        return _sine_of_height(first + HOUR * hours, weather.latitude, weather.longitude)

    inside = (np.arange(30) + 0.5) / 30
    mean = height(np.arange(weather.n)[:, None] + inside).mean(axis=1)[hour]
    ratio = np.where(mean > 0.0, height(at) / np.where(mean > 0.0, mean, 1.0), 0.0)
    if name == "dni":  # the beam hardly follows the height: on or off
        ratio = (ratio > 0.0).astype(float)
    return getattr(weather, name)[hour] * ratio


def _mean_of_edges(weather: Weather, name: str) -> np.ndarray:
    """Return an edge quantity's means over the hours."""
    line = getattr(weather, name)
    return line[:-1] if name == "wind_direction" else 0.5 * (line[:-1] + line[1:])


def _humidity(temp_air: np.ndarray, temp_dew: np.ndarray) -> np.ndarray:
    """Return relative humidity [%]."""
    over = np.asarray(air.saturation_pressure(temp_dew))
    return 100 * over / np.asarray(air.saturation_pressure(temp_air))


def _utc_year_rows(weather: Weather) -> np.ndarray:
    """Return hours since the weather's start of each UTC hour of a typical year."""
    return np.arange(HOURS_OF_YEAR) + weather.utc_offset_h


def _utc(weather: Weather, at: float) -> datetime:
    """Return the moment in UTC; of a typical year with the year that its month was taken from."""
    moment = (weather.start + timedelta(hours=float(at))).astimezone(UTC)
    if weather.typical:
        moment = moment.replace(year=_source_year(weather, moment.month))
    return moment


def _source_year(weather: Weather, month: int) -> int:
    return weather.source_years[month - 1] if weather.source_years else 2005


# ------------------------------------------------------------------ TMY3, TMY2


TMY3_HEAD = (
    "Date (MM/DD/YYYY),Time (HH:MM),ETR (W/m^2),ETRN (W/m^2),GHI (W/m^2),GHI source,"
    "DNI (W/m^2),DNI source,DHI (W/m^2),DHI source,TotCld (tenths),OpqCld (tenths),"
    "Dry-bulb (C),Dew-point (C),RHum (%),Pressure (mbar),Wdir (degrees),Wspd (m/s),CeilHgt (m)"
)


def as_tmy3(weather: Weather) -> str:
    """Write a typical year as TMY3 (some of its columns): stamps end the hour, local standard."""
    place = (
        f'999999,"INVENTED FLATS",XX,{weather.utc_offset_h:.1f},{weather.latitude:.3f},'
        f"{weather.longitude:.3f},{weather.elevation:.0f}"
    )
    lines = [place, TMY3_HEAD]
    humidity = _humidity(weather.temp_air, weather.temp_dew)
    for i in range(weather.n):
        begin, e = weather.time(i), i + 1
        ceiling = weather.ceiling[e]
        year = _source_year(weather, begin.month)
        lines.append(
            f"{begin.month:02d}/{begin.day:02d}/{year},{begin.hour + 1:02d}:00,0,0,"
            f"{weather.ghi[i]:.0f},1,{weather.dni[i]:.0f},1,{weather.dhi[i]:.0f},1,"
            f"{weather.cloud_total[e] * 10:.0f},{weather.cloud_opaque[e] * 10:.0f},"
            f"{weather.temp_air[e]:.1f},{weather.temp_dew[e]:.1f},{humidity[e]:.0f},"
            f"{weather.pressure[e] / 100:.0f},{weather.wind_direction[e]:.0f},"
            f"{weather.wind_speed[e]:.1f},{77777 if np.isinf(ceiling) else round(ceiling)}"
        )
    return "\n".join(lines) + "\n"


def as_tmy2(weather: Weather) -> str:
    """Write a typical year as TMY2: fixed columns of 142 characters, stamps end the hour."""
    lat, lon = abs(weather.latitude), abs(weather.longitude)
    ns, ew = "NS"[weather.latitude < 0], "EW"[weather.longitude < 0]
    lines = [
        f" 99999 {'INVENTED':<22s} XX {weather.utc_offset_h:3.0f} {ns} {int(lat):2d} "
        f"{round(lat % 1 * 60):2d} {ew} {int(lon):3d} {round(lon % 1 * 60):2d} "
        f"{weather.elevation:5.0f}"
    ]
    humidity = _humidity(weather.temp_air, weather.temp_dew)
    for i in range(weather.n):
        begin, e = weather.time(i), i + 1
        ceiling = weather.ceiling[e]
        year = _source_year(weather, begin.month) % 100
        sun = "".join(f"{getattr(weather, name)[i]:04.0f}?0" for name in MEANS)
        lines.append(
            f" {year:02d}{begin.month:02d}{begin.day:02d}{begin.hour + 1:02d}00000000{sun}"
            "0000?00000?00000?00000?0"
            f"{weather.cloud_total[e] * 10:02.0f}A7{weather.cloud_opaque[e] * 10:02.0f}A7"
            f"{_tenths(weather.temp_air[e])}A7{_tenths(weather.temp_dew[e])}A7"
            f"{humidity[e]:03.0f}A7{weather.pressure[e] / 100:04.0f}A7"
            f"{weather.wind_direction[e]:03.0f}A7{weather.wind_speed[e] * 10:03.0f}A70161A7"
            f"{77777 if np.isinf(ceiling) else round(ceiling):05d}A70999999999013F8062F8000A700E7"
        )
    return "\n".join(lines) + "\n"


def _tenths(value: float) -> str:
    whole = round(value * 10)
    return f"{'-' if whole < 0 else '0'}{abs(whole):03d}"


# ------------------------------------------------------------------ NSRDB


def as_nsrdb(weather: Weather, step: int = 60, humidity: str = "Dew Point") -> str:
    """Write an NSRDB table: values at the middle of the hour, or of shorter steps [min].

    A typical year gives the typical-year variant. The clock is the local standard one.
    """
    per = 60 // step
    at = (np.arange(weather.n * per) * step + (30 if step == 60 else 0)) / 60
    head = "Source,Location ID,Latitude,Longitude,Time Zone,Elevation,Local Time Zone"
    units = {
        "Dew Point": "c", "DHI": "w/m2", "DNI": "w/m2", "GHI": "w/m2", "Temperature": "c",
        "Pressure": "mbar", "Relative Humidity": "%", "Wind Direction": "Degrees",
        "Wind Speed": "m/s",
    }  # fmt: skip
    zone = f"{weather.utc_offset_h:g}"
    place = (
        f"NSRDB,999999,{weather.latitude:.2f},{weather.longitude:.2f},{zone},"
        f"{weather.elevation:.0f},{zone}"
    )
    columns = [humidity, "DHI", "DNI", "GHI", "Temperature", "Pressure", "Wind Direction"]
    columns += ["Wind Speed"]
    table = {
        "Temperature": _edges_at(weather, "temp_air", at),
        "Dew Point": _edges_at(weather, "temp_dew", at),
        "Pressure": _edges_at(weather, "pressure", at) / 100,
        "Wind Direction": _edges_at(weather, "wind_direction", at),
        "Wind Speed": _edges_at(weather, "wind_speed", at),
        "GHI": _sun_at(weather, "ghi", at),
        "DNI": _sun_at(weather, "dni", at),
        "DHI": _sun_at(weather, "dhi", at),
    }
    table["Relative Humidity"] = _humidity(table["Temperature"], table["Dew Point"])
    digits = dict.fromkeys(("GHI", "DNI", "DHI", "Wind Direction", "Pressure"), 0)
    lines = [
        head + "".join(f",{name} Units" for name in units),
        place + "".join(f",{unit}" for unit in units.values()),
        ",".join(["Year", "Month", "Day", "Hour", "Minute", *columns]),
    ]
    for i, hours in enumerate(at):
        t = weather.start + timedelta(hours=float(hours))
        year = _source_year(weather, t.month) if weather.typical else t.year
        values = (f"{table[name][i]:.{digits.get(name, 2)}f}" for name in columns)
        lines.append(f"{year},{t.month},{t.day},{t.hour},{t.minute}," + ",".join(values))
    return "\n".join(lines) + "\n"


# ------------------------------------------------------------------ NASA POWER


_POWER = {
    "T2M": ("C", "Temperature at 2 Meters"),
    "T2MDEW": ("C", "Dew/Frost Point at 2 Meters"),
    "PS": ("kPa", "Surface Pressure"),
    "WS10M": ("m/s", "Wind Speed at 10 Meters"),
    "WD10M": ("Degrees", "Wind Direction at 10 Meters"),
    "ALLSKY_SFC_SW_DWN": ("Wh/m^2", "All Sky Surface Shortwave Downward Irradiance"),
    "ALLSKY_SFC_SW_DNI": ("Wh/m^2", "All Sky Surface Shortwave Downward Direct Normal Irradiance"),
    "ALLSKY_SFC_SW_DIFF": ("Wh/m^2", "All Sky Surface Shortwave Diffuse Irradiance"),
    "ALLSKY_SFC_LW_DWN": ("W/m^2", "All Sky Surface Longwave Downward Irradiance"),
    "CLOUD_AMT": ("%", "Cloud Amount"),
}


def _power_columns(weather: Weather) -> dict[str, np.ndarray]:
    mean = {
        name: _mean_of_edges(weather, name)
        for name in ("temp_air", "temp_dew", "pressure", "wind_speed", "wind_direction")
    }
    cover = _mean_of_edges(weather, "cloud_total")
    if weather.longwave is not None:
        longwave = 0.5 * (weather.longwave[:-1] + weather.longwave[1:])
    else:
        clear = 0.72 + 0.005 * mean["temp_dew"]
        longwave = (clear + (0.98 - clear) * cover) * 5.670374e-8 * (mean["temp_air"] + 273.15) ** 4
    columns = {
        "T2M": mean["temp_air"],
        "T2MDEW": mean["temp_dew"],
        "PS": mean["pressure"] / 1000,
        "WS10M": mean["wind_speed"],
        "WD10M": mean["wind_direction"],
        "ALLSKY_SFC_SW_DWN": weather.ghi,
        "ALLSKY_SFC_SW_DNI": weather.dni,
        "ALLSKY_SFC_SW_DIFF": weather.dhi,
        "ALLSKY_SFC_LW_DWN": longwave,
        "CLOUD_AMT": 100 * cover,
    }
    return {name: np.round(values, 2) for name, values in columns.items()}


def as_power_json(weather: Weather, leave_out: tuple[str, ...] = ()) -> str:
    """Write the service's hourly JSON: means from the stamp on, UTC."""
    assert not weather.typical, "the service gives real years"
    columns = {k: v for k, v in _power_columns(weather).items() if k not in leave_out}
    stamps = [f"{_utc(weather, i):%Y%m%d%H}" for i in range(weather.n)]
    reply = {
        "type": "Feature",
        "geometry": {
            "type": "Point",
            "coordinates": [weather.longitude, weather.latitude, weather.elevation],
        },
        "properties": {
            "parameter": {
                name: dict(zip(stamps, values.tolist(), strict=True))
                for name, values in columns.items()
            }
        },
        "header": {
            "title": "NASA/POWER Source Native Resolution Hourly Data",
            "api": {"version": "v2.5.0", "name": "POWER Hourly API"},
            "sources": ["invented"],
            "fill_value": -999.0,
            "time_standard": "UTC",
            "start": stamps[0][:8],
            "end": stamps[-1][:8],
        },
        "messages": [],
        "parameters": {
            name: {"units": _POWER[name][0], "longname": _POWER[name][1]} for name in columns
        },
        "times": {"data": 1.0, "process": 0.1},
    }
    return json.dumps(reply, indent=1)


def as_power_csv(weather: Weather, standard: str = "UTC") -> str:
    """Write the service's hourly CSV; ``LST`` shifts the clock by whole hours of longitude."""
    assert not weather.typical, "the service gives real years"
    columns = _power_columns(weather)
    shift = round(weather.longitude / 15) if standard == "LST" else 0
    first, last = (_utc(weather, i) + timedelta(hours=shift) for i in (0, weather.n - 1))
    lines = [
        "-BEGIN HEADER-",
        "NASA/POWER Source Native Resolution Hourly Data ",
        f"Dates (month/day/year): {first:%m/%d/%Y} through {last:%m/%d/%Y} in {standard}",
        f"Location: latitude  {weather.latitude:.4f}   longitude {weather.longitude:.4f} ",
        "elevation from MERRA-2: Average for 0.5 x 0.625 degree lat/lon region = "
        f"{weather.elevation:.2f} meters",
        "The value for missing source data that cannot be computed or is outside of the sources "
        "availability range: -999 ",
        "parameter(s): ",
        *(f"{name:<21s} MERRA-2 {_POWER[name][1]} ({_POWER[name][0]}) " for name in columns),
        "-END HEADER-",
        ",".join(["YEAR,MO,DY,HR", *columns]),
    ]
    for i in range(weather.n):
        t = _utc(weather, i) + timedelta(hours=shift)
        values = ",".join(f"{column[i]:g}" for column in columns.values())
        lines.append(f"{t.year},{t.month},{t.day},{t.hour},{values}")
    return "\n".join(lines) + "\n"


# ------------------------------------------------------------------ PVGIS


def _pvgis_hours(weather: Weather, minute: int) -> tuple[list[str], dict[str, np.ndarray]]:
    at = np.arange(weather.n) + minute / 60
    stamps = [f"{_utc(weather, hours):%Y%m%d:%H%M}" for hours in at]
    diffuse = _sun_at(weather, "dhi", at)
    first = weather.start.timestamp()
    sine = _sine_of_height(first + HOUR * at, weather.latitude, weather.longitude)
    return stamps, {
        "Gb(i)": np.clip(_sun_at(weather, "ghi", at) - diffuse, 0, None),
        "Gd(i)": diffuse,
        "Gr(i)": np.zeros(weather.n),
        "H_sun": np.degrees(np.arcsin(sine)),
        "T2m": _edges_at(weather, "temp_air", at),
        "WS10m": _edges_at(weather, "wind_speed", at),
        "Int": np.zeros(weather.n),
    }


def as_pvgis_hourly_csv(
    weather: Weather, minute: int = 10, base: str = "PVGIS-SARAH3", slope: int = 0
) -> str:
    """Write hourly series on the horizontal as CSV, instants of a satellite, UTC."""
    stamps, columns = _pvgis_hours(weather, minute)
    lines = [
        f"Latitude (decimal degrees):\t{weather.latitude:.3f}",
        f"Longitude (decimal degrees):\t{weather.longitude:.3f}",
        f"Elevation (m):\t{weather.elevation:.0f}",
        f"Radiation database:\t{base}",
        "",
        "",
        f"Slope: {slope} deg. (optimum)" if slope else "Slope: 0 deg.",
        "Azimuth: 0 deg.",
        "time," + ",".join(columns),
    ]
    for i, stamp in enumerate(stamps):
        lines.append(f"{stamp}," + ",".join(f"{c[i]:.2f}" for c in columns.values()))
    lines += [
        "",
        "Gb(i): Beam (direct) irradiance on the inclined plane (W/m2)",
        "Gd(i): Diffuse irradiance on the inclined plane (W/m2)",
        "Gr(i): Reflected irradiance on the inclined plane (W/m2)",
        "H_sun: Sun height (degree)",
        "T2m: 2-m air temperature (degree Celsius)",
        "WS10m: 10-m total wind speed (m/s)",
        "Int: 1 means solar radiation values are reconstructed",
        "",
        "",
        "invented values",
        "",
    ]
    return "\r\n".join(lines)


def as_pvgis_hourly_json(
    weather: Weather, minute: int = 10, base: str = "PVGIS-SARAH3", slope: int = 0
) -> str:
    """Write the same series as JSON."""
    stamps, columns = _pvgis_hours(weather, minute)
    rows = [
        {"time": stamp, **{name: round(float(c[i]), 2) for name, c in columns.items()}}
        for i, stamp in enumerate(stamps)
    ]
    reply = {
        "inputs": {
            "location": _pvgis_location(weather),
            "meteo_data": {"radiation_db": base, "meteo_db": "ERA5", "use_horizon": True},
            "mounting_system": {
                "fixed": {
                    "slope": {"value": slope, "optimal": False},
                    "azimuth": {"value": 0, "optimal": False},
                    "type": "free-standing",
                }
            },
        },
        "outputs": {"hourly": rows},
        "meta": {"inputs": {}, "outputs": {}},
    }
    return json.dumps(reply)


def _pvgis_location(weather: Weather) -> dict[str, float]:
    return {
        "latitude": weather.latitude,
        "longitude": weather.longitude,
        "elevation": weather.elevation,
    }


def _pvgis_typical(weather: Weather, offset: float) -> tuple[list[str], dict[str, np.ndarray]]:
    at = _utc_year_rows(weather)
    temp_air, temp_dew = (_edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    first = nominal_start(0.0)
    stamps = []
    for i in range(HOURS_OF_YEAR):
        t = first + timedelta(hours=i)
        stamps.append(f"{_source_year(weather, t.month)}{t:%m%d:%H%M}")
    emissivity = 0.75 + 0.2 * _edges_at(weather, "cloud_total", at)
    return stamps, {
        "T2m": temp_air,
        "RH": _humidity(temp_air, temp_dew),
        "G(h)": _sun_at(weather, "ghi", at + offset),
        "Gb(n)": _sun_at(weather, "dni", at + offset),
        "Gd(h)": _sun_at(weather, "dhi", at + offset),
        "IR(h)": emissivity * 5.670374e-8 * (temp_air + 273.15) ** 4,
        "WS10m": _edges_at(weather, "wind_speed", at),
        "WD10m": _edges_at(weather, "wind_direction", at),
        "SP": _edges_at(weather, "pressure", at),
    }


def as_pvgis_tmy_csv(weather: Weather, offset: float | None = 0.1761) -> str:
    """Write a typical year as CSV: UTC, the sun's instants `offset` [h] after the stamps."""
    stamps, columns = _pvgis_typical(weather, offset or 0.0)
    lines = [
        f"Latitude (decimal degrees): {weather.latitude:.3f}",
        f"Longitude (decimal degrees): {weather.longitude:.3f}",
        f"Elevation (m): {weather.elevation:.1f}",
    ]
    if offset is not None:
        lines.append(f"Irradiance Time Offset (h): {offset:.4f}")
    lines.append("month,year")
    lines += [f"{month},{_source_year(weather, month)}" for month in range(1, 13)]
    lines.append("time(UTC)," + ",".join(columns))
    for i, stamp in enumerate(stamps):
        lines.append(f"{stamp}," + ",".join(f"{c[i]:.2f}" for c in columns.values()))
    lines += ["", "T2m: 2-m air temperature (degree Celsius)", "invented values", ""]
    return "\r\n".join(lines)


def as_pvgis_tmy_json(weather: Weather, offset: float | None = 0.1761) -> str:
    """Write the same typical year as JSON."""
    stamps, columns = _pvgis_typical(weather, offset or 0.0)
    location = _pvgis_location(weather)
    if offset is not None:
        location["irradiance_time_offset"] = offset
    reply = {
        "inputs": {
            "location": location,
            "meteo_data": {"radiation_db": "PVGIS-SARAH3", "meteo_db": "ERA5"},
        },
        "outputs": {
            "months_selected": [
                {"month": month, "year": _source_year(weather, month)} for month in range(1, 13)
            ],
            "tmy_hourly": [
                {"time(UTC)": stamp, **{k: round(float(c[i]), 2) for k, c in columns.items()}}
                for i, stamp in enumerate(stamps)
            ],
        },
        "meta": {"inputs": {}, "outputs": {}},
    }
    return json.dumps(reply)


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
    ghi, dni, dhi = (_sun_at(weather, name, at) for name in MEANS)
    air_, dew = (_edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    wind, turn = (_edges_at(weather, name, at) for name in ("wind_speed", "wind_direction"))
    pressure, humidity = _edges_at(weather, "pressure", at) / 100, _humidity(air_, dew)
    cover = _edges_at(weather, "cloud_total", at)
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
    ghi, dni, dhi = (_sun_at(weather, name, at) for name in MEANS)
    air_, dew = (_edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    pressure, humidity = _edges_at(weather, "pressure", at) / 100, _humidity(air_, dew)
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
    air_, dew = (_edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    ghi, humidity = _sun_at(weather, "ghi", at), _humidity(air_, dew)
    wind = _edges_at(weather, "wind_speed", at) * (1.5 / 10) ** 0.14
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
        _mean_of_edges(weather, name)
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
