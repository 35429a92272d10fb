"""A day of sun: where it stands at each moment, when it rises and sets.

What does not belong here: how it is drawn (``sunpath``), and the positions' algorithm (site/sun).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from vanclimate.cache import cached_arrays
from vanclimate.physics.air import standard_pressure
from vanclimate.site.sun import SUNRISE_ZENITH, solar_position

Array = NDArray[np.float64]
MINUTES = 10  # between points of the path
NAMES = ("apparent_zenith", "azimuth", "zenith")  # as pvlib calls them
AIR = 12.0  # °C, for the bending of light near the horizon only


@dataclass(frozen=True)
class Path:
    """The sun over a day: hours of the clock, zenith as seen, azimuth, and the zenith of the sun's
    centre without the air [deg], shape (n,) each.
    """

    day: date
    hours: Array
    zenith: Array
    azimuth: Array
    true: Array

    @property
    def up(self) -> NDArray[np.bool_]:
        """Whether any of the sun is up."""
        return self.true < SUNRISE_ZENITH

    @property
    def rises_and_sets(self) -> tuple[float | None, float | None]:
        """The first hour of sun and the last of the day [h]; None where it is up at midnight."""
        up = self.up
        if not up.any():
            return None, None
        return (
            None if up[0] else _crossing(self, int(np.argmax(up))),
            None if up[-1] else _crossing(self, len(up) - int(np.argmax(up[::-1]))),
        )


def path_of(day: date, latitude: float, longitude: float, elevation: float, offset: float) -> Path:
    """Return the sun's path over a day of the clock.

    Parameters
    ----------
    day : of the site's clock
    latitude, longitude : [deg], north and east positive
    elevation : above the sea [m]
    offset : of the clock from UTC [h]
    """
    minutes = np.arange(0, 1440 + MINUTES, MINUTES)

    def build() -> dict[str, Array]:
        import pandas as pd

        start = pd.Timestamp(day, tz="UTC") - pd.Timedelta(hours=offset)
        found = solar_position(
            start + pd.to_timedelta(minutes, unit="min"), latitude=latitude, longitude=longitude,
            elevation=elevation, pressure=float(standard_pressure(elevation)), temp_air=AIR,
        )  # fmt: skip
        return {name: found[name].to_numpy() for name in NAMES}

    # kept on disk: loading the sun's library takes longer than drawing
    stored = cached_arrays("day", (day, latitude, longitude, elevation, offset, MINUTES), build)
    return Path(day, minutes / 60.0, *(stored[name] for name in NAMES))


def _crossing(path: Path, k: int) -> float:
    """Return the hour between two points at which the sun meets the horizon."""
    a, b = path.true[k - 1] - SUNRISE_ZENITH, path.true[k] - SUNRISE_ZENITH
    return float(path.hours[k - 1] + (path.hours[k] - path.hours[k - 1]) * a / (a - b))
