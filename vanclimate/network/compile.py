"""Shell to flat arrays: every path becomes a chain of nodes from outside to inside.

A layer is cut at its faces: half its heat capacity sits on each, its resistance lies between.
Metal sheets are one node. A layer is cut further where its stack would else follow swings too
coarsely (``resolution``). All chains of a zone meet at its air and at one radiant star
(``radiant``). A partition's chain runs from one zone to another. Furnishing is a slab with no
outside. Not here: the stacks and areas (``shell``), panes and covers (``glazing``).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.faces import face_sizes
from vanclimate.network.glazing import UPWARD, glazing_nodes, tilt_of
from vanclimate.network.radiant import radiant_of
from vanclimate.network.resistance import layer_resistance
from vanclimate.network.resolution import METAL as METAL_RESISTANCE
from vanclimate.network.resolution import parts_of
from vanclimate.network.section import LEAST_CORE
from vanclimate.network.shell import (
    RSE,
    RSI,
    SIDES,
    Glazing,
    Passage,
    Shell,
    Surface,
    Zone,
    facing,
)
from vanclimate.network.vented import SHELTERED, is_sheltered, without_vents
from vanclimate.physics.conduction import (
    Direction,
    PureResistance,
    SolidLayer,
    emissivity_exchange,
)
from vanclimate.physics.convection import length_factor
from vanclimate.van.layers import Layer
from vanclimate.van.windows import When

Array = NDArray[np.float64]
Integers = NDArray[np.int64]

OUT_WALL, OUT_UNDER, OUT_FIXED, OUT_NONE, OUT_ZONE, OUT_ROOF, OUT_WET = range(7)
IN_VERTICAL, IN_FLOOR, IN_CEILING = range(3)

# Furnishing as a slab of wood (plywood of the materials library), its exposed side the last node;
# that it is wood and one slab is assumed.
FURNISHING_DENSITY, FURNISHING_CONDUCTIVITY, FURNISHING_SPECIFIC_HEAT = 500.0, 0.13, 1600.0
SKIN_PERIOD = 3600.0  # s: its outermost part is a quarter of the depth that this period reaches


class Network(NamedTuple):
    """Nodes and conductances; nodes of a chain run from outside to inside."""

    first: Integers  # (chains + 1,) index of each chain's first node
    capacity: Array  # (nodes,) J/K
    link: Array  # (nodes,) W/K from a node to the next one in its chain; 0 at its end
    link_covered: Array  # the same while the chain's cover is closed
    area: Array  # (chains,) m2
    radiant_area: Array  # (chains,) m2: area times the Carroll factor
    emissivity: Array  # (chains,) outside face
    roughness: Array  # (chains,) factor on the wind's convection outside
    outside: Integers  # (chains,) OUT_*
    inside: Integers  # (chains,) IN_*
    fixed_temp: Array  # (chains,) °C where OUT_FIXED
    zone: Integers  # (chains,) of the inside face
    beyond: Integers  # (chains,) zone of the outer face where OUT_ZONE
    radiant_beyond: Array  # (chains,) m2 the same as radiant_area, for the outer face
    exchange: Array  # (chains + partitions, the same) m2 beyond the star's, see `radiant.Radiant`
    inside_beyond: Integers  # (chains,) IN_* as seen from the zone beyond
    vary: Integers  # (varying,) node whose link follows temperature
    vary_slope: Array  # (varying,) 1/K of conductivity, about 24 °C
    gap: Array  # (varying,) m of an air gap, 0 for a solid
    gap_exchange: Array  # (varying,) exchange factor of the gap's faces
    gap_area: Array  # (varying,) m2
    gap_up: Array  # (varying,) 1 where heat to the outside flows up, −1 down, 0 across
    size: Array  # (chains,) m: of the inside face, as natural convection goes by it
    length_factor: Array  # (chains,) what that size does to a fan's convection along the face
    volume: Array  # (zones,) m3


@dataclass(frozen=True)
class Chain:
    """A chain's meaning, for the sun and for reports."""

    name: str
    group: str
    side: str
    area: float
    tilt: float
    azimuth: float  # clockwise from the nose
    absorptance: float
    lining_absorptance: float
    glazing: Glazing | None = None
    boundary_temp: float | None = None
    zone: int = 0
    beyond: int | None = None
    covered: When = "never"  # of a curtain when it is drawn, of a lifting roof when it is raised
    wet: bool = False  # its outside

    @property
    def bears_panels(self) -> bool:
        """Whether roof panels lie on it: on the living space's roof, not on the cab's."""
        return self.side == "roof" and self.glazing is None and self.zone == 0

    @property
    def facing(self) -> str:
        """Key of the sun that falls on it: its side, or its side and slope where it leans."""
        return facing(self.side, self.tilt)


@dataclass(frozen=True, eq=False)
class Model:
    """The compiled van: arrays for the kernel, and what each chain is; equal to itself alone."""

    network: Network
    chains: tuple[Chain, ...]
    shell: Shell

    @property
    def zones(self) -> tuple[Zone, ...]:
        """The zones, the living space first."""
        return self.shell.zones

    @property
    def passages(self) -> tuple[Passage, ...]:
        """The ways from the living space to the others."""
        return self.shell.passages


class Varying(NamedTuple):
    """A link that follows temperature, by its place in a chain."""

    place: int  # of the node before it
    slope: float  # 1/K
    gap: float  # m, 0 for a solid
    exchange: float


class Row(NamedTuple):
    """One chain's nodes."""

    capacity: list[float]
    link: list[float]
    covered: list[float]
    varying: list[Varying]


class Part(NamedTuple):
    """A piece of a layer: resistance [m2K/W], heat capacity [J/m2K], and what makes it vary."""

    resistance: float
    heat: float
    slope: float = 0.0
    gap: float = 0.0
    exchange: float = 0.0


def layer_parts(surface: Surface, finer: int = 1) -> list[Part]:
    """Return the parts of each layer, outside to inside; ``finer`` times as many as are needed."""
    # a hot day's direction, for the figures on paper: into the van; the loop takes its own
    into: dict[str, Direction] = {"roof": "down", "floor": "up"}
    direction = into.get(surface.side, "horizontal")
    parts: list[Part] = []
    layers = without_vents(surface.layers, direction)
    for x, needed in zip(layers, parts_of(_as_solid(layers, direction)), strict=True):
        r = layer_resistance(x, direction)
        heat = 0.0 if x.air_gap else x.thickness * x.density * x.specific_heat
        n = needed * finer if heat > 0 and r > METAL_RESISTANCE else 1
        if x.air_gap:
            exchange = emissivity_exchange(x.emissivity_outer, x.emissivity_inner)
            parts.append(Part(r, 0.0, gap=x.thickness, exchange=exchange))
        else:
            parts += [Part(r / n, heat / n, x.slope)] * n
    return parts


def _as_solid(
    layers: tuple[Layer, ...], direction: Direction
) -> tuple[SolidLayer | PureResistance, ...]:
    """Return the layers as ISO 13786 takes them."""
    return tuple(
        PureResistance(layer_resistance(x, direction))
        if x.air_gap or x.density * x.specific_heat == 0
        else SolidLayer(x.thickness, x.conductivity, x.density, x.specific_heat)
        for x in layers
    )


def lying_parts(surface: Surface) -> list[Part]:
    """Return the parts of what lies on a surface's outside, snow; none where nothing does.

    Three equal ones: its resistance is large, its swing of temperature small below the top.
    """
    x = surface.lying
    if x is None:
        return []
    r, heat = x.thickness / x.conductivity, x.thickness * x.density * x.specific_heat
    return [Part(r / LYING_PARTS, heat / LYING_PARTS)] * LYING_PARTS


LYING_PARTS = 3


def rib_parts(surface: Surface) -> list[Part]:
    """Return a rib path's parts: skin, the rib with a resistance on either side, lining.

    Of a rib that is only guessed, the steel doubles the skin's mass over its area (assumed) and the
    lining is the stack's last layer, its resistance counted in the rib's.
    """
    rib = surface.rib
    if rib is not None:
        return [Part(0.0, rib.skin), Part(rib.outer, 0.0), Part(0.0, rib.rib),
                Part(rib.inner, 0.0), Part(0.0, rib.face)]  # fmt: skip
    assert surface.rib_u is not None
    skin, lining = surface.layers[0], surface.layers[-1]
    skin_heat = 2 * skin.thickness * skin.density * skin.specific_heat
    lining_heat = lining.thickness * lining.density * lining.specific_heat
    r = max(LEAST_CORE, 1 / surface.rib_u - RSI - RSE)
    return [Part(0.0, skin_heat), Part(r, 0.0), Part(0.0, lining_heat)]


def chain_nodes(parts: list[Part], area: float) -> Row:
    """Return a chain's node capacities [J/K] and links [W/K], outside to inside."""
    capacity, link, varying = [0.0], [], []
    for part in parts:
        if part.resistance < METAL_RESISTANCE:
            capacity[-1] += part.heat * area
            continue
        if part.slope or part.gap:
            varying.append(Varying(len(capacity) - 1, part.slope, part.gap, part.exchange))
        capacity[-1] += part.heat * area / 2
        capacity.append(part.heat * area / 2)
        link.append(area / part.resistance)
    return Row(capacity, [*link, 0.0], [*link, 0.0], varying)


def surface_nodes(surface: Surface, finer: int) -> Row:
    """Return a surface's nodes; nothing passes a curtain drawn back, or fabric folded away."""
    parts = rib_parts(surface) if surface.across_ribs else layer_parts(surface, finer)
    row = chain_nodes([*lying_parts(surface), *parts], surface.area)
    if surface.covered == "always":
        return row
    if len(row.link) < 2:
        raise ValueError(f"{surface.name}: what can be folded away needs a resistance")
    # a gap's link is written anew each step, so one that folds away keeps its figure on paper
    varying = [v for v in row.varying if not v.gap]
    return row._replace(link=[0.0] * len(row.link), varying=varying)


def furnishing_nodes(zone: Zone, finer: int = 1) -> Row:
    """Return a zone's furnishing as a slab, its core first, cut finer towards its exposed side."""
    per_m2 = zone.furnishing_mass / zone.furnishing_area
    left = per_m2 / FURNISHING_DENSITY
    heat = FURNISHING_DENSITY * FURNISHING_SPECIFIC_HEAT
    skin = 0.25 * sqrt(FURNISHING_CONDUCTIVITY * SKIN_PERIOD / (pi * heat))
    parts: list[Part] = []
    while left > 0:
        # the last two parts are alike, so that none is far thicker than the one outside it
        thick = skin if left > 2.0 * skin else left if left <= skin else left / 2.0
        piece = thick / finer
        parts += [Part(piece / FURNISHING_CONDUCTIVITY, piece * heat)] * finer
        left -= thick
        skin *= 2
    return chain_nodes(parts[::-1], zone.furnishing_area)


def _chain_of_surface(s: Surface) -> Chain:
    azimuth, tilt = SIDES[s.side]
    absorptance = 0.0 if is_sheltered(s.layers) else s.absorptance
    return Chain(
        s.name, s.group, s.side, s.area, tilt, azimuth, absorptance, s.lining_absorptance,
        boundary_temp=s.boundary_temp, zone=s.zone, beyond=s.beyond, covered=s.covered, wet=s.wet,
    )  # fmt: skip


def _chain_of_glazing(g: Glazing) -> Chain:
    return Chain(
        g.name, "glass", g.side, g.area, tilt_of(g), SIDES[g.side][0], 0.0, 0.0, glazing=g,
        zone=g.zone,
    )  # fmt: skip


def _inside_kind(c: Chain) -> int:
    if c.glazing is not None and c.tilt < UPWARD:
        return IN_CEILING
    return {"roof": IN_CEILING, "floor": IN_FLOOR}.get(c.side, IN_VERTICAL)


def _outside_kind(c: Chain) -> int:
    if c.beyond is not None:
        return OUT_ZONE
    if c.boundary_temp is not None:
        return OUT_FIXED
    if c.wet:
        return OUT_WET
    kinds = {"roof": OUT_ROOF, "floor": OUT_UNDER, "furnishing": OUT_NONE}
    return kinds.get(c.side, OUT_WALL)


def _furnishing_chain(zone: Zone, index: int) -> Chain:
    name = "furnishing" if index == 0 else f"{zone.name} furnishing"
    return Chain(
        name, "furnishing", "furnishing", zone.furnishing_area, 90.0, 0.0, 0.0, 0.7, zone=index
    )


class Faces(NamedTuple):
    """What only a chain's faces need."""

    out: float  # emissivity
    inside: float
    roughness: float


def compile_shell(shell: Shell, finer: int = 1) -> Model:
    """Return the compiled model of a shell; ``finer`` as in `layer_parts`."""
    chains: list[Chain] = []
    rows: list[Row] = []
    faces: list[Faces] = []
    for s in shell.surfaces:
        chains.append(_chain_of_surface(s))
        rows.append(surface_nodes(s, finer))
        outer = SHELTERED if is_sheltered(s.layers) else s.emissivity
        faces.append(Faces(outer, s.lining_emissivity, s.roughness))
    for g in shell.glazings:
        chains.append(_chain_of_glazing(g))
        panes = glazing_nodes(g)
        gaps = [Varying(x.place, 0.0, x.thickness, x.exchange) for x in panes.gaps]
        rows.append(Row(panes.capacity, panes.link, panes.covered, gaps))
        faces.append(Faces(g.glass.emissivity, g.glass.emissivity, 1.0))
    for i, zone in enumerate(shell.zones):
        if zone.furnishing_mass > 0:
            chains.append(_furnishing_chain(zone, i))
            rows.append(furnishing_nodes(zone, finer))
            faces.append(Faces(0.0, 0.9, 1.0))
    return Model(_arrays(shell, chains, rows, faces), tuple(chains), shell)


def _arrays(shell: Shell, chains: list[Chain], rows: list[Row], faces: list[Faces]) -> Network:
    first = np.cumsum([0, *(len(r.capacity) for r in rows)]).astype(np.int64)
    area = np.array([c.area for c in chains])
    # a dome's face is larger than the opening through which it meets the room's other faces
    bulge = np.array([1.0 if c.glazing is None else c.glazing.glass.bulge for c in chains])
    zone = np.array([c.zone for c in chains], dtype=np.int64)
    beyond = np.array([-1 if c.beyond is None else c.beyond for c in chains], dtype=np.int64)
    radiant = radiant_of(chains, [(f.out, f.inside) for f in faces], len(shell.zones))
    turned = {"roof": IN_FLOOR, "floor": IN_CEILING}
    up = {"roof": 1.0, "floor": -1.0}
    varying = [(k, v) for k, row in enumerate(rows) for v in row.varying]
    size = face_sizes(shell, chains)
    return Network(
        first=first,
        capacity=np.concatenate([r.capacity for r in rows]),
        link=np.concatenate([r.link for r in rows]),
        link_covered=np.concatenate([r.covered for r in rows]),
        area=area * bulge,
        radiant_area=radiant.inside,
        emissivity=np.array([f.out for f in faces]),
        roughness=np.array([f.roughness for f in faces]),
        outside=np.array([_outside_kind(c) for c in chains], dtype=np.int64),
        inside=np.array([_inside_kind(c) for c in chains], dtype=np.int64),
        fixed_temp=np.array([0.0 if c.boundary_temp is None else c.boundary_temp for c in chains]),
        zone=zone,
        beyond=beyond,
        radiant_beyond=radiant.beyond,
        exchange=radiant.exchange,
        inside_beyond=np.array([turned.get(c.side, IN_VERTICAL) for c in chains], dtype=np.int64),
        vary=np.array([first[k] + v.place for k, v in varying], dtype=np.int64),
        vary_slope=np.array([v.slope for _, v in varying]),
        gap=np.array([v.gap for _, v in varying]),
        gap_exchange=np.array([v.exchange for _, v in varying]),
        gap_area=np.array([(area * bulge)[k] for k, _ in varying]),
        gap_up=np.array([up.get(chains[k].side, 0.0) for k, _ in varying]),
        size=size,
        length_factor=length_factor(size),
        volume=np.array([float(z.volume) for z in shell.zones]),
    )
