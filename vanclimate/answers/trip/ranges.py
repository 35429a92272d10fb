"""A trip's ranges: the same trip by vans of drawn unknowns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vanclimate.answers.futures.drawn import drawn_scenes, spread
from vanclimate.answers.futures.ensemble import Rows, Tick, quiet, run_units
from vanclimate.answers.futures.odds import Odds, odds_of
from vanclimate.answers.scene import Scene
from vanclimate.answers.trip.halts import Stage, run_stages
from vanclimate.answers.trip.stops import first_of_each, lived, results_of, total

DRAWS = 64  # vans behind a range
CAUSES = ("", "charge", "fuel", "water", "heat", "cold")
"""What a trip may fail on first, in the order of their numbers; 0 where it lasts."""
SUMS = ("fuel_l", "heater_hours", "heat_wh", "ac_wh")


@dataclass(frozen=True)
class Ranges:
    """The middle 80 % of trips with drawn unknowns, and how often they last.

    Fuel, hours and heat are those of a tank that never runs out.
    """

    fuel_l: tuple[float, float]
    heater_hours: tuple[float, float]
    heat_wh: tuple[float, float]
    ac_wh: tuple[float, float]
    charge_least_ah: tuple[float, float]
    odds: Odds
    first: dict[str, int]  # how many trips fail first on what


def ranges_of(stages: Sequence[Stage], draws: int, tick: Tick = quiet) -> Ranges:
    """Return the ranges over vans of drawn unknowns, each driven through the whole trip."""
    vans = list(zip(*(drawn_scenes(stage.scene, draws) for stage in stages), strict=True))
    columns = (*SUMS, "charge_least_ah", "failed")
    found = run_units(vans, lambda van: _of_van(stages, van), columns, tick=tick)
    sums = {name: spread(found[name].tolist()) for name in (*SUMS, "charge_least_ah")}
    counts = np.bincount(found["failed"].astype(int), minlength=len(CAUSES))
    first = {cause: int(n) for cause, n in zip(CAUSES, counts, strict=True) if cause and n}
    return Ranges(**sums, odds=odds_of(int(counts[0]), len(vans), len(vans)), first=first)


def _of_van(stages: Sequence[Stage], van: Sequence[Scene]) -> Rows:
    """Return one row: what the trip takes of a van, and whether it lasts."""
    halts = [stage.halt for stage in stages]
    own = lived(halts, van)
    results = results_of(own)
    short = first_of_each(results)
    if any(x.kind == "fuel" for x in short):
        results = results_of(run_stages(halts, van, [stage.way for stage in own], endless=True))
    sums = [total(results, name) for name in SUMS]
    least = min(result.charge_least_ah for result in results)
    return np.array([[*sums, least, float(CAUSES.index(short[0].kind) if short else 0)]])
