"""Sizes of a van as it is drawn: those whose rectangles have the areas of the network's sides.

What does not belong here: the views that are built from them (``views``).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from vanclimate.network.rooms import rooms_of
from vanclimate.van.sheet import Sheet


@dataclass(frozen=True)
class Sizes:
    """What the views are built from [m]: of the body and, where there is one, of the cab."""

    long: float
    wide: float
    high: float
    cab_long: float = 0.0
    cab_wide: float = 0.0
    cab_high: float = 0.0
    front_high: float = 0.0  # of the living space's front, above the cab
    hold_long: float = 0.0
    hold_high: float = 0.0
    top: tuple[float, float, float] | None = None  # length, width and height of the fabric


def sizes_of(sheet: Sheet) -> Sizes:
    """Return sizes whose rectangles have the areas of the network's sides."""
    rooms = {room.name: room for room in rooms_of(sheet)}
    living, cab, hold = rooms["living"], rooms.get("cab"), rooms.get("garage")

    def whole(side: str) -> float:
        return living.sides[side] + (hold.sides.get(side, 0.0) if hold else 0.0)

    long, wide, high = _edges(whole("roof"), whole("left"), whole("rear"))
    b, top = sheet.body, sheet.pop_top
    raised = top is not None and top.raised != "never"
    of_cab = _edges(cab.sides["roof"], cab.sides["left"], cab.sides["front"]) if cab else (0.0,) * 3
    g = sheet.garage
    return Sizes(
        long, wide, high, *of_cab,
        front_high=living.sides["front"] / wide,
        hold_long=long * g.length / b.length if g else 0.0,
        hold_high=high * g.height / b.height if g else 0.0,
        top=(top.length, top.width, top.height) if top and raised else None,
    )  # fmt: skip


def _edges(plan: float, flank: float, end: float) -> tuple[float, float, float]:
    """Return length, width and height of a box by its areas [m²]."""
    return sqrt(plan * flank / end), sqrt(plan * end / flank), sqrt(flank * end / plan)
