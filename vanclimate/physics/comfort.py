"""People: operative temperature, moving air, heat and carbon dioxide that a person gives off.

The cooling by moving air comes from a comfort library, computed once into a table and then read by
interpolation. Functions marked jittable run inside the simulation loop.
"""

from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable
from numpy.typing import NDArray

from vanclimate.physics.branch import Floats, choose

Array = NDArray[np.float64]

CO2_ASLEEP = 3.5e-6
"""Carbon dioxide from one sleeper [m³/s], ASTM D6245 and Persily & de Jonge 2017 (0.003 to 0.004
L/s), from memory."""
CO2_AWAKE = 5.2e-6
"""Carbon dioxide from one person at rest, 1.2 met [m³/s], same sources, from memory."""
OUTDOOR_CO2_PPM = 420.0
"""Outdoor air [ppm], about the level of the 2020s."""

SLEEPING_HEAT = 72.0
"""Total heat of one sleeper [W]: 40 W/m² (ASHRAE table) on 1.8 m² of skin."""
AWAKE_HEAT = 108.0
"""Total heat of one person on a quiet seat [W]: 60 W/m² (ASHRAE table) on 1.8 m² of skin."""


COLDEST_SPLIT = 20.0
"""Air temperature [°C] below which people give no less water: breath and dry skin go on in the cold
(assumed; 13 W a sleeper, about 19 g/h)."""


class CoolingTable(NamedTuple):
    """Cooling effect of one air speed, on a grid."""

    temps: Array
    """Air and radiant temperature alike [°C], (nt,)."""
    humidities: Array
    """Relative humidity [0..1], (nh,)."""
    effect: Array
    """Cooling effect [K], (nt, nh)."""


@register_jitable
def operative_temperature(temp_air: Floats, temp_radiant: Floats, air_speed: Floats) -> Floats:
    """Temperature that a body feels of air and surfaces together: A t_air + (1 − A) t_radiant.

    A = 0.5 below 0.2 m/s, 0.6 below 0.6 m/s, 0.7 above.

    Parameters
    ----------
    temp_air, temp_radiant : float or array [°C]
    air_speed : float or array [m/s], up to 1

    Returns
    -------
    float or array [°C]

    References
    ----------
    ASHRAE Standard 55-2020, normative appendix A; from memory.
    """
    weight = choose(air_speed < 0.2, 0.5, choose(air_speed < 0.6, 0.6, 0.7))
    return weight * temp_air + (1.0 - weight) * temp_radiant


def cooling_table_key(speed: float, met: float = 1.0, clo: float = 0.5) -> tuple[float, ...]:
    """Return what a table of `cooling_effect_table` is kept on disk by."""
    return float(speed), float(met), float(clo)


def cooling_effect_table(speed: float, met: float = 1.0, clo: float = 0.5) -> CoolingTable:
    """Table of how much cooler moving air feels than still air, by temperature and humidity.

    A sleeper's 0.7 met lies below the standard's range of 1.0 to 2.0 met, so the table is computed
    at 1.0 met; 0.5 clo, a light cover, is assumed.

    Parameters
    ----------
    speed : float [m/s], at the person; 0.1 and less cools nothing
    met : float [met]
    clo : float [clo]

    Returns
    -------
    CoolingTable

    References
    ----------
    ASHRAE Standard 55-2020: equal standard effective temperature in still and in moving air,
    through the open comfort library that this package depends on.
    """
    from vanclimate.cache import cached_arrays

    temps = np.arange(16.0, 40.1, 2.0)
    humidities = np.array([0.1, 0.3, 0.5, 0.7, 0.9])

    def build() -> dict[str, Array]:
        if speed <= 0.1:
            return {"effect": np.zeros((temps.size, humidities.size))}
        from pythermalcomfort.models import cooling_effect as of_library

        grid_t, grid_h = np.meshgrid(temps, humidities, indexing="ij")
        flat = grid_t.ravel()
        same = np.ones_like(flat)
        found = of_library(
            tdb=flat,
            tr=flat,
            vr=speed * same,
            rh=100.0 * grid_h.ravel(),
            met=met * same,
            clo=clo * same,
        )
        return {"effect": np.asarray(found.ce, dtype=np.float64).reshape(grid_t.shape)}

    effect = cached_arrays("cooling", cooling_table_key(speed, met, clo), build)["effect"]
    return CoolingTable(temps, humidities, effect)


def cooling_effect(temps: Floats, humidities: Floats, table: CoolingTable) -> Floats:
    """Cooling effect of moving air, read from a table by bilinear interpolation; held at its edges.

    Parameters
    ----------
    temps : float or array [°C], operative
    humidities : float or array [0..1], relative
    table : CoolingTable

    Returns
    -------
    float or array [K], to subtract from the operative temperature
    """

    def place(values: Floats, grid: Array) -> tuple[NDArray[np.intp], Array]:
        held = np.clip(values, grid[0], grid[-1])
        index = np.clip(np.searchsorted(grid, held, side="right") - 1, 0, grid.size - 2)
        return index, (held - grid[index]) / (grid[index + 1] - grid[index])

    i, along = place(temps, table.temps)
    j, across = place(humidities, table.humidities)
    low = table.effect[i, j] * (1.0 - across) + table.effect[i, j + 1] * across
    high = table.effect[i + 1, j] * (1.0 - across) + table.effect[i + 1, j + 1] * across
    return low * (1.0 - along) + high * along


_SENSIBLE_SLOPE = 0.75 / 72.0  # of the total per K: a sleeper's 59 W at 20 °C to 53 W at 28 °C


@register_jitable
def sleeping_heat(temp: Floats, total: Floats = SLEEPING_HEAT) -> tuple[Floats, Floats]:
    """Sensible and latent heat of one sleeper.

    The sensible part falls with air temperature along the line from 59 W at 20 °C to 53 W at 28 °C
    (of 72 W), held below and prolonged above (assumed), within 0 and the total.

    Parameters
    ----------
    temp : float or array [°C], air
    total : float [W], of one sleeper

    Returns
    -------
    sensible, latent : float or array [W], they add up to the total

    References
    ----------
    Total 40 W/m²: ASHRAE table, read in a copy; the split: computed with an open comfort library at
    20 and 28 °C.
    """
    share = 59.0 / 72.0 - _SENSIBLE_SLOPE * (np.maximum(temp, COLDEST_SPLIT) - 20.0)
    sensible = total * np.minimum(np.maximum(share, 0.0), 1.0)
    return sensible, total - sensible


@register_jitable
def awake_heat(temp: Floats, total: Floats = AWAKE_HEAT) -> tuple[Floats, Floats]:
    """Sensible and latent heat of one person on a quiet seat.

    Two thirds are sensible at 24 °C; the share is assumed to fall with air temperature as fast as a
    sleeper's does.

    Parameters
    ----------
    temp : float or array [°C], air
    total : float [W], of one person

    Returns
    -------
    sensible, latent : float or array [W], they add up to the total

    References
    ----------
    Total 60 W/m²: ASHRAE table, read in a copy; 1.8 m² of skin assumed. Split: ASHRAE Fundamentals,
    heat gain from people, seated at rest: 70 W sensible and 35 W latent at 24 °C; from memory.
    """
    share = 70.0 / 105.0 - _SENSIBLE_SLOPE * (np.maximum(temp, COLDEST_SPLIT) - 24.0)
    sensible = total * np.minimum(np.maximum(share, 0.0), 1.0)
    return sensible, total - sensible


def carbon_dioxide_rise(generation: Floats, flow: Floats) -> Floats:
    """Steady rise of carbon dioxide above outdoor air: G / Q.

    Parameters
    ----------
    generation : float or array [m³/s], of all people inside
    flow : float or array [m³/s], outdoor air

    Returns
    -------
    float or array [ppm]
    """
    return 1.0e6 * np.asarray(generation) / flow
