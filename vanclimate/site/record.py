"""What is known of a place's weather: a typical year, a synthetic run of days, or real years.

Real years are fetched from disk one at a time, so that many years cost the memory of one. What does
not belong here: where a record is found (``sites``), and what the van's own spot adds (``spot``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from math import ceil, floor

import numpy as np

from vanclimate.errors import NoHoursError, NoYearsError
from vanclimate.site.clock import HOURS_OF_YEAR, FloatArray, fixed_zone, nominal_start
from vanclimate.site.table import Hours
from vanclimate.site.weather import MEANS, POINTS, Weather
from vanclimate.site.years import write_years

HOUR = 3600


@dataclass(frozen=True)
class Record:
    """A place and its series.

    Attributes
    ----------
    name, latitude [deg], longitude [deg, east positive], elevation [m, of the data] : the place
    utc_offset_h : standard time's lead over UTC [h]
    source : service or file, in words
    digest : of everything in it
    load : the hours of a calendar year, or of the typical year for None
    years : calendar years of which there is data; empty for a typical year and a synthetic one
    asked : those of the years that an answer is about; empty for all of them
    source_years : the year of each month of a typical year, January first
    synthetic : the weather itself, where it comes from a formula
    place_elevation : height [m] of the place that was asked for, where it is known
    """

    name: str
    latitude: float
    longitude: float
    elevation: float
    utc_offset_h: float
    source: str
    digest: str
    load: Callable[[int | None], Hours]
    years: tuple[int, ...] = ()
    source_years: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()
    licence: str = ""
    synthetic: Weather | None = None
    place_elevation: float | None = None
    asked: tuple[int, ...] = ()

    @property
    def typical(self) -> bool:
        """Whether it is a year put together of months."""
        return not self.years and self.synthetic is None

    @property
    def real(self) -> bool:
        """Whether it holds calendar years."""
        return bool(self.years)

    def chosen(self, years: Iterable[int]) -> Record:
        """Return the record asked about some of its years only; the others still give edges.

        Raises
        ------
        NoYearsError
            for a year that it does not hold
        """
        wanted = tuple(sorted(set(years)))
        missing = [year for year in wanted if year not in self.years]
        if missing:
            held = spans(self.years) if self.years else "a typical year only"
            raise NoYearsError(self.name, found=f"no data of {spans(missing)}", allowed=held)
        return replace(self, asked=wanted)

    def whole(self) -> Weather:
        """Return everything as one weather; of real years, all of them in memory."""
        if self.synthetic is not None:
            return self.synthetic
        if self.typical:
            return self._typical()
        first = datetime(self.years[0], 1, 1, tzinfo=fixed_zone(self.utc_offset_h))
        return self.span(first, first.replace(year=self.years[-1] + 1))

    def span(self, first: datetime, last: datetime) -> Weather:
        """Return the hours of real years from `first` to `last`, as far as there are any.

        Hours that no chosen year holds are NaN between those that are there.

        Raises
        ------
        NoHoursError
            where no hour of the span is there
        """
        begin, end = first.timestamp(), last.timestamp()
        day = timedelta(days=1)
        near = range((first - day).astimezone(UTC).year, (last + day).astimezone(UTC).year + 1)
        parts = [self.load(year) for year in near if year in self.years]
        joined = join(parts, begin, end) if parts else None
        if joined is None:
            found = f"no data from {first:%Y-%m-%d} to {last:%Y-%m-%d}"
            raise NoHoursError(self.name, found=found, allowed=spans(self.years))
        start = datetime.fromtimestamp(joined.start, fixed_zone(self.utc_offset_h))
        years = spans(sorted({start.year, (last - timedelta(seconds=1)).year} & set(self.years)))
        digest = f"{self.digest}:{joined.start}:{joined.n}"
        return self._weather(joined, start, f"hours measured or modelled in {years}", digest)

    def _typical(self) -> Weather:
        """Return the typical year, its first hour the one in which the local year begins."""
        hours = self.load(None)
        start = nominal_start(self.utc_offset_h)
        behind = (hours.start - start.timestamp()) / HOUR
        shift = floor(behind) % HOURS_OF_YEAR
        # in zones of half an hour the data's hours begin half past
        start += timedelta(hours=behind - floor(behind))
        rolled = Hours(int(start.timestamp()), _rolled(hours.arrays, shift), hours.notes)
        period = f"typical year, months from {min(self.source_years)}–{max(self.source_years)}"
        if not self.source_years:
            period = "typical year"
        return self._weather(rolled, start, period, self.digest)

    def _weather(self, hours: Hours, start: datetime, period: str, digest: str) -> Weather:
        arrays = {name: hours.arrays[name] for name in (*POINTS, *MEANS)}
        notes = tuple(dict.fromkeys((*self.notes, *hours.notes)))
        return Weather(
            name=self.name, latitude=self.latitude, longitude=self.longitude,
            elevation=self.elevation, utc_offset_h=self.utc_offset_h, source=self.source,
            period=period, typical=self.typical, synthetic=False, notes=notes, digest=digest,
            start=start, n=hours.n, source_years=self.source_years, licence=self.licence,
            longwave=hours.arrays.get("longwave"),
            **arrays,
        )  # fmt: skip


def record_of(weather: Weather) -> Record:
    """Return a weather as a record of its own."""
    hours = hours_of(weather)
    years: tuple[int, ...] = ()
    if not weather.typical and not weather.synthetic:
        years = tuple(range(weather.start.year, weather.time(weather.n - 1).year + 1))
    pieces = by_year(hours, weather.utc_offset_h) if years else {}
    return Record(
        weather.name, weather.latitude, weather.longitude, weather.elevation,
        weather.utc_offset_h, weather.source, weather.digest,
        lambda year: hours if year is None else pieces[year],
        years, weather.source_years, weather.notes, weather.licence,
        weather if weather.synthetic else None,
    )  # fmt: skip


def hours_of(weather: Weather) -> Hours:
    """Return a weather's arrays."""
    arrays = {name: getattr(weather, name) for name in (*POINTS, *MEANS)}
    if weather.longwave is not None:
        arrays["longwave"] = weather.longwave
    return Hours(int(weather.start.timestamp()), arrays)


def by_year(hours: Hours, utc_offset_h: float) -> dict[int, Hours]:
    """Return hours cut at the New Years of standard time."""
    zone = fixed_zone(utc_offset_h)
    last = datetime.fromtimestamp(hours.start + HOUR * (hours.n - 1), zone).year
    pieces: dict[int, Hours] = {}
    year = datetime.fromtimestamp(hours.start, zone).year
    while year <= last:
        begin, end = (datetime(y, 1, 1, tzinfo=zone).timestamp() for y in (year, year + 1))
        piece = join([hours], begin, end)
        if piece is not None:
            pieces[year] = piece
        year += 1
    return pieces


def join(parts: list[Hours], begin: float, end: float) -> Hours | None:
    """Return the hours of all parts that lie between two moments [s since 1970], on one grid.

    The edge that two parts share is the mean of what both say of it: a part that was laid on hours
    alone knows its own end at most half an hour off. Hours that no part holds are NaN.
    """
    parts = sorted(parts, key=lambda part: part.start)
    grid = parts[0].start
    first = max(begin, grid)
    last = min(end, max(part.start + HOUR * part.n for part in parts))
    start = grid + HOUR * floor((first - grid) / HOUR)
    n = ceil((last - start) / HOUR)
    if n < 1:
        return None
    # longwave counts only where every part that is used measured it
    used = [p for p in parts if p.start < start + HOUR * n and p.start + HOUR * p.n > start]
    names = set.intersection(*(set(p.arrays) for p in used))
    arrays: dict[str, FloatArray] = {}
    for name in names:
        length = n if name in MEANS else n + 1
        total, count = np.zeros(length), np.zeros(length)
        for part in used:
            offset = round((part.start - start) / HOUR)
            values = part.arrays[name]
            low, high = max(0, offset), min(length, offset + len(values))
            piece = values[low - offset : high - offset]
            there = ~np.isnan(piece)
            total[low:high] += np.where(there, piece, 0.0)
            count[low:high] += there
        with np.errstate(invalid="ignore", divide="ignore"):
            arrays[name] = total / count
        if name == "wind_direction":  # two directions have no mean on a dial
            arrays[name] = np.nan_to_num(np.mod(arrays[name], 360.0))
    notes = tuple(dict.fromkeys(note for part in used for note in part.notes))
    return Hours(int(start), arrays, notes)


def _rolled(arrays: dict[str, FloatArray], shift: int) -> dict[str, FloatArray]:
    """Return a year's arrays begun `shift` hours earlier, wrapped round."""
    if shift == 0:
        return arrays
    rolled = {}
    for name, values in arrays.items():
        turned = np.roll(values[:HOURS_OF_YEAR], shift)
        rolled[name] = turned if name in MEANS else np.append(turned, turned[0])
    return rolled


def spans(years: Iterable[int]) -> str:
    """Write years as spans for a reader.

    >>> spans([2005, 2006, 2007, 2010])
    '2005–2007, 2010'
    """
    return write_years(tuple(sorted(years))).replace("-", "–").replace(",", ", ")
