"""What one stop of a trip comes to: heating, cooling, charge, days that are cold, nights.

What does not belong here: running it (``halts``), and what the whole trip means (``answer``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from vanclimate.answers.judge import (
    Failure,
    cold_failure,
    felt_temperature,
    heat_failure,
    night_rows,
)
from vanclimate.answers.scene import Scene
from vanclimate.answers.thresholds import WHO_LEAST
from vanclimate.answers.trip.halts import Stage, next_stage
from vanclimate.answers.trip.itinerary import Halt
from vanclimate.network.compile import Array
from vanclimate.simulate.runs import Run
from vanclimate.van.fresh_water import FreshWater
from vanclimate.van.sheet import Sheet

COLD_FOR = 1.0  # h below the limit, awake and inside, that make a cold day; assumed
EMPTY = 1e-3  # L; a tank with less is empty
DAY = 86400.0
HEATS = ("heater_output_w", "heat_pump_w", "electric_heat_w")


@dataclass(frozen=True)
class Shortfall:
    """What ran out or was not held, and when first.

    ``kind`` is 'charge', 'fuel', 'water', 'heat' or 'cold'; ``stop`` counts from 0.
    """

    kind: str
    stop: int
    at: datetime


@dataclass(frozen=True)
class StopResult:
    """One stop, the drive to it included; charge Ah, litres, temperatures °C felt or outdoors."""

    also_told = ("cold_days",)

    nights_warm: int  # too warm to sleep at some time
    nights_cold: int  # too cold at some time, of a van that heats
    asleep_coldest_c: float
    asleep_warmest_c: float
    outdoor_mean_c: float
    outdoor_least_c: float
    outdoor_most_c: float
    heater_hours: float
    heater_starts: int
    heater_fails: int
    fuel_l: float
    fuel_left_l: float
    fuel_bought_l: float
    heat_wh: float  # of burner, heat pump and electric heater
    heat_electric_wh: float  # drawn for heat by heat pump and electric heater
    ac_hours: float
    ac_wh: float
    charge_begins_ah: float
    charge_ends_ah: float
    charge_least_ah: float
    least_at: datetime
    sun_ah: float
    drive_ah: float
    shore_ah: float
    water_used_l: float
    water_left_l: float  # NaN where no tank is described
    cold_hours: dict[str, float]  # by date, below the limit while people are awake inside
    awake_coldest_c: float  # NaN where nobody is awake inside
    shortfalls: tuple[Shortfall, ...]

    @property
    def cold_days(self) -> int:
        """Days on which people awake inside feel less than the WHO's 18 °C for an hour."""
        return cold_days([self])


def total(results: Sequence[StopResult], name: str) -> float:
    """Return the sum of one of the figures of some stops."""
    return float(sum(getattr(result, name) for result in results))


def cold_days(results: Sequence[StopResult]) -> int:
    """Return how many days are cold in some stops together, which may share one."""
    hours: dict[str, float] = {}
    for result in results:
        for day, below in result.cold_hours.items():
            hours[day] = hours.get(day, 0.0) + below
    return sum(below >= COLD_FOR for below in hours.values())


def stop_result(stage: Stage, water: float) -> StopResult:
    """Return what a stop comes to; ``water`` [L] is in its tank as it begins."""
    run, sheet, halt = stage.run, stage.scene.sheet, stage.halt
    every = slice(0, len(run.rows))
    charge = run.column("battery_charge_ah")
    least = int(charge.argmin())
    felt = felt_temperature(run, sheet, stage.way)
    asleep = np.concatenate([felt[night_rows(run, bed, sheet)] for bed in halt.bedtimes(sheet)])
    warm, cold = night_failures(stage, felt)
    hours, coldest = _cold_hours(run, sheet, halt.arrives)
    used, left, dry = _water(sheet, stage, water)
    found = [_charge_shortfall(stage), _fuel_shortfall(stage), dry]
    found += [Shortfall(x[0].kind, halt.index, x[0].at) for x in (warm, cold) if x]
    fails = sum(int(run.column(f"heater_failed_{x}_starts").sum()) for x in ("volts", "cold"))
    hot = run.column("ac_power_w") * run.heats
    return StopResult(
        nights_warm=len(warm),
        nights_cold=len(cold),
        asleep_coldest_c=float(asleep.min()),
        asleep_warmest_c=float(asleep.max()),
        outdoor_mean_c=float((run.outdoor * run.width).sum() / run.width.sum()),
        outdoor_least_c=float(run.outdoor.min()),
        outdoor_most_c=float(run.outdoor.max()),
        heater_hours=run.total("heater_on_share") / 3600.0,
        heater_starts=int(run.column("heater_starts").sum()),
        heater_fails=fails,
        fuel_l=run.total("heater_fuel_l_s"),
        fuel_left_l=float(run.column("heater_fuel_l")[-1]),
        fuel_bought_l=stage.bought_l,
        heat_wh=sum(run.total(name) for name in HEATS) / 3600.0,
        heat_electric_wh=run.total("electric_heat_w") / 3600.0 + _wh(run, hot),
        ac_hours=float((run.column("ac_on_share") * ~run.heats * run.width).sum()) / 3600.0,
        ac_wh=_wh(run, run.column("ac_power_w") * ~run.heats),
        charge_begins_ah=stage.charge_ah,
        charge_ends_ah=float(charge[-1]),
        charge_least_ah=float(charge[least]),
        least_at=_end_of(run, least),
        sun_ah=run.amp_hours("solar_used_w", every),
        drive_ah=run.amp_hours("drive_used_w", every),
        shore_ah=run.amp_hours("shore_used_w", every) + run.amp_hours("shore_passed_w", every),
        water_used_l=used,
        water_left_l=left,
        cold_hours=hours,
        awake_coldest_c=coldest,
        shortfalls=tuple(sorted((x for x in found if x is not None), key=lambda x: x.at)),
    )  # fmt: skip


def cooled_after_heat(run: Run) -> float:
    """Return the hours in which the air conditioner cools in rows in which the heater burns."""
    cools = run.column("ac_on_share") * ~run.heats * (run.column("heater_on_share") > 0.0)
    return float((cools * run.width).sum()) / 3600.0


def _wh(run: Run, watts: Array) -> float:
    return float((watts * run.width).sum()) / 3600.0


def _end_of(run: Run, row: int) -> datetime:
    return run.start + timedelta(seconds=float(run.seconds[row + 1]))


def night_failures(stage: Stage, felt: Array) -> tuple[list[Failure], list[Failure]]:
    """Return the failures of the nights that are too warm, and of those too cold if it heats."""
    run, sheet = stage.run, stage.scene.sheet
    warm, cold = [], []
    for bedtime in stage.halt.bedtimes(sheet):
        part = night_rows(run, bedtime, sheet)
        if found := heat_failure(run, part, felt[part], sheet):
            warm.append(found)
        if sheet.heats and (found := cold_failure(run, part, felt[part], sheet)):
            cold.append(found)
    return warm, cold


def _cold_hours(run: Run, sheet: Sheet, arrives: datetime) -> tuple[dict[str, float], float]:
    """Return by date the hours in which people awake inside feel cold, and the coldest they feel.

    From the hour after the arrival on, in which a van that stood empty is warmed.
    """
    felt = felt_temperature(run, sheet, "closed")
    awake = run.plan.schedule.awake[run.segment].sum(axis=1) > 0.0
    since = (arrives - run.start).total_seconds() + 3600.0 * COLD_FOR
    awake &= run.seconds[:-1] >= since - 1.0
    if not awake.any():
        return {}, float("nan")
    below = np.where(awake & (felt < WHO_LEAST), run.width, 0.0)
    midnight = run.start.replace(hour=0, minute=0, second=0)
    day = ((run.start - midnight).total_seconds() + run.seconds[:-1]) // DAY
    hours = np.bincount(day.astype(int), weights=below) / 3600.0
    dates = [str(midnight.date() + timedelta(days=i)) for i in range(len(hours))]
    found = {date: float(h) for date, h in zip(dates, hours, strict=True) if h > 0.0}
    return found, float(felt[awake].min())


def _charge_shortfall(stage: Stage) -> Shortfall | None:
    """Return when the charge first fell to its reserve, by night to the morning's loads as well."""
    run, sheet = stage.run, stage.scene.sheet
    bank = sheet.battery
    least = np.full(len(run.rows), max(bank.reserve, bank.cut_off) * run.gear.cells.capacity)
    for bedtime in stage.halt.bedtimes(sheet):
        least[night_rows(run, bedtime, sheet)] = run.gear.kept
    low = np.flatnonzero(run.column("battery_charge_ah") <= least + 1e-6)
    return Shortfall("charge", stage.halt.index, _end_of(run, int(low[0]))) if len(low) else None


def charge_short(stage: Stage) -> float:
    """Return how far the charge falls at most below what must stay in it by night [Ah]."""
    run, sheet = stage.run, stage.scene.sheet
    charge = run.column("battery_charge_ah")
    lows = [charge[night_rows(run, bed, sheet)].min() for bed in stage.halt.bedtimes(sheet)]
    return max(0.0, run.gear.kept - float(min(lows)))


def unserved(stage: Stage) -> float:
    """Return the charge [Ah] that loads asked for and did not get."""
    return stage.run.amp_hours("unserved_w", slice(0, len(stage.run.rows)))


def _fuel_shortfall(stage: Stage) -> Shortfall | None:
    """Return when the tank ran dry."""
    if stage.scene.sheet.heater is None:
        return None
    dry = np.flatnonzero(stage.run.column("heater_fuel_l") <= EMPTY)
    if not len(dry):
        return None
    return Shortfall("fuel", stage.halt.index, _end_of(stage.run, int(dry[0])))


def water_a_day(sheet: Sheet, water: FreshWater) -> float:
    """Return the fresh water [L] that all sleepers use in a day."""
    return 1e3 * water.use * sheet.people.sleepers


def water_wanted(sheet: Sheet, halt: Halt) -> float:
    """Return the fresh water [L] that a stop would use; 0 where no tank is described."""
    if sheet.water is None:
        return 0.0
    return water_a_day(sheet, sheet.water) * (halt.ends - halt.begins).total_seconds() / DAY


def _water(sheet: Sheet, stage: Stage, level: float) -> tuple[float, float, Shortfall | None]:
    """Return water used and left [L], and when the tank ran dry; use is even over the day."""
    halt = stage.halt
    if sheet.water is None:
        return 0.0, float("nan"), None
    wanted = water_wanted(sheet, halt)
    if wanted <= level:
        return wanted, level - wanted, None
    lasts = (halt.ends - halt.begins) * (level / wanted)
    return level, 0.0, Shortfall("water", halt.index, halt.begins + lasts)


def results_of(stages: Sequence[Stage]) -> tuple[StopResult, ...]:
    """Return what each stop comes to, water carried from one to the next."""
    tank = stages[0].scene.sheet.water
    full = 1e3 * tank.tank if tank is not None else 0.0
    level = full * (tank.at_start if tank is not None else 0.0)
    found = []
    for stage in stages:
        result = stop_result(stage, full if stage.halt.stop.water else level)
        found.append(result)
        level = result.water_left_l
    return tuple(found)


def first_of_each(results: Sequence[StopResult]) -> tuple[Shortfall, ...]:
    """Return what ran out or was not held, each kind once, in order of time."""
    found: dict[str, Shortfall] = {}
    for short in sorted((x for r in results for x in r.shortfalls), key=lambda x: x.at):
        found.setdefault(short.kind, short)
    return tuple(found.values())


def lived(halts: Sequence[Halt], scenes: Sequence[Scene]) -> tuple[Stage, ...]:
    """Return the stops run in order, each in its better way.

    That is the van's main way; of one that heats and has no air conditioner the nights of a stop
    may be too warm, and with fans fewer.
    """
    found: list[Stage] = []
    for halt, scene in zip(halts, scenes, strict=True):
        before = found[-1] if found else None
        stage = next_stage(before, halt, scene, scene.main_way)
        if scene.main_way == "heat" and (bad := _bad_nights(stage)):
            by_fans = next_stage(before, halt, scene, "fans")
            stage = by_fans if _bad_nights(by_fans) < bad else stage
        found.append(stage)
    return tuple(found)


def _bad_nights(stage: Stage) -> int:
    felt = felt_temperature(stage.run, stage.scene.sheet, stage.way)
    return sum(map(len, night_failures(stage, felt)))
