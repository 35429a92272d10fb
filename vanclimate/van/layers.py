"""Layers and the stacks of the body's sides, from the outside in.

What does not belong here: the library of materials (materials.py), and any resistance worked out
from layers (network/).
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

from pydantic import field_validator, model_validator

from vanclimate.errors import UnitError
from vanclimate.units import R_US, parse
from vanclimate.van.fields import Part, quantity, refused, section, switch, words_of
from vanclimate.van.materials import (
    AIR,
    FOIL,
    Material,
    find_material,
    known_materials,
    near_material,
)

ALLOWED = "a layer such as 'plywood 6 mm', 'steel 20 gauge', 'R-13 glass wool' or 'air gap 20 mm'"
_R_FIRST = re.compile(r"(R(?:SI)?\s*-?\s*[\d.]+)\s+(\D.*?)(?:\s+(\d.*))?", re.IGNORECASE)
_SIZE_LAST = re.compile(r"(\D*?)\s*([-+−.]?\d.*)")


class Layer(Part):
    """One layer; in a sheet a text such as 'plywood 6 mm', or a section for one's own material.

    Parameters
    ----------
    material : its name
    thickness : [m]; 0 only for foil
    conductivity : [W/m·K]
    density : [kg/m3]
    specific_heat : [J/kg·K]
    emissivity : of its surface, longwave [0..1]
    air_gap : an unventilated layer of air; its resistance comes from its two faces
    emissivity_outer, emissivity_inner : of the faces of an air gap, filled in by the stack
    insulation : its conductivity suffers from how it is fitted
    source : where its figures come from
    """

    material: str = words_of(longest=60)
    thickness: float = quantity("length", 0.0, 0.5)
    conductivity: float = quantity("conductivity", 0.005, 400.0)
    density: float = quantity("density", 0.5, 12000.0)
    specific_heat: float = quantity("specific_heat", 100.0, 5000.0)
    emissivity: float = quantity("fraction", 0.02, 1.0, 0.90)
    air_gap: bool = switch(False)
    emissivity_outer: float = quantity("fraction", 0.02, 1.0, 0.90)
    emissivity_inner: float = quantity("fraction", 0.02, 1.0, 0.90)
    insulation: bool = switch(False)
    source: str = words_of("given in the sheet")

    @property
    def label(self) -> str:
        """The layer's name and thickness in mm."""
        size = f" {self.thickness * 1000:.3g} mm" if self.thickness else ""
        return f"{self.material}{size}"

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, data: Any) -> Any:
        """Read the short form, and fill in the library's figures of a known material."""
        try:
            if isinstance(data, str):
                return read_layer(data)
            if isinstance(data, dict) and isinstance(name := data.get("material"), str):
                return _own(name, data)
        except UnitError as error:
            raise refused(error.text, error.allowed, error.hint) from None
        return data

    @model_validator(mode="after")
    def _solid(self) -> Layer:
        if self.material != FOIL.name and self.thickness < 1e-5:
            raise refused(
                self.label, "a thickness of 0.01 mm or more, with its unit", key="thickness"
            )
        if self.air_gap and self.thickness > 0.3:
            raise refused(self.label, "an air gap of 300 mm at most", key="thickness")
        return self


def _row(material: Material) -> dict[str, Any]:
    return {
        "material": material.name,
        "conductivity": material.conductivity,
        "density": material.density,
        "specific_heat": material.specific_heat,
        "emissivity": material.emissivity,
        "air_gap": material is AIR,
        "insulation": material.insulation,
        "source": material.source,
    }


def _own(name: str, data: dict[str, Any]) -> dict[str, Any]:
    """Return a layer's section with what the library knows of its material filled in."""
    known = find_material(name)
    if known is None:
        missing = [k for k in ("conductivity", "density", "specific_heat") if k not in data]
        if missing:
            wanted = ", ".join(m.replace("_", " ") for m in missing)
            raise UnitError(name, f"a known material, or its own {wanted}", near_material(name))
        return {"insulation": _is_low(data["conductivity"])} | data
    changed = [k for k in ("conductivity", "density", "specific_heat", "emissivity") if k in data]
    row = _row(known) | {k: v for k, v in data.items() if k != "material"}
    if changed and "source" not in data:
        row["source"] = f"{known.source}; {', '.join(changed)} given in the sheet"
    return row


def _is_low(conductivity: Any) -> bool:
    """Say whether a material of one's own counts as insulation: below 0.07 W/m·K, as is usual."""
    try:
        value = (
            parse(conductivity, "conductivity") if isinstance(conductivity, str) else conductivity
        )
        return float(value) < 0.07
    except (UnitError, TypeError, ValueError):
        return False


def read_layer(text: str) -> dict[str, Any]:
    """Read the short form of a layer: a material and a thickness, in either order.

    Parameters
    ----------
    text : such as 'plywood 6 mm', '20 gauge steel', 'R-13 glass wool' or 'foil air gap 20 mm'

    Returns
    -------
    dict : fields of a `Layer`

    >>> round(read_layer("R-13 glass wool")["thickness"], 3)
    0.103
    """
    if find_material(text) is FOIL:
        return _row(FOIL) | {"thickness": 0.0}
    if match := _R_FIRST.fullmatch(text):
        return _by_resistance(match[1], match[2], match[3], text)
    name, size = _split(text)
    shiny = name.casefold().startswith("foil ") and find_material(name) is None
    material = find_material(name[5:] if shiny else name)
    if material is None:
        raise UnitError(text, ALLOWED, near_material(name) or f"known: {known_materials()}")
    if shiny and material is not AIR:
        raise UnitError(text, "'foil' as a layer of its own, or 'foil air gap 20 mm'")
    if not size:
        raise UnitError(text, f"{material.name} with its thickness", f"such as '{text} 20 mm'")
    if re.search(r"ga", size, re.IGNORECASE) and "steel" not in material.name:
        raise UnitError(text, f"the thickness of {material.name} in mm or in; gauge is for steel")
    row = _row(material) | {"thickness": _thickness(size, text)}
    return row | ({"emissivity_outer": FOIL.emissivity} if shiny else {})


def _split(text: str) -> tuple[str, str]:
    """Split into a name and a size, whichever comes first."""
    words = text.split()
    if words and re.match(r"[\d.]", words[0]):
        for i in range(1, len(words)):
            name = " ".join(words[i:])
            if find_material(name) or find_material(name.removeprefix("foil ")):
                return name, " ".join(words[:i])
    match = _SIZE_LAST.fullmatch(text)
    return (match[1].strip(), match[2]) if match else (text, "")


def _thickness(size: str, text: str) -> float:
    try:
        value = parse(size, "length")
    except UnitError as error:
        raise UnitError(text, error.allowed, error.hint) from None
    if not 1e-5 <= value <= 0.5:
        raise UnitError(text, "a thickness of 0.01 mm to 500 mm (20 in)")
    return value


def _by_resistance(rating: str, name: str, size: str | None, text: str) -> dict[str, Any]:
    """Read 'R-13 glass wool' (thickness from conductivity), or with a thickness the reverse."""
    material = find_material(name)
    if material is None or not material.insulation:
        raise UnitError(text, "an R-value of an insulation", near_material(name))
    resistance = parse(rating, "thermal_resistance")
    if not 0.1 * R_US <= resistance <= 60 * R_US:
        raise UnitError(text, "R-0.1 to R-60")
    row = _row(material)
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


Stack = tuple[Layer, ...]


class Stacks(Part):
    """The layers of each side, OUTSIDE first; a side that is left out is built as the walls."""

    roof: Stack = section(what="a list of layers")
    walls: Stack = section(what="a list of layers")
    floor: Stack = section(what="a list of layers")
    front: Stack | None = section(None, none=None, what="a list of layers")
    rear: Stack | None = section(None, none=None, what="a list of layers")
    left: Stack | None = section(None, none=None, what="a list of layers")
    right: Stack | None = section(None, none=None, what="a list of layers")

    @field_validator("*", mode="after")
    @classmethod
    def _finish(cls, stack: Stack | None) -> Stack | None:
        return None if stack is None else finish_stack(stack)


def finish_stack(stack: Stack) -> Stack:
    """Put foil to work on the air gap beside it, and give each gap its two faces.

    Parameters
    ----------
    stack : layers as listed, outside first

    Returns
    -------
    tuple of Layer : without the foil, which has no thickness that counts. Foil squeezed between
        solids adds nothing; as the innermost layer it lowers the emissivity of the lining.
    """
    solid = [layer for layer in stack if layer.material != FOIL.name]
    if not 1 <= len(solid) <= 20 or len(stack) > 30:
        raise refused(f"{len(solid)} layers", "1 to 20 layers, outside first")
    if stack[0].material == FOIL.name:
        raise refused("foil outermost", "the skin as the first layer")
    if solid[0].air_gap or solid[-1].air_gap:
        raise refused("an air gap at the end", "a solid layer outside and inside of each air gap")
    if any(a.air_gap and b.air_gap for a, b in pairwise(solid)):
        raise refused("two air gaps in a row", "one air gap, or a layer between the two")
    done: list[Layer] = []
    for i, layer in enumerate(stack):
        before = stack[i - 1] if i else None
        after = stack[i + 1] if i + 1 < len(stack) else None
        if layer.air_gap and before and after:
            done.append(_faced(layer, before, after))
        elif layer.material == FOIL.name and after is None:
            done[-1] = done[-1].model_copy(update={"emissivity": FOIL.emissivity})
        elif layer.material != FOIL.name:
            done.append(layer)
    return tuple(done)


def _faced(gap: Layer, before: Layer, after: Layer) -> Layer:
    """Give an air gap the emissivities of the two surfaces that it lies between."""
    outer = (
        gap.emissivity_outer if "emissivity_outer" in gap.model_fields_set else before.emissivity
    )
    inner = gap.emissivity_inner if "emissivity_inner" in gap.model_fields_set else after.emissivity
    return gap.model_copy(update={"emissivity_outer": outer, "emissivity_inner": inner})


def idle_foil(stack: Stack) -> bool:
    """Say whether a stack as listed holds foil that lies on no air gap and is not innermost."""
    return any(
        layer.material == FOIL.name
        and 0 < i < len(stack) - 1
        and not (stack[i - 1].air_gap or stack[i + 1].air_gap)
        for i, layer in enumerate(stack)
    )
