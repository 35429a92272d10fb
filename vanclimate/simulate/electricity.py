"""The bus: what is served, what it draws, which source brings it, and what stops or limits it.

The bus is the bank's terminals. Sources serve in the order sun, shore, alternator; what loads and
bank cannot take is held back, with its cause. While shore is on, it brings what the mains sockets
take, and the charger has what the inlet leaves. What does not belong here: the models themselves
(``energy``), and when a device wants to run (``controls``, ``heating``).
"""

from __future__ import annotations

import numpy as np

from vanclimate.energy import causes
from vanclimate.energy.bank_limits import (
    accepted_current,
    is_full,
)
from vanclimate.energy.cells import (
    at_charge,
    back_voltage,
    bank_temperature,
    charge_rate,
    cold_rise,
    current_of,
    stored_energy,
)
from vanclimate.energy.inverter import (
    inverter_draw,
    inverter_input,
    inverter_limit,
    inverter_voltage,
)
from vanclimate.energy.shore import shore_charge
from vanclimate.equipment.air_conditioner import surge
from vanclimate.equipment.loads import fridge_duty
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate.bank_watch import end_at_limits
from vanclimate.simulate.controls import air_ahead, mid_step, stop_compressor
from vanclimate.simulate.films import Array
from vanclimate.simulate.heating import no_power
from vanclimate.simulate.inputs import Cabin, Equipment, Schedule
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.loads import MAINS
from vanclimate.simulate.switches import (
    ALLOWED,
    COOLING,
    ELECTRIC,
    HEAT_PUMP,
    LOCK_UNTIL,
    MINIMUM_OFF,
    ON,
    SOON,
    WATCHED,
)

RETRY = 300.0  # s after which an inverter that tripped is switched on again; assumed


@part_of_loop
def ask(zones: Array, v: Array, q: Array, shed: Array, plan: Schedule, gear: Equipment,
        cabin: Cabin, s: int) -> None:  # fmt: skip
    """Set what loads and devices draw with what is served now, and the loads' heat and water."""
    warms = q[at.DC] * v[at.PAD]
    could_charge = plan.solar[s, 0] + plan.solar[s, 1] + plan.drive_power[s]
    waits = gear.cells.pad_waits and plan.on_shore[s] == 0.0
    if waits and could_charge < gear.cells.pad_power:
        warms = 0.0
    q[at.PAD_POWER] = warms * gear.cells.pad_power
    q[at.FRIDGE] = q[at.FRIDGE_HEAT] = q[at.LOADS] = q[at.UNSERVED] = 0.0
    for z in range(zones.shape[1]):
        zones[of.LOAD_HEAT, z] = zones[of.LOAD_WATER, z] = 0.0
    duty = fridge_duty(air_ahead(zones, cabin.fridge_zone, mid_step(v, q)))
    direct, mains = 0.0, 0.0
    for g in range(len(shed)):
        for feed in range(2):
            fridge, other = duty * plan.fridge_power[s, g, feed], plan.load_power[s, g, feed]
            served = q[at.MAINS] if feed == MAINS else q[at.DC]
            if served == 0.0 or shed[g] > 0.0:
                q[at.UNSERVED] += fridge + other
                continue
            q[at.FRIDGE] += fridge
            q[at.FRIDGE_HEAT] += duty * plan.fridge_heat[s, g, feed]
            q[at.LOADS] += other
            if feed == MAINS:
                mains += fridge + other
            else:
                direct += fridge + other
            for z in range(zones.shape[1]):
                zones[of.LOAD_HEAT, z] += plan.load_heat[s, g, feed, z]
                zones[of.LOAD_WATER, z] += plan.load_water[s, g, feed, z]
    direct += q[at.DC] * plan.fan_power[s] + q[at.BURNER_POWER] + q[at.PAD_POWER]
    q[at.UNSERVED] += (1.0 - q[at.DC]) * plan.fan_power[s]
    if gear.unit.on_inverter:
        mains += q[at.POWER]
    else:
        direct += q[at.POWER]
    if gear.electric.on_inverter:
        mains += q[at.ELECTRIC]
    else:
        direct += q[at.ELECTRIC]
    q[at.MAINS_DRAW] = mains
    q[at.ON_SHORE], q[at.INVERTER_INPUT], q[at.INVERTER_LOSS] = 0.0, 0.0, 0.0
    if plan.on_shore[s] > 0.0:  # the inverter lets it through, on as it is
        if q[at.MAINS] > 0.0:
            q[at.INVERTER_LOSS] = inverter_input(gear.inverter, 0.0)
            q[at.ON_SHORE] = mains + q[at.INVERTER_LOSS]
    elif v[at.INVERTER_DOWN] == 0.0 and v[at.DEAD] == 0.0:
        q[at.INVERTER_INPUT] = inverter_input(gear.inverter, mains)
        drawn = inverter_draw(gear.inverter, v[at.VOLTS], q[at.INVERTER_INPUT])
        q[at.INVERTER_LOSS] = drawn - mains  # its own and its cable's
    q[at.DRAW] = direct + mains - q[at.ON_SHORE] + q[at.INVERTER_LOSS]


@part_of_loop
def electricity(
    devices: Array, zones: Array, v: Array, q: Array, shed: Array, water: Array, plan: Schedule,
    gear: Equipment, cabin: Cabin, s: int, t: float, live: bool,
) -> None:  # fmt: skip
    """Set what is drawn, turn off what the limits do not allow, and bound the step by them.

    A bank whose protection is open gives nothing, but what sources bring still serves the
    battery's own circuits where it is enough for all that they ask.
    """
    watch_inverter(v, gear, t)
    if v[at.INVERTER_DOWN] > 0.0 and v[at.INVERTER_UNTIL] > t + SOON:
        q[at.H] = min(q[at.H], v[at.INVERTER_UNTIL] - t)
    if not held_off(devices, t):
        v[at.WAITS] = 0.0
    q[at.DC] = 1.0
    net = 0.0
    for _ in range(6):
        q[at.MAINS] = mains_up(v, plan, s)
        ask(zones, v, q, shed, plan, gear, cabin, s)
        volts = v[at.VOLTS]
        for _ in range(2):  # at the last step's volts, then at those that their watts make
            sources(v, q, plan, gear, s, volts, live)
            if not live or offered(q) == 0.0:
                break
            volts = volts_at(v, gear, offered(q) - q[at.DRAW])
        net = offered(q) - q[at.DRAW]
        if v[at.DEAD] > 0.0 and live and net < 0.0 and q[at.DC] > 0.0:
            q[at.DC] = 0.0
            no_power(devices, v, q)
            continue
        limit = inverter_limit(gear.inverter, zones[of.AIR, cabin.inverter_zone])
        cause = exceeded(v, q, plan, gear, s, limit, net, live)
        if cause == causes.NONE or not relieve(devices, v, q, water, cause, t):
            break
    v[at.FLOOR] = -np.inf
    if live and gear.limited > 0.0 and net < 0.0 and v[at.DEAD] == 0.0:
        end_at_limits(v, q, shed, plan, gear, s, net)


@part_of_loop
def held_off(devices: Array, t: float) -> bool:
    """Return whether a device that gave way, or stopped, is not yet allowed to try again."""
    for d in (COOLING, HEAT_PUMP, ELECTRIC):
        locked = devices[d, ALLOWED] > 0.0 and devices[d, LOCK_UNTIL] > t + SOON
        if locked and devices[d, ON] == 0.0:
            return True
    return False


@part_of_loop
def mains_up(v: Array, plan: Schedule, s: int) -> float:
    """Return 1 while the mains sockets are served: by shore, or by the inverter from the bank."""
    up = v[at.INVERTER_DOWN] == 0.0 and (plan.on_shore[s] > 0.0 or v[at.DEAD] == 0.0)
    return 1.0 if up else 0.0


@part_of_loop
def sources(
    v: Array, q: Array, plan: Schedule, gear: Equipment, s: int, volts: float, live: bool
) -> None:
    """Set what panels, shore, DC-DC chargers and a second alternator could bring to the bus [W].

    Controllers and chargers give watts up to their amps, a second alternator its amps, all at the
    bank's ``volts`` and no more than its charge voltage. A charger on shore that comes first makes
    compressor and electric heater wait; to other loads it yields.
    """
    most = gear.cells.charge_voltage
    volts, panels, direct = min(most, volts), gear.controllers, plan.direct_amps[s]
    q[at.ROOF_GIVES] = min(plan.solar[s, 0], panels.roof_amps * volts)
    q[at.GROUND_GIVES] = min(plan.solar[s, 1], panels.ground_amps * volts)
    q[at.SHORE_GIVES] = q[at.SHORE_LACKS] = 0.0
    if plan.on_shore[s] > 0.0:
        wanted, sun = np.inf, q[at.ROOF_GIVES] + q[at.GROUND_GIVES]
        if not gear.shore.loads_first:  # what it does not need it leaves to the loads
            wanted = q[at.DRAW] + bank_takes(v, q, gear, live) - sun
        yields = q[at.POWER] + q[at.ELECTRIC] == 0.0
        given = shore_charge(gear.shore, q[at.ON_SHORE], volts, wanted, yields)
        q[at.SHORE_GIVES], q[at.SHORE_LACKS] = given.power, given.rest
    chargers = max(0.0, plan.drive_power[s] - direct * most)
    q[at.DRIVE_GIVES] = min(chargers, plan.drive_amps[s] * volts) + direct * volts


@part_of_loop
def volts_at(v: Array, gear: Equipment, power: float) -> float:
    """Return the volts at the terminals while ``power`` [W] flows into the bank, or out below 0."""
    volts = back_voltage(gear.cells, v[at.OPEN], power)
    return terminals(v, gear, current_of(volts, v[at.OHM], power))


@part_of_loop
def terminals(v: Array, gear: Equipment, amps: float) -> float:
    """Return the volts at the terminals while ``amps`` flow into the bank, or out below 0."""
    return float(back_voltage(gear.cells, v[at.OPEN], amps) + amps * v[at.OHM])


@part_of_loop
def bank_takes(v: Array, q: Array, gear: Equipment, live: bool) -> float:
    """Set the amps that the bank accepts over a step of q[H] and what holds back the rest.

    Return their watts at its terminals; 0 where it is not followed.
    """
    q[at.ACCEPTED], q[at.HELD_CAUSE] = 0.0, causes.FULL
    if v[at.COLD_LOCK] > 0.0:
        q[at.HELD_CAUSE] = causes.TOO_COLD
    elif v[at.HOT_LOCK] > 0.0:
        q[at.HELD_CAUSE] = causes.TOO_HOT
    elif live and v[at.FULL] == 0.0:
        accepted = accepted_current(gear.cells, v[at.CHARGE], v[at.BANK_TEMP], q[at.H])
        q[at.ACCEPTED], q[at.HELD_CAUSE] = accepted.amps, accepted.cause
    return float(q[at.ACCEPTED] * terminals(v, gear, q[at.ACCEPTED]))


@part_of_loop
def offered(q: Array) -> float:
    """Return what all sources together could bring to the bus [W]."""
    sun = q[at.ROOF_GIVES] + q[at.GROUND_GIVES]
    return float(sun + q[at.SHORE_GIVES] + q[at.DRIVE_GIVES])


@part_of_loop
def watch_inverter(v: Array, gear: Equipment, t: float) -> None:
    """Switch a tripped inverter on again: after a while, or once its volts are back."""
    if v[at.INVERTER_DOWN] == 0.0 or t < v[at.INVERTER_UNTIL] - SOON:
        return
    if v[at.INVERTER_DOWN] != causes.CABLE or v[at.OPEN] >= gear.inverter.restart:
        v[at.INVERTER_DOWN] = 0.0


@part_of_loop
def exceeded(
    v: Array, q: Array, plan: Schedule, gear: Equipment, s: int, limit: float, net: float,
    live: bool,
) -> int:  # fmt: skip
    """Return which limit the draw exceeds: rating or inlet, start, amps, cable; NONE where none.

    ``net`` [W] is what sources bring beyond the draw.
    """
    on_inverter = plan.on_shore[s] == 0.0
    if (on_inverter and q[at.MAINS_DRAW] > limit) or q[at.SHORE_LACKS] > 0.0:
        return causes.OVERLOAD
    starting = q[at.STARTS] > 0.0 and gear.unit.on_inverter and on_inverter
    if starting and q[at.MAINS_DRAW] - q[at.POWER] + surge(gear.unit) > gear.inverter.surge:
        return causes.SURGE
    if not live or gear.limited == 0.0 or v[at.DEAD] > 0.0:
        return causes.NONE
    if net >= 0.0:
        v[at.TRIP_CURRENT] = 0.0
        return causes.NONE
    current = current_of(v[at.OPEN], v[at.OHM], net)
    v[at.TRIP_CURRENT] = -current
    if -current > gear.cells.discharge_limit:
        return causes.CURRENT
    if q[at.INVERTER_INPUT] > 0.0:
        volts = v[at.OPEN] + current * v[at.OHM]
        if inverter_voltage(gear.inverter, volts, q[at.INVERTER_INPUT]) < gear.inverter.cut_off:
            return causes.CABLE
    return causes.NONE


@part_of_loop
def relieve(devices: Array, v: Array, q: Array, water: Array, cause: int, t: float) -> bool:
    """Turn off the next thing that gives way to a limit; return whether there was one.

    The compressor first, then the electric heater, then all mains sockets, then all. An inverter
    that sees too few volts switches off whole.
    """
    whole = cause == causes.CABLE
    for d in (COOLING, HEAT_PUMP):
        if devices[d, ON] > 0.0:
            devices[d, ON] = devices[d, WATCHED] = 0.0
            devices[d, LOCK_UNTIL] = t + devices[d, MINIMUM_OFF]
            stop_compressor(q, water)
            q[at.STARTS] = 0.0
            v[at.WAITS] = cause
            if not whole:
                return True
    if q[at.ELECTRIC] > 0.0:
        devices[ELECTRIC, ON] = devices[ELECTRIC, WATCHED] = 0.0
        devices[ELECTRIC, LOCK_UNTIL] = t + devices[ELECTRIC, MINIMUM_OFF]
        q[at.ELECTRIC] = 0.0
        v[at.WAITS] = cause
        if not whole:
            return True
    if v[at.INVERTER_DOWN] == 0.0 and q[at.MAINS] > 0.0:
        v[at.INVERTER_DOWN] = cause
        v[at.INVERTER_UNTIL] = t + RETRY
        return True
    if v[at.DEAD] == 0.0 and cause == causes.CURRENT:
        v[at.DEAD], v[at.DEAD_CAUSE] = 1.0, cause
        return True
    return False


@part_of_loop
def settle_bus(
    v: Array, q: Array, zones: Array, plan: Schedule, gear: Equipment, cabin: Cabin, s: int,
    live: bool,
) -> None:  # fmt: skip
    """Set over a step of q[H] what each source brings, the bank's current, loss and temperature."""
    cells, charge, temp, h = gear.cells, v[at.CHARGE], v[at.BANK_TEMP], q[at.H]
    q[at.CURRENT] = q[at.BANK_LOSS] = q[at.HELD] = q[at.ACCEPTED] = 0.0
    q[at.HELD_CAUSE] = causes.FULL
    given, sun = offered(q), q[at.ROOF_GIVES] + q[at.GROUND_GIVES]
    taken = bank_takes(v, q, gear, live) if given > q[at.DRAW] else 0.0
    need = q[at.DRAW] + taken
    q[at.SOLAR] = min(sun, need)
    q[at.SHORE] = min(q[at.SHORE_GIVES], need - q[at.SOLAR])
    q[at.DRIVE] = min(q[at.DRIVE_GIVES], need - q[at.SOLAR] - q[at.SHORE])
    if live:
        brought = q[at.SOLAR] + q[at.SHORE] + q[at.DRIVE]
        q[at.HELD] = given - brought
        volts = back_voltage(cells, v[at.OPEN], brought - q[at.DRAW])
        q[at.CURRENT] = current_of(volts, v[at.OHM], brought - q[at.DRAW])
        end = charge + h * charge_rate(cells, q[at.CURRENT])
        stored = stored_energy(cells, end) - v[at.STORED]
        q[at.BANK_LOSS] = brought - q[at.DRAW] - stored * 3600.0 / h
    used = q[at.SOLAR] / sun if sun > 0.0 else 0.0  # of both controllers alike
    q[at.ROOF_LOSS] = used * q[at.ROOF_GIVES] * gear.controllers.roof_heat
    q[at.GROUND_LOSS] = used * q[at.GROUND_GIVES] * gear.controllers.ground_heat
    q[at.CHARGER_LOSS] = q[at.SHORE] * (1.0 / gear.shore.charger_efficiency - 1.0)
    q[at.DRIVE_LOSS] = q[at.DRIVE] * plan.drive_heat[s]
    air = zones[of.AIR, cabin.bank_zone]
    q[at.BANK_END], q[at.BANK_GIVES] = bank_temperature(
        cells, temp, air, q[at.BANK_LOSS] + q[at.PAD_POWER], h
    )


@part_of_loop
def accept_bus(v: Array, q: Array, gear: Equipment, live: bool) -> None:
    """Move charge, temperature and the charger's end on by the step that was taken."""
    v[at.BANK_TEMP] = q[at.BANK_END]
    if not live:
        return
    v[at.CHARGE] += q[at.H] * charge_rate(gear.cells, q[at.CURRENT])
    know_bank(v, gear)
    v[at.VOLTS] = terminals(v, gear, q[at.CURRENT])
    limited = q[at.CURRENT] > 0.0 and q[at.CURRENT] >= 0.999 * q[at.ACCEPTED]
    if limited and is_full(gear.cells, v[at.CHARGE], v[at.BANK_TEMP]):
        v[at.FULL] = 1.0


@part_of_loop
def know_bank(v: Array, gear: Equipment) -> None:
    """Set what follows from the bank's charge and temperature, once for the step that begins."""
    cells = gear.cells
    now = at_charge(cells, v[at.CHARGE])
    v[at.OPEN], v[at.STORED] = now.volts, now.energy
    v[at.OHM] = cells.resistance * cold_rise(cells, v[at.BANK_TEMP]) * now.rise
