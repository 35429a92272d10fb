"""One step of the thermal network: links, film coefficients, elimination, the two stages.

The scheme is SDIRK2 with γ = 1 − 1/√2: L-stable, second order, one factorisation for two solves.
Each chain is eliminated from outside to inside; what is left are air and radiant star of each
zone, a small dense system. Fluxes are weighted by the scheme's own stages, so the balance closes
to rounding. Not here: the films themselves (``physics``), what is switched (``controls``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable
from numpy.typing import NDArray

from vanclimate.network.compile import (
    IN_CEILING,
    IN_FLOOR,
    IN_VERTICAL,
    OUT_FIXED,
    OUT_NONE,
    OUT_UNDER,
    OUT_WALL,
    OUT_WET,
    OUT_ZONE,
    Network,
)
from vanclimate.physics.conduction import air_layer_conductance, conductivity_factor
from vanclimate.physics.convection import (
    ROOF,
    UNDER_WIND,
    UNDERSIDE,
    VERTICAL,
    blown_film,
    forced_squares,
    inside_film,
    mixed_film,
    plate_film,
    stirred_film,
)
from vanclimate.physics.longwave import radiative_coefficient
from vanclimate.physics.wetting import wet_film
from vanclimate.simulate import of_zone as of
from vanclimate.simulate.dense import eliminate, substitute
from vanclimate.simulate.jit import part_of_loop

Array = NDArray[np.float64]
GAMMA = 1.0 - 1.0 / np.sqrt(2.0)
FIXED_FILM = 25.0  # W/m2K between an outer face and a boundary of fixed temperature, ISO 6946 Rse
LEAST_STIRRED = 0.05  # m/s along the faces, below which natural convection alone counts


class Films(NamedTuple):
    """Conductances of each chain's two faces and of its links [W/K], frozen over a step."""

    out_convective: Array
    out_radiant: Array
    in_convective: Array
    in_radiant: Array
    wet_offset: Array  # (chains,) K by which a wet face's evaporation shifts what it works against
    link: Array  # (nodes,)


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
def set_links(net: Network, films: Films, covered: Array, node: Array) -> None:
    """Write the links for the covers in place and the given temperatures."""
    for k in range(len(net.area)):
        shut = covered[k] > 0.0
        for i in range(net.first[k], net.first[k + 1]):
            films.link[i] = net.link_covered[i] if shut else net.link[i]
    for j in range(len(net.vary)):
        i = net.vary[j]
        mean = 0.5 * (node[i] + node[i + 1])
        if net.gap[j] > 0.0:
            warmer_inside = node[i + 1] - node[i]
            upwards = net.gap_up[j] * warmer_inside
            films.link[i] = net.gap_area[j] * air_layer_conductance(
                net.gap[j], net.gap_exchange[j], upwards, mean, warmer_inside
            )
        else:
            films.link[i] *= conductivity_factor(net.vary_slope[j], mean)


@part_of_loop
def set_films(
    net: Network, films: Films, node: Array, ahead: Array, outdoor: float, surroundings: Array,
    windward: Array, wind: float, wet_bulb: float, pressure: float, stirred: Array,
    blown: float, stirring: float,
) -> None:  # fmt: skip
    """Write the film conductances for the given temperatures into ``films``.

    ``stirred`` [m/s] is how fast a fan drives each zone's air along its faces. ``blown`` [1/h] are
    the living space's air changes through a running blower; the greater of natural and forced
    convection counts there, the forced one times ``stirring``.
    """
    outside_films(
        net, films, node, ahead, outdoor, surroundings, windward, wind, wet_bulb, pressure
    )
    inside_films(net, films, node, ahead, stirred, blown, stirring)


@part_of_loop
def outside_films(
    net: Network, films: Films, node: Array, ahead: Array, outdoor: float, surroundings: Array,
    windward: Array, wind: float, wet_bulb: float, pressure: float,
) -> None:  # fmt: skip
    """Write the films of the outer faces; those of partitions look into the zone beyond."""
    to_windward, to_leeward = forced_squares(wind)
    under_windward, under_leeward = forced_squares(UNDER_WIND * wind)
    for k in range(len(net.area)):
        outer = node[net.first[k]]
        kind = net.outside[k]
        if kind == OUT_NONE:
            films.out_convective[k] = 0.0
            films.out_radiant[k] = 0.0
        elif kind == OUT_FIXED:
            films.out_convective[k] = FIXED_FILM * net.area[k]
            films.out_radiant[k] = 0.0
        elif kind == OUT_ZONE:
            z = net.beyond[k]
            film = inside_film(outer - ahead[0, z], net.inside_beyond[k], net.size[k])
            films.out_convective[k] = net.area[k] * film
            films.out_radiant[k] = net.radiant_beyond[k] * radiative_coefficient(
                outer, ahead[1, z], 1.0
            )
        else:
            if kind == OUT_UNDER:
                film = mixed_film(
                    outer - outdoor, under_windward, under_leeward, windward[k], UNDERSIDE
                )
            else:
                rough = net.roughness[k] * net.roughness[k]
                facing = VERTICAL if kind == OUT_WALL else ROOF
                film = mixed_film(
                    outer - outdoor, rough * to_windward, rough * to_leeward, windward[k], facing
                )
            if kind == OUT_WET:
                factor, films.wet_offset[k] = wet_film(outer, wet_bulb, pressure)
                film *= factor
            films.out_convective[k] = net.area[k] * film
            films.out_radiant[k] = net.area[k] * radiative_coefficient(
                outer, surroundings[k], net.emissivity[k]
            )


@part_of_loop
def inside_films(
    net: Network, films: Films, node: Array, ahead: Array, stirred: Array, blown: float,
    stirring: float,
) -> None:  # fmt: skip
    """Write the films of the inside faces; powers are taken once a step, not for each face."""
    wall, floor, ceiling = 0.0, 0.0, 0.0
    if blown > 0.0:
        wall = stirring * blown_film(blown, IN_VERTICAL)
        floor = stirring * blown_film(blown, IN_FLOOR)
        ceiling = stirring * blown_film(blown, IN_CEILING)
    fanned, along = -1, 0.0
    for k in range(len(net.area)):
        inner = node[net.first[k + 1] - 1]
        z, kind = net.zone[k], net.inside[k]
        film = inside_film(inner - ahead[0, z], kind, net.size[k])
        if stirred[z] > LEAST_STIRRED:
            if fanned != z:
                fanned, along = z, plate_film(stirred[z])
            film = stirred_film(film, along * net.length_factor[k])
        if blown > 0.0 and z == 0:
            blow = wall if kind == IN_VERTICAL else (floor if kind == IN_FLOOR else ceiling)
            film = max(film, blow)
        films.in_convective[k] = net.area[k] * film
        films.in_radiant[k] = net.radiant_area[k] * radiative_coefficient(inner, ahead[1, z], 1.0)


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
def beyond_face(net: Network, films: Films, k: int, outdoor: float, wet_bulb: float) -> float:
    """Return the temperature [°C] that a chain's convection works against outside."""
    fixed: float = net.fixed_temp[k]
    if net.outside[k] == OUT_FIXED:
        return fixed
    return wet_bulb + films.wet_offset[k] if net.outside[k] == OUT_WET else outdoor


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
