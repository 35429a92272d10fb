"""Layers and the stacks of the body's sides, from the outside in.

What does not belong here: the library of materials (materials.py), the short form of a layer
(layer_text.py), and any resistance worked out from layers (network/).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, Literal

from pydantic import ValidationError, field_validator, model_validator

from vanclimate.errors import UnitError
from vanclimate.van.fields import Part, choice, quantity, refused, section, switch, words_of
from vanclimate.van.layer_text import own_material, read_layer, squeezed
from vanclimate.van.materials import FOIL, find_material
from vanclimate.van.textfile import Node

VENTED = {"no": "no", "slightly": "slightly", "well": "well", "cabin": "cabin", "vented": "well"}
SHINY = 0.2  # emissivity below which a face is bought for its shine
UNKNOWN_VAPOUR = 1.0  # of a material of one's own: as open as wool, the damper guess


class Layer(Part):
    """One layer; in a sheet a text such as 'plywood 6 mm', or a section for one's own material.

    Parameters
    ----------
    material : its name
    thickness : [m]; 0 only for foil and films
    conductivity : [W/m·K] at 24 °C, as it is in the wall
    density : [kg/m3]
    specific_heat : [J/kg·K]
    emissivity : of its surface, longwave [0..1]
    vapour : vapour resistance factor µ, how much better still air lets vapour through
    sd : still air with the layer's vapour resistance [m]; µ times the thickness unless given
    slope : of the conductivity by temperature [1/K], of its value at 24 °C
    moisture : water taken up from dry to saturated air, by the isotherm's slope [kg/m3]
    compressed_from : thickness of the batt before it was squeezed [m]
    air_gap : a layer of air; its resistance comes from its two faces
    ventilated : of an air gap: 'slightly' or 'well' to outdoors (ISO 6946), or to the 'cabin'
    emissivity_outer, emissivity_inner : of the faces of an air gap, filled in by the stack
    outer_facing, inner_facing : sd of what is stuck to its two faces [m], filled in by the stack
    insulation : its conductivity suffers from how it is fitted
    film : counts by its sd and its surface alone, as a material of one's own may
    source : where its figures come from
    """

    material: str = words_of(longest=60)
    thickness: float = quantity("length", 0.0, 0.5)
    conductivity: float = quantity("conductivity", 0.005, 400.0)
    density: float = quantity("density", 0.5, 12000.0)
    specific_heat: float = quantity("specific_heat", 100.0, 5000.0)
    emissivity: float = quantity("fraction", 0.02, 1.0, 0.90)
    vapour: float = quantity(
        "none", 1.0, 1e7, UNKNOWN_VAPOUR,
        why="assumed: as open to vapour as wool, which errs on the damp side; foams have 20 to 150",
        settle="the vapour resistance factor in the material's data sheet",
    )  # fmt: skip
    sd: float = quantity(
        "vapour_resistance", 0.0, 1e5, open_low=True,
        default_of=lambda layer: layer.vapour * max(layer.thickness, 1e-5),
    )  # fmt: skip
    slope: float = quantity("none", -0.02, 0.02, 0.0)
    moisture: float = quantity("density", 0.0, 1000.0, 0.0)
    compressed_from: float | None = quantity("length", 1e-3, 1.0, None, words={"no": None})
    air_gap: bool = switch(False)
    ventilated: Literal["no", "slightly", "well", "cabin"] = choice(VENTED, "no")
    emissivity_outer: float = quantity("fraction", 0.02, 1.0, 0.90)
    emissivity_inner: float = quantity("fraction", 0.02, 1.0, 0.90)
    outer_facing: float = quantity("vapour_resistance", 0.0, 1e5, 0.0)
    inner_facing: float = quantity("vapour_resistance", 0.0, 1e5, 0.0)
    insulation: bool = switch(False)
    film: bool = switch(False)
    source: str = words_of("given in the sheet")

    @property
    def label(self) -> str:
        """The layer's name and thickness in mm."""
        size = f" {self.thickness * 1000:.3g} mm" if self.thickness else ""
        return f"{self.material}{size}"

    @property
    def membrane(self) -> bool:
        """Whether it counts by its vapour resistance and its surface alone."""
        known = find_material(self.material)
        return self.film or (known is not None and known.membrane)

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, data: Any) -> Any:
        """Read the short form, and fill in the library's figures of a known material."""
        try:
            if isinstance(data, str):
                return read_layer(data)
            if isinstance(data, dict) and isinstance(name := data.get("material"), str):
                return own_material(name, data)
        except UnitError as error:
            raise refused(error.text, error.allowed, error.hint) from None
        return data

    @model_validator(mode="after")
    def _solid(self) -> Layer:
        if not self.membrane and self.thickness < 1e-5:
            raise refused(
                self.label, "a thickness of 0.01 mm or more, with its unit", key="thickness"
            )
        if self.air_gap and self.thickness > 0.3:
            raise refused(self.label, "an air gap of 300 mm at most", key="thickness")
        if self.ventilated != "no" and not self.air_gap:
            raise refused(self.label, "ventilation of an air gap only", key="ventilated")
        return self

    @model_validator(mode="after")
    def _squeezed(self) -> Layer:
        """Give a batt squeezed into less room the conductivity and density it has there."""
        if self.compressed_from is None:
            return self
        try:
            figures = squeezed(
                self.material, self.conductivity, self.density, self.compressed_from, self.thickness
            )
        except UnitError as error:
            raise refused(error.text, error.allowed, error.hint, key="compressed_from") from None
        own = f"{self.compressed_from * 1000:.4g} mm"
        self.__dict__.update(
            figures, source=f"{self.source}; squeezed from {own}, good to 5 % (assumed)"
        )
        return self


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
    """Put foil and films on the layers beside them, and give each air gap its two faces.

    Parameters
    ----------
    stack : layers as listed, outside first

    Returns
    -------
    tuple of Layer : without foil and films, which have no thickness that counts. A film's vapour
        resistance stays as a facing of the solid layer that it lies on. Foil squeezed between
        solids adds no warmth; as the innermost layer it lowers the emissivity of the lining.
    """
    solid = [layer for layer in stack if not layer.membrane]
    if not 1 <= len(solid) <= 20 or len(stack) > 30:
        raise refused(f"{len(solid)} layers", "1 to 20 layers, outside first")
    if stack[0].membrane:
        raise refused(f"{stack[0].material} outermost", "the skin as the first layer")
    if solid[0].air_gap or solid[-1].air_gap:
        raise refused("an air gap at the end", "a solid layer outside and inside of each air gap")
    if any(a.air_gap and b.air_gap for a, b in pairwise(solid)):
        raise refused("two air gaps in a row", "one air gap, or a layer between the two")
    done: list[Layer] = []
    waiting = 0.0  # sd of films that lie on the next solid layer's outer face
    for i, layer in enumerate(stack):
        before = stack[i - 1] if i else None
        after = stack[i + 1] if i + 1 < len(stack) else None
        if layer.air_gap and before and after:
            done.append(_faced(layer, before, after))
        elif not layer.membrane:
            done.append(_with(layer, outer_facing=layer.outer_facing + waiting))
            waiting = 0.0
        elif done[-1].air_gap:
            waiting += layer.sd
        else:
            done[-1] = _with(done[-1], inner_facing=done[-1].inner_facing + layer.sd)
            if after is None:
                done[-1] = _with(done[-1], emissivity=layer.emissivity)
    return tuple(done)


def _with(layer: Layer, **values: float) -> Layer:
    return layer.model_copy(update=values)


def _faced(gap: Layer, before: Layer, after: Layer) -> Layer:
    """Give an air gap the emissivities of the two surfaces that it lies between."""
    outer = (
        gap.emissivity_outer if "emissivity_outer" in gap.model_fields_set else before.emissivity
    )
    inner = gap.emissivity_inner if "emissivity_inner" in gap.model_fields_set else after.emissivity
    return gap.model_copy(update={"emissivity_outer": outer, "emissivity_inner": inner})


def idle_shine(stack: Stack) -> tuple[str, ...]:
    """Return what has a shiny side that meets no air, of a stack as listed.

    Parameters
    ----------
    stack : layers as listed, outside first

    Returns
    -------
    tuple of str : names of foil, and of shiny boards, that lie on no air gap and are not innermost
    """
    return tuple(
        layer.material
        for i, layer in enumerate(stack)
        if (layer.material == FOIL.name or (layer.insulation and layer.emissivity < SHINY))
        and 0 < i < len(stack) - 1
        and not (stack[i - 1].air_gap or stack[i + 1].air_gap)
    )


def idle_foil_notes(tree: Node) -> tuple[str, ...]:
    """Return a note for each list of layers in which a foil adds nothing."""
    notes = []
    for part, side, node in _stacks_in(tree):
        try:
            layers = tuple(Layer.model_validate(item) for item in node.plain())
        except ValidationError:
            continue
        for material in idle_shine(layers):
            what = "adds nothing" if material == FOIL.name else "earns nothing by its shine"
            place = f"{part}.{side}".replace("_", " ")
            notes.append(f"{place}: {material} without an air gap on its shiny side {what}")
    return tuple(notes)


def _stacks_in(tree: Node) -> Iterator[tuple[str, str, Node]]:
    """Yield section, key and node of every list of layers in a sheet."""
    for part in ("stacks", "cab", "garage", "pop_top"):
        inner = tree.value.get(part) if isinstance(tree.value, dict) else None
        for key, node in inner.value.items() if inner and isinstance(inner.value, dict) else ():
            if isinstance(node.value, list):
                yield part, key, node
