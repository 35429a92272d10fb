"""A plan in which the air conditioner or the heaters stop at some moments, and nobody helps.

Before each cut the van is held at its setpoint for a while; after it, it coasts. Between a coast's
end and the next hold it lives as its sheet says. What does not belong here: which moments those
are, and what is read off the run (``runs``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import nan
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import Array, Model
from vanclimate.network.solar import AbsorbedSun
from vanclimate.physics.opening_flow import openings_drive
from vanclimate.simulate.air import openings_of
from vanclimate.simulate.inputs import Schedule
from vanclimate.simulate.plan import Plan, living
from vanclimate.van.sheet import Sheet

MINUTE, HOUR = 60.0, 3600.0
FINE, FINE_FOR = MINUTE, HOUR
"""Rows of a minute [s] for the first hour after a cut: the air follows its faces in minutes."""
LAST = 5.0 * MINUTE
"""For how long before a cut the air stands where the unit would just start again [s].

A unit's swing, and the moment in it, would else be most of the first minutes; and a unit too small
for the hour is no van at its setpoint. Walls and wood are as the unit left them."""


class Held(NamedTuple):
    """How the van is held until the cut.

    Attributes
    ----------
    kind : 'ac' cools with the sheet's unit, and at last holds the air; 'heat' holds the air from
        below; 'free' leaves all as the sheet has it
    temp_c : the air is held at [°C], NaN for 'free'
    hold_s : for how long before the cut [s]
    watch_s : for how long it coasts [s]
    breathes : whether the fresh-air path stays open while it coasts
    """

    kind: str
    temp_c: float
    hold_s: float
    watch_s: float
    breathes: bool


def with_cuts(plan: Plan, sheet: Sheet, model: Model, cuts: Sequence[float], held: Held) -> Plan:
    """Return a plan of the same span with cuts at some moments [s after its start].

    Nobody is followed by the bank in it: power is as given, so that the loads warm the van on.
    Only what the loop takes is cut anew; ``power`` keeps the rows of the plan it came from.
    """
    at = np.asarray(cuts, dtype=float)
    fine = at[:, np.newaxis] + np.arange(0.0, FINE_FOR + 1.0, FINE)
    edges = [at - held.hold_s, at - LAST, at, at + held.watch_s, fine.ravel()]
    plan = recut(plan, np.concatenate(edges))
    held_in = _within(plan.schedule, at - held.hold_s, at)
    last = _within(plan.schedule, at - LAST, at)
    coasts = _within(plan.schedule, at, at + held.watch_s)
    schedule = _lived_in(plan.schedule, sheet, ~held_in & ~coasts)
    schedule = _people_in(schedule, sheet, held_in | coasts)
    schedule = _held_until(schedule, sheet, model, held_in, last, held)
    schedule = _coasting(schedule, sheet, model, coasts, held)
    abrupt = plan.schedule.abrupt.copy()
    for mask in (held_in, last, coasts):
        abrupt[1:][mask[1:] != mask[:-1]] = 1.0
    return replace(plan, schedule=schedule._replace(abrupt=abrupt))


def recut(plan: Plan, more: Array) -> Plan:
    """Return a plan with more edges [s after its start] that change nothing."""
    old = plan.schedule
    first, last = old.start[0], old.end[-1]
    inside = more[(more > first) & (more < last)]
    edges = np.unique(np.concatenate([old.start, [last], np.round(inside, 3)]))
    of = np.searchsorted(old.start, edges[:-1], side="right") - 1
    rows = Schedule(*(x[of] for x in old))
    same = edges[:-1] == old.start[of]
    schedule = rows._replace(start=edges[:-1], end=edges[1:], abrupt=rows.abrupt * same)
    sun = AbsorbedSun(plan.sun.nodes[of], plan.sun.chains[of])
    outside = plan.outside._replace(sun=plan.outside.sun[of])
    return replace(plan, schedule=schedule, sun=sun, outside=outside)


def _within(schedule: Schedule, first: Array, last: Array) -> NDArray[np.bool_]:
    """Return (segments,) whether each lies in one of some spans [s]."""
    middle = 0.5 * (schedule.start + schedule.end)
    spans = (middle > first[:, np.newaxis]) & (middle < last[:, np.newaxis])
    return np.asarray(spans.any(axis=0))


def _lived_in(schedule: Schedule, sheet: Sheet, here: NDArray[np.bool_]) -> Schedule:
    """Keep a van that heats at what its sleepers want at least; nobody asks by which heater."""
    if not sheet.heats:
        return schedule
    below = np.where(here, sheet.people.least, schedule.heat_below)
    warm = np.where(here[:, np.newaxis], nan, schedule.heat_setpoint)
    return schedule._replace(heat_below=below, heat_setpoint=warm)


def _people_in(schedule: Schedule, sheet: Sheet, here: NDArray[np.bool_]) -> Schedule:
    """Let the people be inside, awake by day; whoever sleeps goes on sleeping."""
    awake = schedule.awake.copy()
    up = here & (schedule.asleep[:, 0] == 0.0)
    awake[up, 0] = float(sheet.people.sleepers)
    return schedule._replace(awake=awake)


def _held_until(
    schedule: Schedule, sheet: Sheet, model: Model, here: NDArray[np.bool_],
    last: NDArray[np.bool_], held: Held,
) -> Schedule:  # fmt: skip
    """Hold the van at its setpoint, its air at last at the end where the unit would start."""
    if held.kind == "free":
        return schedule
    out = _shut(schedule, sheet, model, here, breathes=True)
    share, wanted = out.ac_share.copy(), out.ac_setpoint.copy()
    warm, below, above = out.heat_setpoint.copy(), out.heat_below.copy(), out.cool_above.copy()
    warm[here] = nan
    share[here] = 0.0
    if held.kind == "ac":
        share[here], wanted[here] = 1.0, held.temp_c
        unit = sheet.air_conditioner
        assert unit is not None, "what cools is the sheet's unit"
        below[last] = above[last] = held.temp_c + 0.5 * unit.differential
    else:
        below[here] = held.temp_c
    return out._replace(
        ac_share=share, ac_setpoint=wanted, heat_setpoint=warm, heat_below=below, cool_above=above,
        ac_floor=np.where(here, 0.0, out.ac_floor),
    )  # fmt: skip


def _coasting(
    schedule: Schedule, sheet: Sheet, model: Model, here: NDArray[np.bool_], held: Held
) -> Schedule:
    """Stop what cools, heats and blows; shut what can be shut."""
    out = _shut(schedule, sheet, model, here, breathes=held.breathes)
    share, warm = out.ac_share.copy(), out.heat_setpoint.copy()
    share[here], warm[here] = 0.0, nan
    return out._replace(ac_share=share, heat_setpoint=warm)


def _shut(
    schedule: Schedule, sheet: Sheet, model: Model, here: NDArray[np.bool_], *, breathes: bool
) -> Schedule:
    """Stop the fans, shut windows, lids and doors; vents that cannot be shut stay open.

    With ``breathes`` the sleepers' fresh air still comes in, see `simulate.air`.
    """
    zones = schedule.fan_flow.shape[1]
    drives = [
        openings_drive(openings_of(sheet, model, [], z, lids=False), sheet.body.shelter)
        for z in range(zones)
    ]
    none = np.zeros(len(here))
    flow = none + (sheet.people.sleepers * sheet.fresh_air if breathes else 0.0)
    watts = none + (sheet.fresh_air_fan if breathes and sheet.people.sleepers else 0.0)
    new = {
        "fan_flow": living(flow, zones),
        "fan_balanced": living(none, zones),
        "by_stack": np.array([drive[0] for drive in drives]) + np.zeros((len(here), zones)),
        "by_wind": np.array([drive[1] for drive in drives]) + np.zeros((len(here), zones)),
        "in_calm": np.array([drive[2] for drive in drives]) + np.zeros((len(here), zones)),
        "door_rate": none,
        "stirred": living(flow / (sheet.body.width * sheet.body.height), zones),
        "fan_power": watts,
        "air_gain": living(watts, zones),
    }
    changed = {}
    for name, values in new.items():
        old = getattr(schedule, name)
        mask = here if old.ndim == 1 else here[:, np.newaxis]
        changed[name] = np.where(mask, values, old)
    return schedule._replace(**changed)
