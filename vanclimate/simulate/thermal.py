"""One step of the thermal network: film coefficients, elimination, the two stages.

The scheme is SDIRK2 with γ = 1 − 1/√2: L-stable, second order, one factorisation for two solves.
Each chain is eliminated from outside to inside; what is left are the air and the radiant star.
Fluxes are weighted by the scheme's own stages, so the balance closes to rounding.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable
from numpy.typing import NDArray

from vanclimate.network.compile import OUT_FIXED, OUT_NONE, OUT_ROOF, OUT_UNDER, Network
from vanclimate.physics.convection import blown_film, inside_film, outside_film
from vanclimate.physics.longwave import radiative_coefficient

Array = NDArray[np.float64]
GAMMA = 1.0 - 1.0 / np.sqrt(2.0)
FIXED_FILM = 25.0  # W/m2K between an outer face and a boundary of fixed temperature, ISO 6946 Rse


class Films(NamedTuple):
    """Conductances of each chain's two faces [W/K], frozen over a step."""

    out_convective: Array
    out_radiant: Array
    in_convective: Array
    in_radiant: Array


class Factors(NamedTuple):
    """The eliminated network: what both stages of a step share."""

    pivot: Array  # (nodes,)
    link: Array  # (nodes,) W/K in use
    core: Array  # (4,) air-air, air-star, star-star, spare


class Stage(NamedTuple):
    """Node temperatures at a stage; ``zone`` holds air and star temperature and plant heat."""

    node: Array
    zone: Array  # (3,)


@register_jitable
def set_films(
    net: Network, films: Films, node: Array, air: float, star: float, outdoor: float,
    surroundings: Array, wind: float, blown: float,
) -> None:  # fmt: skip
    """Write the film conductances for the given temperatures into ``films``.

    ``blown`` [1/h] are the air changes through a running blower; the greater of natural and forced
    convection counts.
    """
    for k in range(len(net.area)):
        outer = node[net.first[k]]
        inner = node[net.first[k + 1] - 1]
        kind = net.outside[k]
        if kind == OUT_NONE:
            films.out_convective[k] = 0.0
            films.out_radiant[k] = 0.0
        elif kind == OUT_FIXED:
            films.out_convective[k] = FIXED_FILM * net.area[k]
            films.out_radiant[k] = 0.0
        else:
            side = 0
            if kind == OUT_ROOF:
                side = 1
            elif kind == OUT_UNDER:
                side = 2
            films.out_convective[k] = net.area[k] * outside_film(outer - outdoor, wind, side)
            films.out_radiant[k] = net.area[k] * radiative_coefficient(
                outer, surroundings[k], net.emissivity[k]
            )
        still = inside_film(inner - air, net.inside[k])
        films.in_convective[k] = net.area[k] * max(still, blown_film(blown, net.inside[k]))
        films.in_radiant[k] = net.radiant_area[k] * radiative_coefficient(inner, star, 1.0)


@register_jitable
def factorise(
    net: Network, films: Films, fac: Factors, covered: Array, air_capacity: float,
    ventilation: float, gh: float,
) -> None:  # fmt: skip
    """Eliminate every chain for a step of γh = ``gh`` [s]."""
    a11 = air_capacity + gh * ventilation
    a12 = 0.0
    a22 = 0.0
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        before = films.out_convective[k] + films.out_radiant[k]
        carried = 0.0
        for i in range(a, b):
            link = net.link_covered[i] if covered[k] > 0.0 else net.link[i]
            after = link if i < b - 1 else films.in_convective[k] + films.in_radiant[k]
            fac.link[i] = link
            fac.pivot[i] = net.capacity[i] + gh * (before + after) - carried
            if i < b - 1:
                carried = (gh * link) ** 2 / fac.pivot[i]
                before = link
        c, r = gh * films.in_convective[k], gh * films.in_radiant[k]
        d = fac.pivot[b - 1]
        a11 += c - c * c / d
        a12 -= c * r / d
        a22 += r - r * r / d
    fac.core[0], fac.core[1], fac.core[2] = a11, a12, a22


@register_jitable
def solve(
    net: Network, films: Films, fac: Factors, rhs: Array, rhs_air: float, star_gain: float,
    gh: float, limits: Array, out: Stage,
) -> None:  # fmt: skip
    """Solve one stage; ``rhs`` is overwritten.

    ``limits`` are the ideal plant's heating and cooling temperatures [°C] (NaN for none): where
    the free air temperature falls outside, the plant's heat [W] that holds it is found.
    """
    r1 = rhs_air
    r2 = gh * star_gain
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        for i in range(a, b - 1):
            rhs[i + 1] += gh * fac.link[i] / fac.pivot[i] * rhs[i]
        w = rhs[b - 1] / fac.pivot[b - 1]
        r1 += gh * films.in_convective[k] * w
        r2 += gh * films.in_radiant[k] * w
    a11, a12, a22 = fac.core[0], fac.core[1], fac.core[2]
    air = (r1 * a22 - r2 * a12) / (a11 * a22 - a12 * a12)
    plant = 0.0
    held = np.nan
    if air < limits[0]:
        held = limits[0]
    elif air > limits[1]:
        held = limits[1]
    if held == held:
        air = held
        plant = (a11 * air + a12 * (r2 - a12 * air) / a22 - r1) / gh
    star = (r2 - a12 * air) / a22
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        i = b - 1
        out.node[i] = (
            rhs[i] + gh * (films.in_convective[k] * air + films.in_radiant[k] * star)
        ) / fac.pivot[i]
        for j in range(b - 2, a - 1, -1):
            out.node[j] = (rhs[j] + gh * fac.link[j] * out.node[j + 1]) / fac.pivot[j]
    out.zone[0], out.zone[1], out.zone[2] = air, star, plant


@register_jitable
def source(
    net: Network, films: Films, sun: Array, latent: Array, outdoor: float, surroundings: Array,
    out: Array,
) -> None:  # fmt: skip
    """Write the heat [W] that reaches each node from outside the network, at its stage time."""
    for i in range(len(net.capacity)):
        out[i] = sun[i]
    for k in range(len(net.area)):
        beyond = net.fixed_temp[k] if net.outside[k] == OUT_FIXED else outdoor
        out[net.first[k]] += films.out_convective[k] * beyond
        out[net.first[k]] += films.out_radiant[k] * surroundings[k]
        out[net.first[k + 1] - 1] += latent[k]


class Work(NamedTuple):
    """Scratch arrays of a run, so that the loop allocates nothing."""

    films: Films
    factors: Factors
    one: Stage
    two: Stage
    source: Array
    rhs: Array
    latent: Array


class Weather(NamedTuple):
    """The outside at the two stages of a step."""

    outdoor: Array  # (2,) °C
    surroundings: Array  # (2, chains) °C


@register_jitable
def step(
    net: Network, work: Work, node: Array, air: float, sun: Array, weather: Weather,
    covered: Array, air_capacity: float, ventilation: float, air_gain: float, star_gain: float,
    limits: Array, h: float,
) -> None:  # fmt: skip
    """Advance node and air temperatures by ``h`` [s]; the stages are left in ``work``.

    ``air_gain`` [W] goes into the air, ``star_gain`` [W] to the inside faces by radiation,
    ``ventilation`` [W/K] couples the air to outdoors.
    """
    gh = GAMMA * h
    factorise(net, work.films, work.factors, covered, air_capacity, ventilation, gh)
    back = (1.0 - GAMMA) / GAMMA
    for s in range(2):
        outdoor = weather.outdoor[s]
        source(net, work.films, sun, work.latent, outdoor, weather.surroundings[s], work.source)
        for i in range(len(node)):
            carried = node[i] if s == 0 else node[i] + back * (work.one.node[i] - node[i])
            work.rhs[i] = net.capacity[i] * carried + gh * work.source[i]
        carried = air if s == 0 else air + back * (work.one.zone[0] - air)
        rhs_air = air_capacity * carried + gh * (air_gain + ventilation * outdoor)
        out = work.one if s == 0 else work.two
        solve(net, work.films, work.factors, work.rhs, rhs_air, star_gain, gh, limits, out)
