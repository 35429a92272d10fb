"""Where the texts of two sheets differ, and a sheet with some of it taken from another.

Items of a list that have names, such as windows and loads, are matched by them. What does not
belong here: what an exchange is worth (``answer``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile
from typing import Any

from vanclimate.answers.compare.differences import QUIET
from vanclimate.van.changes import as_section, put
from vanclimate.van.fields import fold
from vanclimate.van.reading import of_tree
from vanclimate.van.schema import holds_list, keys_at
from vanclimate.van.sheet import Sheet
from vanclimate.van.textfile import Node

Steps = tuple["str | int | Named", ...]


@dataclass(frozen=True)
class Named:
    """The item of a list that has a name."""

    name: str


@dataclass(frozen=True)
class Edit:
    """One place and what another sheet has there; None where it has nothing."""

    steps: Steps
    node: Node | None

    @property
    def section(self) -> str:
        """The key of the sheet in which it stands."""
        return str(self.steps[0])


@dataclass(frozen=True)
class Exchange:
    """Some edits that are made together, by the name of what they change."""

    key: str
    edits: tuple[Edit, ...]

    def holds(self, other: Exchange) -> bool:
        """Return whether all that another changes is changed by this one."""
        return {e.steps for e in self.edits}.issuperset(e.steps for e in other.edits)

    def joined(self, other: Exchange) -> Exchange:
        """Return this exchange and another as one, in the order of the sheet."""
        order = list(Sheet.model_fields)
        whole = sorted((self, other), key=lambda x: order.index(x.edits[0].section))
        return Exchange(" with ".join(x.key for x in whole), _all(whole))


def exchanges(first: Sheet, second: Sheet) -> list[Exchange]:
    """Return the edits of the first sheet's text that make it the second's, one by one.

    Only those that change what is understood.
    """
    one, other = first.tree, second.tree
    found = [Exchange(_key(edit.steps), (edit,)) for edit in _edits(one, other, ())]
    return [exchange for exchange in found if exchange.edits[0].section not in QUIET]


def _all(parts: Iterable[Exchange]) -> tuple[Edit, ...]:
    """Return all edits of some exchanges."""
    return tuple(edit for part in parts for edit in part.edits)


def by_section(singles: Iterable[Exchange]) -> list[Exchange]:
    """Return exchanges joined by the section of the sheet in which they stand."""
    sections: dict[str, list[Exchange]] = {}
    for exchange in singles:
        sections.setdefault(exchange.edits[0].section, []).append(exchange)
    return [as_one(own) for own in sections.values()]


def as_one(parts: Sequence[Exchange]) -> Exchange:
    """Return exchanges of one section as one, by the name of what they have in common.

    A single one keeps its key.
    """
    ways = [edit.steps for edit in _all(parts)]
    levels = zip(*ways, strict=False)
    common = [steps[0] for steps in takewhile(lambda steps: len(set(steps)) == 1, levels)]
    return Exchange(_key(tuple(common)), _all(parts))


def exchanged(first: Sheet, second: Sheet, exchange: Exchange) -> Sheet:
    """Return the first sheet with some of its text taken from the second, read anew.

    Raises
    ------
    SheetError : it cannot stand beside the rest
    """
    tree = first.tree
    for edit in exchange.edits:
        tree = _edited(tree, edit)
    # a weather file's path counts from the folder of the sheet that names it
    of = second if any(edit.section == "site" for edit in exchange.edits) else first
    return of_tree(tree, first.file, exchange.key, of.folder, first.own)


def _edits(one: Node | None, other: Node | None, steps: Steps) -> Iterator[Edit]:
    """Yield where two trees differ, as deep as both have the same kind of thing."""
    if one is None or other is None:
        if one is not other:
            yield Edit(steps, other)
        return
    counted = _counted(steps)
    if steps and holds_list(counted) and not isinstance(steps[-1], Named):
        yield from _list_edits(one, other, steps)
        return
    if keys_at(counted) and not _says_none(one) and not _says_none(other):
        mine, theirs = (as_section(node, counted) for node in (one, other))
        if mine and theirs:
            for key in dict.fromkeys([*mine, *theirs]):
                yield from _edits(mine.get(key), theirs.get(key), (*steps, key))
            return
    if one.plain() != other.plain():
        yield Edit(steps, other)


def _list_edits(one: Node, other: Node, steps: Steps) -> Iterator[Edit]:
    """Yield where two lists differ: item by item where each has a name of its own."""
    mine, theirs = _by_name(one), _by_name(other)
    if not mine or not theirs or "name" not in keys_at([*_counted(steps), 0]):
        if one.plain() != other.plain():
            yield Edit(steps, other)
        return
    for name in dict.fromkeys([*mine, *theirs]):
        yield from _edits(mine.get(name), theirs.get(name), (*steps, Named(name)))


def _by_name(node: Node) -> dict[str, Node]:
    """Return a list's items by name; empty where one has none, or two have the same."""
    items = node.value if isinstance(node.value, list) else []
    named = {_name_of(item): item for item in items}
    return named if len(named) == len(items) and "" not in named else {}


def _name_of(item: Node) -> str:
    if isinstance(item.value, str):
        return fold(item.value)
    given = item.value.get("name") if isinstance(item.value, dict) else None
    return fold(given.value) if given is not None and isinstance(given.value, str) else ""


def _says_none(node: Node) -> bool:
    return isinstance(node.value, str) and fold(node.value) in ("none", "no", "never")


def _counted(steps: Steps) -> list[str | int]:
    """Return a way with any position in place of a name: what keys there are is the same."""
    return [0 if isinstance(step, Named) else step for step in steps]


def _key(steps: Steps) -> str:
    """Return a place as a reader names it: 'loads (fridge).power'."""
    text = ""
    for step in steps:
        if isinstance(step, Named):
            text += f" ({step.name})"
        else:
            text += ("." if text else "") + str(step).replace("_", " ")
    return text


def _edited(tree: Node, edit: Edit) -> Node:
    """Return a tree with one edit made."""
    steps: list[str | int] = []
    for i, step in enumerate(edit.steps):
        if not isinstance(step, Named):
            steps.append(step)
            continue
        items: Any = tree.at(steps).value
        place = [_name_of(item) for item in items].index(step.name) if _has(items, step) else None
        if place is None:
            assert i == len(edit.steps) - 1, "a whole item is added"
            assert edit.node is not None, "an item that is there is left out"
            held = tree.at(steps)
            return put(tree, steps, replace(held, value=[*items, edit.node]))
        steps.append(place)
    return put(tree, steps, edit.node)


def _has(items: Any, step: Named) -> bool:
    return any(_name_of(item) == step.name for item in items)
