"""One part of a coast, heat or cold: its heading, its hours, its vans, and their runs.

What does not belong here: a run itself (``runs``), and what the runs come to
(``read``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np

from vanclimate.answers.coast.cut import Held
from vanclimate.answers.coast.read import Coasting, read_cases
from vanclimate.answers.coast.runs import (
    COLD_HOLD,
    COLD_LIMITS,
    COLD_WATCH,
    HEAT_HOLD,
    HEAT_LIMITS,
    HEAT_WATCH,
    TANK_STEP,
    Case,
    Job,
    around_tank,
    cases_of,
    cut_moments,
    run_job,
    spans_of,
    sunny_hours,
)
from vanclimate.answers.coast.tank import Tank, ice_times
from vanclimate.answers.futures.drawn import Places, drawn_scene
from vanclimate.answers.scene import HEADINGS, Scene, at_weather, set_scene, side_by_side
from vanclimate.network.compile import Array
from vanclimate.simulate.place import places_at
from vanclimate.site.weather import Weather, window
from vanclimate.van.fields import DAY
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import drawn_sheets

VANS = 32  # drawn, see `unknowns`
RUNS = {"heat": VANS, "cold": 2 * VANS}  # at hours, in years and on days that take turns
HOURS_IN_SUN = 4
HOURS_APART = 180  # minutes between the hours of the night at which heat is cut
DAYS_APART = 4  # nights between two cuts of one run in the cold: hold and watch together
TRIED_DAYS = 3  # the hottest, or coldest, on which eight headings are tried

Nights = Sequence[Sequence[datetime]]  # of each spell
Count = Callable[[int], None]  # told how many of `RUNS` are done


def part_of(
    kind: str, sheet: Sheet, weathers: Sequence[Weather], nights: Nights,
    at: int | None, tank: Tank, count: Count,
) -> tuple[Scene, Coasting]:  # fmt: skip
    """Answer one part: find its heading, run its cuts, and read them."""
    every = [moment for own in nights for moment in own]
    if at is not None:
        hours = [at]
    elif kind == "heat":
        hours = sunny_hours(weathers, every, HOURS_IN_SUN)
    else:
        length = sheet.people.sleep_minutes
        hours = [(sheet.people.bedtime + m) % DAY for m in range(0, length, HOURS_APART)]
    scenes = _facing(kind, sheet, weathers, nights, hours)
    jobs = _jobs(kind, scenes, nights, hours)
    limits = HEAT_LIMITS if kind == "heat" else COLD_LIMITS
    done = 0

    def run(numbered: tuple[int, Job]) -> tuple[list[Case], tuple[Array, Array] | None]:
        nonlocal done
        index, job = numbered
        made = run_job(job)
        done += 1
        count(done * RUNS[kind] // len(jobs))
        return cases_of(job, index, made, limits), None if job.rising else around_tank(job, made)

    found = side_by_side(run, list(enumerate(jobs)))
    cases = [case for of_job, _ in found for case in of_job]
    water = [around for _, around in found if around is not None]
    if water:
        start, air = (np.concatenate(part) for part in zip(*water, strict=True))
        ice = zip(*ice_times(tank, start, air, TANK_STEP), strict=True)
        cases = [
            case._replace(times=(*case.times, *map(float, times)))
            for case, times in zip(cases, ice, strict=True)
        ]
    return scenes[0], read_cases(kind, jobs, cases, limits, hours)


def held_of(kind: str, sheet: Sheet) -> Held:
    """Return how a van is held until the cut, and how it coasts."""
    if kind == "cold":
        warm = [part.setpoint for part in (sheet.heater, sheet.electric_heater) if part is not None]
        unit = sheet.air_conditioner
        if unit is not None and unit.heats:
            warm.append(unit.heating_setpoint)
        return Held("heat", max(warm), COLD_HOLD, COLD_WATCH, breathes=True)
    unit = sheet.air_conditioner
    if unit is None:
        return Held("free", np.nan, HEAT_HOLD, HEAT_WATCH, breathes=False)
    temp = unit.setpoint if unit.by_day is None else unit.by_day
    return Held("ac", temp, HEAT_HOLD, HEAT_WATCH, breathes=False)


def way_of(kind: str, sheet: Sheet) -> str:
    """Return how the van lives between its cuts."""
    if kind == "cold":
        return "heat"
    return "fans" if sheet.air_conditioner is None else "ac"


def _facing(
    kind: str, sheet: Sheet, weathers: Sequence[Weather], nights: Nights,
    hours: Sequence[int],
) -> list[Scene]:  # fmt: skip
    """Return a scene of each spell, at the sheet's heading or at that which gets farthest.

    The headings are tried in the spell and on the days with the hottest hours, in the cold the
    coldest.
    """
    sign = 1.0 if kind == "heat" else -1.0
    late = kind == "cold"
    ranked = sorted(
        (
            (sign * float(weathers[s].temp_air[_row(weathers[s], cut)]), s, cut)
            for s, own in enumerate(nights)
            for cut in cut_moments(own, hours[len(hours) // 2], late)
        ),
        key=lambda x: x[0],
        reverse=True,
    )
    first = ranked[0][1]
    scene = set_scene(sheet, weathers[first], sheet.heading or 0.0)
    if sheet.heading is None:
        days = [cut for _, s, cut in ranked if s == first][:TRIED_DAYS]
        places = places_at(sheet, weathers[first], HEADINGS)
        tried = [replace(scene, place=place) for place in places]

        def far(turn: Scene) -> float:
            return sign * float(np.mean([_farthest(kind, turn, day, hours) for day in days]))

        found = side_by_side(far, tried)
        scene = tried[found.index(max(found))]
    return [
        scene if i == first else at_weather(scene, weather) for i, weather in enumerate(weathers)
    ]


def _farthest(kind: str, scene: Scene, day: datetime, hours: Sequence[int]) -> float:
    """Return the mean of the warmest, or coldest, air [°C] after cuts on a day."""
    limits = HEAT_LIMITS if kind == "heat" else COLD_LIMITS
    tried = hours if kind == "heat" else hours[:1]
    found = []
    for hour in tried:
        moment = day.replace(hour=hour // 60, minute=hour % 60)
        held = held_of(kind, scene.sheet)
        job = Job(scene, 0, hour, (moment,), way_of(kind, scene.sheet), held)
        (case,) = cases_of(job, 0, run_job(job), limits)
        found.append(case.farthest_c)
    return float(np.mean(found))


def _jobs(kind: str, scenes: Sequence[Scene], nights: Nights, hours: Sequence[int]) -> list[Job]:
    """Return the runs, vans, hours, years and days taking turns."""
    every = 1 if kind == "heat" else DAYS_APART
    turns = [
        (s, hour, phase) for phase in range(every) for s in range(len(scenes)) for hour in hours
    ]
    sheets = list(drawn_sheets(scenes[0].sheet, VANS))
    places = [Places(scene) for scene in scenes]
    jobs = []
    for j in range(max(RUNS[kind], len(turns))):
        draw = j % VANS
        s, hour, phase = turns[(j + j // VANS) % len(turns)]
        van = drawn_scene(scenes[s], sheets[draw], places[s])
        held, way = held_of(kind, van.sheet), way_of(kind, van.sheet)
        for span in spans_of(nights[s], every, phase):
            cuts = tuple(cut_moments(span, hour, kind == "cold"))
            jobs.append(Job(van, draw, hour, cuts, way, held))
    return jobs


def outdoor_extremes(weathers: Sequence[Weather], nights: Nights) -> tuple[float, float]:
    """Return the days' mean warmest and the season's coldest hour outdoors [°C]."""
    days = []
    for weather, own in zip(weathers, nights, strict=True):
        hours = [cut_moments(own, 60 * h, after=False) for h in range(24)]
        days += [
            [weather.temp_air[_row(weather, m)] for m in day] for day in zip(*hours, strict=True)
        ]
    temps = np.array(days)
    return float(temps.max(axis=1).mean()), float(temps.min())


def _row(weather: Weather, moment: datetime) -> int:
    return int(window(weather, moment, 1)[0])
