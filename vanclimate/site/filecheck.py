"""What a weather file holds and what is wrong with it: columns, gaps, stuck values, and its sun.

What does not belong here: what a reader refuses outright (``formats``), the sun (``suncheck``),
wording of tables.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.errors import WeatherError
from vanclimate.site.hours import lay, runs_of
from vanclimate.site.suncheck import (
    Finding,
    closure,
    envelope,
    for_shift,
    night_sun,
    refuse_shift,
    shift_words,
    zone_words,
)
from vanclimate.site.sunshift import SunShift, sun_shift
from vanclimate.site.table import Hours, Station, Table

STUCK_HOURS = {"temp_air": 24.0, "wind_speed": 24.0, "ghi": 6.0}
"""h for which a value that never moves is believed; common practice, no source."""


@dataclass(frozen=True)
class Span:
    """A column of a file: its name there, least, mean and greatest value in SI, rows without."""

    quantity: str
    name: str
    least: float
    mean: float
    greatest: float
    missing: int


@dataclass(frozen=True)
class FileCheck:
    """What was found in a file.

    Attributes
    ----------
    table : its rows
    station : its place, with what had to be assumed
    spans : its columns
    hours : the rows on whole hours, None where that cannot be
    shift : where its sun is, None where it has none
    apart : RMS of ghi - dni cos(zenith) - dhi in daylight [W/m2], None without all three
    above : share of daylight hours brighter than the clear sky's envelope, None without hours
    findings : what is wrong
    unusable : why it cannot be used, or ''
    """

    table: Table
    station: Station
    spans: tuple[Span, ...]
    hours: Hours | None
    shift: SunShift | None
    apart: float | None
    above: float | None
    findings: tuple[Finding, ...]
    unusable: str


def check_table(table: Table, station: Station, name: str, fill: bool = False) -> FileCheck:
    """Return what a file's rows say of themselves.

    Parameters
    ----------
    table : as read
    station : its place, complete
    name : the file, for messages
    fill : whether gaps of up to 3 h may be filled
    """
    findings = [*_gaps(table), *_stuck(table), *night_sun(table)]
    hours, unusable = None, ""
    try:
        hours = lay(table, name, fill)
    except WeatherError as fault:
        unusable = str(fault)
    shift = None
    if "ghi" in table.columns:
        begin, width, ghi = for_shift(table)
        shift = sun_shift(begin, width, ghi, station.latitude, station.longitude)
        try:
            refuse_shift(shift, name)
        except WeatherError as fault:
            unusable = unusable or str(fault)
    apart = above = None
    if hours is not None:
        apart, worst = closure(table, station, hours)
        above, bright = envelope(table, station, hours)
        findings += [*worst, *bright]
    findings += [Finding(text) for text in (*shift_words(shift), *zone_words(station))]
    return FileCheck(
        table, station, _spans(table), hours, shift, apart, above, tuple(findings), unusable
    )


def _spans(table: Table) -> tuple[Span, ...]:
    spans = []
    for quantity, values in table.columns.items():
        known = values[np.isfinite(values)]
        ends = (known.min(), known.mean(), known.max()) if known.size else (np.nan,) * 3
        least, mean, greatest = (float(end) for end in ends)
        missing = int(np.isnan(values).sum())
        spans.append(Span(quantity, table.name_of(quantity), least, mean, greatest, missing))
    return tuple(spans)


def _gaps(table: Table) -> list[Finding]:
    """Return rows that are not there, and values that are not there, each with the longest."""
    findings = []
    apart = np.diff(table.start)
    lost = np.where(apart > table.step, apart - table.step, 0)
    if not table.typical and lost.any():
        longest, count = int(np.argmax(lost)), int((lost > 0).sum())
        words = f"rows are missing, {_span(float(lost[longest]))} at the longest"
        findings.append(Finding(words, count, (table.first_row + longest + 1,), longest=True))
    for quantity, values in table.columns.items():
        starts, lengths = runs_of(np.isnan(values))
        if starts.size:
            longest = int(np.argmax(lengths))
            span = _span(float(lengths[longest]) * table.step)
            words = f"{table.name_of(quantity)}: no value, for {span} at the longest"
            row = int(starts[longest]) + table.first_row
            findings.append(Finding(words, int(starts.size), (row,), longest=True))
    return findings


def _span(seconds: float) -> str:
    return f"{seconds / 3600.0:.3g} h" if seconds >= 3600.0 else f"{seconds / 60.0:.3g} min"


def _stuck(table: Table) -> list[Finding]:
    """Return values that stay the same for too long; zeros may."""
    findings = []
    for quantity, most in STUCK_HOURS.items():
        values = table.columns.get(quantity)
        if values is None or len(values) < 2:
            continue
        with np.errstate(invalid="ignore"):
            same = (np.diff(values) == 0.0) & (values[1:] != 0.0)
        same &= np.diff(table.start) == table.step
        starts, lengths = runs_of(same)
        spans = (lengths + 1) * table.step / 3600.0
        long = spans >= most
        if long.any():
            longest = int(np.argmax(spans))
            words = f"{table.name_of(quantity)}: stuck, for {spans[longest]:.0f} h at the longest"
            row = int(starts[longest]) + table.first_row
            findings.append(Finding(words, int(long.sum()), (row,), longest=True))
    return findings
