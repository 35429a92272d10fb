"""Which insulation stacks are tried in a van: the sheet's own, its list, or the ordinary ones.

Each becomes a copy of the sheet with other layers between the same skin and lining. What does not
belong here: what a stack does (``figures``, ``answer``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from pydantic_core import PydanticCustomError

from vanclimate.errors import SheetError, UnitError
from vanclimate.network.shell import Shell, shell_of
from vanclimate.van.fields import fold
from vanclimate.van.layers import Layer, Stack, finish_stack
from vanclimate.van.own_layers import OwnRow
from vanclimate.van.ribs import no_ribs_given
from vanclimate.van.sheet import Sheet
from vanclimate.van.tried import BARE, COVER, COVERED, FILLED, OWN, TriedStack, listed_stack

SIDES = ("roof", "walls", "front", "rear", "left", "right", "floor")
OUTDOORS = ("slightly", "well")  # vented so, a gap belongs to the skin
USUAL_DEPTH = 0.0508
"""Room for insulation [m] where a side has less than `LEAST_DEPTH` of it: 2 in, common practice,
no source."""
LEAST_DEPTH = 0.025
GAP = 0.0127  # m of the air gap before foil: half an inch, common practice, no source
THIN = 1e-3  # m: less over a rib does not cover it


@dataclass(frozen=True, eq=False)
class Candidate:
    """One stack in the van.

    Attributes
    ----------
    name : as the sheet or the library's list calls it
    sheet : the van with it
    between : what lies between skin and lining, as listed, by key of the sheet's `stacks`
    own : the sheet's own
    whole : keys of `between` whose lists are whole stacks, skin and lining included
    cover : insulation over ribs that are only guessed [m]; described ribs have it in the sheet
    """

    name: str
    sheet: Sheet
    between: dict[str, Stack] = field(default_factory=dict)
    own: bool = False
    whole: frozenset[str] = frozenset()
    cover: float = 0.0

    def shell(self) -> Shell:
        """Return the van's shell with this stack."""
        shell = shell_of(self.sheet)
        if not self.cover:
            return shell
        factor = self.sheet.body.installed_conductivity
        surfaces = []
        for s in shell.surfaces:
            over = next((x for x in reversed(s.layers) if x.insulation), None)
            if s.rib_u is not None and over is not None and s.side != "floor":
                more = self.cover / (over.conductivity * factor)
                s = replace(s, rib_u=1.0 / (1.0 / s.rib_u + more))
            surfaces.append(s)
        return replace(shell, surfaces=tuple(surfaces))


def split(listed: Stack) -> tuple[Stack, Stack, Stack]:
    """Return a stack as skin, what lies between, and lining; the last two may be empty.

    Insulation and still air lie between, with films among and beside them. A stack without any has
    its room behind the skin, and behind a deadener stuck to that.
    """
    warm = [
        i for i, x in enumerate(listed)
        if x.insulation or (x.air_gap and x.ventilated not in OUTDOORS)
    ]  # fmt: skip
    if warm:
        first, last = warm[0], warm[-1] + 1
        while first > 1 and listed[first - 1].membrane:
            first -= 1
        while last < len(listed) and listed[last].membrane:
            last += 1
        return listed[:first], listed[first:last], listed[last:]
    first = 1
    while first < len(listed) and listed[first].material == "sound deadener":
        first += 1
    return listed[:first], (), listed[first:]


def depth(layers: Iterable[Layer]) -> float:
    """Return the thickness of some layers [m]."""
    return sum(layer.thickness for layer in layers)


def own_sides(sheet: Sheet) -> dict[str, Stack]:
    """Return the sheet's stacks as listed, by key; sides built as the walls are left out."""
    return {
        key: listed_stack(sheet, key) for key in SIDES if getattr(sheet.stacks, key) is not None
    }


def candidates(sheet: Sheet) -> tuple[Candidate, ...]:
    """Return the stacks to try, the sheet's own first, those of its library last.

    Raises
    ------
    SheetError : for a stack of the sheet's list or of its library that cannot stand in this van
    """
    own = Candidate(OWN, sheet, {k: split(x)[1] for k, x in own_sides(sheet).items()}, True)
    if sheet.stacks_to_try is None:
        made = [*ordinary(sheet), *(_of_library(sheet, row) for row in sheet.own.of("stacks"))]
        return own, *(one for one in made if not _alike(one, own))
    return own, *(_tried(sheet, tried, i) for i, tried in enumerate(sheet.stacks_to_try))


def _alike(one: Candidate, other: Candidate) -> bool:
    """Say whether two stacks are the same layers, over the same ribs."""

    def told(of: Candidate) -> list[tuple[str, str, float]]:
        sides = of.between.items()
        return [(key, x.material, round(x.thickness, 5)) for key, stack in sides for x in stack]

    same_ribs = one.cover == other.cover and one.sheet.body == other.sheet.body
    return same_ribs and told(one) == told(other)


def _tried(sheet: Sheet, tried: TriedStack, i: int) -> Candidate:
    """Return one of the sheet's list, refused with its line where it cannot stand."""
    try:
        return _standing(sheet, tried)
    except UnitError as error:
        allowed = error.allowed or ""
        sheet.refuse(f"stacks_to_try.{i}", found=error.text, allowed=allowed, hint=error.hint)


def _of_library(sheet: Sheet, row: OwnRow) -> Candidate:
    """Return one of the library's stacks, refused with its line there where it cannot stand."""
    try:
        return _standing(sheet, sheet.own.parts[row.section, fold(row.name)])
    except UnitError as error:
        hint = "'stacks to try:' in the sheet says which are tried"
        hint = f"{error.hint}; {hint}" if error.hint else hint
        place = sheet.own.file, row.line, f"stacks ({row.name})"
        raise SheetError(*place, error.text, error.allowed, hint) from None


def _standing(sheet: Sheet, tried: TriedStack) -> Candidate:
    """Return a stack in the van; a `UnitError` says why it cannot stand there."""
    sides = own_sides(sheet)
    layers = {key: given for key in sides if (given := tried.of(key)) is not None}
    try:
        made = built(sheet, tried.name, layers, tried.rib_cover, whole=tried.whole)
        made.shell()
    except SheetError as error:
        raise UnitError(error.found, error.allowed, error.hint) from None
    except PydanticCustomError as error:
        said = error.context or {}
        raise UnitError(said.get("found"), str(said.get("allowed"))) from None
    return made


def built(
    sheet: Sheet, name: str, layers: dict[str, Stack], cover: float | None = None, *,
    whole: bool = False,
) -> Candidate:  # fmt: skip
    """Return the van with other layers, by key of `stacks`, and with its ribs covered.

    Parameters
    ----------
    sheet, name : the van, and what to call the stack
    layers : between skin and lining, or whole stacks
    cover : insulation over the ribs [m]; None as the sheet has them
    whole : see `layers`
    """
    sides = own_sides(sheet)
    between = {key: split(stack)[1] for key, stack in sides.items()} | layers
    made = {}
    for key, given in layers.items():
        skin, _, lining = ((), (), ()) if whole else split(sides[key])
        made[key] = finish_stack((*skin, *given, *lining))
    keys = frozenset(layers) if whole else frozenset()
    changed = sheet.with_value("stacks", sheet.stacks.model_copy(update=made))
    if cover is None or no_ribs_given(sheet.body):
        return Candidate(name, changed, between, whole=keys, cover=cover or 0.0)
    for key in ("ribs", "roof_ribs"):
        ribs = getattr(sheet.body, key)
        if ribs is None:
            continue
        if cover and not ribs.lined:
            sheet.refuse(f"body.{key}", found="ribs that are not lined", allowed="no rib cover")
        changed = changed.with_value(f"body.{key}.cover", cover)
    return Candidate(name, changed, between, whole=keys)


ORDINARY_SOURCE = (
    "what is put in vans: common practice, no source; figures of its layers: the materials' own"
)


def _made(material: str, inner: str, cover: float | None) -> str:
    """Return in words what an ordinary stack is made of.

    >>> _made("sheep wool", "foil gap", None)
    'sheep wool, foil and an air gap of half an inch inside'
    """
    layers = {"gap": "an air gap", "foil gap": "foil and an air gap"}
    made = [material] if material else []
    if inner:
        made.append(layers[inner] + (" of half an inch inside" if material else ""))
    over = {COVER: ", half an inch over the ribs", 0.0: ", the ribs bare"}
    return ", ".join(made) + (over[cover] if cover is not None else "")


ORDINARY = (
    (BARE, "nothing"),
    (COVERED, "your own layers, half an inch of foam over the ribs"),
    *((name, _made(*how)) for name, *how in FILLED),
)
"""Every ordinary stack by its name, and what it is made of in words."""


def ordinary(sheet: Sheet) -> Iterator[Candidate]:
    """Yield the library's ordinary stacks, in the room that the van's own insulation has.

    All fill the same depth of each side of roof and walls, `USUAL_DEPTH` where the van has next to
    none; foil and its gap take their half inch of that.
    """
    sides = {key: split(stack) for key, stack in own_sides(sheet).items() if key != "floor"}
    if all(skin or lining for skin, _, lining in sides.values()):  # else nothing would stand there
        yield built(sheet, BARE, dict.fromkeys(sides, ()))
    covered = ribs_covered(sheet)
    if covered is False:
        yield built(sheet, COVERED, {}, COVER)
    for name, material, inner, cover in FILLED:
        if (cover == COVER and covered is not False) or (cover == 0.0 and covered is not True):
            continue
        if inner and not all(lining for _, _, lining in sides.values()):
            continue  # a gap needs a lining
        layers = {}
        for key, (_, between, _) in sides.items():
            own = depth(between)
            room = own if own >= LEAST_DEPTH else USUAL_DEPTH
            layers[key] = _filled(material, inner, room)
        yield built(sheet, name, layers, cover)


def ribs_covered(sheet: Sheet) -> bool | None:
    """Return whether insulation lies over the ribs; None where there are none that matter.

    Ribs that are only guessed count as bare.
    """
    body = sheet.body
    if no_ribs_given(body):
        return None if body.rib_share <= 0 or body.rib_bridging <= 1 else False
    of_sides = {side: ribs for side in ("roof", "left") if (ribs := body.ribs_of(side)) is not None}
    if not any(ribs.lined for ribs in of_sides.values()):
        return None
    sides = own_sides(sheet)
    rooms = {"roof": depth(split(sides["roof"])[1]), "left": depth(split(sides["walls"])[1])}
    return all(
        ribs.over > THIN or (ribs.cover is None and rooms[side] > ribs.stand + THIN)
        for side, ribs in of_sides.items()
    )


def _filled(material: str, inner: str, room: float) -> Stack:
    """Return a depth filled with a material, foil and an air gap on its inside where asked."""
    layers: list[str] = []
    gap = (GAP if material else min(room, 0.3)) if inner else 0.0
    if material:
        layers.append(f"{material} {(room - gap) * 1e3:.6g} mm")
    if inner.startswith("foil"):
        layers.append("foil")
    if inner:
        layers.append(f"air gap {gap * 1e3:.6g} mm")
    return tuple(Layer.model_validate(text) for text in layers)
