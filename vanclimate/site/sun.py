"""Where the sun is, and what of it falls on a plane that faces any way.

Positions by the NREL algorithm (Reda & Andreas 2004, Solar Energy 76:577) as pvlib computes it,
transposition by Perez et al. 1990. What does not belong here: shade, glass, panels.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vanclimate.cache import Arrays, cached_arrays
from vanclimate.errors import OptionError
from vanclimate.physics.air import STANDARD_PRESSURE
from vanclimate.site.clock import FloatArray
from vanclimate.site.weather import Weather

ALBEDO = 0.2
"""Reflectance of the ground: common practice for grass, gravel and concrete, no source."""

SUNRISE_ZENITH = 90.8333
"""Zenith of the sun's centre without refraction at sunrise [deg]: 34' of refraction and 16' of
half disc, the almanac's convention."""

DELTA_T = 67.0
"""Earth's clock against atomic time [s]; 10 s more moves the sun by less than 0.001 deg."""

_MINUTES = (np.arange(60) + 0.5) / 60.0


@dataclass(frozen=True)
class SunPosition:
    """The sun over n hours, each array of shape (n,).

    Attributes
    ----------
    zenith : seen from the ground, with refraction, at the middle of the sunlit part of the hour
        (of the whole hour at night) [deg]
    azimuth : clockwise from north at the same moment [deg]
    sunlit : share of the hour in which the sun is up, to the minute [0..1]
    dni_extra : normal irradiance outside the atmosphere [W/m2]
    """

    zenith: FloatArray
    azimuth: FloatArray
    sunlit: FloatArray
    dni_extra: FloatArray


@dataclass(frozen=True)
class Irradiance:
    """Light on a plane, mean of each hour, each array of shape (n,).

    Attributes
    ----------
    beam : direct light and the light round the sun (Perez circumsolar) [W/m2]
    cos_aoi : cosine of the angle of incidence, 0 where the sun is behind the plane or down
    sky_diffuse : the rest of the sky, uniform part and horizon band [W/m2]
    ground : reflected by the ground [W/m2]
    """

    beam: FloatArray
    cos_aoi: FloatArray
    sky_diffuse: FloatArray
    ground: FloatArray

    @property
    def total(self) -> FloatArray:
        """All light on the plane [W/m2]."""
        return self.beam + self.sky_diffuse + self.ground


def sun_position(weather: Weather) -> SunPosition:
    """Return the sun at the middle of the sunlit part of each hour of `weather`.

    Notes
    -----
    The height of the sun at both edges and the middle of an hour gives a parabola; the minutes in
    which it lies above `SUNRISE_ZENITH` are the sunlit part. So an hour with sunrise or sunset,
    whose middle may be dark although the file has radiation, gets the sun that made it. A
    repeated design day has the sun of its first day every day.
    """
    return SunPosition(**cached_arrays("sun", weather.key, lambda: _positions(weather)))


def solar_position(
    times: Any, *, latitude: float, longitude: float, elevation: float, pressure: Any, temp_air: Any
) -> Any:
    """Return pvlib's frame of solar positions (``zenith``, ``apparent_zenith``, ``azimuth`` …).

    Parameters
    ----------
    times : pandas DatetimeIndex with its zone
    latitude, longitude : degrees, north and east positive [deg]
    elevation : above sea level [m]
    pressure : of the air, for refraction [Pa]
    temp_air : for refraction [°C]

    Notes
    -----
    Within 0.0003 deg of the truth from the year −2000 to 6000 (Reda & Andreas 2004, abstract).
    """
    from pvlib.solarposition import spa_python

    return spa_python(
        times, latitude, longitude, elevation, pressure, temp_air, DELTA_T, how="numpy"
    )


def _positions(weather: Weather) -> Arrays:
    # the same day over and over has one sun
    hours = min(weather.n, 24) if weather.synthetic else weather.n
    found = positions(
        weather.start.timestamp(),
        hours,
        latitude=weather.latitude,
        longitude=weather.longitude,
        elevation=weather.elevation,
        pressure=weather.pressure[: hours + 1],
        temp_air=weather.temp_air[: hours + 1],
    )
    repeats = -(-weather.n // hours)
    return {name: np.tile(values, repeats)[: weather.n] for name, values in found.items()}


def positions(
    start: float, hours: int, *, latitude: float, longitude: float, elevation: float,
    pressure: FloatArray, temp_air: FloatArray,
) -> Arrays:  # fmt: skip
    """Return the arrays of a `SunPosition` over hours from `start` [s since 1970-01-01 UTC].

    Parameters
    ----------
    pressure, temp_air : at the edges of the hours, for refraction, shape (hours+1,) [Pa, °C]
    """
    import pandas as pd
    from pvlib.irradiance import get_extra_radiation

    edges = pd.to_datetime(start, unit="s", utc=True) + pd.to_timedelta(
        np.arange(hours + 1), unit="h"
    )
    middle = edges[:-1] + pd.Timedelta(minutes=30)
    mean_air = 0.5 * (temp_air[:-1] + temp_air[1:])
    mean_pressure = 0.5 * (pressure[:-1] + pressure[1:])

    def at(times: Any, rows: Any = slice(None)) -> Any:
        return solar_position(
            times,
            latitude=latitude,
            longitude=longitude,
            elevation=elevation,
            pressure=mean_pressure[rows],
            temp_air=mean_air[rows],
        )

    first = at(edges[:-1])["zenith"].to_numpy()
    last = at(edges[1:])["zenith"].to_numpy()
    mid = at(middle)
    sunlit, centre = _sunlit_part(first, mid["zenith"].to_numpy(), last)
    zenith = mid["apparent_zenith"].to_numpy().copy()
    azimuth = mid["azimuth"].to_numpy().copy()
    partly = np.flatnonzero((sunlit > 0.0) & (sunlit < 1.0))
    if partly.size:
        moved = at(edges[:-1][partly] + pd.to_timedelta(centre[partly], unit="h"), partly)
        zenith[partly] = moved["apparent_zenith"].to_numpy()
        azimuth[partly] = moved["azimuth"].to_numpy()
    extra = np.asarray(get_extra_radiation(middle.day_of_year.to_numpy()), dtype=float)
    return {"zenith": zenith, "azimuth": azimuth, "sunlit": sunlit, "dni_extra": extra}


def zenith_at(moments: FloatArray, latitude: float, longitude: float) -> FloatArray:
    """Return the sun's zenith seen from the ground [deg] at seconds since 1970-01-01 UTC.

    For what needs no more than a tenth of a degree: pvlib's short ephemeris, within 0.01 deg of the
    long algorithm from 1960 to 2060 and nine times as fast; refraction as at sea level and 12 °C.
    """
    import pandas as pd
    from pvlib.solarposition import ephemeris

    times = pd.to_datetime(moments, unit="s", utc=True)
    with warnings.catch_warnings():
        # pvlib asks pandas for a day of the year by a name that pandas 3.1 is giving up
        warnings.simplefilter("ignore", DeprecationWarning)
        found = ephemeris(times, latitude, longitude, pressure=STANDARD_PRESSURE, temperature=12.0)
    zenith: FloatArray = 90.0 - found["apparent_elevation"].to_numpy()
    return zenith


def is_up(zenith: FloatArray, sunlit: FloatArray) -> NDArray[np.bool_]:
    """Return whether the sun of an hour gives light to a level plane, see `SunPosition`."""
    return (zenith < 90.0) & (sunlit > 0.0)


def cosine_up(zenith: FloatArray, sunlit: FloatArray) -> FloatArray:
    """Return the cosine of the zenith [deg], 0 while the sun is down."""
    return np.where(is_up(zenith, sunlit), np.cos(np.radians(zenith)), 0.0)


def _sunlit_part(
    first: FloatArray, mid: FloatArray, last: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Return the sunlit share of each hour and the middle of that part [h after its start].

    `first`, `mid` and `last` are zeniths without refraction at the start, middle and end [deg].
    """
    y0, y1, y2 = (np.cos(np.radians(z))[:, None] for z in (first, mid, last))
    t = _MINUTES[None, :]
    height = y0 * (2.0 * t - 1.0) * (t - 1.0) + y1 * 4.0 * t * (1.0 - t) + y2 * t * (2.0 * t - 1.0)
    up = height > np.cos(np.radians(SUNRISE_ZENITH))
    minutes = up.sum(axis=1)
    centre = np.where(minutes > 0, (up * t).sum(axis=1) / np.maximum(minutes, 1), 0.5)
    return minutes / 60.0, centre


def irradiance(weather: Weather, tilt: float, azimuth: float, albedo: float = ALBEDO) -> Irradiance:
    """Return the light on a plane in each hour.

    Parameters
    ----------
    tilt : 0 faces up, 90 is a wall, 180 faces down [deg]
    azimuth : where the plane faces, clockwise from north; any number of turns [deg]
    albedo : reflectance of the ground [0..1]

    Notes
    -----
    Beam: hourly mean of the normal beam times the cosine of incidence at the middle of the sunlit
    part. Diffuse: Perez, Ineichen, Seals, Michalsky & Stewart 1990, Solar Energy 44:271, the
    all-sites coefficients, from pvlib. Light round the sun behaves as beam at glass and awnings,
    so it is counted there. While the sun is down the sky is uniform. For a horizontal plane
    ``beam + sky_diffuse = dni cos(zenith) + dhi``.
    """
    if not 0.0 <= tilt <= 180.0:
        raise OptionError("tilt", tilt, "0 to 180 degrees")
    if not 0.0 <= albedo <= 1.0:
        raise OptionError("albedo", albedo, "0 to 1")
    # which way a level plane faces is all one
    facing = 0.0 if tilt in (0.0, 180.0) else float(azimuth) % 360.0
    key = (*weather.key, float(tilt), facing, float(albedo))
    return Irradiance(
        **cached_arrays("irradiance", key, lambda: _on_plane(weather, tilt, facing, albedo))
    )


def _on_plane(weather: Weather, tilt: float, azimuth: float, albedo: float) -> Arrays:
    from pvlib.irradiance import aoi_projection, get_ground_diffuse

    sun = sun_position(weather)
    up = is_up(sun.zenith, sun.sunlit)
    cos_aoi = aoi_projection(tilt, azimuth, sun.zenith, sun.azimuth)
    cos_aoi = np.where(up, np.clip(cos_aoi, 0.0, 1.0), 0.0)
    circumsolar, rest = _perez(weather, sun, up, tilt, azimuth)
    return {
        "beam": weather.dni * cos_aoi + circumsolar,
        "cos_aoi": cos_aoi,
        "sky_diffuse": rest,
        "ground": np.asarray(get_ground_diffuse(tilt, weather.ghi, albedo), dtype=float),
    }


def _perez(
    weather: Weather, sun: SunPosition, up: NDArray[np.bool_], tilt: float, azimuth: float
) -> tuple[FloatArray, FloatArray]:
    """Return circumsolar light and the rest of the sky's light on a plane [W/m2].

    Below 5 degrees of height the method limits the circumsolar light; what that leaves out on the
    horizontal is given back to the uniform sky, so that no diffuse light is lost.
    """
    from pvlib.atmosphere import get_relative_airmass
    from pvlib.irradiance import perez

    lit = up & (weather.dhi > 0.0)
    uniform_view = 0.5 * (1.0 + np.cos(np.radians(tilt)))
    circumsolar = np.zeros(weather.n)
    rest = weather.dhi * uniform_view
    if not lit.any():
        return circumsolar, rest
    zenith, dhi = sun.zenith[lit], weather.dhi[lit]
    airmass = get_relative_airmass(zenith)

    def parts(at_tilt: float, at_azimuth: float) -> Any:
        return perez(
            at_tilt,
            at_azimuth,
            dhi,
            weather.dni[lit],
            sun.dni_extra[lit],
            zenith,
            sun.azimuth[lit],
            airmass,
            model="allsitescomposite1990",
            return_components=True,
        )

    level, plane = parts(0.0, 0.0), parts(tilt, azimuth)
    left_out = dhi - level["poa_isotropic"] - level["poa_circumsolar"]
    # no light round the sun is more than the sun's own outside the air, whatever a file says
    circumsolar[lit] = np.minimum(plane["poa_circumsolar"], sun.dni_extra[lit])
    rest[lit] = np.maximum(
        plane["poa_isotropic"] + plane["poa_horizon"] + left_out * uniform_view, 0.0
    )
    return circumsolar, rest


def horizontal_residual(weather: Weather) -> FloatArray:
    """Return ``ghi - dni cos(zenith) - dhi`` of each hour [W/m2]: reported, never forced to 0.

    It shows how well the sun's position fits the file: a stamp read an hour off gives hundreds.
    """
    sun = sun_position(weather)
    cosine = cosine_up(sun.zenith, sun.sunlit)
    residual: FloatArray = weather.ghi - weather.dni * cosine - weather.dhi
    return residual
