"""A trip's stops as a sheet lists them, each in keys or in a line of words.

What does not belong here: whether the stops follow each other (answers/trip/itinerary.py), and
driving while the van stays at one place (driving.py).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from pydantic import PrivateAttr, ValidationError, model_validator

from vanclimate.errors import OptionError, UnitError
from vanclimate.site.years import MONTHS
from vanclimate.units import System, show
from vanclimate.van.fields import Part, choice, clock, custom, quantity, refused, section, switch
from vanclimate.van.fields import whole as whole_number
from vanclimate.van.parts import Shade, read_shade
from vanclimate.van.place import Day, Site, read_calendar_day, read_heading, read_site

MOST_NIGHTS = 120  # at one stop
FORM = (
    "a place and what is said of it, such as 'greensboro, 12 January, 3 nights, 2 h driving, shore'"
)
FILLED = {"filled here": True, "filled": True, "not here": False, "no": False}
_WORDS = {
    "shore": ("shore", "yes"), "no shore": ("shore", "no"), "fuel": ("fuel", "filled here"),
    "fuel filled": ("fuel", "filled here"), "fuel filled here": ("fuel", "filled here"),
    "water": ("water", "filled here"), "water filled": ("water", "filled here"),
    "water filled here": ("water", "filled here"),
}  # fmt: skip
_MONTH_STARTS = "|".join(month[:3].casefold() for month in MONTHS)
_PATTERNS = (
    ("nights", r"(\d+) nights?"),
    ("drive", r"(.+?) (?:of )?(?:driving|drive)"),
    ("at", r"at (.+)"),
    ("departure", r"(?:until|till|to) (.+)"),
    ("heading", r"heading (.+)"),
)


def read_stop(text: str) -> dict[str, str]:
    """Read a stop from one line: the place first, then in any order what else is said.

    >>> read_stop("Moab, Utah, 12 January 2019, 3 nights, 2 h driving")
    {'place': 'Moab, Utah', 'arrival': '12 January 2019', 'nights': '3', 'drive': '2 h'}
    """
    parts = [" ".join(part.split()) for part in text.split(",")]
    found: dict[str, str] = {}
    place = []
    for part in parts:
        known = _part(part)
        if known is None and not found:
            place.append(part)
        elif known is None or known[0] in found:
            raise UnitError(part or text, FORM, "said twice" if known else "")
        else:
            found[known[0]] = known[1]
    if not any(place):
        return found
    return {"place": ", ".join(place), **found}


def _part(text: str) -> tuple[str, str] | None:
    """Return key and value of one part of a stop's line; None where it is none."""
    word = text.casefold()
    if word in _WORDS:
        return _WORDS[word]
    for key, pattern in _PATTERNS:
        if match := re.fullmatch(pattern, text, re.IGNORECASE):
            return key, match[1]
    try:
        read_calendar_day(text)
    except UnitError:
        meant = re.search(r"\d", text) and re.search(f"\\b(?:{_MONTH_STARTS})", word)
        if meant:  # a day such as 31 February
            raise
        return None
    return "arrival", text


def _write_day(day: Day | None, system: System) -> str:
    return "as the stop before ends" if day is None else str(day)


def _write_heading(heading: float | None, system: System) -> str:
    return "of the sheet" if heading is None else show(heading, "angle", system)


class Stop(Part):
    """One stop of a trip: where, from when to when, and what there is."""

    place: Site | None = section(
        None, what="a shipped place, a weather file, or a section as of 'site'", reads=read_site,
    )  # fmt: skip
    arrival: Day | None = custom(read_calendar_day, _write_day, None)
    at: int = clock(16 * 60, why="assumed: in the afternoon", settle="ask the client")
    nights: int | None = whole_number(
        1, MOST_NIGHTS, None, applies=lambda stop: stop.departure is None
    )
    departure: Day | None = custom(
        read_calendar_day, _write_day, None, applies=lambda stop: stop.departure is not None
    )
    drive: float = quantity(
        "duration", 0.0, 20 * 3600.0, 0.0, words={"none": 0.0},
        why="assumed: no drive to it that would charge anything", settle="ask the client",
    )  # fmt: skip
    shore: bool = switch(False, why="assumed: no mains there", settle="ask the client")
    shade: Shade | None = section(None, reads=read_shade, what="a word or a section")
    heading: float | None = custom(read_heading, _write_heading, None)
    fuel: bool = choice(FILLED, False)
    water: bool = choice(FILLED, False)

    _option: str = PrivateAttr("")

    @model_validator(mode="before")
    @classmethod
    def _by_words(cls, value: Any) -> Any:
        """Read a line of words in place of keys."""
        if not isinstance(value, str):
            return value
        try:
            return read_stop(value)
        except UnitError as error:
            raise refused(error.text, error.allowed, error.hint) from None

    @model_validator(mode="after")
    def _ends(self) -> Stop:
        if self.nights is None and self.departure is None:
            raise refused("no end", "'nights:' or 'departure:' and its value", key="nights")
        if self.nights is not None and self.departure is not None:
            raise refused("both nights and a departure", "one of them", key="departure")
        return self

    @property
    def option(self) -> str:
        """The option that gave the stop, '' where it stands in a sheet."""
        return self._option

    @property
    def name(self) -> str:
        """The stop in a word, for the list of values."""
        place = "the sheet's own site" if self.place is None else self.place.label
        return place if self.arrival is None else f"{place}, {self.arrival}"


def stops_of_option(texts: Sequence[str]) -> tuple[Stop, ...]:
    """Return the stops that a command line gives, each as `read_stop` reads it.

    Raises
    ------
    OptionError : naming the option, and the stop by its number
    """
    found = []
    for number, text in enumerate(texts, 1):
        option = f"--stop ({number})" if len(texts) > 1 else "--stop"
        try:
            stop = Stop.model_validate(text)
        except ValidationError as error:
            problem = error.errors(include_url=False)[0]
            said = problem.get("ctx") or {}
            raise OptionError(
                option, said.get("found", text), said.get("allowed", FORM), said.get("hint", "")
            ) from None
        stop._option = option
        found.append(stop)
    return tuple(found)
