"""Vapour between air and surfaces, from people, and into what takes up water.

Belongs here: rates of transfer. The state of moist air is in air, water inside a stack in vapour;
the verdict on dampness is elsewhere.
"""

from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.air import CP_AIR, MASS_RATIO, STANDARD_PRESSURE, saturation_pressure
from vanclimate.physics.branch import Floats
from vanclimate.physics.conduction import DAY
from vanclimate.physics.vapour import DELTA_AIR

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


BUFFER_RANGE = (0.0, 40.0)
"""Temperature [°C] of a face that takes up water, as far as `surface_buffer` and isotherms near
20 °C are used (assumed)."""


class Buffer(NamedTuple):
    """What takes up water from a room's air, as one store behind one resistance."""

    capacity: float
    """Water taken up from dry to saturated air, along the isotherm's slope [kg]."""
    conductance: float
    """Flow by difference of humidity ratio between air and store [kg/s per kg/kg]."""


def moisture_depth(
    vapour: float, moisture: float, temp: float = 20.0, period: float = DAY
) -> float:
    """Depth at which a sine of humidity has faded to 1/e in a material that takes up water.

    d = sqrt(δ T psat / (π μ ξ)).

    Parameters
    ----------
    vapour : float [-], vapour resistance factor μ
    moisture : float [kg/m³], ξ, water taken up from dry to saturated air by the isotherm's slope
    temp : float [°C]
    period : float [s]

    Returns
    -------
    float [m]

    References
    ----------
    The effective penetration depth model: Kerestecioglu et al. 1990, ASHRAE Transactions 96;
    Cunningham 2003, Building and Environment 38; from memory.
    """
    permeability = DELTA_AIR / vapour
    saturation = float(saturation_pressure(temp))
    return float(np.sqrt(permeability * saturation * period / (np.pi * moisture)))


def surface_buffer(
    *,
    area: float,
    thickness: float,
    vapour: float,
    moisture: float,
    coating: float = 0.0,
    film: float = 3.0,
    temp: float = 20.0,
    pressure: float = STANDARD_PRESSURE,
) -> Buffer:
    """Buffer of a face that takes up water, over a day.

    A store ξ d with the resistance of d/2 before it answers a sine of period T just as a thick
    material does: both take up sqrt(2π ξ δ / (T μ psat)), an eighth of a period late. A layer
    thinner than d is taken as deep as it is.

    Parameters
    ----------
    area : float [m²]
    thickness : float [m], of the material
    vapour, moisture : float, μ [-] and ξ [kg/m³] as of `moisture_depth`
    coating : float [m of still air], sd of paint on it
    film : float [W/m²K], convective coefficient
    temp : float [°C], of the face; see `BUFFER_RANGE`
    pressure : float [Pa]

    Returns
    -------
    Buffer

    References
    ----------
    See `moisture_depth`; for the face the Lewis relation.
    """
    if moisture <= 0.0 or area <= 0.0:
        return Buffer(0.0, 0.0)
    depth = min(thickness, moisture_depth(vapour, moisture, temp))
    by_ratio = pressure / MASS_RATIO  # Pa per kg/kg, for thin air
    inner = DELTA_AIR / (vapour * 0.5 * depth + coating) * by_ratio
    outer = float(mass_transfer_coefficient(film))
    return Buffer(area * moisture * depth, area / (1.0 / inner + 1.0 / outer))
