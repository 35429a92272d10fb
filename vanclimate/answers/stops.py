"""What limits of bank, inverter and inlet stopped, in words: when first, and for how long.

What does not belong here: how a limit works (``simulate.electricity``), and whether a night holds
(``judge``).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

import numpy as np

from vanclimate.equipment.air_conditioner import surge
from vanclimate.simulate.loads import running
from vanclimate.simulate.runs import Run
from vanclimate.site.years import MONTHS
from vanclimate.van.fields import DAY
from vanclimate.van.sheet import Sheet

NEAR_SURGE = 0.7  # of the inverter's surge from which a start is told of; assumed
STOPPED = {
    "cells": "the bank's protection opened at its least charge or its least volts: nothing more "
             "was served from it",
    "cable": "the inverter saw too few volts behind its cable and switched off",
    "cold": "the cold bank gave no more",
    "hot": "the bank was too hot to be drawn from",
    "start": "the inverter could not start the air conditioner beside what else it carried: it "
             "waited",
}  # fmt: skip
"""Causes of a stop, see ``energy.causes``; reserve and rules are told elsewhere."""


def stop_notes(sheet: Sheet, run: Run) -> Iterator[str]:
    """Yield what was not served, and why."""
    yield from _refused(sheet, run)
    yield from _overload(sheet, run)
    yield from _current(sheet, run)
    yield from _start(sheet, run)
    for cause, words in STOPPED.items():
        if found := _first(run, cause):
            yield f"{words} (first at {found[0]}, {in_all(run, found[1])})"


def clock_at(run: Run, second: float) -> str:
    """Return time and day of a second of a run.

    Of a row's start: what stops something does so at a step's, within five minutes of it.
    """
    moment = run.start + timedelta(seconds=second)
    return f"{moment:%H:%M} on {MONTHS[moment.month - 1][:3]} {moment.day}"


def in_all(run: Run, hours: float) -> str:
    """Return for how long something was stopped, and in how many days where it is not one."""
    live = run.plan.schedule.bank_live[run.segment] > 0
    days = float(run.width[live].sum()) / 86400.0
    return f"{hours:.1f} h in {f'the {days:.1f} days to waking' if days > 1.5 else 'all'}"


def _first(run: Run, cause: str) -> tuple[str, float, float] | None:
    """Return when a cause first stopped something, for how many hours in all, and the second."""
    share = run.column(f"stopped_{cause}_share")
    rows = np.flatnonzero(share > 0)
    if not len(rows):
        return None
    second = float(run.seconds[rows[0]])
    return clock_at(run, second), float((share * run.width).sum()) / 3600.0, second


def _refused(sheet: Sheet, run: Run) -> Iterator[str]:
    """Yield the loads that find no room on the inverter, or the inlet, beside other loads."""
    power, start = run.plan.power, run.plan.schedule.start
    for load, row in zip(sheet.loads, power.refused, strict=True):
        when = np.flatnonzero(row)
        if len(when):
            others = mains_at(sheet, run, float(start[when[0]]), but=load.name)
            what = "inlet" if power.on_shore[when[0]] else "inverter"
            at = clock_at(run, float(start[when[0]]))
            if sheet.inverter is None and what == "inverter":
                yield f"without an inverter the {load.name} runs on shore alone: not served at {at}"
                continue
            asks = f"{load.name} and {' and '.join(others)} together ask"
            if not others:
                asks = f"{load.name} alone asks"
            yield f"{asks} more than the {what} gives at {at}: the {load.name} is not served"


def _overload(sheet: Sheet, run: Run) -> Iterator[str]:
    """Yield when loads and what can wait for them together exceed the inverter or the inlet."""
    found = _first(run, "inverter")
    if found is None:
        return
    at, length, second = found
    unit, heater = sheet.air_conditioner, sheet.electric_heater
    waits = ["air conditioner"] if unit is not None and unit.feed == "inverter" else []
    waits += ["electric heater"] if heater is not None and heater.feed == "inverter" else []
    waiting = f"the {', then the '.join(waits)} waits" if waits else "no mains socket is served"
    plugged = run.plan.power.on_shore[run.segment[np.searchsorted(run.seconds, second + 1) - 1]]
    asks = [*mains_at(sheet, run, second)]
    asks += ["AC" if name == "air conditioner" else name for name in waits]
    if plugged and sheet.shore is not None and not sheet.shore.air_conditioner_first:
        asks.append("the charger, which goes first,")
    together = "together trip" if len(asks) > 1 else "alone trips"
    what = "inlet" if plugged else "inverter"
    if sheet.inverter is None and not plugged:
        told = " and the ".join(waits)
        yield f"without an inverter the {told} runs on shore alone: it waits {in_all(run, length)}"
        return
    yield f"{' and '.join(asks)} {together} the {what} at {at}: {waiting} ({in_all(run, length)})"


def _current(sheet: Sheet, run: Run) -> Iterator[str]:
    """Yield when more amps are asked than the bank's protection lets out: by what, what stops.

    One sentence each for what opens the protection, trips the inverter, and makes devices wait.
    """
    share = run.column("stopped_current_share")
    opens, trips = (run.column(f"{x}_share") > 0 for x in ("bank_open", "mains_off"))
    waits = _waiting(sheet)
    for rows, end, more in (
        (opens, "it opens, and nothing more is served from the bank", ()),
        (trips & ~opens, "the inverter switches off, no mains socket is served", ()),
        (~trips & ~opens, f"the {' and the '.join(waits)} waits", waits),
    ):
        found = np.flatnonzero(rows & (share > 0))
        if not len(found):
            continue
        names = list(dict.fromkeys([*_drawing(sheet, run, int(found[0])), *more]))
        asks = listed(names)
        verb = "together ask" if len(names) > 1 else "asks"
        at = clock_at(run, float(run.seconds[found[0]]))
        length = in_all(run, float((share * run.width)[found].sum()) / 3600.0)
        yield (
            f"{asks or 'what runs'} {verb} for more than the {run.gear.cells.discharge_limit:g} A "
            f"that the bank's protection lets out at {at}: {end} ({length})"
        )


def listed(names: Sequence[str]) -> str:
    """Return names as a sentence has them: 'a, b and c'."""
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def _waiting(sheet: Sheet) -> tuple[str, ...]:
    """Return what gives way to the bank's limit of current before any circuit does."""
    there = {"air conditioner": sheet.air_conditioner, "electric heater": sheet.electric_heater}
    return tuple(name for name, part in there.items() if part is not None)


def _drawing(sheet: Sheet, run: Run, row: int) -> tuple[str, ...]:
    """Return what asks for the bank's current in a row, or did until just before it."""
    plugged = bool(run.plan.power.on_shore[run.segment[row]])
    feeds = ("battery",) if plugged else ("battery", "inverter")
    names = list(loads_at(sheet, run, float(run.seconds[row]), feeds))
    around = slice(max(0, row - 1), row + 1)
    for name, part, column in (
        ("air conditioner", run.gear.unit, "ac_power_w"),
        ("electric heater", run.gear.electric, "electric_heat_w"),
    ):
        from_bank = not (plugged and part.on_inverter)
        if from_bank and run.column(column)[around].max() > 0.0:
            names.append(name)
    return tuple(names)


def _start(sheet: Sheet, run: Run) -> Iterator[str]:
    """Yield a note where the unit's start is near the inverter's surge, and either is guessed."""
    unit, inverter = run.gear.unit, run.gear.inverter
    guessed = (sheet.inverter is not None and sheet.inverter.is_guess("surge")) or (
        sheet.air_conditioner is not None and sheet.air_conditioner.is_guess("starting_surge")
    )
    near = NEAR_SURGE * inverter.surge < surge(unit) <= inverter.surge
    if sheet.air_conditioner is not None and unit.on_inverter and guessed and near:
        yield (
            f"the air conditioner's start is taken as {surge(unit) / 1e3:.1f} kW for a moment, the "
            f"inverter's surge as {inverter.surge / 1e3:.1f} kW: read both, for if it is less the "
            "unit never starts; a soft start halves it"
        )


def mains_at(sheet: Sheet, run: Run, second: float, but: str = "") -> tuple[str, ...]:
    """Return the loads on the mains sockets that run at a second of a run."""
    return tuple(name for name in loads_at(sheet, run, second, ("inverter",)) if name != but)


def loads_at(sheet: Sheet, run: Run, second: float, feeds: tuple[str, ...]) -> tuple[str, ...]:
    """Return the loads on some feeds that run at a second of a run."""
    base = run.plan.start
    minute = np.array([(60 * base.hour + base.minute + (second + 1.0) / 60.0) % DAY])
    return tuple(
        load.name
        for load in sheet.loads
        if load.feed in feeds and load.power > 0.0 and running(load, minute)[0] > 0
    )
