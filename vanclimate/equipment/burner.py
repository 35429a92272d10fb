"""What an open gas flame gives to the cabin: heat, water and carbon dioxide.

What does not belong here: when it burns (``van``), and gas appliances that are room-sealed, which
give the cabin heat alone.
"""

from __future__ import annotations

HEATING_VALUE = 46.35e6
"""Lower heating value of propane [J/kg]; handbook value, from memory. At 0.51 kg a litre it is the
6.58 kWh/L of liquefied gas."""

WATER_PER_GAS = 4.0 * 18.015 / 44.097
"""Water from a kilogram of propane [kg], C3H8 + 5 O2 = 3 CO2 + 4 H2O: 1.63. Building codes say up
to 1.6."""

CO2_PER_GAS = 3.0 * 24.06e-3 / 44.097e-3
"""Carbon dioxide from a kilogram of propane [m³ at 20 °C]; the same equation, 24.06 L a mole."""


def water_of(power: float) -> float:
    """Return the water [kg/s] of a flame of some power [W], by its lower heating value.

    It leaves as vapour, so that none of the lower heating value is spent on it.

    >>> round(water_of(1000.0) * 3.6e6)  # g in an hour
    127
    """
    return power / HEATING_VALUE * WATER_PER_GAS


def carbon_dioxide_of(power: float) -> float:
    """Return the carbon dioxide [m³/s] of a flame of some power [W].

    >>> round(carbon_dioxide_of(1000.0) * 3.6e6)  # litres in an hour; a sleeper gives 13
    127
    """
    return power / HEATING_VALUE * CO2_PER_GAS
