"""Air that leaks through the body, and how it adds to what openings and fans move.

Functions marked jittable take floats or arrays and run inside the simulation loop. What does not
belong here: what passes a window, a vent or a door (``opening_flow``), and a fan against its
openings (``equipment.fans``).
"""

from __future__ import annotations

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.air import KELVIN
from vanclimate.physics.branch import Floats

GRAVITY = 9.80665
"""Standard gravity [m/s²], by definition."""

STOREY = 2.5
"""Height [m] for which the published coefficients of one storey hold; see `stack_coefficient`."""

FLOOR_HEIGHT = 0.6
"""Height of a van's floor above the ground [m]; assumed."""

LEVEL_SHARE = 0.5
"""Share of the leaks in floor and roof, R of the model; the value behind the handbook's
coefficients, kept for a van (assumed: seals of doors and windows in the walls, fans and cable holes
in roof and floor)."""

REFERENCE = 20.0
"""Temperature [°C] at which the stack effect's 1/T is taken."""

STACK_RANGE = (-20.0, 45.0)
"""Mean temperature of the airs inside and outside [°C] over which 1/T at `REFERENCE` is within 16 %
of the true one, so a flow by temperature difference within 8 %; our own reckoning."""

SHELTER = {"open": 0.000319, "some": 0.000174, "sheltered": 0.000032}
"""Wind coefficient, one storey [(L/s)²/(cm⁴ (m/s)²)], ASHRAE Fundamentals, from memory: shelter
class 1 (no obstructions), 3 (moderate: some obstructions within two heights) and 5 (buildings or
trees close by on all sides). Classes 2 and 4 are 0.000246 and 0.000104."""

WIND_EXPONENT = 0.4
"""The wind coefficient grows with this power of the height: twice the 0.20 of the model's terrain
class III (rural, low buildings and trees); reproduces the handbook's rows of two and three storeys
(0.000420 and 0.000494 against 0.000319) to a unit of their last digit. From memory."""


def stack_coefficient(height: float) -> float:
    """Return the stack coefficient of a body, from the theory behind the handbook's values.

    ``Cs = ((1 + R/2) / 3)² (1 − X² / (2 − R)²)³ g H / T``, here with as many leaks in the floor as
    in the roof, X = 0, and `LEVEL_SHARE` for R.

    Parameters
    ----------
    height : H [m], of the space inside

    Returns
    -------
    float [(L/s)²/(cm⁴ K)]

    References
    ----------
    Sherman and Grimsrud 1980, "Infiltration-pressurization correlation: simplified physical
    modeling", stack parameter; from memory. With H = 2.5, 5 and 7.5 m it gives the 0.000145,
    0.000290 and 0.000435 of one, two and three storeys in ASHRAE Fundamentals.

    Examples
    --------
    >>> round(stack_coefficient(2.5), 6), round(stack_coefficient(1.9), 6)
    (0.000145, 0.00011)
    """
    speed = (1.0 + LEVEL_SHARE / 2.0) / 3.0  # of the flow per root of g H ΔT / T
    squared = speed**2 * GRAVITY * height / (KELVIN + REFERENCE)  # (m/s)²/K
    return float(0.01 * squared)  # (L/s)²/(cm⁴ K)


def wind_coefficient(shelter: str, height: float) -> float:
    """Return the wind coefficient of a body, from the handbook's for one storey.

    The model takes the wind at the roof's height over the ground: a van of 1.9 m inside on a floor
    at 0.6 m is as high as a storey.

    Parameters
    ----------
    shelter : a key of `SHELTER`
    height : of the space inside [m]

    Returns
    -------
    float [(L/s)²/(cm⁴ (m/s)²)]

    Examples
    --------
    >>> round(wind_coefficient("some", 1.9), 6), round(wind_coefficient("some", 1.1), 6)
    (0.000174, 0.000149)
    """
    taller = float((height + FLOOR_HEIGHT) / STOREY)
    return SHELTER[shelter] * float(taller**WIND_EXPONENT)


@register_jitable
def leakage_flow(
    area: Floats,
    difference: Floats,
    wind: Floats,
    stack_coefficient: Floats,
    wind_coefficient: Floats,
) -> Floats:
    """Flow through leaks, from temperature difference and wind: A sqrt(Cs |ΔT| + Cw U²).

    Parameters
    ----------
    area : float or array [m²], effective leakage area at 4 Pa
    difference : float or array [K], inside minus outside air
    wind : float or array [m/s] at 10 m
    stack_coefficient, wind_coefficient : float, see the functions of those names

    Returns
    -------
    float or array [m³/s]

    References
    ----------
    Sherman and Grimsrud 1980, as the basic model of ASHRAE Fundamentals, infiltration chapter
    (area in cm², flow in L/s there); from memory.

    Notes
    -----
    The root's slope has no bound at no difference at all; the loop freezes flows over a step, so
    it takes no slope of it.

    Examples
    --------
    >>> round(float(leakage_flow(0.006, 10.0, 3.0, 0.000145, 0.000174)) * 1000, 2)  # L/s
    3.3
    """
    litres = (
        area * 1.0e4 * np.sqrt(stack_coefficient * np.abs(difference) + wind_coefficient * wind**2)
    )
    return litres * 1.0e-3


@register_jitable
def driven_flow(
    difference: Floats, wind: Floats, by_stack: Floats, by_wind: Floats, in_calm: Floats
) -> Floats:
    """Flow through openings that are not there to leak: sqrt(b |ΔT| + a U² + c).

    Parameters
    ----------
    difference : float or array [K], inside minus outside air
    wind : float or array [m/s] at 10 m
    by_stack, by_wind, in_calm : float or array, b [m⁶/(s² K)], a [m⁴] and c [m⁶/s²], each 0 or
        more: see ``opening_flow.Drive``

    Returns
    -------
    float or array [m³/s]

    Examples
    --------
    >>> # by hand: sqrt(6.1e-4)
    >>> round(float(driven_flow(4.0, 2.0, 1.0e-4, 5.0e-5, 1.0e-5)) * 1000, 3)
    24.698
    """
    return np.sqrt(by_stack * np.abs(difference) + by_wind * wind * wind + in_calm)


@register_jitable
def combine_flows(natural: Floats, unbalanced: Floats, balanced: Floats = 0.0) -> Floats:
    """Total outdoor air when fans run in a body that leaks: b + sqrt(natural² + unbalanced²).

    A one-way fan shifts the inside pressure and so replaces part of what comes in by itself; fans
    that bring in as much as they take out leave the pressure alone and add in full.

    Parameters
    ----------
    natural : float or array [m³/s], through leaks and openings
    unbalanced : float or array [m³/s], what fans take out more than they bring in, or the reverse
    balanced : float or array [m³/s], what they bring in and take out alike

    Returns
    -------
    float or array [m³/s]

    References
    ----------
    ASHRAE Fundamentals, infiltration chapter, superposition in quadrature; from memory.

    Examples
    --------
    >>> round(float(combine_flows(0.003, 0.004, 0.01)), 6)
    0.015
    """
    return balanced + np.sqrt(natural * natural + unbalanced * unbalanced)
