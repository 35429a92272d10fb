"""On which days something of the sheet happens, and for how long of a day.

What does not belong here: which days a run is about (simulate/sources.py).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from vanclimate.errors import UnitError, near
from vanclimate.units import System, parse, parse_clock
from vanclimate.van.fields import Period, read_periods, refused, write_periods

WEEK = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
ALLOWED = "every day, weekdays, weekends, days such as Mon, Wed, Fri, or every 3rd day"
USUAL_START = 600  # minutes after midnight, of hours given by their number alone; assumed
_FULL = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_HOURS = re.compile(
    r"(?P<long>.+?)(?:\s+(?:a|each|per)\s+day)?(?:\s+from\s+(?P<start>.+))?", re.IGNORECASE
)


class Days(NamedTuple):
    """Days of the week, Monday 0; and every how many days, 1 each of them."""

    week: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    every: int = 1


EVERY_DAY = Days()
_WORDS = {
    "every day": EVERY_DAY,
    "daily": EVERY_DAY,
    "weekdays": Days((0, 1, 2, 3, 4)),
    "weekends": Days((5, 6)),
    "every other day": Days(every=2),
    "every second day": Days(every=2),
}


def read_days(text: str) -> Days:
    """Read 'every day', 'weekdays', 'weekends', 'Mon, Wed, Fri' or 'every 3rd day'.

    >>> read_days("Mon, friday").week, read_days("every 3rd day").every
    ((0, 4), 3)
    """
    word = " ".join(text.casefold().split())
    if word in _WORDS:
        return _WORDS[word]
    if match := re.fullmatch(r"every (\d{1,2})(?:st|nd|rd|th)? days?", word):
        every = int(match[1])
        if not 1 <= every <= 31:
            raise UnitError(text, "every 2nd to every 31st day")
        return Days(every=every)
    found = set()
    for name in re.split(r"[,\s]+(?:and\s+)?", word):
        known = [i for i, day in enumerate(_FULL) if len(name) >= 3 and day.startswith(name)]
        if not known and name != "and":
            raise UnitError(text, ALLOWED, near(word, (*_WORDS, *_FULL)))
        found.update(known)
    return Days(tuple(sorted(found)))


def write_days(days: Days, system: System = "si") -> str:
    """Write what `read_days` reads."""
    known = next((word for word, held in _WORDS.items() if held == days), None)
    if known:
        return known
    if days.every > 1:
        end = {1: "st", 2: "nd", 3: "rd"}.get(days.every % 10, "th")
        return f"every {days.every}{'th' if 11 <= days.every <= 13 else end} day"
    return ", ".join(WEEK[i] for i in days.week)


def read_hours_of_day(text: str) -> tuple[Period, ...]:
    """Read periods such as '9:00 to 12:00', or a number of hours of the day, at most 24.

    >>> read_hours_of_day("9:00 to 12:00"), read_hours_of_day("3 h a day from 14:00")
    (((540, 720),), ((840, 1020),))
    """
    word = " ".join(text.casefold().split())
    if word == "never":
        return ()
    if word in ("always", "all day"):
        return _from(USUAL_START, 1440)
    if " to " in word or re.search(r"\d\s*[-–]\s*\d", word):
        return read_periods(text)
    allowed = "a number of hours up to 24 h a day, or times such as 9:00 to 12:00"
    match = _HOURS.fullmatch(text.strip())
    assert match  # the first group takes whatever stands there
    try:
        minutes = round(parse(match["long"], "duration") / 60.0)
        start = USUAL_START if match["start"] is None else parse_clock(match["start"])
    except UnitError as error:
        far = re.search(r"\d\s*(?:miles?|mi|km|kilomet\w*)\b", word)
        hint = "hours, not distance: 50 miles or 80 km are about 1 h" if far else error.hint
        raise UnitError(text, allowed, hint) from None
    if not 0 < minutes <= 1440:
        raise UnitError(text, allowed)
    return _from(start, minutes)


def write_hours_of_day(periods: Sequence[Period], system: System = "si") -> str:
    """Write what `read_hours_of_day` reads."""
    return write_periods(periods) if periods else "never"


def refuse_overlap(periods: Sequence[Period], key: str) -> None:
    """Refuse periods of the day that overlap each other.

    Raises
    ------
    PydanticCustomError
        Naming ``key``.
    """
    spans = sorted((a, b if b > a else b + 1440) for a, b in periods)
    later = [*spans[1:], (spans[0][0] + 1440, 0)] if spans else []
    for (_, end), (start, _) in zip(spans, later, strict=True):
        if end > start:
            raise refused("times that overlap", "times that follow each other", key=key)


def _from(start: int, minutes: int) -> tuple[Period, ...]:
    """Return the period of so many minutes; a whole day as two halves, for its ends must differ."""
    if minutes == 1440:
        middle = (start + 720) % 1440
        return ((start, middle), (middle, start))
    return ((start, (start + minutes) % 1440),)
