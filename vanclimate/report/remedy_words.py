"""Remedies in words: so much of each.

What does not belong here: which of them are enough (answers/futures/change.py, night_changes.py).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from vanclimate.report.numbers import difference
from vanclimate.units import show

if TYPE_CHECKING:
    from vanclimate.answers.futures.change import Done
    from vanclimate.answers.night_changes import NightChanges
    from vanclimate.units import System

FORMS = {
    "roof panels": "{} more roof panels", "battery": "{} more battery",
    "driving": "{} more driving a day", "insulation": "{} more insulation in roof and walls",
    "AC setpoint": "the AC set {} higher", "heater setpoint": "the heater set {} lower",
    "night limit": "the AC's quiet mode at {} less", "fuel": "a tank {} larger",
    "air conditioner": "an AC {} larger", "heater": "a heater {} larger",
}  # fmt: skip
SHADES = ("a step deeper in the shade", "two steps deeper in the shade",
          "three steps deeper in the shade")  # fmt: skip


def done_words(done: Done, system: System) -> str:
    """Write so much of a remedy: '200 W more roof panels'."""
    if done.name == "shade":
        return SHADES[min(round(done.size), len(SHADES)) - 1]
    if done.name == "window covers":
        return "insulated covers on all glass"
    return FORMS[done.name].format(_size(done.quantity, done.size, system))


def _size(quantity: str, size: float, system: System) -> str:
    if quantity == "temperature_difference":
        return difference(size, system)
    if quantity == "volume" and system == "si":
        return f"{1e3 * size:g} L"
    if quantity == "length" and system == "si":
        return f"{1e3 * size:.0f} mm"
    return show(size, quantity, system, 2)


def together_words(done: Sequence[Done], system: System) -> str:
    """Write what is done together."""
    return " and ".join(done_words(each, system) for each in done)


def night_change_lines(changes: NightChanges, system: System) -> list[str]:
    """Return what makes a night hold, and what does not; a sentence each."""
    enough = [together_words(change.done, system) for change in changes.enough]
    lines = []
    if len(enough) == 1:
        lines.append(f"The sheet's own van holds with {enough[0]}.")
    elif enough:
        any_one = "; ".join(enough)
        lines.append(f"The sheet's own van holds with any one of these, least first: {any_one}.")
    else:
        lines.append("Nothing that was tried makes it hold, nor the best with one more.")
    if enough:
        lines.append(_sure_line(changes, system))
    if changes.short:
        most = "; ".join(done_words(done, system) for done in changes.short)
        lines.append(f"Not enough alone, at the most that was tried: {most}.")
    return lines


def _sure_line(changes: NightChanges, system: System) -> str:
    """Return how much of the first change holds in nine vans of ten, whatever they turn out."""
    if changes.sure is None:
        return "As it may turn out when built: no more of the first is enough in 9 vans of 10."
    if changes.sure == changes.enough[0]:
        return "That first change holds in 9 vans of 10, however they turn out when built."
    more = together_words(changes.sure.done, system)
    return f"To hold in 9 vans of 10, however they turn out when built: {more}."
