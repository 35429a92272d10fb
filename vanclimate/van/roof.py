"""What lies on the roof, as a sheet says it: nothing, rain, or snow of a depth.

What does not belong here: what that does to heat (network/roof.py).
"""

from __future__ import annotations

import re
from typing import NamedTuple

from vanclimate.errors import UnitError, near
from vanclimate.units import System, parse, show

USUAL_SNOW = 0.10  # m, where the sheet says no depth; assumed
LEAST_SNOW, MOST_SNOW = 0.01, 0.5  # m, the thickest layer of a stack
ALLOWED = "dry, wet, snow, or snow and its depth such as snow 10 cm"


class RoofState(NamedTuple):
    """A roof's state, 'dry', 'wet' or 'snow', and how deep snow lies [m]."""

    kind: str
    depth: float = 0.0


DRY = RoofState("dry")


def read_roof(text: str) -> RoofState:
    """Read 'dry', 'wet', 'snow' or 'snow 10 cm'.

    >>> read_roof("snow 20 cm")
    RoofState(kind='snow', depth=0.2)
    """
    word, _, rest = text.strip().partition(" ")
    kind = word.casefold()
    if kind not in ("dry", "wet", "snow") or (rest and kind != "snow"):
        raise UnitError(text, ALLOWED, near(word, ("dry", "wet", "snow")))
    if kind != "snow":
        return RoofState(kind)
    try:
        depth = parse(rest, "length") if re.search(r"\S", rest) else USUAL_SNOW
    except UnitError as error:
        raise UnitError(text, ALLOWED, error.hint) from None
    if not LEAST_SNOW <= depth <= MOST_SNOW:
        raise UnitError(text, f"snow of {LEAST_SNOW * 100:.0f} to {MOST_SNOW * 100:.0f} cm")
    return RoofState("snow", depth)


def write_roof(state: RoofState, system: System = "si") -> str:
    """Write a roof's state as it is read."""
    if state.kind != "snow":
        return state.kind
    return f"snow {show(state.depth, 'length', system)}"
