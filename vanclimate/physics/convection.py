"""Convective surface coefficients, inside and outside. Radiation is apart, in longwave.

Functions take floats or arrays and run inside the simulation loop. What does not belong here: which
faces look into the wind (network.surroundings) and the wind's profile (wind).
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

INSIDE_RANGE = (0.0, 50.0)
"""Difference of an inside face and the air [K] that `inside_film` is used for; its Rayleigh numbers
would reach further, but its figures are those of air near 25 °C (assumed)."""

FACE_RANGE = (0.3, 8.0)
"""Size L of a face [m] that `inside_film` is used for: at 1 K these are Rayleigh numbers of 2e6 and
5e10, well within its own (assumed)."""

WIND_RANGE = (0.0, 12.0)
"""Wind at 10 m [m/s] that `outside_film` was measured in, about; Yazdanian and Klems 1994, from
memory."""

BLOWN_RANGE = (3.0, 100.0)
"""Air changes through the blower [1/h] that `blown_film` was measured with; Fisher and Pedersen
1997, from memory."""

BLOWN_LEAST = 12.0
"""Air changes [1/h] below which `blown_film` is held: its conversion to room air runs away
towards 4 changes, where the supply air would be at the faces' temperature (assumed)."""

STIRRED_RANGE = (0.0, 1.0)
"""Speed of the air along a face [m/s] that `stirred_film` is used for: what a room's fan makes
(assumed)."""

SIZE = 2.0
"""Size of a surface where none is given [m]: about a van's height and width."""


@register_jitable
def inside_film(difference: Floats, kind: Floats, size: Floats = SIZE) -> Floats:
    """Natural convection between a surface and the air of a zone.

    With x = |ΔT|, laminar and turbulent flow joined by the sixth power of each:
    vertical ((1.5 (x/L)^(1/4))⁶ + (1.23 x^(1/3))⁶)^(1/6); horizontal and unstable (warm floor, cold
    ceiling) the same with 1.4 and 1.63; horizontal and stable 0.59 (x/L)^(1/4).

    Parameters
    ----------
    difference : float or array [K], surface minus air; see `INSIDE_RANGE`
    kind : int or array, 0 vertical, 1 floor, 2 ceiling
    size : float or array, L [m]: height of a vertical surface, four areas over the perimeter of a
        horizontal one; see `FACE_RANGE`

    Returns
    -------
    float or array [W/m²K], never below 0.1: at no difference the formulae give no exchange at all,
    yet some air always moves in a lived-in zone, and a node with no conductance would hang free

    References
    ----------
    Alamdari and Hammond 1983, Improved data correlations for buoyancy-driven convection in rooms,
    Building Services Engineering Research & Technology 4(3), for Rayleigh numbers of 1e4 to 1e12,
    and McAdams 1954, Heat Transmission, for the stable case (0.27 Ra^(1/4)); both from memory. A
    van's faces lie on both sides of where the flow turns turbulent (1 m and 1 K: Ra 9e7; 2 m and
    10 K: 7e9), so a turbulent form alone (1.31 x^(1/3), McAdams) is too low for panes and for small
    differences, by 7 to 20 %. Churchill and Chu 1975, another fit to the whole range, agrees with
    the vertical form within 9 % (tests/physics/test_convection.py).
    """
    span = np.abs(difference)
    over = span / size
    root = np.sqrt(over)
    laminar = over * root  # (x/L)^(6/4)
    turbulent = span * span
    upward = choose(kind == CEILING, -difference, difference)
    upright = kind == VERTICAL
    sixth = choose(upright, 11.390625, 7.529536) * laminar  # 1.5⁶, 1.4⁶
    sixth = sixth + choose(upright, 3.462825991689, 18.755369578009) * turbulent  # 1.23⁶, 1.63⁶
    moving = cube_root(np.sqrt(sixth))
    film = choose(upright | (upward > 0.0), moving, 0.59 * np.sqrt(root))
    return np.maximum(film, 0.1)


@register_jitable
def outside_film(difference: Floats, wind: Floats, kind: Floats, windward: Floats = 0.5) -> Floats:
    """Combined natural and forced convection on a smooth outside surface.

    sqrt(natural² + (a v^b)²), a 3.26 and b 0.89 to windward, a 3.55 and b 0.617 to leeward; natural
    as in `mixed_film`. Under the floor the wind is taken as half (assumed).

    Parameters
    ----------
    difference : float or array [K], surface minus air
    wind : float or array [m/s] at 10 m height; see `WIND_RANGE`
    kind : int or array, 0 vertical, 1 roof, 2 underside
    windward : float or array, 1 to windward, 0 to leeward, 0.5 where it is not known; for a roof
        see `ROOF_SHARE`

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    Yazdanian and Klems 1994, ASHRAE Transactions 100(1): measured on an outdoor test rig the size
    of a trailer; coefficients from memory. Literature has two sets of a, 1.37 and 1.24 times apart,
    as the wind at 10 m and that beside the surface (0.7 of it) would make them, and we cannot say
    from memory which wind these larger ones belong to. With the wind at 10 m they give 8.7 W/m²K to
    windward at 3 m/s; a turbulent boundary layer on 2 m of flat plate (0.037 Re^0.8 Pr^(1/3)) in
    the wind at 2 m has 10.7, measurements on buildings more. The smaller set would have 6.3; so
    these were kept, and what the other reading is worth stands in docs/validation.md.
    """
    to_windward, to_leeward = forced_squares(wind * choose(kind == UNDERSIDE, UNDER_WIND, 1.0))
    return mixed_film(difference, to_windward, to_leeward, windward, kind)


ROUGHNESS = {"glass or paint": 1.0, "smooth plaster": 1.11, "pine": 1.13, "concrete": 1.52,
             "brick or rough plaster": 1.67, "stucco": 2.17}  # fmt: skip
"""Forced convection on a rougher surface, as a multiple of that on glass; ASHRAE literature, from
memory. Painted metal counts as smooth as glass."""

UNDER_WIND = 0.5
"""Share of the wind that blows under the floor; assumed."""

ROOF_SHARE = 1.0
"""A roof lies in the wind whichever way it blows. Clear, Gartland and Winkelmann 2003, on measured
flat roofs: forced convection there is that of a turbulent boundary layer on a plate (from memory);
on 2 m of van roof that is 10.7 W/m²K at 3 m/s, so the windward value, 8.7, is the nearer one."""


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
def mixed_film(
    difference: Floats,
    windward: Floats,
    leeward: Floats,
    share: Floats = 0.5,
    kind: Floats = VERTICAL,
) -> Floats:
    """Natural convection with each of two forced squares, weighed by the share to windward.

    Natural, with x = |ΔT|: vertical 0.84 x^(1/3); level and unstable (roof warmer, underside colder
    than the air) 1.63 x^(1/3); level and stable (a roof that the clear sky has cooled, a warm
    underside) 0.59 (x/L)^(1/4), L 2 m.

    Parameters
    ----------
    difference : float or array [K], surface minus air
    windward, leeward : float or array [(W/m²K)²], of `forced_squares`
    share : float or array, 1 to windward, 0 to leeward, 0.5 where it is not known
    kind : int or array, 0 vertical, 1 roof, 2 underside

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    Vertical: Yazdanian and Klems 1994, measured together with the forced part, see `outside_film`.
    Level: Alamdari and Hammond 1983 and McAdams 1954 as in `inside_film`, from memory; that they
    join the wind's part by squares too is assumed.
    """
    span = np.abs(difference)
    root = cube_root(span)
    unstable = choose(kind == UNDERSIDE, -difference, difference) > 0.0
    level = choose(unstable, 1.63 * root, 0.59 * np.sqrt(np.sqrt(span / SIZE)))
    natural = choose(kind == VERTICAL, 0.84 * root, level)
    square = natural * natural
    to_lee = np.sqrt(square + leeward)
    return to_lee + share * (np.sqrt(square + windward) - to_lee)


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
    changes : float or array [1/h], blower flow over zone volume; held between `BLOWN_LEAST` and
        the end of `BLOWN_RANGE`, nothing below its beginning
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
    held = np.minimum(np.maximum(changes, BLOWN_LEAST), BLOWN_RANGE[1])
    to_supply = choose(kind == 0, 0.19, choose(kind == 1, 0.13, 0.49)) * held**0.8
    return choose(changes < BLOWN_RANGE[0], 0.0, to_supply / (1.0 - 1.33 * held**-0.2))


@register_jitable
def plate_film(speed: Floats) -> Floats:
    """Forced convection along a face 1 m long: 6.0 v^0.8; longer ones less, see `length_factor`.

    A turbulent boundary layer on a flat plate, 0.037 Re^0.8 Pr^(1/3), in air of 25 °C at sea level.

    Parameters
    ----------
    speed : float or array [m/s], of the air beside the face; see `STIRRED_RANGE`

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    Textbooks of heat transfer, from memory. At 0.3 m/s and 2 m the plate's Reynolds number, 4e4, is
    below what keeps a calm stream turbulent; that a fan's jet makes it so is assumed. A laminar one
    would have 1.5 W/m²K for 2.0.
    """
    return 6.0 * speed**0.8


def length_factor(size: Floats) -> Floats:
    """Return what a face's length [m] does to `plate_film`: L^−0.2."""
    return size**-0.2


@register_jitable
def stirred_film(natural: Floats, forced: Floats) -> Floats:
    """Natural and forced convection together: (natural³ + forced³)^(1/3).

    Parameters
    ----------
    natural : float or array [W/m²K], of `inside_film`
    forced : float or array [W/m²K], of `plate_film` times `length_factor`

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    Churchill 1977, the third power that joins both; textbooks, from memory.
    """
    return cube_root(natural * natural * natural + forced * forced * forced)


FAN_REACH = 0.3
"""Air speed along the faces of a zone over that of the breeze which a fan makes where it blows;
assumed (0.15 to 0.5): the jet has spread before it meets a wall."""
