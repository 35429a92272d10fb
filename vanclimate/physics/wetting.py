"""A surface that is kept wet: what evaporation adds to its convection.

Belongs here: the wetted face. Water that condenses on dry faces and dries again is in moisture.
"""

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.air import saturation_humidity_ratio
from vanclimate.physics.branch import Floats
from vanclimate.physics.moisture import mass_transfer_coefficient

LATENT = 2.45e6
"""Heat of vaporisation at 20 °C [J/kg]; 3 % less at 50 °C, left out."""

WET_RANGE = (-40.0, 50.0)
"""Air temperature [°C] of `wet_surface_temp`, within which its bracket holds the answer; our own
reckoning."""

NEAR = 0.05  # K, over which the slope of saturation is taken


def wet_surface_temp(temp: Floats, humidity_ratio: Floats, pressure: Floats) -> Floats:
    """Return the temperature [°C] of a wetted surface that only meets moving air.

    There what convection brings is what evaporation takes:
    T_air − T = (L / (c_p Le^(2/3))) (W_sat(T) − W). Close to the thermodynamic wet bulb.

    Parameters
    ----------
    temp : float or array [°C], of the air; see `WET_RANGE`
    humidity_ratio : float or array [kg/kg], up to saturation
    pressure : float or array [Pa]

    Examples
    --------
    >>> round(float(wet_surface_temp(30.0, 0.0133, 101325.0)), 1)  # 50 %; thermodynamic 22.0
    21.7
    """
    per_humidity = LATENT * mass_transfer_coefficient(1.0)
    low, high = np.asarray(temp) - 60.0, np.asarray(temp) + 0.5
    for _ in range(45):  # halved to rounding
        mid = 0.5 * (low + high)
        taken = per_humidity * (saturation_humidity_ratio(mid, pressure) - humidity_ratio)
        cold = temp - mid > taken
        low, high = np.where(cold, mid, low), np.where(cold, high, mid)
    return (0.5 * (low + high))[()]


@register_jitable
def wet_film(surface: Floats, wet_surface: Floats, pressure: Floats) -> tuple[Floats, Floats]:
    """How much more heat a wetted face exchanges than a dry one, and against what.

    Convection and evaporation together are film · q, with q = T − T_wet +
    (L / (c_p Le^(2/3))) (W_sat(T) − W_sat(T_wet)). Its tangent at the surface's temperature is
    factor · (T − T_wet − offset): exact there, and a step over which it is frozen stays stable,
    where a secant swings from step to step.

    Parameters
    ----------
    surface : float or array [°C]; see `air.SATURATION_RANGE`, and far from boiling
    wet_surface : float or array [°C], of `wet_surface_temp`
    pressure : float or array [Pa]

    Returns
    -------
    factor : float or array, 1 or more
    offset : float or array [K]

    References
    ----------
    Lewis relation, as in `moisture.mass_transfer_coefficient`.
    """
    per_humidity = LATENT * mass_transfer_coefficient(1.0)
    held = saturation_humidity_ratio(surface, pressure)
    slope = (saturation_humidity_ratio(surface + NEAR, pressure) - held) / NEAR
    factor = 1.0 + per_humidity * slope
    more = per_humidity * (held - saturation_humidity_ratio(wet_surface, pressure))
    apart = surface - wet_surface
    return factor, apart - (apart + more) / factor
