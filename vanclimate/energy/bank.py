"""The bank: amp-hours, one open-circuit voltage, one resistance, a charge efficiency.

Lithium iron phosphate holds its voltage over most of its charge, so one open-circuit value stands
for it here. Charge counts in Ah, positive into the bank.
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from numba.extending import register_jitable


class Bank(NamedTuple):
    """The bank and the inverter as the loop uses them."""

    capacity: float  # Ah, aged
    voltage: float  # V open circuit
    resistance: float  # ohm
    charge_efficiency: float  # Ah stored per Ah put in
    cut_off: float  # Ah at which all loads drop
    kept: float  # Ah below which the air conditioner is not run: reserve and the morning's loads
    inverter_idle: float  # W while on
    inverter_efficiency: float
    inverter_always_on: bool


@register_jitable
def bank_current(bank: Bank, power: float) -> float:
    """Return the current [A] that brings ``power`` [W] to (+) or from (−) the terminals.

    Power at the terminals is I (V_oc + I R), solved for I. A draw beyond what the resistance can
    pass is held at the greatest power, V_oc² / 4R.
    """
    if bank.resistance <= 0.0:
        return power / bank.voltage
    root = bank.voltage * bank.voltage + 4.0 * bank.resistance * power
    return (sqrt(max(root, 0.0)) - bank.voltage) / (2.0 * bank.resistance)


@register_jitable
def charge_rate(bank: Bank, current: float) -> float:
    """Return the change of charge [Ah/s] at a terminal current [A]."""
    if current > 0.0:
        return current * bank.charge_efficiency / 3600.0
    return current / 3600.0


@register_jitable
def bank_heat(bank: Bank, current: float) -> float:
    """Return the heat [W] the bank gives off: resistance, and the charge it does not keep."""
    heat = current * current * bank.resistance
    if current > 0.0:
        heat += (1.0 - bank.charge_efficiency) * current * bank.voltage
    return heat


@register_jitable
def inverter_input(bank: Bank, ac_power: float) -> float:
    """Return the battery-side power [W] for ``ac_power`` [W] on the inverter's output.

    Idle draw plus output over efficiency; off when nothing is asked and it is not held on.
    """
    if ac_power <= 0.0 and not bank.inverter_always_on:
        return 0.0
    return bank.inverter_idle + ac_power / bank.inverter_efficiency
