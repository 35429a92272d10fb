"""What the rules of a sheet make of each segment of a plan.

What does not belong here: how a rule is read (``van.rule_text``), and what depends on the bank's
charge from step to step: here that is only a floor for the loop to look at.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.inverter import inverter_input, inverter_of
from vanclimate.equipment.air_conditioner import speed_power
from vanclimate.network.compile import Array
from vanclimate.simulate.times import within
from vanclimate.van.rules import (
    AC,
    HEAT_SOURCES,
    THINGS,
    Condition,
    HeatOrder,
    Restriction,
    Rule,
    Setpoint,
    thing_index,
)
from vanclimate.van.sheet import Sheet

Mask = NDArray[np.bool_]


class Facts(NamedTuple):
    """What rules ask about each segment; (segments,) but for the last."""

    minute: Array  # of the day, of its middle
    night: Mask  # bedtime to waking
    home: Mask  # somebody is in
    driving: Mask
    on_shore: Mask
    solar_w: Array  # W that all panels give at the bank, their amps at its charge voltage
    ac_power_w: float  # least W that the running air conditioner takes from the bank


class Ruled(NamedTuple):
    """What the rules allow and ask for in each segment.

    A floor is the share of the bank's charge below which a thing is off, 0 for none; it comes on
    again `vanclimate.van.rules.RESUME` above. A setpoint is NaN where no rule speaks of it.
    """

    load_allowed: Array  # (loads, segments) 0 or 1
    load_floor: Array  # (loads, segments)
    ac_allowed: Array  # (segments,) 0 or 1
    ac_floor: Array  # (segments,)
    ac_setpoint: Array  # (segments,) °C at which the unit is on, in place of the sheet's
    precool: Array  # (segments,) 1 where the panels carry the unit and a rule asks for it
    precool_setpoint: Array  # (segments,) °C of that
    heat_allowed: Array  # (3, segments) 0 or 1, of `vanclimate.van.rules.HEAT_SOURCES`
    heat_floor: Array  # (3, segments)
    heat_setpoint: Array  # (segments,) °C in place of the sheet's
    heat_order: tuple[str, ...]  # of `HEAT_SOURCES`, what heats first; () where no rule says


def ruled(rules: Iterable[Rule], loads: Sequence[str], facts: Facts) -> Ruled:
    """Return what the rules make of each segment.

    Of two rules for the same temperature in one segment the later in the list holds; of two that
    restrict the same thing, both.

    Parameters
    ----------
    rules : of the sheet
    loads : names of the sheet's loads, in its order
    facts : of the segments
    """
    n = len(facts.minute)
    out = _free(len(loads), n)
    for meaning in (rule.meaning for rule in rules):
        if isinstance(meaning, HeatOrder):
            out = out._replace(heat_order=meaning.sources)
        elif isinstance(meaning, Setpoint):
            _set(out, meaning, facts)
        else:
            for allowed, floor in _rows_of(out, meaning.thing, loads):
                _restrict(allowed, floor, meaning, facts)
    return out


def least_ac_power(sheet: Sheet) -> float:
    """Return the least W that the running air conditioner takes from the bank, by its plate.

    A fixed-speed unit takes all of its watts; one of variable speed those at its floor. On the
    inverter, what they add to its draw without any.
    """
    unit = sheet.air_conditioner
    if unit is None:
        return 0.0
    share = unit.floor if unit.speed == "variable" else 1.0
    compressor = (unit.power - unit.blower_power) * speed_power(unit.half_speed_power, share)
    power = float(unit.blower_power + compressor)
    if unit.feed == "battery" or sheet.inverter is None:
        return power
    inverter = inverter_of(sheet.inverter, sheet.battery.voltage)
    return float(inverter_input(inverter, power) - inverter_input(inverter, 0.0))


def holds(condition: Condition, facts: Facts) -> Mask:
    """Return (segments,) whether a condition holds; one on the charge always may."""
    n = len(facts.minute)
    if condition.kind == "charge":
        return np.ones(n, dtype=bool)
    if condition.kind == "sun":
        met = facts.solar_w > condition.above
    elif condition.kind == "times":
        met = np.zeros(n, dtype=bool)
        for start, end in condition.times:
            met |= within(facts.minute, start, end)
    else:
        states = {
            "driving": facts.driving, "on shore": facts.on_shore, "asleep": facts.night,
            "awake": facts.home & ~facts.night, "home": facts.home, "away": ~facts.home,
        }  # fmt: skip
        met = states[condition.kind]
    return np.asarray(met != condition.is_not, dtype=bool)


def _free(loads: int, n: int) -> Ruled:
    """Return what holds without rules."""
    return Ruled(
        load_allowed=np.ones((loads, n)),
        load_floor=np.zeros((loads, n)),
        ac_allowed=np.ones(n),
        ac_floor=np.zeros(n),
        ac_setpoint=np.full(n, np.nan),
        precool=np.zeros(n),
        precool_setpoint=np.full(n, np.nan),
        heat_allowed=np.ones((len(HEAT_SOURCES), n)),
        heat_floor=np.zeros((len(HEAT_SOURCES), n)),
        heat_setpoint=np.full(n, np.nan),
        heat_order=(),
    )


def _rows_of(out: Ruled, thing: str, loads: Sequence[str]) -> list[tuple[Array, Array]]:
    """Return the rows, allowed and floor, of what a rule restricts; a load's own name is first."""
    load = thing_index(thing, loads)
    if load is not None:
        return [(out.load_allowed[load], out.load_floor[load])]
    known = THINGS.get(thing)
    if known == AC:
        return [(out.ac_allowed, out.ac_floor)]
    if known in HEAT_SOURCES:
        i = HEAT_SOURCES.index(known)
        return [(out.heat_allowed[i], out.heat_floor[i])]
    return []


def _restrict(allowed: Array, floor: Array, rule: Restriction, facts: Facts) -> None:
    """Lay a restriction on a row of what is allowed and one of floors, both in place."""
    lifted = np.zeros(len(allowed), dtype=bool)
    for condition in rule.unless:
        lifted |= holds(condition, facts)
    for condition in rule.needs:
        allowed[~(holds(condition, facts) | lifted)] = 0.0
        if condition.kind == "charge":
            floor[:] = np.maximum(floor, np.where(lifted, 0.0, condition.above))


def _set(out: Ruled, rule: Setpoint, facts: Facts) -> None:
    """Write a setpoint into the segments in which it holds, in place."""
    during = np.ones(len(facts.minute), dtype=bool)
    for condition in rule.during:
        during &= holds(condition, facts)
    if rule.carried:
        during &= facts.solar_w >= facts.ac_power_w
        out.precool[during], out.precool_setpoint[during] = 1.0, rule.temp
    elif rule.mode == "cool":
        out.ac_setpoint[during] = rule.temp
    else:
        out.heat_setpoint[during] = rule.temp
