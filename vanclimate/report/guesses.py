"""A sheet's values and how many of them are guessed, in words.

What does not belong here: the odds that guesses leave (odds_words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from vanclimate.units import show

if TYPE_CHECKING:
    from vanclimate.units import System
    from vanclimate.van.fields import Part
    from vanclimate.van.sheet import Sheet


def name_of(sheet: Sheet, path: str) -> str:
    """Write a value's path as a reader says it: 'battery health', 'fridge duty'."""
    words: list[str] = []
    so_far = ""
    for step in path.split("."):
        so_far = f"{so_far}.{step}" if so_far else step
        if step.isdigit():
            words[-1] = str(getattr(sheet.value_of(so_far), "name", f"{words[-1]} {step}"))
        else:
            words.append(step.replace("_", " "))
    return " ".join(words)


def value_text(sheet: Sheet, path: str, value: Any, system: System) -> str:
    """Write a value that may stand at a path, in the reader's units."""
    from vanclimate.van.fields import specs

    above, _, last = path.rpartition(".")
    holder: Part = sheet.value_of(above) if above else sheet
    spec = specs(type(holder)).get(last)
    if spec is None:
        return str(value)
    if spec.kind and spec.kind != "none" and isinstance(value, float):
        return show(value, spec.kind, system, 3)
    return str(spec.write(value, system))


def count_line(sheet: Sheet, check: str) -> str:
    """Return how many values are guessed, and the command that lists them."""
    count = len(sheet.guessed)
    if count == 1:
        return f"1 value of the sheet is guessed; `{check}` shows it."
    return f"{count} values of the sheet are guessed; `{check}` lists them all."
