"""Fixed ventilation that a van must have, against what the sheet says it has.

What does not belong here: the air that moves through it in a night (``simulate``).
"""

from __future__ import annotations

from dataclasses import dataclass

from vanclimate.units import System, show
from vanclimate.van.sheet import Sheet

OPEN_BURNER = ((5.0, 75, 10), (10.0, 100, 15), (15.0, 125, 20), (20.0, 150, 30), (1e9, 200, 50))
"""Floor up to so many m², free area high and low [cm²], with an open burner. EN 721, the row of 5
to 10 m² read at second hand; the others from memory."""

NO_BURNER = ((10.0, 15, 5),)
"""The same without gas, or with room-sealed appliances only. EN 721, read at second hand; what it
asks for above 10 m² is not known here."""


@dataclass(frozen=True)
class FixedVentilation:
    """Fixed openings needed and there.

    Parameters
    ----------
    floor : of the living space [m²]
    burner : none, room sealed or open burner
    need_high, need_low : free area [m²] that EN 721 asks for in the roof and low down; None where
        that is not known here
    high, low : in the sheet [m²]
    """

    floor: float
    burner: str
    need_high: float | None
    need_low: float | None
    high: float
    low: float

    @property
    def enough(self) -> bool | None:
        """Whether it has what is needed; None where that is not known here."""
        if self.need_high is None or self.need_low is None:
            return None
        slack = 1.0 + 1e-9
        return self.high * slack >= self.need_high and self.low * slack >= self.need_low

    def sentence(self, system: System) -> str:
        """Return the finding in one line, the units of a system first."""

        def free(area: float) -> str:
            return _areas(area, system) if area > 0.0 else "none"

        have = f"{free(self.high)} high, {free(self.low)} low"
        burner = {"none": "no gas", "room sealed": "room-sealed gas"}.get(self.burner, self.burner)
        asks = f"{_areas(self.floor, system)} of floor and {burner}"
        if self.need_high is None or self.need_low is None:
            return f"{have}; what EN 721 asks for with {asks} is not known here"
        need = f"{free(self.need_high)} and {free(self.need_low)}"
        verdict = "enough" if self.enough else "too little"
        return f"{verdict}: {have}; EN 721 asks for {need} with {asks}"


def _areas(area: float, system: System) -> str:
    """Write an area for readers of either system, to two digits."""
    other: System = "us" if system == "si" else "si"
    return f"{show(area, 'area', system, 2)} ({show(area, 'area', other, 2)})"


def fixed_ventilation(sheet: Sheet) -> FixedVentilation:
    """Return the fixed ventilation a sheet's van needs after EN 721, and has.

    The standard takes the floor as a caravan's outside length by its width; here it is the inside
    of the living space (assumed: a van's cab does not count).
    """
    floor = sheet.body.length * sheet.body.width
    table = OPEN_BURNER if sheet.appliances == "open burner" else NO_BURNER
    row = next((row for row in table if floor <= row[0]), None)
    high, low = (None, None) if row is None else (row[1] * 1e-4, row[2] * 1e-4)
    return FixedVentilation(floor, sheet.appliances, high, low, sheet.vents.high, sheet.vents.low)
