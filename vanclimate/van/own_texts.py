"""What each reader of a field's own takes, as words, pattern and examples; for an editor.

Beside the readers stands here what a short form is: a text in place of a section. What does not
belong here: reading, and fields that are described by their `Spec` alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from vanclimate.site.years import read_years
from vanclimate.van import (
    air,
    cooling,
    days,
    driving,
    fresh_water,
    heating,
    layers,
    loads,
    maker_table,
    panels,
    parts,
    place,
    prices,
    remedies,
    roof,
    rules,
    shore,
    tried,
    trip,
    windows,
    wires,
    zones,
)
from vanclimate.van.bodies import kind_words
from vanclimate.van.fields import read_period, read_periods
from vanclimate.van.load_library import LOADS
from vanclimate.van.materials import AIR, MATERIALS
from vanclimate.van.openings import COVERED
from vanclimate.van.text_patterns import (
    ANY,
    CLOCK,
    NUMBER,
    PERIOD,
    PERIODS,
    quantity_pattern,
    words_pattern,
)


@dataclass(frozen=True)
class OwnText:
    """The texts that a reader takes.

    Parameters
    ----------
    said : in words, with an example
    words : that it takes, those to offer
    pattern : of the others, blanks round them left out; '' where there are none
    number : of a text that YAML takes for a number, as a schema says it; None where there is none
    """

    said: str
    words: tuple[str, ...] = ()
    pattern: str = ""
    number: Mapping[str, Any] | None = None


_DAY = r"(?:\d{4}-)?\d{1,2}-\d{1,2}|\d{1,2}\.?\s+[A-Za-z]+[\s\S]*|[A-Za-z]+\.?\s+\d[\s\S]*"
_ANYTHING = rf"\S{ANY}"
_UNITS = {kind: quantity_pattern(kind) for kind in (
    "angle", "current", "fraction", "length", "temperature", "volume",
)}  # fmt: skip
_HOLD = rf"[hH][oO][lL][dD]\s+{_UNITS['temperature']}"
_WIRE = (
    r"(?:[aA][wW][gG]\s*)?(?:[1-4]/0|0{1,4})\s*(?:[aA][wW][gG]|[gG]auge|[gG]a\.?)?"
    r"|[aA][wW][gG]\s*\d{1,2}|\d{1,2}\s*(?:[aA][wW][gG]|[gG][aA][uU][gG][eE]|[gG][aA]\.?)"
    r"|(?:[aA][wW][gG]\s*)\d{1,2}\s*(?:[aA][wW][gG]|[gG][aA][uU][gG][eE]|[gG][aA]\.?)"
    r"|\d{1,3}(?:\.\d+)?\s*(?:[mM][mM](?:2|²|\^2)|[sS][qQ]\s?[mM][mM])"
)
_HOURS = rf"(?:{CLOCK}{ANY}|{NUMBER}\s*[A-Za-z]{ANY})"
_DAYS = r"(?:[eE][vV][eE][rR][yY]|[dD][aA][iI][lL][yY]|[wW][eE][eE]|[a-zA-Z]{3,})[\s\S]*"
_THICK = "|".join(words_pattern([m.name, *m.also]) for m in (*MATERIALS, AIR) if not m.membrane)
_LAYER = rf"(?!(?:{_THICK})(?:\s+[\d.,/\s-]+)?$)\S{ANY}"

READERS: Mapping[Callable[[str], Any], OwnText] = {
    read_period: OwnText("two times of day, such as 18:00 to 09:00", pattern=PERIOD),
    read_periods: OwnText(
        "times such as 18:30 to 19:00, several with commas between; or always",
        ("always", "all day"), PERIODS,
    ),
    windows.read_when: OwnText(
        "never, night, day, always, or times such as 20:00 to 08:00", (*COVERED, "all day"), PERIODS
    ),
    heating.read_when: OwnText(
        "home, night, always, never, or times such as 18:00 to 07:00",
        (*heating.WHEN_WORDS, "all day"), PERIODS,
    ),
    heating.read_held: OwnText(
        "off, or 'hold' and a temperature, such as hold 45 F", ("off", "no"), _HOLD
    ),
    cooling.read_hold: OwnText(
        "off, or 'hold' and a temperature, such as hold 80 F", ("off", "no"), _HOLD
    ),
    air.read_curve: OwnText(
        "pressures and flows: 0 Pa at 900 CFM, 30 Pa at 500 CFM, 60 Pa at 0 CFM",
        pattern=rf"{NUMBER}{ANY}\sat\s+{NUMBER}{ANY}",
    ),
    maker_table.read_table: OwnText(
        "points such as 13.5 kBTU/h and 1300 W at 95 F and 67 F, cooling and watts at outdoor air "
        "and indoor wet bulb, with commas between",
        pattern=rf"{NUMBER}{ANY}\sand\s{ANY}\sat\s{ANY}\sand\s{ANY}",
    ),
    wires.read_wire: OwnText(
        "a wire size, such as 12 AWG, 2/0 AWG or 35 mm2", pattern=_WIRE, number={"const": 0}
    ),
    panels.read_shadows: OwnText(
        "modules in the shade and when, such as 1 of 4, 15:00 to 18:00; or none",
        ("none", "never", "no"), rf"\d+\s+of\s+\d+\s*,{ANY}",
    ),
    panels.read_facing: OwnText(
        "noon, a compass point, or degrees clockwise from north", ("noon",), _UNITS["angle"]
    ),
    days.read_days: OwnText(
        "every day, weekdays, weekends, days such as Mon, Wed, Fri, or every 3rd day",
        ("every day", "weekdays", "weekends", "every other day"), _DAYS,
    ),
    days.read_hours_of_day: OwnText(
        "hours of a day such as 3 h, times such as 9:00 to 12:00, always or never",
        ("never", "always", "all day"), _HOURS,
    ),
    place.read_night: OwnText(
        "hottest, coldest, typical, or a day such as 2025-07-15, 07-15 or 15 July",
        ("hottest", "coldest", "typical"), _DAY,
    ),
    place.read_stay: OwnText(
        "two days, such as 12 July to 26 July", pattern=rf"(?:{_DAY})\s+(?:to|until|till|–)\s{ANY}"
    ),
    place.read_heading: OwnText(
        "unknown, a compass point such as SW, or degrees such as 210 deg", ("unknown",),
        _UNITS["angle"],
    ),
    place.read_day: OwnText("a day, such as 07-15 or 15 July", pattern=_DAY),
    place.read_calendar_day: OwnText("a day, such as 2025-07-15, 07-15 or 15 July", pattern=_DAY),
    place.read_temperatures: OwnText(
        "temperatures, such as 70 F, 72 F, 71 F", pattern=rf"[-+.\d]{ANY}[A-Za-z]"
    ),
    read_years: OwnText(
        "typical, a year such as 2019, or years such as 2017-2023", ("typical",),
        r"\d{4}[\s\S]*", {"type": "integer"},
    ),
    prices.read_cost: OwnText(
        "a price and what it buys, such as 2.10 USD per board foot, 14 per m2 or 600 per m3",
        pattern=r"[\s\S]*\d[\s\S]*(?:/|\bper\b|\ban?\b)[\s\S]*\S",
    ),
    roof.read_roof: OwnText(
        "dry, wet, snow, or its depth such as snow 4 in", ("dry", "wet", "snow"),
        rf"[sS][nN][oO][wW]\s+{_UNITS['length']}",
    ),
    # texts in place of a section
    place.read_site: OwnText(
        "a shipped place, a weather file, a town that was fetched, or coordinates",
        pattern=_ANYTHING, number={"type": "number"},
    ),
    parts.read_shade: OwnText(
        "none, light tree, heavy tree, canopy, or a share kept off such as 40 %",
        tuple(parts.SHADES), _UNITS["fraction"], {"type": "number", "minimum": 0, "maximum": 1},
    ),
    parts.read_body: OwnText("a kind of body, such as long high van", tuple(kind_words())),
    zones.read_cab: OwnText("a divider, or none", ("none", *zones.DIVIDERS)),
    driving.read_amps: OwnText(
        "its amps, such as 220 A; or none", driving.NOTHING, _UNITS["current"]
    ),
    driving.read_dc_charger: OwnText(
        "output amps, such as 30 A or 2 x 30 A; or none", driving.NOTHING,
        rf"(?:\d+\s*[xX×]\s*)?{_UNITS['current']}",
    ),
    driving.read_driving: OwnText(
        "hours a day, such as 3 h a day, 9:00 to 12:00 on weekdays, 2 h every 3rd day; or never",
        driving.NOTHING, rf"(?:{_HOURS}|{words_pattern(['always', 'all day'])}{ANY})",
    ),
    shore.read_shore: OwnText(
        "the inlet's amps, such as 30 A, or when it is plugged in; or none",
        ("none", "no", "never", *COVERED, "all day"), rf"(?:{_UNITS['current']}|{PERIODS})",
    ),
    fresh_water.read_water: OwnText(
        "the tank's size, such as 20 gal; or none", ("none", "no"), _UNITS["volume"]
    ),
}  # fmt: skip
"""By reader: what a field with a reader of its own takes, or a section's text."""

PARTS: Mapping[type, OwnText] = {
    layers.Layer: OwnText(
        "a material and a thickness, such as plywood 6 mm, R-7 sheep wool or steel 20 gauge",
        pattern=_LAYER,
    ),
    loads.Load: OwnText(
        "the name of an ordinary load, such as kettle", tuple(load.name for load in LOADS),
        _ANYTHING,
    ),
    remedies.Remedy: OwnText(
        "a remedy, and where need be its step and the most: battery 100 Ah up to 300 Ah",
        tuple(kind.name for kind in remedies.KINDS),
        rf"(?:{'|'.join(words_pattern([kind.name]) for kind in remedies.KINDS)}){ANY}",
    ),
    rules.Rule: OwnText(
        "one sentence, such as AC only above 40 % unless asleep", pattern=_ANYTHING
    ),
    tried.TriedStack: OwnText(
        "layers, with commas between: sprayed foam 1 in, foil air gap 20 mm", pattern=_ANYTHING
    ),
    trip.Stop: OwnText(
        "a place and what is said of it: greensboro, 12 January, 3 nights, 2 h driving, shore",
        pattern=_ANYTHING,
    ),
}  # fmt: skip
"""By part: the text that may stand in place of its keys."""
LAYER = PARTS[layers.Layer]
