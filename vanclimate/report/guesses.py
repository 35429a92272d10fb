"""The guesses that move the margin most, in words.

What does not belong here: which they are (answers/levers.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from vanclimate.report.numbers import MINUS, fixed, in_units, unit_of
from vanclimate.units import show

if TYPE_CHECKING:
    from vanclimate.answers.levers import Lever
    from vanclimate.answers.night import Night
    from vanclimate.units import System
    from vanclimate.van.fields import Part
    from vanclimate.van.sheet import Sheet

SHOWN = 2


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


def lever_lines(night: Night, lever: Lever, system: System) -> tuple[str, str]:
    """Return what is guessed and how far it moves the margin, and what would settle it."""
    sheet, guess = night.sheet, lever.guess
    low, now, high = (
        value_text(sheet, guess.path, v, system) for v in (guess.low, guess.value, guess.high)
    )
    charge = _span([100.0 * x for x in lever.charge], 0)
    kind = "temperature_difference"
    room = _span([in_units(x, kind, system) for x in lever.degrees], 1)
    what = (
        f"{name_of(sheet, guess.path)}, guessed {now}{_reason(guess.why)}. From {low} to {high} "
        f"it makes the margin {charge} % of the bank and {room} {unit_of(kind, system)} of room."
    )
    settle = guess.settle or f"give your own figure for '{guess.label}' in the sheet"
    return what, f"Settle it: {settle}."


def _span(values: list[float], decimals: int) -> str:
    """Write both ends, signed where one lies below zero."""
    texts = [fixed(v, decimals) for v in values]
    if any(t.startswith(MINUS) for t in texts):
        texts = [t if t.startswith(MINUS) or not t.strip("0.") else f"+{t}" for t in texts]
    return texts[0] if texts[0] == texts[1] else f"{texts[0]} to {texts[1]}"


def _reason(why: str) -> str:
    """Return what a guess means, in brackets; a reason that only repeats the value says nothing."""
    text = why.removeprefix("assumed: ").rstrip(".")
    return "" if text[:1].isdigit() else f" ({text})"


def count_line(night: Night, check: str) -> str:
    """Return how many other values were guessed, and the command that lists them."""
    others = max(0, len(night.sheet.guessed) - min(SHOWN, len(night.levers)))
    if others == 1:
        return f"1 other value is guessed; `{check}` shows it."
    return f"{others} other values are guessed; `{check}` lists them all."
