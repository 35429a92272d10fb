"""Into how many parts a layer is cut: as few as keep a stack's answer to swings within a bound.

The cut stack (half of a part's heat capacity on each of its faces, its resistance between) is held
against the exact one by the matrix method of ISO 13786, for a swing outdoors and one of the room's
air. Where the lining's temperature is off by more than `BOUND`, the part that reaches furthest
against its own penetration depth is halved. Not here: nodes (``compile``).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import pi
from typing import NamedTuple, TypeAlias

from vanclimate.physics.conduction import (
    DAY,
    R_SE,
    R_SI,
    PureResistance,
    SolidLayer,
    heat_transfer_matrix,
    penetration_depth,
)

Matrix: TypeAlias = tuple[complex, complex, complex, complex]
"""Of two rows and two columns, row by row."""

BOUND = 0.1  # K, of the lining's temperature
RSE, RSI = R_SE, R_SI["horizontal"]  # m2K/W
HOUR = 3600.0
MOST_PARTS = 32
METAL = 1e-3  # m2K/W below which a layer is one node whatever its mass


class Swing(NamedTuple):
    """A sine that the stack has to follow."""

    period: float  # s
    outside: float  # K of amplitude, sol-air
    inside: float  # K of amplitude, of the room


SWINGS = (
    Swing(DAY, 30.0, 8.0),
    Swing(DAY / 4, 10.0, 4.0),
    Swing(HOUR, 4.0, 3.0),
)
"""Amplitudes assumed: a dark roof's day, its second harmonics and passing clouds; a room warming by
day, the pull-down of an air conditioner."""


def parts_of(layers: Sequence[SolidLayer | PureResistance]) -> tuple[int, ...]:
    """Return into how many parts each layer is cut.

    Parameters
    ----------
    layers : outside to inside
    """
    return _parts_of(tuple(layers))


def cut_error(layers: Sequence[SolidLayer | PureResistance], parts: Sequence[int]) -> float:
    """Return the greatest error [K] of the lining's temperature over the swings of `SWINGS`."""
    return _error(layers, parts, _exact_answers(layers))


def _exact_answers(layers: Sequence[SolidLayer | PureResistance]) -> list[tuple[complex, complex]]:
    """Return the exact answer to each swing."""
    return [_answer(_exact(layers, swing.period)) for swing in SWINGS]


def _error(
    layers: Sequence[SolidLayer | PureResistance], parts: Sequence[int],
    answers: Sequence[tuple[complex, complex]],
) -> float:  # fmt: skip
    """Return how far a cut stack is off at most [K] from the exact ``answers`` to the swings."""
    worst = 0.0
    for swing, exact in zip(SWINGS, answers, strict=True):
        cut = _answer(_cut(layers, parts, swing.period))
        by_weather = abs(cut[0] - exact[0]) * swing.outside
        by_room = abs(cut[1] - exact[1]) * swing.inside
        worst = max(worst, RSI * by_weather, RSI * by_room)
    return float(worst)


@lru_cache(maxsize=256)
def _parts_of(layers: tuple[SolidLayer | PureResistance, ...]) -> tuple[int, ...]:
    parts, exact = [1] * len(layers), _exact_answers(layers)
    while _error(layers, parts, exact) > BOUND:
        reach = [_reach(x) / n for x, n in zip(layers, parts, strict=True)]
        widest = reach.index(max(reach))
        if reach[widest] <= 0.0 or parts[widest] >= MOST_PARTS:
            break
        parts[widest] *= 2
    return tuple(parts)


def _reach(layer: SolidLayer | PureResistance) -> float:
    """Return a layer's thickness over its penetration depth; 0 for what is never cut."""
    if isinstance(layer, PureResistance) or layer.thickness / layer.conductivity < METAL:
        return 0.0
    depth = penetration_depth(layer.conductivity, layer.density, layer.specific_heat)
    return layer.thickness / depth


def _answer(between: Matrix) -> tuple[complex, complex]:
    """Return the heat at the lining by a swing outdoors and by one of the room [W/m2K]."""
    whole = _times(_times((1.0, -RSE, 0.0, 1.0), between), (1.0, -RSI, 0.0, 1.0))
    return -1.0 / whole[1], -whole[0] / whole[1]


def _exact(layers: Sequence[SolidLayer | PureResistance], period: float) -> Matrix:
    """Return the exact matrix; a sheet of metal is one node here as in the network."""
    (a, b), (c, d) = heat_transfer_matrix(layers, period).tolist()
    return a, b, c, d


def _cut(
    layers: Sequence[SolidLayer | PureResistance], parts: Sequence[int], period: float
) -> Matrix:
    omega = 2.0 * pi / period
    total: Matrix = (1.0, 0.0, 0.0, 1.0)
    for layer, n in zip(layers, parts, strict=True):
        if isinstance(layer, PureResistance):
            r, heat = layer.resistance, 0.0
        else:
            r = layer.thickness / layer.conductivity
            heat = layer.thickness * layer.density * layer.specific_heat
            r = 0.0 if r < METAL else r
        half: Matrix = (1.0, 0.0, -0.5j * omega * heat / n, 1.0)
        part = _times(_times(half, (1.0, -r / n, 0.0, 1.0)), half)
        for _ in range(n):
            total = _times(total, part)
    return total


def _times(a: Matrix, b: Matrix) -> Matrix:
    """Return the product of two matrices; of ones this small numpy's takes ten times as long."""
    return (
        a[0] * b[0] + a[1] * b[2], a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2], a[2] * b[1] + a[3] * b[3],
    )  # fmt: skip
