"""Insulation stacks to try in a van, and what their materials cost, as a sheet gives them.

What does not belong here: what any of them does to a van (answers/stacks/), the layers themselves
(layers.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from pydantic import AfterValidator, ValidationError, model_validator
from pydantic_core import PydanticCustomError

from vanclimate.van.fields import Part, quantity, refused, section, switch, words_of
from vanclimate.van.layers import Layer, Stack, finish_stack

if TYPE_CHECKING:
    from vanclimate.van.sheet import Sheet

MOST_TRIED = 40
LISTS = ("layers", "roof", "walls", "floor")
COVER = 0.0127  # m of foam over ribs: half an inch, common practice, no source
OWN, BARE, COVERED = "your own", "bare", "your own, ribs covered"
FILLED = (
    ("sheep wool", "sheep wool", "", None),
    ("glass batt", "glass wool", "", None),
    ("sprayed foam", "sprayed foam", "", None),
    ("sprayed foam, ribs covered", "sprayed foam", "", COVER),
    ("sprayed foam, bare ribs", "sprayed foam", "", 0.0),
    ("XPS", "XPS", "", None),
    ("polyiso", "polyiso", "", None),
    ("foil-faced polyiso, gap", "foil-faced polyiso", "gap", None),
    ("sheep wool, foil, gap", "sheep wool", "foil gap", None),
    ("foil and a gap alone", "", "foil gap", None),
)
"""Ordinary stacks by name, and what fills the depth: a material, 'foil gap' as the inner half inch,
foam over the ribs [m]."""
ORDINARY_NAMES = (OWN, BARE, COVERED, *(name for name, *_ in FILLED))
_SKIN, _LINING = ({"material": name, "thickness": 1e-3} for name in ("steel", "plywood"))


def _listed() -> Any:
    return section(None, none=(), what="a list of layers")


class TriedStack(Part):
    """One stack to try; in a sheet a text such as 'sprayed foam 1 in, foil air gap 20 mm' will do.

    Parameters
    ----------
    name : what the answer calls it
    layers : what lies between the van's own skin and lining on roof and walls; () is nothing
    roof, walls, floor : the same of one of them, in place of ``layers``; a floor without a word of
        its own keeps what it has
    whole : the lists are whole stacks, skin and lining included
    rib_cover : insulation over the ribs' faces [m]; None: as the sheet's own ribs are
    """

    name: str = words_of(longest=60)
    layers: Stack | None = _listed()
    roof: Stack | None = _listed()
    walls: Stack | None = _listed()
    floor: Stack | None = _listed()
    whole: bool = switch(False)
    rib_cover: float | None = quantity(
        "length", 0.0, 0.15, None, words={"as described": None, "none": 0.0},
    )  # fmt: skip

    def of(self, side: str) -> Stack | None:
        """Return the layers for a side, as listed; None where it keeps its own."""
        key = side if side in ("roof", "floor") else "walls"
        own: Stack | None = getattr(self, key)
        return own if own is not None or key == "floor" else self.layers

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, data: Any) -> Any:
        """Read layers with commas between them, and refuse a list that is empty."""
        if isinstance(data, str):
            return {"name": data, "layers": [part.strip() for part in data.split(",")]}
        for key in LISTS if isinstance(data, dict) else ():
            if data.get(key) == []:
                raise refused("no layer", "one layer or more; 'none' for a bare side", key=key)
        return data

    @model_validator(mode="after")
    def _stands(self) -> TriedStack:
        """Refuse a stack without a word of its layers, and layers that cannot lie so."""
        given = [key for key in LISTS if getattr(self, key) is not None]
        if not given:
            raise refused("nothing", f"a list of layers: {', '.join(LISTS)}", key="layers")
        for key in given:
            listed = getattr(self, key)
            ends = [] if self.whole else [Layer.model_validate(x) for x in (_SKIN, _LINING)]
            try:
                finish_stack((*ends[:1], *listed, *ends[1:]))
            except PydanticCustomError as error:
                said = error.context or {}
                raise refused(said.get("found"), said.get("allowed"), key=key) from None
        return self


def _unlike(tried: tuple[TriedStack, ...] | None) -> tuple[TriedStack, ...] | None:
    """Refuse a list without a stack, with too many, or with two of one name."""
    if tried is None:
        return None
    if not 1 <= len(tried) <= MOST_TRIED:
        found = f"{len(tried)} stacks" if tried else "no stack"
        allowed = f"1 to {MOST_TRIED} stacks; without the key the library's ordinary ones are tried"
        raise refused(found, allowed)
    names = [stack.name.casefold() for stack in tried]
    for i, stack in enumerate(tried):
        if stack.name.casefold() in names[:i]:
            raise refused(f"the name {stack.name} twice", "a name of its own for each")
    return tried


Tried = Annotated[tuple[TriedStack, ...] | None, AfterValidator(_unlike)]


def tried_section() -> Any:
    """Declare the sheet's key for stacks to try; one that is left out is not echoed."""
    return section(
        None, what="a list of stacks",
        applies=lambda sheet: "stacks_to_try" in sheet.model_fields_set,
    )  # fmt: skip


def listed_stack(sheet: Sheet, side: str) -> Stack:
    """Return a side's layers as the sheet lists them, foil and films among them.

    Where a value of it was changed since, the stack as finished stands in: without foil and films,
    of which only what they do to their neighbours is left.
    """
    own: Stack | None = getattr(sheet.stacks, side, None)
    key = "walls" if own is None else side
    finished: Stack = getattr(sheet.stacks, key)
    tree = sheet._tree
    node = None if tree is None else tree.at(["stacks", key])
    if node is None or not isinstance(node.value, list):
        return finished
    try:
        listed = tuple(Layer.model_validate(item) for item in node.plain())
    except ValidationError:
        return finished
    return listed if finish_stack(listed) == finished else finished
