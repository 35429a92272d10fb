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
    charge_at,
    discharge_floor,
    is_full,
)
from vanclimate.energy.cells import (
    bank_temperature,
    charge_rate,
    current_of,
    internal_resistance,
    open_circuit_voltage,
    stored_energy,
    time_to_temperature,
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
from vanclimate.simulate.controls import stop_compressor
from vanclimate.simulate.films import Array
from vanclimate.simulate.heating import no_power
from vanclimate.simulate.inputs import Cabin, Equipment, Schedule
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.loads import MAINS
from vanclimate.simulate.switches import (
    ALLOWED,
    BURNER,
    COOLING,
    ELECTRIC,
    HEAT_PUMP,
    LOCK_UNTIL,
    MINIMUM_OFF,
    N_DEVICES,
    ON,
    SOON,
    WATCHED,
)
from vanclimate.van.rules import RESUME

RESTART = 0.05  # of the bank's capacity above a limit before what it stopped may start; assumed
LEAST_STEP = 1e-3  # s
RETRY = 300.0  # s after which an inverter that tripped is switched on again; assumed
WARMED = 2.0  # K past a limit of the bank's temperature before it holds no more; assumed
NEAR = 3.0  # K from a limit of the bank's temperature within which its crossing is located
HAIR = 1e-9  # Ah


@part_of_loop
def watch_bank(v: Array, shed: Array, plan: Schedule, gear: Equipment, s: int, live: bool) -> None:
    """Set what the bank's charge and temperature stop, each with its restart band."""
    cells, charge, temp = gear.cells, v[at.CHARGE], v[at.BANK_TEMP]
    band = RESTART * cells.capacity
    v[at.COLD_LOCK] = latched(v[at.COLD_LOCK], -temp, -cells.charge_low, -cells.charge_low_resume)
    v[at.HOT_LOCK] = latched(v[at.HOT_LOCK], temp, cells.charge_high, cells.charge_high - WARMED)
    v[at.PAD] = latched(v[at.PAD], -temp, -cells.pad_on, -cells.pad_off)
    if charge < cells.resumes:
        v[at.FULL] = 0.0
    if not live or gear.limited == 0.0:
        v[at.CUT : at.CUT_ELECTRIC + 1] = 0.0
        v[at.DEAD] = 0.0
        shed[:] = 0.0
        return
    for d in range(N_DEVICES):
        floor = device_floor(plan, gear, s, d)
        v[at.CUT + d] = latched(v[at.CUT + d], -charge, -floor - HAIR, -floor - band)
    for g in range(1, len(shed)):
        least = plan.group_floor[s, g]
        shed[g] = latched(shed[g], -charge, -least - HAIR, -least - RESUME * cells.capacity)
    if v[at.DEAD] == 0.0:
        if charge <= v[at.FLOOR] + HAIR:
            v[at.DEAD], v[at.DEAD_CAUSE] = 1.0, v[at.FLOOR_CAUSE]
        elif temp <= cells.discharge_low or temp >= cells.discharge_high:
            v[at.DEAD] = 1.0
            v[at.DEAD_CAUSE] = causes.COLD if temp <= cells.discharge_low else causes.HOT
    else:
        back = discharge_floor(cells, temp, -v[at.TRIP_CURRENT]).charge + band
        mild = cells.discharge_low + WARMED <= temp <= cells.discharge_high - WARMED
        if charge >= back and mild:
            v[at.DEAD] = 0.0


@part_of_loop
def device_floor(plan: Schedule, gear: Equipment, s: int, d: int) -> float:
    """Return the charge [Ah] at which a device is held off: the kept one, or a rule's.

    A burner takes little and runs on into the charge that is kept, save where a rule forbids it.
    """
    if d == BURNER:
        rule = plan.heat_floor[s, d]
        return float(rule if rule > 0.0 else -np.inf)
    return float(max(gear.kept, plan.ac_floor[s] if d == COOLING else plan.heat_floor[s, d]))


@part_of_loop
def latched(held: float, value: float, sets: float, releases: float) -> float:
    """Return a flag that is set from ``sets`` up and released from ``releases`` down."""
    if value >= sets:
        return 1.0
    return 0.0 if value <= releases else held


@part_of_loop
def ask(zones: Array, v: Array, q: Array, shed: Array, plan: Schedule, gear: Equipment,
        cabin: Cabin, s: int) -> None:  # fmt: skip
    """Set what loads and devices draw with what is served now, and the loads' heat and water."""
    warms = q[at.DC] * v[at.PAD]
    if gear.cells.pad_waits and plan.solar[s] + plan.drive_power[s] + plan.on_shore[s] == 0.0:
        warms = 0.0
    q[at.PAD_POWER] = warms * gear.cells.pad_power
    q[at.FRIDGE] = q[at.FRIDGE_HEAT] = q[at.LOADS] = q[at.UNSERVED] = 0.0
    for z in range(zones.shape[1]):
        zones[of.LOAD_HEAT, z] = zones[of.LOAD_WATER, z] = 0.0
    duty = fridge_duty(zones[of.AIR, cabin.fridge_zone])
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
    if not held_off(devices, t):
        v[at.WAITS] = 0.0
    q[at.DC] = 1.0
    net = 0.0
    for _ in range(6):
        q[at.MAINS] = mains_up(v, plan, s)
        ask(zones, v, q, shed, plan, gear, cabin, s)
        sources(v, q, plan, gear, s)
        net = plan.solar[s] + q[at.SHORE_GIVES] + q[at.DRIVE_GIVES] - q[at.DRAW]
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
def sources(v: Array, q: Array, plan: Schedule, gear: Equipment, s: int) -> None:
    """Set what shore, DC-DC chargers and a second alternator could bring to the bus [W].

    Chargers give watts up to their amps, a second alternator its amps at the bank's volts.
    A charger that comes first makes compressor and electric heater wait; to other loads it yields.
    """
    q[at.SHORE_GIVES] = q[at.SHORE_LACKS] = 0.0
    if plan.on_shore[s] > 0.0:
        wanted = 0.0 if v[at.FULL] > 0.0 and not gear.shore.loads_first else np.inf
        yields = q[at.POWER] + q[at.ELECTRIC] == 0.0
        given = shore_charge(gear.shore, q[at.ON_SHORE], v[at.VOLTS], wanted, yields)
        q[at.SHORE_GIVES], q[at.SHORE_LACKS] = given.power, given.rest
    direct, most = plan.direct_amps[s], gear.cells.charge_voltage
    chargers = max(0.0, plan.drive_power[s] - direct * most)
    q[at.DRIVE_GIVES] = min(chargers, plan.drive_amps[s] * v[at.VOLTS])
    q[at.DRIVE_GIVES] += direct * min(most, v[at.VOLTS])


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
def end_at_limits(
    v: Array, q: Array, shed: Array, plan: Schedule, gear: Equipment, s: int, net: float
) -> None:
    """End the step where the falling charge meets the next limit."""
    cells, charge = gear.cells, v[at.CHARGE]
    current = current_of(v[at.OPEN], v[at.OHM], net)
    opens = discharge_floor(cells, v[at.BANK_TEMP], current)
    v[at.FLOOR], v[at.FLOOR_CAUSE] = opens.charge, opens.cause
    floor = opens.charge
    for d in range(N_DEVICES):
        kept = device_floor(plan, gear, s, d)
        if v[at.CUT + d] == 0.0 and kept < charge - HAIR:
            floor = max(floor, kept)
    for g in range(1, len(shed)):
        least = plan.group_floor[s, g]
        if shed[g] == 0.0 and least < charge - HAIR:
            floor = max(floor, least)
    if q[at.INVERTER_INPUT] > 0.0:
        volts = v[at.OPEN] + current * v[at.OHM]
        spare = inverter_voltage(gear.inverter, volts, q[at.INVERTER_INPUT]) - gear.inverter.cut_off
        floor = max(floor, min(charge - HAIR, charge_at(cells, v[at.OPEN] - spare)))
    rate = charge_rate(cells, current)
    if charge > floor:
        q[at.H] = max(LEAST_STEP, min(q[at.H], (floor - charge) / rate))


@part_of_loop
def end_at_temperatures(v: Array, q: Array, gear: Equipment, air: float) -> None:
    """End the step where the bank's temperature meets a limit or its pad's thermostat."""
    cells, temp = gear.cells, v[at.BANK_TEMP]
    heat = q[at.BANK_LOSS] + q[at.PAD_POWER]  # the loss is the last step's
    for limit in (
        cells.charge_low_resume if v[at.COLD_LOCK] > 0.0 else cells.charge_low,
        cells.pad_off if v[at.PAD] > 0.0 else cells.pad_on,
        cells.charge_high - WARMED if v[at.HOT_LOCK] > 0.0 else cells.charge_high,
        cells.discharge_low,
        cells.discharge_high,
    ):
        if abs(temp - limit) < NEAR:
            ahead = time_to_temperature(cells, temp, air, heat, limit)
            if ahead > LEAST_STEP:
                q[at.H] = min(q[at.H], ahead)


@part_of_loop
def settle_bus(
    v: Array, q: Array, zones: Array, plan: Schedule, gear: Equipment, cabin: Cabin, s: int,
    live: bool,
) -> None:  # fmt: skip
    """Set over a step of q[H] what each source brings, the bank's current, loss and temperature."""
    cells, charge, temp, h = gear.cells, v[at.CHARGE], v[at.BANK_TEMP], q[at.H]
    q[at.CURRENT] = q[at.BANK_LOSS] = q[at.HELD] = q[at.ACCEPTED] = 0.0
    given = plan.solar[s] + q[at.SHORE_GIVES] + q[at.DRIVE_GIVES]
    taken = 0.0
    if live and given > q[at.DRAW]:
        q[at.HELD_CAUSE] = causes.FULL
        if v[at.COLD_LOCK] > 0.0:
            q[at.HELD_CAUSE] = causes.TOO_COLD
        elif v[at.HOT_LOCK] > 0.0:
            q[at.HELD_CAUSE] = causes.TOO_HOT
        elif v[at.FULL] == 0.0:
            accepted = accepted_current(cells, charge, temp, h)
            q[at.ACCEPTED], q[at.HELD_CAUSE] = accepted.amps, accepted.cause
            taken = accepted.amps * (v[at.OPEN] + accepted.amps * v[at.OHM])
    need = q[at.DRAW] + taken
    q[at.SOLAR] = min(plan.solar[s], need)
    q[at.SHORE] = min(q[at.SHORE_GIVES], need - q[at.SOLAR])
    q[at.DRIVE] = min(q[at.DRIVE_GIVES], need - q[at.SOLAR] - q[at.SHORE])
    if live:
        brought = q[at.SOLAR] + q[at.SHORE] + q[at.DRIVE]
        q[at.HELD] = given - brought
        q[at.CURRENT] = current_of(v[at.OPEN], v[at.OHM], brought - q[at.DRAW])
        end = charge + h * charge_rate(cells, q[at.CURRENT])
        stored = stored_energy(cells, end) - v[at.STORED]
        q[at.BANK_LOSS] = brought - q[at.DRAW] - stored * 3600.0 / h
    q[at.CHARGER_LOSS] = q[at.SHORE] * (1.0 / gear.shore.charger_efficiency - 1.0)
    q[at.DRIVE_LOSS] = q[at.DRIVE] * plan.drive_heat[s]
    air = zones[of.AIR, cabin.bank_zone]
    q[at.BANK_END], q[at.BANK_GIVES] = bank_temperature(
        cells, temp, air, q[at.BANK_LOSS] + q[at.PAD_POWER], h
    )


@part_of_loop
def accept_bus(v: Array, q: Array, gear: Equipment) -> None:
    """Move charge, temperature and the charger's end on by the step that was taken."""
    v[at.CHARGE] += q[at.H] * charge_rate(gear.cells, q[at.CURRENT])
    v[at.BANK_TEMP] = q[at.BANK_END]
    know_bank(v, gear)
    v[at.VOLTS] = v[at.OPEN] + q[at.CURRENT] * v[at.OHM]
    limited = q[at.CURRENT] > 0.0 and q[at.CURRENT] >= 0.999 * q[at.ACCEPTED]
    if limited and is_full(gear.cells, v[at.CHARGE], v[at.BANK_TEMP]):
        v[at.FULL] = 1.0


@part_of_loop
def know_bank(v: Array, gear: Equipment) -> None:
    """Set what follows from the bank's charge and temperature, once for the step that begins."""
    cells, charge = gear.cells, v[at.CHARGE]
    v[at.OPEN] = open_circuit_voltage(cells, charge)
    v[at.OHM] = internal_resistance(cells, charge, v[at.BANK_TEMP])
    v[at.STORED] = stored_energy(cells, charge)
