"""Shore power: what the inlet carries, and what is left of it for the charger.

The post is an ideal voltage behind the resistance of its supply and of the cord; what draws on it
draws its watts whatever the volts. What does not belong here: when the van is plugged in
(simulate/sources), and what the bank takes (energy/bank_limits).
"""

from __future__ import annotations

from typing import NamedTuple

from numba.extending import register_jitable


class Shore(NamedTuple):
    """The mains side and its charger as the loop uses them."""

    amps: float  # A that may flow on end through post and inlet
    voltage: float  # V at the post, nothing drawn
    resistance: float  # ohm of supply and cord, there and back
    charger_amps: float  # A into the bank, the most
    charger_efficiency: float
    loads_first: bool  # the charger takes what the mains loads leave; else the other way round


class ShoreCharge(NamedTuple):
    """What the inlet does at an instant."""

    power: float  # W that the charger can put on the bank's terminals
    mains: float  # W of the mains loads that it carries
    rest: float  # W of them that it cannot


@register_jitable
def inlet_limit(shore: Shore) -> float:
    """Return the watts to be had at the inlet: I (V − I R) at the amps allowed.

    A cord that would drop more than half the volts passes its greatest power, V² / 4R.
    """
    amps = shore.amps
    if 2.0 * amps * shore.resistance > shore.voltage:
        amps = shore.voltage / (2.0 * shore.resistance)
    return amps * (shore.voltage - amps * shore.resistance)


@register_jitable
def shore_charge(
    shore: Shore, mains: float, bus_voltage: float, wanted: float, yields: bool = False
) -> ShoreCharge:
    """Return what the inlet gives to the mains loads and what is left for the bank's terminals.

    Parameters
    ----------
    mains : that the loads on mains voltage draw [W]
    bus_voltage : at the bank's terminals [V]; the charger's amps count there
    wanted : the most that bank and direct loads take [W]
    yields : the charger takes what the loads leave, whatever the sheet says
    """
    limit = inlet_limit(shore)
    full = max(0.0, min(shore.charger_amps * bus_voltage, wanted)) / shore.charger_efficiency
    if shore.loads_first or yields:
        carried = min(mains, limit)
        taken = min(full, limit - carried)
    else:
        taken = min(full, limit)
        carried = min(mains, limit - taken)
    return ShoreCharge(taken * shore.charger_efficiency, carried, mains - carried)
