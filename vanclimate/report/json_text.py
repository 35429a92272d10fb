"""An answer as JSON: everything that it holds but what it was computed from.

The form is described in docs/json.md. What does not belong here: any particular answer.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import Field, fields, is_dataclass
from datetime import date, datetime, timedelta
from math import isfinite
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel

from vanclimate.units import KINDS

if TYPE_CHECKING:
    from vanclimate.answers.figures import Figure
    from vanclimate.van.sheet import Sheet

FORMS = {"night": 1, "stacks": 1, "compare": 1, "trip": 1, "size": 1,
         "last": 1, "coast": 1}  # fmt: skip
"""The form's number by question, 1 where none stands: see docs/json.md for when it goes up."""

LEFT_OUT = frozenset({
    "Sheet", "Model", "Shell", "Scene", "Run", "Plan", "Place", "Equipment", "Weather", "Record",
    "Season", "Spell", "WorstHeld", "Spot", "Stop", "DataFrame", "Columns", "Callable", "Answer",
})  # fmt: skip
"""Types that an answer is computed from; a field that holds one, or several, is no part of it."""


def answer_text(
    question: str, first_line: str, inputs: Mapping[str, Any], figures: Iterable[Any], answer: Any
) -> str:
    """Return an answer as a JSON text.

    Parameters
    ----------
    question : name of the command
    first_line : the verdict
    inputs : what it was computed from, see `inputs_of`
    figures : its numbers, see `figure_of`
    answer : a dataclass
    """
    from vanclimate import __version__

    whole = {
        "schema": f"vanclimate.{question}/{FORMS.get(question, 1)}",
        "version": __version__,
        "inputs": plain(inputs),
        "first_line": first_line,
        "figures": [plain(figure) for figure in figures],
        "answer": plain(answer),
    }
    # escaped, so that no terminal's encoding can break it
    return json.dumps(whole, allow_nan=False, indent=1)


def inputs_of(sheet: Sheet, file: str, also: Iterable[str]) -> dict[str, Any]:
    """Return what an answer was computed from: the sheet, its place, what was set and added."""
    return {
        "sheet": file,
        "name": sheet.name,
        "digest": sheet.digest,
        "place": sheet.site.label,
        "set": [f"{change.key}={change.text}" for change in sheet.settings[0]],
        "also": list(also),
    }


def figure_of(figure: Figure) -> dict[str, Any]:
    """Return a figure with the unit of its value."""
    return {
        "name": figure.name, "value": figure.value, "unit": unit_of(figure.kind),
        "kind": figure.kind, "better": figure.better,
    }  # fmt: skip


def unit_of(kind: str) -> str:
    """Return the unit in which a value of a kind stands; '1' for shares and plain numbers.

    >>> unit_of("length"), unit_of("temperature"), unit_of("energy"), unit_of("share")
    ('m', '°C', 'Wh', '1')
    """
    if kind == "temperature":
        return "°C"
    if kind not in KINDS:
        return "h" if kind == "hours" else "1"
    return next((unit for unit, value in KINDS[kind].si.items() if value == 1.0), "1")


def plain(value: Any) -> Any:
    """Return a value as dicts, lists, texts and numbers; what has no end or no value is None.

    Parameters
    ----------
    value : dataclasses, tuples, moments, numbers, and whatever holds them

    Raises
    ------
    TypeError : a type that has no form in JSON
    """
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, float):
        return float(value) if isfinite(value) else None
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, timedelta):
        return value.total_seconds()
    if isinstance(value, BaseModel):  # a section of the sheet
        return None
    if is_dataclass(value) and not isinstance(value, type):
        told = {key_of(own): getattr(value, own.name) for own in told_fields(type(value))}
        told |= {name: getattr(value, name) for name in getattr(value, "also_told", ())}
        return {key: plain(inner) for key, inner in told.items()}
    if isinstance(value, Mapping):
        return {str(key): plain(inner) for key, inner in value.items()}
    if isinstance(value, tuple) and hasattr(value, "_asdict"):
        return {key: plain(inner) for key, inner in value._asdict().items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [plain(inner) for inner in value]
    if hasattr(value, "tolist"):  # numpy's numbers and arrays
        return plain(value.tolist())
    raise TypeError(f"no form in JSON for {type(value).__name__}")


def told_fields(of: type) -> list[Field[Any]]:
    """Return the fields of a dataclass that are part of an answer."""
    return [
        own
        for own in fields(of)
        if own.metadata.get("told", True) and not LEFT_OUT & set(re.findall(r"\w+", str(own.type)))
    ]


def key_of(own: Field[Any]) -> str:
    """Return a field's key, its unit at its end."""
    unit = own.metadata.get("unit", "")
    return f"{own.name}_{unit}" if unit else own.name
