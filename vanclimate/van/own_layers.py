"""A user's own library as it was read, and its materials in the layers of a sheet.

What does not belong here: reading its file (library.py), and its other rows in a sheet
(own_rows.py).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from vanclimate.errors import UnitError, near
from vanclimate.van.fields import fold, words_of
from vanclimate.van.layer_text import read_layer
from vanclimate.van.materials import Material, find_material
from vanclimate.van.textfile import Node

SIZE = "{!r} m"  # so that a length is read back as it is
CONDUCTIVITY = "{!r} W/m·K"


@dataclass(frozen=True)
class OwnRow:
    """One row of a library.

    Attributes
    ----------
    section : of the library, such as 'loads'
    name : as a sheet takes it by
    what : of equipment, the section of a sheet that it fills, such as 'air_conditioner'; else ''
    source : where its figures come from
    line : of the library's file
    values : its texts by their keys, as a sheet has them
    """

    section: str
    name: str
    what: str
    source: str
    line: int
    values: Mapping[str, Node]


@dataclass(frozen=True)
class Library:
    """A library's rows, and the materials among them by `fold` of their names.

    Attributes
    ----------
    file : name of its file
    text : all of it
    rows : in the order of the file
    materials : of its rows
    parts : what each row is when it stands by itself: a section of the sheet, SI
    """

    file: str = ""
    text: str = ""
    rows: tuple[OwnRow, ...] = ()
    materials: Mapping[str, Material] = field(default_factory=dict)
    parts: Mapping[tuple[str, str], Any] = field(default_factory=dict)

    def of(self, section: str, what: str = "") -> tuple[OwnRow, ...]:
        """Return the rows of a section, of equipment those for a section of the sheet."""
        return tuple(row for row in self.rows if (row.section, row.what) == (section, what))

    def find(self, section: str, name: str, what: str = "") -> OwnRow | None:
        """Return the row of a name, or None."""
        word = fold(name)
        return next((row for row in self.of(section, what) if fold(row.name) == word), None)

    def near(self, text: str) -> str:
        """Return ``did you mean '…'?`` where a row's name is spelt nearly so, else ''."""
        word = re.split(r"\s+[\d.]", text, maxsplit=1)[0]
        return near(word, [row.name for row in self.rows])

    def find_material(self, text: str) -> Material | None:
        """Return the material of a name, one of its own or a shipped one."""
        return self.materials.get(fold(text)) or find_material(text)


NO_LIBRARY = Library()


def library_file() -> Any:
    """Declare a sheet's key for its library; one that is left out is not echoed."""
    return words_of(None, longest=400, applies=lambda sheet: sheet.library is not None)


def with_own_material(layer: Node, library: Library) -> Node:
    """Return a layer as a section with an own material's figures; any other layer as it is.

    Parameters
    ----------
    layer : a text such as 'my board 2 in', or a section that names its material
    library : whose materials there are
    """
    if isinstance(layer.value, str):
        return _from_text(layer, layer.value, library)
    named = layer.value.get("material") if isinstance(layer.value, dict) else None
    row = None
    if named is not None and isinstance(named.value, str):
        row = library.find("materials", named.value)
    if row is None or not isinstance(layer.value, dict):
        return layer
    return replace(layer, value={**_figures(row), **layer.value, "material": _name(row, layer)})


def _from_text(layer: Node, text: str, library: Library) -> Node:
    """Return a layer's text as a section, where its material is an own one."""
    try:
        read = read_layer(text, library.find_material)
    except UnitError:
        return layer  # told where the layer is read
    row = library.find("materials", read["material"])
    if row is None:
        return layer
    own = library.materials[fold(row.name)]
    section = {**_figures(row), "material": _name(row, layer)}

    def given(key: str, form: str) -> None:
        section[key] = Node(layer.line, form.format(read[key]), layer.option)

    given("thickness", SIZE)
    if read["conductivity"] != own.conductivity:  # an R-value beside a thickness says so
        given("conductivity", CONDUCTIVITY)
    if "compressed_from" in read:
        given("compressed_from", SIZE)
    return replace(layer, value=section)


def _figures(row: OwnRow) -> dict[str, Node]:
    """Return what a library says of a material, its source with it."""
    first = next(iter(row.values.values()))
    return {**row.values, "source": Node(row.line, row.source, file=first.file)}


def _name(row: OwnRow, layer: Node) -> Node:
    """Return the material's name as its row has it."""
    return Node(layer.line, row.name, layer.option)
