"""A trip's stops as spans of time at places: when the van drives, arrives, stays and leaves.

Each stop goes by the standard time of its own place. What does not belong here: what a stop may say
(``van.trip``), and what is run there (``halts``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone
from typing import Any, NoReturn

from vanclimate.answers.season import record_for
from vanclimate.errors import OptionError, SheetError
from vanclimate.simulate.plan import bedtime_on
from vanclimate.site.clock import fixed_zone
from vanclimate.site.record import Record
from vanclimate.site.years import MONTHS, NOMINAL_YEAR, fetch_command
from vanclimate.units import show, show_clock
from vanclimate.van.place import Day
from vanclimate.van.sheet import Sheet
from vanclimate.van.trip import MOST_NIGHTS, Stop

MOST_STOPS = 40
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
    apart : time [s] since the stop before ended, which nobody follows
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
    apart: float

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


def refuse(
    sheet: Sheet, index: int, key: str, found: object, allowed: str, hint: str = ""
) -> NoReturn:
    """Refuse what a stop says, at its line or as the option that gave it.

    Raises
    ------
    SheetError, OptionError
    """
    if sheet.trip[index].option:
        raise OptionError(sheet.trip[index].option, found, allowed, hint)
    sheet.refuse(f"trip.{index}.{key}", found=found, allowed=allowed, hint=hint)


def sheets_of(sheet: Sheet) -> list[Sheet]:
    """Return the sheet as it is at each of its stops.

    Raises
    ------
    SheetError, OptionError
        without a stop, with too many, and for mains where the van has no inlet
    """
    if not sheet.trip:
        sheet.refuse(
            "trip", found="no stops", allowed="a list of stops under 'trip:', or --stop",
            hint="such as --stop 'greensboro, 12 January, 3 nights'",
        )  # fmt: skip
    if len(sheet.trip) > MOST_STOPS:
        sheet.refuse("trip", found=f"{len(sheet.trip)} stops", allowed=f"at most {MOST_STOPS}")
    return [_at_stop(sheet, i) for i in range(len(sheet.trip))]


def _at_stop(sheet: Sheet, index: int) -> Sheet:
    stop, own = sheet.trip[index], sheet.site
    update: dict[str, Any] = {}
    if stop.place is not None and not (
        stop.place.place == own.place and stop.place.model_fields_set == {"place"}
    ):
        kept = {"gaps", "sky", "years"} - stop.place.model_fields_set
        update["site"] = stop.place.model_copy(update={key: getattr(own, key) for key in kept})
    if stop.shade is not None:
        update["shade"] = stop.shade
    if stop.heading is not None:
        update["heading"] = stop.heading
    shore = sheet.shore
    if stop.shore and shore is None:
        allowed = "no mains, or a 'shore:' section in the sheet that says what the inlet carries"
        refuse(sheet, index, "shore", "shore in a van without an inlet", allowed)
    if shore is not None and (not stop.shore or shore.hours == "never"):
        update["shore"] = shore.model_copy(update={"hours": "always" if stop.shore else "never"})
    there = sheet.model_copy(update=update)
    there._changes = (*sheet._changes, ("trip", f"{index}: {stop!r}"))
    return there


def records_of(sheet: Sheet, there: Sequence[Sheet], own: Record | None) -> list[Record]:
    """Return the weather record of each stop; ``own`` is that of the sheet's site, if given.

    Raises
    ------
    SheetError, OptionError, WeatherError
    """
    known: dict[str, Record] = {}
    found = []
    for index, here in enumerate(there):
        if own is not None and here.site is sheet.site:
            found.append(own)
            continue
        key = repr(here.site)
        if key not in known:
            known[key] = _record_at(sheet, here, index)
        found.append(known[key])
    return found


def _record_at(sheet: Sheet, here: Sheet, index: int) -> Record:
    try:
        return record_for(here)
    except SheetError as error:
        if sheet.trip[index].place is None:
            raise
        refuse(sheet, index, "place", error.found, error.allowed or "", error.hint)


def has_year(sheet: Sheet) -> bool:
    """Return whether a trip has a year of its own."""
    days = [day for stop in sheet.trip for day in (stop.arrival, stop.departure)]
    return any(day is not None and day.year is not None for day in days)


def years_of(sheet: Sheet, records: Sequence[Record]) -> list[int | None]:
    """Return the years in which a trip is run: its own or that of typical weather, None; or each.

    Raises
    ------
    SheetError, OptionError
        where its stops have no year in common
    """
    if has_year(sheet):
        for index, record in enumerate(records):
            if record.typical:
                _refuse_year(sheet, index, record)
        return [None]
    real = [set(record.asked or record.years) for record in records if record.real]
    if not real:
        return [None]
    common = set.intersection(*real)
    if not common:
        index = next(i for i, record in enumerate(records) if record.real)
        refuse(sheet, index, "place", "years that the other stops do not have",
               "places with a year in common, or typical years")  # fmt: skip
    return [*sorted(common)]


def _refuse_year(sheet: Sheet, index: int, record: Record) -> NoReturn:
    """Refuse a year where there is but a typical one."""
    years = [
        d.year for s in sheet.trip for d in (s.arrival, s.departure) if d is not None and d.year
    ]
    stop = sheet.trip[index]
    day = next((d for d in (stop.arrival, stop.departure) if d is not None and d.year), None)
    refuse(
        sheet, index, "place" if day is None else "arrival" if day is stop.arrival else "departure",
        f"{years[0]} at {record.name}" if day is None else day.words,
        f"days without a year: of {record.name} there is a typical year",
        f"or, with a network: {fetch_command(record.name, str(years[0]))}",
    )  # fmt: skip


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
        drive = show(sheet.trip[index + 1].drive, "duration")
        refuse(
            sheet, index + 1, "drive", f"{drive}, from {leaves:%H:%M} on {_words(leaves.date())}",
            f"a drive that begins after the last night of stop {index + 1}, from "
            f"{woken:%H:%M} on {_words(woken.date())}",
            "'at:' says when it arrives",
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
        refuse(sheet, index, key, day.words, f"a day of {day.year or year}, which has no such day")
    return found


def _key(stop: Stop) -> str:
    return "nights" if stop.departure is None else "departure"


def _words(day: date) -> str:
    return f"{MONTHS[day.month - 1]} {day.day}"
