"""The words of the calendar: months, typical and real years as they are written.

Nothing but words, so that a sheet is read without anything heavy. What does not belong here: zones
and hours (``clock``).
"""

from __future__ import annotations

import re
from typing import TypeAlias

from vanclimate.errors import UnitError, near

NOMINAL_YEAR = 2025
"""The non-leap year on which the rows of a typical year are laid."""

TYPICAL = "typical"
"""The word that stands for a typical year where years are asked for."""

Years: TypeAlias = str | tuple[int, ...]
"""`TYPICAL`, or calendar years in order."""

YEAR_RANGE = (1940, 2100)

_MONTHS = "January February March April May June July August September October November December"
MONTHS = tuple(_MONTHS.split())


def read_years(text: str) -> Years:
    """Read 'typical', a year, a span of years, or several.

    Raises
    ------
    UnitError
        for anything else, and for years out of order or beyond `YEAR_RANGE`

    >>> read_years("2017-2019, 2022")
    (2017, 2018, 2019, 2022)
    """
    low, high = YEAR_RANGE
    allowed = f"typical, a year such as 2019, or years such as 2017-2023 ({low} to {high})"
    wanted = text.strip().casefold()
    if wanted == TYPICAL:
        return TYPICAL
    years: set[int] = set()
    for part in re.split(r"[,;\s]+(?![-–])", re.sub(r"\s*(?:[-–]|\bto\b)\s*", "-", wanted)):
        match = re.fullmatch(r"([0-9]{4})(?:-([0-9]{4}))?", part)
        if match is None:
            raise UnitError(text, allowed, near(wanted, [TYPICAL]))
        first, last = int(match[1]), int(match[2] or match[1])
        if not low <= first <= last <= high:
            raise UnitError(text, allowed)
        years |= set(range(first, last + 1))
    return tuple(sorted(years))


def fetch_command(place: str, years: str, *more: str) -> str:
    """Return the command that fetches a place's years, as it is typed.

    A place of several words stands in double quotes, for there is a Coeur d'Alene.

    >>> fetch_command("Moab, Utah", "2019", "--refresh")
    'vanclimate weather fetch "Moab, Utah" --years 2019 --refresh'
    """
    quoted = place if re.fullmatch(r"[\w.,]+", place) else f'"{place}"'
    return " ".join([f"vanclimate weather fetch {quoted} --years {years}", *more])


def write_years(years: Years) -> str:
    """Write years as they are read.

    >>> write_years((2017, 2018, 2019, 2022))
    '2017-2019,2022'
    """
    if isinstance(years, str):
        return years
    runs: list[list[int]] = []
    for year in years:
        if runs and runs[-1][-1] == year - 1:
            runs[-1].append(year)
        else:
            runs.append([year])
    return ",".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)
