"""The network in the order in which the loop works through it.

A chain is a lane, and the nodes lie by level: level 0 holds every lane's inside face, level 1 the
next node outwards of every lane that has one, and so on. Lanes are sorted by depth, so each level
holds the first so many of them. Eliminating node after node along a chain would wait for each
division in turn; level by level the lanes go side by side. Not here: what a node is (``network``).
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import (
    OUT_FIXED,
    OUT_NONE,
    OUT_UNDER,
    OUT_WALL,
    OUT_WET,
    OUT_ZONE,
    Array,
    Integers,
    Model,
    Network,
)
from vanclimate.physics.convection import ROOF, UNDER_WIND, UNDERSIDE, VERTICAL, forced_squares

Unsigned = NDArray[np.uint64]
"""An index that the loop need not ask whether it counts backwards from an array's end."""


class Lanes(NamedTuple):
    """The network by lanes, deepest first; a lane's inside face is the node of its own number."""

    level: Unsigned  # (levels + 1,) first node of each
    chain: Integers  # (lanes,) which chain of the network it is
    depth: Integers  # (lanes,) nodes
    outer: Unsigned  # (lanes,) node of the outer face
    node_in_network: Unsigned  # (nodes,) where a node stands there
    lane_of_node: Integers  # (nodes,)
    capacity: Array  # (nodes,) J/K
    link: Array  # (nodes,) W/K to the next node inwards; 0 for an inside face
    link_covered: Array  # (nodes,)
    zone: Integers  # (lanes,)
    inside: Integers  # (lanes,) IN_*
    area: Array  # (lanes,) m2
    radiant_area: Array  # (lanes,) m2
    size: Array  # (lanes,) m
    length_factor: Array  # (lanes,)
    exposed: Array  # (lanes,) m2 that meet outdoor air and surroundings; 0 where none do
    emitting: Array  # (lanes,) m2 of it times emissivity
    facing: Integers  # (lanes,) VERTICAL, ROOF or UNDERSIDE, for `mixed_film`
    to_windward: Array  # (lanes,) factors on the squares of forced convection
    to_leeward: Array  # (lanes,)
    wet: Integers  # (wet,) the lanes that are wet outside
    fixed: Integers  # (fixed,) the lanes that end in a fixed temperature
    fixed_temp: Array  # (fixed,) °C
    between: Integers  # (between,) the lanes from one zone to another
    beyond: Integers  # (between,) zone
    radiant_beyond: Array  # (between,) m2
    inside_beyond: Integers  # (between,) IN_*
    first_face: Unsigned  # (zones + 1,) first of each zone's faces
    end_inner: Unsigned  # (zones,) end of its lanes' inner ones; partitions' outer ones follow
    face: Unsigned  # (faces,) node of each: the lanes' inner faces and partitions' outer ones
    face_of_lane: Unsigned  # (lanes,) which face a lane's inner one is
    exchange: Array  # (faces, faces) m2 beyond the star's
    solid: Integers  # (solids,) nodes whose link follows its mean temperature
    solid_inward: Integers  # (solids,) the next node inwards
    solid_slope: Array  # (solids,) 1/K
    gap: Integers  # (gaps,) nodes whose link is an air gap
    gap_inward: Integers  # (gaps,)
    gap_width: Array  # (gaps,) m
    gap_exchange: Array  # (gaps,) of its faces
    gap_area: Array  # (gaps,) m2
    gap_up: Array  # (gaps,) 1 where heat to the outside flows up, -1 down, 0 across
    volume: Array  # (zones,) m3


@lru_cache(maxsize=128)  # a drawn van is run in several nights
def order_of(model: Model) -> Lanes:
    """Return a van's network in the loop's order."""
    return lanes_of(model.network)


def lanes_of(net: Network) -> Lanes:
    """Return a network in the loop's order."""
    depth = np.diff(net.first)
    chain = np.argsort(-depth, kind="stable")
    depth = depth[chain]
    counts = [int((depth > j).sum()) for j in range(int(depth[0]))]
    level = np.cumsum([0, *counts])
    lane = np.concatenate([np.arange(count) for count in counts])
    out = np.repeat(np.arange(len(counts)), counts)  # how far from the inside face
    place = net.first[chain + 1][lane] - 1 - out
    outer = level[depth - 1] + np.arange(len(depth))
    between = np.flatnonzero(net.outside[chain] == OUT_ZONE)
    whole: dict[str, Any] = {
        "level": level.astype(np.uint64),
        "chain": chain,
        "depth": depth,
        "outer": outer.astype(np.uint64),
        "node_in_network": place.astype(np.uint64),
        "lane_of_node": lane,
        "between": between,
        "beyond": net.beyond[chain][between],
        "radiant_beyond": net.radiant_beyond[chain][between],
        "inside_beyond": net.inside_beyond[chain][between],
        "volume": net.volume,
    }
    whole |= {name: getattr(net, name)[place] for name in ("capacity", "link", "link_covered")}
    alike = ("zone", "inside", "area", "radiant_area", "size", "length_factor")
    whole |= {name: getattr(net, name)[chain] for name in alike}
    return Lanes(
        **whole,
        **_outdoors(net, chain),
        **_faces(net, chain, outer, between),
        **_varying(net, place),
    )


def _outdoors(net: Network, chain: Integers) -> dict[str, Any]:
    """Return what the outer faces of lanes meet, but for other zones."""
    kind = net.outside[chain]
    exposed = np.where(np.isin(kind, (OUT_NONE, OUT_FIXED, OUT_ZONE)), 0.0, net.area[chain])
    under = np.array(forced_squares(UNDER_WIND)) / np.array(forced_squares(1.0))
    windward, leeward = (
        np.where(kind == OUT_UNDER, share, net.roughness[chain] ** 2) for share in under
    )
    facing = np.where(kind == OUT_WALL, VERTICAL, np.where(kind == OUT_UNDER, UNDERSIDE, ROOF))
    fixed = np.flatnonzero(kind == OUT_FIXED)
    return {
        "exposed": exposed,
        "emitting": exposed * net.emissivity[chain],
        "facing": facing.astype(np.int64),
        "to_windward": windward,
        "to_leeward": leeward,
        "wet": np.flatnonzero(kind == OUT_WET),
        "fixed": fixed,
        "fixed_temp": net.fixed_temp[chain][fixed],
    }


def _faces(net: Network, chain: Integers, outer: Integers, between: Integers) -> dict[str, Any]:
    """Return the faces by zone: first the lanes' inner ones, then partitions' outer ones."""
    partition = np.cumsum(net.outside == OUT_ZONE) - 1  # its place among them, by chain
    row = np.concatenate([chain, len(chain) + partition[chain[between]]])
    zone = np.concatenate([net.zone[chain], net.beyond[chain[between]]])
    face = np.argsort(zone, kind="stable")
    row, zones = row[face], len(net.volume)
    first = np.searchsorted(zone[face], np.arange(zones + 1))
    nodes = np.concatenate([np.arange(len(chain)), outer[between]])[face]
    return {
        "first_face": first.astype(np.uint64),
        "end_inner": (first[:-1] + np.bincount(net.zone, minlength=zones)).astype(np.uint64),
        "face": nodes.astype(np.uint64),
        "face_of_lane": np.argsort(face)[: len(chain)].astype(np.uint64),
        "exchange": net.exchange[np.ix_(row, row)],
    }


def _varying(net: Network, place: Integers) -> dict[str, Any]:
    """Return the links that follow temperature, solids and air gaps apart."""
    position = np.empty(len(place), dtype=np.int64)
    position[place] = np.arange(len(place))
    hollow = net.gap > 0.0
    solid, gap = net.vary[~hollow], net.vary[hollow]
    return {
        "solid": position[solid],
        "solid_inward": position[solid + 1],
        "solid_slope": net.vary_slope[~hollow],
        "gap": position[gap],
        "gap_inward": position[gap + 1],
        "gap_width": net.gap[hollow],
        "gap_exchange": net.gap_exchange[hollow],
        "gap_area": net.gap_area[hollow],
        "gap_up": net.gap_up[hollow],
    }
