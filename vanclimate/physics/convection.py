"""Convective surface coefficients, inside and outside. Radiation is apart, in longwave.

Functions take floats or arrays and run inside the simulation loop.
"""

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.branch import Floats, choose
from vanclimate.physics.roots import cube_root

VERTICAL = 0
FLOOR = 1
"""Inside: a horizontal surface that faces up."""
CEILING = 2
"""Inside: a horizontal surface that faces down."""
ROOF = 1
"""Outside: a surface that faces up."""
UNDERSIDE = 2
"""Outside: a surface that faces down to the ground."""


@register_jitable
def inside_film(difference: Floats, kind: Floats) -> Floats:
    """Natural convection between a surface and the air of a zone.

    Vertical: 1.31 |ΔT|^(1/3). Horizontal, unstable (warm floor or cold ceiling): 1.52 |ΔT|^(1/3).
    Horizontal, stable: 0.59 (|ΔT|/L)^(1/4) with L = 2 m, about a van's width.

    Parameters
    ----------
    difference : float or array [K], surface minus air
    kind : int or array, 0 vertical, 1 floor, 2 ceiling

    Returns
    -------
    float or array [W/m²K], never below 0.1: at no difference the formulae give no exchange at all,
    yet some air always moves in a lived-in zone, and a node with no conductance would hang free

    References
    ----------
    Simplified forms for air, McAdams 1954, Heat Transmission, as repeated in ASHRAE Fundamentals,
    from memory; turbulent forms hold for surfaces of about 1 m and more.
    """
    size = np.abs(difference)
    root = cube_root(size)
    stable = 0.59 * np.sqrt(np.sqrt(size / 2.0))
    upward = choose(kind == CEILING, -difference, difference)
    horizontal = choose(upward > 0.0, 1.52 * root, stable)
    return np.maximum(choose(kind == VERTICAL, 1.31 * root, horizontal), 0.1)


@register_jitable
def outside_film(difference: Floats, wind: Floats, kind: Floats) -> Floats:
    """Combined natural and forced convection on a smooth outside surface.

    sqrt((0.84 |ΔT|^(1/3))² + (a v^b)²), a 3.26 and b 0.89 to windward, a 3.55 and b 0.617 to
    leeward.

    Assumed: a parked van's headings to the wind are not known, so every surface takes the mean of
    the windward and the leeward value, the roof too (the measurements were on vertical glass);
    under the floor the wind is taken as half.

    Parameters
    ----------
    difference : float or array [K], surface minus air
    wind : float or array [m/s] at 10 m height, up to about 12
    kind : int or array, 0 vertical, 1 roof, 2 underside

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    Yazdanian and Klems 1994, ASHRAE Transactions 100(1): measured on an outdoor test rig the size
    of a trailer with the wind at 10 m; coefficients from memory of the paper.
    """
    windward, leeward = forced_squares(wind * choose(kind == UNDERSIDE, UNDER_WIND, 1.0))
    return mixed_film(difference, windward, leeward, 0.5)


ROUGHNESS = {"glass or paint": 1.0, "smooth plaster": 1.11, "pine": 1.13, "concrete": 1.52,
             "brick or rough plaster": 1.67, "stucco": 2.17}  # fmt: skip
"""Forced convection on a rougher surface, as a multiple of that on glass; ASHRAE literature, from
memory. Painted metal counts as smooth as glass."""

UNDER_WIND = 0.5
"""Share of the wind that blows under the floor; assumed."""


@register_jitable
def forced_squares(wind: Floats) -> tuple[Floats, Floats]:
    """Squares of the forced coefficients to windward and leeward, see `outside_film`.

    Parameters
    ----------
    wind : float or array [m/s]

    Returns
    -------
    windward, leeward : float or array [(W/m²K)²]
    """
    speed = np.maximum(wind, 0.0)
    return (3.26 * speed**0.89) ** 2, (3.55 * speed**0.617) ** 2


@register_jitable
def mixed_film(difference: Floats, windward: Floats, leeward: Floats, share: Floats) -> Floats:
    """Natural convection with each of two forced squares, and their mean, see `outside_film`.

    Parameters
    ----------
    difference : float or array [K], surface minus air
    windward, leeward : float or array [(W/m²K)²], of `forced_squares`
    share : float or array [0..1], of the windward value; 0.5 where the wind's side is not known

    Returns
    -------
    float or array [W/m²K]
    """
    natural = (0.84 * cube_root(np.abs(difference))) ** 2
    to_lee = np.sqrt(natural + leeward)
    return to_lee + share * (np.sqrt(natural + windward) - to_lee)


def outside_film_iso6946(wind: Floats) -> Floats:
    """Convective coefficient outside by wind speed at the surface: 4 + 4 v. For comparison only.

    Parameters
    ----------
    wind : float or array [m/s], beside the surface

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    ISO 6946:2017 annex C.
    """
    return 4.0 + 4.0 * wind


@register_jitable
def blown_film(changes: Floats, kind: Floats) -> Floats:
    """Forced convection at a zone's inside faces while a blower stirs its air.

    Walls 0.19 N^0.8, floor 0.13 N^0.8, ceiling 0.49 N^0.8, with N the air changes per hour through
    the blower, are measured against the supply air. Against the room's air, which the surfaces
    have warmed, they are larger by 1 / (1 − 1.33 N^−0.2): by the heat balance of the test room,
    4.6 × 2.7 × 2.7 m, the sum of film times area over what the air flow carries.

    Parameters
    ----------
    changes : float or array [1/h], blower flow over zone volume; held within 12 and 100, nothing
        below 3
    kind : int or array, 0 vertical, 1 floor, 2 ceiling

    Returns
    -------
    float or array [W/m²K], to the zone's air

    References
    ----------
    Fisher and Pedersen 1997, ASHRAE Transactions 103(2), radial ceiling diffusers, 3 to 100 air
    changes an hour; correlations and room from memory, the conversion is ours. A roof unit with its
    vents in the ceiling is taken to act alike (assumed); the sheet's ``stirring`` multiplies it.
    """
    held = np.minimum(np.maximum(changes, 12.0), 100.0)
    to_supply = choose(kind == 0, 0.19, choose(kind == 1, 0.13, 0.49)) * held**0.8
    return choose(changes < 3.0, 0.0, to_supply / (1.0 - 1.33 * held**-0.2))
