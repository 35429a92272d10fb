"""All that is known by name, list by list: what ``vanclimate library`` shows.

Most rows are read where they stand (van/shelf.py, van/shelf_equipment.py); here are the stacks that
are tried, and the sizes. What does not belong here: how rows are printed (report/library.py).
"""

from __future__ import annotations

from collections.abc import Iterator

from vanclimate.answers.size.ladders import AC, CHARGERS, CLASSES, HEATERS
from vanclimate.answers.stacks.listed import ORDINARY, ORDINARY_SOURCE
from vanclimate.units import show
from vanclimate.van.fields import fold
from vanclimate.van.layers import Layer
from vanclimate.van.own_layers import NO_LIBRARY, Library
from vanclimate.van.shelf import (
    ShelfRow,
    body_rows,
    load_rows,
    material_rows,
    place_of,
    words,
    written,
)
from vanclimate.van.shelf_equipment import default_rows
from vanclimate.van.tried import LISTS as SIDES
from vanclimate.van.tried import TriedStack


def shelf(which: str, own: Library = NO_LIBRARY) -> tuple[ShelfRow, ...]:
    """Return the rows of a list, those of an own library among them.

    Parameters
    ----------
    which : one of `van.shelf.LISTS`
    own : a library of one's own
    """
    if which == "stacks":
        return tuple(_stacks(own))
    if which == "equipment":
        return (*default_rows(own), *_sizes())
    rows = {"materials": material_rows, "bodies": body_rows, "loads": load_rows}[which]
    return tuple(rows(own))


def _stacks(own: Library) -> Iterator[ShelfRow]:
    """Yield the stacks that are tried where a sheet lists none, own ones last."""
    for name, made in ORDINARY:
        cells = (words("between skin and lining", made),)
        yield ShelfRow("stacks", "stacks", name, cells, ORDINARY_SOURCE)
    for row in own.of("stacks"):
        tried: TriedStack = own.parts["stacks", fold(row.name)]
        lists = {key: layers for key in SIDES if (layers := getattr(tried, key)) is not None}
        own_cells = tuple(
            written(
                "between skin and lining" if key == "layers" and not tried.whole else key,
                *(", ".join(_layer(x, s) for x in layers) or "none" for s in ("si", "us")),
            )
            for key, layers in lists.items()
        )  # fmt: skip
        yield ShelfRow("stacks", "stacks", row.name, own_cells, row.source, (), place_of(own, row))


def _layer(layer: Layer, system: object) -> str:
    """Write a layer by its name and thickness, a film by its name."""
    size = f" {_length(layer.thickness, system)}" if layer.thickness else ""
    return f"{layer.material}{size}"


def _length(value: float, system: object) -> str:
    return show(value, "length", "us" if system == "us" else "si", 3)


def _sizes() -> Iterator[ShelfRow]:
    """Yield the sizes that ``vanclimate size`` tries."""
    for name, sizes, kind in (
        ("air conditioner", AC, "heat_rate"), ("heater", HEATERS, "heat_rate"),
        ("dc charger", CHARGERS, "current"),
    ):  # fmt: skip
        si, us = (", ".join(show(x, kind, s, 3) for x in sizes) for s in ("si", "us"))
        cells = (written("sizes", si, us),)
        yield ShelfRow("equipment", "sizes that `vanclimate size` tries", name, cells, CLASSES)
