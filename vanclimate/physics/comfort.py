"""People: operative temperature, comfort votes, heat index, heat and carbon dioxide given off.

The cooling by moving air comes from a comfort library, computed once into a table and then read by
interpolation. Functions marked jittable run inside the simulation loop. Not here: sleepers under
bedding (bedding).
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


SPLIT_RANGE = (10.0, 32.0)
"""Air temperature [°C] for which heat of people is split into warmth and water: beyond 32 °C sweat
takes over, which the line does not know; below 10 °C nobody sleeps uncovered. Both assumed."""

OPERATIVE_RANGE = (0.0, 1.0)
"""Air speed [m/s] of `operative_temperature`'s weights; ASHRAE 55, from memory."""

COOLING_RANGE = (16.0, 40.0)
"""Operative temperature [°C] of `cooling_effect_table`: where a fan is wanted (assumed)."""

COOLING_HUMIDITY_RANGE = (0.1, 1.0)
"""Relative humidity of the same table."""


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
    air_speed : float or array [m/s]; see `OPERATIVE_RANGE`

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

    temps = np.arange(COOLING_RANGE[0], COOLING_RANGE[1] + 0.1, 2.0)
    humidities = np.array([0.1, 0.3, 0.5, 0.7, 0.9, 1.0])

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


CLO = 0.155
"""Thermal resistance of one clo [m²K/W], by definition."""
MET = 58.15
"""Heat of one met [W/m² of skin], by definition (ISO 7730)."""
PMV_RANGE = {
    "met": (0.8, 4.0),
    "clo": (0.0, 2.0),
    "temp_air": (10.0, 30.0),
    "temp_radiant": (10.0, 40.0),
    "air_speed": (0.0, 1.0),
    "vapour": (0.0, 2700.0),
}
"""Where ISO 7730 states its votes: met, clo, °C, °C, m/s, Pa; from memory."""


def predicted_mean_vote(
    temp_air: Floats, temp_radiant: Floats, *, air_speed: Floats, vapour: Floats, met: Floats,
    clo: Floats,
) -> Floats:  # fmt: skip
    """Mean vote of many people, from −3 (cold) over 0 (neutral) to +3 (hot).

    PMV = (0.303 e^(−0.036 M) + 0.028) (M − evaporation − breath − radiation − convection), the
    clothes' surface temperature from the balance of what passes through them. That balance is
    monotone, so it is halved to 1e-9 K rather than iterated with a tolerance, and converges for any
    clothing. Comfortable sweat begins at 1 met. No outer work.

    Parameters
    ----------
    temp_air, temp_radiant : float or array [°C]
    air_speed : float or array [m/s], relative to the person
    vapour : float or array [Pa], partial pressure in the air
    met : float or array [met] of 58.15 W/m²
    clo : float or array [clo], of clothing and chair

    Returns
    -------
    float or array; not held to ±3. Stated within `PMV_RANGE` and for votes within ±2, computed
    beyond.

    References
    ----------
    Fanger 1970; ISO 7730:2005, equations 1 to 4; from memory, checked against its table D.1 and an
    independent library.
    """
    heat, insulation = met * MET, clo * CLO
    area = choose(insulation <= 0.078, 1.0 + 1.29 * insulation, 1.05 + 0.645 * insulation)
    temp_skin = 35.7 - 0.028 * heat

    def dry_heat(temp_cloth: Floats) -> Floats:
        natural = 2.38 * np.abs(temp_cloth - temp_air) ** 0.25
        film = np.maximum(natural, 12.1 * np.sqrt(air_speed))
        radiation = 3.96e-8 * ((temp_cloth + 273.0) ** 4 - (temp_radiant + 273.0) ** 4)
        return area * (radiation + film * (temp_cloth - temp_air))

    low = np.minimum(np.minimum(temp_air, temp_radiant), temp_skin)
    high = np.maximum(np.maximum(temp_air, temp_radiant), temp_skin)
    for _ in range(40):  # of less than 1000 K
        middle = 0.5 * (low + high)
        below = temp_skin - insulation * dry_heat(middle) > middle
        low, high = choose(below, middle, low), choose(below, high, middle)
    skin = 3.05e-3 * (5733.0 - 6.99 * heat - vapour) + 0.42 * np.maximum(heat - MET, 0.0)
    breath = 1.7e-5 * heat * (5867.0 - vapour) + 0.0014 * heat * (34.0 - temp_air)
    load = heat - skin - breath - dry_heat(0.5 * (low + high))
    return vote_per_load(heat) * load


def vote_per_load(heat: Floats) -> Floats:
    """Vote per W/m² of heat that is left over [m²/W]: 0.303 e^(−0.036 M) + 0.028.

    Parameters
    ----------
    heat : float or array [W/m²], M

    Returns
    -------
    float or array [m²/W]

    References
    ----------
    Fanger 1970; ISO 7730:2005, equation 1; from memory.
    """
    return 0.303 * np.exp(-0.036 * heat) + 0.028


def predicted_dissatisfied(vote: Floats) -> Floats:
    """Share of people dissatisfied at a mean vote: 1 − 0.95 exp(−0.03353 PMV⁴ − 0.2179 PMV²).

    Parameters
    ----------
    vote : float or array, from `predicted_mean_vote`

    Returns
    -------
    float or array [0..1], at least 0.05

    References
    ----------
    ISO 7730:2005, equation 5; from memory.
    """
    return 1.0 - 0.95 * np.exp(-0.03353 * vote**4 - 0.2179 * vote**2)


HEAT_INDEX_RANGE = ((80.0 - 32.0) / 1.8, (110.0 - 32.0) / 1.8)
"""Air temperature [°C] of the weather service's chart, 80 to 110 °F; below it the line holds,
beyond it the regression is prolonged."""


def heat_index(temp_air: Floats, humidity: Floats) -> Floats:
    """Apparent temperature of a walker in the shade, by temperature and humidity.

    In °F with R in percent: a line, 0.5 (T + 61 + 1.2 (T − 68) + 0.094 R), where its mean with T is
    below 80; else Rothfusz's regression of Steadman's table, less a correction where R < 13 and
    T is 80 to 112, more where R > 85 and T is 80 to 87.

    Parameters
    ----------
    temp_air : float or array [°C]; see `HEAT_INDEX_RANGE`
    humidity : float or array [0..1], relative; the chart covers 40 to 100 %

    Returns
    -------
    float or array [°C]

    References
    ----------
    Steadman 1979; Rothfusz 1990, US National Weather Service technical attachment SR 90-23, and the
    service's page on the equation; coefficients from memory, checked against its chart.
    """
    t, r = 1.8 * np.asarray(temp_air, dtype=float) + 32.0, 100.0 * np.asarray(humidity)
    line = 0.5 * (t + 61.0 + 1.2 * (t - 68.0) + 0.094 * r)
    fitted = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r
        - 6.83783e-3 * t**2 - 5.481717e-2 * r**2 + 1.22874e-3 * t**2 * r
        + 8.5282e-4 * t * r**2 - 1.99e-6 * t**2 * r**2
    )  # fmt: skip
    lack = (13.0 - r) / 4.0 * np.sqrt(np.maximum(17.0 - np.abs(t - 95.0), 0.0) / 17.0)
    fitted = fitted - choose((r < 13.0) & (t >= 80.0) & (t <= 112.0), lack, 0.0)
    damp = (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    fitted = fitted + choose((r > 85.0) & (t >= 80.0) & (t <= 87.0), damp, 0.0)
    return (choose(0.5 * (line + t) < 80.0, line, fitted) - 32.0) / 1.8
