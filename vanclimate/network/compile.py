"""Shell to flat arrays: every path becomes a chain of nodes from outside to inside.

A layer is cut at its faces: half its heat capacity sits on each, its resistance lies between.
Metal sheets are one node. A layer thicker than a quarter of the daily penetration depth
(ISO 13786) is cut into equal parts. All chains meet at the zone's air and at one radiant star
(Carroll factors); furnishing is a chain of one node with no outside.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.glazing import UPWARD, glazing_nodes, tilt_of
from vanclimate.network.shell import (
    MIN_RIB_RESISTANCE,
    RSE,
    RSI,
    SIDES,
    Glazing,
    Shell,
    Surface,
    facing,
    layer_resistance,
)
from vanclimate.physics.conduction import Direction, penetration_depth
from vanclimate.physics.longwave import carroll_factors

Array = NDArray[np.float64]

METAL_RESISTANCE = 1e-3  # m2K/W: a layer below this is one node
CELL = 0.25  # of the daily penetration depth: the thickest part of a layer; a grid eight times as
# fine moves the cabin's hourly temperature by 0.004 K (docs/validation.md)
OUT_WALL, OUT_UNDER, OUT_FIXED, OUT_NONE = range(4)  # a roof meets the wind as a wall does
IN_VERTICAL, IN_FLOOR, IN_CEILING = range(3)


class Network(NamedTuple):
    """Nodes and conductances; nodes of a chain run from outside to inside."""

    first: NDArray[np.int64]  # (chains + 1,) index of each chain's first node
    capacity: Array  # (nodes,) J/K
    link: Array  # (nodes,) W/K from a node to the next one in its chain; 0 at its end
    link_covered: Array  # the same while the chain's cover is closed
    area: Array  # (chains,) m2
    radiant_area: Array  # (chains,) m2: area times the Carroll factor
    emissivity: Array  # (chains,) outside face
    roughness: Array  # (chains,) factor on the wind's convection outside
    outside: NDArray[np.int64]  # (chains,) OUT_*
    inside: NDArray[np.int64]  # (chains,) IN_*
    fixed_temp: Array  # (chains,) °C where OUT_FIXED
    volume: float  # m3


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

    @property
    def facing(self) -> str:
        """Key of the sun that falls on it: its side, or its side and slope where it leans."""
        return facing(self.side, self.tilt)


@dataclass(frozen=True)
class Model:
    """The compiled van: arrays for the kernel, and what each chain is."""

    network: Network
    chains: tuple[Chain, ...]
    shell: Shell


def layer_parts(surface: Surface, cell: float = CELL) -> list[tuple[float, float]]:
    """Return (resistance [m2K/W], heat capacity [J/m2K]) of each part, outside to inside.

    ``cell`` is the thickest part of a layer as a share of the daily penetration depth.
    """
    # a hot day's direction: into the van, down through the roof and up through the floor
    into: dict[str, Direction] = {"roof": "down", "floor": "up"}
    direction = into.get(surface.side, "horizontal")
    parts: list[tuple[float, float]] = []
    for x in surface.layers:
        r = layer_resistance(x, direction)
        heat = 0.0 if x.air_gap else x.thickness * x.density * x.specific_heat
        n = 1
        if heat > 0 and r > METAL_RESISTANCE:
            depth = float(penetration_depth(x.conductivity, x.density, x.specific_heat))
            n = max(1, ceil(x.thickness / (cell * depth)))
        parts += [(r / n, heat / n)] * n
    return parts


def rib_parts(surface: Surface) -> list[tuple[float, float]]:
    """Return a rib path's parts: skin, the rib's own resistance, lining.

    The rib's steel doubles the skin's mass over its area (assumed); the lining is the stack's last
    layer, its resistance counted in the rib's.
    """
    assert surface.rib_u is not None
    skin, lining = surface.layers[0], surface.layers[-1]
    skin_heat = 2 * skin.thickness * skin.density * skin.specific_heat
    lining_heat = lining.thickness * lining.density * lining.specific_heat
    r = max(MIN_RIB_RESISTANCE, 1 / surface.rib_u - RSI - RSE)
    return [(0.0, skin_heat), (r, 0.0), (0.0, lining_heat)]


def chain_nodes(parts: list[tuple[float, float]], area: float) -> tuple[list[float], list[float]]:
    """Return node capacities [J/K] and links [W/K] of a chain, outside to inside."""
    capacity, link = [0.0], []
    for r, heat in parts:
        if r < METAL_RESISTANCE:
            capacity[-1] += heat * area
        else:
            capacity[-1] += heat * area / 2
            capacity.append(heat * area / 2)
            link.append(area / r)
    return capacity, [*link, 0.0]


def _chain_of_surface(s: Surface) -> Chain:
    azimuth, tilt = SIDES[s.side]
    return Chain(
        s.name, s.group, s.side, s.area, tilt, azimuth, s.absorptance, s.lining_absorptance,
        boundary_temp=s.boundary_temp,
    )  # fmt: skip


def _chain_of_glazing(g: Glazing) -> Chain:
    return Chain(g.name, "glass", g.side, g.area, tilt_of(g), SIDES[g.side][0], 0.0, 0.0, glazing=g)


def _inside_kind(c: Chain) -> int:
    if c.glazing is not None and c.tilt < UPWARD:
        return IN_CEILING
    return {"roof": IN_CEILING, "floor": IN_FLOOR}.get(c.side, IN_VERTICAL)


def _outside_kind(c: Chain) -> int:
    if c.boundary_temp is not None:
        return OUT_FIXED
    return {"floor": OUT_UNDER, "furnishing": OUT_NONE}.get(c.side, OUT_WALL)


def compile_shell(shell: Shell, cell: float = CELL) -> Model:
    """Return the compiled model of a shell; ``cell`` as in `layer_parts`."""
    chains: list[Chain] = []
    rows: list[tuple[list[float], list[float], list[float]]] = []
    eps_out: list[float] = []
    eps_in: list[float] = []
    rough: list[float] = []
    for s in shell.surfaces:
        capacity, link = chain_nodes(rib_parts(s) if s.rib_u else layer_parts(s, cell), s.area)
        chains.append(_chain_of_surface(s))
        rows.append((capacity, link, link))
        eps_out.append(s.emissivity)
        eps_in.append(s.lining_emissivity)
        rough.append(s.roughness)
    for g in shell.glazings:
        chains.append(_chain_of_glazing(g))
        rows.append(glazing_nodes(g))
        eps_out.append(g.glass.emissivity)
        eps_in.append(g.glass.emissivity)
        rough.append(1.0)
    if shell.furnishing_capacity > 0:
        chains.append(
            Chain(
                "furnishing", "furnishing", "furnishing", shell.furnishing_area, 90.0, 0.0, 0.0, 0.7
            )
        )
        rows.append(([shell.furnishing_capacity], [0.0], [0.0]))
        eps_out.append(0.0)
        eps_in.append(0.9)
        rough.append(1.0)
    area = np.array([c.area for c in chains])
    # a dome's face is larger than the opening through which it meets the room's other faces
    bulge = np.array([1.0 if c.glazing is None else c.glazing.glass.bulge for c in chains])
    network = Network(
        first=np.cumsum([0, *(len(r[0]) for r in rows)]).astype(np.int64),
        capacity=np.concatenate([r[0] for r in rows]),
        link=np.concatenate([r[1] for r in rows]),
        link_covered=np.concatenate([r[2] for r in rows]),
        area=area * bulge,
        radiant_area=area * carroll_factors(area, np.array(eps_in)),
        emissivity=np.array(eps_out),
        roughness=np.array(rough),
        outside=np.array([_outside_kind(c) for c in chains], dtype=np.int64),
        inside=np.array([_inside_kind(c) for c in chains], dtype=np.int64),
        fixed_temp=np.array([0.0 if c.boundary_temp is None else c.boundary_temp for c in chains]),
        volume=float(shell.volume),
    )
    return Model(network, tuple(chains), shell)
