"""What of the outside depends on the weather but not on the van: the sky's temperature, humidity.

The sky model is a named choice and the largest honest uncertainty of the outside. What does not
belong here: view factors, surfaces.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.cache import Arrays, cached_arrays
from vanclimate.physics import air, longwave
from vanclimate.site.clock import FloatArray, solar_hour
from vanclimate.site.weather import Weather

MEASURED, BY_DEW_POINT, BY_VAPOUR_PRESSURE = "measured", "by dew point", "by vapour pressure"

SKY_MODELS = {
    MEASURED: "the longwave that the weather gives",
    BY_DEW_POINT: "Berdahl & Martin 1984 clear sky, Martin & Berdahl 1984 cloud",
    BY_VAPOUR_PRESSURE: "Brutsaert 1975 clear sky, Martin & Berdahl 1984 cloud",
}
"""The skies that may be asked for, and what each is."""


@dataclass(frozen=True)
class Sky:
    """The sky over n hours.

    Attributes
    ----------
    temp_sky : temperature of a black sky of the same longwave radiation [°C], shape (n+1,)
    humidity_ratio : kg of water per kg of dry air, shape (n+1,)
    """

    temp_sky: FloatArray
    humidity_ratio: FloatArray


def model_of(weather: Weather, asked: str = MEASURED) -> str:
    """Return the sky that is used: the one asked for; measured only where the weather has it."""
    return BY_DEW_POINT if asked == MEASURED and weather.longwave is None else asked


def alternative_to(weather: Weather, asked: str = MEASURED) -> str:
    """Return the sky whose effect is shown beside the one used."""
    used = model_of(weather, asked)
    return BY_DEW_POINT if used != BY_DEW_POINT else BY_VAPOUR_PRESSURE


def sky(weather: Weather, model: str = MEASURED) -> Sky:
    """Return sky temperature and humidity at the edges of the hours.

    Parameters
    ----------
    model : a key of `SKY_MODELS`; where nothing was measured, 'measured' is Berdahl & Martin

    Notes
    -----
    Measured longwave L gives the black sky's temperature by L = sigma T^4. The daily rhythm of
    Berdahl & Martin's clear sky runs on local solar time.
    """
    used = model_of(weather, model)
    key = (*weather.key, used)
    return Sky(**cached_arrays("sky", key, lambda: _sky(weather, used)))


def _sky(weather: Weather, model: str) -> Arrays:
    ratio = air.humidity_ratio_from_dew_point(weather.temp_dew, weather.pressure)
    if model == MEASURED:
        temp_sky = longwave.black_temperature(weather.longwave)
    else:
        temp_sky = longwave.sky_temperature(weather.temp_air, _emissivity(weather, model))
    return {
        "temp_sky": np.asarray(temp_sky, dtype=float),
        "humidity_ratio": np.asarray(ratio, dtype=float),
    }


def _emissivity(weather: Weather, model: str) -> FloatArray:
    if model == BY_VAPOUR_PRESSURE:
        clear = longwave.clear_sky_emissivity_brutsaert(weather.temp_air, weather.temp_dew)
    else:
        begin = weather.start.hour + weather.start.minute / 60.0
        standard = begin + np.arange(weather.n + 1, dtype=np.float64)
        hour = solar_hour(standard, weather.longitude, weather.utc_offset_h)
        clear = longwave.clear_sky_emissivity(weather.temp_dew, hour, weather.pressure)
    emissivity = longwave.cloudy_sky_emissivity(
        clear, weather.cloud_opaque, weather.cloud_total, weather.ceiling
    )
    return np.asarray(emissivity, dtype=float)
