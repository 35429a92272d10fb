"""The calendar of the weather: typical years, fixed time zones, hours and local solar time.

Every series is labelled by the START of its hour in the site's standard time (a fixed offset from
UTC, no daylight saving). What does not belong here: files, the sun's position.
"""

from __future__ import annotations

import math
from datetime import datetime, timedelta, timezone

import numpy as np
from numpy.typing import NDArray

from vanclimate.errors import OptionError
from vanclimate.site.years import MONTHS, NOMINAL_YEAR

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.int64]

HOURS_OF_YEAR = 8760


def fixed_zone(utc_offset_h: float) -> timezone:
    """Return the fixed-offset zone that is `utc_offset_h` [h] ahead of UTC.

    >>> fixed_zone(-5.0)
    datetime.timezone(datetime.timedelta(days=-1, seconds=68400))
    """
    return timezone(timedelta(hours=utc_offset_h))


def nominal_start(utc_offset_h: float) -> datetime:
    """Return the start of the first hour of a typical year."""
    return datetime(NOMINAL_YEAR, 1, 1, tzinfo=fixed_zone(utc_offset_h))


def nominal_stamps() -> list[tuple[int, int, int]]:
    """Return (month, day, hour) of the END of each hour of a typical year; hours run 1 to 24.

    >>> nominal_stamps()[0], nominal_stamps()[-1]
    ((1, 1, 1), (12, 31, 24))
    """
    first = datetime(NOMINAL_YEAR, 1, 1)
    starts = [first + timedelta(hours=i) for i in range(HOURS_OF_YEAR)]
    return [(t.month, t.day, t.hour + 1) for t in starts]


def month_of_hour() -> IntArray:
    """Return the month (1 to 12) of each hour of a typical year, shape (8760,)."""
    return np.array([month for month, _, _ in nominal_stamps()], dtype=np.int64)


def to_nominal(moment: datetime, utc_offset_h: float) -> datetime:
    """Return `moment` in the site's standard time, its year replaced by `NOMINAL_YEAR`.

    Raises
    ------
    OptionError
        for a naive time, and for 29 February, of which a typical year has no data
    """
    local = in_zone(moment, utc_offset_h)
    if (local.month, local.day) == (2, 29):
        raise OptionError(
            "date",
            f"{local.day} {MONTHS[1]}",
            "1 January to 31 December without 29 February",
            "a typical year has no data of that day",
        )
    return local.replace(year=NOMINAL_YEAR)


def in_zone(moment: datetime, utc_offset_h: float) -> datetime:
    """Return `moment` in the site's standard time; a time without a zone is refused."""
    if moment.tzinfo is None:
        raise OptionError("time", moment.isoformat(), "a time with its zone")
    return moment.astimezone(fixed_zone(utc_offset_h))


def solar_hour(standard_hour: FloatArray, longitude: float, utc_offset_h: float) -> FloatArray:
    """Return the local mean solar hour, 0 to 24.

    Equation: ``t_sun = t_standard + longitude / 15 - utc_offset``, modulo 24. The equation of time
    (at most 17 minutes) is left out: this hour only serves slow daily rhythms, never the sun's
    position.

    Parameters
    ----------
    standard_hour : hour in standard time, of the day or of the series [h]
    longitude : degrees, east positive [deg]
    utc_offset_h : standard time's lead over UTC [h]

    >>> float(solar_hour(np.array([12.0]), -75.0, -5.0)[0])
    12.0
    """
    shifted: FloatArray = np.mod(standard_hour + longitude / 15.0 - utc_offset_h, 24.0)
    return shifted


def whole_hours(start: datetime, moment: datetime) -> int:
    """Return the hours from `start` to `moment`, rounded down to a whole hour."""
    return math.floor((moment - start).total_seconds() / 3600.0)
