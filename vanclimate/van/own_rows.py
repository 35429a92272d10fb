"""The rows of a user's own library put into a sheet that takes them by name.

They enter the sheet's tree of texts before it is read, each text with its file and line. So every
check sees them as if they stood in the sheet, and nothing of a library outlives the reading of its
sheet. What does not belong here: the library's file (library.py).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from vanclimate.errors import SheetError, near
from vanclimate.van.layers import Layer
from vanclimate.van.library import read_library
from vanclimate.van.library_rows import BESIDE_BODY, CHOSEN, EQUIPMENT, no_kind
from vanclimate.van.own_layers import NO_LIBRARY, Library, OwnRow, with_own_material
from vanclimate.van.paths import fault
from vanclimate.van.schema import part_at
from vanclimate.van.textfile import Node
from vanclimate.van.tried import TriedStack

Section = dict[str, Node]


def with_own_rows(tree: Node, name: str, folder: Path | None) -> tuple[Node, Library]:
    """Return a sheet's tree with the rows that it takes by name, and its library.

    Parameters
    ----------
    tree : the sheet's texts
    name : what to call the sheet in messages
    folder : from which the library's path counts

    Raises
    ------
    SheetError : whatever is wrong with the library, or a name that it does not have
    """
    assert isinstance(tree.value, dict), "the top of a sheet"
    library = _library_of(tree.value, name, folder)
    sections = dict(tree.value)
    unknown: list[SheetError] = []
    for key in (key for key in EQUIPMENT if key in sections):
        try:
            sections[key] = _with_equipment(sections[key], key, library, name)
        except SheetError as error:
            unknown.append(error)
    if unknown:
        unknown[0].others = tuple(unknown[1:])
        raise unknown[0]
    _put_body(sections, library)
    if library.of("loads") and "loads" in sections:
        sections["loads"] = _with_loads(sections["loads"], library)
    whole = replace(tree, value=sections)
    if library.materials or library.of("stacks"):
        whole = _with_layers(whole, [], library)
    return whole, library


def _library_of(sections: Section, name: str, folder: Path | None) -> Library:
    """Return the library that a sheet names."""
    node = sections.get("library")
    if node is None or node.value == "none":
        return NO_LIBRARY
    allowed = "a library of your own: a text file in YAML"
    if not isinstance(node.value, str) or not node.value:
        raise fault(node, name, ["library"], "no path of a file", allowed)
    path = (folder or Path.cwd()) / node.value
    try:
        return read_library(path)
    except SheetError as error:
        if error.line is not None or error.key is not None:
            raise
        hint = ", ".join(x for x in (str(error.found or ""), error.hint) if x)
        raise fault(node, name, ["library"], node.value, allowed, hint) from None


def _with_equipment(node: Node, key: str, library: Library, name: str) -> Node:
    """Return a section of a sheet with the values of the row that it names, its own before them."""
    given = node.value if isinstance(node.value, dict) else {}
    called = node if isinstance(node.value, str) else given.get("kind")
    if called is None or not isinstance(called.value, str):
        return node
    row = library.find("equipment", called.value, key)
    if row is not None:
        section = {**row.values, **{k: v for k, v in given.items() if k != "kind"}}
        if key not in CHOSEN:
            section["kind"] = Node(called.line, row.name, called.option)
        return replace(node, value=section)
    words = no_kind(key, called.value) if key in CHOSEN else ""
    misspelt = key == "air_conditioner" and _lacks_figures(given, called.value, library)
    if misspelt or ("kind" in given and key != "air_conditioner" and (words or key not in CHOSEN)):
        raise _unknown_kind(called, key, words, library, name)
    return node


def _lacks_figures(given: Section, called: str, library: Library) -> bool:
    """Say whether a kind of air conditioner, a free text, was meant as a row and is spelt wrongly.

    It is where it is nearly a row's name and nothing else says the unit's size.
    """
    names = [row.name for row in library.of("equipment", "air_conditioner")]
    return not {"capacity", "table"} & set(given) and bool(near(called, names))


def _unknown_kind(
    called: Node, key: str, words: str, library: Library, name: str
) -> SheetError:  # fmt: skip
    """Return the error for a kind that is neither one of some words nor a row of the library."""
    known = [*filter(None, words.split(", ")), *(r.name for r in library.of("equipment", key))]
    none = f"no kind: the library has no {key.replace('_', ' ')}"
    allowed = ", ".join(known) or (none if library.file else "no kind without a 'library:'")
    return fault(called, name, [key, "kind"], called.value, allowed, near(str(called.value), known))


def _put_body(sections: Section, library: Library) -> None:
    """Put the body that a sheet takes by name into its sections, glass and doors with it."""
    node = sections.get("body")
    if node is None:
        return
    given = node.value if isinstance(node.value, dict) else {}
    called = node if isinstance(node.value, str) else given.get("kind")
    row = library.find("bodies", str(called.value)) if called is not None else None
    if row is None:
        return
    own = {key: value for key, value in row.values.items() if key not in BESIDE_BODY}
    body = {**own, **{key: value for key, value in given.items() if key != "kind"}}
    sections["body"] = replace(node, value=body)
    for key in BESIDE_BODY:
        if key in row.values:
            sections.setdefault(key, row.values[key])


def _with_loads(node: Node, library: Library) -> Node:
    """Return a list of loads with the values of those that the library has."""
    if not isinstance(node.value, list):
        return node
    return replace(node, value=[_with_load(item, library) for item in node.value])


def _with_load(item: Node, library: Library) -> Node:
    named = item if isinstance(item.value, str) else None
    given = item.value if isinstance(item.value, dict) else {}
    named = named or given.get("name")
    row = own_load(str(named.value), library) if named is not None else None
    if row is None or named is None:
        return item
    name = Node(named.line, named.value, named.option)
    return replace(item, value={"name": name, **row.values, **given})


def own_load(name: str, library: Library) -> OwnRow | None:
    """Return the library's load of a name; 'my pump 2' is one of 'my pump'."""
    return library.find("loads", name) or library.find("loads", re.sub(r" \d+$", "", name))


def _with_layers(node: Node, steps: list[str | int], library: Library) -> Node:
    """Return a tree in which layers have own materials, and stacks to try are own ones."""
    if isinstance(node.value, list):
        items = [_with_layers(item, [*steps, i], library) for i, item in enumerate(node.value)]
        return replace(node, value=items)
    part = part_at(steps)
    if part is Layer:
        return with_own_material(node, library)
    if part is TriedStack and isinstance(node.value, str) and isinstance(steps[-1], int):
        return _tried(node, node.value, library)
    if part is TriedStack and isinstance(node.value, dict):
        node = _named_stack(node, node.value, library)
    if isinstance(node.value, dict):
        inner = {k: _with_layers(v, [*steps, k], library) for k, v in node.value.items()}
        return replace(node, value=inner)
    return node


def _named_stack(node: Node, given: Section, library: Library) -> Node:
    """Return a stack to try as a section, with the layers of an own stack of its name."""
    named = given.get("name")
    row = library.find("stacks", str(named.value)) if named is not None else None
    return node if row is None else replace(node, value={**row.values, **given})


def _tried(node: Node, text: str, library: Library) -> Node:
    """Return a stack to try given as a text: an own stack's name, or layers."""
    row = library.find("stacks", text)
    if row is not None:
        return replace(node, value={"name": Node(node.line, row.name, node.option), **row.values})
    listed = [Node(node.line, part.strip(), node.option) for part in text.split(",")]
    layers = [with_own_material(layer, library) for layer in listed]
    if layers == listed:
        return node
    section: Mapping[str, Any] = {
        "name": Node(node.line, text, node.option), "layers": Node(node.line, layers, node.option),
    }  # fmt: skip
    return replace(node, value=dict(section))
