"""The inverter: loss by output, derating in warm air, low voltage, and its cable to the bank.

What does not belong here: what a sheet may say of it (``van.inverter``), and the bank itself.
"""

from __future__ import annotations

from math import ceil, sqrt
from typing import TYPE_CHECKING, NamedTuple

from numba.extending import register_jitable

from vanclimate.physics.wire import (
    MOST_AREA,
    THICKEST,
    ampacity,
    awg_area,
    smallest_gauge,
    wire_resistance,
)

if TYPE_CHECKING:
    from vanclimate.van import inverter as van_inverter

BLOCK, LEAD_BLOCK = 12.8, 12.0  # V: the blocks that a bank's voltage is made of, lithium and lead
CUT_OFF, RESTART, APART = 10.5, 12.0, 0.5  # V a block; see the fields
CABLE_INSULATION = 105  # °C; assumed, of cables made for batteries and welding
CABLE_TEMP = 50.0  # °C of the copper, assumed: between its surroundings and its limit of 105 °C


class Inverter(NamedTuple):
    """The inverter and its cable as the loop uses them."""

    rating: float  # W, for good, in cool air
    surge: float  # W, for a second
    idle: float  # W in, while it makes mains
    waiting: float  # W in while nothing is asked: idle, its search draw, or 0
    linear: float  # of the output, lost
    square: float  # of output² / rating, lost
    derates_from: float  # °C
    stops_at: float  # °C
    hot_output: float  # of the rating just below that
    cut_off: float  # V at its terminals
    restart: float  # V of the bank at rest
    cable: float  # ohm, both ways


NONE = Inverter(
    rating=0.0, surge=0.0, idle=0.0, waiting=0.0, linear=0.0, square=0.0, derates_from=0.0,
    stops_at=0.0, hot_output=0.0, cut_off=0.0, restart=0.0, cable=0.0,
)  # fmt: skip
"""A van without one: it takes nothing and gives nothing."""


class Cable(NamedTuple):
    """The cable between bank and inverter."""

    area: float  # m2 of copper of one conductor; 0 where the sheet gives a resistance
    parallel: int  # conductors side by side, each way
    resistance: float  # ohm, both ways
    current: float  # A at full load and the bank's nominal voltage
    most: float  # A that it carries for good; inf where the sheet gives a resistance


@register_jitable
def inverter_input(inverter: Inverter, ac_power: float) -> float:
    """Return the watts into its terminals for ``ac_power`` [W] out of it.

    Idle draw, a share of the output (switching) and one of its square (resistance), after the
    loss curve ``P_0 + a P + b P²`` of power converters. Nothing asked: what it draws waiting, and
    so does `NONE` always.
    """
    if ac_power <= 0.0 or inverter.rating <= 0.0:
        return inverter.waiting
    loss = inverter.linear * ac_power + inverter.square * ac_power * ac_power / inverter.rating
    return ac_power + inverter.idle + loss


@register_jitable
def inverter_limit(inverter: Inverter, zone_temp: float) -> float:
    """Return the watts it can give for good in air of ``zone_temp`` [°C]."""
    if zone_temp >= inverter.stops_at:
        return 0.0
    if zone_temp <= inverter.derates_from:
        return inverter.rating
    way = (zone_temp - inverter.derates_from) / (inverter.stops_at - inverter.derates_from)
    return inverter.rating * (1.0 - way * (1.0 - inverter.hot_output))


@register_jitable
def inverter_voltage(inverter: Inverter, terminal_voltage: float, power: float) -> float:
    """Return the volts at its terminals while ``power`` [W] goes into them.

    U (V − U) / R = P for the bank's terminal voltage V; beyond the greatest power that the cable
    passes, V² / 4R, the volts of that power, V / 2.
    """
    root = terminal_voltage * terminal_voltage - 4.0 * inverter.cable * power
    return 0.5 * (terminal_voltage + sqrt(max(root, 0.0)))


@register_jitable
def inverter_draw(inverter: Inverter, terminal_voltage: float, power: float) -> float:
    """Return the watts from the bank's terminals while ``power`` [W] goes into the inverter.

    What is more than ``power`` is the cable's heat. Beyond V² / 4R the cable passes no more and
    the draw goes on as ``power`` times 2, so that a longer cable never draws less.
    """
    if power <= 0.0:
        return 0.0
    return power * terminal_voltage / inverter_voltage(inverter, terminal_voltage, power)


def cable_of(part: van_inverter.Inverter, bank_voltage: float) -> Cable:
    """Return the cable of an inverter as its sheet describes it.

    Parameters
    ----------
    part : the sheet's section
    bank_voltage : nominal [V]
    """
    current = part.rating / part.full_load_efficiency / bank_voltage
    if part.cable_resistance is not None:
        return Cable(0.0, 1, part.cable_resistance, current, float("inf"))
    area, parallel = part.cable_size, 1
    if area is None:
        thickest = ampacity(awg_area(THICKEST), CABLE_INSULATION)
        parallel = max(1, ceil(current / thickest))
        gauge = smallest_gauge(current / parallel, CABLE_INSULATION)
        area = awg_area(THICKEST if gauge is None else gauge)
    ohm = wire_resistance(area, 2.0 * part.cable_length, CABLE_TEMP) / parallel
    most = parallel * ampacity(min(area, MOST_AREA), CABLE_INSULATION)
    return Cable(area, parallel, ohm, current, most)


def inverter_of(part: van_inverter.Inverter | None, bank_voltage: float) -> Inverter:
    """Return an inverter as the loop uses it, `NONE` for a van without.

    Parameters
    ----------
    part : the sheet's section
    bank_voltage : nominal [V]; the usual cut-off goes by it
    """
    if part is None:
        return NONE
    blocks = min(float(max(1, round(bank_voltage / BLOCK))), bank_voltage / LEAD_BLOCK)
    cut_off = CUT_OFF * blocks if part.cut_off is None else part.cut_off
    restart = part.restart
    if restart is None:
        restart = max(RESTART * blocks, cut_off + APART * blocks)
    linear, square = part.losses
    waiting = {"always": part.idle, "needed": 0.0, "search": min(part.search_power, part.idle)}
    return Inverter(
        rating=part.rating, surge=part.surge, idle=part.idle, waiting=waiting[part.on],
        linear=linear, square=square, derates_from=part.derates_from, stops_at=part.stops_at,
        hot_output=part.hot_output, cut_off=cut_off, restart=max(restart, cut_off),
        cable=cable_of(part, bank_voltage).resistance,
    )  # fmt: skip
