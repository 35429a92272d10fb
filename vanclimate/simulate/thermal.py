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

from vanclimate.network.compile import OUT_FIXED, OUT_NONE, OUT_UNDER, Network
from vanclimate.physics.convection import (
    UNDER_WIND,
    blown_film,
    forced_squares,
    inside_film,
    mixed_film,
)
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

    inverse: Array  # (nodes,) of the pivots
    ratio: Array  # (nodes,) of what a node passes on to the next one, forwards and back
    core: Array  # (3,) air-air, air-star, star-star


class Stage(NamedTuple):
    """Node temperatures at a stage; ``zone`` holds air and star temperature and plant heat."""

    node: Array
    zone: Array  # (3,)


@register_jitable
def set_films(
    net: Network, films: Films, node: Array, air: float, star: float, outdoor: float,
    surroundings: Array, wind: float, blown: float, stirring: float,
) -> None:  # fmt: skip
    """Write the film conductances for the given temperatures into ``films``.

    ``blown`` [1/h] are the air changes through a running blower; the greater of natural and forced
    convection counts, the forced one times ``stirring``.
    """
    windward, leeward = forced_squares(wind)
    under_windward, under_leeward = forced_squares(UNDER_WIND * wind)
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
            if kind == OUT_UNDER:
                film = mixed_film(outer - outdoor, under_windward, under_leeward)
            else:
                rough = net.roughness[k] * net.roughness[k]
                film = mixed_film(outer - outdoor, rough * windward, rough * leeward)
            films.out_convective[k] = net.area[k] * film
            films.out_radiant[k] = net.area[k] * radiative_coefficient(
                outer, surroundings[k], net.emissivity[k]
            )
        film = inside_film(inner - air, net.inside[k])
        if blown > 0.0:
            film = max(film, stirring * blown_film(blown, net.inside[k]))
        films.in_convective[k] = net.area[k] * film
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
            after = link
            if i == b - 1:
                after = films.in_convective[k] + films.in_radiant[k]
            fac.inverse[i] = 1.0 / (net.capacity[i] + gh * (before + after) - carried)
            fac.ratio[i] = gh * link * fac.inverse[i]
            carried = gh * link * fac.ratio[i]
            before = link
        c, r = gh * films.in_convective[k], gh * films.in_radiant[k]
        d = fac.inverse[b - 1]
        a11 += c - c * c * d
        a12 -= c * r * d
        a22 += r - r * r * d
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
            rhs[i + 1] += fac.ratio[i] * rhs[i]
        w = rhs[b - 1] * fac.inverse[b - 1]
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
        ) * fac.inverse[i]
        for j in range(b - 2, a - 1, -1):
            out.node[j] = rhs[j] * fac.inverse[j] + fac.ratio[j] * out.node[j + 1]
    out.zone[0], out.zone[1], out.zone[2] = air, star, plant


@register_jitable
def add_outside(
    net: Network, films: Films, outdoor: float, surroundings: Array, latent: Array, gh: float,
    rhs: Array,
) -> None:  # fmt: skip
    """Add to ``rhs`` what air and surroundings bring to outer faces and condensing water to inner.

    Outdoors that is film times temperature; an inner face on which water condenses or dries
    takes or gives its latent heat.
    """
    for k in range(len(net.area)):
        beyond = net.fixed_temp[k] if net.outside[k] == OUT_FIXED else outdoor
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
        carried = air
        if s == 0:
            for i in range(len(node)):
                work.rhs[i] = net.capacity[i] * node[i] + gh * sun[i]
        else:
            for i in range(len(node)):
                held = node[i] + back * (work.one.node[i] - node[i])
                work.rhs[i] = net.capacity[i] * held + gh * sun[i]
            carried += back * (work.one.zone[0] - air)
        add_outside(net, work.films, outdoor, weather.surroundings[s], work.latent, gh, work.rhs)
        rhs_air = air_capacity * carried + gh * (air_gain + ventilation * outdoor)
        out = work.one if s == 0 else work.two
        solve(net, work.films, work.factors, work.rhs, rhs_air, star_gain, gh, limits, out)
