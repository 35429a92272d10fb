"""Values of a sheet replaced before it is read, as ``--set`` gives them.

The sheet's tree of texts is changed, so that every reader and every check sees the values as if
they stood in the file. What does not belong here: a load more than the sheet lists (also.py), and
trials of a value in a sheet that has been read (`Sheet.with_value`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from vanclimate.errors import OptionError, UnitError, near
from vanclimate.van.fields import fold, specs
from vanclimate.van.library_rows import NAMED
from vanclimate.van.paths import steps_of
from vanclimate.van.schema import holds_list, keys_at, near_key, part_at
from vanclimate.van.textfile import Node, read_value

OPTION = "--set"
FORM = "a key and its value, such as 'battery.capacity=500 Ah' or 'windows.rear.cover=none'"
MOST = 100  # changes of one sheet


@dataclass(frozen=True)
class Change:
    """One value to put in place of the sheet's.

    Attributes
    ----------
    key : as it was typed
    text : as it was typed
    steps : the way to it; list items by their position, from 0
    """

    key: str
    text: str
    steps: tuple[str | int, ...] = ()

    @property
    def option(self) -> str:
        """The option as a message names it."""
        return f"{OPTION} {self.key}"

    @property
    def path(self) -> str:
        """The way to it as `Sheet.value_of` takes it."""
        return ".".join(map(str, self.steps))


def read_change(text: str) -> Change:
    """Read 'key=value'.

    >>> read_change("battery.capacity = 500 Ah").text
    '500 Ah'
    """
    key, equals, value = (part.strip() for part in text.partition("="))
    if not equals or not key:
        raise OptionError(OPTION, text, FORM)
    if not value:
        raise OptionError(OPTION, text, f"a value after '='; {FORM}")
    return Change(" ".join(key.split()), value)


def changed_tree(tree: Node, texts: Sequence[str]) -> tuple[Node, tuple[Change, ...]]:
    """Return a sheet's tree with values replaced, and what was replaced.

    Parameters
    ----------
    tree : the sheet's texts
    texts : each 'key=value', the value as in a sheet

    Raises
    ------
    OptionError, SheetError : a text that is no change, or a key that there is not
    """
    if len(texts) > MOST:
        raise OptionError(OPTION, f"{len(texts)} of them", f"at most {MOST}")
    done: list[Change] = []
    for change in map(read_change, texts):
        value = read_value(change.text, change.option)
        steps = _steps_in(tree, change)
        if any(steps == other.steps for other in done):
            raise OptionError(OPTION, f"{change.key} twice", "each key once")
        tree = put(tree, steps, value)
        done.append(replace(change, steps=steps))
    return tree, tuple(done)


def _steps_in(tree: Node, change: Change) -> tuple[str | int, ...]:
    """Return the way to a value, its keys known, its list items found by place or by name."""
    found: list[str | int] = []
    node: Node | None = tree
    typed = steps_of(change.key)
    for i, step in enumerate(typed):
        if found and holds_list(found) and not isinstance(found[-1], int):
            found.append(_item(node, step, found, change))
        elif step not in keys_at(found):
            raise _unknown_key(found, typed[i:], change)
        else:
            _refuse_text(node, found, change)
            found.append(step)
        node = _child(node, found)
    return tuple(found)


def _unknown_key(found: list[str | int], rest: list[str | int], change: Change) -> OptionError:
    """Return the error for a key that its section does not know."""
    place, hint = _counted(found), near_key([*found, *rest])
    known = [f"'{key.replace('_', ' ')}'" for key in keys_at(found)]
    allowed = f"a key of {place or 'the sheet'}" if known else f"'{place}' with one value"
    if known and not hint:
        allowed += f": {', '.join(known)}"
    return OptionError(OPTION, change.key, allowed, hint)


def _item(node: Node | None, step: str | int, found: list[str | int], change: Change) -> int:
    """Return the position of a list's item, given by its place counted from 1, or by its name."""
    place = _counted(found)
    items = node.value if node is not None else ""
    if not isinstance(items, list):
        allowed = f"the whole list, '{place}=[…]': the sheet has none to count in"
        raise OptionError(OPTION, change.key, allowed)
    has_names = "name" in keys_at([*found, 0])
    names = [fold(str(_name_of(item))) if has_names else "" for item in items]
    if isinstance(step, int) and 1 <= step <= len(items):
        return step - 1
    if isinstance(step, str) and fold(step) in names:
        return names.index(fold(step))
    named = [name for name in names if name]
    allowed = f"{place}.1 to {place}.{len(items)}" if items else f"the whole list, '{place}=[…]'"
    if named:
        allowed += f", or {place}. and a name: {', '.join(named)}"
    raise OptionError(OPTION, change.key, allowed, near(str(step).replace("_", " "), named))


def _refuse_text(node: Node | None, found: list[str | int], change: Change) -> None:
    """Refuse a key within an item that is a text and no name, such as a layer."""
    text = node is not None and isinstance(node.value, str)
    if text and found and isinstance(found[-1], int) and "name" not in keys_at(found):
        raise OptionError(OPTION, change.key, f"the whole of it, '{_counted(found)}=…'")


def _counted(steps: Sequence[str | int]) -> str:
    """Return a way as it is typed, list items counted from 1."""
    words = (f"{s + 1}" if isinstance(s, int) else s.replace("_", " ") for s in steps)
    return ".".join(words)


def _name_of(item: Node) -> Any:
    """Return the name of a list's item; a text alone is one."""
    if isinstance(item.value, dict):
        return item.value["name"].value if "name" in item.value else ""
    return "" if isinstance(item.value, list) else item.value


def _child(node: Node | None, steps: list[str | int]) -> Node | None:
    """Return the node at the last of some steps, its holder given; None where there is none."""
    if node is None:
        return None
    step, value = steps[-1], node.value
    if isinstance(step, int):
        return value[step] if isinstance(value, list) else None
    return as_section(node, steps[:-1]).get(step)


def put(tree: Node, steps: Sequence[str | int], value: Node | None) -> Node:
    """Return a tree with one value put in place of another; with None the key is left out."""
    return _put(tree, [], list(steps), value)


def _put(node: Node, before: list[str | int], steps: list[str | int], value: Node | None) -> Node:
    step, rest = steps[0], steps[1:]
    if isinstance(step, int):
        assert isinstance(node.value, list), "an item of a list"
        items = list(node.value)
        if value is None and not rest:
            del items[step]
        else:
            new = _put(items[step], [*before, step], rest, value) if rest else value
            assert new is not None
            items[step] = new
        return replace(node, value=items)
    section = dict(as_section(node, before))
    if rest:
        origin = "" if value is None else value.option
        inner = section.get(step) or Node(0, {}, origin)
        section[step] = _put(inner, [*before, step], rest, value)
    elif value is None:
        section.pop(step, None)
    else:
        section[step] = value
    return replace(node, value=section)


def as_section(node: Node, steps: list[str | int]) -> dict[str, Node]:
    """Return a section; a text in its place, such as '220 A' of an alternator, as what it means.

    Where it means nothing it may be the name of a row of the user's own library.
    """
    value = node.value
    if isinstance(value, dict):
        return value
    if not isinstance(value, str) or not value:
        return {}
    if steps and isinstance(steps[-1], int):  # an item that is its name alone
        return {"name": node}
    holder = part_at(steps[:-1]) if steps else None
    spec = specs(holder).get(str(steps[-1])) if holder else None
    named = len(steps) == 1 and steps[0] in NAMED
    try:
        read = spec.read(value) if spec else None
        given = read if isinstance(read, dict) else {}
        if named:
            _refuse_other(given, part_at(steps))
    except UnitError:
        return {"kind": node} if named else {}  # or it gives way to the section
    return {key: replace(node, value=text) for key, text in given.items()}


def _refuse_other(given: dict[str, str], part: Any) -> None:
    """Raise the `UnitError` of a text that its key does not take."""
    for key, text in given.items():
        specs(part)[key].read(text)


def without_orphans(
    tree: Node, done: Sequence[Change], places: Sequence[list[Any]]
) -> tuple[Node, list[str | int] | None]:
    """Return the tree without a key that cannot stand beside one set to 'none', and its place.

    A window whose cover is set to none has no times at which it is covered either.

    Parameters
    ----------
    tree : the texts, changes in them
    done : the changes
    places : where the tree is refused
    """
    for place in places:
        for change in done:
            beside = place[:-1] == list(change.steps[:-1]) and place != list(change.steps)
            node = tree.at(place)
            given = node is not tree.at(place[:-1]) and not node.option
            if fold(change.text) == "none" and beside and given:
                return put(tree, place, None), place
    return tree, None
