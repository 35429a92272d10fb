"""Longwave radiation: the sky, what an outside surface sees, and exchange inside a zone.

Belongs here: everything emitted at earthly temperatures. Sunlight is not here.
"""

from functools import lru_cache

import numpy as np
from numba.extending import register_jitable
from numpy.typing import NDArray

from vanclimate.physics.air import KELVIN, saturation_pressure
from vanclimate.physics.branch import Floats

STEFAN_BOLTZMANN = 5.670374e-8
"""[W/m²K⁴]"""

OPAQUE_CLOUD_HEIGHT = 2000.0
"""Height of the ceiling where the file does not know it [m], from memory of Martin & Berdahl."""
THIN_CLOUD_HEIGHT = 8000.0
THIN_CLOUD_EMISSIVITY = 0.4
_FADING_HEIGHT = 8200.0  # m


CLEAR_SKY_RANGE = (-20.0, 30.0)
"""Dew point [°C] of `clear_sky_emissivity`: about what Berdahl and Martin's six stations met; from
memory."""

BRUTSAERT_RANGE = (0.0, 40.0)
"""Air temperature [°C] of `clear_sky_emissivity_brutsaert`: it was derived for a standard
atmosphere near 15 °C, and comparisons found it off below freezing (Aase and Idso 1978, from
memory); the upper end is assumed."""


def clear_sky_emissivity(
    temp_dew: Floats, hour: Floats | None = None, pressure: Floats | None = None
) -> Floats:
    """Emissivity of a cloudless sky, relative to air temperature near the ground.

    ε = 0.711 + 0.56 (Td/100) + 0.73 (Td/100)² + 0.013 cos(2π h/24) + 0.00012 (P − 1000)

    Parameters
    ----------
    temp_dew : float or array [°C]; see `CLEAR_SKY_RANGE`
    hour : float or array, optional [h after local midnight]; left out, no daily term
    pressure : float or array, optional [Pa] (the formula's P is in mbar); left out, no such term

    Returns
    -------
    float or array [0..1]

    References
    ----------
    Berdahl and Martin 1984, Emissivity of clear skies, Solar Energy 32(5); from memory of the
    paper.

    Examples
    --------
    >>> round(float(clear_sky_emissivity(10.0)), 3)
    0.774
    """
    hundredth = np.asarray(temp_dew) / 100.0
    result = 0.711 + 0.56 * hundredth + 0.73 * hundredth**2
    if hour is not None:
        result = result + 0.013 * np.cos(2.0 * np.pi * np.asarray(hour) / 24.0)
    if pressure is not None:
        result = result + 0.00012 * (np.asarray(pressure) / 100.0 - 1000.0)
    return np.clip(result, 0.0, 1.0)[()]


def clear_sky_emissivity_brutsaert(temp_air: Floats, temp_dew: Floats) -> Floats:
    """Emissivity of a cloudless sky from vapour pressure and air temperature: 1.24 (e/T)^(1/7).

    Parameters
    ----------
    temp_air, temp_dew : float or array [°C]; the formula's e is in mbar, its T in kelvin; see
        `BRUTSAERT_RANGE`

    Returns
    -------
    float or array [0..1]

    References
    ----------
    Brutsaert 1975, On a derivable formula for long-wave radiation from clear skies, Water Resources
    Research 11(5); from memory.

    Examples
    --------
    >>> round(float(clear_sky_emissivity_brutsaert(20.0, 10.0)), 3)
    0.788
    """
    vapour = np.asarray(saturation_pressure(temp_dew)) / 100.0
    result = 1.24 * (vapour / (np.asarray(temp_air) + KELVIN)) ** (1.0 / 7.0)
    return np.clip(result, 0.0, 1.0)[()]


def cloudy_sky_emissivity(
    clear: Floats,
    opaque: Floats,
    total: Floats,
    ceiling: Floats,
) -> Floats:
    """Emissivity of a sky with clouds: ε + (1 − ε) Σ n_i ε_i exp(−z_i / 8.2 km).

    Opaque cloud counts with emissivity 1 at the ceiling height, the rest of the cover (thin, high)
    with 0.4 at 8 km.

    Parameters
    ----------
    clear : float or array [0..1], of the same sky without clouds
    opaque, total : float or array [0..1], share of the sky covered
    ceiling : float or array [m]; infinite or not a number where unknown, then 2 km

    Returns
    -------
    float or array [0..1]

    References
    ----------
    Martin and Berdahl 1984, Characteristics of infrared sky radiation in the United States, Solar
    Energy 33(3/4); heights and the thin cloud's emissivity from memory.
    """
    height = np.where(np.isfinite(ceiling), ceiling, OPAQUE_CLOUD_HEIGHT)
    thin = np.maximum(np.asarray(total) - opaque, 0.0)
    cloud = opaque * np.exp(-height / _FADING_HEIGHT)
    cloud = cloud + thin * THIN_CLOUD_EMISSIVITY * np.exp(-THIN_CLOUD_HEIGHT / _FADING_HEIGHT)
    return np.clip(clear + (1.0 - np.asarray(clear)) * cloud, 0.0, 1.0)[()]


def black_temperature(radiation: Floats) -> Floats:
    """Temperature of a black body that radiates so much: (L / σ)^(1/4).

    Parameters
    ----------
    radiation : float or array [W/m²]

    Returns
    -------
    float or array [°C]
    """
    return (np.asarray(radiation) / STEFAN_BOLTZMANN) ** 0.25 - KELVIN


def sky_temperature(temp_air: Floats, emissivity: Floats) -> Floats:
    """Temperature of a black sky with the same radiation: T_air ε^(1/4).

    Parameters
    ----------
    temp_air : float or array [°C]
    emissivity : float or array [0..1], of the sky

    Returns
    -------
    float or array [°C]
    """
    return (np.asarray(temp_air) + KELVIN) * np.asarray(emissivity) ** 0.25 - KELVIN


def sol_air_rise(absorbed: Floats, film: Floats, longwave_loss: Floats) -> Floats:
    """How much warmer than the air a surface that passes no heat inwards gets: (αI − εΔR)/h.

    A check on paper; the network computes radiation and convection apart.

    Parameters
    ----------
    absorbed : float or array [W/m²], sunlight absorbed
    film : float or array [W/m²K], convective and radiative together
    longwave_loss : float or array [W/m²], radiation lost to the sky beyond that of a body in air

    Returns
    -------
    float or array [K]

    References
    ----------
    ASHRAE Fundamentals, sol-air temperature.
    """
    return (np.asarray(absorbed) - longwave_loss) / film


def sky_share(tilt: Floats) -> Floats:
    """Share of the seen sky that has the sky's temperature: sqrt((1 + cos tilt)/2).

    The rest lies near the horizon, where the long path through the air is as warm as the air.

    Parameters
    ----------
    tilt : float or array [deg from horizontal, 0 = facing up]

    Returns
    -------
    float or array [0..1]

    References
    ----------
    ASHRAE literature on the heat-balance method of load calculation, outside surface; secondary and
    from memory.
    """
    half = (1.0 + np.cos(np.radians(tilt))) / 2.0
    return np.sqrt(np.maximum(half, 0.0))


def view_shares(tilt: Floats) -> tuple[Floats, Floats, Floats]:
    """Shares of what an outside surface sees: sky, air near the horizon, ground; they add up to 1.

    Ground (1 − cos tilt)/2; of the (1 + cos tilt)/2 above the horizon the share `sky_share` is sky.

    Parameters
    ----------
    tilt : float or array [deg from horizontal, 0 = facing up, 180 = facing down]

    Returns
    -------
    sky, air, ground : float or array [0..1]
    """
    ground = (1.0 - np.cos(np.radians(tilt))) / 2.0
    above = 1.0 - ground
    sky = above * sky_share(tilt)
    return sky, above - sky, ground


@register_jitable
def radiative_coefficient(temp_1: Floats, temp_2: Floats, emissivity: Floats) -> Floats:
    """Radiative exchange per kelvin between two temperatures: ε σ (T1² + T2²)(T1 + T2), exact.

    Parameters
    ----------
    temp_1, temp_2 : float or array [°C]
    emissivity : float or array [0..1], effective for the exchange

    Returns
    -------
    float or array [W/m²K]
    """
    kelvin_1 = temp_1 + KELVIN
    kelvin_2 = temp_2 + KELVIN
    return (
        emissivity
        * STEFAN_BOLTZMANN
        * (kelvin_1 * kelvin_1 + kelvin_2 * kelvin_2)
        * (kelvin_1 + kelvin_2)
    )


def carroll_factors(
    areas: NDArray[np.float64], emissivities: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Effective emissivity of each surface of a zone towards one mean radiant temperature.

    F_i = 1 / (1 − A_i F_i / Σ A_j F_j) puts right that a surface does not see itself though it is
    part of the mean; with its own emissivity in series, 1 / ((1 − ε_i)/ε_i + 1/F_i). The radiant
    temperature is then the mean of T⁴ weighted with area times the returned factor, and each
    surface exchanges factor · σ (T_i⁴ − T_r⁴).

    Parameters
    ----------
    areas : array (n,) [m²], at least two, none larger than all the others together (flat surfaces
        cannot close a zone otherwise)
    emissivities : array (n,) [0..1], each above 0

    Returns
    -------
    array (n,) [-], may exceed 1

    References
    ----------
    Carroll 1980, a mean-radiant-temperature method for radiant exchange in rooms; from memory.
    """
    areas = np.asarray(areas, dtype=np.float64)
    emissivities = np.asarray(emissivities, dtype=np.float64)
    if areas.size < 2 or 2.0 * areas.max() > areas.sum() * (1.0 + 1e-9):
        raise ValueError("areas: need two or more, none larger than all the others together")
    return 1.0 / ((1.0 - emissivities) / emissivities + 1.0 / _black_factors(areas.tobytes()))


@lru_cache(maxsize=64)
def _black_factors(areas_as_bytes: bytes) -> NDArray[np.float64]:
    """Return F of `carroll_factors` for an array's bytes: drawn vans have the same areas."""
    areas = np.frombuffer(areas_as_bytes)
    factors = np.ones_like(areas)
    for _ in range(2000):
        weights = areas * factors
        updated = 1.0 / (1.0 - weights / weights.sum())
        if abs(updated - factors).max() < 1e-13:
            break
        factors = 0.5 * (factors + updated)  # halved steps: near the limit full ones swing
    return factors
