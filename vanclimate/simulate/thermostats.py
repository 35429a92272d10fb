"""When and at which temperature the sheet cools and heats, in each segment of a plan.

What does not belong here: what switches within a segment (``controls``, ``heating``), and how a
rule is read (``van.rule_text``).
"""

from __future__ import annotations

from collections.abc import Collection
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import Array
from vanclimate.simulate.rules import Ruled
from vanclimate.simulate.switches import BURNER, ELECTRIC, HEAT_PUMP, N_DEVICES
from vanclimate.simulate.times import at_times, within
from vanclimate.simulate.ways import WAYS
from vanclimate.van.rules import HEAT_SOURCES
from vanclimate.van.sheet import Sheet

STAGE = 2.0
"""How much lower [K] each next heater is set than the one that heats before it; assumed."""
ORDER = ("fuel heater", "heat pump", "electric heater")
"""Which heats first where no rule says: what spares the bank most; assumed."""
ROWS = {"heat pump": HEAT_PUMP, "fuel heater": BURNER, "electric heater": ELECTRIC}


class Cooled(NamedTuple):
    """The air conditioner in each segment."""

    share: Array  # most of full output, 0 off
    setpoint: Array  # °C


def ac_start(sheet: Sheet) -> int:
    """Return the minute at which the air conditioner is switched on for the night."""
    unit = sheet.air_conditioner
    if unit is None or unit.starts is None:
        return sheet.people.bedtime
    return unit.starts


def ac_schedule(sheet: Sheet, way: str, minute: Array, night: NDArray[np.bool_]) -> Cooled:
    """Return when the unit may cool and to which temperature, as the sheet has it without rules."""
    out = Cooled(np.zeros(len(minute)), np.full(len(minute), 99.0))
    unit = sheet.air_conditioner
    if not WAYS[way].cools or unit is None:
        return out
    if unit.by_day is not None:
        out.share[:], out.setpoint[:] = 1.0, unit.by_day
    wanted = within(minute, ac_start(sheet), sheet.people.waking)
    out.share[wanted], out.setpoint[wanted] = 1.0, unit.setpoint
    out.share[night & wanted] = unit.night_limit
    return out


def ruled_cooling(cooled: Cooled, ruled: Ruled, way: str) -> Cooled:
    """Return the same as the sheet's rules have it: off where they do not allow it, other
    temperatures where they ask for them, and on where they cool ahead on the sun.
    """
    share, setpoint = cooled.share * ruled.ac_allowed, cooled.setpoint.copy()
    if WAYS[way].cools:
        given = (ruled.ac_allowed > 0) & ~np.isnan(ruled.ac_setpoint)
        setpoint[given] = ruled.ac_setpoint[given]
        share[given & (share == 0)] = 1.0
        ahead = (ruled.precool > 0) & (ruled.ac_allowed > 0)
        setpoint[ahead] = np.where(
            share[ahead] > 0,
            np.minimum(setpoint[ahead], ruled.precool_setpoint[ahead]),
            ruled.precool_setpoint[ahead],
        )
        share[ahead] = 1.0
    return Cooled(share, setpoint)


def heat_schedule(
    sheet: Sheet, way: str, minute: Array, night: NDArray[np.bool_], home: NDArray[np.bool_],
    ruled: Ruled,
) -> Array:  # fmt: skip
    """Return (segments, devices) °C that each heater is set to, NaN where it is off.

    Whichever heats first keeps its setpoint; each next one is set `STAGE` lower.
    """
    out = np.full((len(minute), N_DEVICES), nan)
    there = _held(sheet, minute, night, home)
    for place, name in enumerate(heat_order(there, ruled)):
        held = there[name]
        asked = ~np.isnan(ruled.heat_setpoint) & ~np.isnan(held)
        held = np.where(asked, ruled.heat_setpoint, held) - STAGE * place
        held[ruled.heat_allowed[HEAT_SOURCES.index(name)] == 0] = nan
        if not WAYS[way].heats:
            held[night] = nan
        out[:, ROWS[name]] = held
    return out


def heat_order(there: Collection[str], ruled: Ruled) -> list[str]:
    """Return the heaters that are there in the order in which they heat."""
    order = [name for name in ruled.heat_order or ORDER if name in there]
    return order + [name for name in ORDER if name in there and name not in order]


def _held(
    sheet: Sheet, minute: Array, night: NDArray[np.bool_], home: NDArray[np.bool_]
) -> dict[str, Array]:
    """Return what each heater that is there holds [°C], NaN where it is off."""
    found: dict[str, Array] = {}
    unit = sheet.air_conditioner
    if unit is not None and unit.heats:
        on = home if unit.heating_when == "home" else at_times(unit.heating_when, minute, night)
        found["heat pump"] = np.where(on, unit.heating_setpoint, nan)
    for name, heater in (("fuel heater", sheet.heater), ("electric heater", sheet.electric_heater)):
        if heater is not None:
            otherwise = nan if heater.otherwise is None else heater.otherwise
            on = home if heater.when == "home" else at_times(heater.when, minute, night)
            found[name] = np.where(on, heater.setpoint, otherwise)
    return found
