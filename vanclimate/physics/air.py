"""Moist air: saturation, humidity ratio, enthalpy, density, dew point, pressure by altitude.

Belongs here: the state of air. Not here: what moves vapour (moisture) or people's comfort
(comfort). Humidity ratio is kg of vapour per kg of dry air; enthalpy is J per kg of dry air, zero
for dry air and liquid water at 0 °C. Pressure is total pressure in Pa. Functions take floats or
arrays.
"""

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.branch import Floats, choose

KELVIN = 273.15
CP_AIR = 1006.0
"""Specific heat of dry air [J/kgK], ASHRAE Fundamentals, psychrometrics chapter."""
CP_VAPOUR = 1860.0
"""Specific heat of water vapour [J/kgK], same source."""
HFG0 = 2.501e6
"""Heat of vaporisation of water at 0 °C [J/kg], same source."""
HSG0 = 2.834e6
"""Heat of sublimation of ice near 0 °C [J/kg], textbook value, from memory."""
R_AIR = 287.042
"""Gas constant of dry air [J/kgK], same source."""
R_VAPOUR = 461.52
"""Gas constant of water vapour [J/kgK]."""
MASS_RATIO = 0.621945
"""Molar mass of water over that of dry air [-], same source."""
STANDARD_PRESSURE = 101325.0
"""Pressure of the standard atmosphere at sea level [Pa]."""
LAPSE_RATE = 0.0065
"""Fall of the standard atmosphere's temperature with height [K/m], ISO 2533."""

_LEAST_VAPOUR_PRESSURE = 0.0015  # Pa, saturation at -100 °C: the bottom of the formula's range


SATURATION_RANGE = (-100.0, 200.0)
"""Temperature [°C] of `saturation_pressure`, ASHRAE Fundamentals, from memory."""

ATMOSPHERE_RANGE = (-5000.0, 11000.0)
"""Height [m] of `standard_pressure`; ASHRAE Fundamentals, from memory."""


@register_jitable
def saturation_pressure(temp: Floats) -> Floats:
    """Saturation vapour pressure over water, over ice below 0 °C.

    ln p = c0/T + c1 + c2 T + c3 T² + c4 T³ + c5 T⁴ + c6 ln T, with one set of coefficients for ice
    and one for water.

    Parameters
    ----------
    temp : float or array [°C]; see `SATURATION_RANGE`

    Returns
    -------
    float or array [Pa]

    References
    ----------
    Hyland and Wexler 1983, as equations 5 and 6 of ASHRAE Fundamentals, psychrometrics chapter;
    coefficients from memory of the handbook and checked against an independent library.
    """
    kelvin = temp + KELVIN
    over_ice = (
        -5.6745359e3 / kelvin
        + 6.3925247
        + kelvin
        * (
            -9.6778430e-3
            + kelvin * (6.2215701e-7 + kelvin * (2.0747825e-9 - kelvin * 9.4840240e-13))
        )
    )
    over_water = (
        -5.8002206e3 / kelvin
        + 1.3914993
        + kelvin * (-4.8640239e-2 + kelvin * (4.1764768e-5 - kelvin * 1.4452093e-8))
    )
    frozen = temp < 0.0
    power = choose(frozen, 4.1635019, 6.5459673)
    return np.exp(choose(frozen, over_ice, over_water) + power * np.log(kelvin))


@register_jitable
def humidity_ratio_from_vapour_pressure(vapour: Floats, pressure: Floats) -> Floats:
    """Humidity ratio of air with a given vapour pressure: 0.621945 pv / (p − pv).

    Parameters
    ----------
    vapour : float or array [Pa]. Above 99 % of the total pressure it is held there, so that no
        caller meets a division by zero.
    pressure : float or array [Pa]

    Returns
    -------
    float or array [kg/kg dry air]

    References
    ----------
    ASHRAE Fundamentals, psychrometrics chapter (perfect gas).
    """
    held = np.minimum(vapour, 0.99 * pressure)
    return MASS_RATIO * held / (pressure - held)


@register_jitable
def saturation_humidity_ratio(temp: Floats, pressure: Floats) -> Floats:
    """Humidity ratio of saturated air.

    Parameters
    ----------
    temp : float or array [°C]
    pressure : float or array [Pa]

    Returns
    -------
    float or array [kg/kg dry air]
    """
    return humidity_ratio_from_vapour_pressure(saturation_pressure(temp), pressure)


@register_jitable
def saturation_slope(temp: Floats, held: Floats) -> Floats:
    """How much more saturated air holds a kelvin warmer: W (1 + W/0.622) L / (R_v T²).

    Parameters
    ----------
    temp : float or array [°C]; see `SATURATION_RANGE`
    held : float or array [kg/kg], of `saturation_humidity_ratio`

    Returns
    -------
    float or array [1/K]

    References
    ----------
    Clausius and Clapeyron, vapour as a perfect gas; latent heat of water at 0 °C less 2.37 kJ/kgK,
    of ice as it is (ASHRAE Fundamentals, from memory).

    Examples
    --------
    >>> round(float(saturation_slope(20.0, 0.0147)), 5)  # 15.6 g/kg at 21 °C, 13.8 at 19
    0.00093
    """
    latent = choose(temp < 0.0, HSG0, HFG0 - 2370.0 * temp)
    kelvin = temp + KELVIN
    return held * (1.0 + held / MASS_RATIO) * latent / (R_VAPOUR * kelvin * kelvin)


@register_jitable
def humidity_ratio_from_dew_point(temp_dew: Floats, pressure: Floats) -> Floats:
    """Humidity ratio of air from its dew point (frost point below 0 °C).

    Parameters
    ----------
    temp_dew : float or array [°C]
    pressure : float or array [Pa]

    Returns
    -------
    float or array [kg/kg dry air]
    """
    return saturation_humidity_ratio(temp_dew, pressure)


@register_jitable
def vapour_pressure(humidity_ratio: Floats, pressure: Floats) -> Floats:
    """Vapour pressure of air with a given humidity ratio: p w / (0.621945 + w).

    Parameters
    ----------
    humidity_ratio : float or array [kg/kg dry air]
    pressure : float or array [Pa]

    Returns
    -------
    float or array [Pa]
    """
    return pressure * humidity_ratio / (MASS_RATIO + humidity_ratio)


@register_jitable
def relative_humidity(temp: Floats, humidity_ratio: Floats, pressure: Floats) -> Floats:
    """Relative humidity as a fraction (over ice below 0 °C); above 1 means fog.

    Parameters
    ----------
    temp : float or array [°C]
    humidity_ratio : float or array [kg/kg dry air]
    pressure : float or array [Pa]

    Returns
    -------
    float or array [0..1]
    """
    return vapour_pressure(humidity_ratio, pressure) / saturation_pressure(temp)


@register_jitable
def enthalpy(temp: Floats, humidity_ratio: Floats) -> Floats:
    """Enthalpy of moist air: 1006 t + w (2 501 000 + 1860 t).

    Parameters
    ----------
    temp : float or array [°C]
    humidity_ratio : float or array [kg/kg dry air]

    Returns
    -------
    float or array [J/kg dry air]

    References
    ----------
    ASHRAE Fundamentals, psychrometrics chapter (perfect gas).
    """
    return CP_AIR * temp + humidity_ratio * (HFG0 + CP_VAPOUR * temp)


@register_jitable
def temperature_from_enthalpy(enthalpy_: Floats, humidity_ratio: Floats) -> Floats:
    """Temperature of moist air from enthalpy and humidity ratio; the inverse of `enthalpy`.

    Parameters
    ----------
    enthalpy_ : float or array [J/kg dry air]
    humidity_ratio : float or array [kg/kg dry air]

    Returns
    -------
    float or array [°C]
    """
    return (enthalpy_ - HFG0 * humidity_ratio) / (CP_AIR + CP_VAPOUR * humidity_ratio)


WET_AIR_RANGE = (-10.0, 60.0)
"""Temperature [°C] over which `saturated_temperature_of_enthalpy` is within 0.005 K; our own
reckoning."""

THIN_AIR_RANGE = (47.0e3, 107.0e3)
"""Pressure [Pa] of the same, 6000 m to 450 m below the sea; our own reckoning."""


@register_jitable
def saturated_temperature_of_enthalpy(enthalpy_: Floats, pressure: Floats) -> Floats:
    """Temperature of saturated air that has a given enthalpy; close to its wet-bulb temperature.

    Three Newton steps on ln(h + 30 kJ/kg), which is nearly a straight line in temperature. The
    slope takes the Clausius-Clapeyron form d ln ps/dT = L / (Rv T²).

    Parameters
    ----------
    enthalpy_ : float or array [J/kg dry air], of saturated air; see `WET_AIR_RANGE`
    pressure : float or array [Pa]; see `THIN_AIR_RANGE`

    Returns
    -------
    float or array [°C], within 0.005 K
    """
    target = np.log(np.maximum(enthalpy_ + 30.0e3, 1.0e3))
    # a first guess only, good to 0.5 K at sea level and 3 K at 4000 m; the steps do the rest
    x = target - 11.0
    temp = 24.77 + x * (10.3 + x * (1.46 - 0.99 * x)) - 11.0 * (STANDARD_PRESSURE / pressure - 1.0)
    for _ in range(3):
        saturation = np.minimum(saturation_pressure(temp), 0.9 * pressure)
        ratio = MASS_RATIO * saturation / (pressure - saturation)
        kelvin = temp + KELVIN
        latent = choose(temp < 0.0, HSG0, HFG0 - 2370.0 * temp)
        by_kelvin = latent / (R_VAPOUR * kelvin * kelvin)
        slope = (
            CP_AIR
            + CP_VAPOUR * ratio
            + (HFG0 + CP_VAPOUR * temp) * ratio * pressure / (pressure - saturation) * by_kelvin
        )
        lifted = np.maximum(CP_AIR * temp + ratio * (HFG0 + CP_VAPOUR * temp) + 30.0e3, 1.0e3)
        temp = temp + (target - np.log(lifted)) * lifted / slope
    return temp


@register_jitable
def density(temp: Floats, humidity_ratio: Floats, pressure: Floats) -> Floats:
    """Mass of dry air in a cubic metre of moist air: p / (R T (1 + 1.607858 w)).

    Parameters
    ----------
    temp : float or array [°C]
    humidity_ratio : float or array [kg/kg dry air]
    pressure : float or array [Pa]

    Returns
    -------
    float or array [kg dry air/m³]

    References
    ----------
    ASHRAE Fundamentals, psychrometrics chapter (specific volume, perfect gas).
    """
    return pressure / (R_AIR * (temp + KELVIN) * (1.0 + 1.607858 * humidity_ratio))


@register_jitable
def dew_point_of_vapour_pressure(vapour: Floats) -> Floats:
    """Temperature at which a vapour pressure saturates (frost point below 0 °C).

    Newton steps on ln ps with the Clausius-Clapeyron slope, from the Magnus formula's inverse.

    Parameters
    ----------
    vapour : float or array [Pa]. Below saturation at -100 °C it is held there: dry air has no dew
        point.

    Returns
    -------
    float or array [°C]
    """
    held = np.maximum(vapour, _LEAST_VAPOUR_PRESSURE)
    target = np.log(held)
    magnus = target - 6.41542  # ln 611.2 Pa
    temp = 243.12 * magnus / (17.62 - magnus)
    for _ in range(6):
        kelvin = temp + KELVIN
        latent = choose(temp < 0.0, HSG0, HFG0 - 2370.0 * temp)
        slope = latent / (R_VAPOUR * kelvin * kelvin)
        temp = temp + (target - np.log(saturation_pressure(temp))) / slope
    return temp


@register_jitable
def dew_point(humidity_ratio: Floats, pressure: Floats) -> Floats:
    """Dew point of moist air (frost point below 0 °C).

    Parameters
    ----------
    humidity_ratio : float or array [kg/kg dry air]
    pressure : float or array [Pa]

    Returns
    -------
    float or array [°C]

    Examples
    --------
    >>> round(float(dew_point(0.00726, 101325.0)), 1)
    9.3
    """
    return dew_point_of_vapour_pressure(vapour_pressure(humidity_ratio, pressure))


@register_jitable
def standard_pressure(elevation: Floats) -> Floats:
    """Pressure of the standard atmosphere: 101 325 (1 − 2.25577e-5 z)^5.2559.

    Parameters
    ----------
    elevation : float or array [m above sea level]; see `ATMOSPHERE_RANGE`

    Returns
    -------
    float or array [Pa]

    References
    ----------
    ASHRAE Fundamentals, psychrometrics chapter, equation 3 (US Standard Atmosphere).
    """
    return STANDARD_PRESSURE * (1.0 - 2.25577e-5 * elevation) ** 5.2559
