"""What a trip's stops are and what weather they have: sheets and records by stop, years in common.

What does not belong here: when the stops are (``itinerary``).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NoReturn

from vanclimate.answers.season import record_for
from vanclimate.errors import OptionError, SheetError
from vanclimate.site.record import Record
from vanclimate.site.years import fetch_command
from vanclimate.van.sheet import Sheet
from vanclimate.van.trip import Stop

MOST_STOPS = 40


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


def with_stops(sheet: Sheet, stops: tuple[Stop, ...]) -> Sheet:
    """Return a copy of a sheet with other stops."""
    other = sheet.model_copy(update={"trip": stops})
    other._changes = (*sheet._changes, ("trip", repr(stops)))
    return other


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
