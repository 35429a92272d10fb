"""A run of hours of weather at a place, typical, real or made up, and windows into it.

What does not belong here: files (`readers`, `formats`), years (`record`), sun and sky.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from vanclimate.errors import OptionError
from vanclimate.site.clock import FloatArray, IntArray, in_zone, to_nominal, whole_hours

POINTS = (
    "temp_air",
    "temp_dew",
    "pressure",
    "wind_speed",
    "wind_direction",
    "cloud_total",
    "cloud_opaque",
    "ceiling",
)
"""Names of the quantities at the n+1 edges of the hours."""

MEANS = ("ghi", "dni", "dhi")
"""Names of the quantities that are means over the n hours."""


@dataclass(frozen=True)
class Weather:
    """Hourly weather, labelled by the start of the hour, in a fixed offset from UTC.

    Attributes
    ----------
    name, latitude [deg], longitude [deg, east positive], elevation [m], utc_offset_h [h] :
        the place
    source : kind of file, station and file name, in words
    period : years that the data come from, in words
    typical : months of different years put together, laid on `clock.NOMINAL_YEAR`
    synthetic : made from a formula, not measured
    notes : what was clipped or is unknown in the file
    digest : of all that is in it: a file's sha256 or a design day's parameters, and whatever was
        done to it since; what is computed from a weather is cached by it
    start : start of the first hour, with its zone
    n : number of hours
    temp_air, temp_dew [°C], pressure [Pa], wind_speed [m/s at 10 m], wind_direction [deg],
    cloud_total, cloud_opaque [0..1], ceiling [m, inf = none or unknown] : shape (n+1,)
        values at the edges of the hours; a typical year's edges 0 and n are alike, for it wraps
    ghi, dni, dhi : means over the hours, on the horizontal, normal, and diffuse [W/m2], shape (n,)
    source_years : the year of each month of a typical year, January first
    longwave : radiation from the whole sky on a level plane [W/m2], shape (n+1,), where measured
    licence : under which the publisher gives the data, in a line
    """

    name: str
    latitude: float
    longitude: float
    elevation: float
    utc_offset_h: float
    source: str
    period: str
    typical: bool
    synthetic: bool
    notes: tuple[str, ...]
    digest: str
    start: datetime
    n: int
    temp_air: FloatArray
    temp_dew: FloatArray
    pressure: FloatArray
    wind_speed: FloatArray
    wind_direction: FloatArray
    cloud_total: FloatArray
    cloud_opaque: FloatArray
    ceiling: FloatArray
    ghi: FloatArray
    dni: FloatArray
    dhi: FloatArray
    source_years: tuple[int, ...] = ()
    longwave: FloatArray | None = None
    licence: str = ""

    @property
    def key(self) -> tuple[object, ...]:
        """What results that are kept on disk are keyed by."""
        return self.digest, str(self.start), self.n

    def time(self, index: int) -> datetime:
        """Return the start of hour `index`."""
        return self.start + timedelta(hours=index)


def window(weather: Weather, start: datetime, hours: int) -> IntArray:
    """Return the indices of the `hours` hours from the hour that holds `start`.

    A typical year and a repeated design day wrap round: the indices are modulo n. The edges of the
    window are the same indices and one more: see `window_edges`.

    Raises
    ------
    OptionError
        for a time without a zone, and for 29 February in a typical year, at the start or inside
        the window

    Examples
    --------
    >>> from vanclimate.site.sites import find_site
    >>> miami = find_site("miami")
    >>> window(miami, miami.time(8758), 4).tolist()
    [8758, 8759, 0, 1]
    """
    if hours < 1:
        raise OptionError("hours", hours, "1 or more")
    first = _first_hour(weather, start)
    return np.arange(first, first + hours, dtype=np.int64) % weather.n


def window_edges(weather: Weather, start: datetime, hours: int) -> IntArray:
    """Return the indices of the hours+1 edges of a `window`, for the point quantities.

    Edge n holds the same values as edge 0, so that the wrap is seamless.
    """
    first = _first_hour(weather, start)
    return np.arange(first, first + hours + 1, dtype=np.int64) % weather.n


def hour_start(weather: Weather, moment: datetime) -> datetime:
    """Return the start of the weather's hour that holds a moment.

    In zones of half an hour the hours of services that keep UTC begin half past.
    """
    local = in_zone(moment, weather.utc_offset_h)
    minutes = (local.minute - weather.start.minute) % 60
    return local - timedelta(minutes=minutes, seconds=local.second, microseconds=local.microsecond)


def _first_hour(weather: Weather, start: datetime) -> int:
    if weather.typical:
        return whole_hours(weather.start, to_nominal(start, weather.utc_offset_h)) % weather.n
    if weather.synthetic:
        return whole_hours(weather.start, in_zone(start, weather.utc_offset_h)) % weather.n
    first = whole_hours(weather.start, in_zone(start, weather.utc_offset_h))
    if not 0 <= first < weather.n:
        allowed = f"{weather.start:%Y-%m-%d} to {weather.time(weather.n - 1):%Y-%m-%d}"
        raise OptionError("start", f"{start:%Y-%m-%d %H:%M}", allowed)
    return first
