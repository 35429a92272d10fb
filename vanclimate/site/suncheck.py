"""Whether a weather's sun is that of its place: at night, against a clear sky, in its parts.

Findings are told, never mended. What does not belong here: the sun's shift (``sunshift``), gaps and
what else a file may have (``filecheck``), what a reader refuses outright (``formats``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vanclimate.cache import Arrays, cached_arrays
from vanclimate.errors import WeatherError
from vanclimate.physics.air import STANDARD_PRESSURE
from vanclimate.site.clearsky import clear_sky
from vanclimate.site.clock import FloatArray
from vanclimate.site.sunshift import SunShift, sun_shift
from vanclimate.site.table import Hours, Station, Table
from vanclimate.site.weather import Weather
from vanclimate.site.years import MONTHS

CLOSURE_ALLOWED = 20.0
"""RMS of ``ghi - dni cos(zenith) - dhi`` of a month [W/m2]: eight measured years stay below 9 in
any month; an hour off gives 28 to 63 in July."""

NIGHT_SUN = 10.0
"""W/m2 that an instrument may show in the dark; common practice, no source."""

DARK = 96.0
"""Zenith [deg] from which there is no light worth measuring: civil twilight ends."""

ENVELOPE = (1.15, 20.0)
"""Clear skies' light times and plus this [W/m2] is seldom passed: haze differs, clouds mirror."""

PASSED = 0.10
"""Share of daylight hours above the envelope from which it is a finding: eight measured years have
up to 5 %."""

DIM = 0.5
"""Share of the clear sky's light that the brightest fiftieth of the hours must reach; assumed."""

ZONE_APART = 2.5
"""h between a clock and the sun's mean time from which it is a finding; common practice: the widest
zones lie 3 h off at their ends."""

LEAST_DAYS_OF_MONTH = 5

CLOCK_REFUSED = 120.0
"""Minutes that a weather's sun may be off before an answer is refused; assumed. Below that it is a
note: daylight saving and a wrong stamp make 30 to 60."""


@dataclass(frozen=True)
class Finding:
    """What is wrong, in words, in how many places, and rows of the file with it.

    ``longest`` says that the row is that of the longest place and not of the first ones.
    """

    words: str
    count: int = 1
    rows: tuple[int, ...] = ()
    longest: bool = False


def _rows(table: Table, found: NDArray[np.bool_]) -> tuple[int, ...]:
    """Return the first rows of the file at which something is found."""
    return tuple(int(i) + table.first_row for i in np.flatnonzero(found)[:3])


def night_sun(table: Table) -> list[Finding]:
    """Return rows with sun while the sun is far below the horizon."""
    ghi = table.columns.get("ghi")
    if ghi is None:
        return []
    place = (table.station.latitude, table.station.longitude)
    dark = np.fmin(*(_zenith(_moments(table, part), *place) for part in (0.0, 1.0)))
    with np.errstate(invalid="ignore"):
        wrong = (dark > DARK) & (ghi > NIGHT_SUN)
    if not wrong.any():
        return []
    words = f"{table.name_of('ghi')}: sun at night, up to {ghi[wrong].max():.0f} W/m²"
    return [Finding(words, int(wrong.sum()), _rows(table, wrong))]


def _moments(table: Table, part: float) -> FloatArray:
    """Return the moments at a share of each row's interval [s since 1970-01-01 UTC]."""
    return np.asarray(table.start + part * table.step, dtype=np.float64)


def _zenith(moments: FloatArray, latitude: float, longitude: float) -> FloatArray:
    """Return the sun's zenith [deg], of many moments from a grid of quarters of an hour."""
    from vanclimate.site.sun import zenith_at

    grid = np.arange(moments[0], moments[-1] + 900.0, 900.0)
    if len(grid) >= len(moments):
        return zenith_at(moments, latitude, longitude)
    found: FloatArray = np.interp(moments, grid, zenith_at(grid, latitude, longitude))
    return found


def for_shift(table: Table) -> tuple[FloatArray, float, FloatArray]:
    """Return starts, width and values of the sun; of minutes, one in a quarter of an hour."""
    every = max(1, 900 // table.step)
    begin = np.asarray(table.start[::every], dtype=float)
    if table.sun is not None:
        begin, width = begin + table.sun * table.step, 0.0
    else:
        width = float(table.step)
    return begin, width, table.columns["ghi"][::every]


def shift_words(shift: SunShift | None) -> list[str]:
    """Return what is said of a sun that stands where the place's cannot be, or nothing."""
    if shift is None or not shift.off:
        return []
    return [
        f"the file's sun is {abs(shift.minutes):.0f} min {shift.way} against the sun of its place: "
        "look at its time zone, stamps and longitude"
    ]


def zone_words(station: Station) -> list[str]:
    """Return what is said of a clock that is far from the sun's, or nothing."""
    if station.utc_offset_h is None:
        return []
    apart = (station.utc_offset_h - station.longitude / 15.0 + 12.0) % 24.0 - 12.0
    if abs(apart) <= ZONE_APART:
        return []
    zone, sun = station.utc_offset_h, station.longitude / 15.0
    return [f"its clock is UTC{zone:+g}, the sun at its longitude keeps UTC{sun:+.1f}"]


def closure(table: Table, station: Station, hours: Hours) -> tuple[float | None, list[Finding]]:
    """Return the RMS of ghi - dni cos(zenith) - dhi in daylight, and a month that is far off."""
    if not {"ghi", "dni", "dhi"} <= set(table.columns):
        return None, []
    if table.sun is None:
        start = hours.start + 3600.0 * np.arange(hours.n, dtype=np.float64)
        parts = [hours.arrays[name] for name in ("ghi", "dni", "dhi")]
        cosine = _cosine(hours, station)
    else:  # what lies on hours was derived; the file's own instants tell
        start = np.asarray(table.start, dtype=float)
        parts = [table.columns[name] for name in ("ghi", "dni", "dhi")]
        at = _moments(table, table.sun)
        cosine = np.cos(np.radians(_zenith(at, station.latitude, station.longitude)))
    cosine = np.maximum(cosine, 0.0)
    gap = parts[0] - parts[1] * cosine - parts[2]
    lit = (parts[0] > 0.0) & ~np.isnan(gap)
    if not lit.any():
        return None, []
    rms = float(np.sqrt(np.mean(gap[lit] ** 2)))
    worst, month = _worst_month(gap, start)
    findings = []
    if worst > CLOSURE_ALLOWED:
        words = f"global, direct and diffuse sun are {worst:.0f} W/m² apart in {month}"
        findings.append(Finding(words))
    return rms, findings


def _worst_month(gap: FloatArray, start: FloatArray) -> tuple[float, str]:
    """Return the RMS of the month in which it is the largest, nights included, and its name."""
    stamps = start.astype(np.int64).astype("datetime64[s]").astype("datetime64[M]")
    month = stamps.astype(np.int64) % 12
    rms = np.zeros(12)
    for m in range(12):
        own = gap[(month == m) & ~np.isnan(gap)]
        if len(own) >= 24 * LEAST_DAYS_OF_MONTH or len(own) == len(gap):
            rms[m] = np.sqrt(np.mean(own**2))
    return float(rms.max()), MONTHS[int(np.argmax(rms))]


def _cosine(hours: Hours, station: Station) -> FloatArray:
    from vanclimate.site.sun import cosine_up, positions

    pressure = np.nan_to_num(hours.arrays["pressure"], nan=STANDARD_PRESSURE)
    air = np.nan_to_num(hours.arrays["temp_air"], nan=12.0)
    sun = positions(
        hours.start, hours.n, latitude=station.latitude, longitude=station.longitude,
        elevation=station.elevation or 0.0, pressure=pressure, temp_air=air,
    )  # fmt: skip
    return cosine_up(sun["zenith"], sun["sunlit"])


def envelope(table: Table, station: Station, hours: Hours) -> tuple[float | None, list[Finding]]:
    """Return the share of daylight hours above a clear sky, and whether it is too bright or dim."""
    clear = clear_sky(
        hours.start, hours.n, latitude=station.latitude, longitude=station.longitude,
        elevation=station.elevation or 0.0,
    )  # fmt: skip
    ghi = hours.arrays["ghi"]
    day = (clear > ENVELOPE[1]) & ~np.isnan(ghi)
    if not day.any():
        return None, []
    above = day & (np.nan_to_num(ghi) > ENVELOPE[0] * clear + ENVELOPE[1])
    share = float(above.sum() / day.sum())
    findings = []
    if share > PASSED:
        at = hours.start + 3600.0 * np.flatnonzero(above)[:3]
        rows = np.searchsorted(table.start, at) + table.first_row
        words = f"sun above a clear sky's in {share:.0%} of daylight hours: are its units right?"
        findings.append(Finding(words, int(above.sum()), tuple(int(r) for r in rows)))
    bright = day & (clear > 200.0)
    if bright.sum() >= 24 and np.quantile(ghi[bright] / clear[bright], 0.98) < DIM:
        findings.append(Finding("sun never reaches half a clear sky's: are its units right?"))
    return share, findings


def consistency_notes(weather: Weather) -> tuple[str, ...]:
    """Return what is noted beside an answer where a weather's sun cannot be its place's.

    Taken from the cache where it was computed before; nothing for a synthetic weather.
    """
    if weather.synthetic:
        return ()
    found = _found(weather)
    notes = shift_words(_shift(found))
    closure, dark = float(found["closure"]), int(found["dark"])
    if closure > CLOSURE_ALLOWED and not notes:
        notes.append(
            f"the weather's sun does not fit the sun's height ({closure:.0f} W/m² apart): look at "
            "the file's time zone, stamps and place"
        )
    if dark:
        notes.append(f"the weather has sun in {dark} hours of night")
    station = Station("", 0.0, weather.longitude, 0.0, weather.utc_offset_h)
    return tuple(notes + [f"the file's clock is odd: {text}" for text in zone_words(station)])


def check_clock(weather: Weather) -> None:
    """Refuse a weather whose sun is hours away from its place's: no wall would get its own light.

    Raises
    ------
    WeatherError
        for a sun more than `CLOCK_REFUSED` minutes off
    """
    if weather.synthetic:
        return
    refuse_shift(_shift(_found(weather)), weather.name)


def refuse_shift(shift: SunShift | None, name: str) -> None:
    """Refuse a shift beyond `CLOCK_REFUSED`; ``name`` is the file's or the place's.

    Raises
    ------
    WeatherError
    """
    if shift is not None and shift.off and abs(shift.minutes) > CLOCK_REFUSED:
        raise WeatherError(
            name,
            found=f"a sun {abs(shift.minutes) / 60:.1f} h {shift.way} against its place's",
            allowed=f"{CLOCK_REFUSED / 60:.0f} h at most: look at time zone, stamps and longitude",
        )


def _found(weather: Weather) -> Arrays:
    return cached_arrays("suncheck", weather.key, lambda: _of_weather(weather))


def _shift(found: Arrays) -> SunShift | None:
    told = found["shift"]
    return SunShift(*(float(v) for v in told)) if told.size else None


def _of_weather(weather: Weather) -> Arrays:
    from vanclimate.site.sun import horizontal_residual, sun_position

    begin = weather.start.timestamp() + 3600.0 * np.arange(weather.n, dtype=np.float64)
    shift = sun_shift(begin, 3600.0, weather.ghi, weather.latitude, weather.longitude)
    gap = horizontal_residual(weather)
    with np.errstate(invalid="ignore"):
        maybe = (sun_position(weather).sunlit == 0.0) & (weather.ghi > NIGHT_SUN)
    dark = 0
    if maybe.any():
        place = (weather.latitude, weather.longitude)
        ends = (_zenith(begin[maybe] + edge, *place) for edge in (0.0, 3600.0))
        dark = int((np.fmin(*ends) > DARK).sum())
    told = [] if shift is None else [shift.minutes, shift.correlation, shift.days]
    return {
        "shift": np.array(told, dtype=float),
        "closure": np.array(_worst_month(gap, begin)[0]),
        "dark": np.array(dark),
    }
