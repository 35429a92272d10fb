"""What is known by name, row by row with its figures and their source: materials, glass, covers,
bodies and loads.

What does not belong here: equipment (shelf_equipment.py), stacks (answers/shelf.py), and how rows
are printed (report/library.py).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from vanclimate.units import IN, R_US, System, show
from vanclimate.van.bodies import FIGURES, KINDS, BodyKind
from vanclimate.van.covers import COVERS, Cover
from vanclimate.van.fields import fold, in_use, write_periods
from vanclimate.van.library_rows import SECTIONS
from vanclimate.van.load_library import LOADS, UsualLoad
from vanclimate.van.loads import Load
from vanclimate.van.materials import AIR, FOIL, MATERIALS, Film, Material
from vanclimate.van.openings import GLASSES, Glass
from vanclimate.van.own_layers import NO_LIBRARY, Library, OwnRow
from vanclimate.van.parts import Body

SYSTEMS: tuple[System, System] = ("si", "us")
LISTS = SECTIONS  # the shipped rows stand in a library's own sections


@dataclass(frozen=True)
class Cell:
    """One figure of a row.

    Attributes
    ----------
    key : what it is of
    si, us : its text in both systems of units
    value : the number [SI unit of the kind], or the text
    kind : a key of `units.KINDS`, '' for a text
    low, high : its range, None where there is none
    range_si, range_us : that range in both systems, '' where there is none
    aside : it stands below the row, not in a column
    """

    key: str
    si: str
    us: str
    value: float | str
    kind: str = ""
    low: float | None = None
    high: float | None = None
    range_si: str = ""
    range_us: str = ""
    aside: bool = False


@dataclass(frozen=True)
class ShelfRow:
    """One row of a list.

    Attributes
    ----------
    list, group : 'materials' and, within it, such as 'glass'
    name : as a sheet writes it
    cells : its figures
    source : where they come from, '; ' between several
    also : other names of it
    place : of an own row, the library's file and line
    """

    list: str
    group: str
    name: str
    cells: tuple[Cell, ...]
    source: str
    also: tuple[str, ...] = ()
    place: str = ""

    def says(self, word: str) -> bool:
        """Return whether a word is in its name, in another name of it, or in its group."""
        return any(fold(word) in fold(text) for text in (self.name, self.group, *self.also))


def number(
    key: str, value: float, kind: str, low: float | None = None, high: float | None = None,
    *, aside: bool = False,
) -> Cell:  # fmt: skip
    """Return a quantity as a cell, with its range where it has one."""
    if low is None or high is None or low == high:
        low = high = None
    si, us = (show(value, kind, system, 3) for system in SYSTEMS)
    span_si, span_us = ("" if low is None else _span(si, us, (low, high), kind, s) for s in SYSTEMS)
    return Cell(key, si, us, value, kind, low, high, span_si, span_us, aside)


def _span(si: str, us: str, ends: tuple[Any, Any], kind: str, system: System) -> str:
    """Write a range beside its value: '0.025 to 0.036', with units where they are other ones.

    Parameters
    ----------
    si, us : the value in both systems
    ends : of the range [SI unit of the kind]
    kind, system : a key of `units.KINDS`, and in which system to write
    """
    unit = (us if system == "us" else si).partition(" ")[2]
    told = [show(end, kind, system, 3) for end in ends]
    if all(end.partition(" ")[2] == unit for end in told):
        told = [end.partition(" ")[0] for end in told]
    return " to ".join(told)


def words(key: str, text: str, *, aside: bool = False) -> Cell:
    """Return a text as a cell."""
    return Cell(key, text, text, text, aside=aside)


def written(key: str, si: str, us: str) -> Cell:
    """Return a text that differs by system as a cell."""
    return Cell(key, si, us, si)


def material_rows(own: Library = NO_LIBRARY) -> Iterator[ShelfRow]:
    """Yield materials, glass and covers, own materials after the shipped ones."""
    for material in (*MATERIALS, AIR, FOIL):
        yield _material(material)
    for row in own.of("materials"):
        yield _material(own.materials[fold(row.name)], place_of(own, row))
    for glass in GLASSES:
        yield _glass(glass)
    for cover in COVERS.values():
        yield _cover(cover)


def place_of(own: Library, row: OwnRow) -> str:
    """Return where an own row stands."""
    return f"{own.file}, line {row.line}"


def _material(m: Material, place: str = "") -> ShelfRow:
    cells = [number("conductivity", m.conductivity, "conductivity", m.low, m.high)]
    r_inch = round(IN / m.conductivity / R_US, 1)
    cells.append(number("R an inch", r_inch, "none") if m.insulation else words("R an inch", "-"))
    cells.append(number("density", m.density, "density"))
    v = m.vapour
    if isinstance(v, Film):
        cells.append(number("vapour", v.sd, "vapour_resistance", v.low, v.high))
    else:
        mu = number("vapour", v.value, "none", v.low, v.high)
        cells.append(replace(mu, si=f"µ {mu.si}", us=f"µ {mu.us}"))
    cells += [
        number("specific heat", m.specific_heat, "specific_heat", aside=True),
        number("emissivity", m.emissivity, "none", aside=True),
    ]
    if m.slope:
        cells.append(number("by temperature", m.slope, "temperature_coefficient", aside=True))
    if m.moisture:
        cells.append(number("water from dry to damp", m.moisture, "density", aside=True))
    source = m.source if place or v.source == m.source else f"{m.source}; vapour: {v.source}"
    if m.aged:
        source = f"{source}; conductivity of aged foam"
    return ShelfRow("materials", "materials", m.name, tuple(cells), source, m.also, place)


def _glass(g: Glass) -> ShelfRow:
    panes = " + ".join(f"{x * 1e3:g}" for x in g.pane_thicknesses)
    low, high = (show(x, "fraction") for x in g.sun_range)
    cells = (
        words("panes", f"{panes} mm"),
        number("resistance", g.resistance, "thermal_resistance"),
        words("sun passed", f"{low} to {high}"),
        number("emissivity", g.emissivity, "none"),
    )
    return ShelfRow("materials", "glass", g.name, cells, g.source, g.also)


def _cover(c: Cover) -> ShelfRow:
    cells = (
        number("resistance", c.resistance, "thermal_resistance"),
        number("sun back", c.reflectance, "fraction"),
        number("sun through", c.transmittance, "fraction"),
        number("edge", c.edge, "length"),
        number("emissivity", c.emissivity, "none", aside=True),
        number("to the pane", c.gap, "length", aside=True),
        words("weighs", f"{c.mass:g} kg/m2", aside=True),
    )
    source = f"{c.source}; its fit at the edges assumed"
    return ShelfRow("materials", "covers on windows", c.name, cells, source, c.also)


def body_rows(own: Library = NO_LIBRARY) -> Iterator[ShelfRow]:
    """Yield kinds of body, own ones last."""
    for kind in KINDS:
        cells = [*_sizes(kind), *_openings(kind)]
        yield ShelfRow("bodies", "bodies", kind.name, tuple(cells), FIGURES)
    for row in own.of("bodies"):
        body: Body = own.parts["bodies", fold(row.name)]
        cells = [*_sizes(body)]
        for key in ("kind", "windows", "doors"):
            if key in row.values:
                cells.append(words(key, _short(row, key), aside=True))
        place = place_of(own, row)
        yield ShelfRow("bodies", "bodies", row.name, tuple(cells), row.source, (), place)


def _sizes(of: BodyKind | Body) -> Iterator[Cell]:
    for key in ("length", "width", "height"):
        yield number(key, getattr(of, key), "length")


def _openings(kind: BodyKind) -> Iterator[Cell]:
    glass = sum(pane.area for pane in kind.windows)
    yield number("glass", glass, "area") if glass else words("glass", "none")
    if kind.windows:
        yield words("windows", ", ".join(f"{p.name} ({p.glass})" for p in kind.windows), aside=True)
    yield words("doors", ", ".join(door.name for door in kind.doors) or "none", aside=True)
    if kind.has_cab:
        yield number("cab's length", kind.cab_length, "length", aside=True)
    sides = "foam between two skins" if kind.sandwich else "ribs and a skin"
    yield words("sides", f"{sides}, a lifting roof" if kind.pop_top else sides, aside=True)


def _short(row: OwnRow, key: str) -> str:
    """Return an own row's text of a key, or how many things it lists."""
    value = row.values[key].value
    if isinstance(value, list):
        return f"{len(value)} listed"
    return value if isinstance(value, str) else "as listed"


def load_rows(own: Library = NO_LIBRARY) -> Iterator[ShelfRow]:
    """Yield loads by name, own ones last."""
    for usual in LOADS:
        yield _load(usual)
    for row in own.of("loads"):
        load: Load = own.parts["loads", fold(row.name)]
        cells = [number("power", load.power, "power"), *_of_load(load)]
        place = place_of(own, row)
        yield ShelfRow("loads", "loads", row.name, tuple(cells), row.source, (), place)


def _load(usual: UsualLoad) -> ShelfRow:
    cells = (number("power", usual.power, "power", usual.at_least, usual.at_most), *_of_load(usual))
    source = f"{usual.source}; all else assumed: usual for it"
    return ShelfRow("loads", "loads", usual.name, cells, source, usual.also)


def _of_load(load: UsualLoad | Load) -> Iterator[Cell]:
    yield words("on", write_periods(load.when))
    yield words("feed", load.feed)
    if load.kind == "fridge":
        yield words("duty", "by the air")
    else:
        yield number("duty", load.duty, "fraction")
    if load.heat_inside != 1.0:
        yield number("heat inside", load.heat_inside, "fraction", aside=True)
    if load.water:
        yield number("water", load.water, "water", aside=True)


def own_values(own: Library, row: OwnRow) -> Iterator[Cell]:
    """Yield what an own row says, each value as its section understands it."""
    part = own.parts[row.section, fold(row.name)]
    for key in row.values:
        spec = part.spec_of(key)
        if spec is None or not in_use(part, key):
            continue
        value, name = getattr(part, key), key.replace("_", " ")
        if spec.kind and isinstance(value, float):
            yield number(name, value, spec.kind)
        else:
            yield written(name, spec.write(value, "si"), spec.write(value, "us"))
