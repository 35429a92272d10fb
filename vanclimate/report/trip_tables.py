"""A trip's stops in rows, as rich tables.

What does not belong here: sentences (trip_words.py) and their order (trip.py).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from rich.table import Table

from vanclimate.report.numbers import fixed, hours, in_units, percent, scale, volume_number
from vanclimate.report.tables import plain_table
from vanclimate.report.trip_words import day_of, short_name

if TYPE_CHECKING:
    from vanclimate.answers.trip.answer import Trip
    from vanclimate.answers.trip.halts import Stage
    from vanclimate.answers.trip.stops import StopResult
    from vanclimate.units import System

Cell = Callable[["StopResult"], str]
NARROW = 84  # columns up to which a place's name is left out


def _stop(stage: Stage, trip: Trip, width: int) -> str:
    """Return a stop's number, its day, and its place where there is room."""
    day = day_of(stage.halt.arrives, trip).split(",")[0]
    month, number = day.split()
    name = f" {short_name(stage.halt)[:14]}," if width >= NARROW else ""
    return f"{stage.halt.index + 1}{name} {month[:3]} {number}"


def _hours(seconds: float) -> str:
    """Write a time; of none a dash."""
    return hours(seconds / 3600.0) if seconds else "–"


def _tables(trip: Trip, width: int, columns: dict[str, tuple[Cell, str]]) -> list[Table]:
    """Return a row a stop, and their sums; where that does not fit, a column a stop."""
    names = [_stop(stage, trip, width) for stage in trip.stages]
    rows = [[cell(result) for cell, _ in columns.values()] for result in trip.results]
    if len(names) > 1:
        names.append("in all")
        rows.append([total for _, total in columns.values()])
    widths = list(map(_wide, columns, zip(*rows, strict=True)))
    room = width - max(map(len, names)) - 2 - sum(widths)
    if room >= 0:
        table = plain_table("stop", *columns)
        for column, heading, wide in zip(table.columns[1:], columns, widths, strict=True):
            more = max(0, len(heading) + 2 - wide)  # for a heading in one line
            more = more if more <= room else 0
            room -= more
            column.width = wide - 2 + more  # left to itself the table cuts the last figures off
        for name, row in zip(names, rows, strict=True):
            table.add_row(name, *row)
        return [table]
    each = 2 + max(len(text) for text in (*names, *(text for row in rows for text in row)))
    count = max(1, (width - max(map(len, columns)) - 2) // each)
    return [
        _turned(names[i : i + count], rows[i : i + count], list(columns))
        for i in range(0, len(names), count)
    ]


def _wide(name: str, cells: Sequence[str]) -> int:
    """Return the width of a column, its heading broken between words."""
    return 2 + max(len(text) for text in (*name.split(), *cells))


def _turned(names: Sequence[str], rows: Sequence[Sequence[str]], labels: Sequence[str]) -> Table:
    table = plain_table("stop", *names)
    for label, *cells in zip(labels, *rows, strict=True):
        table.add_row(label, *cells)
    return table


def heat_tables(trip: Trip, system: System, width: int) -> list[Table]:
    """Return what heating and cooling take at each stop, and how it is inside."""
    sheet = trip.sheet
    nights = {id(r): h.nights for r, h in zip(trip.results, trip.halts, strict=True)}
    unit = "gal" if system == "us" else "L"

    def whole(name: str, decimals: int = 0, per: float = 1.0) -> tuple[Cell, str]:
        return (lambda r: fixed(getattr(r, name) / per, decimals)), fixed(
            trip.total(name) / per, decimals
        )

    def outdoors(name: str) -> Cell:
        return lambda r: fixed(in_units(getattr(r, name), "temperature", system))

    columns: dict[str, tuple[Cell, str]] = {
        "nights": ((lambda r: str(nights[id(r)])), str(trip.nights)),
        f"low, {scale(system)}": (outdoors("outdoor_least_c"), ""),
        f"high, {scale(system)}": (outdoors("outdoor_most_c"), ""),
    }
    if sheet.heater is not None:
        columns |= {
            "heat, h": whole("heater_hours"), "starts": whole("heater_starts"),
            f"fuel, {unit}": ((lambda r: volume_number(r.fuel_l, system)),
                              volume_number(trip.total("fuel_l"), system)),
            "left": ((lambda r: volume_number(r.fuel_left_l, system)), ""),
        }  # fmt: skip
    elif sheet.heats:
        columns["heat, kWh"] = whole("heat_wh", 1, 1e3)
    if trip.total("heat_electric_wh") > 0.0:
        columns["drawn for it, kWh"] = whole("heat_electric_wh", 1, 1e3)
    if sheet.air_conditioner is not None:
        columns |= {"AC, h": whole("ac_hours"), "AC, kWh": whole("ac_wh", 1, 1e3)}
    columns["cold days"] = (lambda r: str(r.cold_days)), str(trip.cold_days)
    columns["too warm"] = whole("nights_warm")
    if sheet.heats:
        columns["too cold"] = whole("nights_cold")
    return _tables(trip, width, columns)


def bank_tables(trip: Trip, system: System, width: int) -> list[Table]:
    """Return each stop's charge, what brought it, and the fresh water."""
    bank = trip.stages[0].scene.gear.cells.capacity
    unit = "gal" if system == "us" else "L"

    def share(name: str) -> tuple[Cell, str]:
        return (lambda r: percent(getattr(r, name) / bank)), ""

    def brought(name: str) -> tuple[Cell, str]:
        return (lambda r: fixed(getattr(r, name))), fixed(trip.total(name))

    drives = {id(r): h.stop.drive for r, h in zip(trip.results, trip.halts, strict=True)}
    columns: dict[str, tuple[Cell, str]] = {
        "drive": (
            (lambda r: _hours(drives[id(r)])),
            _hours(sum(drives.values())),
        ),
        "begins": share("charge_begins_ah"),
        "+ sun, Ah": brought("sun_ah"),
        "+ drive": brought("drive_ah"),
    }
    if trip.sheet.shore is not None:
        columns["+ shore"] = brought("shore_ah")
    columns |= {"lowest": share("charge_least_ah"), "ends": share("charge_ends_ah")}
    if trip.sheet.water is not None:
        used = volume_number(trip.total("water_used_l"), system)
        columns[f"water, {unit}"] = (lambda r: volume_number(r.water_used_l, system)), used
        columns["left"] = (lambda r: volume_number(r.water_left_l, system)), ""
    return _tables(trip, width, columns)


def years_table(trip: Trip, system: System) -> Table:
    """Return the trip in each of its years, the hardest first."""
    unit = "gal" if system == "us" else "L"
    table = plain_table("year", f"fuel, {unit}", "heater, h", "heat, kWh", "AC, kWh", "fails on")
    for year in trip.years:
        table.add_row(
            str(year.year), volume_number(year.fuel_l, system), fixed(year.heater_hours),
            fixed(year.heat_wh / 1e3, 1), fixed(year.ac_wh / 1e3, 1),
            "" if year.first is None else f"{year.first.kind}, {day_of(year.first.at, trip)}",
        )  # fmt: skip
    return table
