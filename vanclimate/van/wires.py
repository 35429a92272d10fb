"""Wire sizes as a sheet writes them.

What does not belong here: resistance and ampacity (``physics.wire``).
"""

from __future__ import annotations

import re

from vanclimate.errors import UnitError
from vanclimate.physics.wire import (
    LEAST_AREA,
    MOST_AREA,
    THICKEST,
    THINNEST,
    awg_area,
)
from vanclimate.units import System

ALLOWED = "a wire size, 18 AWG to 4/0 AWG or 1 mm2 to 120 mm2"
INSULATION = {"60 C": 60, "75 C": 75, "90 C": 90, "105 C": 105}

_GAUGE = re.compile(r"(?:AWG\s*)?(\d{1,2}|[1-4]/0|0{1,4})\s*(?:AWG|gauge|ga\.?)?", re.IGNORECASE)
_METRIC = re.compile(r"(\d{1,3}(?:\.\d+)?)\s*(?:mm2|mm²|sq\s?mm|mm\^2)", re.IGNORECASE)


def read_wire(text: str) -> float:
    """Read a wire's size and return its copper's area [m²].

    >>> round(1e6 * read_wire("12 AWG"), 2), round(1e6 * read_wire("AWG 2/0"), 1)
    (3.31, 67.4)
    >>> read_wire("35 mm2")
    3.5e-05
    """
    clean = " ".join(text.split())
    area = None
    if match := _METRIC.fullmatch(clean):
        area = float(match[1]) / 1e6
    elif match := _GAUGE.fullmatch(clean):
        area = _area_of(match[1], clean)
    if area is None or not 0.999 * LEAST_AREA <= area <= 1.001 * MOST_AREA:
        raise UnitError(text, ALLOWED)
    return area


def _area_of(number: str, text: str) -> float | None:
    """Return the area [m²] of a gauge's number, None where no wire of it is known."""
    if number.isdigit() and not number.strip("0"):
        gauge = 1 - len(number)  # 0000 is 4/0
    elif number.endswith("/0"):
        gauge = 1 - int(number[0])
    elif text == number:
        raise UnitError(text, ALLOWED, "the unit is missing")
    else:
        gauge = int(number)
    return awg_area(gauge) if THICKEST <= gauge <= THINNEST else None


def write_wire(area: float | None, system: System = "si") -> str:
    """Write a size as it is read: by its gauge where it is one, else in mm²."""
    if area is None:
        return "by its current"
    for gauge in range(THICKEST, THINNEST + 1):
        if abs(area / awg_area(gauge) - 1.0) < 1e-6:
            return f"{1 - gauge}/0 AWG" if gauge <= 0 else f"{gauge} AWG"
    return f"{1e6 * area:g} mm2"
