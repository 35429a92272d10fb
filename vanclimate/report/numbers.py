"""Numbers as a reader sees them: the only place where an answer is rounded.

What does not belong here: sentences (words.py) and any physics.
"""

from __future__ import annotations

from datetime import datetime
from math import isfinite

from vanclimate.site.years import MONTHS
from vanclimate.units import COMPASS, GAL, System, show

MINUS = "−"


def in_units(value: float, kind: str, system: System) -> float:
    """Return the number of a quantity in the reader's unit; only for kinds with one unit each.

    >>> in_units(25.0, "temperature", "us"), in_units(10.0, "temperature_difference", "us")
    (77.0, 18.0)
    """
    return float(show(value, kind, system, 6).split()[0])


def unit_of(kind: str, system: System) -> str:
    """Return the reader's unit; a difference in Fahrenheit is written F°.

    >>> unit_of("temperature", "us"), unit_of("temperature_difference", "us")
    ('°F', 'F°')
    """
    unit = show(1.0, kind, system).split()[-1]
    return "F°" if kind == "temperature_difference" and unit == "F" else unit


def fixed(value: float, decimals: int = 0) -> str:
    """Write a number with so many decimals, thousands apart and no minus before a zero.

    >>> fixed(-0.04, 1), fixed(-1234.5, 0)
    ('0.0', '−1,234')
    """
    text = f"{abs(value):,.{decimals}f}"
    zero = not text.strip("0.,")
    return text if value >= 0 or zero else MINUS + text


def temperature(value: float, system: System, decimals: int = 1) -> str:
    """Write a temperature [°C] in the reader's scale.

    >>> temperature(25.0, "us")
    '77.0 °F'
    """
    return f"{fixed(in_units(value, 'temperature', system), decimals)} {scale(system)}"


def scale(system: System) -> str:
    """Return the reader's temperature unit."""
    return unit_of("temperature", system)


def difference(value: float, system: System) -> str:
    """Write a temperature difference [K] in the reader's degrees.

    >>> difference(0.5, "us"), difference(0.5, "si")
    ('0.9 F°', '0.5 K')
    >>> difference(0.02, "us")
    'under 0.1 F°'
    """
    kind = "temperature_difference"
    number, unit = in_units(value, kind, system), unit_of(kind, system)
    if 0.0 < number < 0.05:
        return f"under 0.1 {unit}"
    return f"{fixed(number, 1)} {unit}"


def both(value: float, kind: str, system: System, digits: int | None = None) -> str:
    """Write a quantity [SI] in the reader's units and, where they differ, in the others.

    >>> both(0.0254, "length", "si"), both(0.0254, "length", "us")
    ('25.4 mm (1 in)', '1 in (25.4 mm)')
    """
    own, other = (show(value, kind, x, digits) for x in in_order(system))
    return own if own == other else f"{own} ({other})"


def in_order(system: System) -> tuple[System, System]:
    """Return both systems of units, the reader's first.

    >>> in_order("us")
    ('us', 'si')
    """
    return ("us", "si") if system == "us" else ("si", "us")


def height(value: float, system: System) -> str:
    """Write a height above the sea [m].

    >>> height(1234.0, "si"), height(1234.0, "us")
    ('1,234 m', '4,049 ft')
    """
    return f"{fixed(value / 0.3048)} ft" if system == "us" else f"{fixed(value)} m"


def percent(share: float) -> str:
    """Write a share as whole percent.

    >>> percent(0.327)
    '33 %'
    """
    return f"{fixed(100.0 * share)} %"


def hours(value: float) -> str:
    """Write hours; a tenth only where it says something.

    >>> hours(4.94), hours(42.7), hours(float("inf"))
    ('4.9 h', '43 h', 'no end of hours')
    """
    if not isfinite(value):
        return "no end of hours"
    return f"{fixed(value, 1 if abs(value) < 9.95 else 0)} h"


def amp_hours(value: float) -> str:
    """Write a charge [Ah].

    >>> amp_hours(56.15)
    '56 Ah'
    """
    return f"{fixed(value, 1 if 0.05 <= abs(value) < 9.95 else 0)} Ah"


def volume(litres: float, system: System) -> str:
    """Write a volume of fuel or water.

    >>> volume(14.2, "si"), volume(14.2, "us"), volume(0.3, "si")
    ('14 L', '3.8 gal', '0.3 L')
    """
    number, unit = volume_number(litres, system), "gal" if system == "us" else "L"
    return f"{number} {unit}"


def volume_number(litres: float, system: System) -> str:
    """Write the number of a volume alone."""
    value = litres / (1e3 * GAL) if system == "us" else litres
    return fixed(value, 1 if abs(value) < 9.95 else 0)


def clock(moment: datetime) -> str:
    """Write a moment's time of day."""
    return f"{moment:%H:%M}"


def day_of(moment: datetime, typical: bool = True) -> str:
    """Write a date; a typical year has no year to show.

    >>> day_of(datetime(2025, 7, 13)), day_of(datetime(2019, 7, 13), typical=False)
    ('July 13', 'July 13, 2019')
    """
    text = f"{MONTHS[moment.month - 1]} {moment.day}"
    return text if typical else f"{text}, {moment.year}"


def moment_of(moment: datetime, typical: bool = True) -> str:
    """Write a date and its time of day.

    >>> moment_of(datetime(2025, 7, 13, 22, 30))
    'July 13, 22:30'
    """
    return f"{day_of(moment, typical)}, {clock(moment)}"


def compass(heading: float) -> str:
    """Write a heading [deg] as the nearest of sixteen compass points.

    >>> compass(270.0), compass(359.0)
    ('W', 'N')
    """
    points = [name for name in COMPASS if len(name) <= 3]
    return points[round(heading / 22.5) % 16]


def place_of(latitude: float, longitude: float) -> str:
    """Write coordinates [deg].

    >>> place_of(25.8, -80.27)
    '25.8° N, 80.3° W'
    """
    north, east = "N" if latitude >= 0 else "S", "E" if longitude >= 0 else "W"
    return f"{abs(latitude):.1f}° {north}, {abs(longitude):.1f}° {east}"


def utc_offset(offset: float) -> str:
    """Write a UTC offset [h].

    >>> utc_offset(-5.0), utc_offset(5.5)
    ('UTC−5', 'UTC+5:30')
    """
    minutes = round(abs(offset) * 60)
    text = f"{minutes // 60}" + (f":{minutes % 60:02d}" if minutes % 60 else "")
    return f"UTC{MINUS if offset < 0 else '+'}{text}"
