"""Whether a file's sun is where the sun is: its shift against a clear sky, and the sky's envelope.

A file that is read with a wrong time zone, stamp or longitude has its sun at the wrong hour. What
does not belong here: other faults of a file (``consistency``), light on planes (``sun``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.site.clock import FloatArray
from vanclimate.site.years import NOMINAL_YEAR

CLEAR_SKY = "Ineichen & Perez 2002, monthly turbidity of the atmosphere from pvlib's own map"
"""The clear sky of the envelope and of the share of clear hours."""

LONGEST = 400.0
"""Days of a series from which the shift is taken; a year holds every height of the sun."""

FINE = 900.0
"""Step of the shifts [s]; the peak between them is a parabola's."""

ROOT = 1.0 / 3.0
"""Power of both suns before they are compared.

Cloud dims a sun of any hour, but the sun's rise and set bound it whatever the cloud: a small power
tells more of these than of the bright hours. Found on eight measured typical years: the shift of a
year is off by up to 12 min with the power 1 (afternoon cloud), by 2 min with the cube root.
"""

ALLOWED = ((28.0, 15.0), (7.0, 25.0), (0.0, 40.0))
"""From so many days on, a shift of so many minutes is believed to be one.

Windows cut from the same eight years: the shift of 30 days is off by 11 min at most, of 7 days by
24, of 3 days by 33.
"""

_DAY = 86400.0


@dataclass(frozen=True)
class SunShift:
    """Where a file's sun is.

    Attributes
    ----------
    minutes : by which it is late (below 0: early) against the true sun of the place
    correlation : of the cube roots of both suns at that shift
    days : of the series that were compared
    """

    minutes: float
    correlation: float
    days: float

    @property
    def allowed(self) -> float:
        """Minutes within which this many days cannot tell."""
        return next(most for days, most in ALLOWED if self.days >= days)

    @property
    def off(self) -> bool:
        """Whether the file's sun stands where the place's sun cannot be."""
        return abs(self.minutes) > self.allowed


def sun_shift(
    begin: FloatArray, width: float, ghi: FloatArray, latitude: float, longitude: float
) -> SunShift | None:
    """Return how late a file's sun is; None where a series has no day with sun.

    Parameters
    ----------
    begin : start of each value's interval, increasing [s since 1970-01-01 UTC], shape (rows,)
    width : length of the intervals [s], 0 for values of an instant
    ghi : sun on a level plane, NaN where missing [W/m2], shape (rows,)
    latitude, longitude : [deg]

    Notes
    -----
    The shift at which the cube root of the file's sun correlates best with that of a clear sky
    (Haurwitz 1945, in pvlib), among all shifts of ±12 h: whole hours first, then quarters of an
    hour, then the peak of the parabola through the best and its neighbours.
    """
    near = begin < begin[0] + LONGEST * _DAY
    there = near & ~np.isnan(ghi)
    begin, sun = begin[there], np.cbrt(np.clip(ghi[there], 0.0, None))
    if len(begin) < 2 or np.ptp(sun) == 0.0 or np.ptp(begin) < 0.9 * _DAY - width:
        return None
    clear = _Clear(begin, width, latitude, longitude)
    coarse = 3600.0 * np.arange(-12, 12)
    best = float(coarse[int(np.argmax([clear.fit(sun, s) for s in coarse]))])
    fine = best + FINE * np.arange(-5, 6)
    scores = np.array([clear.fit(sun, s) for s in fine])
    peak = min(max(int(np.argmax(scores)), 1), len(scores) - 2)
    left, top, right = scores[peak - 1 : peak + 2]
    bend = left - 2.0 * top + right
    between = 0.5 * (left - right) / bend if bend < 0.0 else 0.0
    shift = (fine[peak] + FINE * float(np.clip(between, -1.0, 1.0))) / 60.0
    days = len(np.unique((begin - begin[0]) // _DAY))
    return SunShift(float(shift), float(top), float(days))


def shift_curve(
    begin: FloatArray,
    width: float,
    ghi: FloatArray,
    place: tuple[float, float],
    minutes: FloatArray,
) -> FloatArray:
    """Return the correlation of `sun_shift` at given shifts [min], for a figure."""
    there = ~np.isnan(ghi)
    clear = _Clear(begin[there], width, *place)
    sun = np.cbrt(np.clip(ghi[there], 0.0, None))
    return np.array([clear.fit(sun, 60.0 * m) for m in minutes])


class _Clear:
    """A clear sky's sun at or over the intervals of a series, at any shift."""

    def __init__(self, begin: FloatArray, width: float, latitude: float, longitude: float) -> None:
        import pandas as pd
        from pvlib.clearsky import haurwitz

        from vanclimate.site.sun import zenith_at

        # an interval as short as the steps of the clear sky is as good as its middle
        short = width <= FINE
        self.begin, self.width = (begin + width / 2, 0.0) if short else (begin, width)
        first, last = begin[0] - _DAY / 2 - 4 * FINE, begin[-1] + width + _DAY / 2 + 4 * FINE
        self.edges = np.arange(first, last + 2 * FINE, FINE)
        zenith = zenith_at(self.edges + FINE / 2, latitude, longitude)
        self.sun = np.asarray(haurwitz(pd.Series(zenith))["ghi"].to_numpy(), dtype=float)
        self.sums = np.concatenate([[0.0], np.cumsum(self.sun)])[:-1] * FINE

    def fit(self, sun: FloatArray, shift: float) -> float:
        """Return the correlation with a file whose sun is `shift` [s] late."""
        at = self.begin - shift
        if self.width > 0.0:
            ends = np.interp(at + self.width, self.edges, self.sums)
            clear = (ends - np.interp(at, self.edges, self.sums)) / self.width
        else:
            clear = np.interp(at, self.edges + FINE / 2, self.sun)
        clear = np.cbrt(clear)
        if np.ptp(clear) == 0.0:
            return -1.0
        return float(np.corrcoef(sun, clear)[0, 1])


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
