"""Air conditioner from its data plate: capacity, watts, and how much of it dries the air.

Rated at 35 °C outdoors and 26.7 °C dry bulb, 19.4 °C wet bulb indoors. The coil follows the
bypass-factor method with an apparatus dew point: air leaves as if a share of it had passed
untouched and the rest had been saturated at the coil's temperature (textbook method, e.g. ASHRAE
Fundamentals, from memory). Here: the unit at one instant. Its thermostat is in the loop; how a
sheet becomes a unit: `unit`; how it heats: `heat_pump`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple, TypeVar

import numpy as np
from numba.extending import register_jitable
from numpy.typing import NDArray

from vanclimate.physics.air import (
    CP_AIR,
    CP_VAPOUR,
    STANDARD_PRESSURE,
    enthalpy,
    saturated_temperature_of_enthalpy,
    saturation_humidity_ratio,
    temperature_from_enthalpy,
)
from vanclimate.physics.bilinear import bilinear

Array = NDArray[np.float64]
F = TypeVar("F", bound=Callable[..., Any])

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
    variable: bool = False  # its speed follows what is asked, down to the floor
    floor: float = 1.0  # share of full output that it can run at, at least
    half_power: float = 0.5  # compressor's watts at half output as a share of those at full
    surge_factor: float = 1.0  # compressor's watts at its start as a multiple of running
    heats: bool = False
    heating_capacity: float = 1.0  # W net heat at its rating, installed
    heating_power: float = 1.0  # W there, blower included
    heating_setpoint: float = 18.0  # °C
    heats_down_to: float = 99.0  # °C outdoors, below which it does not run as a heat pump
    defrost_loss: float = 0.0  # share of its heat where frost is worst
    induced_air: float = 0.0  # m3/s of inside air out through a single hose while it runs
    roof_share: float = 0.0  # of the roof skin's excess over outdoor air, at the condenser
    condenser_excess: float = 0.0  # K that the condenser's air is warmer by
    tabled: bool = False  # its maker's table stands for capacity, power and the slopes
    table_outdoor: Array = np.zeros(1)  # °C, rising
    table_wet_bulb: Array = np.zeros(1)  # °C, rising
    table_capacity: Array = np.zeros((1, 1))  # (outdoor, wet bulb) W, installed
    table_power: Array = np.zeros((1, 1))  # W


class Cooling(NamedTuple):
    """What the running unit does at an instant."""

    sensible: float  # W taken from the cabin's air, blower heat already counted
    coil_humidity: float  # kg/kg of saturated air at the coil; water leaves air that is wetter
    contact: float  # kg/s of air that touches the coil
    power: float  # W, blower included


def takes_unit(function: F) -> F:
    """Mark a function of the loop that takes a unit: compiled into its caller.

    A call would pass every value and array of the unit, which is dearer than the arithmetic.
    """
    wrapped: F = register_jitable(forceinline=True, no_cfunc_wrapper=True)(function)
    return wrapped


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
def speed_power(half_power: float, share: float) -> float:
    """Return the compressor's watts at a share of full output, as a share of those at full.

    The parabola through nothing, ``half_power`` at half, and 1: part of the coils is idle at full
    speed, so a slower compressor works against a smaller lift. At 0.5 watts follow output.

    >>> speed_power(0.5, 0.3), round(speed_power(0.4, 0.5), 3)
    (0.3, 0.4)
    """
    return share * ((4.0 * half_power - 1.0) + (2.0 - 4.0 * half_power) * share)


@takes_unit
def net_capacity(
    unit: AirConditioner, condenser_temp: float, wet_bulb: float, share: float
) -> float:
    """Return the net cooling [W] at a share of full output, installed."""
    if unit.tabled:
        return share * bilinear(
            condenser_temp, wet_bulb, unit.table_outdoor, unit.table_wet_bulb, unit.table_capacity
        )
    return (
        unit.capacity
        * share
        * outdoor_factor(condenser_temp, CAPACITY_PER_K_OUTDOOR)
        * wet_bulb_factor(wet_bulb, CAPACITY_PER_K_WET_BULB)
    )


@takes_unit
def compressor_power(
    unit: AirConditioner, condenser_temp: float, wet_bulb: float, share: float
) -> float:
    """Return the compressor's watts at a share of full output while it cools."""
    at_share = speed_power(unit.half_power, share)
    if unit.tabled:
        full = bilinear(
            condenser_temp, wet_bulb, unit.table_outdoor, unit.table_wet_bulb, unit.table_power
        )
        return (full - unit.blower) * at_share
    return (
        (unit.power - unit.blower)
        * at_share
        * outdoor_factor(condenser_temp, POWER_PER_K_OUTDOOR)
        * wet_bulb_factor(wet_bulb, POWER_PER_K_WET_BULB)
    )


@takes_unit
def condenser_air(unit: AirConditioner, outdoor: float, roof: float, inside: float) -> float:
    """Return the air [°C] that the outdoor coil breathes.

    Parameters
    ----------
    unit : AirConditioner
    outdoor : outdoor air [°C]
    roof : the roof's outer skin [°C]; a skin colder than the air cools nothing
    inside : the living space's air [°C], which a single-hose unit breathes
    """
    if unit.induced_air > 0.0:
        return inside
    return outdoor + unit.condenser_excess + unit.roof_share * max(0.0, roof - outdoor)


@takes_unit
def surge(unit: AirConditioner) -> float:
    """Return the watts for the moment in which the compressor starts, blower included."""
    return unit.blower + unit.surge_factor * (unit.power - unit.blower)


@takes_unit
def coil_temperature(
    unit: AirConditioner, condenser_temp: float, temp: float, w: float, pressure: float,
    share: float,
) -> float:  # fmt: skip
    """Return the apparatus dew point [°C] for the entering air ``temp`` [°C], ``w`` [kg/kg]."""
    h = enthalpy(temp, w)
    wet_bulb = saturated_temperature_of_enthalpy(h, pressure)
    gross = net_capacity(unit, condenser_temp, wet_bulb, share) + unit.blower
    h_coil = h - gross / (unit.mass_flow * (1.0 - BYPASS_FACTOR))
    t: float = saturated_temperature_of_enthalpy(h_coil, pressure)
    return t


@takes_unit
def cooling(
    unit: AirConditioner, condenser_temp: float, temp: float, w: float, pressure: float,
    share: float,
) -> Cooling:  # fmt: skip
    """Return what the running unit takes from air of ``temp`` [°C] and ``w`` [kg/kg].

    ``share`` of full output is the night limit, or what a variable-speed unit runs at; for
    ``condenser_temp`` [°C] see `condenser_air`. A coil warmer than the dew point stays dry; its
    capacity is then that at the humidity which just leaves it dry, found by repetition.
    """
    coil = coil_temperature(unit, condenser_temp, temp, w, pressure, share)
    w_coil = saturation_humidity_ratio(coil, pressure)
    w_eff = w
    if w < w_coil:
        for _ in range(4):
            w_eff = w_coil
            coil = coil_temperature(unit, condenser_temp, temp, w_eff, pressure, share)
            w_coil = saturation_humidity_ratio(coil, pressure)
    contact = unit.mass_flow * (1.0 - BYPASS_FACTOR)
    # what the coil takes in all, less what the loop will count as condensed
    w_out = min(w, w_coil)
    drop = enthalpy(temp, w) - enthalpy(coil, w_out)
    sensible = contact * (drop - LATENT_HEAT * (w - w_out)) - unit.blower
    wet_bulb = saturated_temperature_of_enthalpy(enthalpy(temp, w_eff), pressure)
    compressor = compressor_power(unit, condenser_temp, wet_bulb, share)
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
    h = float(enthalpy(RATED_DRY_BULB, rated_humidity()))
    h_coil = h - (capacity + blower) / (airflow * STANDARD_DENSITY * (1 - BYPASS_FACTOR))
    low = float(temperature_from_enthalpy(h_coil, 0.0))
    if h_coil < 0:
        return low
    return float(saturated_temperature_of_enthalpy(h_coil, STANDARD_PRESSURE))


def rated_humidity() -> float:
    """Return the humidity ratio at the indoor rating, from the wet-bulb energy balance."""
    w_sat = float(np.asarray(saturation_humidity_ratio(RATED_WET_BULB, STANDARD_PRESSURE)))
    fall = CP_AIR * (RATED_DRY_BULB - RATED_WET_BULB)
    latent = LATENT_HEAT + CP_VAPOUR * (RATED_DRY_BULB - RATED_WET_BULB)
    return w_sat - fall / latent
