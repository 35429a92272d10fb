"""A user's own library read from its file: every row checked by itself, all faults told at once.

A row is values in the words and units of a sheet, by a name, with the text of their source. What
does not belong here: putting a row into a sheet (own_rows.py, own_layers.py).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from vanclimate.errors import SheetError, near
from vanclimate.van.air import Doors
from vanclimate.van.fields import Part, fold
from vanclimate.van.layers import Layer
from vanclimate.van.library_rows import (
    A_NAME,
    ANY,
    BESIDE_BODY,
    EQUIPMENT,
    LONGEST_NAME,
    LONGEST_SOURCE,
    MOST_ROWS,
    NEEDED,
    SECTIONS,
    TAKEN,
    keys_of,
    material_of,
    may_be_written,
    shipped_name,
)
from vanclimate.van.loads import Load
from vanclimate.van.own_layers import Library, OwnRow, with_own_material
from vanclimate.van.parts import Body
from vanclimate.van.problems import told
from vanclimate.van.schema import part_at
from vanclimate.van.textfile import Node, normal_key, read_text, read_tree
from vanclimate.van.tried import LISTS, TriedStack
from vanclimate.van.windows import Window


def read_library(path: Path) -> Library:
    """Read a library's file.

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    """
    return library_of(read_text(path, "a library"), path.name)


def library_of(text: str, name: str) -> Library:
    """Read a library from its text.

    Parameters
    ----------
    text : the whole file
    name : what to call it in messages

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key; it carries the others
    """
    reader = _Reader(name, text)
    reader.read(_of_file(read_tree(text, name), name))
    if not reader.problems:
        return reader.library
    first, *others = sorted(reader.problems, key=lambda problem: problem.line or 0)
    if others:
        many = f"and {len(others)} more problem{'s' if len(others) > 1 else ''} in this library"
        hint = f"{first.hint}; {many}" if first.hint else many
        first = SheetError(name, first.line, first.key, first.found, first.allowed, hint)
    first.others = tuple(others)
    raise first


def _of_file(node: Node, file: str) -> Node:
    """Return a node and all in it as given by a library."""
    value: Any = node.value
    if isinstance(value, dict):
        value = {key: _of_file(inner, file) for key, inner in value.items()}
    elif isinstance(value, list):
        value = [_of_file(inner, file) for inner in value]
    return replace(node, value=value, file=file)


class _Reader:
    """Reads rows one by one into a library; what is wrong is kept and told in the end."""

    def __init__(self, name: str, text: str) -> None:
        self.name = name
        self.library = Library(name, text)
        self.problems: list[SheetError] = []

    def refuse(self, node: Node, key: str, found: object, allowed: str, hint: str = "") -> None:
        """Keep what is wrong with a value."""
        key = key.replace("_", " ")
        self.problems.append(SheetError(self.name, node.line, key, found, allowed, hint))

    def read(self, tree: Node) -> None:
        """Read all sections, materials first."""
        sections = tree.value
        assert isinstance(sections, dict), "the top of a file"
        for key, node in sections.items():
            if key not in SECTIONS:
                self.refuse(node, key, key, ", ".join(SECTIONS), near(key, SECTIONS))
        for section in (key for key in SECTIONS if key in sections):
            items = sections[section].value
            if not isinstance(items, list) or not 1 <= len(items) <= MOST_ROWS:
                found = f"{len(items)} rows" if isinstance(items, list) else "no list"
                allowed = f"a list of 1 to {MOST_ROWS} rows: lines that start with '-'"
                self.refuse(sections[section], section, found, allowed)
                continue
            for item in items:
                self._row(section, item)

    def _row(self, section: str, item: Node) -> None:
        """Read one row, and add it where nothing is wrong with it."""
        before = len(self.problems)
        texts = self._texts(section, item)
        if texts is None:
            return
        name, source, what = texts
        values: dict[str, Node] = {}
        assert isinstance(item.value, dict), "a row with its name"
        known = keys_of(section, what)
        for key, node in item.value.items():
            if key in known:
                values[key] = node
            elif key not in ("name", "source") and (key, section) != ("what", "equipment"):
                words = [word.replace("_", " ") for word in known]
                word = key.replace("_", " ")
                allowed = f"name, source, {', '.join(words)}"
                self.refuse(node, f"{section} ({name}).{key}", word, allowed, near(word, words))
        if not values:
            allowed = ", ".join(word.replace("_", " ") for word in known)
            self.refuse(item, f"{section} ({name})", "no value", allowed)
        row = OwnRow(section, name, what, source, item.line, values)
        if len(self.problems) == before:
            row = self._checked(row, item)
        if len(self.problems) == before:
            self.library = replace(self.library, rows=(*self.library.rows, row))
        elif section == "materials":
            self._stand_in(row)

    def _stand_in(self, row: OwnRow) -> None:
        """Let other rows name a material that is refused; a library with one is never used."""
        values = {key: Node(row.line, text, file=self.name) for key, text in NEEDED.items()}
        own = {**self.library.materials, fold(row.name): replace(ANY, name=row.name)}
        rows = (*self.library.rows, replace(row, values=values))
        self.library = replace(self.library, rows=rows, materials=own)

    def _texts(self, section: str, item: Node) -> tuple[str, str, str] | None:
        """Return a row's name, source and what it is; None where one of them cannot be."""
        if not isinstance(item.value, dict):
            self.refuse(item, section, item.value or "nothing", "a row of keys: 'name: …'")
            return None
        before, found = len(self.problems), {}
        most = {"name": LONGEST_NAME, "source": LONGEST_SOURCE, "what": LONGEST_NAME}
        for key in ("name", "source", "what") if section == "equipment" else ("name", "source"):
            node = item.value.get(key)
            if node is None or not isinstance(node.value, str) or not node.value:
                allowed = f"'{key}:' and its text"
                hint = "where the figures come from" if key == "source" else ""
                self.refuse(node or item, f"{section}.{key}", "nothing", allowed, hint)
            elif len(node.value) > most[key]:
                allowed = f"1 to {most[key]} letters"
                self.refuse(node, f"{section}.{key}", node.value, allowed)
            else:
                found[key] = node.value
        if len(self.problems) > before:
            return None
        what = normal_key(found.get("what", ""))
        if section == "equipment" and what not in EQUIPMENT:
            words = [word.replace("_", " ") for word in EQUIPMENT]
            hint = near(found["what"], words)
            self.refuse(item.value["what"], "equipment.what", found["what"], ", ".join(words), hint)
            return None
        self._name(section, what, item.value["name"], found["name"])
        return (found["name"], found["source"], what) if len(self.problems) == before else None

    def _name(self, section: str, what: str, node: Node, name: str) -> None:
        """Refuse a name that cannot be, is shipped, or is another row's."""
        key, word = f"{section}.name", fold(name)
        if not re.fullmatch(r"[^\W\d_][^,:#\[\]{}]*", name) or not name.isprintable():
            self.refuse(node, key, name, A_NAME)
        elif word in TAKEN:
            self.refuse(node, key, name, "a name that means nothing else in a sheet")
        elif shipped := shipped_name(section, what, name):
            allowed = "a name of its own; a shipped row is never replaced"
            self.refuse(node, key, name, allowed, f"'{shipped}' is shipped")
        elif other := self.library.find(section, name, what):
            self.refuse(node, key, name, f"each name once; it stands in line {other.line} too")
        elif section == "materials" and not may_be_written(name):
            allowed = "a name without figures, which a thickness may follow: my board 10 mm"
            self.refuse(node, key, name, allowed)

    def _checked(self, row: OwnRow, item: Node) -> OwnRow:
        """Return a row that stands by itself; what is wrong with it is kept."""
        check: dict[str, Callable[[OwnRow, Node], OwnRow]] = {
            "materials": self._material, "stacks": self._stack, "bodies": self._body,
            "equipment": self._equipment, "loads": self._load,
        }  # fmt: skip
        return check[row.section](row, item)

    def _stands(
        self, row: OwnRow, item: Node, part: type[Part], tree: Mapping[str, Node],
        place: tuple[str | int, ...],
    ) -> Any:  # fmt: skip
        """Return a section of the sheet made of a row's texts, or None.

        Parameters
        ----------
        row, item : the row, and its node
        part, tree : the section, and its texts
        place : where in a sheet such a section stands
        """
        try:
            return part.model_validate(Node(item.line, dict(tree)).plain())
        except ValidationError as error:
            for problem in error.errors(include_url=False):
                self._told(row, item, tree, place, dict(problem))
        return None

    def _told(
        self, row: OwnRow, item: Node, tree: Mapping[str, Node], place: tuple[str | int, ...],
        problem: dict[str, Any],
    ) -> None:  # fmt: skip
        """Keep one of pydantic's errors in the words that a sheet's are told in."""
        whole = Node(item.line, dict(tree))
        for step in reversed(place):  # as deep as in a sheet
            held: Any = [whole] if isinstance(step, int) else {step: whole}
            whole = Node(item.line, held)
        problem["loc"] = (*place, *problem["loc"])
        node, loc, found, allowed, hint = told(problem, whole)
        rest = ".".join(str(s + 1) if isinstance(s, int) else s for s in loc[len(place) :])
        key = f"{row.section} ({row.name})" + (f".{rest}" if rest else "")
        self.refuse(node, key, found, allowed, hint)

    def _keep(self, row: OwnRow, part: Any) -> None:
        """Keep what a row is when it stands by itself."""
        parts = {**self.library.parts, (row.section, fold(row.name)): part}
        self.library = replace(self.library, parts=parts)

    def _material(self, row: OwnRow, item: Node) -> OwnRow:
        """Check a material as a layer of 10 mm, or a film as one without thickness."""
        film = row.values.get("film")
        is_film = film is not None and fold(str(film.plain())) in ("yes", "on", "true")
        needed = {**NEEDED, "sd": "1 m"} if is_film else NEEDED
        texts = {"material": Node(item.line, row.name), **row.values}
        for key in (key for key in needed if key not in row.values):
            word = key.replace("_", " ")
            hint = "a film counts by its sd" if key == "sd" else "the key is missing"
            place = f"materials ({row.name}).{word}"
            self.refuse(item, place, "nothing", f"'{word}:' and its value", hint)
            texts[key] = Node(item.line, needed[key])  # so that what else is wrong is told too
        texts["thickness"] = Node(item.line, "0 m" if is_film else "10 mm")
        layer = self._stands(row, item, Layer, texts, ("stacks", "walls", 0))
        if layer is not None:
            own = {**self.library.materials, fold(row.name): material_of(layer, row)}
            self.library = replace(self.library, materials=own)
            self._keep(row, layer)
        return row

    def _stack(self, row: OwnRow, item: Node) -> OwnRow:
        """Check a stack to try, its own materials put in."""
        values = {k: self._layers(v) if k in LISTS else v for k, v in row.values.items()}
        row = replace(row, values=values)
        texts = {"name": Node(item.line, row.name), **values}
        if (tried := self._stands(row, item, TriedStack, texts, ("stacks_to_try", 0))) is not None:
            self._keep(row, tried)
        return row

    def _layers(self, listed: Node) -> Node:
        """Return a list of layers with own materials put in."""
        if not isinstance(listed.value, list):
            return listed
        layers = [with_own_material(layer, self.library) for layer in listed.value]
        return replace(listed, value=layers)

    def _body(self, row: OwnRow, item: Node) -> OwnRow:
        """Check a body, and the windows and doors that come with it."""
        own = {key: node for key, node in row.values.items() if key not in BESIDE_BODY}
        body = self._stands(row, item, Body, own, ("body",))
        windows = row.values.get("windows")
        for i, node in enumerate(_items(windows)):
            if isinstance(node.value, dict):
                self._stands(row, node, Window, node.value, ("windows", i))
            else:
                self.refuse(node, f"bodies ({row.name}).windows", node.value, "a window's keys")
        if windows is not None and not isinstance(windows.value, list) and not _none(windows):
            self.refuse(windows, f"bodies ({row.name}).windows", "no list", "windows, or none")
        doors = row.values.get("doors")
        if doors is not None and isinstance(doors.value, dict):
            self._stands(row, doors, Doors, doors.value, ("doors",))
        elif doors is not None and not _none(doors):
            self.refuse(doors, f"bodies ({row.name}).doors", "no section", "a section, or none")
        if body is not None:
            self._keep(row, body)
        return row

    def _equipment(self, row: OwnRow, item: Node) -> OwnRow:
        """Check equipment as a section of a sheet that gives nothing more."""
        part = part_at([row.what])
        assert part is not None, "a section"
        assert issubclass(part, Part), "a section"
        if (stands := self._stands(row, item, part, row.values, (row.what,))) is not None:
            self._keep(row, stands)
        return row

    def _load(self, row: OwnRow, item: Node) -> OwnRow:
        """Check a load as one that a sheet lists."""
        texts = {"name": Node(item.line, row.name), **row.values}
        if (load := self._stands(row, item, Load, texts, ("loads", 0))) is not None:
            self._keep(row, load)
        return row


def _none(node: Node) -> bool:
    return isinstance(node.value, str) and fold(node.value) == "none"


def _items(node: Node | None) -> Iterator[Node]:
    yield from node.value if node is not None and isinstance(node.value, list) else []
