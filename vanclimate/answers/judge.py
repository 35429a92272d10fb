"""Does a night hold: one run against the sleeper's limits and the bank's kept charge.

A night holds when the operative temperature stays at or below the limit from the end of pull-down
to waking, pull-down ends within the time the sheet allows, and the bank wakes with its reserve and
the morning's loads in it. In a van with heating it must not fall below the least that the
sleepers want either, once that time is over. What a sleeper feels is the mean over a quarter of an
hour: ASHRAE 55 treats swings of 15 minutes and less as cycles, not as drifts (from memory), and an
air conditioner's cycles are such. A bed fan's moving air lowers it by the standard's cooling
effect.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

import numpy as np

from vanclimate.answers.figures import KELVIN, SHARE
from vanclimate.network.compile import Array
from vanclimate.physics.air import relative_humidity
from vanclimate.physics.comfort import (
    CO2_ASLEEP,
    CO2_AWAKE,
    OUTDOOR_CO2_PPM,
    cooling_effect,
    cooling_effect_table,
    operative_temperature,
)
from vanclimate.simulate.runs import Run
from vanclimate.simulate.thermostats import ac_start
from vanclimate.simulate.ways import WAYS
from vanclimate.van.sheet import Sheet

STILL_AIR = 0.1  # m/s
NO_BREEZE = 23.0
"""Felt temperature [°C] below which nobody lets a fan cool the bed: ASHRAE 55-2020 keeps the air
to 0.2 m/s below an operative 23.0 °C where people cannot set it; from memory."""
LEAST_FRESH_AIR = 0.004  # m3/s a sleeper, below which no way is fit to sleep in; assumed
FELT_OVER = 900.0  # s, see above
LEAST_DRAWN = 0.5  # Ah; a bank that gives less in a night gives nothing
OPENED = ("cells", "current", "cold", "hot")  # what opens a bank's protection


@dataclass(frozen=True)
class Failure:
    """What failed first: ``kind`` is 'charge', 'heat' or 'cold'; ``until`` None when it lasts."""

    kind: str
    at: datetime
    until: datetime | None


@dataclass(frozen=True)
class Opened:
    """When the bank's protection first opened in the night; `cells`, `current`, `cold` or `hot`."""

    at: datetime
    cause: str


@dataclass(frozen=True)
class WayResult:
    """One way of spending the night; temperatures °C as felt, charge Ah, times hours."""

    way: str
    holds: bool
    fit_to_sleep: bool  # False where no sufficient fresh-air path is open all night
    failure: Failure | None
    pull_down_minutes: float | None  # None where it never ends
    pull_down_ah: float
    felt_at_bedtime_c: float
    felt_warmest_c: float  # once settled, see `settled`
    felt_at_waking_c: float
    felt_coldest_c: float
    hours_above: float
    hours_below: float  # the least that is wanted, where the van heats; else 0
    humidity_at_waking: float = field(metadata=SHARE)  # fraction
    humidity_highest: float = field(metadata=SHARE)
    co2_at_waking_ppm: float
    drawn_ah: float
    charge_at_waking_ah: float
    charge_at_waking: float = field(metadata=SHARE)  # fraction of the bank
    margin_charge: float = field(metadata=SHARE)  # fraction of the bank above what must be left
    margin_hours: float  # at the bank's mean discharge while it gives any; inf where it gives none
    opened: Opened | None  # the charge of a bank that opens is no margin
    margin_degrees: float = field(metadata=KELVIN)  # to the nearer of the limits
    margin_cold: float = field(metadata=KELVIN)  # to the least wanted; inf without heating
    ac_energy_wh: float
    ac_hours: float
    ac_starts: int
    heating_wh: float  # heat of burner, heat pump and electric heater
    heater_hours: float
    heater_starts: int
    heater_fails: int  # starts that failed
    heater_fault: str  # why most of them did: 'volts', 'cold', or ''
    fuel_l: float
    fuel_left_l: float


def night_rows(run: Run, bedtime: datetime, sheet: Sheet) -> slice:
    """Return the rows from bedtime to waking."""
    first = (bedtime - run.start).total_seconds()
    last = first + 60.0 * sheet.people.sleep_minutes
    starts = run.seconds[:-1]
    return slice(int(np.searchsorted(starts, first - 1)), int(np.searchsorted(starts, last - 1)))


def felt_temperature(run: Run, sheet: Sheet, way: str) -> Array:
    """Return what a sleeper feels [°C] at each row's end: see the module's text."""
    air, radiant = run.column("cabin_temp_mean_c"), run.column("radiant_temp_c")
    speed = sheet.fans.bed_fan_speed if WAYS[way].blows else STILL_AIR
    felt: Array = np.asarray(operative_temperature(air, radiant, speed), dtype=float)
    if speed > STILL_AIR:
        humidity = relative_humidity(
            air, run.column("cabin_humidity_kg_kg"), run.plan.outside.pressure
        )
        cooled = felt - cooling_effect(felt, humidity, cooling_effect_table(speed))
        felt = np.maximum(cooled, np.minimum(felt, NO_BREEZE))
    return evened_out(run, felt)


def evened_out(run: Run, values: Array) -> Array:
    """Return each row's mean over the quarter of an hour that ends with it."""
    sums = np.concatenate([[0.0], np.cumsum(values * run.width)])
    ends = run.seconds[1:]
    starts = np.maximum(ends - FELT_OVER, run.seconds[0])
    mean: Array = (sums[1:] - np.interp(starts, run.seconds, sums)) / (ends - starts)
    return mean


def carbon_dioxide(run: Run) -> Array:
    """Return the cabin's CO2 [ppm] at each row's end, well mixed, from outdoors at the start.

    Outdoor air that comes through another zone is left out: the living space's own counts.
    """
    plan = run.plan.schedule
    asleep, awake = plan.asleep[run.segment, 0], plan.awake[run.segment, 0]
    source = CO2_ASLEEP * asleep + CO2_AWAKE * awake + plan.flame_carbon_dioxide[run.segment]
    flow = np.maximum(run.column("air_flow_m3_s"), 1e-9)
    target = OUTDOOR_CO2_PPM + 1e6 * source / flow
    keep = np.exp(-flow * run.width / run.model.network.volume[0])
    level, out = float(OUTDOOR_CO2_PPM), []
    for to, kept in zip(target.tolist(), keep.tolist(), strict=True):
        level = to + (level - to) * kept
        out.append(level)
    return np.array(out)


def fresh_enough(run: Run, part: slice, sheet: Sheet) -> bool:
    """Return whether a fresh-air path is open all night, wide enough for the sleepers."""
    plan, at = run.plan.schedule, run.segment[part]
    flow = plan.fan_flow[at, 0] + plan.fan_balanced[at, 0]
    return bool(flow.min() >= LEAST_FRESH_AIR * sheet.people.sleepers)


def _moment(run: Run, row: int) -> datetime:
    return run.start + timedelta(seconds=float(run.seconds[row]))


def _charge_failure(run: Run, part: slice, kept: float) -> Failure | None:
    """Return when the charge first fell to what must be left."""
    charge = run.column("battery_charge_ah")[part]
    low = np.flatnonzero(charge <= kept + 1e-6)
    if not len(low):
        return None
    row = part.start + int(low[0])
    before = run.column("battery_charge_ah")[row - 1] if row > part.start else np.inf
    fall = before - run.column("battery_charge_ah")[row]
    share = min(1.0, max(0.0, (before - kept) / fall)) if np.isfinite(fall) and fall > 0 else 0.0
    at = _moment(run, row) + timedelta(seconds=float(share * run.width[row]))
    return Failure("charge", at, None)


def _opened(run: Run, part: slice) -> Opened | None:
    """Return when the bank's protection first opened, from bedtime on, and why."""
    share = run.column("bank_open_share")[part]
    rows = np.flatnonzero(share > 0.0)
    if not len(rows):
        return None
    row = part.start + int(rows[0])
    closed_for = float((1.0 - share[rows[0]]) * run.width[row])
    stops = {cause: run.column(f"stopped_{cause}_share")[row] for cause in OPENED}
    cause = max(OPENED, key=stops.__getitem__)
    return Opened(_moment(run, row) + timedelta(seconds=closed_for), cause)


def _pull_down_row(run: Run, part: slice, felt: Array, sheet: Sheet) -> int | None:
    """Return the night's row from which on, within the settling time, it is cool enough."""
    since = run.seconds[part] - run.seconds[part.start]
    warm = np.flatnonzero((felt > sheet.people.limit) & (since < sheet.people.settle_in))
    ready = int(warm[-1]) + 1 if len(warm) else 0
    if ready >= len(felt) or felt[ready] > sheet.people.limit:
        return None
    return ready


def settled(run: Run, part: slice, felt: Array, sheet: Sheet) -> Array:
    """Return the felt temperatures that the room in degrees is taken from.

    Those after the time a pull-down is allowed, pulled down earlier or not: just at its end the
    room is none by definition, and one rule for all nights lets them be compared. A night shorter
    than that time is taken whole.
    """
    since = run.seconds[part] - run.seconds[part.start]
    later = felt[since >= sheet.people.settle_in - 1]
    return later if len(later) else felt


def heat_failure(run: Run, part: slice, felt: Array, sheet: Sheet) -> Failure | None:
    """Return the first time it was too warm to sleep, settling time aside."""
    limit = sheet.people.limit
    ready = _pull_down_row(run, part, felt, sheet)
    warm = np.flatnonzero(felt[ready or 0 :] > limit) + (ready or 0)
    if not len(warm):
        return None
    first = int(warm[0])
    later = np.flatnonzero(felt[first:] <= limit)
    until = _moment(run, part.start + first + int(later[0])) if len(later) else None
    return Failure("heat", _moment(run, part.start + first), until)


def cold_failure(run: Run, part: slice, felt: Array, sheet: Sheet) -> Failure | None:
    """Return the first time it was too cold to sleep, settling time aside."""
    since = run.seconds[part] - run.seconds[part.start]
    late = since >= sheet.people.settle_in - 1
    cold = np.flatnonzero((felt < sheet.people.least) & late)
    if not len(cold):
        return None
    first = int(cold[0])
    later = np.flatnonzero(felt[first:] >= sheet.people.least)
    until = _moment(run, part.start + first + int(later[0])) if len(later) else None
    return Failure("cold", _moment(run, part.start + first), until)


def early_minutes(sheet: Sheet) -> int:
    """Return by how many minutes the air conditioner starts before bedtime; 0 if it does not."""
    early = (sheet.people.bedtime - ac_start(sheet)) % 1440
    return early if early < 720 else 0


def _pull_down_charge(run: Run, sheet: Sheet, part: slice, ready: int | None) -> float:
    """Return the charge [Ah] drawn from the unit's start to the end of pull-down."""
    begin = run.seconds[part.start] - 60 * early_minutes(sheet)
    first = int(np.searchsorted(run.seconds, begin - 1))
    last = part.stop if ready is None else part.start + ready
    return run.amp_hours("draw_w", slice(first, last))


def judge(run: Run, sheet: Sheet, way: str, bedtime: datetime) -> WayResult:
    """Return how a way of spending the night fares."""
    part = night_rows(run, bedtime, sheet)
    felt = felt_temperature(run, sheet, way)[part]
    limit, kept, bank = sheet.people.limit, run.gear.kept, run.gear.cells
    ready = _pull_down_row(run, part, felt, sheet)
    heated = sheet.heats
    found = [_charge_failure(run, part, kept), heat_failure(run, part, felt, sheet)]
    found += [cold_failure(run, part, felt, sheet)] if heated else []
    failure = min((f for f in found if f), key=lambda f: f.at, default=None)
    fit = WAYS[way].breathes and fresh_enough(run, part, sheet)
    charge = run.column("battery_charge_ah")[part]
    current = run.column("battery_current_a")[part]
    hours = run.width[part] / 3600.0
    drawn = float((np.maximum(-current, 0.0) * hours).sum())
    spare = float(charge.min() - kept)
    gives = float(hours[current < 0.0].sum())
    lasts = spare * gives / drawn if drawn >= LEAST_DRAWN else np.inf
    late = settled(run, part, felt, sheet)
    cold_room = float(late.min() - sheet.people.least) if heated else np.inf
    air, w = run.column("cabin_temp_mean_c")[part], run.column("cabin_humidity_kg_kg")[part]
    humidity = np.asarray(relative_humidity(air, w, run.plan.outside.pressure), dtype=float)
    steady = humidity[-min(6, len(humidity)) :]  # half an hour: the coil's cycles even out
    return WayResult(
        way=way,
        holds=failure is None and fit,
        fit_to_sleep=fit,
        failure=failure,
        pull_down_minutes=None if ready is None else float(hours[:ready].sum() * 60),
        pull_down_ah=_pull_down_charge(run, sheet, part, ready) if way == "ac" else 0.0,
        felt_at_bedtime_c=float(felt[0]),
        felt_warmest_c=float(late.max()),
        felt_at_waking_c=float(felt[-1]),
        felt_coldest_c=float(felt.min()),
        hours_above=float(hours[felt > limit].sum()),
        hours_below=float(hours[felt < sheet.people.least].sum()) if heated else 0.0,
        humidity_at_waking=float(steady.mean()),
        humidity_highest=float(humidity.max()),
        co2_at_waking_ppm=float(carbon_dioxide(run)[part.stop - 1]),
        drawn_ah=drawn,
        charge_at_waking_ah=float(charge[-1]),
        charge_at_waking=float(charge[-1] / bank.capacity),
        margin_charge=spare / bank.capacity,
        margin_hours=lasts,
        opened=_opened(run, part),
        margin_degrees=min(float(limit - late.max()), cold_room),
        margin_cold=cold_room,
        ac_energy_wh=run.total("ac_power_w", part) / 3600.0,
        ac_hours=run.total("ac_on_share", part) / 3600.0,
        ac_starts=int(run.column("ac_starts")[part].sum()),
        **_heating(run, part),
    )


def _heating(run: Run, part: slice) -> dict[str, Any]:
    """Return what heating took between bedtime and waking, by the fields of a `WayResult`."""
    heat = ("heater_output_w", "heat_pump_w", "electric_heat_w")
    fails = {
        why: int(run.column(f"heater_failed_{why}_starts")[part].sum()) for why in ("volts", "cold")
    }
    return {
        "heating_wh": sum(run.total(name, part) for name in heat) / 3600.0,
        "heater_hours": run.total("heater_on_share", part) / 3600.0,
        "heater_starts": int(run.column("heater_starts")[part].sum()),
        "heater_fails": sum(fails.values()),
        "heater_fault": max(fails, key=fails.__getitem__) if any(fails.values()) else "",
        "fuel_l": run.total("heater_fuel_l_s", part),
        "fuel_left_l": float(run.column("heater_fuel_l")[part.stop - 1]),
    }
