"""What a weather file leaves out and physics gives: humidity, pressure, the sun's parts, cloud.

Nothing measured is changed here; whatever is derived is said in a note that every answer repeats.
What does not belong here: gaps in what a file does hold (``hours``).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.clock import FloatArray
from vanclimate.site.table import Station, Table
from vanclimate.site.weather import MEANS, POINTS

CALM = 2.0
"""Wind at 10 m where a file has none [m/s]: light air, as on the nights that matter; assumed."""

LOW_SUN = 80.0
"""Zenith [deg] below whose height the sun says nothing about cloud; assumed."""

LEAST_COSINE = 0.035
"""Cosine of the zenith, 2 degrees of height, below which light of the sun's disc is taken for
diffuse: on a level plane it cannot be told apart."""


def complete_rows(table: Table, name: str) -> Table:
    """Return a table with dew point, pressure and wind.

    Dew point from relative humidity over water (Hyland & Wexler, see `air`), as instruments give
    it, also below freezing within its small difference to ice. Pressure from the height in the
    standard atmosphere. Wind, where a file has none, as `CALM`.

    Raises
    ------
    WeatherError
        where air temperature, sunlight or any humidity is missing
    """
    columns, notes, names = dict(table.columns), list(table.notes), dict(table.names)
    rows = len(table.start)
    for quantity, words in (("temp_air", "air temperature"), ("ghi", "sun on a level plane")):
        if quantity not in columns and not (quantity == "ghi" and {"dni", "dhi"} <= set(columns)):
            raise WeatherError(name, found=f"no {words}", allowed=f"a file with {words}")
    temp_air = columns["temp_air"]
    if "temp_dew" not in columns:
        if "relative_humidity" not in columns:
            allowed = "a file with dew point or relative humidity"
            raise WeatherError(name, found="no humidity", allowed=allowed)
        from vanclimate.physics import air  # brings the compiler: not for a file that holds all

        share = np.clip(columns["relative_humidity"], 0.005, 1.0)
        vapour = share * np.asarray(air.saturation_pressure(temp_air))
        dew = np.asarray(air.dew_point_of_vapour_pressure(vapour), dtype=float)
        columns["temp_dew"] = np.minimum(dew, temp_air)
        names["temp_dew"] = table.name_of("relative_humidity")
    columns.pop("relative_humidity", None)
    if "pressure" not in columns:
        height = table.station.elevation
        if height is None:
            allowed = "one of the two: the height as `elevation` under `site` in the sheet"
            raise WeatherError(name, found="no pressure and no height", allowed=allowed)
        from vanclimate.physics import air

        columns["pressure"] = np.full(rows, float(air.standard_pressure(height)))
        notes.append("the file has no air pressure: that of the standard atmosphere at its height")
    if "wind_speed" not in columns:
        columns["wind_speed"] = np.full(rows, CALM)
        notes.append(f"the file has no wind: {CALM:g} m/s at 10 m is assumed at all hours")
    columns.setdefault("wind_direction", np.zeros(rows))
    return replace(table, columns=columns, notes=tuple(notes), names=names)


def with_monthly_dew_point(table: Table, monthly: FloatArray, words: str) -> Table:
    """Return a table that has no humidity with the mean dew point of each month, and a note.

    Water in the air changes slowly through a day, so a month's mean dew point stands for it better
    than a relative humidity would; it never exceeds the air temperature.

    Parameters
    ----------
    monthly : January first, shape (12,) [°C]
    words : where it comes from, for the note
    """
    months = (table.start.astype("datetime64[s]").astype("datetime64[M]").astype(int)) % 12
    dew = np.minimum(monthly[months], table.columns["temp_air"])
    note = f"no humidity in the series: dew point is the mean of each month from {words}"
    columns = {**table.columns, "temp_dew": dew}
    return replace(table, columns=columns, notes=(*table.notes, note))


def complete_hours(
    arrays: dict[str, FloatArray], station: Station, start: float, n: int
) -> tuple[dict[str, FloatArray], tuple[str, ...]]:
    """Return the arrays with all three parts of the sun and with cloud, and notes of what was done.

    Parameters
    ----------
    arrays : quantities at the n+1 edges, the sun's over the n hours
    station : the place
    start : seconds since 1970 of the first hour
    n : hours
    """
    notes: list[str] = []
    # between means of both, straight lines may cross by some hundredths
    arrays["temp_dew"] = np.minimum(arrays["temp_dew"], arrays["temp_air"])
    if not set(MEANS) <= set(arrays):
        notes += _complete_sun(arrays, station, start, n)
    notes += _complete_cloud(arrays, station, start, n)
    kept = {name: arrays[name] for name in (*POINTS, *MEANS)}
    if "longwave" in arrays:
        kept["longwave"] = arrays["longwave"]
    return kept, tuple(notes)


def _complete_sun(
    arrays: dict[str, FloatArray], station: Station, start: float, n: int
) -> list[str]:
    """Add the missing ones of ghi, dni, dhi.

    Two give the third by ``ghi = dni cos(zenith) + dhi``; the global alone is split after Erbs,
    Klein & Duffie 1982, Solar Energy 28:293, in pvlib.
    """
    from pvlib.irradiance import erbs

    from vanclimate.site.sun import cosine_up, positions

    sun = positions(
        start, n, latitude=station.latitude, longitude=station.longitude,
        elevation=station.elevation or 0.0, pressure=arrays["pressure"],
        temp_air=arrays["temp_air"],
    )  # fmt: skip
    zenith = sun["zenith"]
    cosine = cosine_up(zenith, sun["sunlit"])
    have = set(arrays) & set(MEANS)
    if "ghi" not in have:
        arrays["ghi"] = arrays["dni"] * cosine + arrays["dhi"]
        return ["sun on a level plane is the sum of the file's direct and diffuse sun"]
    ghi = arrays["ghi"]
    if have == {"ghi"}:
        # the day of the year from the hour's middle; erbs wants it for the light outside the air
        day = _day_of_year(start, n)
        with np.errstate(invalid="ignore", divide="ignore"):
            arrays["dhi"] = np.minimum(np.asarray(erbs(ghi, zenith, day)["dhi"], dtype=float), ghi)
        note = "the file has only global sun: split into direct and diffuse after Erbs et al. 1982"
    elif "dhi" in have:
        note = "direct sun is the rest of the file's global and diffuse sun"
    else:
        arrays["dhi"] = np.clip(ghi - arrays["dni"] * cosine, 0.0, None)
        return ["diffuse sun is the rest of the file's global and direct sun"]
    high = cosine > LEAST_COSINE
    arrays["dhi"] = np.where(high, arrays["dhi"], ghi)
    beam = np.where(high, (ghi - arrays["dhi"]) / np.where(high, cosine, 1.0), 0.0)
    arrays["dni"] = np.where(np.isnan(ghi), np.nan, np.clip(beam, 0.0, sun["dni_extra"]))
    return [note]


def _day_of_year(start: float, n: int) -> FloatArray:
    seconds = np.asarray(start + 3600.0 * (np.arange(n) + 0.5)).astype(np.int64)
    middle = seconds.astype("datetime64[s]")
    days = (middle.astype("datetime64[D]") - middle.astype("datetime64[Y]")).astype(int)
    return np.asarray(days + 1, dtype=float)


def _complete_cloud(
    arrays: dict[str, FloatArray], station: Station, start: float, n: int
) -> list[str]:
    """Add cloud where the file has none, from its sun against a clear sky.

    The share of the clear sky's light that is missing is the cloud's share, after Crawford &
    Duchon 1999, J. Appl. Meteorology 38:474 (from memory); clear sky of Haurwitz 1945, in pvlib.
    Straight lines lead through the nights. Such cloud counts in full, so its base is put at the
    ground: their sky's emissivity is ``cloud + (1 - cloud) clear``.
    """
    if "cloud_opaque" in arrays:
        arrays.setdefault("cloud_total", arrays["cloud_opaque"])
        arrays.setdefault("ceiling", np.full(n + 1, np.inf))
        return []
    if "cloud_total" in arrays:
        arrays["cloud_opaque"] = arrays["cloud_total"]
        arrays.setdefault("ceiling", np.full(n + 1, np.inf))
        return ["the file gives the sky's whole cover only: all of it is taken for opaque"]
    from vanclimate.site.clearsky import haurwitz_ghi
    from vanclimate.site.sun import zenith_at

    middle = np.asarray(start + 3600.0 * (np.arange(n) + 0.5), dtype=np.float64)
    zenith = zenith_at(middle, station.latitude, station.longitude)
    clear = haurwitz_ghi(zenith)
    seen = (zenith < LOW_SUN) & ~np.isnan(arrays["ghi"])
    cover = np.zeros(n + 1)
    if seen.any():
        share = 1.0 - np.clip(arrays["ghi"][seen] / clear[seen], 0.0, 1.0)
        edges = start + 3600.0 * np.arange(n + 1)
        cover = np.interp(edges, middle[seen], share)
    arrays["cloud_opaque"] = arrays["cloud_total"] = cover
    arrays["ceiling"] = np.zeros(n + 1)
    if "longwave" in arrays:
        return []  # the sky's own radiation is there; cloud only serves comparison
    return [
        "cloud is derived from the sun against a clear sky, in straight lines through the nights"
    ]
