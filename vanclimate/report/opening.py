"""What stands under every answer's first lines: the van's name, and what was set in its sheet.

What does not belong here: how a value is set (van/changes.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.compare.differences import short_stack
from vanclimate.errors import OptionError, shorten
from vanclimate.report.guesses import value_text
from vanclimate.report.layout import say
from vanclimate.report.words import plain
from vanclimate.van.fields import Part
from vanclimate.van.layers import Layer

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.units import System
    from vanclimate.van.changes import Change
    from vanclimate.van.sheet import Sheet


OWN = "the sheet's"  # of a whole section


def say_van(console: Console, sheet: Sheet, system: System, demo: str = "") -> None:
    """Print the van's name and note, and each value that was set in place of the sheet's.

    Parameters
    ----------
    console : where to
    sheet : that the answer is about
    system : units to show values in
    demo : what to say of an invented van in place of its name, or ''
    """
    named = [x for x in (sheet.name, sheet.note) if x not in ("-", "A van")]
    if demo or named:
        say(console, demo or plain(". ".join(named)))
    for line in setting_lines(sheet, system):
        say(console, line)


def setting_lines(sheet: Sheet, system: System) -> list[str]:
    """Return what was set: 'set: battery.capacity 500 Ah, in place of 630 Ah'."""
    changes, base = sheet.settings
    return [_line(sheet, base, change, system) for change in changes]


def _line(sheet: Sheet, base: Sheet | None, change: Change, system: System) -> str:
    now = _text(sheet, change, system) or shorten(plain(change.text))
    line = f"set: {change.key.replace('_', ' ')} {now}"
    if base is None:
        return line
    guess = " (guess)" if _is_guess(base, change.path) else ""
    return f"{line}, in place of {_text(base, change, system) or OWN}{guess}"


def _text(sheet: Sheet, change: Change, system: System) -> str:
    """Return a value as understood; 'none' where there is none, '' for a section."""
    try:
        value = sheet.value_of(change.path)
    except OptionError:
        return "none"
    layers = [value] if isinstance(value, Layer) else value
    if layers and isinstance(layers, list | tuple) and isinstance(layers[0], Layer):
        return short_stack(layers, system)
    if isinstance(value, Part):
        return str(getattr(value, "label", ""))
    return plain(value_text(sheet, change.path, value, system))


def _is_guess(sheet: Sheet, path: str) -> bool:
    above, _, last = path.rpartition(".")
    try:
        holder = sheet.value_of(above) if above else sheet
    except OptionError:  # such as a heater's where there was none
        return False
    return isinstance(holder, Part) and holder.is_guess(last)
