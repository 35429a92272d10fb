"""A YAML sheet as plain text: every scalar stays the text that was typed, with its line.

No YAML type is ever resolved and no object is built, so ``22:00``, ``off`` and ``1-1/2 in`` stay
what they are. What does not belong here: the meaning of any key.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml

from vanclimate.errors import SheetError

SHEET = "a scenario sheet"
MAX_BYTES = 1_000_000
MAX_DEPTH = 12  # a sheet is at most five deep
MAX_NODES = 20_000
MAX_LETTERS = 4_000  # of one value
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # a wheel without libyaml has no C one


@dataclass(frozen=True)
class Node:
    """One place in the sheet: its line, and a text, a section or a list."""

    line: int  # counted from 1; 0 where the file has none
    value: str | dict[str, Node] | list[Node]
    option: str = ""  # of the command line, where that gave it in place of the file
    file: str = ""  # of a library, where its row gave it in place of the sheet

    def plain(self) -> Any:
        """Return nested dicts, lists and texts without the lines."""
        if isinstance(self.value, dict):
            return {key: node.plain() for key, node in self.value.items()}
        if isinstance(self.value, list):
            return [node.plain() for node in self.value]
        return self.value

    def at(self, place: Sequence[str | int]) -> Node:
        """Return the deepest node on the way to a place; steps that the text lacks are skipped."""
        node = self
        for step in place:
            value = node.value
            if isinstance(value, dict) and len(value) == 1 and step not in value:
                only = next(iter(value.values()))  # 'site: {design day: {…}}' is read as one
                if isinstance(only.value, dict) and step in only.value:
                    node = only.value[str(step)]
            elif isinstance(value, dict) and step in value:
                node = value[str(step)]
            elif isinstance(value, list) and isinstance(step, int) and step < len(value):
                node = value[step]
        return node


@lru_cache(maxsize=1024)
def normal_key(key: str) -> str:
    """Return the one spelling of a key: 'Rib-Share', 'rib share' and 'rib_share' are the same.

    >>> normal_key("Rib-Share")
    'rib_share'
    """
    return "_".join(key.casefold().replace("-", " ").replace("_", " ").split())


def read_text(path: Path, what: str = SHEET) -> str:
    """Return the text of a sheet file; refuse what cannot be one.

    Parameters
    ----------
    path : the sheet's file
    what : what it is, for messages

    Raises
    ------
    SheetError : a folder, a file that is missing, unreadable, too big or not UTF-8 text
    """
    allowed = f"{what}: a text file in YAML"
    start = "to start one, type: vanclimate new my-van.yaml" if what == SHEET else ""
    if path.is_dir():
        raise SheetError(str(path), found="a folder", allowed=allowed, hint=start)
    if path.exists() and not path.is_file():
        raise SheetError(str(path), found="no ordinary file", allowed=allowed)
    try:
        with open(path, "rb") as file:
            if os.fstat(file.fileno()).st_size > MAX_BYTES:
                raise SheetError(path.name, found="a file over 1 MB", allowed="at most 1 MB")
            raw = file.read(MAX_BYTES + 1)
    except FileNotFoundError:
        raise SheetError(str(path), found="no such file", allowed=allowed, hint=start) from None
    except (OSError, ValueError) as error:  # ValueError: a NUL byte in the path
        reason = getattr(error, "strerror", None) or str(error)
        raise SheetError(str(path), allowed=allowed, hint=reason) from None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw[: error.start].count(b"\n") + 1
        found = f"byte 0x{raw[error.start]:02x}"
        raise SheetError(path.name, line, None, found, "UTF-8 text") from None


def read_tree(text: str, name: str) -> Node:
    """Read the text of a sheet into a tree of texts.

    Parameters
    ----------
    text : the whole sheet
    name : what to call it in messages

    Raises
    ------
    SheetError : text that is no sheet, with its line
    """
    _refuse_characters(text, name)
    try:
        events = yaml.parse(text, Loader=_LOADER)
        return _Builder(name, events).document()
    except yaml.MarkedYAMLError as error:
        line = error.problem_mark.line + 1 if error.problem_mark else None
        raise _broken(error, name, line) from None
    except yaml.YAMLError:
        raise SheetError(name, None, None, "text that is not YAML", "'key: value' lines") from None


_BROKEN = {  # of the parser's own words: what is meant, and what to look for
    "mapping values are not allowed": (
        "a key deeper than the line above, or two ': ' in one line",
        "the keys of a section indented alike; a text that has ': ' in quotes",
    ),
    "could not find expected ':'": (
        "a line that has no ': ', this one or one just above", "'key: value' lines"
    ),
    "expected ',' or '}'": (
        "a { that is not closed", "{key: value, key: value} with a comma between, here or above"
    ),
    "expected ',' or ']'": ("a [ that is not closed", "[one, two] with a comma between"),
    "did not find expected key": (
        "a line indented otherwise than its neighbours", "the keys of a section indented alike"
    ),
    "expected '-' indicator": (
        "a line of a list that does not begin with '-'", "lines that start with '-'"
    ),
}  # fmt: skip


def _broken(error: yaml.MarkedYAMLError, name: str, line: int | None) -> SheetError:
    """Return what is said of text that is not YAML, in a builder's words where they are known."""
    problem = error.problem or "broken YAML"
    # a bracket is told at the line where it opens: its end may be found anywhere
    if "expected ',' or" in problem and error.context_mark:
        line = error.context_mark.line + 1
    for part, (found, allowed) in _BROKEN.items():
        if part in problem:
            return SheetError(name, line, None, found, allowed)
    return SheetError(name, line, None, problem, "YAML: 'key: value' lines")


def read_value(text: str, option: str) -> Node:
    """Read one value, a list or a section as a sheet holds it, from the command line.

    Parameters
    ----------
    text : in one line
    option : what to call it in messages

    Raises
    ------
    SheetError : text that is no value, by the option's name

    >>> read_value("[steel 0.9 mm, XPS 2 in]", "--set").plain()
    ['steel 0.9 mm', 'XPS 2 in']
    """
    try:
        _refuse_characters(text, option)
        node = _Builder(option, yaml.parse(text, Loader=_LOADER)).value()
    except yaml.YAMLError:
        allowed = "a text, a [list, of them] or a {section: of them}, as in a sheet"
        raise SheetError(option, None, None, text, allowed) from None
    except SheetError as error:  # its line counts for nothing
        raise SheetError(option, None, error.key, error.found, error.allowed) from None
    return _given_by(node, option)


def _given_by(node: Node, option: str) -> Node:
    """Return a node and all in it as given by an option."""
    value: Any = node.value
    if isinstance(value, dict):
        value = {key: _given_by(inner, option) for key, inner in value.items()}
    elif isinstance(value, list):
        value = [_given_by(inner, option) for inner in value]
    return Node(0, value, option)


def _refuse_characters(text: str, name: str) -> None:
    """Refuse tabs and unprintable characters, which editors hide."""
    if len(text) > MAX_BYTES:
        raise SheetError(name, found="a sheet over 1 MB", allowed="at most 1 MB")
    for sign, word in (("\t", "a tab"), ("\0", "a NUL byte")):
        if sign in text:
            line = text[: text.index(sign)].count("\n") + 1
            raise SheetError(name, line, None, word, "spaces" if sign == "\t" else "plain text")
    for number, row in enumerate(text.split("\n"), 1):
        if not row.isprintable():
            bad = next((c for c in row.rstrip("\r") if not c.isprintable() and c != "\xa0"), "")
            if bad and (ord(bad) < 32 or 0x7F <= ord(bad) < 0xA0 or 0xD800 <= ord(bad) < 0xE000):
                raise SheetError(name, number, None, f"U+{ord(bad):04X}", "printable text")


class _Builder:
    """Builds the tree from YAML events; tags, anchors, aliases and deep nests are refused."""

    def __init__(self, name: str, events: Iterator[Any]) -> None:
        self.name, self.events, self.count = name, events, 0

    def document(self) -> Node:
        """Return the one document, which must be a section of keys."""
        next(self.events)  # stream start
        if isinstance(next(self.events), yaml.StreamEndEvent):
            raise SheetError(self.name, found="an empty sheet", allowed="'key: value' lines")
        root = self._node(next(self.events), 0)
        if not isinstance(root.value, dict):
            what = "a list" if isinstance(root.value, list) else root.value or "nothing"
            raise SheetError(self.name, root.line, None, what, "'key: value' lines at the top")
        self._end()
        return root

    def value(self) -> Node:
        """Return the one value."""
        next(self.events)  # stream start
        if isinstance(next(self.events), yaml.StreamEndEvent):
            raise SheetError(self.name, None, None, "nothing", "a value")
        root = self._node(next(self.events), 0)
        self._end()
        return root

    def _end(self) -> None:
        """Refuse a second document."""
        next(self.events)  # document end
        after = next(self.events)
        if not isinstance(after, yaml.StreamEndEvent):
            line = after.start_mark.line + 1
            raise SheetError(self.name, line, None, "a second document", "one sheet in a file")

    def _node(self, event: Any, depth: int) -> Node:
        line = event.start_mark.line + 1
        self.count += 1
        if isinstance(event, yaml.AliasEvent):
            raise SheetError(self.name, line, None, f"*{event.anchor}", "text, not a reference")
        if event.anchor is not None:
            raise SheetError(self.name, line, None, f"&{event.anchor}", "text, not an anchor")
        if event.tag is not None:
            raise SheetError(self.name, line, None, event.tag, "text, not a YAML tag")
        if depth > MAX_DEPTH or self.count > MAX_NODES:
            limit = f"at most {MAX_DEPTH} levels and {MAX_NODES} values"
            raise SheetError(self.name, line, None, "a sheet too deep or too long", limit)
        if isinstance(event, yaml.ScalarEvent):
            if len(event.value) > MAX_LETTERS:
                found = f"{len(event.value)} letters in one value"
                raise SheetError(self.name, line, None, found, f"at most {MAX_LETTERS}")
            return Node(line, " ".join(event.value.split()))
        if isinstance(event, yaml.SequenceStartEvent):
            items = []
            while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
                items.append(self._node(event, depth + 1))
            return Node(line, items)
        return Node(line, self._section(depth))

    def _section(self, depth: int) -> dict[str, Node]:
        """Read the keys of one section; a key given twice is refused in any spelling."""
        section: dict[str, Node] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            key_node = self._node(event, depth + 1)
            if not isinstance(key_node.value, str):
                raise SheetError(self.name, key_node.line, None, "a section as a key", "a word")
            key = normal_key(key_node.value)
            if key in section:
                allowed = f"each key once; it stands in line {section[key].line} too"
                raise SheetError(self.name, key_node.line, key_node.value, "the key twice", allowed)
            value = self._node(next(self.events), depth + 1)
            section[key] = Node(key_node.line, value.value)
        return section
