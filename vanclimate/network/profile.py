"""The section of a stack and a rib as rectangles, from what a builder says of both.

Coordinates: x along the wall from the rib's centre, y from the skin's outer face into the van.

Rules of the geometry:

- The first layer is the skin and runs through. The trailing layers that are neither insulation nor
  air are the lining. What lies between starts at the skin and lies beside the rib, each layer to
  its own thickness.
- The rib stands on the skin, or on a strip of mastic under its feet; its metal touches the skin
  and the lining all along (no contact resistance is taken off, so the result is on the safe side).
- A lining that runs over the rib lies on the insulation, or on the rib with its strip and cover,
  whichever is further in. Where the rib stands further in, a layer of air lies between insulation
  and lining; where the insulation is thicker, it runs on over the rib if the cover is 'as beside',
  and air lies over the rib otherwise.
- A cover wraps the rib: it reaches as far to its sides as it is thick, down to the insulation. A
  strip is as wide as the rib's face.
- Without a lining over the rib ('lined: no', or a stack that ends in insulation which neither runs
  on over the rib nor covers it) its face shows in the room, and so do its flanks above the
  insulation. A lining is cut 2 mm clear of the face (assumed).
- The inside of a hat or a box, and the pockets of a C or a Z that is not filled, are air spaces
  after ISO 6946 annex D, each with one equivalent conductivity in both directions.

What does not belong here: solving it (section.py).
"""

from __future__ import annotations

from dataclasses import dataclass

from vanclimate.network.resistance import layer_resistance
from vanclimate.physics.conduction import Direction, air_layer_resistance, void_resistance
from vanclimate.physics.plane import Block, Film
from vanclimate.van.layers import Layer
from vanclimate.van.materials import AIR, find_material
from vanclimate.van.ribs import Ribs

ORDINARY = 0.90  # emissivity of painted metal, wood and foam, as in van/materials.py
CUT = 2e-3  # m: a lining that is cut round a rib's face stays this far from it; assumed
LEAST_RESISTANCE = 1e-6  # m2K/W of a layer that counts for nothing, such as one that is aired out
LIGHTEST = 5.0  # kg/m3: less is air
LEAST_GAP = 1e-4  # m: a lining closer than this touches
RUBBER = 0.17  # W/mK of mastic, taken as rubber (van/materials.py)


@dataclass(frozen=True)
class Split:
    """A stack's layers by their part in the section."""

    skin: Layer
    between: tuple[Layer, ...]  # beside the rib
    lining: tuple[Layer, ...]

    @property
    def depth(self) -> float:
        """Thickness of what lies between skin and lining [m]."""
        return sum(x.thickness for x in self.between)


@dataclass(frozen=True)
class Profile:
    """A section ready to be solved.

    Attributes
    ----------
    blocks : rectangles, later ones over earlier ones
    rib : those of the rib alone
    start, width, height : the section's left edge, width and height [m]
    whole : it spans a whole spacing; otherwise half of one, from the rib's centre line
    face : height of the rib's face towards the room [m]
    """

    blocks: tuple[Block, ...]
    rib: tuple[Block, ...]
    start: float
    width: float
    height: float
    whole: bool
    face: float


def split_stack(layers: tuple[Layer, ...]) -> Split:
    """Return skin, what lies between, and lining."""
    end = len(layers)
    while end > 1 and _lines(layers[end - 1]):
        end -= 1
    return Split(layers[0], layers[1:end], layers[end:])


def _lines(layer: Layer) -> bool:
    """Say whether a layer can be part of a lining; vented air is a layer, not a gap (vented.py)."""
    return not (layer.insulation or layer.air_gap) and layer.density > LIGHTEST


def as_built(layers: tuple[Layer, ...], ribs: Ribs) -> tuple[Layer, ...]:
    """Return the stack between the ribs: with air behind a lining that lies on deeper ribs."""
    split = split_stack(layers)
    gap = ribs.stand - split.depth
    if not split.lining or not ribs.lined or gap < LEAST_GAP:
        return layers
    between = split.between
    if between and between[-1].air_gap:
        deeper = {"thickness": between[-1].thickness + gap}
        return (split.skin, *between[:-1], between[-1].model_copy(update=deeper), *split.lining)
    known = find_material(split.lining[0].material)
    air = Layer(
        material=AIR.name, thickness=gap, conductivity=AIR.conductivity, density=AIR.density,
        specific_heat=AIR.specific_heat, air_gap=True,
        emissivity_outer=between[-1].emissivity if between else split.skin.emissivity,
        emissivity_inner=known.emissivity if known else ORDINARY,
        source="the ribs are deeper than the insulation",
    )  # fmt: skip
    return (split.skin, *between, air, *split.lining)


def profile_of(
    layers: tuple[Layer, ...], ribs: Ribs, direction: Direction, inside: Film
) -> Profile:
    """Return the section of a stack (as listed, outside first) across one of its ribs.

    Parameters
    ----------
    layers : of the stack
    ribs : Ribs
    direction : of the heat flow, for air layers
    inside : the room's film; also on the flanks of a rib that stands into the room
    """
    split = split_stack(as_built(layers, ribs))
    half = ribs.spacing / 2
    base = split.skin.thickness
    face = base + ribs.mastic + ribs.depth
    blocks: list[Block] = []
    y = 0.0
    for layer in (split.skin, *split.between, *split.lining):
        if split.lining and layer is split.lining[0]:
            lining_at = y
        k = _conductivity(layer, direction)
        blocks.append(Block(-half, half, y, y + layer.thickness, k))
        y += layer.thickness
    plane = lining_at if split.lining else y
    top = max(y, base + ribs.stand)
    if top > y + LEAST_GAP:
        blocks.append(Block(-half, half, y, top, inside))
    else:
        top = y
    blocks += _over(ribs, split, direction, inside, base, plane, top)
    blocks += _inside(ribs, split, direction, base)
    metal = _metal(ribs, base + ribs.mastic)
    blocks += [*metal, *_mastic(ribs, base)]
    whole = ribs.kind in ("C", "Z")
    start = -half if whole else 0.0
    return Profile(tuple(blocks), tuple(metal), start, half - start, top, whole, face)


def _conductivity(layer: Layer, direction: Direction) -> float:
    return layer.thickness / max(layer_resistance(layer, direction), LEAST_RESISTANCE)


def _face_span(ribs: Ribs) -> tuple[float, float]:
    """Return where the face towards the room begins and ends in x."""
    if ribs.kind == "Z":
        return -ribs.sheet / 2, ribs.width - ribs.sheet / 2
    return -ribs.width / 2, ribs.width / 2


def _insulation(split: Split) -> Layer | None:
    own = [x for x in split.between if x.insulation]
    return max(own, key=lambda x: x.thickness) if own else None


def _over(
    ribs: Ribs, split: Split, direction: Direction, inside: Film, base: float, plane: float,
    top: float,
) -> list[Block]:  # fmt: skip
    """Return what lies over the rib's face: cover, strip, air or the room."""
    left, right = _face_span(ribs)
    face, stand = base + ribs.mastic + ribs.depth, base + ribs.stand
    blocks = []
    if not ribs.lined:
        low = max(base, plane) if split.lining else top
        openings = [(left - CUT, right + CUT, low), (left, right, face)]
        return [Block(a, b, y, top, inside) for a, b, y in openings if top > y + LEAST_GAP]
    if ribs.cover:
        known = _insulation(split) or Layer.model_validate("sprayed foam 25 mm")
        beside = base + sum(x.thickness for x in split.between if not x.air_gap)
        low = min(face, max(base, beside))
        reach = ribs.cover if low < face else 0.0
        blocks.append(Block(left - reach, right + reach, low, stand, known.conductivity))
    if ribs.strip:
        high = face + ribs.strip.thickness
        blocks.append(Block(left, right, face, high, ribs.strip.conductivity))
    gap = plane - stand
    if ribs.cover is not None and gap > LEAST_GAP:
        still = air_layer_resistance(gap, ORDINARY, ORDINARY, direction)
        fill = gap / still if split.lining else inside
        blocks.append(Block(left, right, stand, plane, fill))
    return blocks


def _inside(ribs: Ribs, split: Split, direction: Direction, base: float) -> list[Block]:
    """Return what lies within the rib: air, or the stack's insulation."""
    half, t, low = ribs.width / 2, ribs.sheet, base + ribs.mastic
    high = low + ribs.depth
    spans = {
        "hat": [(t - half, half - t, base, high - t)],
        "box": [(t - half, half - t, low + t, high - t)],
        "C": [(t - half, half, low + t, high - t)],
        "Z": [
            (t / 2, ribs.width - t / 2, low, high - t),
            (t / 2 - ribs.width, -t / 2, low + t, high),
        ],
        "timber": [],
    }[ribs.kind]
    fill = _insulation(split)
    if ribs.filled and (fill is None or ribs.kind in ("C", "Z")):
        return []  # as beside
    blocks = []
    for left, right, bottom, top in spans:
        depth = top - bottom
        if ribs.filled and fill is not None:
            k = fill.conductivity
        else:
            k = depth / void_resistance(depth, right - left, ORDINARY, ORDINARY, direction)
        blocks.append(Block(left, right, bottom, top, k))
    return blocks


def _metal(ribs: Ribs, low: float) -> list[Block]:
    """Return the rib's own rectangles, standing on ``low``."""
    half, t, high, k = ribs.width / 2, ribs.sheet, low + ribs.depth, ribs.material.conductivity
    if ribs.kind == "timber":
        return [Block(-half, half, low, high, k)]
    left, right = _face_span(ribs)
    face = Block(left, right, high - t, high, k)
    if ribs.kind == "Z":
        return [face, Block(-right, -left, low, low + t, k), Block(-t / 2, t / 2, low, high, k)]
    webs = [Block(-half, t - half, low, high, k), Block(half - t, half, low, high, k)]
    if ribs.kind == "C":
        return [face, Block(-half, half, low, low + t, k), webs[0]]
    if ribs.kind == "box":
        return [face, Block(-half, half, low, low + t, k), *webs]
    out = half + ribs.foot
    feet = [Block(-out, t - half, low, low + t, k), Block(half - t, out, low, low + t, k)]
    return [face, *webs, *feet]


def _mastic(ribs: Ribs, base: float) -> list[Block]:
    """Return the mastic under the rib's feet."""
    if ribs.mastic < LEAST_GAP:
        return []
    high = base + ribs.mastic
    if ribs.kind != "hat":
        left, right = _face_span(ribs)
        foot = (-right, -left) if ribs.kind == "Z" else (left, right)
        return [Block(*foot, base, high, RUBBER)]
    inner, outer = ribs.width / 2 - ribs.sheet, ribs.width / 2 + ribs.foot
    return [Block(-outer, -inner, base, high, RUBBER), Block(inner, outer, base, high, RUBBER)]
