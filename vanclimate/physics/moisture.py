"""Vapour between air and surfaces, and from people.

Belongs here: rates of transfer. The state of moist air is in air; the verdict on dampness is
elsewhere.
"""

from numba.extending import register_jitable

from vanclimate.physics.air import CP_AIR
from vanclimate.physics.branch import Floats

LEWIS_NUMBER = 0.865
"""Thermal over mass diffusivity of vapour in air near 25 °C [-], textbook value, from memory."""
LATENT_HEAT_SKIN = 2.42e6
"""Heat of vaporisation at skin temperature, about 34 °C [J/kg]: 2.501e6 − 2370 · 34."""

_LEWIS_POWER = LEWIS_NUMBER ** (2.0 / 3.0)


@register_jitable
def mass_transfer_coefficient(film: Floats) -> Floats:
    """Vapour flow per unit of humidity-ratio difference: h / (cp Le^(2/3)).

    Parameters
    ----------
    film : float or array [W/m²K], convective coefficient of the surface

    Returns
    -------
    float or array [kg/m²s per kg/kg]

    References
    ----------
    Lewis relation (Chilton-Colburn analogy); any text on heat and mass transfer.
    """
    return film / (CP_AIR * _LEWIS_POWER)


@register_jitable
def people_water(latent: Floats) -> Floats:
    """Water that a person gives off with a latent heat: q / L at skin temperature.

    Parameters
    ----------
    latent : float or array [W]

    Returns
    -------
    float or array [kg/s]
    """
    return latent / LATENT_HEAT_SKIN
