"""A stack between two airs: temperature, vapour and dew point from outside to inside.

Steady, one after the other, as ISO 6946 and ISO 13788 take it. What does not belong here: how it is
drawn (``section``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.damp import Climate, Slice, slices
from vanclimate.physics.air import dew_point_of_vapour_pressure
from vanclimate.physics.vapour import year_balance
from vanclimate.van.layers import Layer

Array = NDArray[np.float64]
TRACE = 1e-3  # kg/m2; less water is none
STEPS = 12  # of a line within a layer


class Air(NamedTuple):
    """Air beside a stack: temperature [°C] and vapour pressure [Pa]."""

    temp: float
    pressure: float


class Water(NamedTuple):
    """Water that lies in a stack: how deep from the outside [m], and how much [kg/m²]."""

    depth: float
    mass: float


@dataclass(frozen=True)
class Profile:
    """Lines through a stack, from its outer face to its inner one.

    Attributes
    ----------
    edges : (layers + 1,) how deep each layer's faces lie [m]
    depth, temp, dew : (places,) [m, °C, °C]; the dew point is that of vapour which nothing stops,
        so it stands above the temperature where water settles
    outside, inside : the airs
    crossings : where the two lines meet, depth [m] and temperature [°C]
    """

    edges: Array
    depth: Array
    temp: Array
    dew: Array
    outside: Air
    inside: Air
    crossings: tuple[tuple[float, float], ...]


def profile_of(layers: tuple[Layer, ...], side: str, outside: Air, inside: Air) -> Profile:
    """Return the lines through a stack.

    What lies outside a well vented gap has the outdoor air's temperature and vapour; a lining on a
    gap that is open to the cabin has the cabin's. See `network.damp.slices`.

    Parameters
    ----------
    layers : outside first
    side : 'roof', 'floor', or a wall
    outside, inside : the airs
    """
    stack, rse, rsi = slices(layers, side)
    edges = np.concatenate([[0.0], np.cumsum([x.thickness for x in layers])])
    total = rse + sum(s.resistance for s in stack) + rsi
    tight = sum(s.sd for s in stack)
    depth = [float(edges[stack[0].layer]), *_ends(stack, edges)]
    r = rse + np.cumsum([0.0, *(s.resistance for s in stack)])
    sd = np.cumsum([0.0, *(s.sd for s in stack)])
    temp = outside.temp + (inside.temp - outside.temp) * r / total
    vapour = outside.pressure + (inside.pressure - outside.pressure) * sd / tight
    at, t, p = (_finer(np.asarray(values)) for values in (depth, temp, vapour))
    if stack[0].layer > 0:  # before a vented gap all is as outdoors
        at, t, p = (
            np.concatenate([x, y])
            for x, y in (
                ([edges[0], at[0]], at),
                ([outside.temp] * 2, t),
                ([outside.pressure] * 2, p),
            )
        )
    if stack[-1].layer < len(layers) - 1:  # behind an open one as in the cabin
        at, t, p = (
            np.concatenate([y, x])
            for x, y in (
                ([at[-1], edges[-1]], at),
                ([inside.temp] * 2, t),
                ([inside.pressure] * 2, p),
            )
        )
    dew = np.asarray(dew_point_of_vapour_pressure(p), dtype=float)
    return Profile(edges, at, t, dew, outside, inside, _crossings(at, t, dew))


def _ends(stack: Sequence[Slice], edges: Array) -> list[float]:
    """Return how deep each slice ends [m]; a film on an outer face ends where it begins."""
    found = []
    for k, s in enumerate(stack):
        outer_film = s.resistance == 0.0 and k + 1 < len(stack) and stack[k + 1].layer == s.layer
        found.append(float(edges[s.layer if outer_film else s.layer + 1]))
    return found


def _finer(values: Array) -> Array:
    """Return values with `STEPS` between each two, for the dew point bends within a layer."""
    at = np.arange((len(values) - 1) * STEPS + 1) / STEPS
    finer: Array = np.interp(at, np.arange(len(values)), values)
    return finer


def _crossings(depth: Array, temp: Array, dew: Array) -> tuple[tuple[float, float], ...]:
    over = dew - temp
    found = []
    for k in np.flatnonzero((over[:-1] > 0.0) != (over[1:] > 0.0)):
        share = over[k] / (over[k] - over[k + 1])
        found.append(tuple(float(x[k] + share * (x[k + 1] - x[k])) for x in (depth, temp)))
    return tuple((a, b) for a, b in found)


def water_in(layers: tuple[Layer, ...], side: str, climate: Climate) -> tuple[Water, ...]:
    """Return the most water that a year leaves at each place in a stack.

    It is that of `network.damp.damp_of`, with how deep it lies.
    """
    stack, rse, rsi = slices(layers, side)
    if len(stack) < 2:
        return ()
    balance = year_balance(
        resistance=np.array([s.resistance for s in stack]), sd=np.array([s.sd for s in stack]),
        inside_temp=climate.inside_temp, inside_pressure=climate.inside_pressure,
        outside_temp=climate.outside_temp, outside_pressure=climate.outside_pressure,
        rsi=rsi, rse=rse,
    )  # fmt: skip
    edges = np.concatenate([[0.0], np.cumsum([x.thickness for x in layers])])
    ends = _ends(stack, edges)
    starts = [float(edges[stack[0].layer]), *ends[:-1]]
    parts = {own: balance.places.count(own) + (own == len(stack) - 1) for own in balance.places}
    found, seen = [], dict.fromkeys(parts, 0)
    for own, mass in zip(balance.places, balance.peak, strict=True):
        seen[own] += 1
        share = seen[own] / parts[own]
        if mass >= TRACE:
            found.append(Water(starts[own] + share * (ends[own] - starts[own]), float(mass)))
    return tuple(found)
