"""One step of the thermal network: elimination, the two stages.

The scheme is SDIRK2 with γ = 1 − 1/√2: L-stable, second order, one factorisation for two solves.
Each chain is eliminated from outside to inside; what is left are air and radiant star of each
zone, a small dense system. Fluxes are weighted by the scheme's own stages, so the balance closes
to rounding. Not here: conductances (``films``), what is switched (``controls``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable

from vanclimate.network.compile import (
    OUT_ZONE,
    Network,
)
from vanclimate.simulate import of_zone as of
from vanclimate.simulate.dense import eliminate, substitute
from vanclimate.simulate.films import Array, Films, beyond_face
from vanclimate.simulate.jit import part_of_loop

GAMMA = 1.0 - 1.0 / np.sqrt(2.0)


class Factors(NamedTuple):
    """The eliminated network: what both stages of a step share."""

    inverse: Array  # (nodes,) of the pivots
    ratio: Array  # (nodes,) of what a node passes on to the next one, forwards and back
    core: Array  # (2 zones, 2 zones) air and star of each zone
    lower: Array  # the same, eliminated


class Stage(NamedTuple):
    """Temperatures at a stage."""

    node: Array
    core: Array  # (2 zones + 1,) air of each zone, star of each, W of the ideal plant


@part_of_loop
def core_of_zones(core: Array, zones: Array, air_capacity: Array, gh: float) -> None:
    """Start the core: each zone's air with what it exchanges with outdoors and the living space."""
    n = len(air_capacity)
    for i in range(2 * n):
        for j in range(2 * n):
            core[i, j] = 0.0
    for z in range(n):
        core[z, z] += air_capacity[z] + gh * zones[of.VENTILATION, z]
        for a, exchange in ((0, zones[of.BETWEEN, z]), (n, zones[of.BETWEEN_RADIANT, z])):
            core[a + z, a + z] += gh * exchange
            core[a, a] += gh * exchange
            core[a, a + z] -= gh * exchange
            core[a + z, a] -= gh * exchange


@register_jitable
def fold_in(core: Array, n: int, z: int, y: int, c: float, r: float, e: float, s: float,
            own: float, far: float, across: float) -> None:  # fmt: skip
    """Fold an eliminated partition into the core.

    ``c``, ``r`` are its conductances times γh to air and star of zone ``z`` inside, ``e``, ``s``
    those to zone ``y`` beyond; ``own``, ``far``, ``across`` the entries of its inverse at its two
    ends and between them.
    """
    core[y, y] += e - e * e * far
    core[y, n + y] -= e * s * far
    core[n + y, y] -= e * s * far
    core[n + y, n + y] += s - s * s * far
    for i, a in ((z, c), (n + z, r)):
        for j, b in ((y, e), (n + y, s)):
            core[i, j] -= a * b * across
            core[j, i] -= a * b * across


@part_of_loop
def factorise(
    net: Network, films: Films, fac: Factors, zones: Array, air_capacity: Array, gh: float
) -> None:
    """Eliminate every chain for a step of γh = ``gh`` [s], then the zones."""
    n = len(air_capacity)
    core = fac.core
    core_of_zones(core, zones, air_capacity, gh)
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        before = films.out_convective[k] + films.out_radiant[k]
        carried = 0.0
        for i in range(a, b):
            link = films.link[i]
            after = link
            if i == b - 1:
                after = films.in_convective[k] + films.in_radiant[k]
            fac.inverse[i] = 1.0 / (net.capacity[i] + gh * (before + after) - carried)
            fac.ratio[i] = gh * link * fac.inverse[i]
            carried = gh * link * fac.ratio[i]
            before = link
        z = net.zone[k]
        c, r = gh * films.in_convective[k], gh * films.in_radiant[k]
        d = fac.inverse[b - 1]
        core[z, z] += c - c * c * d
        core[z, n + z] -= c * r * d
        core[n + z, z] -= c * r * d
        core[n + z, n + z] += r - r * r * d
        if net.outside[k] == OUT_ZONE:
            far, across = d, d
            for i in range(b - 2, a - 1, -1):
                far = fac.inverse[i] + fac.ratio[i] * fac.ratio[i] * far
                across *= fac.ratio[i]
            e, s = gh * films.out_convective[k], gh * films.out_radiant[k]
            fold_in(core, n, z, net.beyond[k], c, r, e, s, d, far, across)
    for i in range(2 * n):
        for j in range(2 * n):
            fac.lower[i, j] = core[i, j]
    eliminate(fac.lower)


@part_of_loop
def solve(
    net: Network, films: Films, fac: Factors, rhs: Array, rhs_core: Array, gh: float,
    limits: Array, out: Stage,
) -> None:  # fmt: skip
    """Solve one stage; ``rhs`` and ``rhs_core`` are overwritten.

    ``limits`` are the ideal plant's heating and cooling temperatures [°C] (NaN for none): where
    the living space's free air temperature falls outside, the plant's heat [W] that holds it is
    found.
    """
    n = len(rhs_core) // 2
    core = out.core
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        for i in range(a, b - 1):
            rhs[i + 1] += fac.ratio[i] * rhs[i]
        w = rhs[b - 1] * fac.inverse[b - 1]
        z = net.zone[k]
        rhs_core[z] += gh * films.in_convective[k] * w
        rhs_core[n + z] += gh * films.in_radiant[k] * w
        if net.outside[k] == OUT_ZONE:
            for j in range(b - 2, a - 1, -1):
                w = rhs[j] * fac.inverse[j] + fac.ratio[j] * w
            rhs_core[net.beyond[k]] += gh * films.out_convective[k] * w
            rhs_core[n + net.beyond[k]] += gh * films.out_radiant[k] * w
    solve_core(fac, rhs_core, gh, limits, core)
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        z = net.zone[k]
        if net.outside[k] == OUT_ZONE:
            y = net.beyond[k]
            brought = gh * (films.out_convective[k] * core[y] + films.out_radiant[k] * core[n + y])
            rhs[a] += brought
            for i in range(a, b - 1):
                brought *= fac.ratio[i]
                rhs[i + 1] += brought
        i = b - 1
        out.node[i] = (
            rhs[i] + gh * (films.in_convective[k] * core[z] + films.in_radiant[k] * core[n + z])
        ) * fac.inverse[i]
        for j in range(b - 2, a - 1, -1):
            out.node[j] = rhs[j] * fac.inverse[j] + fac.ratio[j] * out.node[j + 1]


@part_of_loop
def solve_core(fac: Factors, rhs_core: Array, gh: float, limits: Array, x: Array) -> None:
    """Solve for air and star of each zone, and for the plant where it acts, into ``x``."""
    n = len(rhs_core)
    for i in range(n):
        x[i] = rhs_core[i]
    substitute(fac.lower, x, n)
    x[n] = 0.0
    held = np.nan
    if x[0] < limits[0]:
        held = limits[0]
    elif x[0] > limits[1]:
        held = limits[1]
    if held == held:
        for i in range(n):
            x[i] = rhs_core[i]
            for j in range(n):
                fac.lower[i, j] = fac.core[i, j] if i > 0 else 0.0
        fac.lower[0, 0] = 1.0
        x[0] = held
        eliminate(fac.lower)
        substitute(fac.lower, x, n)
        needed = -rhs_core[0]
        for i in range(n):
            needed += fac.core[0, i] * x[i]
            for j in range(n):
                fac.lower[i, j] = fac.core[i, j]
        eliminate(fac.lower)
        x[n] = needed / gh


@part_of_loop
def add_outside(
    net: Network, films: Films, outdoor: float, wet_bulb: float, surroundings: Array,
    latent: Array, gh: float, rhs: Array,
) -> None:  # fmt: skip
    """Add to ``rhs`` what air and surroundings bring to outer faces and condensing water to inner.

    Outdoors that is film times temperature; an inner face on which water condenses or dries
    takes or gives its latent heat.
    """
    for k in range(len(net.area)):
        if net.outside[k] != OUT_ZONE:
            beyond = beyond_face(net, films, k, outdoor, wet_bulb)
            rhs[net.first[k]] += gh * (
                films.out_convective[k] * beyond + films.out_radiant[k] * surroundings[k]
            )
        rhs[net.first[k + 1] - 1] += gh * latent[k]


class Work(NamedTuple):
    """Scratch arrays of a run, so that the loop allocates nothing."""

    films: Films
    factors: Factors
    one: Stage
    two: Stage
    rhs: Array  # (nodes,)
    latent: Array  # (chains,)
    ahead: Array  # (2, zones) °C of air and star at mid-step
    rhs_core: Array  # (2 zones,)
    mean: Array  # (2 zones,) °C of air and star over the step


class Weather(NamedTuple):
    """The outside at the two stages of a step."""

    outdoor: Array  # (2,) °C
    wet_bulb: Array  # (2,) °C
    surroundings: Array  # (2, chains) °C


@part_of_loop
def step(
    net: Network, work: Work, node: Array, zones: Array, sun: Array, weather: Weather,
    air_capacity: Array, limits: Array, h: float,
) -> None:  # fmt: skip
    """Advance node, air and star temperatures by ``h`` [s]; the stages are left in ``work``.

    The zones' ``air_gain`` [W] goes into the air, ``star_gain`` [W] to the inside faces by
    radiation, ``ventilation`` [W/K] couples the air to outdoors.
    """
    gh = GAMMA * h
    n = len(air_capacity)
    factorise(net, work.films, work.factors, zones, air_capacity, gh)
    back = (1.0 - GAMMA) / GAMMA
    for s in range(2):
        outdoor = weather.outdoor[s]
        for z in range(n):
            carried = zones[of.AIR, z]
            if s == 1:
                carried += back * (work.one.core[z] - zones[of.AIR, z])
            brought = zones[of.AIR_GAIN, z] + zones[of.VENTILATION, z] * outdoor
            work.rhs_core[z] = air_capacity[z] * carried + gh * brought
            work.rhs_core[n + z] = gh * zones[of.STAR_GAIN, z]
        if s == 0:
            for i in range(len(node)):
                work.rhs[i] = net.capacity[i] * node[i] + gh * sun[i]
        else:
            for i in range(len(node)):
                held = node[i] + back * (work.one.node[i] - node[i])
                work.rhs[i] = net.capacity[i] * held + gh * sun[i]
        add_outside(
            net, work.films, outdoor, weather.wet_bulb[s], weather.surroundings[s], work.latent,
            gh, work.rhs,
        )  # fmt: skip
        out = work.one if s == 0 else work.two
        solve(net, work.films, work.factors, work.rhs, work.rhs_core, gh, limits, out)
