"""Burner and electric heater: their thermostats, a burner's start, flame, purge and coolant.

An air heater's flame is stepless between floor and full output: the heat that holds the air is
found with the temperatures (``plant``). A hydronic one fires at full output and stops by its
coolant; its room thermostat runs the fan coil. What does not belong here: the heaters themselves
(``equipment.heater``).
"""

from __future__ import annotations

from math import inf, nan

from vanclimate.equipment.heater import (
    LOW_VOLTS,
    STARTS,
    can_start,
    coolant_step,
    coolant_time,
    fan_power,
    fuel_rate,
)
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import plant as at_plant
from vanclimate.simulate import state as at
from vanclimate.simulate.controls import FIRST_STEP
from vanclimate.simulate.films import Array
from vanclimate.simulate.inputs import Cabin, Equipment, Schedule
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.switches import (
    ALLOWED,
    BURNER,
    ELECTRIC,
    LEAST_STEP,
    LOCK_UNTIL,
    ON,
    REST,
    SETPOINT,
    SOON,
    WATCHED,
    beyond,
    locked_for,
    ready,
    switch,
)

FLAME_STEP = 30.0  # s after a flame's: its heat is found with the air, and it comes slowly
TRIES_AGAIN = 600.0  # s after a start that failed; assumed
BLOWN_STEP = 30.0  # s while a fan coil blows: the air it blows into is taken as it was
SHORTEST_BURN = 300.0  # s that a flame burns at least; assumed
EASES = 8.0  # K below where a hydronic burner stops, from which it burns at its floor; assumed
HELD = 1e-6  # K and L
FAN_CLOSE = 0.1  # W within which the fan's draw counts as that of the output


@part_of_loop
def heaters(
    devices: Array, v: Array, q: Array, zones: Array, plan: Schedule, gear: Equipment,
    cabin: Cabin, s: int, t: float,
) -> None:  # fmt: skip
    """Switch burner and electric heater, and bound the step by what runs out next."""
    q[at.BURNER_STARTS] = q[at.BURNER_FAILS] = q[at.BURNER_POWER] = q[at.ELECTRIC] = 0.0
    if gear.electric.there:
        electric_heater(devices[ELECTRIC], v, q, zones[of.AIR, cabin.electric_zone], plan, gear,
                        s, t)  # fmt: skip
    if gear.burner.there:
        burner(devices[BURNER], v, q, zones[of.AIR, cabin.burner_zone], plan, gear, s, t)


@part_of_loop
def electric_heater(
    device: Array, v: Array, q: Array, air: float, plan: Schedule, gear: Equipment, s: int,
    t: float,
) -> None:  # fmt: skip
    """Switch the electric heater and set what it draws."""
    warm = plan.heat_setpoint[s, ELECTRIC]
    served = q[at.MAINS] if gear.electric.on_inverter else q[at.DC]
    device[ALLOWED] = 1.0 if warm == warm and served > 0.0 and v[at.CUT_ELECTRIC] == 0.0 else 0.0
    device[SETPOINT] = warm if warm == warm else REST
    if switch(device, air, t, True):
        v[at.CAP] = FIRST_STEP
        q[at.H] = min(q[at.H], FIRST_STEP)
    q[at.H] = min(q[at.H], locked_for(device, t))
    if device[ON] > 0.0:
        q[at.ELECTRIC] = gear.electric.power


@part_of_loop
def burner(
    device: Array, v: Array, q: Array, air: float, plan: Schedule, gear: Equipment, s: int,
    t: float,
) -> None:  # fmt: skip
    """Switch the fuel heater by its zone's ``air`` [°C], light or end its flame, set its watts."""
    heater = gear.burner
    warm = plan.heat_setpoint[s, BURNER]
    volts = v[at.VOLTS] if gear.limited > 0.0 else inf
    low = volts < heater.least_volts
    if v[at.CUT_BURNER] > 0.0:
        warm = nan
    goes_out = low and device[ON] > 0.0
    served = q[at.DC] > 0.0 and v[at.FUEL] > HELD and not goes_out
    device[ALLOWED] = 1.0 if warm == warm and served else 0.0
    device[SETPOINT] = warm if warm == warm else REST
    fault = can_start(heater, volts, q[at.T_OUT], v[at.FUEL])
    wants = device[ON] == 0.0 and ready(device, t) and beyond(device, air) >= -HELD
    if wants and fault != STARTS:
        q[at.BURNER_FAILS] = fault
        device[LOCK_UNTIL] = t + TRIES_AGAIN
    elif goes_out and t < v[at.LIT] - SOON:  # its start pulls the volts down
        q[at.BURNER_FAILS] = LOW_VOLTS
    if switch(device, air, t, fault == STARTS) and (device[ON] == 0.0 or heater.hydronic):
        v[at.CAP] = min(v[at.CAP], FIRST_STEP if heater.hydronic else FLAME_STEP)
    flame(device, v, q, gear, t, fault == STARTS)
    q[at.H] = min(q[at.H], v[at.CAP], locked_for(device, t))
    burner_watts(device, v, q, gear, t)
    if v[at.FIRING] > 0.0 and t >= v[at.LIT] - SOON:
        lasts = (v[at.FUEL] - 0.5 * HELD) / fuel_rate(heater, heater.full)  # never below nothing
        q[at.H] = max(LEAST_STEP, min(q[at.H], lasts))
    if heater.hydronic:
        end_at_coolant(device, v, q, gear, air, t)
        if coil_fan(device, v, gear) > 0.0:
            q[at.H] = min(q[at.H], BLOWN_STEP)


@part_of_loop
def flame(device: Array, v: Array, q: Array, gear: Equipment, t: float, starts: bool) -> None:
    """Light the flame or put it out, and begin or end a run at full output.

    A hydronic heater's flame goes by its coolant while the room asks for heat, at full output
    until the coolant is nearly at its end and at the floor from there on; an air heater's burns
    as long as its thermostat does.
    """
    heater = gear.burner
    burns = device[ON] > 0.0
    if heater.hydronic and v[at.FIRING] > 0.0:
        new = t < v[at.LIT] + SHORTEST_BURN - SOON and device[ALLOWED] > 0.0
        burns = (burns or new) and v[at.COOLANT] < heater.coolant_off - HELD
        if v[at.COOLANT] >= heater.coolant_off - EASES - HELD:
            v[at.EASED] = 1.0
        elif v[at.COOLANT] <= heater.coolant_on + HELD:
            v[at.EASED] = 0.0
    elif heater.hydronic:
        cold = v[at.COOLANT] <= heater.coolant_on + HELD
        burns = burns and starts and cold and t >= v[at.PURGED] - SOON
    if burns and v[at.FIRING] == 0.0:
        v[at.FIRING], v[at.LIT] = 1.0, t + heater.start
        v[at.EASED] = 0.0
        q[at.BURNER_STARTS] = 1.0
    elif not burns and v[at.FIRING] > 0.0:
        v[at.FIRING] = 0.0
        v[at.PURGED] = t + heater.purge
    if v[at.FIRING] > 0.0:
        if abs(t - v[at.LIT]) <= SOON:
            v[at.CAP] = min(v[at.CAP], FLAME_STEP)
        if v[at.LOW_RUN] >= heater.full_run_every and t >= v[at.LIT] - SOON:
            v[at.LOW_RUN], v[at.FULL_UNTIL] = 0.0, t + heater.full_run
            device[LOCK_UNTIL] = max(device[LOCK_UNTIL], v[at.FULL_UNTIL])
    for until in (v[at.LIT], v[at.PURGED], v[at.FULL_UNTIL], v[at.LIT] + SHORTEST_BURN):
        if until > t + SOON:
            q[at.H] = min(q[at.H], until - t)


@part_of_loop
def burner_watts(device: Array, v: Array, q: Array, gear: Equipment, t: float) -> None:
    """Set the burner's electricity; its fan at first by the output of the step before."""
    heater = gear.burner
    if v[at.FIRING] > 0.0:
        lit = t >= v[at.LIT] - SOON
        q[at.BURNER_POWER] = fan_power(heater, v[at.OUTPUT]) if lit else heater.glow_power
    elif t < v[at.PURGED] - SOON:
        q[at.BURNER_POWER] = heater.purge_power
    elif device[ALLOWED] > 0.0:
        q[at.BURNER_POWER] = heater.standby
    if heater.hydronic and (v[at.FIRING] > 0.0 or device[ON] > 0.0):
        q[at.BURNER_POWER] += heater.pump_power
        q[at.BURNER_POWER] += coil_fan(device, v, gear) * heater.coil_fan_power


@part_of_loop
def coil_fan(device: Array, v: Array, gear: Equipment) -> float:
    """Return 1 while the fan coil's fan runs: the room asks and the coolant is warm."""
    warm = v[at.COOLANT] >= gear.burner.coil_fan_from - HELD
    return 1.0 if device[ON] > 0.0 and warm else 0.0


@part_of_loop
def end_at_coolant(
    device: Array, v: Array, q: Array, gear: Equipment, air: float, t: float
) -> None:  # fmt: skip
    """End the step where the coolant meets what its burner or its fan goes by."""
    heater = gear.burner
    fired, fan = fires(v, gear, t), coil_fan(device, v, gear)
    eases = heater.coolant_off - EASES
    for target in (heater.coolant_on, heater.coolant_off, heater.coil_fan_from, eases):
        ahead = coolant_time(heater, v[at.COOLANT], air, fired, fan, target)
        if ahead > LEAST_STEP:
            q[at.H] = min(q[at.H], ahead)


@part_of_loop
def fires(v: Array, gear: Equipment, t: float) -> float:
    """Return what a hydronic heater's flame gives its coolant [W]."""
    if v[at.FIRING] == 0.0 or t < v[at.LIT] - SOON:
        return 0.0
    full = v[at.EASED] == 0.0 or v[at.FULL_UNTIL] > t + SOON
    return float(gear.burner.full if full else gear.burner.floor)


@part_of_loop
def no_power(devices: Array, v: Array, q: Array) -> None:
    """Put out what needs the battery's circuits, which are down."""
    devices[BURNER, ON] = devices[BURNER, WATCHED] = 0.0
    v[at.FIRING] = 0.0
    q[at.BURNER_POWER] = q[at.BURNER_STARTS] = 0.0


@part_of_loop
def set_plant(
    devices: Array, plant: Array, v: Array, plan: Schedule, gear: Equipment, cabin: Cabin, s: int,
    t: float,
) -> None:  # fmt: skip
    """Let an air heater's flame hold its zone's air between floor and full output.

    Without one, the ideal plant of the plan.
    """
    heater = gear.burner
    plant[at_plant.HEAT_BELOW], plant[at_plant.COOL_ABOVE] = plan.heat_below[s], plan.cool_above[s]
    plant[at_plant.LEAST] = plant[at_plant.MOST] = plant[at_plant.ZONE] = 0.0
    if v[at.FIRING] > 0.0 and t >= v[at.LIT] - SOON and not heater.hydronic:
        plant[at_plant.HEAT_BELOW], plant[at_plant.COOL_ABOVE] = devices[BURNER, SETPOINT], nan
        plant[at_plant.MOST] = heater.full
        plant[at_plant.LEAST] = heater.full if v[at.FULL_UNTIL] > t + SOON else heater.floor
        plant[at_plant.ZONE] = cabin.burner_zone


@part_of_loop
def follow_flame(plant: Array, q: Array, gear: Equipment, output: float) -> bool:
    """Let an air heater's fan go by the ``output`` [W] found; return whether it was another's.

    The step is then to be taken again: what the fan draws was part of it.
    """
    if plant[at_plant.MOST] == 0.0:
        return False
    more = fan_power(gear.burner, output) - q[at.BURNER_POWER]
    if abs(more) <= FAN_CLOSE:
        return False
    q[at.BURNER_POWER] += more
    q[at.DRAW] += more
    return True


@part_of_loop
def settle_coolant(
    devices: Array, v: Array, q: Array, gear: Equipment, air: float, t: float
) -> None:  # fmt: skip
    """Set what the coolant gives the air over a step of q[H], and what it is at its end."""
    q[at.BURNER_HEAT] = q[at.FIRED] = 0.0
    q[at.COOLANT_END] = v[at.COOLANT]
    if gear.burner.hydronic:
        q[at.FIRED] = fires(v, gear, t)
        moved = coolant_step(gear.burner, v[at.COOLANT], air, q[at.FIRED],
                             coil_fan(devices[BURNER], v, gear), q[at.H])  # fmt: skip
        q[at.COOLANT_END], q[at.BURNER_HEAT] = moved.end, moved.heat


@part_of_loop
def accept_heat(v: Array, q: Array, gear: Equipment) -> None:
    """Move coolant, output and fuel on by the step."""
    heater, output = gear.burner, q[at.OUTPUT_NOW]
    if not heater.there:
        return
    v[at.COOLANT] = q[at.COOLANT_END]
    if v[at.FIRING] > 0.0 and output > 0.0:
        v[at.OUTPUT] = output
        v[at.LOW_RUN] += q[at.H]
        v[at.FUEL] -= q[at.H] * fuel_rate(heater, output)
