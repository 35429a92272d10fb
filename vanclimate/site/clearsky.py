"""Clear skies: the simplest, the one files are held against, and a made-up day's.

All through pvlib. What does not belong here: cloud (``complete``), the sun's place (``sun``).
"""

from __future__ import annotations

from datetime import datetime

import numpy as np

from vanclimate.cache import Arrays
from vanclimate.site.clock import FloatArray
from vanclimate.site.years import NOMINAL_YEAR

CLEAR_SKY = "Ineichen & Perez 2002, monthly turbidity of the atmosphere from pvlib's own map"
"""The clear sky of the envelope and of the share of clear hours."""

LINKE_TURBIDITY = 3.5
"""Haze of the clear sky: an ordinary summer sky of the countryside; assumed."""

SAMPLES = 12
"""Samples an hour from which the mean clear-sky irradiance of the hour is taken."""


def haurwitz_ghi(zenith: FloatArray) -> FloatArray:
    """Return a clear sky's global sun at a zenith seen from the ground [deg]; [W/m2].

    Haurwitz 1945, J. Meteorology 2:154, of the sun's height alone, through pvlib: where ratios to a
    clear sky are wanted and no more.
    """
    import pandas as pd
    from pvlib.clearsky import haurwitz

    return np.asarray(haurwitz(pd.Series(zenith))["ghi"].to_numpy(), dtype=float)


def clear_sky(
    start: float, hours: int, *, latitude: float, longitude: float, elevation: float
) -> FloatArray:
    """Return the sun of a clear sky on a level plane, mean of each hour [W/m2], shape (hours,).

    Parameters
    ----------
    start : of the first hour [s since 1970-01-01 UTC]
    latitude, longitude [deg], elevation [m]

    Notes
    -----
    `CLEAR_SKY`, through pvlib, with the sun at the middle of the sunlit part of the hour and in
    proportion to that part. The turbidity is that of the nearest point of a map of means of each
    month, straight between the months' middles.
    """
    from pvlib.atmosphere import alt2pres, get_absolute_airmass, get_relative_airmass
    from pvlib.clearsky import ineichen

    from vanclimate.site.sun import positions

    calm = np.full(hours + 1, 12.0)
    pressure = float(alt2pres(elevation))
    sun = positions(
        start, hours, latitude=latitude, longitude=longitude, elevation=elevation,
        pressure=np.full(hours + 1, pressure), temp_air=calm,
    )  # fmt: skip
    zenith = sun["zenith"]
    airmass = get_absolute_airmass(get_relative_airmass(zenith), pressure)
    with np.errstate(divide="ignore", invalid="ignore"):  # a sun below the horizon
        found = ineichen(
            zenith,
            airmass,
            _turbidity(start, hours, latitude, longitude),
            altitude=elevation,
            dni_extra=sun["dni_extra"],
        )
    ghi: FloatArray = np.nan_to_num(np.asarray(found["ghi"], dtype=float)) * sun["sunlit"]
    return ghi


def _turbidity(start: float, hours: int, latitude: float, longitude: float) -> FloatArray:
    """Return Linke's turbidity of the air in each hour, shape (hours,)."""
    import pandas as pd
    from pvlib.clearsky import lookup_linke_turbidity

    months = pd.date_range(f"{NOMINAL_YEAR}-01-15", periods=12, freq="MS", tz="UTC")
    # month by month, for pvlib's own lines between them warn of tomorrow's pandas
    by_month = lookup_linke_turbidity(months, latitude, longitude, interp_turbidity=False)
    of_month = dict(zip(months.month, by_month.to_numpy(dtype=float), strict=True))
    middles = 365.25 / 12.0 * (np.arange(12) + 0.5)
    day = np.mod((start / 86400.0 + np.arange(hours) / 24.0), 365.25)
    values = [of_month[month] for month in range(1, 13)]
    turbidity: FloatArray = np.interp(day, middles, values, period=365.25)
    return turbidity


def clear_day(
    start: datetime, latitude: float, longitude: float, elevation: float, pressure: float
) -> Arrays:
    """Return the hourly means of ghi, dni and dhi of a made-up clear day [W/m2], shape (24,) each.

    Ineichen & Perez 2002 with the turbidity `LINKE_TURBIDITY`, from `SAMPLES` an hour.

    Parameters
    ----------
    start : midnight of the day, with its zone
    latitude, longitude [deg], elevation [m], pressure [Pa]
    """
    import pandas as pd
    from pvlib.atmosphere import get_absolute_airmass, get_relative_airmass
    from pvlib.clearsky import ineichen
    from pvlib.irradiance import get_extra_radiation

    from vanclimate.site.sun import solar_position

    step = pd.Timedelta(hours=1) / SAMPLES
    times = pd.date_range(start + step / 2, periods=24 * SAMPLES, freq=step)
    sun = solar_position(
        times,
        latitude=latitude,
        longitude=longitude,
        elevation=elevation,
        pressure=pressure,
        temp_air=15.0,
    )
    zenith = sun["apparent_zenith"]
    airmass = get_absolute_airmass(get_relative_airmass(zenith), pressure)
    extra = get_extra_radiation(start.timetuple().tm_yday)
    sky = ineichen(zenith, airmass, LINKE_TURBIDITY, altitude=elevation, dni_extra=extra)
    sky = sky.fillna(0.0)
    return {
        name: sky[name].to_numpy().reshape(24, SAMPLES).mean(axis=1)
        for name in ("ghi", "dni", "dhi")
    }
