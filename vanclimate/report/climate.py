"""What a place's weather is like, on one screen: months with small charts, spells, year's figures.

What does not belong here: working it out (site/describe).
"""

from __future__ import annotations

from datetime import date
from math import isfinite
from typing import TYPE_CHECKING, NamedTuple

from rich.table import Table
from rich.text import Text

from vanclimate.report.layout import facts, heading, put, say
from vanclimate.report.numbers import (
    fixed,
    height,
    in_units,
    percent,
    place_of,
    scale,
    temperature,
    unit_of,
    utc_offset,
)
from vanclimate.report.tables import plain_table
from vanclimate.site.clearsky import CLEAR_SKY
from vanclimate.site.describe import BASE, HUNDRED, NIGHT
from vanclimate.site.record import spans
from vanclimate.site.years import MONTHS

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.site.describe import Description, InARow, Month
    from vanclimate.site.record import Record
    from vanclimate.units import System

ROOMY = 98  # columns from which the charts stand beside their figures
BAND, BAR = 22, 8  # characters of the two charts
MOST_NOTES = 5


class Signs(NamedTuple):
    """The characters of the small charts."""

    line: str
    mean: str
    bar: str
    steps: str


FULL_SIGNS = Signs("─", "●", "█", "▁▂▃▄▅▆▇█")
PLAIN_SIGNS = Signs("-", "o", "#", "12345678")


def print_description(found: Description, system: System, console: Console) -> None:
    """Print what a place's weather is like."""
    carrying = console.file.carries("".join(FULL_SIGNS))  # type: ignore[attr-defined]
    signs = FULL_SIGNS if carrying else PLAIN_SIGNS
    roomy = console.width >= ROOMY
    console.print(Text(found.record.name, style="bold"))
    facts(console, _place(found, system))
    console.print()
    put(console, _months_table(found, system, signs, roomy))
    if not roomy and len(found.months) > 1:
        facts(console, _sparks(found, system, signs))
    say(console, _meaning(found))
    heading(console, "Extremes and years")
    facts(console, [*_spells(found, system), *_annual(found, system)])
    heading(console, "What it stands on")
    facts(console, _grounds(found))


def _place(found: Description, system: System) -> list[tuple[str, str]]:
    record = found.record
    at = f"{place_of(record.latitude, record.longitude)}, {height(record.elevation, system)}"
    if record.place_elevation is not None:
        at += f" (the place itself {height(record.place_elevation, system)})"
    rows = [("place", f"{at}, {utc_offset(record.utc_offset_h)} all year")]
    rows.append(("source", record.source))
    if record.licence:
        rows.append(("licence", record.licence))
    rows.append(("period", _period(found)))
    return rows


def _period(found: Description) -> str:
    record = found.record
    if record.synthetic is not None:
        return record.synthetic.period
    if record.typical:
        of = f", months from {_range(record.source_years)}" if record.source_years else ""
        return f"a typical year{of}"
    years = record.asked or record.years
    count = f"{len(years)} years" if len(years) > 1 else "1 year"
    if found.annual is None:
        count = f"{round(found.hours / 24)} days"
    return f"{count} of {spans(years)}, {found.first} to {found.last}"


def _range(years: tuple[int, ...]) -> str:
    first, last = min(years), max(years)
    return f"{first}" if first == last else f"{first}–{last}"


def _months_table(found: Description, system: System, signs: Signs, roomy: bool) -> Table:
    """Return the months, with a band of temperature and a bar of sun where there is room."""
    plenty = any(m.nights >= HUNDRED for m in found.months)
    unit, speed = scale(system), unit_of("speed", system)
    hot, cold = ("1 % hot", "1 % cold") if plenty else ("hottest", "coldest")
    nights = (f"{hot}\nnight", f"{cold}\nnight")
    table = plain_table(
        "", "mean\n", *nights, "dew\npoint", f"wind\n{speed}", "sun\nkWh/m²", "clear\nsky"
    )
    for column in table.columns[1:]:
        column.min_width = 6 if roomy else 4
    if not roomy:
        table.padding = (0, 1, 0, 0)
    low, high = _ends(found)
    if roomy:
        ends = f"{_degrees(low, system)} to {_degrees(high, system)} {unit}, day"
        table.add_column(Text(ends), justify="left", no_wrap=True)
        table.add_column("sun", justify="left", no_wrap=True)
    most = max((m.sun for m in found.months if isfinite(m.sun)), default=0.0)
    for month in found.months:
        cells = [MONTHS[month.month - 1][:3], *_figures(month, system)]
        if roomy:
            cells.append(_band(month, low, high, signs))
            cells.append(signs.bar * _share(month.sun, most, BAR))
        table.add_row(*cells)
    return table


def _figures(month: Month, system: System) -> list[str]:
    degrees = [month.mean, month.hot_night, month.cold_night, month.dew_point]
    wind = in_units(month.wind, "speed", system) if isfinite(month.wind) else month.wind
    return [
        *(_degrees(value, system, 1) for value in degrees),
        fixed(wind, 1) if isfinite(wind) else "?",
        fixed(month.sun, 1) if isfinite(month.sun) else "?",
        percent(month.clear) if isfinite(month.clear) else "dark" if month.sun == 0 else "?",
    ]


def _degrees(value: float, system: System, decimals: int = 0) -> str:
    if not isfinite(value):
        return "?"
    return fixed(in_units(value, "temperature", system), decimals)


def _ends(found: Description) -> tuple[float, float]:
    """Return the least low and the greatest high of the months."""
    lows = [m.low for m in found.months if isfinite(m.low)]
    highs = [m.high for m in found.months if isfinite(m.high)]
    return (min(lows), max(highs)) if lows and highs else (0.0, 0.0)


def _band(month: Month, low: float, high: float, signs: Signs) -> str:
    """Return a line from a month's mean low to its mean high, with its mean."""
    if not isfinite(month.mean) or high <= low:
        return ""
    first, middle, last = (
        round((value - low) / (high - low) * (BAND - 1))
        for value in (month.low, month.mean, month.high)
    )
    line = [" "] * first + [signs.line] * (last - first + 1)
    line[middle] = signs.mean
    return "".join(line)


def _share(value: float, most: float, steps: int) -> int:
    return round(steps * value / most) if most > 0.0 and isfinite(value) else 0


def _sparks(found: Description, system: System, signs: Signs) -> list[tuple[str, str]]:
    """Return the charts as a character a month, for a narrow page."""

    def spark(values: list[float]) -> str:
        known = [v for v in values if isfinite(v)]
        low, high = min(known, default=0.0), max(known, default=0.0)
        top = len(signs.steps) - 1
        return "".join(
            signs.steps[round((v - low) / (high - low) * top)]
            if high > low and isfinite(v)
            else " "
            for v in values
        )

    low, high = _ends(found)
    span = f"{_degrees(low, system)} to {_degrees(high, system)} {scale(system)}, low to high"
    return [
        ("days", f"{spark([m.mean for m in found.months])}  {span}"),
        ("sun", spark([m.sun for m in found.months])),
    ]


def _meaning(found: Description) -> str:
    begin, end = NIGHT
    nights = f"Night: mean of {begin}:00 to {end:02d}:00, standard time"
    if any(m.nights >= HUNDRED for m in found.months):
        nights += ", that 1 % of the month's nights exceed (or stay below)"
    return (
        f"{nights}. Sun: on a flat roof, a day. Clear: daylight hours with over 80 % of a clear "
        "sky's sun."
    )


def _spells(found: Description, system: System) -> list[tuple[str, str]]:
    rows = []
    for words, spell, what in (
        ("hottest", found.hot_nights, "nights"),
        ("coldest", found.cold_days, "days"),
    ):
        if spell is not None:
            begins = _date(found, spell)
            mean = temperature(spell.mean, system)
            rows.append((words, f"{spell.count} {what} in a row from {begins}: mean {mean}"))
    return rows


def _date(found: Description, spell: InARow) -> str:
    day: date = spell.first
    words = f"{MONTHS[day.month - 1]} {day.day}"
    record: Record = found.record
    if record.real:
        return f"{words}, {day.year}"
    if record.typical and len(record.source_years) == 12:
        return f"{words} (of {record.source_years[day.month - 1]})"
    return words


def _annual(found: Description, system: System) -> list[tuple[str, str]]:
    """Return the figures that published climate tables give too."""
    year = found.annual
    if year is None:
        return [("year", "less than a year of data: no degree-days, no design temperatures")]
    factor, base = (1.8, "65 °F") if system == "us" else (1.0, f"{BASE:g} °C")
    hot, warm, cool, cold = (_degrees(v, system, 1) for v in year.exceeded)
    return [
        (
            "degree-days",
            f"heating {fixed(factor * year.heating)}, cooling {fixed(factor * year.cooling)} a "
            f"year, base {base}, from the means of 24 hours",
        ),
        (
            "design",
            f"{hot} / {warm} {scale(system)} exceeded in 0.4 / 1 % of the hours, "
            f"{cool} / {cold} in 99 / 99.6 %",
        ),
    ]


def _grounds(found: Description) -> list[tuple[str, str]]:
    share = found.missing / max(1, found.hours)
    missing = "none" if not found.missing else f"{fixed(found.missing)} hours ({share:.1%})"
    rows = [("missing", f"{missing} of {fixed(found.hours)} hours")]
    notes = found.notes
    rows += [("note", text) for text in notes[:MOST_NOTES]]
    if len(notes) > MOST_NOTES:
        rows.append(("note", f"and {len(notes) - MOST_NOTES} more"))
    rows.append(("clear sky", CLEAR_SKY))
    return rows
