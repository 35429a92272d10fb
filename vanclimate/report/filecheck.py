"""What a weather file holds and what is wrong with it, on a terminal.

What does not belong here: finding it (site/filecheck, site/suncheck).
"""

from __future__ import annotations

from datetime import UTC, datetime
from math import isfinite
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from vanclimate.report.layout import facts, heading, put, say
from vanclimate.report.numbers import fixed, height, percent, place_of, utc_offset
from vanclimate.report.tables import BAD, GOOD, plain_table

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.site.filecheck import FileCheck, Span
    from vanclimate.site.suncheck import Finding
    from vanclimate.units import System

QUANTITIES = {
    "temp_air": ("air", "°C", 1.0, 1),
    "temp_dew": ("dew point", "°C", 1.0, 1),
    "relative_humidity": ("relative humidity", "%", 100.0, 0),
    "pressure": ("pressure", "hPa", 0.01, 0),
    "wind_speed": ("wind", "m/s", 1.0, 1),
    "wind_direction": ("wind from", "deg", 1.0, 0),
    "ghi": ("sun, global", "W/m²", 1.0, 0),
    "dni": ("sun, direct", "W/m²", 1.0, 0),
    "dhi": ("sun, diffuse", "W/m²", 1.0, 0),
    "cloud_total": ("cloud", "%", 100.0, 0),
    "cloud_opaque": ("cloud, opaque", "%", 100.0, 0),
    "ceiling": ("cloud base", "m", 1.0, 0),
    "longwave": ("longwave of the sky", "W/m²", 1.0, 0),
}
"""Quantity → what it is called, unit, factor from SI, decimals."""

IN_US = {"°C": ("°F", 1.8, 32.0, 1), "hPa": ("inHg", 1 / 33.86389, 0.0, 2),
         "m/s": ("mph", 3600 / 1609.344, 0.0, 1), "m": ("ft", 1 / 0.3048, 0.0, 0)}  # fmt: skip
"""Unit → the US unit, factor, what is added, decimals."""


def print_file_check(found: FileCheck, file: str, system: System, console: Console) -> None:
    """Print what a file holds, whether it can be used, and each finding in a line."""
    console.print(Text(_first_line(found, file), style=BAD if found.unusable else GOOD))
    facts(console, _place(found, system))
    console.print()
    put(console, _columns(found.spans, system))
    heading(console, "The sun of its place")
    facts(console, _sun(found))
    if found.findings:
        heading(console, "Findings")
        facts(console, [("!", _finding(f)) for f in found.findings])
    notes = found.table.notes if found.hours is None else found.hours.notes
    if notes:
        heading(console, "Notes")
        for note in notes:
            say(console, note)


def _first_line(found: FileCheck, file: str) -> str:
    if found.unusable:
        return f"{file}: cannot be used as it is"
    count = len(found.findings)
    said = {0: "usable, nothing found", 1: "usable, with 1 finding"}
    return f"{file}: {said.get(count, f'usable, with {count} findings')}"


def _finding(finding: Finding) -> str:
    """Return a finding in a line, with how often and where."""
    words = finding.words
    if finding.count > 1:
        words += f"; {fixed(finding.count)} times"
    if finding.rows:
        where = ", ".join(str(row) for row in finding.rows)
        more = " …" if finding.count > len(finding.rows) else ""
        at = "row" if len(finding.rows) == 1 else "rows"
        # of gaps and stuck values the longest is named, of the rest the first
        words += f" (that one at {at} {where})" if finding.longest else f" ({at} {where}{more})"
    return words


def _place(found: FileCheck, system: System) -> list[tuple[str, str]]:
    table, station = found.table, found.station
    at = place_of(station.latitude, station.longitude)
    if station.elevation is not None:
        at += f", {height(station.elevation, system)}"
    zone = utc_offset(station.utc_offset_h or 0.0)
    step = f"{table.step / 60:g} min" if table.step != 3600 else "1 h"
    begin, end = (
        datetime.fromtimestamp(int(t) + (station.utc_offset_h or 0.0) * 3600, UTC)
        for t in (table.start[0], table.start[-1] + table.step)
    )
    if table.typical:
        years = f", months from {min(table.years)}–{max(table.years)}" if table.years else ""
        period = f"a typical year{years}"
    else:
        period = f"{begin:%Y-%m-%d %H:%M} to {end:%Y-%m-%d %H:%M}, standard time"
    rows = [
        ("format", table.format),
        ("place", f"{station.name}, {at}" if station.name else at),
        ("rows", f"{fixed(len(table.start))} of {step}: {period}"),
        ("stamps", table.stamps),
        ("zone", f"{zone}; by the sun it would be {utc_offset(station.longitude / 15.0)}"),
    ]
    if table.licence:
        rows.append(("licence", table.licence))
    return rows


def _columns(spans: tuple[Span, ...], system: System) -> Table:
    table = plain_table("", "unit", "least", "mean", "most", "missing")
    table.add_column("in the file", justify="left")
    for span in spans:
        words, unit, factor, decimals = QUANTITIES[span.quantity]
        ends = [v * factor for v in (span.least, span.mean, span.greatest)]
        if system == "us" and unit in IN_US:
            unit, scale, offset, decimals = IN_US[unit]
            ends = [v * scale + offset for v in ends]
        cells = [fixed(v, decimals) if isfinite(v) else "-" for v in ends]
        missing = fixed(span.missing) if span.missing else "-"
        table.add_row(words, unit, *cells, missing, span.name)
    return table


def _sun(found: FileCheck) -> list[tuple[str, str]]:
    """Return how the file's sun stands against the place's."""
    shift = found.shift
    rows = []
    if shift is None:
        rows.append(("noon", "no day of sun to compare"))
    else:
        text = (
            f"the file's sun is {abs(shift.minutes):.0f} min {shift.way} (within "
            f"{shift.allowed:.0f} min is as good as {fixed(shift.days)} days can tell)"
        )
        rows.append(("noon", text))
    if found.above is not None:
        rows.append(("clear sky", f"{percent(found.above)} of daylight hours are well above it"))
    if found.apart is not None:
        text = f"global, direct and diffuse sun are {found.apart:.1f} W/m² apart (RMS in daylight)"
        rows.append(("parts", text))
    return rows
