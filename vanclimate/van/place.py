"""Where and when the van stands: the sheet's `site`, design days, stays, night and heading.

What does not belong here: reading weather (site/), and what is answered about it (answers/).
"""

from __future__ import annotations

import datetime
import re
from typing import Any, Literal, NamedTuple

from pydantic import model_validator

from vanclimate.errors import UnitError, near
from vanclimate.site.years import MONTHS, NOMINAL_YEAR, TYPICAL, Years, read_years, write_years
from vanclimate.units import COMPASS, System, parse, show
from vanclimate.van.fields import Part, choice, custom, quantity, refused, section, switch

DAY_FORMS = "a day that exists, such as 2025-07-15, 07-15 or 15 July"
MOST_DAYS = 31  # of a design week
TERRAINS = ("water", "open", "wooded", "town")  # as in physics.wind
GROUNDS = ("asphalt", "concrete", "gravel", "grass", "sand", "snow", "as air")  # physics.ground
SKIES = ("measured", "by dew point", "by vapour pressure")
NIGHT_AIR = {"none": 0.0, "cool hollow": -3.0, "paved lot": 1.5}  # K; assumed, see Site.night_air


class Day(NamedTuple):
    """A day of the calendar; without a year it means that day of any year."""

    year: int | None
    month: int
    day: int

    def __str__(self) -> str:
        """Write the day as ISO 8601 does, the year left out where there is none."""
        short = f"{self.month:02d}-{self.day:02d}"
        return short if self.year is None else f"{self.year:04d}-{short}"

    @property
    def words(self) -> str:
        """The day as a reader says it."""
        text = f"{MONTHS[self.month - 1]} {self.day}"
        return text if self.year is None else f"{text}, {self.year}"

    def date_in(self, year: int) -> datetime.date | None:
        """Return the day in its own year, else in `year`; None for a 29 February it lacks."""
        try:
            return datetime.date(self.year or year, self.month, self.day)
        except ValueError:
            return None


def read_calendar_day(text: str) -> Day:
    """Read a day: 2025-07-15, 07-15, 15 July, July 15, each with a year or without.

    >>> str(read_calendar_day("15 July")), str(read_calendar_day("July 15, 2019"))
    ('07-15', '2019-07-15')
    """
    months = {m[:3].casefold(): i for i, m in enumerate(MONTHS, 1)}
    names = {m.casefold(): i for i, m in enumerate(MONTHS, 1)}
    numbers = re.fullmatch(r"(?:([0-9]{4})-)?([0-9]{1,2})-([0-9]{1,2})", text)
    day_first = re.fullmatch(r"([0-9]{1,2})\.?\s+([A-Za-z]{3,9})\.?,?(?:\s+([0-9]{4}))?", text)
    name_first = re.fullmatch(r"([A-Za-z]{3,9})\.?\s+([0-9]{1,2})(?:,?\s+([0-9]{4}))?", text)
    if numbers:
        year, month, day = numbers[1], numbers[2], numbers[3]
    elif day_first:
        day, month, year = day_first[1], day_first[2], day_first[3]
    elif name_first:
        month, day, year = name_first[1], name_first[2], name_first[3]
    else:
        raise UnitError(text, DAY_FORMS)
    fold = month.casefold()
    number = int(month) if month.isdigit() else names.get(fold) or months.get(fold)
    found = Day(int(year) if year else None, number or 0, int(day))
    # 2024 has a 29 February, so a day without a year may be one
    if number is None or found.date_in(2024) is None:
        raise UnitError(text, DAY_FORMS, near(month, MONTHS) if not month.isdigit() else "")
    return found


def read_day(text: str) -> datetime.date:
    """Read a day for a sun that repeats; without a year, in the nominal one.

    >>> read_day("15 July").isoformat()
    '2025-07-15'
    """
    date = read_calendar_day(text).date_in(NOMINAL_YEAR)
    if date is None:
        raise UnitError(text, DAY_FORMS, "a day without a year is laid on one without 29 February")
    return date


class Stay(NamedTuple):
    """A stay: its first evening and the morning it ends; without years, that of any year."""

    arrival: Day
    departure: Day

    def __str__(self) -> str:
        """Write the stay as it is read."""
        return f"{self.arrival} to {self.departure}"

    @property
    def words(self) -> str:
        """The stay as a reader says it."""
        first, last = self.arrival, self.departure
        if first[:2] == last[:2] and first.year is None and first.day < last.day:
            return f"{first.words} to {last.day}"
        return f"{first.words} to {last.words}"

    def dates_in(self, year: int) -> tuple[datetime.date, datetime.date]:
        """Return both dates of the stay that begins in a year; alike where no night is left."""
        first = _day_or_next(self.arrival, year)
        # by the calendar's own days: of 29 February to 1 March nothing is left in most years
        over = self.departure.year is None and self.departure[1:] <= self.arrival[1:]
        return first, _day_or_next(self.departure, first.year + over)


def _day_or_next(day: Day, year: int) -> datetime.date:
    """Return a day's date in a year; where that has no 29 February, 1 March."""
    return day.date_in(year) or datetime.date(year, 3, 1)


def read_stay(text: str) -> Stay:
    """Read '12 July to 26 July', across New Year too; a year at either end holds for both.

    >>> read_stay("28 December to 3 January").dates_in(2019)
    (datetime.date(2019, 12, 28), datetime.date(2020, 1, 3))
    """
    allowed = "two days such as 12 July to 26 July, or 2023-12-28 to 2024-01-03"
    parts = re.split(r"\s+(?:to|until|till|–)\s+", text)
    if len(parts) != 2:
        raise UnitError(text, allowed)
    first, last = (read_calendar_day(part) for part in parts)
    if first.year is None and last.year is not None:
        later = (first.month, first.day) >= (last.month, last.day)
        first = first._replace(year=last.year - later)
    stay = Stay(first, last)
    dates = stay.dates_in(2024)
    days = (dates[1] - dates[0]).days
    if not 1 <= days <= 365 or first[1:] == last[1:]:
        raise UnitError(text, f"{allowed}: the second after the first, a year apart at most")
    return stay


class MadeUp(Part):
    """What a made-up day and week share: where, when, and how damp at the low."""

    latitude: float = quantity("none", -90.0, 90.0)
    longitude: float = quantity("none", -180.0, 180.0, 0.0)
    elevation: float = quantity("length", -450.0, 6000.0, 0.0)
    humidity: float = quantity("fraction", 0.02, 1.0)
    date: datetime.date = custom(read_day, lambda day, s: f"{day:%m-%d}")


class DesignDay(MadeUp):
    """A made-up clear day in place of a weather file."""

    low: float = quantity("temperature", -60.0, 50.0)
    high: float = quantity("temperature", -60.0, 60.0)

    @model_validator(mode="after")
    def _order(self) -> DesignDay:
        if self.high <= self.low:
            raise refused(
                f"{self.high:.1f} °C", f"more than the low, {self.low:.1f} °C", key="high"
            )
        return self


def read_temperatures(text: str) -> tuple[float, ...]:
    """Read several temperatures, '74 F, 76 F' or with one unit at the end."""
    parts = [part.strip() for part in re.split(r"[,;]", text) if part.strip()]
    unit = re.sub(r"^[-+.\d\s]*", "", parts[-1]) if parts else ""
    values = []
    for part in parts:
        bare = re.fullmatch(r"[-+]?[0-9.]+", part)
        value = parse(f"{part} {unit}" if bare else part, "temperature")
        if not -60.0 <= value <= 60.0:
            raise UnitError(part, "−60 °C to 60 °C")
        values.append(value)
    if not 2 <= len(values) <= MOST_DAYS:
        raise UnitError(text, f"2 to {MOST_DAYS} temperatures such as 74 F, 76 F, 73 F")
    return tuple(values)


def _write_temperatures(values: tuple[float, ...], system: System) -> str:
    return ", ".join(show(value, "temperature", system) for value in values)


class DesignWeek(MadeUp):
    """A made-up clear week, or any run of days, from its lows and highs."""

    lows: tuple[float, ...] = custom(read_temperatures, _write_temperatures, joins=True)
    highs: tuple[float, ...] = custom(read_temperatures, _write_temperatures, joins=True)

    @model_validator(mode="after")
    def _order(self) -> DesignWeek:
        if len(self.lows) != len(self.highs):
            found, allowed = f"{len(self.highs)} highs", f"{len(self.lows)}, as many as lows"
            raise refused(found, allowed, key="highs")
        for low, high in zip(self.lows, self.highs, strict=True):
            if high <= low:
                allowed = f"more than that day's low, {low:.1f} °C"
                raise refused(f"{high:.1f} °C", allowed, key="highs")
        return self


class Site(Part):
    """The place, its weather, and what the van's own spot adds."""

    place: str | None = custom(lambda text: text, lambda v, s: v or "none", None)
    design_day: DesignDay | None = section(None, none=None, what="a section")
    design_week: DesignWeek | None = section(None, none=None, what="a section")
    years: Years | None = custom(
        read_years, lambda v, s: "what there is" if v is None else write_years(v), None,
        joins=True,
        why="assumed: the typical year where the place has one, else all its years",
        settle="ask how far back the client wants to look",
    )  # fmt: skip
    elevation: float | None = quantity(
        "length", -450.0, 6000.0, None, words={"of the place": None},
        why="assumed: the place's own height, as far as it is known",
        settle="read the height of the site off a map",
    )  # fmt: skip
    height_correction: bool = switch(True)
    terrain: Literal["water", "open", "wooded", "town"] = choice(
        TERRAINS, "open",
        why="assumed: open ground, so the station's wind reaches the van",
        settle="look at the place where the van parks",
    )  # fmt: skip
    ground: Literal["asphalt", "concrete", "gravel", "grass", "sand", "snow", "as air"] = choice(
        GROUNDS, "gravel",
        why="assumed: gravel, between a paved lot and a meadow in what it reflects and how hot it "
        "gets", at_least="grass", at_most="asphalt",
        settle="look at the place where the van parks",
    )  # fmt: skip
    night_air: float = quantity(
        "temperature_difference", -10.0, 10.0, 0.0, words=NIGHT_AIR,
    )  # fmt: skip
    record_cold: float | None = quantity(
        "temperature", -70.0, 30.0, None, words={"of the weather": None},
    )  # fmt: skip
    gaps: Literal["refuse", "fill"] = choice(("refuse", "fill"), "refuse")
    sky: Literal["measured", "by dew point", "by vapour pressure"] = choice(SKIES, "measured")

    @model_validator(mode="after")
    def _one_of(self) -> Site:
        given = [name for name in ("place", "design_day", "design_week") if getattr(self, name)]
        if len(given) != 1:
            found = " and ".join(name.replace("_", " ") for name in given) or "no place"
            raise refused(found, "one of: place, design day, design week")
        if self.place is None and self.years not in (None, TYPICAL):
            years = write_years(self.years or ())
            raise refused(years, "no years beside a made-up day", key="years")
        return self

    @property
    def label(self) -> str:
        """The site in a word, for the list of values."""
        return self.place or "made-up weather"


def read_site(value: str) -> Any:
    """Read a place's name, a file's path or coordinates, where no section is given."""
    if not value:
        raise UnitError("nothing", "a shipped place, a weather file, or a design day")
    return {"place": value}


def read_heading(text: str) -> float | None:
    """Read 'unknown', a compass point or degrees, clockwise from north.

    >>> read_heading("SW"), read_heading("unknown")
    (225.0, None)
    """
    if text.casefold() == "unknown":
        return None
    try:
        value = parse(text, "angle")
    except UnitError as error:
        hint = error.hint or near(text.upper(), COMPASS)
        raise UnitError(text, "unknown, a compass point such as SW, or 210 deg", hint) from None
    if not 0.0 <= value <= 360.0:
        raise UnitError(text, "0 deg to 360 deg, clockwise from north")
    return value % 360.0


def write_heading(value: float | None, system: System) -> str:
    """Write what `read_heading` reads."""
    return "unknown" if value is None else show(value, "angle", system)


def read_night(text: str) -> str:
    """Read 'hottest', 'coldest', 'typical' or a day, with its year or without, as in ISO 8601.

    >>> read_night("15 July"), read_night("July 15, 2019")
    ('07-15', '2019-07-15')
    """
    if text.casefold() in ("hottest", "coldest", "typical"):
        return text.casefold()
    try:
        return str(read_calendar_day(text))
    except UnitError as error:
        hint = error.hint or near(text, ["hottest", "coldest", "typical"])
        raise UnitError(text, f"hottest, coldest, typical, or {error.allowed}", hint) from None


MONTH_WORDS = (
    {m: i for i, m in enumerate(MONTHS, 1)}
    | {m[:3]: i for i, m in enumerate(MONTHS, 1)}
    | {str(i): i for i in range(1, 13)}
)
