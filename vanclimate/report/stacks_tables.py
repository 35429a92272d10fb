"""Tables of the answer about insulation stacks.

What does not belong here: sentences (stacks_words.py) and the order (stacks.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from rich.table import Table
from rich.text import Text

from vanclimate.answers.stacks.nights import in_fuel
from vanclimate.report.numbers import fixed, in_units, scale, unit_of
from vanclimate.report.stacks_words import LEAST_TOLD
from vanclimate.report.tables import plain_table
from vanclimate.units import FT, GAL, IN, LB, R_US, show

if TYPE_CHECKING:
    from vanclimate.answers.stacks.answer import Row, Stacks
    from vanclimate.answers.stacks.worth import Gain
    from vanclimate.units import System

ROOMY = 84  # columns from which all figures stand in one table
NAME, NARROW = 30, 20  # columns that a stack and its rank have, where there is room or not
KEYS = ("ac_wh", "felt_k", "heat_wh", "fuel_l")


class Unit(NamedTuple):
    """How the figures of one night are shown: heading, heading of a gain, size, decimals."""

    name: str
    gain: str
    key: str
    size: float
    decimals: int


def units_of(answer: Stacks, system: System) -> list[Unit]:
    """Return how the hot and the cold night are shown, those that are there."""
    found = []
    if answer.hot is not None and answer.hot.way == "ac":
        found.append(Unit("AC, Wh", "AC, Wh", "ac_wh", 1.0, 0))
    elif answer.hot is not None:
        kind = "temperature_difference"
        step = 1.0 / in_units(1.0, kind, system)
        found.append(
            Unit(f"felt, {scale(system)}", f"cooler, {unit_of(kind, system)}", "felt_k", step, 1)
        )
    if answer.cold is not None and in_fuel(answer.sheet):
        size, unit = (1e3 * GAL, "gal") if system == "us" else (1.0, "L")
        found.append(Unit(f"fuel, {unit}", f"fuel, {unit}", "fuel_l", size, 2))
    elif answer.cold is not None:
        found.append(Unit("heat, Wh", "heat, Wh", "heat_wh", 1.0, 0))
    return found


def _table(answer: Stacks, columns: Sequence[str], width: int) -> Table:
    """Return a table whose first column, the stacks, leaves the figures their room."""
    table = plain_table("stack", *columns)
    if width < ROOMY or max(len(row.name) for row in answer.rows) + 3 > NAME:
        table.columns[0].no_wrap = False
        table.columns[0].max_width = NAME if width >= ROOMY else NARROW
        longest = max(len(word) for row in answer.rows for word in row.name.split())
        table.columns[0].min_width = min(NARROW, 3 + longest)  # headings give way, not names
    return table


def _name(row: Row) -> Table:
    """Return a stack's rank and name, which hangs beside it."""
    style = "bold" if row.own else ""
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(width=2, justify="right")
    grid.add_column(overflow="fold")
    grid.add_row(Text(str(row.rank), style=style), Text(row.name, style=style))
    return grid


def nights_table(answer: Stacks, system: System, width: int) -> Table:
    """Return the ranking: what each stack takes on the two nights, its cold and its water."""
    wet = bool(answer.own.figures.damp)
    columns = [unit.name for unit in units_of(answer, system)]
    columns += [f"coldest, {scale(system)}"]
    columns += [f"water, {'oz/ft2' if system == 'us' else 'g/m2'}"] if wet else []
    table = _table(answer, columns, width)
    for row in answer.rows:
        cells = [_figure(row, unit, system) for unit in units_of(answer, system)]
        cells.append(fixed(in_units(row.figures.coldest_c, "temperature", system)))
        cells += [_water(row, system)] if wet else []
        table.add_row(_name(row), *cells)
    return table


def _figure(row: Row, unit: Unit, system: System) -> str:
    """Return a stack's figure of one night, marked where it misses what is wanted."""
    if unit.key == "felt_k":
        return fixed(in_units(row.of("felt_c"), "temperature", system), 1)
    short = row.short_k(unit.key) > LEAST_TOLD
    mark = ("!" if unit.key == "ac_wh" else "*") if short else ""
    return fixed(row.of(unit.key) / unit.size, unit.decimals) + mark


def _water(row: Row, system: System) -> str:
    side = row.figures.dampest
    peak = 0.0 if side is None else side[1].peak
    if system == "us":
        return fixed(float(show(peak, "area_mass", "us", 6).split()[0]), 1)
    return fixed(1e3 * peak)


def figures_tables(answer: Stacks, system: System, width: int) -> list[Table]:
    """Return what the stacks are on paper, in the van and by their bulk; two where it is narrow."""
    us = system == "us"
    r, other = ("R", "RSI") if us else ("RSI", "R")
    thermal = [f"paper, {r}", other, f"cold, {r}", f"van, {r}", "U, W/m2·K"]
    if answer.cold is None:
        thermal.remove(f"cold, {r}")
    bulk = [f"depth, {'in' if us else 'mm'}", f"room, {'ft3' if us else 'L'}", "lb" if us else "kg"]
    prices = answer.sheet.prices
    bulk += [prices.currency or "price"] if prices is not None else []
    first = [_thermal(row, us) for row in answer.rows]
    second = [_bulk(row, us, prices is not None) for row in answer.rows]
    if width >= ROOMY:
        cells = [[*a, *b] for a, b in zip(first, second, strict=True)]
        return [_filled(answer, [*thermal, *bulk], cells, width)]
    return [_filled(answer, thermal, first, width), _filled(answer, bulk, second, width)]


def _filled(
    answer: Stacks, columns: Sequence[str], cells: Sequence[Sequence[str]], width: int
) -> Table:
    table = _table(answer, columns, width)
    for row, own in zip(answer.rows, cells, strict=True):
        table.add_row(_name(row), *own)
    return table


def _thermal(row: Row, us: bool) -> list[str]:
    f = row.figures
    in_van = 1.0 / f.u_w_m2k
    cells = [_r(f.r_paper_m2k_w, us), _r(f.r_paper_m2k_w, not us)]
    cells += [] if f.r_cold_m2k_w is None else [_r(f.r_cold_m2k_w, us)]
    return [*cells, _r(in_van, us), fixed(f.u_w_m2k, 2)]


def _r(value: float, us: bool) -> str:
    """Write a thermal resistance [m2·K/W] as R or RSI."""
    return fixed(value / R_US, 1) if us else fixed(value, 2)


def _bulk(row: Row, us: bool, priced: bool) -> list[str]:
    f = row.figures
    cells = [
        fixed(f.thickness_m / IN, 1) if us else fixed(1e3 * f.thickness_m),
        fixed(f.lost_m3 / FT**3) if us else fixed(1e3 * f.lost_m3),
        fixed(f.mass_kg / LB) if us else fixed(f.mass_kg),
    ]
    return [*cells, "-" if f.price is None else fixed(f.price)] if priced else cells


def worth_table(answer: Stacks, system: System) -> Table:
    """Return what each layer of the own stacks earns added last, and by its inch."""
    units, step = units_of(answer, system), IN if system == "us" else 0.025
    size = "in" if system == "us" else "25 mm"
    table = plain_table("layer", *(u.gain for u in units), *(f"{u.gain} per {size}" for u in units))
    table.columns[0].no_wrap = False
    for worth in answer.worths:
        thick = show(worth.thickness_m, "length", system, 3) if worth.thickness_m else ""
        label = f"{worth.side}: {worth.material} {thick}".rstrip()
        if worth.gain is None:
            table.add_row(label, *("cannot go" for _ in units), *("" for _ in units))
            continue
        each = ["" for _ in units]
        if worth.insulates and worth.thickness_m >= 1e-3:
            each = _gains(_scaled(worth.gain, step / worth.thickness_m), units)
        table.add_row(label, *_gains(worth.gain, units), *each)
    return table


def inch_table(answer: Stacks, system: System, width: int) -> Table:
    """Return what one more inch earns on each surface, in all and by its area."""
    roomy = width >= ROOMY
    us, units = system == "us", units_of(answer, system)
    each, part = ("100 ft2", 100.0 * FT**2) if us else ("10 m2", 10.0)
    columns = ["ft2" if us else "m2"]
    columns += [f"room, {'ft3' if us else 'L'}"] if roomy else []
    columns += [*(u.gain for u in units), *(f"{u.gain} per {each}" for u in units)]
    table = plain_table("more on", *columns)
    table.columns[0].no_wrap = False
    for inch in answer.inches:
        bare = inch.where == "glass"
        room = fixed(inch.lost_m3 / FT**3, 1) if us else fixed(1e3 * inch.lost_m3)
        table.add_row(
            "bare glass: night covers" if bare else f"{inch.where}: {inch.material}",
            fixed(inch.area_m2 / FT**2) if us else fixed(inch.area_m2, 1),
            *([room] if roomy else []),
            *_gains(inch.gain, units), *_gains(_scaled(inch.gain, part / inch.area_m2), units),
        )  # fmt: skip
    return table


def _gains(gain: Gain, units: Sequence[Unit]) -> list[str]:
    return [fixed((getattr(gain, u.key) or 0.0) / u.size, u.decimals) for u in units]


def _scaled(gain: Gain, share: float) -> Gain:
    return replace(
        gain, **{key: value * share for key in KEYS if (value := getattr(gain, key)) is not None}
    )
