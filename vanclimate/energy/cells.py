"""The bank's cells: open-circuit voltage, energy, resistance, current, temperature.

Charge counts in Ah from empty, current in A, positive into the bank. What does not belong here:
the most that it takes and gives (``bank_limits``).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, expm1, inf, log, sqrt
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from numba.extending import register_jitable

from vanclimate.physics.air import KELVIN
from vanclimate.van.battery import Battery

Array = npt.NDArray[np.float64]

CHARGE, VOLTS, ENERGY, RISE = range(4)  # rows of a bank's table
WARM = 25.0
"""Temperature [°C] at which capacity and resistance are stated."""
RESISTANCE_RANGE = (-30.0, 60.0)
"""Temperatures [°C] of the resistance's law, held beyond; where such banks are used, assumed."""


@dataclass(frozen=True)
class Chemistry:
    """What sets one kind of cell apart; the columns of each table belong together."""

    nominal: float  # V of a cell
    share: tuple[float, ...]  # of the capacity
    volts: tuple[float, ...]  # V of a cell, at rest after a discharge
    gap: float  # V of a cell by which it stands higher while it is charged, at any current
    rise: tuple[float, ...]  # of the resistance
    activation: float  # K
    temps: tuple[float, ...]  # °C
    given: tuple[float, ...]  # share of the capacity
    acceptance: float  # A for each Ah lacking
    specific_heat: float  # J/kg·K, case and all


LITHIUM = Chemistry(
    # At rest, 25 °C: between the sum of two published half-cells and the trade's chart of rested
    # packs, no more than 0.05 V apart from 10 to 99 % (both in tests/published/test_battery).
    nominal=3.2,
    share=(0.0, 0.02, 0.05, 0.10, 0.15, 0.20, 0.30, 0.40, 0.60, 0.70, 0.80, 0.90, 0.97, 0.99, 1.0),
    volts=(2.50, 2.75, 2.93, 3.06, 3.15, 3.20, 3.24, 3.27, 3.28, 3.295, 3.325, 3.33, 3.34, 3.38,
           3.45),
    # 20 to 60 mV, from memory: the phosphate alone 20 at no current (Dreyer et al. 2010, Nature
    # Materials 9:448), whole cells up to 60 at a tenth of the capacity an hour; the middle
    gap=0.04,
    # assumed: twice the resistance when empty, most of it below a fifth of the charge
    rise=(2.0, 1.9, 1.75, 1.5, 1.25) + (1.0,) * 10,
    activation=2400.0,  # assumed: 20 kJ/mol, twice the resistance at 0 °C, four times at −20 °C
    # middles of 80-95 % at 0 °C and 50-80 % at −20 °C, from memory; the rest assumed
    temps=(-30.0, -20.0, 0.0, 25.0), given=(0.5, 0.65, 0.875, 1.0),
    # assumed: at half the capacity an hour the constant current ends at 96 % of the charge,
    # 95-97 % in data sheets, from memory
    acceptance=12.0,
    specific_heat=1000.0,  # assumed: cells 1000-1100, from memory, in a plastic case
)  # fmt: skip
LEAD = Chemistry(
    # At rest: specific gravity plus 0.84 V, from memory, with acid of 1.30 full and 1.10 empty
    nominal=2.0,
    share=(0.0, 0.25, 0.50, 0.75, 1.0), volts=(1.94, 2.00, 2.05, 2.10, 2.14),
    # none: lead's overvoltage of 0.1 to 0.2 V, from memory, falls to little as the current does.
    # One at any current would end a float charge at 2.25 V at three quarters; it counts as charge
    gap=0.0,
    rise=(2.0, 1.75, 1.5, 1.25, 1.0),  # assumed: twice when empty, its acid then thin
    activation=1200.0,  # assumed: 10 kJ/mol, twice the resistance at −20 °C
    temps=(-30.0, -20.0, 0.0, 25.0), given=(0.45, 0.55, 0.82, 1.0),  # from memory of data sheets
    acceptance=1.0,  # the ampere-hour law: never more amps than Ah lacking; textbook, from memory
    specific_heat=900.0,  # assumed: 0.7 lead, 0.2 acid, 0.1 plastic by mass
)  # fmt: skip


class Cells(NamedTuple):
    """A bank as the loop uses it."""

    capacity: float  # Ah, aged
    table: Array  # (4, knots): charge [Ah], open circuit [V], energy below [Wh], resistance's rise
    resistance: float  # ohm at 25 °C, where the rise is 1
    activation: float  # K: resistance goes as exp(activation / T)
    charge_efficiency: float  # Ah stored per Ah put in
    gap: float  # V by which charging stands above the open circuit, at any current
    cold: Array  # (2, points): temperature [°C], share of the capacity it gives
    peukert: float  # exponent
    slow_current: float  # A at which the capacity is stated; more gives less
    cut_off: float  # Ah below which nothing is drawn
    low_voltage: float  # V at the terminals, the same
    charge_voltage: float  # V that chargers hold
    charge_limit: float  # A
    discharge_limit: float  # A
    tail: float  # A that a full bank still takes at the charge voltage
    acceptance: float  # A it takes beyond that for each Ah it lacks
    resumes: float  # Ah below which a full bank is charged again
    charge_low: float  # °C
    charge_low_resume: float  # °C
    charge_high: float  # °C
    slow_below: float  # °C; -inf where the cold does not slow it
    slow_charge: float  # A at charge_low
    discharge_low: float  # °C
    discharge_high: float  # °C
    pad_power: float  # W
    pad_on: float  # °C
    pad_off: float  # °C
    pad_waits: bool  # it warms only while sources could carry it
    heat_capacity: float  # J/K
    conductance: float  # W/K to the air of its zone


class AtCharge(NamedTuple):
    """What the bank's table holds at a charge."""

    volts: float  # V, open circuit
    energy: float  # Wh below
    rise: float  # of the resistance


class Warmed(NamedTuple):
    """The bank's temperature after a step, and what it gave to the air meanwhile."""

    end: float  # °C
    to_air: float  # W, mean


@register_jitable
def upper_knot(bank: Cells, charge: float) -> int:
    """Return the first knot of the table above a charge [Ah]; their number where there is none."""
    count = bank.table.shape[1]
    k = 0
    while k < count and bank.table[CHARGE, k] <= charge:
        k += 1
    return k


@register_jitable
def at_charge(bank: Cells, charge: float) -> AtCharge:
    """Return what the table holds at a charge [Ah]: straight between knots, held beyond them.

    The energy is the exact integral of the voltage, so what goes in or out between two charges is
    the difference of two energies. Below empty it is negative, above full it goes on rising: runs
    without limits go there.
    """
    t = bank.table
    k = upper_knot(bank, charge)
    low, high = max(k - 1, 0), min(k, t.shape[1] - 1)
    beyond = charge - t[CHARGE, low]
    share = beyond / (t[CHARGE, high] - t[CHARGE, low]) if high > low else 0.0
    volts = t[VOLTS, low] + (t[VOLTS, high] - t[VOLTS, low]) * share
    energy = t[ENERGY, low] + 0.5 * (t[VOLTS, low] + volts) * beyond
    return AtCharge(volts, energy, t[RISE, low] + (t[RISE, high] - t[RISE, low]) * share)


@register_jitable
def open_circuit_voltage(bank: Cells, charge: float) -> float:
    """Return the open-circuit voltage [V] of the whole bank at a charge [Ah]."""
    return float(at_charge(bank, charge).volts)


@register_jitable
def stored_energy(bank: Cells, charge: float) -> float:
    """Return the energy [Wh] that a charge [Ah] stands for: ∫ V dq from empty."""
    return float(at_charge(bank, charge).energy)


@register_jitable
def cold_rise(bank: Cells, temp: float) -> float:
    """Return the factor on the resistance at a temperature [°C]: Arrhenius' law, 1 at 25 °C."""
    low, high = RESISTANCE_RANGE
    kelvin = min(max(temp, low), high) + KELVIN
    return exp(bank.activation * (1.0 / kelvin - 1.0 / (WARM + KELVIN)))


@register_jitable
def internal_resistance(bank: Cells, charge: float, temp: float) -> float:
    """Return the resistance [ohm] between open circuit and terminals."""
    return bank.resistance * cold_rise(bank, temp) * at_charge(bank, charge).rise


@register_jitable
def back_voltage(bank: Cells, open_circuit: float, flow: float) -> float:
    """Return the voltage [V] that a current or a power works against, positive into the bank.

    The open circuit's, and the gap between charging and discharging more while it charges.
    """
    return open_circuit + bank.gap if flow > 0.0 else open_circuit


@register_jitable
def terminal_voltage(bank: Cells, charge: float, temp: float, current: float) -> float:
    """Return the voltage [V] at the terminals at a current [A], positive into the bank."""
    volts = back_voltage(bank, open_circuit_voltage(bank, charge), current)
    return volts + current * internal_resistance(bank, charge, temp)


@register_jitable
def current_of(volts: float, ohm: float, power: float) -> float:
    """Return the current [A] that brings ``power`` [W] to the terminals of a voltage and an ohm.

    Power at the terminals is I (V + I R), solved for I. A draw beyond what the resistance can pass
    is held at the greatest power, V² / 4R.
    """
    root = sqrt(max(volts * volts + 4.0 * ohm * power, 0.0))
    if ohm > 0.0:
        power = max(power, -volts * volts / (4.0 * ohm))
    return 2.0 * power / (volts + root)  # no difference of near values: small powers keep digits


@register_jitable
def charge_rate(bank: Cells, current: float) -> float:
    """Return the change of charge [Ah/s] at a terminal current [A]."""
    if current > 0.0:
        return current * bank.charge_efficiency / 3600.0
    return current / 3600.0


@register_jitable
def bank_temperature(bank: Cells, temp: float, air: float, heat: float, h: float) -> Warmed:
    """Return temperature [°C] and mean heat to the air [W] after ``h`` [s].

    One lump in air of constant temperature [°C] with constant heat [W]: C dT/dt = heat − G (T −
    air), solved exactly. What is stored and what the air gets add up to the heat.
    """
    decay = bank.conductance * h / bank.heat_capacity
    mean = 1.0 if decay < 1e-12 else -expm1(-decay) / decay
    stored = (heat - bank.conductance * (temp - air)) * mean
    return Warmed(temp + stored * h / bank.heat_capacity, heat - stored)


@register_jitable
def time_to_temperature(bank: Cells, temp: float, air: float, heat: float, target: float) -> float:
    """Return the seconds until a temperature [°C] is reached, as in `bank_temperature`; inf never.

    Standing on it already is 0.
    """
    warming = heat - bank.conductance * (temp - air)  # W
    wanted = (target - temp) * bank.heat_capacity  # J
    if wanted == 0.0:
        return 0.0
    if warming * wanted <= 0.0:
        return inf
    approached = bank.conductance * (target - temp) / warming  # share of the way to rest
    if approached >= 1.0:
        return inf
    if approached < 1e-12:
        return wanted / warming
    return -log(1.0 - approached) * bank.heat_capacity / bank.conductance


def cells_of(battery: Battery) -> Cells:
    """Return the bank of a sheet.

    Parameters
    ----------
    battery : section of the sheet

    Notes
    -----
    Cells in series are as many as nominal voltages fit in that of the bank. The energy stored is
    that of a discharge, so that the gap's loss falls on the charge (assumed). Age takes from the
    capacity (``health``); amps of limits and of the tail stay those of the new bank.
    """
    kind = LEAD if battery.kind == "AGM" else LITHIUM
    capacity = battery.capacity * battery.health
    charge = capacity * np.array(kind.share)
    series = battery.voltage / kind.nominal
    volts = series * np.array(kind.volts)
    pieces = 0.5 * (volts[1:] + volts[:-1]) * np.diff(charge)
    energy = np.concatenate(([0.0], np.cumsum(pieces)))
    slow = battery.slow_below
    return Cells(
        capacity=capacity,
        table=np.array([charge, volts, energy, kind.rise]),
        resistance=battery.resistance,
        activation=kind.activation,
        charge_efficiency=battery.charge_efficiency,
        gap=series * kind.gap,
        cold=np.array([kind.temps, kind.given]),
        peukert=battery.peukert if battery.kind == "AGM" else 1.0,
        slow_current=battery.capacity / 20.0,
        cut_off=battery.cut_off * capacity,
        low_voltage=battery.low_voltage,
        charge_voltage=battery.charge_voltage,
        charge_limit=battery.charge_limit,
        discharge_limit=battery.discharge_limit,
        tail=battery.tail_current * battery.capacity,
        acceptance=kind.acceptance,
        resumes=battery.charge_resumes * capacity,
        charge_low=battery.cold_charge,
        charge_low_resume=battery.cold_charge_resumes,
        charge_high=battery.hot_charge,
        slow_below=-inf if slow is None else slow,
        slow_charge=battery.slow_charge,
        discharge_low=battery.cold_discharge,
        discharge_high=battery.hot_discharge,
        pad_power=battery.pad,
        pad_on=battery.pad_on,
        pad_off=battery.pad_off,
        pad_waits=battery.pad_runs == "charging",
        heat_capacity=battery.mass * kind.specific_heat,
        conductance=battery.conductance,
    )
