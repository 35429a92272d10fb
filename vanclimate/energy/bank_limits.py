"""What a bank takes and what it gives: the limits of its cells and of its management.

What does not belong here: the flags that stay set once a limit was met, which the loop keeps.
"""

from __future__ import annotations

from math import inf, sqrt
from typing import NamedTuple

from numba.extending import register_jitable

from vanclimate.energy.causes import CELLS, COLD, FULL, TOO_COLD, TOO_FAST, TOO_HOT
from vanclimate.energy.cells import (
    CHARGE,
    RISE,
    VOLTS,
    WARM,
    Cells,
    at_charge,
    cold_rise,
    internal_resistance,
    open_circuit_voltage,
    upper_knot,
)

COLD_COUNTS = 0.01  # of the capacity: less than that more floor is not put down to the cold


class Accepted(NamedTuple):
    """The greatest charging current, and what holds it there."""

    amps: float
    cause: int  # of causes.HELD_BACK


class Floor(NamedTuple):
    """The charge at which the protection opens, and what it is due to."""

    charge: float  # Ah
    cause: int  # of causes.STOPS


@register_jitable
def charge_limit_at(bank: Cells, temp: float) -> float:
    """Return the greatest current [A] the protection lets in at a temperature [°C]."""
    if temp < bank.charge_low or temp > bank.charge_high:
        return 0.0
    if temp >= bank.slow_below:
        return bank.charge_limit
    share = (temp - bank.charge_low) / (bank.slow_below - bank.charge_low)
    return bank.slow_charge + (bank.charge_limit - bank.slow_charge) * share


@register_jitable
def accepted_current(bank: Cells, charge: float, temp: float, h: float) -> Accepted:
    """Return the greatest current [A] that may be held for the next ``h`` [s].

    All through the step the terminals stay at or below the charge voltage, the charge at or below
    the capacity and the current at or below the limit of the temperature. Near full the cells
    take no more than the tail and ``acceptance`` A for each Ah still lacking at the step's end.
    That end is solved for, so long steps are stable. A pause that the loop keeps after a cold spell
    (``charge_low_resume``) or a full charge (`is_full`) comes on top.
    """
    if temp < bank.charge_low:
        return Accepted(0.0, TOO_COLD)
    if temp > bank.charge_high:
        return Accepted(0.0, TOO_HOT)
    room = bank.capacity - charge
    if room <= 0.0:
        return Accepted(0.0, FULL)
    per_amp = bank.charge_efficiency * h / 3600.0  # Ah by the step's end
    limit = charge_limit_at(bank, temp)
    taken = (bank.tail + bank.acceptance * room) / (1.0 + bank.acceptance * per_amp)
    if taken * per_amp > room:
        taken = room / per_amp
    taken = below_voltage(bank, charge, temp, per_amp, min(taken, limit))
    if taken < limit:
        return Accepted(taken, FULL)
    return Accepted(limit, TOO_COLD if temp < bank.slow_below else TOO_FAST)


@register_jitable
def charge_ceiling(bank: Cells) -> float:
    """Return what open circuit and resistance may come to at the charge voltage [V]."""
    return bank.charge_voltage - bank.gap


@register_jitable
def below_voltage(bank: Cells, charge: float, temp: float, per_amp: float, current: float) -> float:
    """Return a current [A], at most ``current``, that never lifts the terminals above the limit.

    Each ampere adds ``per_amp`` [Ah] by the step's end. At a constant current the terminals follow
    straight lines between the table's knots, so its start, the knots it passes and its end are
    all that must be looked at.
    """
    t = bank.table
    ohm, most = bank.resistance * cold_rise(bank, temp), charge_ceiling(bank)
    start = at_charge(bank, charge)
    spare = most - start.volts
    if spare <= 0.0:
        return 0.0
    here = ohm * start.rise
    if current * here > spare:
        current = spare / here
    if per_amp <= 0.0:
        return current
    k = upper_knot(bank, charge)
    while k < t.shape[1]:
        reaches = (t[CHARGE, k] - charge) / per_amp
        volts, rise = t[VOLTS, k], ohm * t[RISE, k]
        if current <= reaches or volts + reaches * rise > most:
            return min(current, crossing(bank, charge, ohm, per_amp, k))
        if current * rise > most - volts:
            current = (most - volts) / rise
        k += 1
    return current


@register_jitable
def crossing(bank: Cells, charge: float, ohm: float, per_amp: float, k: int) -> float:
    """Return the current [A] that ends a step on the charge voltage below knot ``k``; inf for none.

    With V and R straight between two knots, V(q + I a) + I R(q + I a) = V_max is a quadratic in I.
    """
    t = bank.table
    low = max(k - 1, 0)
    width = t[CHARGE, k] - t[CHARGE, low]
    climb = (t[VOLTS, k] - t[VOLTS, low]) / width if k > 0 else 0.0
    fall = ohm * (t[RISE, k] - t[RISE, low]) / width if k > 0 else 0.0
    back = charge - t[CHARGE, low]
    c = t[VOLTS, low] + climb * back - charge_ceiling(bank)
    b = ohm * t[RISE, low] + fall * back + climb * per_amp
    within = b * b - 4.0 * fall * per_amp * c
    if within < 0.0 or b + sqrt(within) <= 0.0:
        return inf
    current = -2.0 * c / (b + sqrt(within))
    begins = max(0.0, -back / per_amp)  # the current that just reaches the lower knot
    if current < begins * (1.0 - 1e-9):
        return inf
    return float(max(current, begins))


@register_jitable
def is_full(bank: Cells, charge: float, temp: float) -> bool:
    """Say whether chargers would now see the tail current, or less, at the charge voltage.

    Limits of current and temperature do not count here: they are no sign of a full bank.
    """
    room = bank.capacity - charge
    if room <= 1e-9 * bank.capacity:
        return True
    spare = charge_ceiling(bank) - open_circuit_voltage(bank, charge)
    return spare <= bank.tail * internal_resistance(bank, charge, temp)


@register_jitable
def given_share(bank: Cells, temp: float, amps: float) -> float:
    """Return the share of the capacity that a bank gives at a temperature [°C] and amps drawn.

    A table for the cold, and Peukert's law for more than the current the capacity is stated at:
    (I₀ / I)^(k − 1). Less current gives no more than the capacity (assumed).
    """
    c = bank.cold
    share = c[1, 0]
    for k in range(1, c.shape[1]):
        if temp >= c[0, k - 1]:
            part = min(1.0, (temp - c[0, k - 1]) / (c[0, k] - c[0, k - 1]))
            share = c[1, k - 1] + (c[1, k] - c[1, k - 1]) * part
    if amps > bank.slow_current and bank.peukert > 1.0:
        share *= (bank.slow_current / amps) ** (bank.peukert - 1.0)
    return float(share)


@register_jitable
def least_charge(bank: Cells, temp: float, amps: float) -> float:
    """Return the charge [Ah] at which a draw of ``amps`` ends: cut-off, volts or cold."""
    t = bank.table
    ohm = bank.resistance * cold_rise(bank, temp)
    by_volts, before = bank.capacity, 0.0
    for k in range(t.shape[1]):
        above = t[VOLTS, k] - amps * ohm * t[RISE, k] - bank.low_voltage
        if above >= 0.0:
            by_volts = t[CHARGE, k]
            if k > 0:
                by_volts -= (t[CHARGE, k] - t[CHARGE, k - 1]) * above / (above - before)
            break
        before = above
    kept = bank.capacity * (1.0 - given_share(bank, temp, amps))
    return float(max(bank.cut_off, by_volts, kept))


@register_jitable
def discharge_floor(bank: Cells, temp: float, current: float) -> Floor:
    """Return the charge at which the protection opens, at a current [A], negative for a draw.

    The greatest of the cut-off, of the charge at which that current takes the terminals to their
    least voltage, and of what cold and Peukert's law leave out of reach. It is put down to the
    cold where the same bank at 25 °C would give 1 % of its capacity more. Limits of temperature
    (``discharge_low``, ``discharge_high``) come on top.
    """
    amps = max(0.0, -current)
    charge = least_charge(bank, temp, amps)
    if temp < WARM and charge > least_charge(bank, WARM, amps) + COLD_COUNTS * bank.capacity:
        return Floor(charge, COLD)
    return Floor(charge, CELLS)


@register_jitable
def charge_at(bank: Cells, volts: float) -> float:
    """Return the charge [Ah] at which the open-circuit voltage is ``volts``, within the bank's."""
    t = bank.table
    if volts <= t[VOLTS, 0]:
        return 0.0
    for k in range(1, t.shape[1]):
        if volts <= t[VOLTS, k]:
            share = (volts - t[VOLTS, k - 1]) / (t[VOLTS, k] - t[VOLTS, k - 1])
            return float(t[CHARGE, k - 1] + share * (t[CHARGE, k] - t[CHARGE, k - 1]))
    return bank.capacity
