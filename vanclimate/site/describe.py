"""What a place's weather is like: months, hot and cold nights, degree-days, design temperatures.

Years are read one at a time, and a day of each is kept as a few numbers. What does not belong here:
wording, and whether a file makes sense (``suncheck``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from datetime import date, datetime, timedelta
from math import floor

import numpy as np

from vanclimate.site.clearsky import clear_sky
from vanclimate.site.clock import FloatArray, IntArray, fixed_zone
from vanclimate.site.record import Record
from vanclimate.site.suncheck import consistency_notes
from vanclimate.site.weather import Weather

NIGHT = (22, 7)
"""Hours of standard time between which a night's mean is taken."""

BASE = 18.3
"""Temperature from which degree-days count [°C]: 65 °F, common practice of published tables."""

CLEAR = 0.8
"""Share of the clear sky's light from which an hour counts as clear; assumed."""

DAYLIGHT = 20.0
"""Clear-sky light [W/m2] from which an hour counts as daylight; assumed."""

HUNDRED = 100
"""Nights of a month from which there is a night that 1 % exceed; fewer have a hottest one."""

IN_A_ROW = 3
HOUR = timedelta(hours=1)
LEAST_HOURS = 20
"""Hours of a day that must be there for its mean; common practice, no source."""

WHOLE_YEAR = 350
"""Days from which there is a year's sum; common practice, no source."""


@dataclass(frozen=True)
class Month:
    """A month of all years: means, and a night as hot or as cold as 1 % of its nights.

    Temperatures [°C]: ``mean``, ``low`` and ``high`` (means of the days' lowest and highest hour),
    ``hot_night`` and ``cold_night`` (means from 22:00 to 07:00), ``dew_point``. ``wind`` [m/s at
    10 m], ``sun`` on a level plane [kWh/m2 a day], ``clear`` share of daylight hours that are
    clear, ``nights`` how many were compared. NaN where nothing is known.
    """

    month: int
    mean: float
    low: float
    high: float
    hot_night: float
    cold_night: float
    dew_point: float
    wind: float
    sun: float
    clear: float
    nights: int


@dataclass(frozen=True)
class InARow:
    """Nights or days in a row: the date the first begins on, how many, and their mean [°C]."""

    first: date
    count: int
    mean: float


@dataclass(frozen=True)
class Annual:
    """Figures of whole years, as published tables give them.

    Attributes
    ----------
    heating, cooling : degree-days of a year from the means of the days' 24 hours, base `BASE`
        [K day]
    exceeded : dry bulb exceeded in 0.4 % and 1 % of all hours, then in 99 % and 99.6 % [°C]
    """

    heating: float
    cooling: float
    exceeded: tuple[float, float, float, float]


@dataclass(frozen=True)
class Description:
    """A record and what it is like.

    Attributes
    ----------
    record : the place and its source
    first, last : first and last day of data; of a typical year on its nominal calendar
    hours, missing : hours of data, and how many of them lack air temperature or sun
    months : those of which there is data
    hot_nights, cold_days : the hottest and coldest spell, None where no three are in a row
    annual : None for less than a year
    notes : what was derived, filled or clipped
    """

    record: Record
    first: date
    last: date
    hours: int
    missing: int
    months: tuple[Month, ...]
    hot_nights: InARow | None
    cold_days: InARow | None
    annual: Annual | None
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Days:
    """Days one after the other, a number each; ``day`` counts from 0001-01-01; shape (days,)."""

    day: IntArray
    mean: FloatArray
    low: FloatArray
    high: FloatArray
    night: FloatArray
    dew_point: FloatArray
    wind: FloatArray
    sun: FloatArray
    clear: FloatArray
    daylight: FloatArray
    hours: FloatArray
    missing: FloatArray


def describe(record: Record) -> Description:
    """Return what a record's weather is like.

    Notes
    -----
    A night belongs to the day it begins on. Its mean is that of the hours from 22:00 to 07:00 of
    standard time. The night that 1 % exceed is taken among all nights of the month in all years,
    with straight lines between them; with fewer than 100 nights it is the hottest, and the coldest.
    The clear sky is computed for one year and serves the others: a leap day moves the sun by less
    than 0.4 degrees.
    """
    parts, temperatures, notes = [], [], list(record.notes)
    skies: dict[float, FloatArray] = {}
    for weather, kept in _years(record):
        days, air = _days(weather, kept, _clear_sky(record, weather, skies))
        parts.append(days)
        temperatures.append(air)
        notes += [*weather.notes, *consistency_notes(weather)]
    days = _Days(**{f.name: np.concatenate([getattr(p, f.name) for p in parts])
                    for f in fields(_Days)})  # fmt: skip
    month_of = np.array([date.fromordinal(int(d)).month for d in days.day])
    found = [_month(m, days, month_of == m) for m in range(1, 13) if (month_of == m).any()]
    whole = days.day[days.hours > 1.0]  # an hour that begins half past is no day
    return Description(
        record=record,
        first=date.fromordinal(int(whole[0])),
        last=date.fromordinal(int(whole[-1])),
        hours=int(days.hours.sum()),
        missing=int(days.missing.sum()),
        months=tuple(found),
        hot_nights=_spell(days.day, days.night, hottest=True),
        cold_days=_spell(days.day, days.mean, hottest=False),
        annual=_annual(days, np.concatenate(temperatures)),
        notes=tuple(dict.fromkeys(notes)),
    )


def _years(record: Record) -> Iterator[tuple[Weather, int]]:
    """Yield a year's weather and the hours of it that are the year's own.

    A real year comes with the morning after it, so that its last night is whole; a typical year
    with its own first morning.
    """
    if not record.real:
        whole = record.whole()
        yield whole, whole.n
        return
    morning = timedelta(hours=NIGHT[1])
    for year in record.asked or record.years:
        first = datetime(year, 1, 1, tzinfo=fixed_zone(record.utc_offset_h))
        end = first.replace(year=year + 1)
        weather = record.span(first, end + morning)
        yield weather, min(weather.n, round((end - weather.start).total_seconds() / 3600.0))


def _clear_sky(record: Record, weather: Weather, skies: dict[float, FloatArray]) -> FloatArray:
    """Return a clear sky's light in each hour, from a year's that is computed once."""
    if record.synthetic:
        begin, offset, length = weather.start, 0, weather.n
    else:
        # hours may begin half past: the year's first one then lies in the evening before
        new_year = (weather.start + HOUR).replace(month=1, day=1, hour=0, minute=0, second=0)
        offset = floor((weather.start - new_year) / HOUR) + 1
        begin, length = weather.start - offset * HOUR, 368 * 24
    phase = begin.timestamp() % 3600.0
    if phase not in skies:
        skies[phase] = clear_sky(
            begin.timestamp(),
            length,
            latitude=record.latitude,
            longitude=record.longitude,
            elevation=record.elevation,
        )
    return skies[phase][offset : offset + weather.n]


def _days(weather: Weather, kept: int, clear: FloatArray) -> tuple[_Days, FloatArray]:
    """Return the days of a year, and its hours' temperatures, shape (hours,)."""
    points = {
        name: 0.5 * (values[:-1] + values[1:])
        for name in ("temp_air", "temp_dew", "wind_speed")
        for values in (getattr(weather, name),)
    }
    air, ghi = points["temp_air"], weather.ghi
    lead = weather.start.hour  # hours of the first day that are not there
    count = -(-(lead + kept) // 24)
    first = weather.start.date().toordinal()

    def by_day(values: FloatArray, length: int = kept) -> FloatArray:
        table = np.full(24 * count, np.nan)
        table[lead : lead + length] = values[:length]
        return table.reshape(count, 24)

    air_by_day, ghi_by_day, clear_by_day = by_day(air), by_day(ghi), by_day(clear)
    lit = (clear_by_day > DAYLIGHT) & ~np.isnan(ghi_by_day)
    with np.errstate(invalid="ignore"):
        is_clear = lit & (ghi_by_day > CLEAR * clear_by_day)
    there = by_day(np.ones(kept))
    lost = (there == 1.0) & (np.isnan(air_by_day) | np.isnan(ghi_by_day))
    days = _Days(
        day=first + np.arange(count),
        mean=_mean(air_by_day),
        low=_extreme(air_by_day, np.fmin),
        high=_extreme(air_by_day, np.fmax),
        night=_nights(air, lead, count, wraps=weather.typical),
        dew_point=_mean(by_day(points["temp_dew"])),
        wind=_mean(by_day(points["wind_speed"])),
        sun=_mean(ghi_by_day) * 24.0 / 1000.0,
        clear=is_clear.sum(axis=1).astype(float),
        daylight=lit.sum(axis=1).astype(float),
        hours=(there == 1.0).sum(axis=1).astype(float),
        missing=lost.sum(axis=1).astype(float),
    )
    # as read, like the observations behind published tables
    return days, weather.temp_air[:kept]


def _mean(table: FloatArray) -> FloatArray:
    """Return the mean of each day of which enough hours are there, shape (days,)."""
    there = ~np.isnan(table)
    enough = there.sum(axis=1) >= LEAST_HOURS
    total = np.where(there, table, 0.0).sum(axis=1)
    mean: FloatArray = np.where(enough, total / np.maximum(there.sum(axis=1), 1), np.nan)
    return mean


def _extreme(table: FloatArray, which: np.ufunc) -> FloatArray:
    enough = (~np.isnan(table)).sum(axis=1) >= LEAST_HOURS
    found: FloatArray = np.where(enough, which.reduce(table, axis=1), np.nan)
    return found


def _nights(air: FloatArray, lead: int, count: int, wraps: bool) -> FloatArray:
    """Return the mean of the night that begins on each day; NaN where an hour of it is missing."""
    begin, end = NIGHT
    length = 24 - begin + end
    first = 24 * np.arange(count) + begin - lead
    index = first[:, None] + np.arange(length)
    if wraps:
        index = index % len(air)
    outside = (index < 0) | (index >= len(air))
    values = np.where(outside, np.nan, air[np.clip(index, 0, len(air) - 1)])
    mean: FloatArray = values.mean(axis=1)
    return mean


def _month(month: int, days: _Days, own: FloatArray) -> Month:
    def mean(values: FloatArray) -> float:
        return float(np.nanmean(values[own])) if (~np.isnan(values[own])).any() else float("nan")

    nights = days.night[own]
    nights = nights[~np.isnan(nights)]
    hot = cold = float("nan")
    if nights.size:
        tail = 0.01 if nights.size >= HUNDRED else 0.0
        cold, hot = (float(q) for q in np.quantile(nights, [tail, 1.0 - tail]))
    daylight = days.daylight[own].sum()
    return Month(
        month=month,
        mean=mean(days.mean),
        low=mean(days.low),
        high=mean(days.high),
        hot_night=hot,
        cold_night=cold,
        dew_point=mean(days.dew_point),
        wind=mean(days.wind),
        sun=mean(days.sun),
        clear=float(days.clear[own].sum() / daylight) if daylight else float("nan"),
        nights=int(nights.size),
    )


def _spell(day: IntArray, values: FloatArray, hottest: bool) -> InARow | None:
    """Return the hottest or coldest run of days that follow one another."""
    last = len(day) - IN_A_ROW + 1
    if last < 1:
        return None
    means = sum(values[i : last + i] for i in range(IN_A_ROW)) / IN_A_ROW
    means = np.where(day[IN_A_ROW - 1 :] - day[:last] == IN_A_ROW - 1, means, np.nan)
    if np.isnan(means).all():
        return None
    at = int(np.nanargmax(means) if hottest else np.nanargmin(means))
    return InARow(date.fromordinal(int(day[at])), IN_A_ROW, float(means[at]))


def _annual(days: _Days, air: FloatArray) -> Annual | None:
    """Return a year's figures, or None where there is less than a year."""
    mean = days.mean[~np.isnan(days.mean)]
    if len(mean) < WHOLE_YEAR:
        return None
    years = len(mean) / 365.0
    air = air[~np.isnan(air)]
    hot, warm, cool, cold = (float(np.quantile(air, q)) for q in (0.996, 0.99, 0.01, 0.004))
    return Annual(
        heating=float(np.maximum(BASE - mean, 0.0).sum() / years),
        cooling=float(np.maximum(mean - BASE, 0.0).sum() / years),
        exceeded=(hot, warm, cool, cold),
    )
