"""Air conditioner from its data plate: capacity, watts, and how much of it dries the air.

Rated at 35 °C outdoors and 26.7 °C dry bulb, 19.4 °C wet bulb indoors. The coil follows the
bypass-factor method with an apparatus dew point: air leaves as if a share of it had passed
untouched and the rest had been saturated at the coil's temperature (textbook method, e.g. ASHRAE
Fundamentals, from memory). Here: the unit at one instant. Its thermostat is in the loop.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.air import (
    CP_AIR,
    CP_VAPOUR,
    enthalpy,
    saturated_temperature_of_enthalpy,
    saturation_humidity_ratio,
    temperature_from_enthalpy,
)

RATED_OUTDOOR, RATED_DRY_BULB, RATED_WET_BULB = 35.0, 26.7, 19.4  # °C
# Slopes of real units, from memory: capacity -0.5 … -1 %/K and power +1.5 … +2 %/K outdoors
# (the middle of each range), capacity about +3 %/K and power +0.6 %/K of indoor wet bulb.
CAPACITY_PER_K_OUTDOOR, POWER_PER_K_OUTDOOR = -0.0075, 0.0175
CAPACITY_PER_K_WET_BULB, POWER_PER_K_WET_BULB = 0.03, 0.006
OUTDOOR_RANGE = (18.0, 52.0)
"""Outdoor air [°C] of the slopes, held beyond; about where such units are tested and sold, from
memory."""
WET_BULB_RANGE = (10.0, 28.0)
"""Indoor wet bulb [°C] of the slopes, held beyond; assumed, some 9 K either side of rating."""
BYPASS_FACTOR = 0.12  # of the coil at full airflow; assumed, 0.08–0.2 for room-size coils
STANDARD_DENSITY = 1.2  # kg/m3, on which an airflow in m3/s is stated
START_DEAD_TIME = 45.0  # s: the loss of a first-order start of that time constant; assumed after
# the 30–80 s that tests of small units found (from memory)
COIL_HOLDS = 0.3  # kg of water on fins and in the pan before it drains; assumed
LATENT_HEAT = 2.45e6  # J/kg, water at about 20 °C


class AirConditioner(NamedTuple):
    """A unit as the loop uses it; SI."""

    capacity: float  # W net cooling at rating, installed
    power: float  # W at rating, blower included
    blower: float  # W
    mass_flow: float  # kg/s dry air over the coil
    continuous_blower: bool
    differential: float  # K between on and off
    minimum_run: float  # s
    minimum_off: float  # s
    on_inverter: bool
    stirring: float  # factor on the blower's convection at the inside faces


class Cooling(NamedTuple):
    """What the running unit does at an instant."""

    sensible: float  # W taken from the cabin's air, blower heat already counted
    coil_humidity: float  # kg/kg of saturated air at the coil; water leaves air that is wetter
    contact: float  # kg/s of air that touches the coil
    power: float  # W, blower included


@register_jitable
def outdoor_factor(outdoor_temp: float, slope: float) -> float:
    """Return the factor on a rated value for the outdoor temperature [°C]."""
    low, high = OUTDOOR_RANGE
    return 1.0 + slope * (min(max(outdoor_temp, low), high) - RATED_OUTDOOR)


@register_jitable
def wet_bulb_factor(wet_bulb: float, slope: float) -> float:
    """Return the factor on a rated value for the indoor wet bulb [°C]."""
    low, high = WET_BULB_RANGE
    return 1.0 + slope * (min(max(wet_bulb, low), high) - RATED_WET_BULB)


@register_jitable
def coil_temperature(
    unit: AirConditioner, outdoor_temp: float, temp: float, w: float, pressure: float, share: float
) -> float:
    """Return the apparatus dew point [°C] for the entering air ``temp`` [°C], ``w`` [kg/kg]."""
    h = enthalpy(temp, w)
    wet_bulb = saturated_temperature_of_enthalpy(h, pressure)
    net = (
        unit.capacity
        * share
        * outdoor_factor(outdoor_temp, CAPACITY_PER_K_OUTDOOR)
        * wet_bulb_factor(wet_bulb, CAPACITY_PER_K_WET_BULB)
    )
    gross = net + unit.blower
    h_coil = h - gross / (unit.mass_flow * (1.0 - BYPASS_FACTOR))
    t: float = saturated_temperature_of_enthalpy(h_coil, pressure)
    return t


@register_jitable
def cooling(
    unit: AirConditioner, outdoor_temp: float, temp: float, w: float, pressure: float, share: float
) -> Cooling:
    """Return what the running unit takes from air of ``temp`` [°C] and ``w`` [kg/kg].

    ``share`` is the night limit: the share of full output, compressor power following it.
    A coil warmer than the dew point stays dry; its capacity is then that at the humidity which
    just leaves it dry, found by repetition.
    """
    coil = coil_temperature(unit, outdoor_temp, temp, w, pressure, share)
    w_coil = saturation_humidity_ratio(coil, pressure)
    w_eff = w
    if w < w_coil:
        for _ in range(4):
            w_eff = w_coil
            coil = coil_temperature(unit, outdoor_temp, temp, w_eff, pressure, share)
            w_coil = saturation_humidity_ratio(coil, pressure)
    contact = unit.mass_flow * (1.0 - BYPASS_FACTOR)
    # what the coil takes in all, less what the loop will count as condensed
    w_out = min(w, w_coil)
    drop = enthalpy(temp, w) - enthalpy(coil, w_out)
    sensible = contact * (drop - LATENT_HEAT * (w - w_out)) - unit.blower
    wet_bulb = saturated_temperature_of_enthalpy(enthalpy(temp, w_eff), pressure)
    compressor = (
        (unit.power - unit.blower)
        * share
        * outdoor_factor(outdoor_temp, POWER_PER_K_OUTDOOR)
        * wet_bulb_factor(wet_bulb, POWER_PER_K_WET_BULB)
    )
    return Cooling(sensible, w_coil, contact, compressor + unit.blower)


def rated_coil(capacity: float, blower: float, airflow: float) -> float:
    """Return the apparatus dew point [°C] at rating, for checking a data plate.

    Parameters
    ----------
    capacity, blower : float
        [W].
    airflow : float
        [m3/s] of standard air.
    """
    pressure = 101325.0
    h = float(enthalpy(RATED_DRY_BULB, rated_humidity()))
    h_coil = h - (capacity + blower) / (airflow * STANDARD_DENSITY * (1 - BYPASS_FACTOR))
    low = float(temperature_from_enthalpy(h_coil, 0.0))
    return low if h_coil < 0 else float(saturated_temperature_of_enthalpy(h_coil, pressure))


def rated_humidity() -> float:
    """Return the humidity ratio at the indoor rating, from the wet-bulb energy balance."""
    w_sat = float(np.asarray(saturation_humidity_ratio(RATED_WET_BULB, 101325.0)))
    fall = CP_AIR * (RATED_DRY_BULB - RATED_WET_BULB)
    latent = LATENT_HEAT + CP_VAPOUR * (RATED_DRY_BULB - RATED_WET_BULB)
    return w_sat - fall / latent
