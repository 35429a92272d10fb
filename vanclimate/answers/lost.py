"""Which loads nothing served between bedtime and waking, from when on and for how long.

The program knows no load that a sleeper depends on from one that can wait, so it names them all.
What does not belong here: what stopped the bank or the inverter (``stops``), and what a rule sheds.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.stops import clock_at
from vanclimate.simulate.loads import running
from vanclimate.simulate.runs import Run
from vanclimate.van.fields import DAY
from vanclimate.van.sheet import Sheet

Flags = NDArray[np.bool_]

NAMED = 6  # loads that are named, more are counted
SHORT = 60.0  # s; what is off for less is not told
FEEDS = {"battery": "battery_off_share", "inverter": "mains_off_share"}


class Lost(NamedTuple):
    """A load that was asked for and not served, from when on and for how long in all."""

    name: str
    since: float  # s after the run's start
    seconds: float


def lost_loads(sheet: Sheet, run: Run, part: slice) -> tuple[Lost, ...]:
    """Return the loads that nothing served in some rows of a run, the first ones lost first."""
    plan, at = run.plan, run.segment[part]
    asked = _asked(sheet, run, part)
    asked["the fans"] = ("battery", plan.schedule.fan_power[at] > 0.0)
    found = []
    for name, (feed, wanted) in asked.items():
        off = run.column(FEEDS[feed])[part] * run.width[part] * wanted
        rows = np.flatnonzero(off > 0.0)
        if off.sum() >= SHORT:
            row = part.start + int(rows[0])
            since = run.seconds[row + 1] - off[rows[0]]  # it stays off once it is
            found.append(Lost(name, float(since), float(off.sum())))
    return tuple(sorted(found, key=lambda lost: lost.since))


def _asked(sheet: Sheet, run: Run, part: slice) -> dict[str, tuple[str, Flags]]:
    """Return each load's feed, and (rows,) whether it would run were there power."""
    plan, at = run.plan, run.segment[part]
    middle = 0.5 * (plan.schedule.start + plan.schedule.end) / 60.0
    minute = np.mod(60.0 * plan.start.hour + plan.start.minute + middle, DAY)
    charge, rules = run.column("battery_charge_ah")[part], plan.power.ruled
    out: dict[str, tuple[str, Flags]] = {}
    for i, load in enumerate(sheet.loads):
        if load.feed in FEEDS and load.power > 0.0:
            wanted = (running(load, minute) * rules.load_allowed[i])[at] > 0.0
            shed = charge <= (rules.load_floor[i] * run.gear.cells.capacity)[at]
            shed &= rules.load_floor[i][at] > 0.0
            out[load.name] = (load.feed, wanted & ~plan.power.refused[i][at] & ~shed)
    return out


def lost_notes(sheet: Sheet, run: Run, part: slice) -> Iterator[str]:
    """Yield one sentence that names the loads which a night lost."""
    lost = lost_loads(sheet, run, part)
    if not lost:
        return
    told = [
        f"{x.name} from {clock_at(run, x.since).split()[0]} ({x.seconds / 3600.0:.1f} h)"
        for x in lost[:NAMED]
    ]
    more = f" and {len(lost) - NAMED} more" if len(lost) > NAMED else ""
    yield f"not served between bedtime and waking: {', '.join(told)}{more}"
