"""Conductances over one step: links by temperature, films of outer and inner faces.

Frozen over a step at temperatures extrapolated to its middle. Not here: the formulae (``physics``)
and the step itself (``thermal``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import IN_CEILING, IN_FLOOR, IN_VERTICAL
from vanclimate.physics.air import KELVIN
from vanclimate.physics.conduction import air_layer_conductance, conductivity_factor
from vanclimate.physics.convection import (
    blown_film,
    forced_squares,
    inside_film,
    mixed_film,
    plate_film,
    stirred_film,
)
from vanclimate.physics.longwave import STEFAN_BOLTZMANN, radiative_coefficient
from vanclimate.physics.wetting import wet_film
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.lanes import Lanes

Array = NDArray[np.float64]
FIXED_FILM = 25.0  # W/m2K between an outer face and a boundary of fixed temperature, ISO 6946 Rse
LEAST_STIRRED = 0.05  # m/s along the faces, below which natural convection alone counts


class Films(NamedTuple):
    """Conductances of each lane's two faces and of its links [W/K], frozen over a step."""

    out_convective: Array  # (lanes,)
    out_radiant: Array
    in_convective: Array
    in_radiant: Array
    wet_offset: Array  # (lanes,) K by which a wet face's evaporation shifts what it works against
    link: Array  # (nodes,)
    link_given: Array  # (nodes,) with the covers in place, before it follows temperature
    air: Array  # (lanes,) °C of what each inside face meets at mid-step
    star: Array
    skin: Array  # (lanes,) °C of each outer face then
    emitted: Array  # (faces,) W/m2 as black, of `Lanes.face`
    exchanged: Array  # (faces,) W that radiation brings each face beyond the star's


@part_of_loop
def set_covers(net: Lanes, films: Films, covered: Array) -> None:
    """Write the links for the covers in place; ``covered`` is by chain of the network."""
    for i in range(len(net.lane_of_node)):
        shut = covered[net.chain[net.lane_of_node[i]]] > 0.0
        given = net.link_covered[i] if shut else net.link[i]
        films.link_given[i] = given
        films.link[i] = given


@part_of_loop
def set_links(net: Lanes, films: Films, node: Array) -> None:
    """Write the links that follow temperature for the given ones."""
    for j in range(len(net.solid)):
        i = net.solid[j]
        mean = 0.5 * (node[i] + node[net.solid_inward[j]])
        films.link[i] = films.link_given[i] * conductivity_factor(net.solid_slope[j], mean)
    for j in range(len(net.gap)):
        i = net.gap[j]
        outer, inner = node[i], node[net.gap_inward[j]]
        films.link[i] = net.gap_area[j] * air_layer_conductance(
            net.gap_width[j], net.gap_exchange[j], net.gap_up[j] * (inner - outer),
            0.5 * (inner + outer), inner - outer,
        )  # fmt: skip


@part_of_loop
def set_films(
    net: Lanes, films: Films, node: Array, ahead: Array, outdoor: float, surroundings: Array,
    windward: Array, wind: float, wet_bulb: float, pressure: float, stirred: Array,
    blown: float, stirring: float,
) -> None:  # fmt: skip
    """Write the film conductances for the given temperatures into ``films``.

    ``ahead`` (2, zones) are air and star. ``stirred`` [m/s] is how fast a fan drives each zone's
    air along its faces. ``blown`` [1/h] are the living space's air changes through a running
    blower; the greater of natural and forced convection counts there, the forced one times
    ``stirring``.
    """
    for k in range(len(net.area)):
        films.air[k] = ahead[0, net.zone[k]]
        films.star[k] = ahead[1, net.zone[k]]
        films.skin[k] = node[net.outer[k]]
    outside_films(net, films, outdoor, surroundings, windward, wind)
    other_sides(net, films, ahead, wet_bulb, pressure)
    for k in range(len(net.area)):
        films.in_convective[k] = inside_film(node[k] - films.air[k], net.inside[k], net.size[k])
    stir(net, films, stirred)
    if blown > 0.0:
        blow(net, films, blown, stirring)
    for k in range(len(net.area)):
        films.in_convective[k] *= net.area[k]
        films.in_radiant[k] = net.radiant_area[k] * radiative_coefficient(
            node[k], films.star[k], 1.0
        )
    set_exchange(net, films, node)


@part_of_loop
def set_exchange(net: Lanes, films: Films, node: Array) -> None:
    """Set what faces exchange beyond what goes by the star: Σ D σ (T_j⁴ − T_i⁴), rows summing to 0.

    It is a few per cent of the whole, so it is taken at the temperatures given, as heat.
    """
    emitted, exchanged = films.emitted, films.exchanged
    for i in range(len(emitted)):
        kelvin = node[net.face[i]] + KELVIN
        emitted[i] = STEFAN_BOLTZMANN * kelvin * kelvin * kelvin * kelvin
        exchanged[i] = 0.0
    for z in range(len(net.first_face) - 1):
        a, b = net.first_face[z], net.first_face[z + 1]
        for j in range(a, b):
            for i in range(a, b):
                exchanged[i] += net.exchange[j, i] * emitted[j]


@part_of_loop
def outside_films(
    net: Lanes, films: Films, outdoor: float, surroundings: Array, windward: Array, wind: float
) -> None:
    """Write the films of the faces outdoors; nothing for those that meet something else."""
    windy, lee = forced_squares(wind)
    for k in range(len(net.area)):
        films.out_convective[k] = net.exposed[k] * mixed_film(
            films.skin[k] - outdoor, net.to_windward[k] * windy, net.to_leeward[k] * lee,
            windward[k], net.facing[k],
        )  # fmt: skip
    for k in range(len(net.area)):
        films.out_radiant[k] = radiative_coefficient(
            films.skin[k], surroundings[k], net.emitting[k]
        )


@part_of_loop
def other_sides(net: Lanes, films: Films, ahead: Array, wet_bulb: float, pressure: float) -> None:
    """Write the films of outer faces that are wet, held at a temperature, or in another zone."""
    for k in net.wet:
        factor, films.wet_offset[k] = wet_film(films.skin[k], wet_bulb, pressure)
        films.out_convective[k] *= factor
    for k in net.fixed:
        films.out_convective[k] = FIXED_FILM * net.area[k]
    for j in range(len(net.between)):
        k, y = net.between[j], net.beyond[j]
        film = inside_film(films.skin[k] - ahead[0, y], net.inside_beyond[j], net.size[k])
        films.out_convective[k] = net.area[k] * film
        films.out_radiant[k] = net.radiant_beyond[j] * radiative_coefficient(
            films.skin[k], ahead[1, y], 1.0
        )


@part_of_loop
def stir(net: Lanes, films: Films, stirred: Array) -> None:
    """Add what fans do along the inside faces; the power is taken once a zone."""
    for z in range(len(stirred)):
        if stirred[z] > LEAST_STIRRED:
            along = plate_film(stirred[z])
            for k in range(len(net.area)):
                forced = along * net.length_factor[k] if net.zone[k] == z else 0.0
                films.in_convective[k] = stirred_film(films.in_convective[k], forced)


@part_of_loop
def blow(net: Lanes, films: Films, blown: float, stirring: float) -> None:
    """Let the blower's convection count in the living space where it is the greater."""
    wall = stirring * blown_film(blown, IN_VERTICAL)
    floor = stirring * blown_film(blown, IN_FLOOR)
    ceiling = stirring * blown_film(blown, IN_CEILING)
    for k in range(len(net.area)):
        if net.zone[k] == 0:
            kind = net.inside[k]
            film = wall if kind == IN_VERTICAL else (floor if kind == IN_FLOOR else ceiling)
            films.in_convective[k] = max(films.in_convective[k], film)


@part_of_loop
def set_outside_sources(
    net: Lanes, films: Films, outdoor: float, wet_bulb: float, surroundings: Array, change: Array,
    fraction: float, source: Array,
) -> None:  # fmt: skip
    """Write into ``source`` (lanes,) what its outer face would get if it were at 0 °C [W].

    Film times temperature, of outdoor air and of ``surroundings`` a ``fraction`` of their
    ``change`` later; nothing where it meets another zone.
    """
    for k in range(len(net.area)):
        around = surroundings[k] + change[k] * fraction
        source[k] = films.out_convective[k] * outdoor + films.out_radiant[k] * around
    for k in net.wet:
        bulb = wet_bulb + films.wet_offset[k]
        source[k] += films.out_convective[k] * (bulb - outdoor)
    for j in range(len(net.fixed)):
        source[net.fixed[j]] = films.out_convective[net.fixed[j]] * net.fixed_temp[j]
    for k in net.between:
        source[k] = 0.0
