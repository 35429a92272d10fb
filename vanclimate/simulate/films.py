"""Conductances over one step: links by temperature, films of outer and inner faces.

Frozen over a step at temperatures extrapolated to its middle. Not here: the formulae (``physics``)
and the step itself (``thermal``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
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
from vanclimate.simulate.jit import part_of_loop

Array = NDArray[np.float64]
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
def beyond_face(net: Network, films: Films, k: int, outdoor: float, wet_bulb: float) -> float:
    """Return the temperature [°C] that a chain's convection works against outside."""
    fixed: float = net.fixed_temp[k]
    if net.outside[k] == OUT_FIXED:
        return fixed
    return wet_bulb + films.wet_offset[k] if net.outside[k] == OUT_WET else outdoor
