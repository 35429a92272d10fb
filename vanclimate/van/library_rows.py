"""What a row of a user's own library may be: its name, its keys, and what it then is.

What does not belong here: reading the file (library.py).
"""

from __future__ import annotations

import re
from dataclasses import replace

from vanclimate.errors import UnitError
from vanclimate.van.bodies import kind_words
from vanclimate.van.fields import fold, specs
from vanclimate.van.layer_text import read_layer
from vanclimate.van.layers import Layer
from vanclimate.van.load_library import usual_load
from vanclimate.van.loads import LOAD_FEEDS
from vanclimate.van.materials import Film, Material, Vapour, find_material
from vanclimate.van.own_layers import OwnRow
from vanclimate.van.schema import keys_at, part_at
from vanclimate.van.tried import ORDINARY_NAMES
from vanclimate.van.water import WATER

SECTIONS = ("materials", "stacks", "bodies", "equipment", "loads")
"""In this order: stacks and bodies may be made of a library's own materials."""
EQUIPMENT = (
    "air_conditioner", "heater", "electric_heater", "fans", "battery", "inverter", "roof_panels",
    "ground_panel", "alternator", "second_alternator", "dc_charger", "shore",
)  # fmt: skip
"""Sections of a sheet that may take their values from a row of equipment."""
NAMED = ("body", *EQUIPMENT)
"""Sections for which a row's name alone may stand."""
CHOSEN = ("heater", "battery")  # of them, those whose key kind is one of some words
MATERIAL_KEYS = (
    "conductivity", "density", "specific_heat", "emissivity", "vapour", "sd", "slope", "moisture",
    "insulation", "film",
)  # fmt: skip
NEEDED = {"conductivity": "1 W/m·K", "density": "1 kg/m3", "specific_heat": "1000 J/kg·K"}
"""Keys that a material must have, each with a text that stands in for one that is refused."""
BESIDE_BODY = ("windows", "doors")  # sections of a sheet that come with a body
MOST_ROWS = 200  # of one section
LONGEST_NAME, LONGEST_SOURCE = 60, 300
A_NAME = "a name of up to 60 letters that begins with one, without , : # [ ] { }"
TAKEN = frozenset((
    "none", "no", "never", "always", "night", "day", "home", "on", "off", "yes", "true", "false",
    *LOAD_FEEDS, *WATER,
))  # fmt: skip
"""Words that mean something else where a row's name may stand."""


def keys_of(section: str, what: str) -> tuple[str, ...]:
    """Return the keys of a row besides its name and its source."""
    if section == "materials":
        return MATERIAL_KEYS
    if section == "bodies":
        return (*keys_at(["body"]), *BESIDE_BODY)
    places: dict[str, list[str | int]] = {"stacks": ["stacks_to_try", 0], "loads": ["loads", 0]}
    own = keys_at(places.get(section, [what]))
    named = "name" if not what else "" if what in CHOSEN else "kind"
    return tuple(key for key in own if key != named)


def shipped_name(section: str, what: str, name: str) -> str:
    """Return the shipped row or word that a name would stand for in a sheet, or ''."""
    if section == "materials":
        material = find_material(name)
        return material.name if material else ""
    if section == "loads":
        load = usual_load(name)
        return load.name if load else ""
    if section in ("bodies", "stacks"):
        known = kind_words() if section == "bodies" else ORDINARY_NAMES
        return next((word for word in known if fold(word) == fold(name)), "")
    return name if what in CHOSEN and not no_kind(what, name) else ""


def no_kind(what: str, name: str) -> str:
    """Return the words of a section's key kind where a name is none of them, else ''."""
    part = part_at([what])
    assert part is not None, "a section"
    try:
        specs(part)["kind"].read(name)
    except UnitError as error:
        return error.allowed or ""
    return ""


ANY = Material("any", 0.04, 30.0, 1000.0, 0.9, 0.02, 0.08, "", Vapour(1.0, 1.0, 1.0), True)
"""Stands for a material whose name alone counts."""


def may_be_written(name: str) -> bool:
    """Return whether a layer of that material can be written, its name and its thickness."""
    own = {fold(name): replace(ANY, name=name)}
    try:
        read = read_layer(f"{name} 10 mm", lambda text: own.get(fold(text)))
    except UnitError:
        return False
    return bool(read["material"] == name) and not re.search(r"\d", name)


def material_of(layer: Layer, row: OwnRow) -> Material:
    """Return an own material as the library has its own, of no range but its value."""
    given = "sd" in row.values
    vapour = Film(layer.sd, layer.sd, layer.sd, row.source) if given else Vapour(
        layer.vapour, layer.vapour, layer.vapour, row.source
    )  # fmt: skip
    return Material(
        row.name, layer.conductivity, layer.density, layer.specific_heat, layer.emissivity,
        layer.conductivity, layer.conductivity, row.source, vapour, layer.insulation,
        slope=layer.slope, moisture=layer.moisture, membrane=layer.film,
    )  # fmt: skip
