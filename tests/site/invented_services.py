"""Files of the data services, made by us from a `Weather`; every value is invented.

What does not belong here: networks' files and tables of one's own (``invented_networks``).
"""

from __future__ import annotations

import json
from datetime import timedelta

import numpy as np

from tests.site.invented_weather import (
    HOUR,
    edges_at,
    mean_of_edges,
    sine_of_height,
    source_year,
    sun_at,
    utc,
    utc_year_rows,
)
from tests.site.invented_weather import (
    humidity as humidity_of,
)
from vanclimate.site.clock import HOURS_OF_YEAR, nominal_start
from vanclimate.site.weather import MEANS, Weather

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
    humidity = humidity_of(weather.temp_air, weather.temp_dew)
    for i in range(weather.n):
        begin, e = weather.time(i), i + 1
        ceiling = weather.ceiling[e]
        year = source_year(weather, begin.month)
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
    humidity = humidity_of(weather.temp_air, weather.temp_dew)
    for i in range(weather.n):
        begin, e = weather.time(i), i + 1
        ceiling = weather.ceiling[e]
        year = source_year(weather, begin.month) % 100
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
        "Temperature": edges_at(weather, "temp_air", at),
        "Dew Point": edges_at(weather, "temp_dew", at),
        "Pressure": edges_at(weather, "pressure", at) / 100,
        "Wind Direction": edges_at(weather, "wind_direction", at),
        "Wind Speed": edges_at(weather, "wind_speed", at),
        "GHI": sun_at(weather, "ghi", at),
        "DNI": sun_at(weather, "dni", at),
        "DHI": sun_at(weather, "dhi", at),
    }
    table["Relative Humidity"] = humidity_of(table["Temperature"], table["Dew Point"])
    digits = dict.fromkeys(("GHI", "DNI", "DHI", "Wind Direction", "Pressure"), 0)
    lines = [
        head + "".join(f",{name} Units" for name in units),
        place + "".join(f",{unit}" for unit in units.values()),
        ",".join(["Year", "Month", "Day", "Hour", "Minute", *columns]),
    ]
    for i, hours in enumerate(at):
        t = weather.start + timedelta(hours=float(hours))
        year = source_year(weather, t.month) if weather.typical else t.year
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
        name: mean_of_edges(weather, name)
        for name in ("temp_air", "temp_dew", "pressure", "wind_speed", "wind_direction")
    }
    cover = mean_of_edges(weather, "cloud_total")
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
    stamps = [f"{utc(weather, i):%Y%m%d%H}" for i in range(weather.n)]
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
    first, last = (utc(weather, i) + timedelta(hours=shift) for i in (0, weather.n - 1))
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
        t = utc(weather, i) + timedelta(hours=shift)
        values = ",".join(f"{column[i]:g}" for column in columns.values())
        lines.append(f"{t.year},{t.month},{t.day},{t.hour},{values}")
    return "\n".join(lines) + "\n"


# ------------------------------------------------------------------ PVGIS


def _pvgis_hours(weather: Weather, minute: int) -> tuple[list[str], dict[str, np.ndarray]]:
    at = np.arange(weather.n) + minute / 60
    stamps = [f"{utc(weather, hours):%Y%m%d:%H%M}" for hours in at]
    diffuse = sun_at(weather, "dhi", at)
    first = weather.start.timestamp()
    sine = sine_of_height(first + HOUR * at, weather.latitude, weather.longitude)
    return stamps, {
        "Gb(i)": np.clip(sun_at(weather, "ghi", at) - diffuse, 0, None),
        "Gd(i)": diffuse,
        "Gr(i)": np.zeros(weather.n),
        "H_sun": np.degrees(np.arcsin(sine)),
        "T2m": edges_at(weather, "temp_air", at),
        "WS10m": edges_at(weather, "wind_speed", at),
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
    at = utc_year_rows(weather)
    temp_air, temp_dew = (edges_at(weather, name, at) for name in ("temp_air", "temp_dew"))
    first = nominal_start(0.0)
    stamps = []
    for i in range(HOURS_OF_YEAR):
        t = first + timedelta(hours=i)
        stamps.append(f"{source_year(weather, t.month)}{t:%m%d:%H%M}")
    emissivity = 0.75 + 0.2 * edges_at(weather, "cloud_total", at)
    longwave = emissivity * 5.670374e-8 * (temp_air + 273.15) ** 4
    if weather.longwave is not None:
        longwave = edges_at(weather, "longwave", at)
    return stamps, {
        "T2m": temp_air,
        "RH": humidity_of(temp_air, temp_dew),
        "G(h)": sun_at(weather, "ghi", at + offset),
        "Gb(n)": sun_at(weather, "dni", at + offset),
        "Gd(h)": sun_at(weather, "dhi", at + offset),
        "IR(h)": longwave,
        "WS10m": edges_at(weather, "wind_speed", at),
        "WD10m": edges_at(weather, "wind_direction", at),
        "SP": edges_at(weather, "pressure", at),
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
    lines += [f"{month},{source_year(weather, month)}" for month in range(1, 13)]
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
                {"month": month, "year": source_year(weather, month)} for month in range(1, 13)
            ],
            "tmy_hourly": [
                {"time(UTC)": stamp, **{k: round(float(c[i]), 2) for k, c in columns.items()}}
                for i, stamp in enumerate(stamps)
            ],
        },
        "meta": {"inputs": {}, "outputs": {}},
    }
    return json.dumps(reply)
