"""A trip's ranges: the same trip by vans of drawn unknowns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vanclimate.answers.ensemble import Rows, Tick, quiet, run_units
from vanclimate.answers.futures import drawn_scenes, spread
from vanclimate.answers.halts import Stage, run_stages
from vanclimate.answers.scene import Scene
from vanclimate.answers.trip_stops import first_of_each, results_of

DRAWS = 64  # vans behind a range
SUMS = ("fuel_l", "heater_hours", "heat_wh", "ac_wh")


@dataclass(frozen=True)
class Ranges:
    """The middle 80 % of trips with drawn unknowns, and how many of them last.

    Fuel, hours and heat are those of a tank that never runs out.
    """

    fuel_l: tuple[float, float]
    heater_hours: tuple[float, float]
    heat_wh: tuple[float, float]
    ac_wh: tuple[float, float]
    charge_least_ah: tuple[float, float]
    last: int
    of: int


def ranges_of(stages: Sequence[Stage], draws: int, tick: Tick = quiet) -> Ranges:
    """Return the ranges over vans of drawn unknowns, each driven through the whole trip."""
    vans = list(zip(*(drawn_scenes(stage.scene, draws) for stage in stages), strict=True))
    columns = (*SUMS, "charge_least_ah", "lasts")
    found = run_units(vans, lambda van: _of_van(stages, van), columns, tick=tick)
    sums = {name: spread(found[name].tolist()) for name in (*SUMS, "charge_least_ah")}
    return Ranges(**sums, last=int(found["lasts"].sum()), of=len(vans))


def _of_van(stages: Sequence[Stage], van: Sequence[Scene]) -> Rows:
    """Return one row: what the trip takes of a van, and whether it lasts."""
    halts, ways = [stage.halt for stage in stages], [stage.way for stage in stages]
    results = results_of(run_stages(halts, van, ways))
    short = first_of_each(results)
    if any(x.kind == "fuel" for x in short):
        results = results_of(run_stages(halts, van, ways, endless=True))
    sums = [sum(getattr(result, name) for result in results) for name in SUMS]
    least = min(result.charge_least_ah for result in results)
    return np.array([[*sums, least, float(not short)]])
