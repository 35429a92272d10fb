"""Water that goes into the air of a van by what people do, in words.

What does not belong here: sleepers' own water, which follows from their heat, and what becomes of
it (simulate/).
"""

from __future__ import annotations

G_PER_H = 1e-3 / 3600.0  # kg/s

WATER = {
    "none": 0.0,
    "cooking": 1000 * G_PER_H,
    "drying clothes": 100 * G_PER_H,
    "shower": 2500 * G_PER_H,
}
"""Water of each word [kg/s]. Cooking: 600-1500 g/h while at it, building code texts, read; its
middle. Drying clothes: a kilogram of water out of wrung clothes overnight, assumed, 50-200 g/h.
Shower inside: about 2.5 kg an hour of running it, from memory of tables for dwellings,
1500-3000."""

GAS_HEAT = 46.0e6
"""Lower heating value of propane and butane [J/kg], from memory; 6.58 kWh a litre, read, agrees."""
GAS_WATER = 1.6
"""Water of burning a kilogram of gas [kg/kg]: up to 1.6, building code texts, read; propane's own
formula gives 4 x 18 / 44 = 1.64."""


def flame_water(heat: float) -> float:
    """Return the water that an open flame gives off [kg/s] by its heat [W].

    >>> round(flame_water(1800.0) / G_PER_H)
    225
    """
    return heat / GAS_HEAT * GAS_WATER
