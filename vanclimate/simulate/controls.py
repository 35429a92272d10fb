"""What is switched on at a step's start, what it draws, and how far the step may go."""

from __future__ import annotations

import numpy as np
from numba.extending import register_jitable

from vanclimate.energy.bank import Bank, bank_current, charge_rate, inverter_input
from vanclimate.equipment.air_conditioner import START_DEAD_TIME, AirConditioner, cooling
from vanclimate.equipment.loads import fridge_duty
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

FIRST_STEP = 15.0  # s after an event: the air's first minutes are quick
CROSSING = 0.002  # K within which a thermostat crossing counts as located
RESTART = 0.05  # of the bank's capacity above a limit before what it stopped may start; assumed
COIL_STEP = 30.0  # s while air goes over the coil: its humidity follows within about a minute
LEAST_STEP = 1e-3  # s
SOON = 1e-6  # s: times closer than this are the same


@part_of_loop
def watch_bank(v: Array, bank: Bank, live: bool) -> None:
    """Set CUT and DEAD from the charge, each with its restart band."""
    for flag, limit in ((at.CUT, bank.kept), (at.DEAD, bank.cut_off)):
        if live and v[at.CHARGE] <= limit + 1e-9:
            v[flag] = 1.0
        elif not live or v[at.CHARGE] >= limit + RESTART * bank.capacity:
            v[flag] = 0.0


@part_of_loop
def thermostat(
    v: Array, q: Array, air: float, plan: Schedule, unit: AirConditioner, s: int, t: float,
    coil_step: float,
) -> None:  # fmt: skip
    """Switch the unit by the living space's ``air``, and bound the step by what runs out next."""
    allowed = plan.ac_share[s] > 0.0 and v[at.CUT] == 0.0 and v[at.DEAD] == 0.0
    q[at.ALLOWED] = 1.0 if allowed else 0.0
    q[at.HIGH] = plan.ac_setpoint[s] + 0.5 * unit.differential
    q[at.LOW] = plan.ac_setpoint[s] - 0.5 * unit.differential
    q[at.STARTS] = 0.0
    switched = False
    unlocked = t >= v[at.LOCK_UNTIL] - SOON
    if v[at.ON] > 0.0:
        if not allowed or (unlocked and air <= q[at.LOW] + CROSSING):
            v[at.ON], v[at.LOCK_UNTIL], switched = 0.0, t + unit.minimum_off, True
    elif allowed and unlocked and air >= q[at.HIGH] - CROSSING:
        v[at.ON], v[at.LOCK_UNTIL], switched = 1.0, t + unit.minimum_run, True
        v[at.STARTED] = t + START_DEAD_TIME
        q[at.STARTS] = 1.0
    if switched:
        v[at.CAP] = FIRST_STEP
    q[at.H] = min(q[at.H], v[at.CAP])
    if allowed and v[at.LOCK_UNTIL] > t + SOON:
        q[at.H] = min(q[at.H], v[at.LOCK_UNTIL] - t)
    q[at.COOLING] = 0.0
    if v[at.ON] > 0.0 or (allowed and unit.continuous_blower):
        q[at.H] = min(q[at.H], coil_step)
    if v[at.ON] > 0.0:
        if v[at.STARTED] > t + SOON:
            q[at.H] = min(q[at.H], v[at.STARTED] - t)
        else:
            q[at.COOLING] = 1.0


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


@part_of_loop
def air_conditioner(
    v: Array, q: Array, zones: Array, outside: Outside, plan: Schedule, unit: AirConditioner,
    water: Array, s: int,
) -> None:  # fmt: skip
    """Set what the unit takes from the air and draws, and the coil's part in the water balance."""
    coil = water.shape[1] - 1
    water[wet.CONTACT, coil] = 0.0
    q[at.SENSIBLE], q[at.POWER], q[at.BLOWER] = 0.0, 0.0, 0.0
    ahead, pressure = mid_step(v, q), outside.pressure
    air = zones[of.AIR, 0] + ahead * (zones[of.AIR, 0] - zones[of.AIR_BEFORE, 0])
    change = zones[of.HUMIDITY, 0] - zones[of.HUMIDITY_BEFORE, 0]
    humidity = max(0.0, zones[of.HUMIDITY, 0] + ahead * change)
    if v[at.ON] > 0.0:
        c = cooling(unit, q[at.T_OUT], air, humidity, pressure, plan.ac_share[s])
        q[at.POWER], q[at.BLOWER], q[at.SENSIBLE] = c.power, unit.blower, -unit.blower
        if q[at.COOLING] > 0.0:
            q[at.SENSIBLE] = c.sensible
            if humidity > c.coil_humidity:
                water[wet.CONTACT, coil] = c.contact
                water[wet.SATURATION, coil] = c.coil_humidity
    elif q[at.ALLOWED] > 0.0 and unit.continuous_blower:
        q[at.POWER], q[at.BLOWER], q[at.SENSIBLE] = unit.blower, unit.blower, -unit.blower
        if water[wet.FILM, coil] > 0.0:  # the wet coil dries at the air's wet bulb
            bulb = saturated_temperature_of_enthalpy(enthalpy(air, humidity), pressure)
            saturation = saturation_humidity_ratio(bulb, pressure)
            if saturation > humidity:
                water[wet.CONTACT, coil] = unit.mass_flow
                water[wet.SATURATION, coil] = saturation


@part_of_loop
def electricity(
    v: Array, q: Array, beside_fridge: float, plan: Schedule, unit: AirConditioner, bank: Bank,
    s: int, live: bool,
) -> None:  # fmt: skip
    """Set the draw and the bank's current, and end the step where a limit is reached.

    ``beside_fridge`` [°C] is the air of the zone that the fridge stands in.
    """
    served = 1.0 - v[at.DEAD]
    q[at.SERVED] = served
    duty = fridge_duty(beside_fridge)
    fridge_dc, fridge_ac = duty * plan.fridge_dc[s], duty * plan.fridge_ac[s]
    q[at.FRIDGE] = served * (fridge_dc + fridge_ac)
    q[at.FRIDGE_HEAT] = served * duty * plan.fridge_heat[s]
    ac_side = served * (plan.load_ac[s] + fridge_ac)
    direct = served * (plan.load_dc[s] + fridge_dc + plan.fan_power[s])
    if unit.on_inverter:
        ac_side += q[at.POWER]
    else:
        direct += q[at.POWER]
    into_inverter = served * inverter_input(bank, ac_side)
    q[at.INVERTER_LOSS] = max(0.0, into_inverter - ac_side)
    q[at.DRAW] = direct + into_inverter
    asked = plan.load_dc[s] + plan.load_ac[s] + fridge_dc + fridge_ac + plan.fan_power[s]
    q[at.UNSERVED] = (1.0 - served) * asked
    q[at.CURRENT], q[at.SOLAR_USED] = 0.0, min(plan.solar[s], q[at.DRAW])
    if not live:
        return
    q[at.CURRENT] = bank_current(bank, plan.solar[s] - q[at.DRAW])
    q[at.SOLAR_USED] = plan.solar[s]
    rate = charge_rate(bank, q[at.CURRENT])
    if rate < 0.0:
        floor = bank.kept if v[at.CHARGE] > bank.kept + 1e-9 else bank.cut_off
        if v[at.CHARGE] > floor:
            q[at.H] = max(LEAST_STEP, min(q[at.H], (floor - v[at.CHARGE]) / rate))


@part_of_loop
def limit_charging(v: Array, q: Array, plan: Schedule, bank: Bank, s: int) -> None:
    """Take no more from the panels than a full bank and the loads can use within the step."""
    current = bank_current(bank, plan.solar[s] - q[at.DRAW])
    room = max(0.0, bank.capacity - v[at.CHARGE]) / q[at.H]
    q[at.SOLAR_USED] = plan.solar[s]
    if charge_rate(bank, current) > room:
        current = room * 3600.0 / bank.charge_efficiency
        q[at.SOLAR_USED] = q[at.DRAW] + current * (bank.voltage + current * bank.resistance)
    q[at.CURRENT] = current


@register_jitable
def between(values: Array, hour: int, fraction: float) -> float:
    """Return the value a fraction of an hour after an hour edge, linearly."""
    return float(values[hour] + (values[hour + 1] - values[hour]) * fraction)


@register_jitable
def fraction_of_hour(t: float, hour: int) -> float:
    """Return how far ``t`` [s] lies into its hour."""
    return t / 3600.0 - hour


def start_state(charge: float) -> Array:
    """Return the loop's scalar state at a run's start: all at rest, nothing locked."""
    v = np.zeros(at.N_STATE)
    v[at.CHARGE] = charge
    v[at.LOCK_UNTIL] = v[at.STARTED] = -1e18
    v[at.CAP] = FIRST_STEP
    return v


def start_zones(count: int, air: float, humidity: float, buffer: Array, held: float) -> Array:
    """Return the zones at a run's start, all alike.

    Parameters
    ----------
    count : of zones
    air : [°C], of air and surfaces
    humidity : [kg/kg]
    buffer : (zones,) water that linings take up per unit of relative humidity [kg]
    held : relative humidity that the linings are in equilibrium with [0..1]
    """
    zones = np.zeros((of.N_ZONE, count))
    for row in (of.AIR, of.STAR, of.AIR_BEFORE, of.STAR_BEFORE):
        zones[row] = air
    zones[of.HUMIDITY] = zones[of.HUMIDITY_BEFORE] = humidity
    zones[of.BUFFER] = held * buffer
    return zones
