"""Which nights are asked about, and the weather of each spell of them.

A spell is the month or the stay in one year; of a typical year, or of made-up days, there is one.
What does not belong here: running a night (``scene``) and judging it (``judge``).
"""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import ceil

import numpy as np

from vanclimate.errors import (
    NoHoursError,
    NoYearsError,
    OptionError,
    UnknownSiteError,
    WeatherError,
)
from vanclimate.simulate.plan import bedtime_on
from vanclimate.site.clock import fixed_zone
from vanclimate.site.record import Record, record_of, spans
from vanclimate.site.sky import MEASURED, model_of
from vanclimate.site.spot import Spot, at_spot
from vanclimate.site.weather import Weather, window_edges
from vanclimate.site.years import MONTHS
from vanclimate.van.place import DesignDay, DesignWeek, Site, read_calendar_day
from vanclimate.van.sheet import Sheet

BEFORE = timedelta(hours=73)  # the longest warm-up, and the hour that it begins in
AFTER = timedelta(hours=25)  # from bedtime: the night and the day after it
NEEDED = ("temp_air", "temp_dew", "pressure", "wind_speed", "cloud_total", "cloud_opaque")


@dataclass(frozen=True)
class Spell:
    """The nights of one year that are asked about.

    Attributes
    ----------
    year : in which they begin; None of a typical year and of made-up days
    nights : their bedtimes
    left_out : how many more are asked about, of which there is no whole data
    bare : brings the weather that covers them, as the record has it
    spot : what the van's own spot adds
    """

    year: int | None
    nights: tuple[datetime, ...]
    left_out: int
    bare: Callable[[], Weather]
    spot: Spot

    def weather(self, spot: Spot | None = None) -> Weather:
        """Return the weather at the van's spot, or at another."""
        return at_spot(self.bare(), spot or self.spot)


@dataclass(frozen=True)
class Season:
    """All spells of an answer."""

    words: str  # 'July' or '12 July to 26 July'
    record: Record
    spells: tuple[Spell, ...]

    @property
    def years(self) -> tuple[int, ...]:
        """The years of real data that hold a night; empty where there are none."""
        return tuple(s.year for s in self.spells if s.year is not None and s.nights)

    @property
    def years_words(self) -> str:
        """The years as a reader says them."""
        return spans(self.years)

    @property
    def left_out(self) -> int:
        """Nights of which there is no whole data."""
        return sum(spell.left_out for spell in self.spells)


def record_for(sheet: Sheet) -> Record:
    """Return the weather record of a sheet's site.

    Raises
    ------
    SheetError
        where the site is none, or its made-up days cannot be
    WeatherError
        for a bad file, or years that the site does not have
    """
    from vanclimate.site.sites import find_record

    site = sheet.site
    if site.place is None:
        return record_of(_made_up(sheet, site))
    try:
        fill = site.gaps == "fill"
        return find_record(site.place, sheet.folder, site.years, fill, site.elevation)
    except UnknownSiteError as error:
        sheet.refuse("site", found=error.found, allowed=error.allowed or "", hint=error.hint)
    except NoYearsError as error:
        key = "site.years" if site.years is not None else "site"
        sheet.refuse(key, found=error.found, allowed=error.allowed or "", hint=error.hint)


def _made_up(sheet: Sheet, site: Site) -> Weather:
    from vanclimate.site.designday import design_day, design_week

    days: DesignDay | DesignWeek | None = site.design_day or site.design_week
    assert days is not None, "a site is one of the three"
    try:
        if isinstance(days, DesignDay):
            return design_day(
                low=days.low, high=days.high, latitude=days.latitude, longitude=days.longitude,
                elevation=days.elevation, relative_humidity=days.humidity, date=days.date,
            )  # fmt: skip
        return design_week(
            lows=days.lows, highs=days.highs, latitude=days.latitude, longitude=days.longitude,
            elevation=days.elevation, relative_humidity=days.humidity, date=days.date,
        )  # fmt: skip
    except OptionError as error:
        section = "design_day" if site.design_day else "design_week"
        sheet.refuse(
            f"site.{section}.{error.option}",
            found=error.found, allowed=error.allowed or "", hint=error.hint,
        )  # fmt: skip


def spot_of(sheet: Sheet, record: Record) -> Spot:
    """Return what the sheet says of the van's own spot."""
    site = sheet.site
    height = record.place_elevation if site.elevation is None else site.elevation
    return Spot(height, site.height_correction, site.terrain, site.night_air)


def season_of(sheet: Sheet, record: Record, after: timedelta = AFTER) -> Season:
    """Return the nights that a sheet asks about, as far as the record covers them.

    A night counts where the data hold the three days before it, and all until ``after`` bedtime.

    Raises
    ------
    WeatherError
        where it covers none of them
    """
    words = MONTHS[sheet.month - 1] if sheet.stay is None else sheet.stay.words
    spot = spot_of(sheet, record)
    if not record.real:
        return Season(words, record, (_only_spell(sheet, record, spot),))
    spells = [_spell(sheet, record, spot, year, after) for year in record.asked or record.years]
    if not any(spell.nights or spell.left_out for spell in spells):
        years = spans(record.asked or record.years)
        raise WeatherError(record.name, found=f"no night of {words}", allowed=f"nights in {years}")
    if not record.asked:
        spells = _without_bare_ends(spells)
    if not any(spell.nights for spell in spells):
        raise WeatherError(
            record.name,
            found=f"no whole night of {words}",
            allowed=f"nights with the three days before and the day after them{_covers(record)}",
        )
    return Season(words, record, tuple(spell for spell in spells if spell.nights or spell.left_out))


def _covers(record: Record) -> str:
    """Return from when to when a record has hours, where it is short."""
    if len(record.years) > 2:
        return f" in {spans(record.years)}"
    ends = [record.load(year) for year in record.years]
    zone = fixed_zone(record.utc_offset_h)
    first = datetime.fromtimestamp(ends[0].start, zone)
    last = datetime.fromtimestamp(ends[-1].start + 3600 * ends[-1].n, zone)
    return f", from {first:%Y-%m-%d} to {last:%Y-%m-%d}"


def _without_bare_ends(spells: list[Spell]) -> list[Spell]:
    """Return spells without those at both ends that have no whole night.

    A record seldom begins and ends with a spell: a year of UTC has some hours of the year before or
    after by the place's clock, and nobody asked about that one.
    """
    whole = [i for i, spell in enumerate(spells) if spell.nights]
    return spells[whole[0] : whole[-1] + 1] if whole else []


def _only_spell(sheet: Sheet, record: Record, spot: Spot) -> Spell:
    bare = record.whole()
    if bare.synthetic:
        week = sheet.site.design_week
        first = bare.start.date()
        dates = [first + timedelta(days=i) for i in range(len(week.lows) if week else 1)]
    else:
        # a typical year has no 29 February
        dates = [d for d in _dates(sheet, bare.start.year) if (d.month, d.day) != (2, 29)]
    if not dates:
        allowed = "days of a typical year: no 29 February, and no year"
        raise WeatherError(record.name, found=f"a stay from {sheet.stay}", allowed=allowed)
    zone = fixed_zone(record.utc_offset_h)
    return Spell(None, tuple(bedtime_on(sheet, zone, d) for d in dates), 0, lambda: bare, spot)


def _spell(sheet: Sheet, record: Record, spot: Spot, year: int, after: timedelta) -> Spell:
    """Return the nights of one year; a night with a hole in its data is left out."""
    zone = fixed_zone(record.utc_offset_h)
    nights = [bedtime_on(sheet, zone, d) for d in _dates(sheet, year)]

    def bare() -> Weather:
        return record.span(nights[0] - BEFORE, nights[-1] + after)

    whole: tuple[datetime, ...] = ()
    if nights:
        with suppress(NoHoursError):  # nothing at all of this year's spell
            found = bare()
            measured = model_of(found, sheet.site.sky) == MEASURED
            whole = tuple(night for night in nights if _covered(found, night, measured, after))
    return Spell(year, whole, len(nights) - len(whole), bare, spot)


def _covered(weather: Weather, bedtime: datetime, measured: bool, after: timedelta) -> bool:
    """Return whether a night, its warm-up and what comes ``after`` are all there."""
    return whole_between(weather, bedtime - BEFORE, bedtime + after, measured)


def whole_between(weather: Weather, first: datetime, last: datetime, measured: bool) -> bool:
    """Return whether a span of real years is all there.

    Cloud always counts, for the sky or its alternative; longwave where it is ``measured`` sky.
    """
    if first < weather.start or last > weather.time(weather.n):
        return False
    edges = window_edges(weather, first, ceil((last - first).total_seconds() / 3600))
    hours = edges[:-1]
    points = [getattr(weather, name) for name in NEEDED]
    if measured and weather.longwave is not None:
        points.append(weather.longwave)
    means = (weather.ghi, weather.dni, weather.dhi)
    return all(np.isfinite(values[edges]).all() for values in points) and all(
        np.isfinite(values[hours]).all() for values in means
    )


def _dates(sheet: Sheet, year: int) -> list[date]:
    """Return the evenings asked about that begin in a year; none where the stay has another."""
    if sheet.stay is not None:
        span = sheet.stay.dates_in(year)
        if span[0].year != year:
            return []
        first, end = span
    else:
        first = date(year, sheet.month, 1)
        end = (first + timedelta(days=32)).replace(day=1)
    return [first + timedelta(days=i) for i in range((end - first).days)]


def given_nights(sheet: Sheet, season: Season, when: str) -> list[tuple[Spell, datetime]]:
    """Return the nights of a day given as in ISO 8601: one, or one of each year without a year.

    Raises
    ------
    OptionError
        for a day that none of the years has
    """
    day = read_calendar_day(when)
    found = []
    for spell in season.spells:
        for night in spell.nights:
            evening = night - timedelta(days=1) if sheet.people.bedtime < 720 else night
            of_year = spell.year is None or day.year in (None, evening.year)
            if of_year and (evening.month, evening.day) == (day.month, day.day):
                found.append((spell, night))
    if not found:
        held = season.words if not season.years else f"{season.words} in {season.years_words}"
        if season.record.synthetic is not None:
            held = " and ".join(f"{night:%m-%d}" for night in season.spells[0].nights[:31])
            raise OptionError("--night", when, f"a made-up night: {held}")
        raise OptionError("--night", when, f"a night of {held} with whole data")
    return found
