"""From a file or a text to a checked `Sheet`, with one clear message where that fails.

What does not belong here: what a field may hold (fields.py), and YAML itself (textfile.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from vanclimate.errors import SheetError, near
from vanclimate.van.changes import OPTION, Change, changed_tree, without_orphans
from vanclimate.van.fields import specs
from vanclimate.van.other_words import meant
from vanclimate.van.paths import dotted, fault
from vanclimate.van.schema import keys_at, part_at
from vanclimate.van.sheet import Sheet
from vanclimate.van.textfile import Node, read_text, read_tree

A_SECTION = "a section"
MANY = 20  # from so many keys on a hint names one and counts the others


def load(path: str | Path, changes: Sequence[str] = ()) -> Sheet:
    """Read a scenario sheet from a file.

    Parameters
    ----------
    path : the sheet's file
    changes : values to put in place of the file's, each 'key=value'

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    """
    path = Path(path)
    return loads_text(read_text(path), path.name, changes, path.resolve().parent)


def loads_text(
    text: str, name: str = "sheet", changes: Sequence[str] = (), folder: Path | None = None
) -> Sheet:
    """Read a scenario sheet from its text.

    Parameters
    ----------
    text : the whole sheet
    name : what to call it in messages
    changes : values to put in place of the text's, each 'key=value'
    folder : from which a weather file's path counts

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    OptionError : a change of a key that there is not
    """
    tree = read_tree(text, name)
    changed, done = changed_tree(tree, changes)
    if not done:
        return of_tree(tree, name, text, folder)
    base = None
    with suppress(SheetError):  # the changes may be what makes it whole
        base = of_tree(tree, name, text, folder)
    changed, left_out = _left_out(changed, done)
    try:
        sheet = of_tree(changed, name, text, folder)
    except SheetError as error:
        if error.line is None or base is None:
            raise
        beside = f"beside {' and '.join(change.option for change in done)}"
        hint = f"{error.hint}; {beside}" if error.hint else beside
        raise SheetError(name, error.line, error.key, error.found, error.allowed, hint) from None
    sheet._set, sheet._base, sheet._also = done, base, left_out
    sheet._changes = tuple((change.option, change.text) for change in done)
    return sheet


def _left_out(tree: Node, done: Sequence[Change]) -> tuple[Node, tuple[str, ...]]:
    """Return the tree without what a value set to 'none' leaves no sense in, and notes of it."""
    notes: list[str] = []
    while True:
        try:
            Sheet.model_validate(tree.plain())
        except ValidationError as error:
            places = [_one(e, tree)[1] for e in error.errors(include_url=False)]
            smaller, place = without_orphans(tree, done, places)
            if place is None:
                return tree, tuple(notes)
            notes.append(
                f"{dotted(place)} counts for nothing beside a value set to none ({OPTION})"
            )
            tree = smaller
        else:
            return tree, tuple(notes)


def of_tree(tree: Node, name: str, text: str, folder: Path | None = None) -> Sheet:
    """Read a scenario sheet from its tree of texts.

    Parameters
    ----------
    tree : the texts by their keys
    name : what to call it in messages
    text : the whole sheet
    folder : from which a weather file's path counts

    Raises
    ------
    SheetError : whatever is wrong with it, with file, line and key
    """
    try:
        sheet = Sheet.model_validate(tree.plain())
    except ValidationError as error:
        raise _as_sheet_error(error, tree, name) from None
    except RecursionError:
        raise SheetError(name, found="a sheet too deep", allowed="a few levels") from None
    sheet._file, sheet._text, sheet._tree, sheet._folder = name, text, tree, folder
    return sheet


def _as_sheet_error(error: ValidationError, tree: Node, name: str) -> SheetError:
    """Return the first of pydantic's errors, by line, in our words; it carries the others."""
    problems = [_one(e, tree) for e in error.errors(include_url=False)]
    # a key that is missing is often one that is spelt wrongly, so that comes last
    problems.sort(key=lambda p: (p[2] == "nothing", p[0].line))
    node, loc, found, allowed, hint = problems[0]
    more = len(problems) - 1
    if more:
        also = f"and {more} more problem{'s' if more > 1 else ''} in this sheet"
        hint = f"{hint}; {also}" if hint else also
    first = fault(node, name, loc, found, allowed, hint)
    first.others = tuple(
        fault(node, name, loc, found, allowed, hint)
        for node, loc, found, allowed, hint in problems[1:]
    )
    return first


def _one(problem: Any, tree: Node) -> tuple[Node, list[Any], str, str, str]:
    """Return node, place, found, allowed and hint of one of pydantic's errors."""
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
        known = [k.replace("_", " ") for k in keys_at(loc[:-1])]
        word = str(loc[-1]).replace("_", " ")
        found, hint = word, meant(word, known) or near(word, known)
        allowed = _names(known, hint)
    else:
        found, allowed = _shape(problem)
        if allowed == A_SECTION:
            allowed = _words_of(loc) or allowed
        hint = ""
    return tree.at(loc), loc, found, _with_keys(allowed, loc), hint


def _names(known: list[str], hint: str) -> str:
    """Name the keys of a section, few of many where a hint says which is meant."""
    if not hint or len(known) <= MANY:
        return ", ".join(known)
    which = hint.split("'")[1]
    return f"{which} and {len(known) - 1} other keys"


def _with_keys(allowed: str, loc: list[Any]) -> str:
    """Name the first keys of a section where one is allowed."""
    keys = [f"'{key.replace('_', ' ')}:'" for key in keys_at(loc)]
    if not keys or not allowed.startswith(A_SECTION):
        return allowed
    named = ", ".join(keys[:3]) + (" and so on" if len(keys) > 3 else "")
    return f"{A_SECTION} of keys, {named}, with their values{allowed.removeprefix(A_SECTION)}"


def _words_of(loc: list[Any]) -> str:
    """Return what a key holds in words, if it holds a section itself."""
    part = part_at(loc[:-1])
    spec = specs(part).get(loc[-1]) if part and isinstance(loc[-1], str) else None
    return spec.what if spec else ""


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
