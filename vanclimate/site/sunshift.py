"""Whether a file's sun is where the sun is: its shift against a clear sky.

A file that is read with a wrong time zone, stamp or longitude has its sun at the wrong hour. What
does not belong here: other faults of a file's sun (``suncheck``), clear skies (``clearsky``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.site.clock import FloatArray

LONGEST = 400.0
"""Days of a series from which the shift is taken; a year holds every height of the sun."""

FINE = 900.0
"""Step of the shifts [s]; the peak between them is a parabola's."""

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

    @property
    def way(self) -> str:
        """'late' or 'early'."""
        return "early" if self.minutes < 0 else "late"


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

    The cube root, for cloud dims a sun of any hour while its rise and set bound it whatever the
    cloud: a small power tells more of these than of the bright hours. Found on eight measured
    typical years: the shift of a year is off by up to 12 min with the suns themselves (afternoon
    cloud), by 2 min with their cube roots.
    """
    near = begin < begin[0] + LONGEST * _DAY
    there = near & ~np.isnan(ghi)
    begin, sun = begin[there], np.cbrt(np.clip(ghi[there], 0.0, None))
    if len(begin) < 2 or np.ptp(sun) == 0.0 or np.ptp(begin) < 0.9 * _DAY - width:
        return None
    clear = ClearCourse(begin, width, latitude, longitude)
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


class ClearCourse:
    """A clear sky's sun at or over the intervals of a series, at any shift."""

    def __init__(self, begin: FloatArray, width: float, latitude: float, longitude: float) -> None:
        from vanclimate.site.clearsky import haurwitz_ghi
        from vanclimate.site.sun import zenith_at

        # an interval as short as the steps of the clear sky is as good as its middle
        short = width <= FINE
        self.begin, self.width = (begin + width / 2, 0.0) if short else (begin, width)
        first, last = begin[0] - _DAY / 2 - 4 * FINE, begin[-1] + width + _DAY / 2 + 4 * FINE
        self.edges = np.arange(first, last + 2 * FINE, FINE)
        zenith = zenith_at(self.edges + FINE / 2, latitude, longitude)
        self.sun = haurwitz_ghi(zenith)
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
