"""Fuels of heaters: the heat, the carbon dioxide and the weight of a litre, and the cold they bear.

What does not belong here: what a burner makes of them (equipment/heater), and the open flame's
water (equipment/burner).
"""

from __future__ import annotations

from typing import NamedTuple

KWH = 3.6e6  # J


class Fuel(NamedTuple):
    """A litre of fuel."""

    heating_value: float  # J/L, lower: its water leaves as vapour
    carbon_dioxide: float  # kg per J of lower heating value
    density: float  # kg/L at 15 °C
    coldest: float  # °C down to which it flows, or gives gas enough, as commonly sold in winter


FUELS = {
    "diesel": Fuel(9.99 * KWH, 74.1e-9, 0.835, -20.0),
    "petrol": Fuel(8.99 * KWH, 69.3e-9, 0.745, -45.0),
    "propane": Fuel(6.58 * KWH, 64.6e-9, 0.51, -30.0),
}
"""Heating values: petrol 8.99, diesel 9.95 to 10.03 (its middle), liquefied gas 6.58 kWh/L, a
government data sheet, read. Carbon dioxide of petrol and diesel: the default factors of the IPCC
guidelines of 2006, 69.3 and 74.1 t/TJ, from memory; of propane 3 moles from one, 2.994 kg/kg over
46.35 MJ/kg. Densities: the middle of EN 590 and EN 228, from memory; propane, handbook.

Cold: winter diesel, see `DIESEL_GRADES`. Petrol has no wax and is blended to start engines in the
cold of its country; -45 °C is assumed. Propane boils at -42 °C; some 0.7 bar over the
atmosphere is left for the regulator at -30 °C, assumed to be enough for one burner."""

DIESEL_GRADES = {
    "summer diesel": 0.0, "winter diesel": -20.0, "arctic diesel": -32.0,
}  # fmt: skip
"""Cold filter plugging points [°C]: grades B and F and arctic class 2 of EN 590, from memory. A
grade is the limit that the seller warrants; the fuel may flow some degrees below it."""


def carbon_dioxide(fuel: Fuel, litres: float) -> float:
    """Return the carbon dioxide [kg] of so many litres burnt.

    >>> round(carbon_dioxide(FUELS["diesel"], 1.0), 2)
    2.66
    """
    return litres * fuel.heating_value * fuel.carbon_dioxide
