"""The short form of a layer, such as 'plywood 6 mm' or 'R-13 glass wool in 50 mm'.

What does not belong here: the layer itself and stacks (layers.py), the library (materials.py).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from vanclimate.errors import UnitError
from vanclimate.physics.batts import BATT_RANGE, MOST_SQUEEZED, squeezed_conductivity
from vanclimate.units import R_US, parse
from vanclimate.van.materials import (
    AIR,
    FOIL,
    Film,
    Material,
    find_material,
    known_materials,
    near_material,
)

Find = Callable[[str], Material | None]
"""Finds a material by its name; a library of one's own knows more of them."""

ALLOWED = "a layer such as 'plywood 6 mm', 'steel 20 gauge', 'R-13 glass wool' or 'air gap 20 mm'"
_R_FIRST = re.compile(r"(R(?:SI)?\s*-?\s*[\d.]+)\s+(\D.*?)(?:\s+(\d.*))?", re.IGNORECASE)
_SIZE_LAST = re.compile(r"(\D*?)\s*([-+−.]?\d.*)")
_SQUEEZED = re.compile(r"(.+?)\s+(?:squeezed\s+)?(?:in|into|to)\s+([\d.].*)", re.IGNORECASE)
_VENTED = re.compile(
    r"(slightly|well|cabin)?[\s-]*(?:vented|ventilated)\s+(.*)", re.IGNORECASE | re.DOTALL
)


def row_of(material: Material) -> dict[str, Any]:
    """Return a layer's fields as the library has them, but for its thickness."""
    row = {
        "material": material.name,
        "conductivity": material.conductivity,
        "density": material.density,
        "specific_heat": material.specific_heat,
        "emissivity": material.emissivity,
        "air_gap": material is AIR,
        "insulation": material.insulation,
        "slope": material.slope,
        "moisture": material.moisture,
        "source": f"{material.source}; aged" if material.aged else material.source,
    }
    if isinstance(material.vapour, Film):
        return row | {"vapour": 1.0, "sd": material.vapour.sd}
    return row | {"vapour": material.vapour.value}


def own_material(name: str, data: dict[str, Any]) -> dict[str, Any]:
    """Return a layer's section with what the library knows of its material filled in."""
    known = find_material(name)
    if known is None:
        missing = [k for k in ("conductivity", "density", "specific_heat") if k not in data]
        if missing:
            wanted = ", ".join(m.replace("_", " ") for m in missing)
            raise UnitError(name, f"a known material, or its own {wanted}", near_material(name))
        return {"insulation": _is_low(data["conductivity"])} | data
    changed = [k for k in data if k in _FIGURES]
    row = row_of(known) | {k: v for k, v in data.items() if k != "material"}
    if "vapour" in data and "sd" not in data:
        row.pop("sd", None)
    if known.membrane:
        row.setdefault("thickness", 0.0)
    if changed and "source" not in data:
        given = ", ".join(k.replace("_", " ") for k in changed)
        row["source"] = f"{known.source}; {given} given in the sheet"
    return row


_FIGURES = (
    "conductivity", "density", "specific_heat", "emissivity", "vapour", "sd", "slope", "moisture",
)  # fmt: skip


def _is_low(conductivity: Any) -> bool:
    """Say whether a material of one's own counts as insulation: below 0.07 W/m·K, as is usual."""
    try:
        value = (
            parse(conductivity, "conductivity") if isinstance(conductivity, str) else conductivity
        )
        return float(value) < 0.07
    except (UnitError, TypeError, ValueError):
        return False


def read_layer(text: str, find: Find = find_material) -> dict[str, Any]:
    """Read the short form of a layer: a material and a thickness, in either order.

    Parameters
    ----------
    text : such as 'plywood 6 mm', '20 gauge steel', 'R-13 glass wool', 'foil air gap 20 mm',
        'vented air gap 20 mm' or 'glass wool 90 mm in 50 mm'
    find : of a material

    Returns
    -------
    dict : fields of a `Layer`

    >>> round(read_layer("R-13 glass wool")["thickness"], 3)
    0.103
    """
    if match := _SQUEEZED.fullmatch(text):
        return _squeezed_text(match[1], match[2], text, find)
    if match := _VENTED.fullmatch(text):
        return _vented(match[1], match[2], text, find)
    if (material := find(text)) is not None and material.membrane:
        return row_of(material) | {"thickness": 0.0}
    if match := _R_FIRST.fullmatch(text):
        return _by_resistance(match[1], match[2], match[3], text, find)
    name, size = _split(text, find)
    shiny = name.casefold().startswith("foil ") and find(name) is None
    material = find(name[5:] if shiny else name)
    if material is None:
        raise UnitError(text, ALLOWED, near_material(name) or f"known: {known_materials()}")
    if shiny and material is not AIR:
        raise UnitError(text, "'foil' as a layer of its own, or 'foil air gap 20 mm'")
    if not size:
        usual = "20 mm" if material.conductivity < 0.1 else "3 mm"  # insulation, or a sheet
        raise UnitError(text, f"{material.name} with its thickness", f"such as '{text} {usual}'")
    if re.search(r"ga", size, re.IGNORECASE) and "steel" not in material.name:
        raise UnitError(text, f"the thickness of {material.name} in mm or in; gauge is for steel")
    row = row_of(material) | {"thickness": _thickness(size, text)}
    return row | ({"emissivity_outer": FOIL.emissivity} if shiny else {})


def _vented(how: str | None, rest: str, text: str, find: Find) -> dict[str, Any]:
    """Read 'vented air gap 20 mm', 'slightly vented …' and 'cabin-vented …'."""
    row = read_layer(rest, find)
    if not row["air_gap"]:
        raise UnitError(text, "'vented' before an air gap, such as 'vented air gap 20 mm'")
    return row | {"ventilated": (how or "well").casefold()}


def _squeezed_text(batt: str, size: str, text: str, find: Find) -> dict[str, Any]:
    """Read 'glass wool 90 mm in 50 mm': a batt of one thickness in the room of another."""
    row = read_layer(batt, find)
    return row | {"compressed_from": row["thickness"], "thickness": _thickness(size, text)}


def squeezed(
    material: str, conductivity: float, density: float, own: float, thickness: float
) -> dict[str, float]:
    """Return conductivity [W/m·K] and density [kg/m3] of a batt squeezed from its own thickness.

    Parameters
    ----------
    material : its name; a material of the library must be of fibres
    conductivity, density : at its own thickness [W/m·K], [kg/m3]
    own, thickness : its own, and the squeezed one [m]

    Raises
    ------
    UnitError : for what is no batt, or thicknesses that cannot be
    """
    known = find_material(material)
    if known is not None and not known.fibre:
        raise UnitError(f"squeezed {material}", "a batt of fibres such as glass wool")
    if not 1.0 <= own / thickness <= MOST_SQUEEZED:
        found = f"{material} {own * 1000:.4g} mm in {thickness * 1000:.4g} mm"
        raise UnitError(found, f"no less than a third of its own {own * 1000:.4g} mm, and no more")
    low, high = BATT_RANGE
    if not low <= density <= high:
        found = f"squeezed {material} of {density:.4g} kg/m3"
        raise UnitError(found, f"a batt of {low:g} to {high:g} kg/m3 at its own thickness")
    ratio = own / thickness
    return {
        "conductivity": squeezed_conductivity(conductivity, density, ratio),
        "density": density * ratio,
    }


def _split(text: str, find: Find) -> tuple[str, str]:
    """Split into a name and a size, whichever comes first."""
    words = text.split()
    if words and re.match(r"[\d.]", words[0]):
        for i in range(1, len(words)):
            name = " ".join(words[i:])
            if find(name) or find(name.removeprefix("foil ")):
                return name, " ".join(words[:i])
    match = _SIZE_LAST.fullmatch(text)
    return (match[1].strip(), match[2]) if match else (text, "")


def _thickness(size: str, text: str) -> float:
    try:
        value = parse(size, "length")
    except UnitError as error:
        several = re.search(r"\d.*[a-z]{4}.*\d", size, re.IGNORECASE)
        hint = "a comma between one layer and the next" if several else error.hint
        raise UnitError(text, error.allowed, hint) from None
    if not 1e-5 <= value <= 0.5:
        raise UnitError(text, "a thickness of 0.01 mm to 500 mm (20 in)")
    return value


def _by_resistance(
    rating: str, name: str, size: str | None, text: str, find: Find
) -> dict[str, Any]:
    """Read 'R-13 glass wool' (thickness from conductivity), or with a thickness the reverse."""
    material = find(name)
    if material is None or not material.insulation:
        raise UnitError(text, "an R-value of an insulation", near_material(name))
    resistance = parse(rating, "thermal_resistance")
    if not 0.1 * R_US <= resistance <= 60 * R_US:
        raise UnitError(text, "R-0.1 to R-60")
    row = row_of(material)
    if size is None:
        thickness = resistance * material.conductivity
        if thickness > 0.5:
            raise UnitError(text, "an R-value that 500 mm (20 in) can give")
        return row | {"thickness": thickness}
    thickness = _thickness(size, text)
    conductivity = thickness / resistance
    if not material.low * 0.8 <= conductivity <= material.high * 1.25:
        found = f"{text}, which makes {conductivity:.3g} W/m·K"
        raise UnitError(found, f"{material.low} to {material.high} W/m·K for {material.name}")
    return row | {"thickness": thickness, "conductivity": conductivity}
