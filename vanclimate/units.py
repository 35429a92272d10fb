"""Quantities at the edges: text into SI floats and back.

The table below holds the trade's writings and comes first; pint, imported only when it is
needed, reads any other unit. The physics never calls this module.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Any, Literal

from vanclimate.errors import UnitError, near

System = Literal["si", "us"]

IN, FT = 0.0254, 0.3048  # exact by definition
LB = 0.45359237  # exact by definition
BTU = 1055.05585262  # J, the International Table unit: exact by definition
GAL = 231.0 * IN**3  # US gallon, exact by definition
BTU_H = BTU / 3600.0
CFM = FT**3 / 60.0
WATER = 9806.65  # Pa: a metre of water, conventional: exact by definition
R_US = FT**2 * (5.0 / 9.0) / BTU_H  # one R-value unit, ft2·F·h/BTU, in m2·K/W
# US inch-pound conductivity, BTU·in/(h·ft2·F), in W/m·K; R-6/in is 1/6 of it
K_US = BTU_H * IN / (FT**2 * 5.0 / 9.0)

# One US perm, gr/(h·ft2·inHg), is 5.72135e-11 kg/(s·m2·Pa); still air passes 2e-10 kg/(s·m·Pa)
# (ISO 13788, from memory). The metres of still air that have one perm:
SD_PERM = 2e-10 / (64.79891e-6 / 3600.0 / FT**2 / (IN * 133322.387415))

# Sheet steel by its gauge number, in inches: the manufacturers' standard gauge, in which a
# sheet of w lb/ft2 is w / 41.82 in thick (from memory).
GAUGE_IN = {
    8: 0.1644, 9: 0.1495, 10: 0.1345, 11: 0.1196, 12: 0.1046, 13: 0.0897, 14: 0.0747,
    15: 0.0673, 16: 0.0598, 17: 0.0538, 18: 0.0478, 19: 0.0418, 20: 0.0359, 21: 0.0329,
    22: 0.0299, 23: 0.0269, 24: 0.0239, 25: 0.0209, 26: 0.0179, 27: 0.0164, 28: 0.0149,
}  # fmt: skip

# fmt: off
COMPASS = {
    name: 22.5 * i
    for i, name in enumerate(
        ["N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
         "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"]
    )
} | {
    "NORTH": 0.0, "NORTHEAST": 45.0, "EAST": 90.0, "SOUTHEAST": 135.0,
    "SOUTH": 180.0, "SOUTHWEST": 225.0, "WEST": 270.0, "NORTHWEST": 315.0,
}
# fmt: on


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: its units, and how it is shown."""

    what: str  # in words, for messages: 'a length'
    si: dict[str, float]  # metric spelling -> SI value of one
    us: dict[str, float]  # US spelling -> SI value of one
    show_si: tuple[str, ...]  # units to show in, the largest first
    show_us: tuple[str, ...]
    pint_unit: str | None = None  # the SI unit in pint's spelling; None: no other unit is read
    bare: bool = False  # may a plain number stand alone?

    def unit(self, spelling: str) -> float | None:
        """Return the SI value of one such unit, or None."""
        for table in (self.si, self.us):
            if spelling in table:
                return table[spelling]
        if spelling[:1] in "mM" and self.what in _CASE_MATTERS:
            return None
        return _folded(self).get(spelling.casefold())


_CASE_MATTERS = {"a power", "an energy", "a resistance", "a voltage", "a charge", "a heat rate"}
_FOLDED: dict[str, dict[str, float]] = {}


def _folded(kind: Kind) -> dict[str, float]:
    if kind.what not in _FOLDED:
        _FOLDED[kind.what] = {k.casefold(): v for k, v in (kind.us | kind.si).items()}
    return _FOLDED[kind.what]


_INCH = dict.fromkeys(("in", '"', "″", "inch", "inches"), IN)
_FOOT = dict.fromkeys(("ft", "'", "′", "foot", "feet"), FT)
_POWER = {"W": 1.0, "kW": 1e3, "watt": 1.0, "watts": 1.0}
_HEAT = {
    "BTU/h": BTU_H, "BTU/hr": BTU_H, "BTUH": BTU_H, "BTU": BTU_H, "kBTU/h": 1e3 * BTU_H,
    "kBTU/hr": 1e3 * BTU_H, "ton": 12e3 * BTU_H, "tons": 12e3 * BTU_H,
    "tons of cooling": 12e3 * BTU_H, "ton of cooling": 12e3 * BTU_H,
}  # fmt: skip
_HOUR = dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), 3600.0)

KINDS: dict[str, Kind] = {
    "length": Kind("a length", {"m": 1.0, "mm": 1e-3, "cm": 1e-2, "metre": 1.0, "metres": 1.0,
        "meter": 1.0, "meters": 1.0}, {**_INCH, **_FOOT}, ("m", "mm"), ("ft", "in"), "m"),
    "area": Kind("an area", {"m2": 1.0, "cm2": 1e-4, "mm2": 1e-6},
        {"ft2": FT**2, "in2": IN**2, "sq ft": FT**2, "sq in": IN**2, "sqft": FT**2,
         "sqin": IN**2, "square feet": FT**2, "square inches": IN**2},
        ("m2", "cm2"), ("ft2", "in2"), "m**2"),
    "temperature": Kind("a temperature", {"C": 1.0, "K": 1.0}, {"F": 1.0}, ("°C",), ("°F",)),
    "temperature_difference": Kind("a temperature difference", {"K": 1.0, "C": 1.0},
        {"F": 5.0 / 9.0}, ("K",), ("F",)),
    "power": Kind("a power", _POWER, {"hp": 745.6998715822702}, ("kW", "W"), ("kW", "W"), "W"),
    "heat_rate": Kind("a heat rate", _POWER, _HEAT, ("kW", "W"), ("BTU/h",), "W"),
    "flow": Kind("an air flow", {"m3/s": 1.0, "m3/h": 1 / 3600, "L/s": 1e-3, "L/min": 1e-3 / 60},
        {"CFM": CFM, "ft3/min": CFM, "gal/min": GAL / 60}, ("m3/s", "L/s"), ("CFM",), "m**3/s"),
    "volume": Kind("a volume", {"m3": 1.0, "L": 1e-3, "litre": 1e-3, "litres": 1e-3,
        "liter": 1e-3, "liters": 1e-3, "mL": 1e-6},
        {"gal": GAL, "gallon": GAL, "gallons": GAL, "ft3": FT**3, "cu ft": FT**3},
        ("m3", "L"), ("gal",), "m**3"),
    "mass": Kind("a mass", {"kg": 1.0, "g": 1e-3, "t": 1e3},
        {"lb": LB, "lbs": LB, "pound": LB, "pounds": LB, "oz": LB / 16}, ("kg", "g"), ("lb",),
        "kg"),
    "charge": Kind("a charge", {"Ah": 1.0, "mAh": 1e-3, "amp hours": 1.0, "amp-hours": 1.0},
        {}, ("Ah",), ("Ah",), "A*h"),
    "current": Kind("a current", {"A": 1.0, "amp": 1.0, "amps": 1.0, "mA": 1e-3}, {},
                    ("A",), ("A",)),
    "voltage": Kind("a voltage", {"V": 1.0, "volt": 1.0, "volts": 1.0, "mV": 1e-3}, {},
        ("V",), ("V",), "V"),
    "resistance": Kind("a resistance", {"ohm": 1.0, "ohms": 1.0, "Ω": 1.0, "mohm": 1e-3,
        "mΩ": 1e-3, "milliohm": 1e-3, "milliohms": 1e-3}, {}, ("ohm", "mohm"), ("ohm", "mohm"),
        "ohm"),
    "energy": Kind("an energy", {"Wh": 1.0, "kWh": 1e3, "J": 1 / 3600, "kJ": 1 / 3.6,
        "MJ": 1e3 / 3.6}, {"BTU": BTU / 3600, "kBTU": BTU / 3.6}, ("kWh", "Wh"),
        ("kWh", "Wh"), "W*h"),
    "fraction": Kind("a share", {"%": 0.01, "percent": 0.01}, {}, ("%",), ("%",), bare=True),
    "duration": Kind("a duration", {"s": 1.0, "sec": 1.0, "seconds": 1.0, "min": 60.0,
        "minute": 60.0, "minutes": 60.0, **_HOUR, "d": 86400.0, "day": 86400.0, "days": 86400.0},
        {}, ("h", "min", "s"), ("h", "min", "s"), "s"),
    "angle": Kind("a direction", {"deg": 1.0, "°": 1.0, "degrees": 1.0,
        "degree": 1.0, "rad": 180 / math.pi}, {}, ("deg",), ("deg",)),
    "temperature_coefficient": Kind("a share by temperature", {"%/K": 0.01, "%/C": 0.01,
        "%/°C": 0.01, "1/K": 1.0}, {"%/F": 0.018, "%/°F": 0.018}, ("%/K",), ("%/F",)),
    "speed": Kind("a speed", {"m/s": 1.0, "km/h": 1 / 3.6, "kph": 1 / 3.6},
        {"mph": 1609.344 / 3600, "ft/min": FT / 60, "fpm": FT / 60, "ft/s": FT,
         "knot": 1852 / 3600, "knots": 1852 / 3600}, ("m/s",), ("mph",), "m/s"),
    "irradiance": Kind("an irradiance", {"W/m2": 1.0, "W/m^2": 1.0, "kW/m2": 1e3},
        {"BTU/(h·ft2)": BTU_H / FT**2, "BTU/h/ft2": BTU_H / FT**2}, ("W/m2",), ("BTU/h/ft2",),
        "W/m**2"),
    "pressure": Kind("a pressure", {"Pa": 1.0, "hPa": 100.0, "kPa": 1e3, "mbar": 100.0,
        "mb": 100.0, "bar": 1e5, "mmHg": 133.322387415},
        {"inHg": IN * 133322.387415, "psi": LB * 9.80665 / IN**2}, ("hPa",), ("inHg",), "Pa"),
    "fan_pressure": Kind("a pressure", {"Pa": 1.0, "hPa": 100.0, "mbar": 100.0,
        "mmH2O": WATER / 1e3},
        dict.fromkeys(("in wg", "inwg", "in w.g.", "inH2O", "in H2O", "in wc", "in w.c."),
                      IN * WATER), ("Pa",), ("in wg",), "Pa"),
    "water": Kind("a flow of water", {"kg/s": 1.0, "g/h": 1e-3 / 3600, "kg/h": 1 / 3600,
        "g/s": 1e-3, "g/min": 1e-3 / 60}, {"lb/h": LB / 3600, "oz/h": LB / 16 / 3600},
        ("g/h",), ("lb/h",), "kg/s"),
    "conductivity": Kind("a conductivity", {"W/m·K": 1.0, "W/mK": 1.0, "W/m.K": 1.0,
        "W/(m·K)": 1.0, "W/(m.K)": 1.0, "W/(m K)": 1.0, "W/m K": 1.0, "W/m/K": 1.0},
        {"BTU·in/(h·ft2·F)": K_US, "BTU in/(h ft2 F)": K_US, "BTU in/h ft2 F": K_US},
        ("W/m·K",), ("BTU·in/(h·ft2·F)",)),
    "conductance": Kind("a thermal conductance", {"W/K": 1.0, "W/C": 1.0, "W/°C": 1.0},
        dict.fromkeys(("BTU/h·F", "BTU/h/F", "BTU/hr/F", "BTU/(h·F)", "BTU/h F"),
                      BTU_H / (5.0 / 9.0)), ("W/K",), ("BTU/h·F",)),
    "thermal_resistance": Kind("a thermal resistance", {"m2·K/W": 1.0, "m2K/W": 1.0,
        "m2 K/W": 1.0}, {"ft2·F·h/BTU": R_US}, ("m2·K/W",), ("ft2·F·h/BTU",)),
    "density": Kind("a density", {"kg/m3": 1.0, "g/cm3": 1e3},
        {"lb/ft3": LB / FT**3, "pcf": LB / FT**3}, ("kg/m3",), ("lb/ft3",), "kg/m**3"),
    "specific_heat": Kind("a specific heat", {"J/kg·K": 1.0, "J/kgK": 1.0, "J/(kg K)": 1.0,
        "J/kg K": 1.0, "kJ/kg·K": 1e3, "kJ/kgK": 1e3, "kJ/kg K": 1e3, "J/(kg·K)": 1.0},
        {"BTU/lb·F": BTU / (LB * 5 / 9), "BTU/lb F": BTU / (LB * 5 / 9)},
        ("J/kg·K",), ("BTU/lb·F",)),
    "area_mass": Kind("a mass by area", {"kg/m2": 1.0, "g/m2": 1e-3},
        {"oz/ft2": LB / 16 / FT**2, "lb/ft2": LB / FT**2}, ("g/m2",), ("oz/ft2",), "kg/m**2"),
    "vapour_resistance": Kind("a vapour resistance as still air", {"m": 1.0, "mm": 1e-3,
        "cm": 1e-2}, {}, ("m",), ("m",)),
    "none": Kind("a plain number", {}, {}, ("",), ("",), bare=True),
}  # fmt: skip

_NUMBER = r"[-+−]?(?:\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?"
_FRACTION = r"(?:[-+−]?\d{1,4}(?:\s+|-))?[-+−]?\d{1,4}\s?/\s?\d{1,4}(?![\d.])"
_QUANTITY = re.compile(rf"({_FRACTION}|{_NUMBER})\s*(.*)", re.DOTALL)
_FEET_INCHES = re.compile(
    r"([-+−]?[\d.]+)\s*(?:ft|'|′|foot|feet)\s*[-,]?\s*(\d[^a-z\"″]*?)\s*(?:in|\"|″|inch|inches)?",
    re.IGNORECASE,
)
_R_PER_INCH = re.compile(r"R\s*-?\s*([\d.]+)\s*(?:/|per)\s*(?:in|inch)", re.IGNORECASE)
_R_VALUE = re.compile(r"R(SI)?\s*-?\s*([\d.]+)", re.IGNORECASE)
_PRODUCT = {  # two quantities that make one: what stands between them, and their kinds
    "area": (re.compile(r"(.+?)\s*(?:x|×|by)\s*(.+)", re.IGNORECASE), "length", "length"),
    "power": (re.compile(r"(.+?)\s*(?:at|@|x|×)\s*(.+)", re.IGNORECASE), "current", "voltage"),
    "charge": (re.compile(r"(.+?)\s*(?:at|@)\s*(.+)", re.IGNORECASE), "energy", "voltage"),
}
_OF_VOLTS = {  # what is often given in place of a kind, and how it can be
    "power": ("current", "amps count at a voltage: '{} at 12 V'"),
    "charge": ("energy", "watt-hours count at a voltage: '{} at 12.8 V'"),
}
_TIMES = re.compile(r"(\d{1,2})\s*x\s*(.+)", re.IGNORECASE)  # '2 x 200 W'
_PERM = re.compile(r"([\d.]+)\s*(?:US\s+)?perms?", re.IGNORECASE)
_GAUGE = re.compile(r"(\d{1,2})\s*-?\s*(?:gauge|ga)\.?", re.IGNORECASE)
_PINT_SAFE = re.compile(
    r"[A-Za-zµμΩ_]{1,30}(?:\^?\d)?(?:\s?[*/· ]\s?[A-Za-zµμΩ_]{1,30}(?:\^?\d)?){0,5}"
)


def parse(text: str, kind: str) -> float:
    """Read a quantity and return it in SI.

    Parameters
    ----------
    text : a number and its unit, as a builder writes it
    kind : a key of `KINDS`

    Returns
    -------
    float : the value [SI unit of the kind; °C, Ah, Wh, degrees and shares stay what they are]

    Raises
    ------
    UnitError : no number, no unit where one is needed, an unknown unit, NaN or infinity

    >>> parse("1/2 in", "length"), parse("77 F", "temperature"), parse("55 A at 12 V", "power")
    (0.0127, 25.0, 660.0)
    """
    k = KINDS[kind]
    clean = " ".join(str(text).replace("²", "2").replace("³", "3").split())
    if len(clean) > 80:
        raise UnitError(clean, allowed_units(kind))
    special = _special(clean, kind)
    if special is not None:
        return _finite(special, text, kind)
    match = _QUANTITY.fullmatch(clean)
    if not match:
        hint = "" if kind == "angle" else _why_not(clean)
        raise UnitError(text, allowed_units(kind), hint)
    number, unit = _number(match[1], text, kind), match[2].strip()
    if not unit:
        if k.bare:
            return _finite(number, text, kind)
        raise UnitError(
            text, allowed_units(kind), f"the unit is missing, as in '{clean} {_one(k)}'"
        )
    if kind == "temperature":
        return _finite(_temperature(number, unit, text), text, kind)
    if kind == "temperature_difference":
        unit = unit.replace("°", "").replace("deg", "").strip()
    factor = k.unit(unit)
    if factor is None and kind in _OF_VOLTS:
        other, hint = _OF_VOLTS[kind]
        if KINDS[other].unit(unit) is not None:
            raise UnitError(text, allowed_units(kind), hint.format(clean))
    value = number * factor if factor is not None else _by_pint(number, unit, text, kind)
    return _finite(value, text, kind)


def allowed_units(kind: str) -> str:
    """Return in words what a kind allows, such as ``a length with its unit: m, mm, in``."""
    k = KINDS[kind]
    if kind == "none":
        return "a plain number"
    if kind == "fraction":
        return "a share such as 40 % or 0.4"
    names = list(
        dict.fromkeys(
            [*[u for u in k.si if len(u) < 6][:2], *list(k.us)[:1], *k.show_si, *k.show_us]
        )
    )
    if kind in ("temperature", "temperature_difference"):
        names = list(dict.fromkeys(n.replace("°", "") for n in names))
    if kind == "length":
        names.append("gauge (sheet steel)")
    if kind == "angle":
        names = ["deg", "a compass point such as SW"]
    if kind == "vapour_resistance":
        names = ["m (its sd)", "perm"]
    if kind == "conductivity":
        names = ["W/m·K", "R-6/in"]
    return f"{k.what} with its unit: {', '.join(names)}"


def parse_clock(text: str) -> int:
    """Read a time of day and return minutes after midnight; 24:00 is 0.

    >>> parse_clock("22:30"), parse_clock("7 am"), parse_clock("10:30 pm")
    (1350, 420, 1350)
    """
    allowed = "a time of day such as 22:30 or 10:30 pm"
    clean = text.strip().casefold().replace(".", "")
    words = {"midnight": 0, "noon": 720, "midday": 720}
    if clean in words:
        return words[clean]
    match = re.fullmatch(r"([0-9]{1,2})(?::([0-9]{2}))?\s*(am|pm)?", clean)
    if not match or (match[2] is None and match[3] is None):
        raise UnitError(text, allowed)
    hour, minute = int(match[1]), int(match[2] or 0)
    if match[3]:
        if not 1 <= hour <= 12:
            raise UnitError(text, allowed)
        hour = hour % 12 + (12 if match[3] == "pm" else 0)
    if minute > 59 or hour > 24 or (hour == 24 and minute):
        raise UnitError(text, allowed)
    return (hour % 24) * 60 + minute


def show_clock(minutes: float) -> str:
    """Write minutes after midnight as a time of day.

    >>> show_clock(1350)
    '22:30'
    """
    whole = round(minutes) % 1440
    return f"{whole // 60:02d}:{whole % 60:02d}"


def show(value: float, kind: str, system: System = "si", digits: int | None = None) -> str:
    """Write an SI value in the units of a reader; `parse` reads it back.

    Parameters
    ----------
    value : [SI unit of the kind]
    kind : a key of `KINDS`
    system : 'si' or 'us'
    digits : significant digits; by default 4, and one decimal for temperatures

    >>> show(0.0381, "length", "us"), show(24.0, "temperature"), show(0.4, "fraction")
    ('1.5 in', '24 °C', '40 %')
    """
    k = KINDS[kind]
    units = k.show_us if system == "us" else k.show_si
    if kind == "temperature":
        number = value * 1.8 + 32.0 if system == "us" else value
        return f"{_plain(round(number, 1) if digits is None else number, digits or 6)} {units[0]}"
    chosen = units[-1]
    for unit in units[:-1]:
        if abs(value) >= (k.unit(unit) or 1.0) * (8.0 if unit == "ft" else 1.0):
            chosen = unit
            break
    number = value / (k.unit(chosen) or 1.0)
    return f"{_plain(number, digits or 4)} {chosen}".strip()


def both(value: float, kind: str) -> str:
    """Write an SI value in metric and, where they differ, US units.

    >>> both(0.0254, "length")
    '25.4 mm (1 in)'
    """
    si, us = show(value, kind, "si"), show(value, kind, "us")
    return si if si == us else f"{si} ({us})"


def system_of(text: str, kind: str) -> System:
    """Return 'us' where a text is written in US units, so that a message answers in kind."""
    unit = re.sub(r"^[\d\s.,/+−-]*", "", text.strip()).replace("°", "").casefold()
    folded = {u.casefold() for u in KINDS[kind].us}
    if unit in folded or _FEET_INCHES.fullmatch(text.strip()) or unit in ("gauge", "ga"):
        return "us"
    return "si"


def _one(kind: Kind) -> str:
    """Return the unit that a message shows: a builder's own."""
    own = {"a length": "in", "an area": "ft2"}.get(kind.what, kind.show_us[-1])
    return own.replace("°", "")


def _product(clean: str, kind: str) -> float | None:
    """Read two quantities that make one: '30 in x 18 in', '55 A at 12 V', '3.8 kWh at 12.8 V'."""
    between, one, other = _PRODUCT[kind]
    match = between.fullmatch(clean)
    if match is None:
        return None
    first, second = match[1], match[2]
    if one == other and not re.search(r"[^\d\s./+-]", first):  # '30 x 18 in'
        first += re.sub(r"^[\d\s./+-]*", " ", second)
    try:
        a, b = parse(first, one), parse(second, other)
    except UnitError:
        return None
    if a < 0.0 or b <= 0.0:
        return None
    return a / b if kind == "charge" else a * b


def _special(clean: str, kind: str) -> float | None:
    """Read the writings that are no plain number and unit."""
    match: re.Match[str] | None
    if kind == "power" and (match := _TIMES.fullmatch(clean)):
        try:
            return int(match[1]) * parse(match[2], kind)
        except UnitError as error:
            raise UnitError(clean, allowed_units(kind), error.hint) from None
    if kind in _PRODUCT:
        return _product(clean, kind)
    if kind == "angle" and clean.upper().replace("-", "") in COMPASS:
        return COMPASS[clean.upper().replace("-", "")]
    if kind == "length":
        if match := _FEET_INCHES.fullmatch(clean):
            feet, inches = _number(match[1], clean, kind), _number(match[2], clean, kind)
            return math.copysign(abs(feet) * FT + inches * IN, feet)
        if match := _GAUGE.fullmatch(clean):
            if int(match[1]) in GAUGE_IN:
                return GAUGE_IN[int(match[1])] * IN
            raise UnitError(clean, f"a sheet steel gauge from {min(GAUGE_IN)} to {max(GAUGE_IN)}")
    if kind == "conductivity" and (match := _R_PER_INCH.fullmatch(clean)):
        per_inch = _number(match[1], clean, kind)
        if per_inch > 0:
            return K_US / per_inch
    if kind == "thermal_resistance" and (match := _R_VALUE.fullmatch(clean)):
        return _number(match[2], clean, kind) * (1.0 if match[1] else R_US)
    if kind == "vapour_resistance" and (match := _PERM.fullmatch(clean)):
        perms = _number(match[1], clean, kind)
        if perms > 0:
            return SD_PERM / perms
    return None


def _number(raw: str, text: str, kind: str) -> float:
    """Read '2.5', '1,200', '1/2', '1-1/2' or '1 1/2'."""
    raw = raw.strip().replace("−", "-")
    sign = -1.0 if raw.startswith("-") else 1.0
    raw = raw.lstrip("+-").replace(",", "")
    try:
        if "/" not in raw:
            return sign * float(raw)
        *whole, over, under = re.split(r"[\s/-]+", raw)
        return sign * (sum(map(float, whole)) + float(over) / float(under))
    except (ValueError, ZeroDivisionError):
        raise UnitError(text, allowed_units(kind)) from None


def _temperature(number: float, unit: str, text: str) -> float:
    """Return °C; a scale with an offset is never a plain factor."""
    scale = unit.replace("°", "").replace("º", "").replace("deg", "").strip().casefold()
    if scale in ("c", "celsius"):
        return number
    if scale in ("f", "fahrenheit"):
        return (number - 32.0) / 1.8
    if scale in ("k", "kelvin"):
        return number - 273.15
    raise UnitError(text, allowed_units("temperature"))


def _by_pint(number: float, unit: str, text: str, kind: str) -> float:
    """Read a unit that the table does not hold; pint costs a third of a second, so it waits."""
    k = KINDS[kind]
    refused = UnitError(text, allowed_units(kind), near(unit, [*k.si, *k.us]))
    if k.pint_unit is None or not _PINT_SAFE.fullmatch(unit):
        raise refused
    import pint

    try:
        registry: Any = pint.get_application_registry()  # type: ignore[no-untyped-call]
        quantity = registry.Quantity(number, unit)
        return float(quantity.to(k.pint_unit).magnitude)
    except Exception:  # pint raises many kinds of error; each means: not a unit of this kind
        raise refused from None


def _finite(value: float, text: str, kind: str) -> float:
    if not math.isfinite(value):
        raise UnitError(text, f"{allowed_units(kind)}; a finite number")
    return value


def _why_not(clean: str) -> str:
    """Say what is wrong with a text that has no number in front."""
    if re.match(r"[-+]?(nan|inf|\.nan|\.inf)", clean.casefold()):
        return "a number is needed"
    if re.match(r"\d+,\d", clean):
        return "write decimals with a point"
    return "nothing is given" if not clean else "a number comes first"


def _plain(number: float, digits: int) -> str:
    """Write a number with so many significant digits and no exponent where it stays short."""
    if number == 0:
        return "0"
    magnitude = math.floor(math.log10(abs(number)))
    if not -6 <= magnitude <= 9:
        return f"{number:.{digits}g}"
    decimals = max(0, digits - 1 - magnitude)
    text = f"{round(number, digits - 1 - magnitude):.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
