"""A weather file as it was read: columns in SI beside their rows, before it is laid on hours.

Every reader of a format (``formats/``) gives a `Table`; what follows is the same for all of them:
``complete`` adds what a file leaves out, ``hours`` lays the rows on whole hours. What does not
belong here: files and formats.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from vanclimate.site.clock import FloatArray, IntArray

SUN = ("ghi", "dni", "dhi")
"""Sunlight on the horizontal, on a plane facing the sun, and from the sky [W/m2]."""

QUANTITIES = {
    "ghi": (0.0, 1600.0),
    "dni": (0.0, 1500.0),
    "dhi": (0.0, 1200.0),
    "temp_air": (-90.0, 60.0),
    "temp_dew": (-100.0, 60.0),
    "relative_humidity": (0.0, 1.1),
    "pressure": (45_000.0, 110_000.0),
    "wind_speed": (0.0, 75.0),
    "wind_direction": (0.0, 360.0),
    "cloud_total": (0.0, 1.0),
    "cloud_opaque": (0.0, 1.0),
    "ceiling": (-float("inf"), float("inf")),
    "longwave": (20.0, 700.0),
}
"""Every quantity a table may hold, with the least and most that is believed, in SI.

Temperatures °C, humidity and cloud as shares, pressure Pa, wind m/s at 10 m and degrees clockwise
from north, ceiling m (inf: none or unknown), longwave from the sky W/m2. Wind above 75 m/s blows in
no hour on record at a station (the strongest gust measured is 113 m/s; common knowledge).
"""


@dataclass(frozen=True)
class Station:
    """Where a file's values hold; ``elevation`` [m] and ``utc_offset_h`` [h] None where unknown."""

    name: str
    latitude: float
    longitude: float
    elevation: float | None
    utc_offset_h: float | None


@dataclass(frozen=True)
class Table:
    """A checked file: one row an interval.

    Attributes
    ----------
    format : name of the format, such as 'TMY3'
    station : the place
    start : seconds since 1970-01-01 00:00 UTC at which each row's interval begins, increasing,
        shape (rows,); of a typical year, on `clock.NOMINAL_YEAR`
    step : length of a row's interval [s]
    columns : quantity → values in SI, NaN where missing; keys of `QUANTITIES`, shape (rows,)
    points : share of the interval, 0 start to 1 end, at which all but the sun were read; None where
        they are means over the interval
    sun : the same for the sun; None where it is the mean over the interval
    stamps : the file's own convention in words, such as 'end of the hour, local standard time'
    names : quantity → name of its column in the file, with its unit
    first_row : row of the file, counted from 1, that holds row 0
    typical : months of different years put together
    years : the year of each month of a typical year, January first
    notes : what was clipped, changed or is unknown
    licence : under which the publisher gives the data, in a line
    """

    format: str
    station: Station
    start: IntArray
    step: int
    columns: dict[str, FloatArray]
    points: float | None
    sun: float | None
    stamps: str
    names: dict[str, str] = field(default_factory=dict)
    first_row: int = 2
    typical: bool = False
    years: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()
    licence: str = ""

    def name_of(self, quantity: str) -> str:
        """Return the column's name in the file."""
        return self.names.get(quantity, quantity)


@dataclass(frozen=True)
class Hours:
    """Weather on whole hours, one after the other.

    Attributes
    ----------
    start : seconds since 1970-01-01 00:00 UTC of the first hour's start
    arrays : `weather.POINTS` at the n+1 edges and `weather.MEANS` over the n hours; ``longwave``
        [W/m2] at the edges where the file measured it
    notes : what was derived, filled or clipped, in words, for every answer
    """

    start: int
    arrays: dict[str, FloatArray]
    notes: tuple[str, ...] = ()

    @property
    def n(self) -> int:
        """How many hours."""
        return len(self.arrays["ghi"])
