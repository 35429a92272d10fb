"""A trip's stops as spans of time at places: when the van drives, arrives, stays and leaves.

Each stop goes by the standard time of its own place. What does not belong here: what a stop may say
(``van.trip``), and what is run there (``halts``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone

from vanclimate.answers.trip.places import has_year, refuse
from vanclimate.simulate.plan import bedtime_on
from vanclimate.site.clock import fixed_zone
from vanclimate.site.record import Record
from vanclimate.site.years import MONTHS, NOMINAL_YEAR
from vanclimate.units import show, show_clock
from vanclimate.van.place import Day
from vanclimate.van.sheet import Sheet
from vanclimate.van.trip import MOST_NIGHTS, Stop

MOST_DAYS = 365
AHEAD = 183  # days; a day without a year that lies further ahead lies behind
LAST_MORNING = 600  # minutes; a stop from which no drive begins ends at ten, assumed


@dataclass(frozen=True)
class Halt:
    """A stop with its moments, all in its place's standard time.

    Attributes
    ----------
    index : of the stop, from 0
    sheet : the trip's, at this place
    begins : the drive to it; where there is none, when it arrives
    ends : when the drive to the next stop begins, or in its last morning
    first, last : days of arrival and departure
    apart_s : time [s] since the stop before ended, which nobody follows
    """

    also_told = ("place", "nights")

    index: int
    stop: Stop
    sheet: Sheet
    record: Record
    begins: datetime
    arrives: datetime
    ends: datetime
    first: date
    last: date
    apart_s: float

    @property
    def place(self) -> str:
        """Name of the place."""
        return self.record.name

    @property
    def nights(self) -> int:
        """How many nights the stop has."""
        return (self.last - self.first).days

    def bedtimes(self, sheet: Sheet) -> list[datetime]:
        """Return the stop's bedtimes by a sheet's people."""
        zone = fixed_zone(self.record.utc_offset_h)
        days = [self.first + timedelta(days=i) for i in range(self.nights)]
        return [bedtime_on(sheet, zone, day) for day in days]


def halts_of(
    sheet: Sheet, there: Sequence[Sheet], records: Sequence[Record], year: int | None
) -> tuple[Halt, ...]:
    """Return a trip's stops with their moments, begun in a year; None for the one that it has.

    Raises
    ------
    SheetError, OptionError
        where the stops do not follow each other
    """
    dates = _dates(sheet, year or NOMINAL_YEAR)
    zones = [fixed_zone(record.utc_offset_h) for record in records]
    arrives = [
        datetime(first.year, first.month, first.day, tzinfo=zone) + timedelta(minutes=stop.at)
        for stop, zone, (first, _) in zip(sheet.trip, zones, dates, strict=True)
    ]
    begins = [
        moment - timedelta(seconds=stop.drive)
        for stop, moment in zip(sheet.trip, arrives, strict=True)
    ]
    ends = [
        _end(sheet, index, last, begins[index + 1] if index + 1 < len(dates) else None, zone)
        for index, ((_, last), zone) in enumerate(zip(dates, zones, strict=True))
    ]
    found = []
    for i, stop in enumerate(sheet.trip):
        if arrives[i] > bedtime_on(sheet, zones[i], dates[i][0]):
            allowed = f"a time up to bedtime, {show_clock(sheet.people.bedtime)}"
            refuse(sheet, i, "at", f"an arrival at {show_clock(stop.at)}", allowed)
        apart = (begins[i] - ends[i - 1]).total_seconds() if i else 0.0
        found.append(Halt(i, stop, there[i], records[i], begins[i], arrives[i], ends[i],
                          *dates[i], apart))  # fmt: skip
    return tuple(found)


def _end(sheet: Sheet, index: int, last: date, leaves: datetime | None, zone: timezone) -> datetime:
    """Return when a stop ends: as the drive to the next begins that day, else in the morning."""
    midnight = datetime(last.year, last.month, last.day, tzinfo=zone)
    bedtime = bedtime_on(sheet, zone, last - timedelta(days=1))
    woken = bedtime + timedelta(minutes=sheet.people.sleep_minutes)
    usual = max(midnight + timedelta(minutes=LAST_MORNING), woken)
    if leaves is None:
        return usual
    leaves = leaves.astimezone(zone)
    if leaves < woken:
        stop = sheet.trip[index + 1]
        drive = show(stop.drive, "duration")
        earliest = woken + timedelta(seconds=stop.drive)
        said = f"'{'at' if stop.option else 'at:'} {earliest:%H:%M}'"
        refuse(
            sheet, index + 1, "drive", f"{drive}, from {leaves:%H:%M} on {_words(leaves.date())}",
            f"a drive that begins after the last night of stop {index + 1}, from "
            f"{woken:%H:%M} on {_words(woken.date())}",
            f"arrive at {earliest:%H:%M} or later: {said}; left out, it is "
            f"{show_clock(type(stop).model_fields['at'].default)}",
        )  # fmt: skip
    return leaves if leaves.date() == last or leaves < usual else usual


def _dates(sheet: Sheet, year: int) -> list[tuple[date, date]]:
    """Return each stop's days of arrival and departure."""
    found: list[tuple[date, date]] = []
    for index, stop in enumerate(sheet.trip):
        first = _arrival(sheet, index, found, year)
        last = _departure(sheet, index, first)
        found.append((first, last))
        if (last - found[0][0]).days > MOST_DAYS:
            refuse(sheet, index, _key(stop), f"a trip of {(last - found[0][0]).days} days",
                   f"{MOST_DAYS} days at most")  # fmt: skip
    return found


def _arrival(sheet: Sheet, index: int, before: Sequence[tuple[date, date]], year: int) -> date:
    """Return the day on which a stop begins; without one, that on which the stop before ends."""
    arrival = sheet.trip[index].arrival
    if not before:
        if arrival is None:
            refuse(sheet, index, "arrival", "no day", "'arrival:' and its day, such as 12 January")
        if arrival.year is None and has_year(sheet):
            refuse(sheet, index, "arrival", arrival.words, "a year too, for a later day has one")
        return _day_in(sheet, index, "arrival", arrival, year)
    since, until = before[-1]
    if arrival is None:
        return until
    first = _day_in(sheet, index, "arrival", arrival, until.year)
    later = arrival.date_in(until.year + 1)
    if first < until and later is not None and (later - until).days <= AHEAD:
        first = later
    if first < until:
        overlaps = first >= since
        refuse(
            sheet, index, "arrival", arrival.words,
            f"a day from {_words(until)} on, when stop {index} ends",
            "the stops overlap" if overlaps else "the trip goes back in time",
        )  # fmt: skip
    return first


def _departure(sheet: Sheet, index: int, first: date) -> date:
    stop = sheet.trip[index]
    if stop.departure is None:
        return first + timedelta(days=stop.nights or 1)
    last = _day_in(sheet, index, "departure", stop.departure, first.year)
    later = stop.departure.date_in(first.year + 1)
    if last <= first and later is not None and (later - first).days <= AHEAD:
        last = later
    if not 1 <= (last - first).days <= MOST_NIGHTS:
        allowed = f"a day after the arrival on {_words(first)}, {MOST_NIGHTS} nights at most"
        refuse(sheet, index, "departure", stop.departure.words, allowed)
    return last


def _day_in(sheet: Sheet, index: int, key: str, day: Day, year: int) -> date:
    found = day.date_in(year)
    if found is None:
        held = f"a day that {day.year or year} has" if has_year(sheet) else "a day of any year"
        refuse(sheet, index, key, day.words, held)
    return found


def _key(stop: Stop) -> str:
    return "nights" if stop.departure is None else "departure"


def _words(day: date) -> str:
    return f"{MONTHS[day.month - 1]} {day.day}"
