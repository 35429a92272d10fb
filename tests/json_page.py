"""Write the lists of fields in docs/json.md: ``python -m tests.json_page``.

They are read off the classes of the answers: a field's key, its type, and the comment beside it.
What does not belong here: the encoder (report/json_text.py) and checks.
"""

from __future__ import annotations

import importlib
import inspect
import re
from collections.abc import Iterator
from dataclasses import is_dataclass
from pathlib import Path
from typing import Any

from vanclimate.report.json_text import LEFT_OUT, key_of, told_fields

PAGE = Path(__file__).resolve().parent.parent / "docs" / "json.md"
ANSWERS = {
    "night": "night.Night", "stacks": "stacks.answer.Stacks",
    "compare": "compare.answer.Comparison", "trip": "trip.answer.Trip",
    "size": "size.answer.Size", "last": "last.Last", "coast": "coast.answer.Coast",
}  # fmt: skip
"""Module and class of each question's answer, in ``vanclimate.answers``."""

BEGIN, END = "<!-- fields of {} -->", "<!-- end -->"
WORDS = {
    "str": "text", "float": "number", "int": "whole number", "bool": "true or false",
    "datetime": "time", "date": "day", "timedelta": "seconds", "None": "null", "Any": "any value",
    "FloatArray": "list of numbers", "Array": "list of numbers", "object": "any value",
}  # fmt: skip
NOTES = {"Bed": {"low": "the least that `clo` may be", "high": "the most"}}
"""Of fields that say nothing of themselves where they stand."""


def page() -> str:
    """Return the page with its lists as the code has them."""
    text = PAGE.read_text(encoding="utf-8")
    for question, where in ANSWERS.items():
        module, _, name = where.rpartition(".")
        found = getattr(importlib.import_module(f"vanclimate.answers.{module}"), name)
        begin = BEGIN.format(question)
        before, rest = text.split(begin + "\n")
        text = f"{before}{begin}\n{listed(found)}{rest[rest.index(END) :]}"
    return text


def listed(answer: type) -> str:
    """Return the list of an answer's fields, and of those of all classes in it."""
    waiting, seen, out = [answer], {answer}, ""
    while waiting:
        of = waiting.pop(0)
        rows = list(_rows(of))
        head = "" if of is answer else f"**{of.__name__}**: {_said(of)}\n\n"
        body = "".join(f"| `{key}` | {kind} | {note} |\n" for key, kind, note, _ in rows)
        out += f"{head}| key | holds | |\n|---|---|---|\n{body}\n"
        for inner in (x for *_, held in rows for x in held):
            if inner not in seen:
                seen.add(inner)
                waiting.append(inner)
    return out


def _said(of: type) -> str:
    """Return a class's docstring, without what it says of single fields, as one line."""
    text = re.split(r"\n\n(?:Parameters|Attributes)\n", inspect.cleandoc(of.__doc__ or ""))[0]
    return _in_json(text)


def _in_json(text: str) -> str:
    """Return a text of the code as a line of Markdown; what the code calls None is null there."""
    text = re.sub(r"\s+", " ", text).replace("``", "`").replace("|", "\\|")
    return re.sub(r"\b(?:None|inf|NaN)\b", "null", text)


def _rows(of: type) -> Iterator[tuple[str, str, str, list[type]]]:
    """Yield key, type, note of each field of a class, and the classes in it."""
    notes = _notes(of)
    if is_dataclass(of):
        pairs = [(own.name, key_of(own), str(own.type)) for own in told_fields(of)]
        pairs += [(name, name, _returned(of, name)) for name in getattr(of, "also_told", ())]
    else:  # a NamedTuple
        pairs = [(name, name, _text(kind)) for name, kind in of.__annotations__.items()]
    for name, key, kind in pairs:
        words, held = _words(kind, of)
        yield key, words, notes.get(name, ""), held


def _text(annotation: Any) -> str:
    return str(getattr(annotation, "__forward_arg__", getattr(annotation, "__name__", annotation)))


def _getter(of: type, name: str) -> Any:
    """Return the function of a property, cached or not."""
    found = inspect.getattr_static(of, name)
    return found.fget if isinstance(found, property) else found.func


def _returned(of: type, name: str) -> str:
    return str(_getter(of, name).__annotations__["return"])


def _notes(of: type) -> dict[str, str]:
    """Return what the docstring, or the comment beside it, says of each field and property."""
    notes = dict(NOTES.get(of.__name__, {}))
    notes |= dict(_documented(inspect.cleandoc(of.__doc__ or "")))
    found = re.findall(r"^    (\w+): [^#\n]*#\s*(.*)$", inspect.getsource(of), re.MULTILINE)
    notes |= {name: text for name, text in found if not text.startswith(("noqa", "type:"))}
    for name in getattr(of, "also_told", ()):
        notes[name] = (_getter(of, name).__doc__ or "").splitlines()[0].rstrip(".")
    return {name: _in_json(text) for name, text in notes.items()}


def _documented(doc: str) -> Iterator[tuple[str, str]]:
    """Yield the fields that a docstring describes, several of one text each with it."""
    _, *parts = re.split(r"\n\n(?:Parameters|Attributes)\n-+\n", doc)
    for part in parts:
        for names, text in re.findall(r"^([\w, ]+) : (.+(?:\n +.+)*)", part, re.MULTILINE):
            yield from ((name.strip(), text) for name in names.split(","))


def _words(kind: str, of: type) -> tuple[str, list[type]]:
    """Return an annotation in words, and the classes it names."""
    parts = [part.strip() for part in _split(kind, "|")]
    if len(parts) > 1:
        told = [_words(part, of) for part in parts]
        return " or ".join(words for words, _ in told), [x for _, held in told for x in held]
    match = re.fullmatch(r"(\w+)\[(.*)\]", kind)
    if match is None:
        if kind in WORDS:
            return WORDS[kind], []
        found = _named(kind, of)
        return f"`{found.__name__}`", [found]
    outer, inner = match[1], [x.strip() for x in _split(match[2], ",")]
    if outer in ("dict", "Mapping"):
        words, held = _words(inner[1], of)
        return f"by name: {words}", held
    if outer in ("tuple", "list", "Sequence") and inner[-1] in ("...", inner[0]):
        words, held = _words(inner[0], of)
        if inner[-1] == "..." or len(inner) == 1:
            return f"list of {words}", held
        return f"list of {len(inner)}: {words}", held
    if outer == "Literal":
        return "text", []
    told = [_words(part, of) for part in inner]
    return f"list: {', '.join(w for w, _ in told)}", [x for _, held in told for x in held]


def _split(text: str, sign: str) -> list[str]:
    """Split a text at a sign outside brackets."""
    out, depth = [""], 0
    for c in text:
        depth += (c in "[(") - (c in "])")
        if c == sign and depth == 0:
            out.append("")
        else:
            out[-1] += c
    return out


def _named(name: str, of: type) -> type:
    """Return the class that a name means in the module of another class."""
    found = getattr(importlib.import_module(of.__module__), name, None)
    if not isinstance(found, type) or name in LEFT_OUT:
        raise TypeError(f"{of.__module__}.{of.__name__}: no class {name!r} that JSON can tell")
    if not (is_dataclass(found) or hasattr(found, "_fields")):
        raise TypeError(f"{name} is neither a dataclass nor a named tuple")
    return found


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
