"""One step of the thermal network: elimination, the two stages.

The scheme is SDIRK2 with γ = 1 − 1/√2: L-stable, second order, one factorisation for two solves.
Each lane is eliminated from outside to inside; what is left are air and radiant star of each
zone, a small dense system. Fluxes are weighted by the scheme's own stages, so the balance closes
to rounding. Not here: conductances (``films``), what is switched (``controls``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from vanclimate.simulate import of_zone as of
from vanclimate.simulate.dense import eliminate, substitute
from vanclimate.simulate.films import Array, Films, set_outside_sources
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.lanes import Lanes
from vanclimate.simulate.plant import hold_air

GAMMA = 1.0 - 1.0 / np.sqrt(2.0)


class Factors(NamedTuple):
    """The eliminated network: what both stages of a step share."""

    inverse: Array  # (nodes,) of the pivots
    ratio: Array  # (nodes,) of what a node passes on to the next one, inwards and back
    from_air: Array  # (lanes,) of an inside face's temperature that is its air's
    from_star: Array
    core: Array  # (2 zones, 2 zones) air and star of each zone
    lower: Array  # the same, eliminated
    column: Array  # (2 zones,) scratch: what heat into one zone's air does


class Stage(NamedTuple):
    """Temperatures at a stage."""

    node: Array
    core: Array  # (2 zones + 1,) air of each zone, star of each, W of the plant


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


@part_of_loop
def fold_in(net: Lanes, films: Films, fac: Factors, j: int, gh: float) -> None:
    """Fold an eliminated partition, ``between[j]``, into the core where it meets the zone beyond.

    ``far`` and ``across`` are entries of its inverse, at its outer end and between its ends.
    """
    n, k = len(fac.core) // 2, net.between[j]
    z, y = net.zone[k], net.beyond[j]
    far = fac.inverse[k]
    across = far
    for m in range(1, net.depth[k]):
        i = net.level[m] + np.uint64(k)
        far = fac.inverse[i] + fac.ratio[i] * fac.ratio[i] * far
        across *= fac.ratio[i]
    c, r = gh * films.in_convective[k], gh * films.in_radiant[k]
    e, s = gh * films.out_convective[k], gh * films.out_radiant[k]
    core = fac.core
    core[y, y] += e - e * e * far
    core[y, n + y] -= e * s * far
    core[n + y, y] -= e * s * far
    core[n + y, n + y] += s - s * s * far
    for a, inner in ((z, c), (n + z, r)):
        for b, outer in ((y, e), (n + y, s)):
            core[a, b] -= inner * outer * across
            core[b, a] -= inner * outer * across


@part_of_loop
def factorise(
    net: Lanes, films: Films, fac: Factors, zones: Array, air_capacity: Array, gh: float
) -> None:
    """Eliminate every lane for a step of γh = ``gh`` [s], then the zones."""
    n, lanes = len(air_capacity), len(net.area)
    inverse, ratio = fac.inverse, fac.ratio
    core_of_zones(fac.core, zones, air_capacity, gh)
    for i in range(len(inverse)):
        inverse[i] = net.capacity[i] + gh * films.link[i]
    for k in range(lanes):
        inverse[net.outer[k]] += gh * (films.out_convective[k] + films.out_radiant[k])
    for j in range(len(net.level) - 2, 0, -1):
        a, b = net.level[j], net.level[j + 1]
        inward = a - net.level[j - 1]
        for i in range(a, b):
            link = gh * films.link[i]
            inverse[i] = 1.0 / inverse[i]
            ratio[i] = link * inverse[i]
            inverse[i - inward] += link * (1.0 - ratio[i])
    for k in range(lanes):
        c, r = gh * films.in_convective[k], gh * films.in_radiant[k]
        inverse[k] = 1.0 / (inverse[k] + c + r)
        fac.from_air[k], fac.from_star[k] = c * inverse[k], r * inverse[k]
    for z in range(n):
        air, between, star = 0.0, 0.0, 0.0
        for i in range(net.first_face[z], net.end_inner[z]):
            k = net.face[i]
            c, r = gh * films.in_convective[k], gh * films.in_radiant[k]
            air += c * (1.0 - fac.from_air[k])
            between += c * fac.from_star[k]
            star += r * (1.0 - fac.from_star[k])
        fac.core[z, z] += air
        fac.core[z, n + z] -= between
        fac.core[n + z, z] -= between
        fac.core[n + z, n + z] += star
    for j in range(len(net.between)):
        fold_in(net, films, fac, j, gh)
    for i in range(2 * n):
        for j in range(2 * n):
            fac.lower[i, j] = fac.core[i, j]
    eliminate(fac.lower)


@part_of_loop
def solve(
    net: Lanes, films: Films, fac: Factors, rhs: Array, rhs_core: Array, gh: float,
    plant: Array, out: Stage,
) -> None:  # fmt: skip
    """Solve one stage; ``rhs`` and ``rhs_core`` are overwritten.

    ``plant`` is what may hold a zone's air, see ``plant``.
    """
    n, lanes = len(rhs_core) // 2, len(net.area)
    core, node = out.core, out.node
    for j in range(len(net.level) - 2, 0, -1):
        a, b = net.level[j], net.level[j + 1]
        inward = a - net.level[j - 1]
        for i in range(a, b):
            rhs[i - inward] += fac.ratio[i] * rhs[i]
    for z in range(n):
        air, star = 0.0, 0.0
        for i in range(net.first_face[z], net.end_inner[z]):
            k = net.face[i]
            air += fac.from_air[k] * rhs[k]
            star += fac.from_star[k] * rhs[k]
        rhs_core[z] += air
        rhs_core[n + z] += star
    for j in range(len(net.between)):
        give_beyond(net, films, fac, j, gh, rhs, rhs_core)
    solve_core(fac, rhs_core, gh, plant, core)
    for j in range(len(net.between)):
        take_from_beyond(net, films, fac, j, gh, rhs, core)
    for k in range(lanes):
        z = net.zone[k]
        node[k] = (
            rhs[k] * fac.inverse[k] + fac.from_air[k] * core[z] + fac.from_star[k] * core[n + z]
        )
    for j in range(1, len(net.level) - 1):
        a, b = net.level[j], net.level[j + 1]
        inward = a - net.level[j - 1]
        for i in range(a, b):
            node[i] = rhs[i] * fac.inverse[i] + fac.ratio[i] * node[i - inward]


@part_of_loop
def give_beyond(
    net: Lanes, films: Films, fac: Factors, j: int, gh: float, rhs: Array, rhs_core: Array
) -> None:
    """Add what an eliminated partition, ``between[j]``, brings to the zone beyond it."""
    n, k, y = len(rhs_core) // 2, net.between[j], net.beyond[j]
    w = rhs[k] * fac.inverse[k]
    for m in range(1, net.depth[k]):
        i = net.level[m] + np.uint64(k)
        w = rhs[i] * fac.inverse[i] + fac.ratio[i] * w
    rhs_core[y] += gh * films.out_convective[k] * w
    rhs_core[n + y] += gh * films.out_radiant[k] * w


@part_of_loop
def take_from_beyond(
    net: Lanes, films: Films, fac: Factors, j: int, gh: float, rhs: Array, core: Array
) -> None:
    """Add to a partition's nodes what the zone beyond, now known, brings to them."""
    n, k, y = len(core) // 2, net.between[j], net.beyond[j]
    brought = gh * (films.out_convective[k] * core[y] + films.out_radiant[k] * core[n + y])
    for m in range(net.depth[k] - 1, 0, -1):
        i = net.level[m] + np.uint64(k)
        rhs[i] += brought
        brought *= fac.ratio[i]
    rhs[k] += brought


@part_of_loop
def solve_core(fac: Factors, rhs_core: Array, gh: float, plant: Array, x: Array) -> None:
    """Solve for air and star of each zone, and for the plant where it acts, into ``x``."""
    n = len(rhs_core)
    for i in range(n):
        x[i] = rhs_core[i]
    substitute(fac.lower, x, n)
    hold_air(fac.lower, gh, plant, x, fac.column)


class Work(NamedTuple):
    """Scratch arrays of a run, so that the loop allocates nothing."""

    films: Films
    factors: Factors
    one: Stage
    two: Stage
    rhs: Array  # (nodes,)
    given: Array  # (nodes,) J: γh times the power that is the same in both stages
    source: Array  # (2, lanes) W that outdoors brings to each outer face, at both stages
    latent: Array  # (lanes,) W of condensing, drying, freezing and melting
    ahead: Array  # (2, zones) °C of air and star at mid-step
    rhs_core: Array  # (2 zones,)
    mean: Array  # (2 zones,) °C of air and star over the step


class Weather(NamedTuple):
    """The outside over an hour, at the middle of a step and at its two stages."""

    outdoor: Array  # (2,) °C
    wet_bulb: Array  # (2,) °C
    fraction: Array  # (2,) of the hour
    surroundings: Array  # (lanes,) °C at the hour's start
    change: Array  # (lanes,) K over the hour
    windward: Array  # (lanes,)
    around: Array  # (lanes,) °C of the surroundings at mid-step


@part_of_loop
def take_stages(
    net: Lanes, work: Work, node: Array, zones: Array, sun: Array, weather: Weather,
    air_capacity: Array, plant: Array, h: float,
) -> None:  # fmt: skip
    """Advance node, air and star temperatures by ``h`` [s] once the step is factorised.

    The stages are left in ``work``. The zones' ``air_gain`` [W] goes into the air, ``star_gain``
    [W] to the inside faces by radiation, ``ventilation`` [W/K] couples the air to outdoors. An
    inner face on which water condenses or dries takes or gives its ``latent`` heat, and faces of a
    room exchange by radiation what the star leaves out (``films.exchanged``).
    """
    gh = GAMMA * h
    n, rhs = len(air_capacity), work.rhs
    for i in range(len(rhs)):
        work.given[i] = gh * sun[i]
    for k in range(len(net.area)):
        work.given[k] += gh * work.latent[k]
    for i in range(len(net.face)):
        work.given[net.face[i]] += gh * work.films.exchanged[i]
    for s in range(2):
        # the first stage starts from the state itself, so its share of the first stage is none
        back = (1.0 - GAMMA) / GAMMA if s == 1 else 0.0
        for z in range(n):
            air = zones[of.AIR, z]
            carried = air + back * (work.one.core[z] - air)
            brought = zones[of.AIR_GAIN, z] + zones[of.VENTILATION, z] * weather.outdoor[s]
            work.rhs_core[z] = air_capacity[z] * carried + gh * brought
            work.rhs_core[n + z] = gh * zones[of.STAR_GAIN, z]
        for i in range(len(rhs)):
            held = node[i] + back * (work.one.node[i] - node[i])
            rhs[i] = net.capacity[i] * held + work.given[i]
        source = work.source[s]
        set_outside_sources(
            net, work.films, weather.outdoor[s], weather.wet_bulb[s], weather.surroundings,
            weather.change, weather.fraction[s], source,
        )  # fmt: skip
        for k in range(len(net.area)):
            rhs[net.outer[k]] += gh * source[k]
        out = work.one if s == 0 else work.two
        solve(net, work.films, work.factors, rhs, work.rhs_core, gh, plant, out)
