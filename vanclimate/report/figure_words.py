"""An answer's figures, each by its kind, as a reader sees them.

What does not belong here: which figures there are (answers/).
"""

from __future__ import annotations

from math import isfinite, isnan

from vanclimate.report.numbers import MINUS, difference, fixed, hours, percent, temperature
from vanclimate.units import System, show

NOTHING = "–"  # where there is no figure


def figure_text(value: float, kind: str, system: System) -> str:
    """Write a figure.

    >>> figure_text(0.254, "share", "si"), figure_text(31.0, "count", "si")
    ('25 %', '31')
    >>> figure_text(630.0, "charge", "us"), figure_text(float("nan"), "hours", "si")
    ('630 Ah', '–')
    """
    if isnan(value):
        return NOTHING
    if kind in ("share", "fraction"):
        return percent(value)
    if kind == "hours":
        return hours(value)
    if not isfinite(value):
        return "no end"
    if kind in ("count", "none"):
        return fixed(value, 0 if float(value).is_integer() else 1)
    if kind == "temperature":
        return temperature(value, system)
    if kind == "temperature_difference":
        return difference(value, system)
    return show(value, kind, system, 3).replace("-", MINUS)


def move_text(value: float, kind: str, system: System) -> str:
    """Write by how much a figure moves, with its sign; a share moves by points of a percent.

    >>> move_text(-0.13, "share", "si"), move_text(0.0, "charge", "si")
    ('−13 points', '0')
    >>> move_text(4.9, "temperature", "us")
    '+8.8 F°'
    """
    if not isfinite(value):
        return NOTHING
    if is_nothing(value, kind):
        return "0"
    if kind in ("share", "fraction"):
        decimals = 0 if abs(value) >= 0.0095 else 1
        text = f"{fixed(100.0 * value, decimals)} points"
    else:
        moved = "temperature_difference" if kind == "temperature" else kind
        text = figure_text(value, moved, system)
    return text if text.startswith(MINUS) else f"+{text}"


def is_nothing(value: float, kind: str) -> bool:
    """Return whether a move is too small to be shown."""
    least = {"share": 5e-4, "fraction": 5e-4, "count": 1e-9, "temperature": 0.02,
             "temperature_difference": 0.02, "hours": 0.05}.get(kind, 1e-6)  # fmt: skip
    return abs(value) < least
