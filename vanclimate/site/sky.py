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

SKY_MODEL = "Berdahl & Martin 1984 clear sky, Martin & Berdahl 1984 cloud"


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


def sky(weather: Weather) -> Sky:
    """Return sky temperature and humidity at the edges of the hours.

    The daily rhythm of the clear sky's emissivity runs on local solar time.
    """
    key = (weather.digest, str(weather.start), weather.n)
    return Sky(**cached_arrays("sky", key, lambda: _sky(weather)))


def _sky(weather: Weather) -> Arrays:
    standard = weather.start.hour + np.arange(weather.n + 1, dtype=np.float64)
    hour = solar_hour(standard, weather.longitude, weather.utc_offset_h)
    clear = longwave.clear_sky_emissivity(weather.temp_dew, hour, weather.pressure)
    emissivity = longwave.cloudy_sky_emissivity(
        clear, weather.cloud_opaque, weather.cloud_total, weather.ceiling
    )
    temp_sky = longwave.sky_temperature(weather.temp_air, emissivity)
    ratio = air.humidity_ratio_from_dew_point(weather.temp_dew, weather.pressure)
    return {
        "temp_sky": np.asarray(temp_sky, dtype=float),
        "humidity_ratio": np.asarray(ratio, dtype=float),
    }
