"""The air conditioner run backwards: heat, watts, and what frost takes of it.

Rated at 8.3 °C (47 °F) outdoors and 21.1 °C (70 °F) indoors, a single-hose unit at 20 °C at both
coils. Here: the unit at one instant, its
defrosting spread over the time between. Its thermostat is in the loop.
"""

from __future__ import annotations

from typing import NamedTuple

from numba.extending import register_jitable

from vanclimate.equipment.air_conditioner import AirConditioner, speed_power, takes_unit

RATED_OUTDOOR, RATED_INDOOR = 8.3, 21.1  # °C
RATED_BOTH = 20.0  # °C at both coils of a single-duct unit: EN 14511-2, from memory
# Slopes of an ideal cycle computed with CoolProp, 0.7-1.7 and 0.3-1.2 %/K outdoors and -0.3 … -0.6
# and +2.3 %/K indoors; outdoors that makes 0.63 of the heat at -8.3 °C, where tested units give
# 0.55-0.65, and 0.90 of the watts (0.85-0.95), both from memory.
HEAT_PER_K_OUTDOOR, POWER_PER_K_OUTDOOR = 0.022, 0.006
HEAT_PER_K_INDOOR, POWER_PER_K_INDOOR = -0.004, 0.02
HEATING_OUTDOOR_RANGE = (-20.0, 18.0)
"""Outdoor air [°C] of the slopes, held beyond; the test points lie between -15 and 16.7 °C (from
memory), the rest assumed."""
HEATING_INDOOR_RANGE = (10.0, 27.0)
"""Indoor air [°C] of the slopes, held beyond; assumed."""
# Frost: none where the air is too dry and cold, most just above freezing, none where the coil stays
# above it. The ends and the peak are those of the test code for heat pumps (10 CFR 430, appendix M,
# from memory: 17, 35 and 45 °F); straight between them is assumed.
FROST_FROM, FROST_PEAK, FROST_UNTIL = -8.3, 1.7, 7.2  # °C
FROST_ON_POWER = 0.15  # the watts' loss as a share of the heat's: 1.5 % for 10 % in the same code


class Heating(NamedTuple):
    """What the running heat pump does, averaged over its defrosting."""

    heat: float  # W given to the cabin's air, blower heat already counted
    power: float  # W, blower included


@register_jitable
def _clipped(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


@register_jitable
def frost(outdoor: float) -> float:
    """Return how much of the worst frost there is at an outdoor temperature [°C], 0..1.

    >>> frost(-10.0), frost(1.7), frost(8.3)
    (0.0, 1.0, 0.0)
    """
    if outdoor <= FROST_PEAK:
        return max(0.0, (outdoor - FROST_FROM) / (FROST_PEAK - FROST_FROM))
    return max(0.0, (FROST_UNTIL - outdoor) / (FROST_UNTIL - FROST_PEAK))


@takes_unit
def coil_air(unit: AirConditioner, outdoor: float, inside: float) -> float:
    """Return the air [°C] that the outdoor coil takes its heat from.

    A single-hose unit's is the cabin's own, which it blows out colder: what it saves in watts it
    pays for with the outdoor air that comes in instead.
    """
    return inside if unit.induced_air > 0.0 else outdoor


@takes_unit
def heating_works(unit: AirConditioner, outdoor: float) -> bool:
    """Return whether the unit heats at all with air of ``outdoor`` [°C] at its outdoor coil."""
    return unit.heats and outdoor >= unit.heats_down_to


@takes_unit
def heating(unit: AirConditioner, outdoor: float, temp: float, share: float) -> Heating:
    """Return what the heat pump gives to air of ``temp`` [°C], and draws.

    Parameters
    ----------
    unit : AirConditioner
    outdoor : air at the outdoor coil [°C], see `coil_air`
    temp : air that enters indoors [°C]
    share : of full output
    """
    away = _clipped(outdoor, HEATING_OUTDOOR_RANGE[0], HEATING_OUTDOOR_RANGE[1]) - RATED_OUTDOOR
    warmer = _clipped(temp, HEATING_INDOOR_RANGE[0], HEATING_INDOOR_RANGE[1]) - RATED_INDOOR
    lost = unit.defrost_loss * frost(outdoor)
    heat = (
        unit.heating_capacity * share * (1.0 - lost)
        * (1.0 + HEAT_PER_K_OUTDOOR * away) * (1.0 + HEAT_PER_K_INDOOR * warmer)
    )  # fmt: skip
    compressor = (
        (unit.heating_power - unit.blower) * speed_power(unit.half_power, share)
        * (1.0 - FROST_ON_POWER * lost)
        * (1.0 + POWER_PER_K_OUTDOOR * away) * (1.0 + POWER_PER_K_INDOOR * warmer)
    )  # fmt: skip
    return Heating(heat, compressor + unit.blower)
