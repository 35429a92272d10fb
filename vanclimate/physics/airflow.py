"""Air that leaks through the body, and how it adds to what fans move.

Functions marked jittable take floats or arrays and run inside the simulation loop.
"""

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.branch import Floats

STACK_COEFFICIENT = 0.000145
"""Stack coefficient, one storey [(L/s)²/(cm⁴ K)], ASHRAE Fundamentals, from memory. A van is lower
than a storey, so this is on the high side; at night's small differences it matters little."""

SHELTER = {"open": 0.000319, "some": 0.000174, "sheltered": 0.000032}
"""Wind coefficient, one storey [(L/s)²/(cm⁴ (m/s)²)], ASHRAE Fundamentals, from memory: shelter
class 1 (no obstructions), 3 (moderate: some obstructions within two heights) and 5 (buildings or
trees close by on all sides). Classes 2 and 4 are 0.000246 and 0.000104."""


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
    stack_coefficient, wind_coefficient : float, see `STACK_COEFFICIENT` and `SHELTER`

    Returns
    -------
    float or array [m³/s]

    References
    ----------
    Sherman and Grimsrud 1980, as the basic model of ASHRAE Fundamentals, infiltration chapter
    (area in cm², flow in L/s there); from memory.

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
def combine_flows(leakage: Floats, unbalanced_fan: Floats) -> Floats:
    """Total outdoor air when a one-way fan runs in a leaky body: sqrt(leakage² + fan²).

    The fan shifts the inside pressure and so replaces part of the leakage.

    Parameters
    ----------
    leakage, unbalanced_fan : float or array [m³/s]

    Returns
    -------
    float or array [m³/s]

    References
    ----------
    ASHRAE Fundamentals, infiltration chapter, superposition in quadrature; from memory.
    """
    return np.sqrt(leakage * leakage + unbalanced_fan * unbalanced_fan)
