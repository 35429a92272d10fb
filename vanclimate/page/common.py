"""What the pages of all answers share: who and where, what was read, figures, books.

What does not belong here: any particular answer.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from vanclimate.answers.compare.differences import short_stack
from vanclimate.page import ink
from vanclimate.page.parts import LONGEST, Assumption, Block, Picture, Table
from vanclimate.report import odds_words, place_words, tables
from vanclimate.report.figure_words import figure_text
from vanclimate.report.numbers import temperature
from vanclimate.report.opening import setting_lines
from vanclimate.units import show

if TYPE_CHECKING:
    from collections.abc import Callable

    import rich.table
    from matplotlib.figure import Figure

    from vanclimate.answers.figures import Figure as Number
    from vanclimate.answers.futures.odds import Mover
    from vanclimate.answers.ledgers import Balance
    from vanclimate.page.drawings.canvas import Drawing
    from vanclimate.site.weather import Weather
    from vanclimate.units import System
    from vanclimate.van.sheet import Sheet

WIDE, NARROW = 700.0, 340.0  # px of a picture on a sheet's whole width, and on a phone's
MOST = 3  # assumptions
NOBODY = "-"


def picture(name: str, says: str, draw: Callable[[float], Figure], caption: str = "") -> Picture:
    """Return the explaining picture, drawn for wide and for narrow pages.

    Parameters
    ----------
    name : unlike any other picture's of the page
    says : what it shows, for who cannot see it
    draw : draws it at a width [px]
    """
    wide = Markup(ink.svg(draw(WIDE), f"{name}-wide", says))
    return Picture(wide, Markup(ink.svg(draw(NARROW), f"{name}-narrow", says)), caption)


def small(name: str, says: str, figure: Figure, caption: str = "") -> Picture:
    """Return a drawing of the technical sheet: half a sheet wide, as on a phone."""
    return Picture(Markup(ink.svg(figure, name, says)), None, caption)


def drawn(name: str, drawing: Drawing) -> Picture:
    """Return a drawing that brings its own words."""
    return small(name, drawing.says, drawing.figure)


def as_table(rich_table: rich.table.Table) -> Table:
    """Return a table of the terminal's as one of the page's: the same figures."""
    columns = [[_cell(cell) for cell in column.cells] for column in rich_table.columns]
    heads = tuple(str(column.header) for column in rich_table.columns)
    return Table(heads, tuple(zip(*columns, strict=True)))


def _cell(cell: object) -> str:
    """Return a cell's words; one that is a row of its own holds several."""
    parts = getattr(cell, "columns", None)
    if parts is None:
        return str(cell)
    return " ".join(str(part).strip() for column in parts for part in column.cells)


def joined(first: Table, second: Table) -> Table:
    """Return two tables of the same things as one, their first column once."""
    rows = tuple((*a, *b[1:]) for a, b in zip(first.rows, second.rows, strict=True))
    return Table((*first.heads, *second.heads[1:]), rows)


def sentences(texts: Iterable[str]) -> list[str]:
    """Return texts in pieces that a page shows whole: long ones between their sentences."""
    found: list[str] = []
    for text in texts:
        fresh = True  # a text begins a line of its own
        for said in re.split(r"(?<=\.) (?=[A-Z!*])", text):
            if not fresh and len(found[-1]) + 1 + len(said) <= LONGEST:
                found[-1] += f" {said}"
            elif said:
                found.append(said)
            fresh = False
    return found


def cut(table: Table, most: int, kept: Collection[int] = ()) -> Table:
    """Return a table with as many rows as a sheet has room for, and a note of those left out.

    Parameters
    ----------
    table : whole
    most : rows that are shown
    kept : places of rows that must be among them, such as the van's own
    """
    count = len(table.rows)
    if count <= most:
        return table
    free = [i for i in range(count) if i not in kept][: max(0, most - len(kept))]
    shown = sorted({*free, *kept})
    note = f"and {count - len(shown)} more: the terminal and --json list all"
    return replace(table, rows=tuple(table.rows[i] for i in shown), note=note)


def degrees(celsius: float, decimals: int = 1) -> str:
    """Write a temperature [°C] in both unit systems."""
    return f"{temperature(celsius, 'us', decimals)} ({temperature(celsius, 'si', decimals)})"


def capital(text: str) -> str:
    """Return a text that begins with a capital letter."""
    return f"{text[:1].upper()}{text[1:]}"


def van_line(sheet: Sheet) -> str:
    """Return the van's name and note."""
    return ". ".join(x.rstrip(".") for x in (sheet.name, sheet.note) if x != NOBODY)


def prepared(sheet: Sheet, today: date | None = None) -> tuple[str, ...]:
    """Return by whom and for whom a page is made, and when, as far as the sheet says."""
    day = today or date.today()
    lines = []
    if sheet.prepared_by != NOBODY:
        lines.append(f"Prepared by {sheet.prepared_by}")
    if sheet.prepared_for != NOBODY:
        lines.append(f"for {sheet.prepared_for}")
    return (*lines, f"{day:%B} {day.day}, {day.year}")


def place(answer: place_words.Placed, system: System) -> str:
    """Return where the van stands, by which data, and what the page is."""
    return places([place_words.place_line(answer, system)], [place_words.licence_line(answer)])


def places(lines: Sequence[str], licences: Sequence[str]) -> str:
    """Return some places with their data and its terms, and what the page is."""
    told = "; ".join(text for text in (*lines, *licences) if text)
    return f"{told}. An estimate, not a guarantee."


def assumptions(
    movers: Sequence[Mover], by_heat: bool, system: System, others: Sequence[Assumption]
) -> tuple[Assumption, ...]:
    """Return the three things that an answer rests on most.

    Parameters
    ----------
    movers : unknowns that move the margin beyond chance, the greatest first
    by_heat : the margin is of temperature, else of charge
    others : what it rests on besides, for the places that are left
    """
    found = [
        Assumption(m.name, odds_words.moves(m, by_heat, system), m.settle) for m in movers[:MOST]
    ]
    return (*found, *others)[:MOST]


def where(weather: Weather) -> str:
    """Return the place that a question names; made-up days have none."""
    return "made-up weather" if weather.synthetic else weather.name


def weather_assumption(real_years: bool, synthetic: bool) -> Assumption:
    """Return what an answer rests on of the weather."""
    if synthetic:
        return Assumption("the weather", "made-up days of the sheet's, not measured ones",
                          "weather of the place, by name or from a file")  # fmt: skip
    if real_years:
        return Assumption("the weather", "the years asked about; others may be hotter or colder",
                          "a run with more years")  # fmt: skip
    return Assumption("the weather", "a typical year; real years go beyond its extremes",
                      "a run with real years of the place")  # fmt: skip


def heading_assumption(sheet: Sheet) -> list[Assumption]:
    """Return what an answer rests on where a sheet does not say the way the van points."""
    if sheet.heading is not None:
        return []
    return [Assumption("the heading", "not known, so the worst of eight counts",
                       "a compass where the van parks")]  # fmt: skip


def figure_block(figures: Sequence[Number], heading: str = "Figures") -> Block:
    """Return an answer's figures in both unit systems, as JSON and CSV have them."""
    rows = [
        (f.name, figure_text(f.value, f.kind, "us"), figure_text(f.value, f.kind, "si"))
        for f in figures
    ]
    return Block(heading, table=Table(("", "US", "metric"), tuple(rows)))


def balance_block(balances: Sequence[Balance]) -> Block:
    """Return the books, and whether they close."""
    return Block("Balances", table=as_table(tables.balance_table(balances)))


def input_block(sheet: Sheet, system: System, more: Sequence[tuple[str, str]] = ()) -> Block:
    """Return the sheet's main values as understood, and how many more are guessed."""
    said = _values(sheet, system)
    guessed = len(sheet.guessed)
    facts = [(name, text) for name, text in (*said, *more) if text]
    facts += [("set", line.removeprefix("set: ")) for line in setting_lines(sheet, system)]
    facts.append(("guessed", f"{guessed} more values; vanclimate check lists them"))
    return Block("The van as understood", facts=tuple(facts))


def _values(sheet: Sheet, system: System) -> list[tuple[str, str]]:
    """Return a sheet's main values by what they are of."""

    def told(value: Any, kind: str) -> str:
        return show(value, kind, system, 3)

    body, bank, unit, heater = sheet.body, sheet.battery, sheet.air_conditioner, sheet.heater
    people, sun = sheet.people, sheet.roof_panels.power
    size = " × ".join(told(x, "length") for x in (body.length, body.width, body.height))
    glass = sum(window.area for window in sheet.windows)
    panes = f"{len(sheet.windows)} window{'s' * (len(sheet.windows) != 1)}"
    asleep = f"{people.sleepers}, up to {told(people.limit, 'temperature')} as felt"
    if sheet.heats:
        asleep += f", down to {told(people.least, 'temperature')}"
    rows = [
        ("body", f"{size} inside"),
        ("roof", short_stack(sheet.stacks.roof, system)),
        ("walls", short_stack(sheet.stacks.walls, system)),
        ("floor", short_stack(sheet.stacks.floor, system)),
        ("glass", f"{told(glass, 'area')} in {panes}" if glass else "none"),
        ("sleepers", asleep),
        ("outdoor air", f"{told(sheet.fresh_air, 'flow')} a sleeper"),
        ("bank", f"{told(bank.capacity, 'charge')} at {told(bank.voltage, 'voltage')}"),
        ("roof panels", told(sun, "power") if sun else "none"),
    ]
    if unit is not None:
        rows.append(("air conditioner", f"{told(unit.capacity, 'heat_rate')}, set to "
                     f"{told(unit.setpoint, 'temperature')}"))  # fmt: skip
    if heater is not None:
        rows.append(("heater", f"{told(heater.output, 'heat_rate')}, {heater.fuel}, set to "
                     f"{told(heater.setpoint, 'temperature')}"))  # fmt: skip
    return rows
