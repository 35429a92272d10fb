"""Windows as chains of nodes: panes, gaps and covers.

What does not belong here: the sun on them (``solar``), the other surfaces (``compile``), what a
cover is made of (``van.covers``).
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from vanclimate.network.shell import SIDES, Glazing
from vanclimate.physics.conduction import R_SE, R_SI, emissivity_exchange
from vanclimate.physics.covers import (
    REFERENCE,
    WIND,
    Inside,
    Outside,
    gap_of,
    inside_cover,
    outside_cover,
)
from vanclimate.van.covers import COVER_SPECIFIC_HEAT, Cover

OPEN_RESISTANCE = 1e-3  # m2K/W between a pane and its open cover, which moves with it
TALLEST = 0.8  # m: a pane is as high as it is wide, up to this (assumed); several count as one
COVERED_OUTSIDE = 10.0  # K between a pane and outdoors under a cover outside; assumed
UPWARD = 60.0  # deg: flatter panes pass heat upward, ISO 6946's limit of horizontal flow


def tilt_of(g: Glazing) -> float:
    """Return a window's tilt from level [deg]: its slope, else that of its side."""
    return SIDES[g.side][1] if g.slope is None else g.slope


def cover_of(g: Glazing) -> Cover | None:
    """Return the cover that is ever closed, if there is one."""
    return None if g.covered == "never" else g.cover


def cover_path(g: Glazing, cover: Cover) -> Inside | Outside:
    """Return what a closed cover puts between the pane and the cover's node, and its sun's shares.

    Air leaks round its edges by buoyancy, outside by a light breeze too; see `physics.covers`.
    """
    flat = tilt_of(g) < UPWARD
    film = R_SE if cover.outside else R_SI["up" if flat else "horizontal"]
    gap = gap_of(
        slit=cover.edge,
        gap=cover.gap,
        height=min(sqrt(g.area), TALLEST),
        emissivity=g.glass.emissivity,
        face_emissivity=cover.emissivity,
        beyond=cover.resistance + film,
        difference=COVERED_OUTSIDE if cover.outside else REFERENCE,
        wind=WIND if cover.outside else 0.0,
    )
    made = outside_cover if cover.outside else inside_cover
    return made(gap, cover.resistance, film)


def pane_nodes(g: Glazing) -> tuple[int, ...]:
    """Return the places in a window's chain of each pane's outer face; its inner face is next."""
    cover = cover_of(g)
    first = 1 if cover is not None and cover.outside else 0
    return tuple(first + 2 * i for i in range(len(g.glass.pane_thicknesses)))


class Gap(NamedTuple):
    """A gap between panes that follows temperature: the place of the node before it."""

    place: int
    thickness: float  # m
    exchange: float  # of its faces


class Nodes(NamedTuple):
    """A window's chain, outside to inside."""

    capacity: list[float]  # J/K
    link: list[float]  # W/K to the next node, 0 at the end
    covered: list[float]  # the same with the cover closed
    gaps: list[Gap]


def glazing_nodes(g: Glazing) -> Nodes:
    """Return a window's nodes.

    A pane is cut at its faces as a layer is. The cover's node is always there: with the cover open
    it moves with the pane. A dome's face is larger than its opening, its panes with it.
    """
    glass = g.glass
    face = g.area * glass.bulge
    capacity: list[float] = []
    link: list[float] = []
    for i, thickness in enumerate(glass.pane_thicknesses):
        capacity += [thickness * glass.density * glass.specific_heat * face / 2] * 2
        link.append(face * glass.conductivity / thickness)
        if i < len(glass.gap_resistances):
            link.append(face / glass.gap_resistances[i])
    exchange = emissivity_exchange(glass.emissivity, glass.emissivity)
    places = pane_nodes(g)
    gaps = [Gap(places[i] + 1, d, exchange) for i, d in enumerate(glass.gaps)]
    cover = cover_of(g)
    if cover is None:
        return Nodes(capacity, [*link, 0.0], [*link, 0.0], gaps)
    mat = cover.mass * COVER_SPECIFIC_HEAT * g.area
    opened, closed = g.area / OPEN_RESISTANCE, g.area / cover_path(g, cover).resistance
    if cover.outside:
        return Nodes([mat, *capacity], [opened, *link, 0.0], [closed, *link, 0.0], gaps)
    return Nodes([*capacity, mat], [*link, opened, 0.0], [*link, closed, 0.0], gaps)
