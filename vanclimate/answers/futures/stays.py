"""Stays: whole days in a row in one place, each judged on what fails first.

A stay begins when its people come home in the evening and ends when they leave on the last
morning: N nights with the days between them. In a run, stays follow each other; in the hours
between two of them the van is parked with power and fuel to spare. What does not belong here:
drawing unknowns (``drawn``) and counting stays (``last``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.beyond import beyond_limits
from vanclimate.answers.judge import (
    cold_failure,
    felt_temperature,
    heat_failure,
    night_rows,
    settled,
)
from vanclimate.answers.scene import WARM_UP, Scene
from vanclimate.network.compile import Array, Model
from vanclimate.physics.air import relative_humidity
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import BASE_STEP, Run, execute
from vanclimate.van.days import Days
from vanclimate.van.fields import DAY
from vanclimate.van.sheet import Sheet

CAUSES = ("", "charge", "fuel", "heat", "cold", "mould")
"""What a stay may fail on, in the order of their numbers; 0 where it holds."""

COLUMNS = (
    "begins_s", "failed", "failed_after_h", "margin", "charge_margin", "warm_margin_k",
    "cold_margin_k", "home_margin_k", "fuel_left_share", "mould_margin", "charge_end_ah",
    "fuel_l", "heater_h", "ac_wh", "drawn_wh", "sun_wh", "drive_h",
)  # fmt: skip
"""Columns of a stay's row; ``begins_s`` [s since 1970], ``failed`` an index of `CAUSES`;
``home_margin_k`` is the room to the coldest allowed while people are at home, settling aside."""
COLUMN = {name: i for i, name in enumerate(COLUMNS)}

MOULD = 0.80
"""Relative humidity at a lining from which mould may grow; ISO 13788 takes a month's mean."""
MOULD_DAYS = 3
"""Days in a row whose means reach it that count as a risk; assumed: a stay is shorter than the
standard's month, and spores germinate within days of damp."""
DEGREES = 10.0  # K that count as much as the whole bank, or a whole tank, in one margin; assumed
LEAST_FUEL = 1e-3  # L
NO_DAY = Days(week=())


@dataclass(frozen=True)
class Stays:
    """When stays begin and end, in order; a run takes them all.

    ``nights`` are the bedtimes of each, as the sheet has them.
    """

    begins: tuple[datetime, ...]
    ends: tuple[datetime, ...]
    nights: tuple[tuple[datetime, ...], ...]


def stays_of(sheet: Sheet, nights: Sequence[datetime], days: int, whole: bool = False) -> Stays:
    """Return stays of some days, each beginning on the evening of one of ``nights``.

    They end as people leave on the last morning; ``whole`` ones on that evening, as they come home.
    """
    people = sheet.people
    before = timedelta(minutes=(people.bedtime - people.home_from) % DAY)
    after = timedelta(minutes=(people.home_until - people.bedtime) % DAY)
    day = timedelta(days=1)
    return Stays(
        tuple(night - before for night in nights),
        tuple(
            night + days * day - before if whole else night + (days - 1) * day + after
            for night in nights
        ),
        tuple(tuple(night + i * day for i in range(days)) for night in nights),
    )


def off_shore(sheet: Sheet) -> Sheet:
    """Return a sheet that is never plugged in; its rules may still speak of shore."""
    return sheet if sheet.shore is None else sheet.with_value("shore.days", NO_DAY)


def charge_at_arrival(scene: Scene) -> float:
    """Return the charge [Ah] that a stay begins with: the sheet's at bedtime, else a full bank."""
    return scene.gear.cells.capacity if scene.start_charge is None else scene.start_charge


def run_stays(
    scene: Scene, stays: Stays, *, limited: bool = False, warm_up: timedelta = WARM_UP,
    base: float = BASE_STEP,
) -> Run:  # fmt: skip
    """Run stays one after the other from a warm-up before the first.

    Unless ``limited``, the bank stops nothing and its charge may fall below nothing: up to the
    moment when a stay fails both are the same, and beyond it the margin stays smooth. Rules that
    go by the charge act before that moment, so a sheet that has some is always limited; so is a
    run in which cold, amps or volts would have stopped the bank, see `beyond`.
    """
    sheet = scene.sheet
    heater = sheet.heater
    plan = make_plan(
        sheet, scene.model, scene.place, scene.main_way, stays.begins[0] - warm_up, stays.ends[-1],
        stays.begins, charge_at_arrival(scene),
        fuel=None if heater is None else heater.usable_fuel, ends=stays.ends,
    )  # fmt: skip
    ruled = bool((plan.power.ruled.ac_floor > 0).any() or (plan.power.drawn.floor > 0).any())
    ruled |= bool((plan.power.ruled.heat_floor > 0).any())
    cabin = cabin_of(sheet, scene.model, plan.outside.pressure)

    def lived(held: bool) -> Run:
        gear = scene.gear._replace(limited=1.0 if held else 0.0)
        return execute(scene.model, plan, cabin, gear, base=base, keep_nodes=True)

    run = lived(limited or ruled)
    return run if limited or ruled or not beyond_limits(run) else lived(True)


def judge_stays(run: Run, scene: Scene, stays: Stays) -> NDArray[np.float64]:
    """Return a row for each stay of a run, see `COLUMNS`."""
    felt = felt_temperature(run, scene.sheet, scene.main_way)
    damp = lining_humidity(run)
    rows = np.empty((len(stays.begins), len(COLUMNS)))
    moved = timedelta(minutes=minutes_later(scene.sheet, stays.nights[0][0]))
    for i, nights in enumerate(stays.nights):
        part = rows_of(run, stays, i)
        rows[i] = _row(run, scene, part, felt, damp, [night + moved for night in nights])
        rows[i, 0] = stays.begins[i].timestamp()
    return rows


def rows_of(run: Run, stays: Stays, i: int) -> slice:
    """Return the rows of one of a run's stays."""
    edges = [(x - run.start).total_seconds() - 1e-3 for x in (stays.begins[i], stays.ends[i])]
    return slice(*(int(x) for x in np.searchsorted(run.seconds[:-1], edges)))


def minutes_later(drawn: Sheet, night: datetime) -> int:
    """Return by how many minutes a drawn sheet's bedtime is later than a night's own."""
    return (drawn.people.bedtime - 60 * night.hour - night.minute + DAY // 2) % DAY - DAY // 2


def _row(
    run: Run, scene: Scene, part: slice, felt: Array, damp: Array, nights: Sequence[datetime]
) -> Array:
    """Return a stay's row, its beginning left out."""
    sheet, kept, bank = scene.sheet, run.gear.kept, run.gear.cells.capacity
    start = run.seconds[part.start]
    charge = run.column("battery_charge_ah")[part]
    fails = [np.inf] * len(CAUSES)
    opened = run.column("bank_open_share")[part] > 0.0  # a bank that is open gives no more either
    fails[1] = _first((charge <= kept + 1e-6) | opened, run, part)
    warm, cold, home = np.inf, np.inf, np.inf
    for night in nights:
        rows = night_rows(run, night, sheet)
        here = felt[rows]
        hot = heat_failure(run, rows, here, sheet)
        if hot is not None:
            fails[3] = min(fails[3], (hot.at - run.start).total_seconds())
        later = settled(run, rows, here, sheet)
        warm = min(warm, float(sheet.people.limit - later.max()))
        if sheet.heats:
            chill = cold_failure(run, rows, here, sheet)
            if chill is not None:
                fails[4] = min(fails[4], (chill.at - run.start).total_seconds())
            cold = min(cold, float(later.min() - sheet.people.least))
    if sheet.heats:
        home = _home_room(run, sheet, part, felt[part])
    tank, left, to_burn = run.gear.burner.fuel, 1.0, np.inf
    if sheet.heater is not None and tank > LEAST_FUEL:
        fuel = run.column("heater_fuel_l")[part]
        left = float(fuel[-1] / tank)
        to_burn = float(fuel[-1] - LEAST_FUEL) / tank if left < 1.0 else np.inf
        fails[2] = _first(fuel <= LEAST_FUEL, run, part)
    mould, fails[5] = _mould(run, part, damp[part])
    spare = float((charge.min() - kept) / bank)
    spare = min(spare, 0.0) if opened.any() else spare
    cause = int(np.argmin(fails)) if min(fails) < np.inf else 0
    out = np.zeros(len(COLUMNS))
    total = run.total
    out[1:] = (
        cause,
        (fails[cause] - start) / 3600.0 if cause else np.inf,
        min(spare, warm / DEGREES, cold / DEGREES, to_burn, mould),
        spare, warm, cold, home, left, mould, charge[-1],
        total("heater_fuel_l_s", part),
        total("heater_on_share", part) / 3600.0,
        total("ac_power_w", part) / 3600.0,
        total("draw_w", part) / 3600.0,
        total("solar_used_w", part) / 3600.0,
        float(run.width[part][run.plan.power.driving[run.segment[part]]].sum()) / 3600.0,
    )  # fmt: skip
    return out


def _home_room(run: Run, sheet: Sheet, part: slice, felt: Array) -> float:
    """Return the room [K] to the coldest allowed at home, once it may have warmed up.

    From the settling time after people come home until they leave, every day of the stay.
    """
    there = at_home(run, sheet, part)
    return float(felt[there].min() - sheet.people.least) if there.any() else np.inf


def at_home(run: Run, sheet: Sheet, part: slice) -> NDArray[np.bool_]:
    """Return of a stay's rows whether people are at home, settled in."""
    people = sheet.people
    length = 60.0 * ((people.home_until - people.home_from) % DAY)
    since = (run.seconds[:-1][part] - run.seconds[part.start]) % 86400.0
    return np.asarray((since >= people.settle_in - 1.0) & (since < length - 1.0))


def _first(fails: NDArray[np.bool_], run: Run, part: slice) -> float:
    """Return the end [s] of the first of some rows that fails, inf where none does."""
    rows = np.flatnonzero(fails)
    return float(run.seconds[part.start + rows[0] + 1]) if len(rows) else np.inf


def lining_humidity(run: Run) -> Array:
    """Return the relative humidity at the dampest lining of the living space at each row's end.

    Panes are wet and wiped; linings of walls, roof and floor count, over their ribs as well.
    """
    nodes = [run.model.network.first[k + 1] - 1 for k in linings_of(run.model)]
    if not nodes:
        return np.zeros(len(run.rows))
    coldest = run.nodes[:, nodes].min(axis=1)
    air, pressure = run.column("cabin_humidity_kg_kg"), run.plan.outside.pressure
    return np.asarray(relative_humidity(coldest, air, pressure), dtype=float)


def linings_of(model: Model) -> list[int]:
    """Return the chains whose inside face is a lining of the living space against outdoors."""
    return [
        k for k, c in enumerate(model.chains)
        if c.zone == 0 and c.beyond is None and c.glazing is None
        and c.boundary_temp is None and c.group != "furnishing"
    ]  # fmt: skip


def _mould(run: Run, part: slice, damp: Array) -> tuple[float, float]:
    """Return how far linings stay below `MOULD` over days in a row, and when [s] they fail.

    Days are whole ones from the stay's beginning; a stay of fewer than `MOULD_DAYS` cannot fail.
    """
    since, width = run.seconds[part] - run.seconds[part.start], run.width[part]
    day = (since // 86400.0).astype(int)
    total, sums = np.bincount(day, width), np.bincount(day, width * damp)
    means = (sums / total)[total >= 0.5 * 86400.0]
    if len(means) < MOULD_DAYS:
        return np.inf, np.inf
    least = np.lib.stride_tricks.sliding_window_view(means, MOULD_DAYS).min(axis=1)
    bad = np.flatnonzero(least >= MOULD)
    at = run.seconds[part.start] + 86400.0 * (bad[0] + MOULD_DAYS) if len(bad) else np.inf
    return MOULD - float(least.max()), float(at)
