"""What the bank's charge and temperature stop, and where a step ends because of them.

What does not belong here: what is drawn and brought (``electricity``), and the limits themselves
(``energy.bank_limits``).
"""

from __future__ import annotations

import numpy as np

from vanclimate.energy import causes
from vanclimate.energy.bank_limits import (
    charge_at,
    discharge_floor,
)
from vanclimate.energy.cells import (
    charge_rate,
    current_of,
    time_to_temperature,
)
from vanclimate.energy.inverter import (
    inverter_voltage,
)
from vanclimate.simulate import state as at
from vanclimate.simulate.films import Array
from vanclimate.simulate.inputs import Equipment, Schedule
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.switches import (
    BURNER,
    COOLING,
    LEAST_STEP,
    N_DEVICES,
)
from vanclimate.van.rules import RESUME

RESTART = 0.05  # of the bank's capacity above a limit before what it stopped may start; assumed
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
def latched(held: float, value: float, sets: float, releases: float) -> float:
    """Return a flag that is set from ``sets`` up and released from ``releases`` down."""
    if value >= sets:
        return 1.0
    return 0.0 if value <= releases else held


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
