"""Fuels of heaters: the heat of a litre, and the cold they bear.

What does not belong here: what a burner makes of them (equipment/heater), and the open flame's
water and carbon dioxide (equipment/burner).
"""

from __future__ import annotations

from typing import NamedTuple

KWH = 3.6e6  # J


class Fuel(NamedTuple):
    """A litre of fuel."""

    heating_value: float  # J/L, lower: its water leaves as vapour
    coldest: float  # °C down to which it flows, or gives gas enough, as commonly sold in winter


FUELS = {
    "diesel": Fuel(9.99 * KWH, -20.0),
    "petrol": Fuel(8.99 * KWH, -45.0),
    "propane": Fuel(6.58 * KWH, -30.0),
}
"""Heating values: petrol 8.99, diesel 9.95 to 10.03 (its middle), liquefied gas 6.58 kWh/L, a
government data sheet, read.

Cold: winter diesel, see `DIESEL_GRADES`. Petrol has no wax and is blended to start engines in the
cold of its country; -45 °C is assumed. Propane boils at -42 °C; some 0.7 bar over the
atmosphere is left for the regulator at -30 °C, assumed to be enough for one burner."""

DIESEL_GRADES = {
    "summer diesel": 0.0, "winter diesel": -20.0, "arctic diesel": -32.0,
}  # fmt: skip
"""Cold filter plugging points [°C]: grades B and F and arctic class 2 of EN 590, from memory. A
grade is the limit that the seller warrants; the fuel may flow some degrees below it."""
