"""Times as people's tables write them: dates in their usual forms, clocks with daylight saving.

Only what has one meaning is read. What does not belong here: the services' own stamps, which have
one form each.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from vanclimate.errors import WeatherError
from vanclimate.site.formats.mapping import Clock
from vanclimate.site.formats.rows import HOUR, Source, midnight
from vanclimate.site.years import MONTHS

FORMS = "a date and time such as 2024-07-31 14:05, 7/31/2024 2:05 PM or 31 Jul 2024 14:05"

_DATES = re.compile(
    r"(?P<y1>\d{4})[-/.](?P<m1>\d{1,2})[-/.](?P<d1>\d{1,2})(?!\d)"
    r"|(?P<y2>\d{4})(?P<m2>\d\d)(?P<d2>\d\d)(?!\d{5})"
    r"|(?P<a>\d{1,2})(?P<dot>[-/.])(?P<b>\d{1,2})(?P=dot)(?P<y3>\d{4})(?!\d)"
    r"|(?P<d4>\d{1,2})[-\s](?P<n4>[A-Za-z]{3,9})\.?[-\s,]+(?P<y4>\d{4})(?!\d)"
    r"|(?P<n5>[A-Za-z]{3,9})\.?\s+(?P<d5>\d{1,2}),?\s+(?P<y5>\d{4})(?!\d)"
)
_TIMES = re.compile(
    r"[T\s,:]*(?P<h>\d{1,2})(?::?(?P<m>\d\d))?(?::?(?P<s>\d\d)(?:\.\d+)?)?"
    r"\s*(?P<half>[AaPp]\.?[Mm]\.?)?\s*(?P<zone>Z|UTC|GMT|[-+]\d\d:?\d\d)?"
)
_MONTHS = {name[:3].casefold(): i + 1 for i, name in enumerate(MONTHS)}


def utc_seconds(
    texts: Sequence[str], clock: Clock, source: Source
) -> tuple[list[int], float | None]:
    """Return seconds since 1970 UTC of each stamp, and the place's standard lead over UTC [h].

    Raises
    ------
    WeatherError
        for a time that cannot be read or has two meanings, with its row
    """
    day_first = _order(texts, clock, source)
    found: list[int] = []
    local = _Local(clock.zone, source) if clock.zone else None
    for i, text in enumerate(texts):
        parsed = _parse(text.strip(), day_first)
        if parsed is None:
            raise WeatherError(source.name, source.row(i), "time", text or "nothing", FORMS)
        seconds, offset = parsed
        if clock.carried:
            if offset is None:
                allowed = "a time with its offset, such as 2024-07-31T14:05-06:00"
                raise WeatherError(source.name, source.row(i), "time", text, allowed)
            found.append(seconds - round(offset * HOUR))
            continue
        if offset is not None and offset != clock.offset_h:
            allowed = "no offset, or 'stamps carry their offset' in the clock line"
            raise WeatherError(source.name, source.row(i), "time", text, allowed)
        if local is not None:
            found.append(local.utc(seconds, i, text))
        else:
            assert clock.offset_h is not None
            found.append(seconds - round(clock.offset_h * HOUR))
    if local is not None:
        return found, local.standard_h(found[0]) if found else None
    if clock.carried:  # a summer's offset is not the place's standard time
        return found, None
    return found, clock.offset_h if clock.offset_h else None


def _order(texts: Sequence[str], clock: Clock, source: Source) -> bool | None:
    """Say whether the day stands first in dates that end in their year; None where none do."""
    if clock.day_first is not None:
        return clock.day_first
    first = None
    for i, text in enumerate(texts):
        match = _DATES.match(text.strip())
        if match is None or match["a"] is None:
            continue
        if match["dot"] == ".":
            return True  # dates with points have their day first, common practice
        a, b = int(match["a"]), int(match["b"])
        if a > 12:
            return True
        if b > 12:
            return False
        first = i if first is None else first
    if first is None:
        return None
    allowed = "dates of one meaning; put 'day first' or 'month first' into the clock line"
    raise WeatherError(source.name, source.row(first), "time", texts[first], allowed)


@lru_cache(maxsize=1 << 14)
def _date(text: str, day_first: bool | None) -> tuple[int, int] | None:
    """Return seconds to midnight of the date at a text's start, and where it ends."""
    match = _DATES.match(text)
    if match is None:
        return None
    part = match.groupdict()
    if part["a"]:
        day, month = (part["a"], part["b"]) if day_first else (part["b"], part["a"])
        year = part["y3"]
    elif part["n4"] or part["n5"]:
        named = (part["n4"] or part["n5"])[:3].casefold()
        if named not in _MONTHS:
            return None
        year, month = part["y4"] or part["y5"], str(_MONTHS[named])
        day = part["d4"] or part["d5"]
    else:
        year, month, day = (part[k + "1"] or part[k + "2"] for k in "ymd")
    start = midnight(int(year), int(month), int(day))
    return None if start is None else (start, match.end())


def _parse(text: str, day_first: bool | None) -> tuple[int, float | None] | None:
    """Return seconds on the stamp's own clock, and the offset [h] that it carries, if any."""
    dated = _date(text[:20].rsplit(":", 1)[0] if len(text) > 20 else text, day_first)
    dated = dated or _date(text, day_first)
    if dated is None:
        return None
    start, end = dated
    rest = text[end:]
    if not rest.strip():
        return None
    match = _TIMES.fullmatch(rest)
    if match is None:
        return None
    hour, minute, second = int(match["h"]), int(match["m"] or 0), int(match["s"] or 0)
    if match["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match["half"][0] in "pP" else 0)
    elif match["m"] is None:
        return None  # an hour without minutes is a number of anything
    if minute > 59 or second > 59 or hour > 24 or (hour == 24 and minute + second):
        return None
    return start + HOUR * hour + 60 * minute + second, _offset(match["zone"])


def _offset(text: str | None) -> float | None:
    if not text:
        return None
    if text[0] in "+-":
        value = int(text[1:3]) + int(text[-2:]) / 60
        return -value if text[0] == "-" else value
    return 0.0


class _Local:
    """A clock that follows daylight saving, walked through in the order of the rows."""

    def __init__(self, zone: str, source: Source) -> None:
        self.zone = ZoneInfo(zone)
        self.source = source
        self.before: int | None = None
        self.second = False
        self.known: dict[int, tuple[int, int]] = {}

    def utc(self, seconds: int, i: int, text: str) -> int:
        """Return a wall clock's time in UTC; an hour that comes twice is told by the order."""
        quarter = seconds // 900
        if quarter not in self.known:
            naive = datetime(1970, 1, 1) + timedelta(seconds=quarter * 900)
            pair = [naive.replace(tzinfo=self.zone, fold=fold).utcoffset() for fold in (0, 1)]
            first, again = (round(o.total_seconds()) if o is not None else 0 for o in pair)
            self.known[quarter] = (first, again)
        first, again = self.known[quarter]
        if first < again:  # before the first, after the second: the clock skipped this time
            allowed = (
                f"a time that a clock in {self.zone.key} shows: daylight saving skips this one"
            )
            raise WeatherError(self.source.name, self.source.row(i), "time", text, allowed)
        if first == again:
            self.second = False
        elif self.before is not None and seconds <= self.before:
            self.second = True
        self.before = seconds
        return seconds - (again if self.second else first)

    def standard_h(self, around: int) -> float:
        """Return the zone's lead over UTC without daylight saving [h], in the year of a moment."""
        year = datetime.fromtimestamp(around, UTC).year
        both = [datetime(year, month, 1, tzinfo=self.zone).utcoffset() for month in (1, 7)]
        return min(o.total_seconds() for o in both if o is not None) / HOUR
