"""Radiation inside: each face's tie to its zone's radiant star, and what the star leaves out.

The star passes on what faces would exchange if each saw the others by their areas alone. What the
view factors of the box say beyond that is small; it is kept as exchange areas between faces, their
rows summing to nothing, and the loop adds it as heat. Not here: the formulae (``physics``).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.physics.enclosure import (
    FACING,
    PLANES,
    grey_exchange,
    room_exchange,
    with_furniture,
)
from vanclimate.physics.longwave import carroll_factors

if TYPE_CHECKING:  # chains are made where these go
    from vanclimate.network.compile import Chain

Array = NDArray[np.float64]


class Radiant(NamedTuple):
    """What radiation inside needs of each face; see `network.compile.Network`."""

    inside: Array  # (chains,) m2
    beyond: Array  # (chains,) m2
    exchange: Array  # (chains + partitions, the same) m2; partitions' outer faces come last


class _Face(NamedTuple):
    """A face of a zone."""

    place: int  # in the exchange matrix
    chain: int
    side: str  # as seen from the zone
    area: float
    emissivity: float


def radiant_of(
    chains: Sequence[Chain], emissivity: Sequence[tuple[float, float]], zones: int
) -> Radiant:
    """Return the ties of all faces.

    Parameters
    ----------
    chains : of the network
    emissivity : of each chain's outer and inner face
    zones : how many there are
    """
    partitions = [k for k, c in enumerate(chains) if c.beyond is not None]
    count = len(chains)
    out = Radiant(np.zeros(count), np.zeros(count), np.zeros((count + len(partitions),) * 2))
    for zone in range(zones):
        faces = [
            _Face(k, k, c.side, c.area, emissivity[k][1])
            for k, c in enumerate(chains)
            if c.zone == zone
        ]
        faces += [
            _Face(count + j, k, FACING[chains[k].side], chains[k].area, emissivity[k][0])
            for j, k in enumerate(partitions)
            if chains[k].beyond == zone
        ]
        if faces:
            _tie(faces, count, out)
    return out


def _tie(faces: list[_Face], count: int, out: Radiant) -> None:
    """Write one zone's faces."""
    area = np.array([f.area for f in faces])
    eps = np.array([f.emissivity for f in faces])
    star = area * carroll_factors(area, eps)
    for f, radiant in zip(faces, star, strict=True):
        (out.inside if f.place < count else out.beyond)[f.chain] = radiant
    black = _black_exchange(faces, area)
    if black is not None:
        left_out = grey_exchange(black, eps) - np.outer(star, star) / star.sum()
        left_out -= np.diag(left_out.sum(axis=1))
        at = [f.place for f in faces]
        out.exchange[np.ix_(at, at)] = left_out


def _black_exchange(faces: list[_Face], area: Array) -> Array | None:
    """Return exchange areas between black faces, each seen as evenly spread over its plane.

    None where the faces make no box; there the star alone counts.
    """
    sides = (*PLANES, "furnishing")
    row = np.array([sides.index(f.side) for f in faces])
    planes = np.zeros(len(PLANES) + 1)
    np.add.at(planes, row, area)
    found = room_exchange(planes[:-1])
    if found is None:
        return None
    found = with_furniture(found, float(planes[-1]))
    share = area / planes[row]
    return np.asarray(share[:, None] * found[np.ix_(row, row)] * share)
