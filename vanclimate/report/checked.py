"""What was understood of a sheet: every value in both unit systems, and the shell in figures.

What does not belong here: reading a sheet (van/) and working out the figures (network/summary.py).
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from vanclimate.answers.rule_checks import rule_notes
from vanclimate.energy.cells import stored_energy
from vanclimate.report.layout import put
from vanclimate.report.margin_words import must_stay
from vanclimate.report.new_words import as_typed
from vanclimate.report.numbers import both, fixed, in_order
from vanclimate.report.opening import setting_lines
from vanclimate.report.tables import plain_table
from vanclimate.report.words import plain
from vanclimate.units import R_US, System, show

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.answers.fresh_air import FixedVentilation
    from vanclimate.network.section import Section
    from vanclimate.network.summary import ShellSummary
    from vanclimate.simulate.inputs import Equipment
    from vanclimate.van.sheet import Sheet
    from vanclimate.van.summary import Row

ROOMY = 84  # columns from which a reason stands beside its value
WHOLE = 34  # letters up to which a key is never broken


def print_check(
    sheet: Sheet, shell: ShellSummary, gear: Equipment, vents: FixedVentilation, console: Console,
    system: System,
) -> None:  # fmt: skip
    """Print a sheet as understood, its own units first, marking what was guessed."""
    from vanclimate.van.summary import echo

    rows = echo(sheet)
    count = sum(r.guessed for r in rows)
    console.print(
        Text(f"{sheet.file}: {len(rows)} values understood, {count} of them guessed (marked ?)"),
        style="bold",
    )
    if sheet.note != "-":
        console.print(Padding(Text(plain(f"{sheet.name}. {sheet.note}")), (0, 0, 0, 2)))
    for text in setting_lines(sheet, system):
        console.print(Padding(Text(text), (0, 0, 0, 2)))
    for name, own in _sections(rows):
        console.print()
        console.print(Text(name, style="bold"))
        put(console, _values(own, console.width, system))
    console.print()
    console.print(Text("what follows from it", style="bold"))
    put(console, _shell_table(shell, system))
    if shell.ribs:
        console.print()
        put(console, _rib_table(shell, system))
        console.print(Padding(Text(_coldest(system)), (0, 0, 0, 2)))
        console.print()
    put(console, _figures(sheet, shell, gear, vents, system))
    for text in (*sheet.notes, *rule_notes(sheet), *shell.notes):
        console.print(Padding(Text(plain(f"note: {text}")), (0, 0, 0, 2)))


def print_accepted(sheet: Sheet, console: Console, file: Path | None) -> None:
    """Say last of all, where it is seen, that a sheet can be asked, and how."""
    asked = f"vanclimate night {as_typed(str(file))}" if file else "vanclimate night"
    console.print()
    console.print(
        Text(f"Accepted, {len(sheet.guessed)} values guessed. Ask: {asked}"), style="bold"
    )


def _sections(rows: list[Row]) -> list[tuple[str, list[Row]]]:
    """Return rows by the section they stand in; values of the sheet itself come first."""
    found: dict[str, list[Row]] = {"sheet": []}
    for row in rows:
        head, dot, rest = row.key.partition(".")
        section = head.split(" (")[0] if dot else "sheet"
        key = (
            row.key
            if not dot
            else rest
            if head == section
            else head[len(section) + 1 :] + f" {rest}"
        )
        found.setdefault(section, []).append(row._replace(key=key))
    return [(name, own) for name, own in found.items() if own]


def _values(rows: list[Row], width: int, system: System) -> Table:
    """Return a section's values: a mark, key, value in both units, and where it comes from."""
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(width=1)
    longest = max(len(row.key) for row in rows)
    grid.add_column(min_width=22 if width >= ROOMY else None, no_wrap=longest <= WHOLE)
    grid.add_column(ratio=None)
    for row in rows:
        own, other = (row.us, row.si) if system == "us" else (row.si, row.us)
        value = own if own == other else f"{own} = {other}"
        origin = row.why if row.guessed else f"line {row.line}" if row.line else ""
        origin = row.origin or ("" if row.line and not row.guessed else origin)
        value = f"{value}   ({origin})" if origin else value
        grid.add_row("?" if row.guessed else "", Text(plain(row.key)), Text(plain(value)))
    return grid


def _shell_table(shell: ShellSummary, system: System) -> Table:
    """Return area and UA by kind of path, and by side."""
    us = system == "us"
    areas, rates = ("m2", "ft2"), ("W/K", "BTU/h·F")
    own, other = rates[::-1] if us else rates
    table = plain_table(
        "part of the shell", *(areas[::-1] if us else areas), f"UA, {own}", other,
        f"covers closed, {own}",
    )  # fmt: skip
    table.columns[0].no_wrap = False  # a long name gives way, not the figures

    def row(name: str, area: float, ua: float, covered: float) -> None:
        feet = float(show(area, "area", "us", 6).split()[0])
        areas, rates = [fixed(area, 1), fixed(feet)], [fixed(ua, 1), fixed(_per_f(ua), 1)]
        closed = fixed(_per_f(covered) if us else covered, 1)
        step = -1 if us else 1
        table.add_row(name, *areas[::step], *rates[::step], closed)

    for part in shell.groups:
        row(part.name, part.area, part.ua, part.ua_covered)
    row("all", sum(p.area for p in shell.groups), shell.ua, shell.ua_covered)
    table.add_section()
    for part in (*shell.sides, *shell.zones):
        row(f"of it, {part.name}", part.area, part.ua, part.ua_covered)
    if shell.partitions:
        table.add_section()
    for part in shell.partitions:
        row(f"between rooms: {part.name}", part.area, part.ua, part.ua_covered)
    return table


def _per_f(conductance: float) -> float:
    """Return a conductance [W/K] in BTU/h·F."""
    return float(show(conductance * 5.0 / 9.0, "heat_rate", "us", 6).split()[0])


def _coldest(system: System) -> str:
    """Return how a share of the way from outdoors to inside is read."""
    cold, warm, between = (both(x, "temperature", system) for x in (0.0, 20.0, 12.0))
    return (
        f"* as a share of the way from outdoors to the air inside: 0.6 at {cold} outside and "
        f"{warm} inside is {between}"
    )


def _rib_table(shell: ShellSummary, system: System) -> Table:
    """Return U between ribs and with them, a rib's own share, and the coldest point inside."""
    table = plain_table("ribs", *(x.sides for x in shell.ribs))
    sections = [x.section for x in shell.ribs]
    table.add_row("", *(x.name for x in sections))

    def row(name: str, *values: str) -> None:
        table.add_row(name, *values)

    for own in in_order(system):
        if own == "si":
            row("U between them, W/m2·K", *(fixed(x.u_plain, 2) for x in sections))
            row("U with them", *(fixed(x.u_mean, 2) for x in sections))
        else:
            row("R between them, ft2·F·h/BTU", *(fixed(1 / x.u_plain / R_US, 1) for x in sections))
            row("R with them", *(fixed(1 / x.u_mean / R_US, 1) for x in sections))
    row("one rib, W/m·K", *(fixed(x.psi, 3) for x in sections))
    screwed = any(x.factor_screw is not None for x in sections)
    if screwed:
        row("of it its screws", *(_or_none(x.psi_screws, x, 3) for x in sections))
    row(
        "coldest point inside, screws aside*" if screwed else "coldest point inside*",
        *(fixed(x.factor, 2) for x in sections),
    )
    row("the same, judged for mould*", *(fixed(x.factor_mould, 2) for x in sections))
    if screwed:
        row("a screw's head*", *(_or_none(x.factor_screw, x, 2) for x in sections))
    return table


def _or_none(value: float | None, ribs: Section, places: int) -> str:
    """Write a figure of a rib's screws, a dash where it has none."""
    return "-" if value is None or ribs.factor_screw is None else fixed(value, places)


def _figures(
    sheet: Sheet, shell: ShellSummary, gear: Equipment, vents: FixedVentilation, system: System
) -> Table:
    """Return the figures that are one number each."""
    usable = gear.cells.capacity - gear.kept
    whole = gear.cells.capacity
    energy = stored_energy(gear.cells, whole) - stored_energy(gear.cells, gear.kept)
    grid = Table.grid(padding=(0, 2, 0, 0))
    leaks = [f"{shell.leakage:.1f} W/K", f"{_per_f(shell.leakage):.3g} BTU/h·F"]
    held = [f"{shell.capacity / 3600.0:,.0f} Wh/K", f"{_per_f(shell.capacity / 3600.0):,.0f} BTU/F"]
    wind = both(3.0, "speed", system, 2)
    apart = "18 F° (10 K)" if system == "us" else "10 K (18 F°)"
    step = -1 if system == "us" else 1
    rows = [
        ("leakage", f"{' = '.join(leaks[::step])} at {apart} and {wind}, besides UA"),
        ("heat capacity", f"{' = '.join(held[::step])}, furniture and air included"),
        ("slowest time constant", f"{shell.slowest:.1f} h, covers closed, leakage included"),
        (
            "usable charge",
            f"{show(usable, 'charge')}, {show(energy, 'energy')} of {whole:.0f} Ah, above "
            f"the {must_stay(sheet)}",
        ),
        ("fixed ventilation", vents.sentence(system)),
    ]
    for name, text in rows:
        grid.add_row(name, Text(text))
    return grid
