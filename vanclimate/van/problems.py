"""What is wrong with a section, in our words: found, allowed, and a hint.

What does not belong here: what a field may hold (fields.py).
"""

from __future__ import annotations

from typing import Any

from vanclimate.errors import near
from vanclimate.van.fields import specs
from vanclimate.van.other_words import meant
from vanclimate.van.schema import keys_at, part_at
from vanclimate.van.textfile import Node

A_SECTION = "a section"
MANY = 20  # from so many keys on a hint names one and counts the others


def told(problem: Any, tree: Node) -> tuple[Node, list[Any], str, str, str]:
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
