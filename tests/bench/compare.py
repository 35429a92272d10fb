"""Our loop against ``solve_ivp`` at equal error, and how error falls with the step."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from tests.bench.cases import HOUR, Case, air_at, rms
from tests.bench.clock import timed
from tests.bench.stiff import Problem, problem_of, solve
from vanclimate.network.compile import Array
from vanclimate.simulate.runs import Run

FINE = 5.0  # s, our own loop's fine reference
FINE_NIGHT = 1.0  # s, the same for a night with its air conditioner
STEPS = (900.0, 600.0, 300.0, 150.0)  # s
MARK = 300.0  # s between the times at which errors are taken
STRETCHES = ((1, 1), (7, 1))  # month, day: a winter and a summer week
FINE_EVENTS = 10.0  # s, for a week with everything on
SHIFTS = tuple(np.linspace(-0.05, 0.05, 11))  # K; no thermometer outdoors is better
AGREE = 0.01  # K RMS between the two references


@dataclass(frozen=True)
class Tuned:
    """BDF set for our loop's error on the stretches, and what it then takes."""

    restart: bool
    sparse: bool
    tolerance: float
    error: float  # K RMS at every five minutes
    seconds: float  # for the stretches, air wanted by the hour alone


def start_temp(case: Case) -> float:
    """Return the temperature [°C] a run starts from."""
    return float(case.plan.outside.temp[0])


def references(cases: list[Case], tolerance: float) -> tuple[Array, float]:
    """Return Radau's air at the marks, and its RMS gap [K] to our loop in fine steps.

    Raises
    ------
    AssertionError
        When the two do not agree: then one of them solves another problem.
    """
    theirs, ours = [], []
    for case in cases:
        p = problem_of(case)
        done = solve(p, start_temp(case), tolerance, restart=True, sparse=False, every=MARK,
                     method="Radau")  # fmt: skip
        theirs.append(done.air)
        ours.append(air_at(case.run(FINE), MARK))
    truth = np.concatenate(theirs)
    gap = rms(truth, np.concatenate(ours))
    assert gap < AGREE, f"the two references lie {gap:.4f} K RMS apart"
    return truth, gap


def error_of_loop(cases: list[Case], truth: Array, base: float) -> tuple[float, float]:
    """Return our loop's RMS error [K] at its rows' ends, five minutes or more, and at the hours."""
    runs = [case.run(base) for case in cases]
    width = max(base, MARK)
    every = np.concatenate([air_at(run, width) for run in runs])
    hours = np.concatenate([air_at(run, HOUR) for run in runs])
    return (
        rms(every, truth[int(width / MARK) - 1 :: int(width / MARK)]),
        rms(hours, truth[int(HOUR / MARK) - 1 :: int(HOUR / MARK)]),
    )


def bdf(problems: list[Problem], starts: list[float], tolerance: float, restart: bool,
        sparse: bool, every: float) -> tuple[Array, float]:  # fmt: skip
    """Return BDF's air over the problems, and the seconds it took."""
    begin = time.perf_counter()
    air = [
        solve(p, t, tolerance, restart=restart, sparse=sparse, every=every).air
        for p, t in zip(problems, starts, strict=True)
    ]
    return np.concatenate(air), time.perf_counter() - begin


def tune(cases: list[Case], truth: Array, target: float, passes: int) -> list[Tuned]:
    """Bisect the tolerance for the target error; dense and sparse, restarted and run through."""
    problems, starts = [problem_of(c) for c in cases], [start_temp(c) for c in cases]
    found = []
    for restart in (True, False):
        low, high = -6.0, -1.0
        for _ in range(passes):
            middle = (low + high) / 2
            air, _ = bdf(problems, starts, 10.0**middle, restart, False, MARK)
            low, high = (low, middle) if rms(air, truth) > target else (middle, high)
        # the looser end: BDF is not charged for more than our loop gives
        air, _ = bdf(problems, starts, 10.0**high, restart, False, MARK)
        for sparse in (False, True):
            _, seconds = bdf(problems, starts, 10.0**high, restart, sparse, HOUR)
            found.append(Tuned(restart, sparse, 10.0**high, rms(air, truth), seconds))
    return found


@dataclass(frozen=True)
class Duel:
    """One span by both."""

    ours: float  # s
    bdf: float  # s
    gap: float  # K RMS between the two at the hours
    slopes: int


def duel(case: Case, how: Tuned, tries: int, bdf_tries: int) -> Duel:
    """Time a bare span by both, our loop at its usual step; neither gets a lead from the other."""
    ours = timed(case.run, tries).least
    p, start = problem_of(case), start_temp(case)
    best, slopes = float("inf"), 0
    air = np.zeros(0)
    for _ in range(bdf_tries):
        begin = time.perf_counter()
        done = solve(p, start, how.tolerance, restart=how.restart, sparse=how.sparse)
        best = min(best, time.perf_counter() - begin)
        air, slopes = done.air, done.slopes
    return Duel(ours, best, rms(air, air_at(case.run(), HOUR)[: len(air)]), slopes)


@dataclass(frozen=True)
class NightRow:
    """A night with its air conditioner at one step."""

    base: float
    error: float  # K RMS of hourly mean air, bedtime to waking
    energy: float  # Wh of the air conditioner
    latent: float  # Wh of heat taken out as water
    starts: int
    seconds: float


def night_rows(case: Case, tries: int) -> list[NightRow]:
    """Return the night at each step and at the fine one, whose error is nothing by definition."""
    truth = hourly_means(case.run(FINE_NIGHT))
    rows = []
    for base in (*STEPS, FINE_NIGHT):
        run = case.run(base)
        part = slice(int(np.searchsorted(run.seconds, _bedtime(run))), len(run.rows))
        seconds = timed(partial(case.run, base), tries).least
        rows.append(
            NightRow(
                base,
                rms(hourly_means(run), truth),
                run.total("ac_power_w", part) / 3600.0,
                run.total("ac_latent_w", part) / 3600.0,
                int(run.column("ac_starts")[part].sum()),
                seconds,
            )
        )
    return rows


def _bedtime(run: Run) -> float:
    """Return when the bank begins to be followed [s]."""
    live = run.plan.schedule.bank_live[run.segment] > 0
    return float(run.seconds[int(np.argmax(live))])


def hourly_means(run: Run) -> Array:
    """Return mean cabin air [°C] of each hour after bedtime; a last part hour is left out."""
    since = run.seconds[:-1] - _bedtime(run)
    hour = np.floor(since / HOUR + 1e-9).astype(int)
    last = int((run.seconds[-1] - _bedtime(run)) // HOUR)
    keep = (since >= -1e-9) & (hour < last)
    weight = run.width[keep]
    heat = np.bincount(hour[keep], weight * run.column("cabin_temp_mean_c")[keep])
    return np.asarray(heat / np.bincount(hour[keep], weight))


@dataclass(frozen=True)
class Events:
    """What a device takes or gives over a span, and its starts, at the usual step and a short.

    (weathers,) each: the same span with the outdoor air a little warmer or colder, see `SHIFTS`.
    """

    kwh: Array
    fine_kwh: Array
    starts: Array
    fine_starts: Array


DEVICES = {
    "air conditioner": ("ac_power_w", "ac_starts"),
    "fuel heater": ("heater_output_w", "heater_starts"),
    "drawn from the bus": ("draw_w", None),
}  # fmt: skip


def events(case: Case) -> dict[str, Events]:
    """Return each device's energy and starts at the usual step and at `FINE_EVENTS`."""
    found = np.array([[_devices(run) for run in (shifted.run(), shifted.run(FINE_EVENTS))]
                      for shifted in (warmer(case, by) for by in SHIFTS)])  # fmt: skip
    return {
        name: Events(found[:, 0, k, 0], found[:, 1, k, 0], found[:, 0, k, 1], found[:, 1, k, 1])
        for k, name in enumerate(DEVICES)
    }


def warmer(case: Case, by: float) -> Case:
    """Return the same span with the outdoor air warmer by so many kelvins."""
    outside = case.plan.outside
    outside = outside._replace(temp=outside.temp + by)
    return replace(case, plan=replace(case.plan, outside=outside))


def _devices(run: Run) -> list[tuple[float, float]]:
    """Return each device's energy [kWh] and starts."""
    return [
        (run.total(power) / 3.6e6, 0.0 if column is None else float(run.column(column).sum()))
        for power, column in DEVICES.values()
    ]
