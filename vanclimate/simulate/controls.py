"""The compressor's control: when it runs, how fast, what it takes from the air and draws."""

from __future__ import annotations

import math

from numba.extending import register_jitable

from vanclimate.equipment.air_conditioner import (
    START_DEAD_TIME,
    AirConditioner,
    condenser_air,
    cooling,
)
from vanclimate.equipment.heat_pump import coil_air, heating, heating_works
from vanclimate.physics.air import (
    enthalpy,
    saturated_temperature_of_enthalpy,
    saturation_humidity_ratio,
)
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.films import Array
from vanclimate.simulate.inputs import Cabin, Outside, Schedule
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.switches import (
    ALLOWED,
    COOLING,
    HEAT_PUMP,
    LOCK_UNTIL,
    ON,
    REST,
    SENSE,
    SETPOINT,
    SOON,
    STARTED,
    locked_for,
    switch,
)

FIRST_STEP = 15.0  # s after an event: the air's first minutes are quick
COIL_STEP = 30.0  # s while air goes over the coil: its humidity follows within about a minute
FULL_SPEED_AT = 2.0  # K of error that ask a variable-speed unit for full speed at once; assumed
EVENS_OUT = 600.0  # s in which it takes up what error is left; assumed
FOLLOWS = 90.0  # s with which its speed follows what is asked; assumed


@part_of_loop
def thermostat(
    devices: Array, v: Array, q: Array, air: float, plan: Schedule, unit: AirConditioner, s: int,
    t: float, coil_step: float,
) -> None:  # fmt: skip
    """Switch the compressor by the living space's ``air``, and bound the step by what runs out."""
    served = q[at.MAINS] if unit.on_inverter else q[at.DC]
    cools, heats = devices[COOLING], devices[HEAT_PUMP]
    cools[ALLOWED] = 1.0 if plan.ac_share[s] > 0.0 and served > 0.0 and v[at.CUT] == 0.0 else 0.0
    cools[SETPOINT] = plan.ac_setpoint[s]
    warm = plan.heat_setpoint[s, HEAT_PUMP]
    free = served > 0.0 and v[at.CUT_HEAT_PUMP] == 0.0
    works = heating_works(unit, coil_air(unit, q[at.T_OUT], air))
    heats[ALLOWED] = 1.0 if warm == warm and free and works else 0.0
    heats[SETPOINT] = warm if warm == warm else REST
    q[at.STARTS] = 0.0
    switched = False
    for d in (COOLING, HEAT_PUMP):
        other = devices[HEAT_PUMP if d == COOLING else COOLING]
        may_start = other[ON] == 0.0 and t >= other[LOCK_UNTIL] - SOON
        if switch(devices[d], air, t, may_start):
            switched = True
            if devices[d, ON] > 0.0:
                v[at.READY] = t + START_DEAD_TIME
                q[at.STARTS] = 1.0
                v[at.SHARE] = v[at.BASE] = 1.0 if not unit.variable else unit.floor
    if switched:
        v[at.CAP] = FIRST_STEP
    q[at.H] = min(q[at.H], v[at.CAP])
    for d in (COOLING, HEAT_PUMP):
        q[at.H] = min(q[at.H], locked_for(devices[d], t))
    q[at.COOLS] = 0.0
    running = cools[ON] > 0.0 or heats[ON] > 0.0
    wet = cools[ON] > 0.0 or (cools[ALLOWED] > 0.0 and unit.continuous_blower)
    if wet or (running and unit.variable):
        q[at.H] = min(q[at.H], coil_step)
    if running:
        if v[at.READY] > t + SOON:
            q[at.H] = min(q[at.H], v[at.READY] - t)
        else:
            q[at.COOLS] = 1.0


@part_of_loop
def longest_coil_step(cabin: Cabin, unit: AirConditioner) -> float:
    """Return the longest step [s] while air goes over the coil.

    The coil is held over a step, so a step may exchange no more than a third of the cabin's air.
    """
    return float(min(COIL_STEP, cabin.air_mass[0] / unit.mass_flow / 3.0))


@register_jitable
def mid_step(v: Array, q: Array) -> float:
    """Return how many times its last change a quantity moves until mid-step.

    By no more than the last step's length: after a short step a long one would be thrown far.
    """
    if v[at.LAST_H] <= 0.0:
        return 0.0
    return float(min(0.5 * q[at.H], v[at.LAST_H]) / v[at.LAST_H])


@register_jitable
def air_ahead(zones: Array, z: int, ahead: float) -> float:
    """Return a zone's air [°C] moved on by ``ahead`` times its last change, see `mid_step`."""
    return float(zones[of.AIR, z] + ahead * (zones[of.AIR, z] - zones[of.AIR_BEFORE, z]))


@part_of_loop
def set_speed(device: Array, v: Array, q: Array, air: float, unit: AirConditioner, most: float
              ) -> None:  # fmt: skip
    """Let a variable-speed unit's speed follow its thermostat's error, from floor to ``most``.

    A share of the error at once, the rest over some minutes, as a proportional and integral
    control does; what is beyond floor or most is not gathered. The speed is that of mid-step: it
    moves on from the middle of the last step by the error between the two.
    """
    if not unit.variable:
        v[at.SHARE] = most
        return
    since = 0.5 * (q[at.H] if device[STARTED] > 0.0 else q[at.H] + v[at.LAST_H])
    error = device[SENSE] * (air - device[SETPOINT])
    at_once = (1.0 - unit.floor) / FULL_SPEED_AT * error
    wanted = min(most, max(unit.floor, v[at.BASE] + at_once))
    gathered = v[at.BASE] + since / EVENS_OUT * at_once
    v[at.BASE] = min(most, max(unit.floor, gathered))
    v[at.SHARE] += (wanted - v[at.SHARE]) * (1.0 - math.exp(-since / FOLLOWS))
    v[at.SHARE] = min(most, max(unit.floor, v[at.SHARE]))


@part_of_loop
def air_conditioner(
    devices: Array, v: Array, q: Array, zones: Array, outside: Outside, plan: Schedule,
    unit: AirConditioner, water: Array, roof: float, s: int,
) -> None:  # fmt: skip
    """Set what the unit takes from the air and draws, and the coil's part in the water balance.

    ``roof`` [°C] is the roof's skin, over which its condenser may stand.
    """
    coil = water.shape[1] - 1
    stop_compressor(q, water)
    ahead, pressure = mid_step(v, q), outside.pressure
    air = air_ahead(zones, 0, ahead)
    change = zones[of.HUMIDITY, 0] - zones[of.HUMIDITY_BEFORE, 0]
    humidity = max(0.0, zones[of.HUMIDITY, 0] + ahead * change)
    if devices[COOLING, ON] > 0.0:
        set_speed(devices[COOLING], v, q, zones[of.AIR, 0], unit, plan.ac_share[s])
        beside = condenser_air(unit, q[at.T_OUT], roof, air)
        c = cooling(unit, beside, air, humidity, pressure, v[at.SHARE])
        q[at.POWER], q[at.BLOWER], q[at.SENSIBLE] = c.power, unit.blower, -unit.blower
        if q[at.COOLS] > 0.0:
            q[at.SENSIBLE] = c.sensible
            if humidity > c.coil_humidity:
                water[wet.CONTACT, coil] = c.contact
                water[wet.SATURATION, coil] = c.coil_humidity
    elif devices[HEAT_PUMP, ON] > 0.0:
        set_speed(devices[HEAT_PUMP], v, q, zones[of.AIR, 0], unit, 1.0)
        w = heating(unit, coil_air(unit, q[at.T_OUT], air), air, v[at.SHARE])
        q[at.POWER], q[at.BLOWER] = w.power, unit.blower
        q[at.SENSIBLE] = -w.heat if q[at.COOLS] > 0.0 else -unit.blower
    elif devices[COOLING, ALLOWED] > 0.0 and unit.continuous_blower:
        q[at.POWER], q[at.BLOWER], q[at.SENSIBLE] = unit.blower, unit.blower, -unit.blower
        if water[wet.FILM, coil] > 0.0:  # the wet coil dries at the air's wet bulb
            bulb = saturated_temperature_of_enthalpy(enthalpy(air, humidity), pressure)
            saturation = saturation_humidity_ratio(bulb, pressure)
            if saturation > humidity:
                water[wet.CONTACT, coil] = unit.mass_flow
                water[wet.SATURATION, coil] = saturation


@part_of_loop
def stop_compressor(q: Array, water: Array) -> None:
    """Let the unit stand still within the step in hand."""
    water[wet.CONTACT, water.shape[1] - 1] = 0.0
    q[at.SENSIBLE], q[at.POWER], q[at.BLOWER] = 0.0, 0.0, 0.0


@register_jitable
def between(values: Array, hour: int, fraction: float) -> float:
    """Return the value a fraction of an hour after an hour edge, linearly."""
    return float(values[hour] + (values[hour + 1] - values[hour]) * fraction)


@register_jitable
def fraction_of_hour(t: float, hour: int) -> float:
    """Return how far ``t`` [s] lies into its hour."""
    return t / 3600.0 - hour
