"""Copper wire: sizes by gauge number, resistance, and the current that its insulation bears.

What does not belong here: how a sheet writes a size (``van.wires``), and what hangs on the wire.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import lru_cache
from math import exp, log, pi, sqrt

from vanclimate.units import IN

COPPER = 1.0 / 58.0e6
"""Resistivity [ohm·m] of annealed copper at 20 °C, 100 % IACS (IEC 60028, from memory)."""
COPPER_SLOPE = 0.00393  # 1/K at 20 °C, the same
LAY = 1.02
"""A strand's length over the wire's: strands run round each other (ASTM B8, from memory)."""

KCMIL = 1000.0 * pi / 4.0 * (0.001 * IN) ** 2  # m2: a thousand circular mils, exact
TABLE_AMBIENT = 30.0  # °C, for which the tables are made

THICKEST, THINNEST = -3, 18  # gauge numbers, 4/0 as -3
_GAUGES = (18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 0, -1, -2, -3)

# Amps by the insulation's temperature [°C], one for each of _GAUGES and 250 kcmil. 60 to 90: US
# National Electrical Code, table 310.16, three wires in a conduit; the two thinnest at 60 and 75,
# which that table leaves out, after its section 240.4(D). 105: American boat standard E-11,
# single wires in free air outside the engine space. All from memory.
_AMPS = {
    60: (7, 10, 15, 20, 30, 40, 55, 70, 85, 95, 110, 125, 145, 165, 195, 215),
    75: (7, 10, 20, 25, 35, 50, 65, 85, 100, 115, 130, 150, 175, 200, 230, 255),
    90: (14, 18, 25, 30, 40, 55, 75, 95, 115, 130, 145, 170, 195, 225, 260, 290),
    105: (20, 25, 35, 45, 60, 80, 120, 160, 180, 210, 245, 285, 330, 385, 445, 500),
}
INSULATIONS = tuple(_AMPS)

# Largest fuse on the thin sizes whatever their insulation (the same code, 240.4(D), from memory).
_SMALL_FUSE = {18: 7.0, 16: 10.0, 14: 15.0, 12: 20.0, 10: 30.0}


def awg_area(gauge: int) -> float:
    """Return the copper's area [m²] of an American wire gauge.

    ASTM B258: diameters in geometric steps from 0.005 in (36) to 0.46 in (4/0).

    Parameters
    ----------
    gauge : its number; 1/0 is 0, 2/0 is -1, 4/0 is -3

    >>> round(1e6 * awg_area(12), 2), round(1e6 * awg_area(-3), 1)
    (3.31, 107.2)
    """
    diameter: float = 0.005 * IN * 92.0 ** ((36 - gauge) / 39.0)
    return pi / 4.0 * diameter * diameter


_AREAS = (*(awg_area(gauge) for gauge in _GAUGES), 250.0 * KCMIL)
LEAST_AREA, MOST_AREA = _AREAS[0], _AREAS[-1]  # m2, of the tables


def wire_resistance(area: float, length: float, temp: float) -> float:
    """Return the resistance [ohm] of one stranded copper wire.

    Parameters
    ----------
    area : of its copper [m²]
    length : of the one wire; there and back is twice the way [m]
    temp : of the copper [°C]
    """
    return LAY * COPPER * (1.0 + COPPER_SLOPE * (temp - 20.0)) * length / area


@lru_cache(maxsize=256)  # a thinnest gauge is looked for among all of them, for each drawn van
def ampacity(area: float, insulation: int, ambient: float = TABLE_AMBIENT) -> float:
    """Return the current [A] a wire carries for good without harm to its insulation.

    Sizes between those of the table by a power law from one row to the next; other surroundings
    by the code's formula 310.15(B), from memory: heat given off as the excess temperature.

    Parameters
    ----------
    area : of its copper [m²], within the table
    insulation : what it bears, 60, 75, 90 or 105 [°C]
    ambient : air round the wire [°C]
    """
    if not 0.999 * LEAST_AREA <= area <= 1.001 * MOST_AREA:
        raise ValueError(f"a wire of {1e6 * area:.2f} mm2 is outside the table")
    amps = _AMPS[insulation]
    i = min(max(bisect_right(_AREAS, area), 1), len(_AREAS) - 1)
    share = log(area / _AREAS[i - 1]) / log(_AREAS[i] / _AREAS[i - 1])
    current = amps[i - 1] * exp(share * log(amps[i] / amps[i - 1]))
    return current * sqrt(max(0.0, insulation - ambient) / (insulation - TABLE_AMBIENT))


def largest_fuse(area: float, insulation: int, ambient: float = TABLE_AMBIENT) -> float:
    """Return the fuse [A] that still guards a wire: its ampacity, less on the thin sizes.

    The parameters are those of `ampacity`; the rule for thin sizes goes with the code's columns.
    """
    current = ampacity(area, insulation, ambient)
    if insulation == max(INSULATIONS):
        return current
    within = [a for gauge, a in _SMALL_FUSE.items() if 0.999 * awg_area(gauge) <= area]
    return current if area > 1.001 * awg_area(10) else min(current, max(within))


def smallest_gauge(current: float, insulation: int) -> int | None:
    """Return the thinnest gauge that carries a current [A], None where even 4/0 does not."""
    fit = (gauge for gauge in _GAUGES if ampacity(awg_area(gauge), insulation) >= current)
    return next(fit, None)


def copper_temperature(
    current: float, most: float, insulation: float, ambient: float = TABLE_AMBIENT
) -> float:
    """Return the copper's temperature [°C] in steady state.

    The excess grows as the square of the current and meets the insulation's limit at the wire's
    ampacity.

    Parameters
    ----------
    current : [A]
    most : ampacity in these surroundings [A]
    insulation, ambient : [°C]
    """
    return ambient + (insulation - ambient) * (current / most) ** 2
