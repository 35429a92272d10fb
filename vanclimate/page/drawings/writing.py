"""Quantities as the drawings write them: in both unit systems, US first.

What does not belong here: sentences of an answer (report/).
"""

from __future__ import annotations

from vanclimate.report.numbers import fixed
from vanclimate.units import BTU, BTU_H, FT, IN, LB

FLUX = BTU_H / FT**2  # W/m2 of one BTU/h·ft2


def feet(metres: float) -> str:
    """Write a length in feet and whole inches.

    >>> feet(3.81), feet(0.3), feet(3.65)
    ('12 ft 6 in', '12 in', '12 ft')
    """
    inches = round(metres / IN)
    whole, rest = divmod(inches, 12)
    if inches <= 12:
        return f"{inches} in"
    return f"{whole} ft {rest} in" if rest else f"{whole} ft"


def length(metres: float) -> str:
    """Write a length.

    >>> length(3.81)
    '12 ft 6 in · 3.81 m'
    """
    return f"{feet(metres)} · {fixed(metres, 2)} m"


def thickness(metres: float) -> str:
    """Write a layer's thickness.

    >>> thickness(0.0508), thickness(0.0009)
    ('2.00 in · 50.8 mm', '0.035 in · 0.9 mm')
    """
    inches, mm = metres / IN, 1e3 * metres
    return f"{fixed(inches, 2 if inches >= 0.1 else 3)} in · {fixed(mm, 1 if mm >= 0.1 else 2)} mm"


def area(square_metres: float) -> str:
    """Write an area.

    >>> area(6.9)
    '74 ft² · 6.9 m²'
    """
    square_feet = square_metres / FT**2
    digits = 0 if square_feet >= 9.95 else 1
    return f"{fixed(square_feet, digits)} ft² · {fixed(square_metres, 1 if digits == 0 else 2)} m²"


def fahrenheit(celsius: float, decimals: int = 0) -> str:
    """Write the number of a temperature in degrees Fahrenheit."""
    return fixed(1.8 * celsius + 32.0, decimals)


def temperature(celsius: float) -> str:
    """Write a temperature.

    >>> temperature(25.0)
    '77 °F · 25.0 °C'
    """
    return f"{fahrenheit(celsius)} °F · {fixed(celsius, 1)} °C"


def flux_number(value: float) -> str:
    """Write the number of a heat flux: a tenth only where it says something.

    >>> flux_number(7.14), flux_number(-41.2), flux_number(0.02)
    ('7.1', '−41', '0')
    """
    if abs(value) < 0.05:
        return "0"
    return fixed(value, 0 if abs(value) >= 9.95 else 1)


def flux(watts: float) -> str:
    """Write a heat flux [W/m²].

    >>> flux(31.5)
    '10 BTU/h·ft² · 32 W/m²'
    """
    return f"{flux_number(watts / FLUX)} BTU/h·ft² · {flux_number(watts)} W/m²"


def heat(watt_hours: float) -> str:
    """Write an amount of heat.

    >>> heat(1000.0)
    '3,412 BTU · 1,000 Wh'
    """
    return f"{fixed(watt_hours * 3600.0 / BTU)} BTU · {fixed(watt_hours)} Wh"


def heat_rate(watts: float) -> str:
    """Write a heat rate.

    >>> heat_rate(1000.0)
    '3,412 BTU/h · 1,000 W'
    """
    return f"{fixed(watts / BTU_H)} BTU/h · {fixed(watts)} W"


def water(kilograms: float) -> str:
    """Write water by area [kg/m²].

    >>> water(0.305)
    '1.0 oz/ft² · 305 g/m²'
    """
    return f"{fixed(kilograms / (LB / 16.0) * FT**2, 1)} oz/ft² · {fixed(1e3 * kilograms)} g/m²"
