"""A sheet at its place: what every night of it is run from.

Here: compiling a sheet, running one way of one night, and the survey of a spell. Not here: which
nights those are (``season``), and what the results mean (``judge``, ``night``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, TypeVar

import numpy as np

from vanclimate.answers.beyond import beyond_limits
from vanclimate.answers.checks import check_sheet
from vanclimate.answers.judge import WayResult, judge
from vanclimate.network.compile import Model, compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.simulate.gear import cabin_of, gear_of
from vanclimate.simulate.inputs import Equipment
from vanclimate.simulate.place import Place, place_at, places_at
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import BASE_STEP, Run, execute
from vanclimate.site.weather import Weather, window
from vanclimate.van.sheet import Sheet

T = TypeVar("T")
R = TypeVar("R")

WORKERS = 2
DAY_BEFORE = 86400.0  # s of a survey's run that a night is judged with
WARM_UP = timedelta(hours=72)
HEADINGS = tuple(45.0 * i for i in range(8))


@dataclass(frozen=True)
class Scene:
    """A sheet compiled for its place and one heading."""

    sheet: Sheet
    model: Model
    place: Place
    gear: Equipment

    @property
    def main_way(self) -> str:
        """The way the verdict is about."""
        if self.sheet.air_conditioner is not None:
            return "ac"
        return "heat" if self.sheet.heats else "fans"

    @property
    def start_charge(self) -> float | None:
        """Charge at bedtime [Ah]; None where the bank is followed from three days before."""
        share = self.sheet.battery.charge_at_bedtime
        return None if share is None else share * self.gear.cells.capacity


def set_scene(sheet: Sheet, weather: Weather, heading: float) -> Scene:
    """Return the scene of a sheet at a heading [deg].

    Raises
    ------
    SheetError
        Where the sheet's parts cannot be together, see `checks`.
    """
    check_sheet(sheet, weather)
    return Scene(
        sheet,
        compile_shell(shell_of(sheet)),
        place_at(sheet, weather, heading),
        gear_of(sheet, mean_pressure(weather)),
    )


def at_weather(scene: Scene, weather: Weather) -> Scene:
    """Return the scene in another weather, at the same heading."""
    place = place_at(scene.sheet, weather, scene.place.heading)
    return replace(scene, place=place, gear=gear_of(scene.sheet, mean_pressure(weather)))


def mean_pressure(weather: Weather) -> float:
    """Return the mean air pressure [Pa] of the hours that are there."""
    return float(np.nanmean(weather.pressure))


# The sheet's sections that shape the shell, and those that shape what the site brings to it.
SHELL_PARTS = ("body", "stacks", "windows", "shade", "roof_panels")
PLACE_PARTS = ("shade", "roof_panels", "ground_panel", "site")


def changed_scene(scene: Scene, path: str, value: Any) -> Scene:
    """Return the scene with one value of its sheet changed; what the value leaves alone is kept."""
    sheet = scene.sheet.with_value(path, value)
    check_sheet(sheet, scene.place.weather)
    part = path.split(".")[0]
    # a window that leans otherwise meets another sun
    placed = part in PLACE_PARTS or path.endswith(".slope")
    return Scene(
        sheet,
        compile_shell(shell_of(sheet)) if part in SHELL_PARTS else scene.model,
        place_at(sheet, scene.place.weather, scene.place.heading) if placed else scene.place,
        gear_of(sheet, mean_pressure(scene.place.weather)),
    )


def run_way(
    scene: Scene, way: str, *bedtimes: datetime, hours_after: float = 0.0,
    charge: float | None = None, limited: bool = True, warm_up: timedelta = WARM_UP,
    base: float = BASE_STEP, keep_nodes: bool = False,
) -> Run:  # fmt: skip
    """Run one way from 72 h before bedtime to ``hours_after`` waking; of several nights, the last.

    ``charge`` [Ah] at each bedtime is the sheet's unless given. With ``limited`` off the bank never
    stops anything and its charge may fall below nothing: what the night would have taken. Where the
    sheet has the bank followed, such a night begins with the charge that a limited run brings, and
    is that run where nothing was stopped in it from the first bedtime on.
    """
    sheet = scene.sheet
    end = bedtimes[-1] + timedelta(minutes=sheet.people.sleep_minutes, hours=hours_after)
    at_bedtime: float | Sequence[float] | None = scene.start_charge if charge is None else charge
    if at_bedtime is None and not limited:
        lived = run_way(scene, way, *bedtimes, hours_after=hours_after, warm_up=warm_up, base=base,
                        keep_nodes=keep_nodes)  # fmt: skip
        first = (bedtimes[0] - lived.start).total_seconds()
        if not lived.between(first, np.inf).ever_stopped:
            return lived
        at_bedtime = lived.charge_at(bedtimes)
    start = bedtimes[0] - warm_up
    plan = make_plan(sheet, scene.model, scene.place, way, start, end, bedtimes, at_bedtime)
    gear = scene.gear._replace(limited=1.0 if limited else 0.0)
    cabin = cabin_of(sheet, scene.model, plan.outside.pressure)
    return execute(scene.model, plan, cabin, gear, base=base, keep_nodes=keep_nodes)


def night_of(scene: Scene, way: str, bedtime: datetime, warm_up: timedelta = WARM_UP) -> WayResult:
    """Return how a way fares on a night, judged against the whole bank without its cuts.

    The bank's limits end a night; what lies beyond them is only needed to rank nights and guesses,
    and there the unlimited run is smooth. Where not the charge but cold, amps or volts end it,
    whether it holds and how warm it stays are those of the night as it ends.
    """
    return _judged(scene, way, (bedtime,), warm_up)[0]


def _judged(
    scene: Scene, way: str, bedtimes: Sequence[datetime], warm_up: timedelta = WARM_UP
) -> list[WayResult]:
    """Return how nights of one run fare, see `night_of`.

    Where the bank ends some of them they are run again each by itself: what an open bank left cold
    is not how the next night begins.
    """
    free = run_way(scene, way, *bedtimes, limited=False, warm_up=warm_up)
    found = _nights_in(free, scene, way, bedtimes)
    if not beyond_limits(free):
        return found
    runs = [(night, run_way(scene, way, night, warm_up=warm_up)) for night in bedtimes]
    ended = [judge(run, scene.sheet, way, night) for night, run in runs]
    return [
        replace(
            whole, holds=end.holds, failure=end.failure, opened=end.opened,
            margin_degrees=end.margin_degrees, margin_cold=end.margin_cold,
        )
        for whole, end in zip(found, ended, strict=True)
    ]  # fmt: skip


def _nights_in(run: Run, scene: Scene, way: str, bedtimes: Sequence[datetime]) -> list[WayResult]:
    """Return how each night of a run fares, with the day before it."""
    out = []
    for bedtime in bedtimes:
        second = (bedtime - run.start).total_seconds()
        length = 60.0 * scene.sheet.people.sleep_minutes
        part = run.between(second - DAY_BEFORE, second + length) if len(bedtimes) > 1 else run
        out.append(judge(part, scene.sheet, way, bedtime))
    return out


@dataclass(frozen=True)
class SeasonNight:
    """One night of a season's survey."""

    bedtime: datetime
    result: WayResult


def survey(scene: Scene, bedtimes: Sequence[datetime]) -> list[SeasonNight]:
    """Return nights of one spell, in order, each from the sheet's charge at bedtime.

    They are run through in spans of consecutive nights, at least two where there are enough, each
    after 72 h of its own. Where the bank is followed a night begins with what those before it left;
    there each night is a span of its own, as in its answer.
    """
    alone = scene.start_charge is None
    spans = [half for run in consecutive(bedtimes) for half in _halves(run)]
    if alone:
        spans = [[bedtime] for bedtime in bedtimes]
    found = side_by_side(lambda span: _nights_of_span(scene, span), spans)
    return [night for span in found for night in span]


def consecutive(bedtimes: Sequence[datetime], days: int = 1) -> list[list[datetime]]:
    """Return nights in runs in which each is so many days after the one before it."""
    runs: list[list[datetime]] = []
    for bedtime in bedtimes:
        if runs and bedtime - runs[-1][-1] == timedelta(days=days):
            runs[-1].append(bedtime)
        else:
            runs.append([bedtime])
    return runs


def _halves(nights: list[datetime]) -> list[list[datetime]]:
    half = (len(nights) + 1) // 2
    return [span for span in (nights[:half], nights[half:]) if span]


def _nights_of_span(scene: Scene, bedtimes: Sequence[datetime]) -> list[SeasonNight]:
    """Return consecutive nights from one run that the bank's charge does not end."""
    found = _judged(scene, scene.main_way, bedtimes)
    return [SeasonNight(at, result) for at, result in zip(bedtimes, found, strict=True)]


def side_by_side(function: Callable[[T], R], items: Iterable[T]) -> list[R]:
    """Return the function's results in the items' order, two at a time.

    The compiled loop holds no lock, so two runs use two cores; the results do not depend on it.
    Items that are made as they are asked for are made while the first ones run.
    """
    with ThreadPoolExecutor(max_workers=WORKERS) as pool:
        return list(pool.map(function, items))


def hardest_first(scene: Scene, nights: list[SeasonNight], cold: bool) -> list[SeasonNight]:
    """Return the nights by what is asked of the van, most first.

    In the heat by the unit's energy, without a unit by felt temperature; in the cold by the heat
    of all heaters, without one by felt temperature.
    """

    def strain(night: SeasonNight) -> tuple[float, float]:
        r = night.result
        if cold:
            return r.heating_wh, -r.felt_coldest_c
        return (r.ac_energy_wh if scene.main_way == "ac" else 0.0), r.felt_warmest_c

    return sorted(nights, key=strain, reverse=True)


def tightness(result: WayResult) -> tuple[bool, float]:
    """Return a key by which the worse of two results of one night comes first."""
    return result.holds, min(result.margin_charge, result.margin_degrees / 10)


def worst_heading(scene: Scene, bedtime: datetime) -> Scene:
    """Return the scene turned to the heading of eight at which a night leaves the least margin."""
    places = places_at(scene.sheet, scene.place.weather, HEADINGS)
    scenes = [replace(scene, place=place) for place in places]

    def tried(turn: Scene) -> tuple[bool, float]:
        return tightness(night_of(turn, turn.main_way, bedtime))

    results = side_by_side(tried, scenes)
    return scenes[results.index(min(results))]


def outdoors(weather: Weather, sheet: Sheet, bedtime: datetime) -> float:
    """Return a night's mean outdoor temperature [°C]."""
    hours = max(1, round(sheet.people.sleep_minutes / 60))
    return float(weather.temp_air[window(weather, bedtime, hours)].mean())
