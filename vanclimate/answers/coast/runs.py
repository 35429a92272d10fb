"""The runs of a coast: in which weather, in which van and at which hour the plant stops.

What does not belong here: the plan of such a run (``cut``), and what its times mean (``read``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

import numpy as np

from vanclimate.answers.coast.cut import HOUR, MINUTE, Held, with_cuts
from vanclimate.answers.scene import Scene, consecutive
from vanclimate.answers.thresholds import AIR_STEPS, COLD_STEPS, HEAT_BANDS
from vanclimate.equipment.heater import heater_of
from vanclimate.network.compile import Array
from vanclimate.physics.air import relative_humidity
from vanclimate.physics.comfort import heat_index
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import Run, execute
from vanclimate.site.weather import Weather
from vanclimate.van.fields import DAY

WARM_UP = timedelta(hours=24)
HEAT_HOLD, HEAT_WATCH = 2.0 * HOUR, 6.0 * HOUR
"""How long the air conditioner has held the van when it stops, assumed: its linings are cooled,
its wood is still warm. And how long it is then watched."""
COLD_HOLD, COLD_WATCH = 24.0 * HOUR, 72.0 * HOUR
"""The same of the heaters; assumed. A tank takes days to freeze."""
FIRST_RISE = 10.0  # K of which the rate is told
RATE_WITHIN = 30.0 * MINUTE  # s that it is taken over at most, where the van rises more slowly
TANK_STEP = 5.0 * MINUTE


class Limit(NamedTuple):
    """A threshold: ``kind`` is 'air', 'heat index', 'first ice' or 'half ice'."""

    kind: str
    temp_c: float
    band: str = ""


HEAT_LIMITS = (
    *(Limit("air", temp) for temp in AIR_STEPS),
    *(Limit("heat index", (f - 32.0) / 1.8, name) for f, name in HEAT_BANDS),
)
COLD_LIMITS = (
    *(Limit("air", temp) for temp in COLD_STEPS),
    Limit("first ice", 0.0),
    Limit("half ice", 0.0),
)


@dataclass(frozen=True)
class Job:
    """One run: a van, and the moments at which its plant stops."""

    scene: Scene
    draw: int
    hour: int  # minute of the day
    cuts: tuple[datetime, ...]
    way: str
    held: Held

    @property
    def rising(self) -> bool:
        """Whether it is about the heat."""
        return self.held.kind != "heat"

    def starts(self, run: Run) -> list[float]:
        """Return the cuts' moments [s] after a run's start."""
        return [(cut - run.start).total_seconds() for cut in self.cuts]

    @property
    def span(self) -> tuple[datetime, datetime]:
        """From when until when it runs: where the weather ends, no further."""
        start = self.cuts[0] - timedelta(seconds=self.held.hold_s) - WARM_UP
        end = self.cuts[-1] + timedelta(seconds=self.held.watch_s)
        weather = self.scene.place.weather
        if not (weather.typical or weather.synthetic):
            end = min(end, weather.time(weather.n - 1))
        return start, end


class Case(NamedTuple):
    """What came of one cut.

    Attributes
    ----------
    job, cut : the index of the run, and of the cut in it
    start_c, walls_c : air when it stopped, and mean radiant temperature
    farthest_c : the warmest air after it, in the cold the coldest
    watched : [s]
    rate : of the first 10 K of a rise [K/s]
    times : [s] to each of the limits, inf where it is not reached
    """

    job: int
    cut: int
    start_c: float
    walls_c: float
    farthest_c: float
    watched: float
    rate: float
    times: tuple[float, ...]


def run_job(job: Job) -> Run:
    """Run the van through all of a job's cuts."""
    scene, (start, end) = job.scene, job.span
    plan = make_plan(scene.sheet, scene.model, scene.place, job.way, start, end, (), 0.0)
    cuts = [(cut - plan.start).total_seconds() for cut in job.cuts]
    plan = with_cuts(plan, scene.sheet, scene.model, cuts, job.held)
    cabin = cabin_of(scene.sheet, scene.model, plan.outside.pressure)
    # what holds the air is the ideal plant, whose heat would be booked as the burner's
    gear = scene.gear._replace(burner=heater_of(None, plan.outside.pressure, 12.0))
    return execute(scene.model, plan, cabin, gear)


def cut_moments(nights: Sequence[datetime], minute: int, after: bool) -> list[datetime]:
    """Return the moments of a time of day, one a night: the next ``after`` bedtime, or the last
    before it.
    """
    out = []
    for bedtime in nights:
        of_day = 60 * bedtime.hour + bedtime.minute
        away = (minute - of_day) % DAY if after else -((of_day - minute) % DAY)
        out.append(bedtime + timedelta(minutes=away))
    return out


def spans_of(nights: Sequence[datetime], every: int, phase: int) -> list[tuple[datetime, ...]]:
    """Return nights in spans that can be run through, of each the ``every``-th."""
    runs = consecutive(nights)
    spans = [tuple(run[phase % min(every, len(run)) :: every]) for run in runs]
    return [span for span in spans if span]


def cases_of(job: Job, index: int, run: Run, limits: Sequence[Limit]) -> list[Case]:
    """Return what came of each cut of a run, but for the limits of a tank."""
    found, rising = [], job.rising
    for i, start in enumerate(job.starts(run)):
        rows = rows_after(run, start, job.held.watch_s)
        seconds = run.seconds[rows.start + 1 : rows.stop + 1] - start
        air = run.column("cabin_temp_c")[rows]
        felt = np.asarray(heat_index(air, humidity_of(run, rows))) if rising else air
        series = {"air": air, "heat index": felt}
        times = (
            crossing(seconds, series[x.kind], x.temp_c, rising) for x in limits if x.kind in series
        )
        far = float(air.max() if rising else air.min())
        rate = rise_rate(seconds, air) if rising else 0.0
        walls, last = float(run.column("radiant_temp_c")[rows.start]), float(seconds[-1])
        found.append(Case(index, i, float(air[0]), walls, far, last, rate, tuple(times)))
    return found


def around_tank(job: Job, run: Run) -> tuple[Array, Array]:
    """Return a tank's temperature (cuts,) at each cut, and the air (cuts, steps) from then on [°C].

    The water has the air's mean of the hold. NaN where the weather ends.
    """
    grid = np.arange(0.5 * TANK_STEP, job.held.watch_s, TANK_STEP)
    held, airs = [], []
    for start in job.starts(run):
        rows = rows_after(run, start, job.held.watch_s)
        seconds = run.seconds[rows.start + 1 : rows.stop + 1] - start
        airs.append(np.interp(grid, seconds, run.column("cabin_temp_c")[rows], right=np.nan))
        before = rows_after(run, start - job.held.hold_s, job.held.hold_s)
        held.append(run.column("cabin_temp_c")[before].mean())
    return np.array(held), np.array(airs)


def rows_after(run: Run, start: float, length: float) -> slice:
    """Return the rows from the one that ends at ``start`` [s] to the end of a time [s] after it."""
    first = int(np.searchsorted(run.seconds, start - 1e-3))
    last = int(np.searchsorted(run.seconds, start + length + 1e-3)) - 1
    return slice(first - 1, last)


def humidity_of(run: Run, rows: slice) -> Array:
    """Return the cabin's relative humidity [0..1] at the ends of some rows."""
    air, water = run.column("cabin_temp_c")[rows], run.column("cabin_humidity_kg_kg")[rows]
    share = np.asarray(relative_humidity(air, water, run.plan.outside.pressure), dtype=float)
    held: Array = np.minimum(share, 1.0)
    return held


def crossing(seconds: Array, values: Array, limit: float, rising: bool) -> float:
    """Return when a limit is first reached [s], straight between two values; inf for never."""
    excess = values - limit if rising else limit - values
    past = excess >= 0.0
    if not past.any():
        return float("inf")
    i = int(past.argmax())
    if i == 0:
        return 0.0
    share = -excess[i - 1] / (excess[i] - excess[i - 1])
    return float(seconds[i - 1] + share * (seconds[i] - seconds[i - 1]))


def rise_rate(seconds: Array, air: Array) -> float:
    """Return the mean rate [K/s] of the first 10 K; of half an hour where that is sooner over.

    Air that falls at first rises by nothing.
    """
    end = min(crossing(seconds, air, air[0] + FIRST_RISE, True), RATE_WITHIN)
    return max(0.0, float((np.interp(end, seconds, air) - air[0]) / end))


def sunny_hours(weathers: Sequence[Weather], nights: Sequence[datetime], most: int) -> list[int]:
    """Return times of day in full sun [minutes after midnight], at most so many, evenly.

    The hours in which the season's brightest sun on a level plane is at least half of its most.
    """
    months = {night.month for night in nights}
    brightest = np.zeros(24)
    for weather in weathers:
        stamps = [weather.time(i) for i in range(weather.n)]
        here = np.array([stamp.month in months for stamp in stamps])
        hour = np.array([stamp.hour for stamp in stamps])
        ghi = np.nan_to_num(weather.ghi)
        for h in range(24):
            values = ghi[(hour == h) & here]
            brightest[h] = max(brightest[h], values.max(initial=0.0))
    hours = np.flatnonzero((brightest >= 0.5 * brightest.max()) & (brightest > 0.0))
    if not len(hours):
        return [12 * 60]
    picked = np.unique(np.linspace(0, len(hours) - 1, min(most, len(hours))).round().astype(int))
    return [60 * int(h) + weathers[0].start.minute for h in hours[picked]]
