"""What each layer of a van's own stacks earns added last, and where one more inch earns most.

What does not belong here: the nights (``nights``) and the ranking of whole stacks (``answer``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pydantic_core import PydanticCustomError

from vanclimate.answers.stacks.figures import areas_of, compared
from vanclimate.answers.stacks.listed import Candidate, built, own_sides, split
from vanclimate.answers.stacks.nights import Fared
from vanclimate.errors import VanclimateError
from vanclimate.network.shell import Shell
from vanclimate.van.layers import Layer, Stack, idle_shine
from vanclimate.van.sheet import Sheet

INCH = 0.0254  # m
NOTHING = 0.002  # of a night's figure: less is what cycles and rounding make of it; assumed
WALLS = ("front", "rear", "left", "right")

Nights = tuple[Fared | None, Fared | None]  # the hot and the cold one


@dataclass(frozen=True)
class Gain:
    """What a change saves on the two nights, bedtime to waking; None without such a night.

    ``felt_k`` is how much cooler the hot night's warmest hour is.
    """

    ac_wh: float | None
    felt_k: float | None
    heat_wh: float | None
    fuel_l: float | None
    nothing: bool  # next to nothing on either night

    def of(self, measure: str) -> float:
        """Return the gain by a measure of the ranking."""
        value: float | None = getattr(self, {"felt_c": "felt_k"}.get(measure, measure))
        return 0.0 if value is None else value


@dataclass(frozen=True)
class Worth:
    """A layer of the van's own, and what is lost without it.

    Attributes
    ----------
    side : key of the sheet's `stacks`
    material : of the layer
    thickness_m : of it; 0 for foil and films
    insulates : it is insulation, or a gap
    gain : what it earns; None where the rest cannot stand without it
    idle : shiny, with no air on its shiny side
    """

    side: str
    material: str
    thickness_m: float
    insulates: bool
    gain: Gain | None
    idle: bool


@dataclass(frozen=True)
class NextInch:
    """One more inch on a part of the van, or covers on bare glass.

    Attributes
    ----------
    where : 'roof', 'walls', 'floor' or 'glass'
    material : of the inch, '' for covers
    area_m2 : that it takes
    lost_m3 : room that is lost
    gain : on the two nights
    """

    where: str
    material: str
    area_m2: float
    lost_m3: float
    gain: Gain


def gain_of(before: Nights, after: Nights) -> Gain:
    """Return what a change from one van to another saves."""

    def saved(night: int, key: str) -> float | None:
        old, new = before[night], after[night]
        return None if old is None or new is None else getattr(old, key) - getattr(new, key)

    ac, felt = saved(0, "ac_wh"), saved(0, "felt_c")
    heat, fuel = saved(1, "heat_wh"), saved(1, "fuel_l")
    hot, cold = before[0], before[1]
    told = [
        hot is not None and ac is not None and abs(ac) > max(1.0, NOTHING * hot.ac_wh),
        hot is not None and felt is not None and not hot.ac_wh and abs(felt) > 0.05,
        cold is not None and heat is not None and abs(heat) > max(1.0, NOTHING * cold.heat_wh),
    ]
    return Gain(ac, felt, heat, fuel, not any(told))


def layer_candidates(sheet: Sheet) -> list[tuple[str, int, Candidate | None]]:
    """Return the van without each layer but the skins, in turn: side, place in the list, van."""
    found: list[tuple[str, int, Candidate | None]] = []
    for side, listed in own_sides(sheet).items():
        for i in range(len(split(listed)[0]), len(listed)):
            without = (*listed[:i], *listed[i + 1 :])
            try:
                made = built(sheet, f"without {listed[i].label}", {side: without}, whole=True)
                made.shell()
            except (PydanticCustomError, VanclimateError):
                found.append((side, i, None))
            else:
                found.append((side, i, made))
    return found


def worths(
    sheet: Sheet, own: Nights, tried: Sequence[tuple[str, int, Nights | None]]
) -> tuple[Worth, ...]:
    """Return what each layer earns, from the nights without it."""
    sides = own_sides(sheet)
    out = []
    for side, i, without in tried:
        layer = sides[side][i]
        gain = None if without is None else gain_of(without, own)
        idle = layer.material in idle_shine(sides[side])
        insulates = layer.insulation or layer.air_gap
        out.append(Worth(side, layer.material, layer.thickness, insulates, gain, idle))
    return tuple(out)


def inch_candidates(sheet: Sheet, shell: Shell) -> list[tuple[str, str, float, Candidate]]:
    """Return the van with an inch more on roof, walls and floor: where, material, area [m2], van.

    It is of each side's own main insulation, the thickest; on a side without any of the thickest
    that the van has, else XPS. Last comes the van with insulated covers at night on glass that has
    none, where there is such glass.
    """
    sides = own_sides(sheet)
    areas = areas_of(compared(shell, floor=True))
    usual = _main([x for stack in sides.values() for x in stack]) or Layer.model_validate(
        "XPS 1 in"
    )
    found = []
    for where in ("roof", "walls", "floor"):
        keys = [k for k in sides if k == where or (where == "walls" and k in WALLS)]
        inches = {k: _main(sides[k]) or usual for k in keys}
        more = {k: _thicker(sides[k], inches[k]) for k in keys}
        area = sum(areas.get(side, 0.0) for side in (WALLS if where == "walls" else (where,)))
        material = inches[keys[0]].material
        found.append((where, material, area, built(sheet, where, more, whole=True)))
    bare = [i for i, w in enumerate(sheet.windows) if w.cover_row is None]
    if bare:
        covered = sheet
        for i in bare:
            covered = covered.with_value(f"windows.{i}.cover", "insulated")
            covered = covered.with_value(f"windows.{i}.covered", "night")
        glass = sum(sheet.windows[i].area for i in bare)
        found.append(("glass", "", glass, Candidate("covers", covered)))
    return found


def _main(layers: Sequence[Layer]) -> Layer | None:
    """Return the thickest insulation of some layers."""
    return max((x for x in layers if x.insulation), key=lambda x: x.thickness, default=None)


def _thicker(listed: Stack, inch: Layer) -> Stack:
    """Return a stack with an inch more of an insulation, beside what it has of it."""
    more: Any = inch.model_copy(
        update={"thickness": INCH, "inner_facing": 0.0, "outer_facing": 0.0}
    )
    more._fill()
    own = next((i for i, x in enumerate(listed) if x is inch), None)
    at = len(split(listed)[0]) if own is None else own + 1
    return (*listed[:at], more, *listed[at:])
