"""The sheet as it was understood, row by row, in both systems of units.

What does not belong here: how the rows are printed (report/).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from vanclimate.units import System, show
from vanclimate.van.fields import Part, Spec, in_use
from vanclimate.van.layers import Layer
from vanclimate.van.panels import RoofPanels
from vanclimate.van.paths import steps_of
from vanclimate.van.prices import Price, write_cost
from vanclimate.van.remedies import Remedy, written
from vanclimate.van.rules import Rule
from vanclimate.van.sheet import Sheet
from vanclimate.van.tried import LISTS, TriedStack

VENTED_WORDS = {
    "slightly": "slightly vented to outdoors", "well": "well vented to outdoors",
    "cabin": "open to the cabin",
}  # fmt: skip
_QUIET = {"name", "note", "units"}


class Row(NamedTuple):
    """One value as understood."""

    key: str  # as it stands in a sheet: 'body.rib share'
    si: str
    us: str
    guessed: bool
    why: str  # of a guess, or the source of a layer
    line: int | None  # of the sheet
    origin: str = ""  # file and line of a library that gave it


def echo(sheet: Sheet) -> list[Row]:
    """Return every value of a sheet as it was understood.

    Parameters
    ----------
    sheet : the checked sheet

    Returns
    -------
    list of Row : key, SI text, US text, whether it is a guess, and why
    """
    rooms = len(sheet.zones) > 1
    return [row for row in _rows(sheet, sheet, "") if rooms or not row.key.endswith(".zone")]


def _rows(sheet: Sheet, part: Part, prefix: str) -> Iterator[Row]:
    if isinstance(part, RoofPanels) and not part.power:
        yield _row(sheet, prefix.rstrip("."), "none", "none", False, "")
        return
    for name in type(part).model_fields:
        if name in _QUIET or not in_use(part, name):
            continue
        value, spec, path = getattr(part, name), part.spec_of(name), prefix + name
        if value is None and prefix == "stacks.":
            continue  # built as the walls
        if isinstance(value, Part) and spec is not None and part.is_guess(name):
            yield _row(
                sheet, path, value_text := spec.write(value, "si"), value_text, True, spec.why
            )
        elif isinstance(value, Layer):
            yield from _item(sheet, value, path, "")
        elif isinstance(value, Part):
            yield from _rows(sheet, value, f"{path}.")
        elif isinstance(value, tuple) and value and isinstance(value[0], Remedy):
            si, us = (", ".join(written(item, s) for item in value) for s in ("si", "us"))
            yield _row(sheet, path, si, us, False, "")
        elif isinstance(value, tuple) and value and isinstance(value[0], Part):
            whole = spec is not None and part.is_guess(name)
            for i, item in enumerate(value):
                yield from _item(sheet, item, f"{path}.{i}", spec.why if spec and whole else "")
        elif spec is None:
            yield _row(sheet, path, str(value), str(value), False, "")
        else:
            si, us = (_text(spec, value, system) for system in ("si", "us"))
            guessed = part.is_guess(name)
            yield _row(sheet, path, si, us, guessed, spec.why if guessed else "")


def _item(sheet: Sheet, item: Part, path: str, why: str) -> Iterator[Row]:
    """Rows of one layer, window, load, rule, price or stack to try."""
    if isinstance(item, Layer):
        si, us = layer_text(item, "si"), layer_text(item, "us")
        row = _row(sheet, path, si, us, bool(why), why or item.source)
        yield row._replace(origin=_origin_of_layer(sheet, item))
        return
    if isinstance(item, Rule):
        si, us = (item.meaning.words(system) for system in ("si", "us"))
        row = _row(sheet, path, si, us, False, "")
        yield row._replace(key=f"rules item {int(path.rsplit('.', 1)[1]) + 1}")
        return
    if isinstance(item, Price):
        si, us = (write_cost(item.price, system) for system in ("si", "us"))
        yield _row(sheet, f"prices.{item.name}", si, us, False, "")
        return
    if isinstance(item, TriedStack):
        yield from _tried(sheet, item, path)
        return
    label = str(getattr(item, "name", path))
    if why:
        yield _row(sheet, path, label, label, True, why)
    for row in _rows(sheet, item, f"{path}."):
        yield row._replace(key=f"{path.rsplit('.', 1)[0].replace('_', ' ')} ({label}).{_last(row)}")


def _tried(sheet: Sheet, item: TriedStack, path: str) -> Iterator[Row]:
    """Rows of a stack to try: each of its lists, and what else it says."""
    for key in (k for k in LISTS if getattr(item, k) is not None):
        layers = getattr(item, key)
        si, us = (", ".join(layer_text(x, s) for x in layers) or "none" for s in ("si", "us"))
        row = _row(sheet, f"{path}.{key}", si, us, False, "")
        yield row._replace(key=f"stacks to try ({item.name}).{key}")
    for key in (k for k in ("whole", "rib_cover") if k in item.model_fields_set):
        spec = item.spec_of(key)
        assert spec is not None, "both are fields"
        si, us = (_text(spec, getattr(item, key), system) for system in ("si", "us"))
        row = _row(sheet, f"{path}.{key}", si, us, False, "")
        yield row._replace(key=f"stacks to try ({item.name}).{key.replace('_', ' ')}")


def _last(row: Row) -> str:
    return row.key.rsplit(".", 1)[-1]


def layer_text(layer: Layer, system: System) -> str:
    """Write a layer with what the model makes of it."""
    size = show(layer.thickness, "length", system, 3)
    if layer.air_gap:
        faces = f"{layer.emissivity_outer:.2f} and {layer.emissivity_inner:.2f}"
        vented = "" if layer.ventilated == "no" else f", {VENTED_WORDS[layer.ventilated]}"
        return f"{layer.material} {size}, faces of emissivity {faces}{vented}"
    conductivity = show(layer.conductivity, "conductivity", system, 3)
    films = layer.outer_facing + layer.inner_facing
    facing = f", with films of sd {films:,.{1 if films < 10 else 0}f} m" if films else ""
    return f"{layer.material} {size}, {conductivity}{facing}"


def _text(spec: Spec, value: Any, system: System) -> str:
    return "none" if value is None and spec.section else str(spec.write(value, system))


def _row(sheet: Sheet, path: str, si: str, us: str, guessed: bool, why: str) -> Row:
    key = ".".join(p.replace("_", " ") for p in path.split("."))
    line, origin = (None, "") if guessed else (sheet.line_of(path), origin_of(sheet, path))
    return Row(key, si, us, guessed, why, line, origin)


def origin_of(sheet: Sheet, path: str) -> str:
    """Return file and line of the library that gave a value, else ''."""
    steps = steps_of(path)
    node = sheet.tree.at(steps)
    given = node.file and node is not sheet.tree.at(steps[:-1])
    return f"{node.file}, line {node.line}" if given else ""


def _origin_of_layer(sheet: Sheet, layer: Layer) -> str:
    """Return file and line of the library that has a layer's material, else ''."""
    row = sheet.own.find("materials", layer.material)
    return f"{sheet.own.file}, line {row.line}" if row else ""
