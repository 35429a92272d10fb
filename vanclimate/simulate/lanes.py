"""The network in the order in which the loop works through it.

A chain is a lane, and the nodes lie by level: level 0 holds every lane's inside face, level 1 the
next node outwards of every lane that has one, and so on. Lanes are sorted by depth, so each level
holds the first so many of them. Eliminating node after node along a chain would wait for each
division in turn; level by level the lanes go side by side. Not here: what a node is (``network``).
"""

from __future__ import annotations

from typing import NamedTuple

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
    Network,
)
from vanclimate.physics.convection import ROOF, UNDER_WIND, UNDERSIDE, VERTICAL, forced_squares

Unsigned = NDArray[np.uint64]


class Lanes(NamedTuple):
    """The network by lanes; a lane's inside face is the node of its own number."""

    level: Unsigned  # (levels + 1,) first node of each; unsigned, as an index can't count backwards
    chain: Integers  # (lanes,) which chain of the network it is
    depth: Integers  # (lanes,) nodes
    outer: Unsigned  # (lanes,) node of the outer face
    place: Unsigned  # (nodes,) where a node stands in the network
    lane: Integers  # (nodes,)
    capacity: Array  # (nodes,) J/K
    link: Array  # (nodes,) W/K to the next node inwards; 0 for an inside face
    link_covered: Array
    zone: Integers  # (lanes,)
    inside: Integers  # (lanes,) IN_*
    area: Array  # (lanes,) m2
    radiant_area: Array
    size: Array
    length_factor: Array
    exposed: Array  # (lanes,) m2 that meet outdoor air and surroundings; 0 where none do
    emitting: Array  # (lanes,) m2 of it times emissivity
    facing: Integers  # (lanes,) VERTICAL, ROOF or UNDERSIDE, for `mixed_film`
    to_windward: Array  # (lanes,) factors on the squares of forced convection
    to_leeward: Array
    wet: Integers  # the lanes that are wet outside
    fixed: Integers  # the lanes that end in a fixed temperature
    fixed_temp: Array  # (fixed,) °C
    between: Integers  # the lanes from one zone to another
    beyond: Integers  # (between,) zone
    radiant_beyond: Array  # (between,)
    room: Unsigned  # (zones + 1,) first of each zone's faces
    room_inner: Unsigned  # (zones,) end of its lanes' inner ones; partitions' outer ones follow
    face: Unsigned  # (faces,) node of each: the lanes' inner faces and partitions' outer ones
    of_lane: Unsigned  # (lanes,) which face a lane's inner one is
    exchange: Array  # (faces, faces) m2 beyond the star's
    inside_beyond: Integers  # (between,)
    solid: Integers  # nodes whose link follows its mean temperature
    solid_inward: Integers  # the next node inwards
    solid_slope: Array
    gap: Integers  # nodes whose link is an air gap
    gap_inward: Integers
    gap_width: Array
    gap_exchange: Array
    gap_area: Array
    gap_up: Array
    volume: Array  # (zones,) m3


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
    position = np.empty(len(place), dtype=np.int64)
    position[place] = np.arange(len(place))
    kind = net.outside[chain]
    exposed = np.where(np.isin(kind, (OUT_NONE, OUT_FIXED, OUT_ZONE)), 0.0, net.area[chain])
    under = np.array(forced_squares(UNDER_WIND)) / np.array(forced_squares(1.0))
    windward, leeward = (
        np.where(kind == OUT_UNDER, share, net.roughness[chain] ** 2) for share in under
    )
    wet, fixed, between = (
        np.flatnonzero(kind == which) for which in (OUT_WET, OUT_FIXED, OUT_ZONE)
    )
    outer = level[depth - 1] + np.arange(len(depth))
    partition = np.cumsum(net.outside == OUT_ZONE) - 1  # its place among them, by chain
    row = np.concatenate([chain, len(chain) + partition[chain[between]]])
    zone = np.concatenate([net.zone[chain], net.beyond[chain[between]]])
    face = np.argsort(zone, kind="stable")
    row = row[face]
    room = np.searchsorted(zone[face], np.arange(len(net.volume) + 1))
    hollow = net.gap > 0.0
    solid, gap = net.vary[~hollow], net.vary[hollow]
    return Lanes(
        level=level.astype(np.uint64),
        chain=chain,
        depth=depth,
        outer=outer.astype(np.uint64),
        place=place.astype(np.uint64),
        lane=lane,
        capacity=net.capacity[place],
        link=net.link[place],
        link_covered=net.link_covered[place],
        zone=net.zone[chain],
        inside=net.inside[chain],
        area=net.area[chain],
        radiant_area=net.radiant_area[chain],
        size=net.size[chain],
        length_factor=net.length_factor[chain],
        exposed=exposed,
        emitting=exposed * net.emissivity[chain],
        facing=np.where(
            kind == OUT_WALL, VERTICAL, np.where(kind == OUT_UNDER, UNDERSIDE, ROOF)
        ).astype(np.int64),
        to_windward=windward,
        to_leeward=leeward,
        wet=wet,
        fixed=fixed,
        fixed_temp=net.fixed_temp[chain][fixed],
        between=between,
        beyond=net.beyond[chain][between],
        radiant_beyond=net.radiant_beyond[chain][between],
        room=room.astype(np.uint64),
        room_inner=(room[:-1] + np.bincount(net.zone, minlength=len(net.volume))).astype(np.uint64),
        face=np.concatenate([np.arange(len(chain)), outer[between]])[face].astype(np.uint64),
        of_lane=np.argsort(face)[: len(chain)].astype(np.uint64),
        exchange=net.exchange[np.ix_(row, row)],
        inside_beyond=net.inside_beyond[chain][between],
        solid=position[solid],
        solid_inward=position[solid + 1],
        solid_slope=net.vary_slope[~hollow],
        gap=position[gap],
        gap_inward=position[gap + 1],
        gap_width=net.gap[hollow],
        gap_exchange=net.gap_exchange[hollow],
        gap_area=net.gap_area[hollow],
        gap_up=net.gap_up[hollow],
        volume=net.volume,
    )
