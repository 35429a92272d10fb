"""From a file or a text to a checked `Sheet`, with one clear message where that fails.

What does not belong here: what a field may hold (fields.py), and YAML itself (textfile.py).
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from vanclimate.errors import SheetError, near
from vanclimate.van.fields import specs
from vanclimate.van.paths import dotted
from vanclimate.van.sheet import Sheet
from vanclimate.van.textfile import Node, read_text, read_tree

A_SECTION = "a section"


def load(path: str | Path) -> Sheet:
    """Read a scenario sheet from a file.

    Parameters
    ----------
    path : the sheet's file

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    """
    path = Path(path)
    sheet = loads_text(read_text(path), path.name)
    sheet._folder = path.resolve().parent
    return sheet


def loads_text(text: str, name: str = "sheet") -> Sheet:
    """Read a scenario sheet from its text.

    Parameters
    ----------
    text : the whole sheet
    name : what to call it in messages

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    """
    tree = read_tree(text, name)
    try:
        sheet = Sheet.model_validate(tree.plain())
    except ValidationError as error:
        raise _as_sheet_error(error, tree, name) from None
    except RecursionError:
        raise SheetError(name, found="a sheet too deep", allowed="a few levels") from None
    sheet._file, sheet._text, sheet._tree = name, text, tree
    return sheet


def _as_sheet_error(error: ValidationError, tree: Node, name: str) -> SheetError:
    """Return the first of pydantic's errors, by line, in our words."""
    problems = [_one(e, tree) for e in error.errors(include_url=False)]
    # a key that is missing is often one that is spelt wrongly, so that comes last
    line, key, found, allowed, hint = min(problems, key=lambda p: (p[2] == "nothing", p[0]))
    more = len(problems) - 1
    if more:
        also = f"and {more} more problem{'s' if more > 1 else ''} in this sheet"
        hint = f"{hint}; {also}" if hint else also
    return SheetError(name, line, key, found, allowed, hint)


def _one(problem: Any, tree: Node) -> tuple[int, str, str, str, str]:
    """Return line, key, found, allowed and hint of one of pydantic's errors."""
    loc = list(problem["loc"])
    context, kind = problem.get("ctx") or {}, problem["type"]
    holder = tree.at(loc[:-1])
    if kind == "sheet":
        # of the whole sheet: the way to the value, such as 'loads.0.zone'
        steps = context["key"].split(".") if context["key"] else []
        loc += [int(step) if step.isdigit() else step for step in steps]
        found, allowed, hint = context["found"], context["allowed"], context["hint"]
    elif kind == "missing":
        wanted = str(loc[-1]).replace("_", " ")
        found, allowed, hint = "nothing", f"'{wanted}:' and its value", "the key is missing"
        given = holder.value if isinstance(holder.value, dict) else {}
        if spelt := near(wanted, [k.replace("_", " ") for k in given]):
            hint += f"; there is '{spelt.split(chr(39))[1]}'"
    elif kind == "extra_forbidden":
        known = [k.replace("_", " ") for k in _keys_at(loc[:-1])]
        word = str(loc[-1]).replace("_", " ")
        found, allowed, hint = word, ", ".join(known), near(word, known)
    else:
        found, allowed = _shape(problem)
        if allowed == A_SECTION:
            allowed = _words_of(loc) or allowed
        hint = ""
    node = tree.at(loc)
    return node.line, dotted(loc), found, _with_keys(allowed, loc), hint


def _with_keys(allowed: str, loc: list[Any]) -> str:
    """Name the first keys of a section where one is allowed."""
    keys = [f"'{key.replace('_', ' ')}:'" for key in _keys_at(loc)]
    if not keys or not allowed.startswith(A_SECTION):
        return allowed
    named = ", ".join(keys[:3]) + (" and so on" if len(keys) > 3 else "")
    return f"{A_SECTION} of keys, {named}, with their values{allowed.removeprefix(A_SECTION)}"


def _words_of(loc: list[Any]) -> str:
    """Return what a key holds in words, if it holds a section itself."""
    part = _part_at(loc[:-1])
    spec = specs(part).get(loc[-1]) if part and isinstance(loc[-1], str) else None
    return spec.what if spec else ""


def _keys_at(loc: list[Any]) -> list[str]:
    """Return the keys that a section knows."""
    part = _part_at(loc)
    return list(part.model_fields) if part else []


def _part_at(loc: list[Any]) -> type[BaseModel] | None:
    """Return the section at a place, None where there is none."""
    part: Any = Sheet
    for step in loc:
        if isinstance(step, int):
            continue
        if not (isinstance(part, type) and issubclass(part, BaseModel)):
            return None
        info = part.model_fields.get(step)
        part = _section_type(info.annotation) if info else None
    return part if isinstance(part, type) and issubclass(part, BaseModel) else None


def _section_type(annotation: Any) -> Any:
    """Return the section in an annotation such as ``tuple[Window, ...]`` or ``X | None``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for inner in getattr(annotation, "__args__", ()):
        if (found := _section_type(inner)) is not None:
            return found
    return None


def _shape(problem: Any) -> tuple[str, str]:
    """Return found and allowed where a section, a list or a text stands in place of another."""
    value, kind = problem["input"], problem["type"]
    found = (
        "a list" if isinstance(value, list) else "a section" if isinstance(value, dict) else value
    )
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return found or "nothing", A_SECTION
    if kind in ("tuple_type", "list_type"):
        return found or "nothing", "a list: lines that start with '-', or [one, two]"
    return found or "nothing", str(problem["msg"])
