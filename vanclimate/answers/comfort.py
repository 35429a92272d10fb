"""How a night feels: bedding, votes asleep and awake, heat index, hours beyond thresholds.

A reading of runs that are made anyway, and of one more: the van shut up and left alone from
three days before. What does not belong here: whether the night holds (judge), the thresholds
themselves (thresholds) and the words (report).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.figures import HOURS, SHARE
from vanclimate.answers.judge import STILL_AIR, evened_out, night_rows
from vanclimate.answers.scene import Scene, run_way
from vanclimate.answers.thresholds import (
    ANIMALS_COLDEST,
    ANIMALS_WARMEST,
    WHO_LEAST,
    heat_band,
)
from vanclimate.network.compile import Array
from vanclimate.physics.air import relative_humidity, vapour_pressure
from vanclimate.physics.bedding import BEDS, FASTEST, Bed, sleeper_vote
from vanclimate.physics.comfort import (
    HEAT_INDEX_RANGE,
    PMV_RANGE,
    heat_index,
    operative_temperature,
    predicted_dissatisfied,
    predicted_mean_vote,
)
from vanclimate.simulate.runs import Run

Flags = NDArray[np.bool_]

WHOLE_DAY = 86400.0  # s to waking in which hours beyond a threshold are counted
FIRST, LAST = 3600.0, 7200.0  # s after bedtime, and before waking, that may want another cover
UNEASY = 0.7  # vote beyond which a cover is wrong: the widest of ISO 7730's categories, from memory
WORTH_A_FAN = 0.1  # vote by which the bed fan has to better a night to be advised; assumed
UNDER_A_FAN = BEDS[:2]  # who lies under more takes a cover off before a fan is put on; assumed
QUIET_SEAT = 1.0  # met, ISO 7730: seated, relaxed; from memory
CLOTHES = (("light clothes", 0.5), ("trousers and a jacket", 1.0), ("winter clothes", 1.5))
"""Daily wear and its insulation [clo], ISO 7730 annex C, from memory."""


@dataclass(frozen=True)
class Cover:
    """What lies over a sleeper, and whether the bed fan blows."""

    bed: Bed
    fan: bool


@dataclass(frozen=True)
class Vote:
    """A predicted mean vote at a moment."""

    at: datetime
    pmv: float

    @property
    def dissatisfied(self) -> float:
        """Share of people dissatisfied."""
        return float(predicted_dissatisfied(self.pmv))


@dataclass(frozen=True)
class Asleep:
    """The cover nearest to neutral over one way's night, and the night under it.

    ``at_first`` and ``before_waking`` are the covers nearest to neutral in the first hour and the
    last two; ``first`` and ``last`` the mean votes then: under the night's cover, under that one.
    """

    way: str
    cover: Cover
    at_first: Cover
    before_waking: Cover
    first: tuple[float, float]  # votes on the scale of seven points
    last: tuple[float, float]  # the same
    bedtime: Vote
    warmest: Vote
    coldest: Vote
    waking: Vote

    @property
    def worst(self) -> Vote:
        """The vote farthest from neutral."""
        return max((self.warmest, self.coldest), key=lambda vote: abs(vote.pmv))


@dataclass(frozen=True)
class Awake:
    """Someone on a quiet seat at bedtime, in the clothes nearest to neutral."""

    clothes: str
    clo: float
    vote: Vote


@dataclass(frozen=True)
class Heat:
    """The highest heat index of a span, with the air of that moment."""

    at: datetime
    air_c: float
    humidity: float = field(metadata=SHARE)
    index_c: float
    warmest_c: float  # of the span's air, whenever it was

    @property
    def band(self) -> str:
        """The weather service's band, or ''."""
        return heat_band(self.index_c)

    @property
    def on_chart(self) -> bool:
        """Whether the index says anything: its air, or it with damp, is no less than 80 °F."""
        return self.warmest_c >= HEAT_INDEX_RANGE[0] or self.band != ""


@dataclass(frozen=True)
class Span:
    """Hours in all, and the longest of them at a stretch."""

    hours: float
    at_a_stretch: float = field(metadata=HOURS)


@dataclass(frozen=True)
class Beyond:
    """How long, of the day to waking, the air is beyond what animals may be carried in."""

    above: Span
    below: Span


@dataclass(frozen=True)
class Comfort:
    """How the night feels; ``asleep`` by the ways that are fit to sleep in, the main one first.

    ``shut`` is the van shut up and left alone, nobody inside, over the day to waking,
    ``lived`` the same day as the sheet runs the main way; ``day`` the warmest of the shut van
    between that day's start and bedtime, ``night`` the main way's warmest from bedtime on.
    """

    asleep: tuple[Asleep, ...]
    awake: Awake
    night: Heat
    day: Heat
    hours_below_who: float
    out_of_range: tuple[str, ...]  # of `PMV_RANGE`, what the main way's night leaves
    shut: Beyond
    lived: Beyond


@dataclass(frozen=True)
class Air:
    """What a body meets over some rows of a run, evened out over quarters of an hour."""

    start: tuple[datetime, ...]
    seconds: Array
    width: Array
    temp: Array
    radiant: Array
    vapour: Array
    humidity: Array


def comfort_of(
    scene: Scene, bedtime: datetime, runs: Mapping[str, Run], fit: Iterable[str]
) -> Comfort:
    """Return how a night feels, from its runs by way and the ways that are fit to sleep in."""
    sheet, main = scene.sheet, runs[scene.main_way]
    ways = sorted(fit, key=lambda way: way != scene.main_way)
    speed = min(sheet.fans.bed_fan_speed, FASTEST)
    part = night_rows(main, bedtime, sheet)
    here = air_of(main, part)
    shut = run_way(_shut_up(scene), "closed", bedtime)
    alone = night_rows(shut, bedtime, sheet)
    whole = _day_to_waking(shut, alone.stop)
    felt = np.asarray(operative_temperature(here.temp, here.radiant, STILL_AIR))
    return Comfort(
        asleep=tuple(
            asleep(way, air_of(runs[way], night_rows(runs[way], bedtime, sheet)), speed)
            for way in ways
        ),
        awake=awake(here),
        night=_hottest(here),
        day=_hottest(air_of(shut, slice(whole.start, alone.start))),
        hours_below_who=float(here.width[felt < WHO_LEAST].sum() / 3600.0),
        out_of_range=out_of_range(here),
        shut=beyond(shut, whole),
        lived=beyond(main, _day_to_waking(main, part.stop)),
    )


def _shut_up(scene: Scene) -> Scene:
    """Return the scene left alone: nobody in, no load but what always runs, windows and lids shut.

    The way 'closed' has no other fan. Whoever is shut in there adds heat and water of their own.
    """
    changes = {
        "people.sleepers": 0,
        "loads": tuple(load for load in scene.sheet.loads if not load.when),
        "fans.by_day": False,
        "fans.lid": "closed",
        "doors.openings_per_hour": 0.0,
        "heater": None,
        "electric_heater": None,
        "air_conditioner": None,
        "rules": (),
    }
    sheet = scene.sheet
    changes |= {f"windows.{i}.open": "never" for i in range(len(sheet.windows))}
    for path, value in changes.items():
        sheet = sheet.with_value(path, value)
    return replace(scene, sheet=sheet)


def _day_to_waking(run: Run, stop: int) -> slice:
    first = run.seconds[stop] - WHOLE_DAY
    return slice(int(np.searchsorted(run.seconds[:-1], first - 1.0)), stop)


def air_of(run: Run, part: slice) -> Air:
    """Return what a body meets over a part of a run's rows."""
    temp = evened_out(run, run.column("cabin_temp_mean_c"))
    radiant = evened_out(run, run.column("radiant_temp_c"))
    ratio = evened_out(run, run.column("cabin_humidity_kg_kg"))
    pressure = run.plan.outside.pressure
    seconds = run.seconds[:-1][part]
    return Air(
        tuple(run.start + timedelta(seconds=float(s)) for s in seconds),
        seconds - seconds[0],
        run.width[part],
        temp[part],
        radiant[part],
        np.asarray(vapour_pressure(ratio, pressure))[part],
        np.minimum(np.asarray(relative_humidity(temp, ratio, pressure)), 1.0)[part],
    )


def votes(air: Air, cover: Cover, speed: float) -> Array:
    """Return a sleeper's votes under a cover; ``speed`` [m/s] is the bed fan's."""
    found: Array = sleeper_vote(
        air.temp,
        air.radiant,
        air_speed=speed if cover.fan else STILL_AIR,
        vapour=air.vapour,
        clo=cover.bed.clo,
    )
    return found


def asleep(way: str, air: Air, speed: float) -> Asleep:
    """Return the cover nearest to neutral over a night's rows, and the votes under it."""
    covers = [Cover(bed, False) for bed in BEDS]
    if speed > STILL_AIR:
        covers += [Cover(bed, True) for bed in UNDER_A_FAN]
    found = {cover: votes(air, cover, speed) for cover in covers}
    left = air.seconds[-1] + air.width[-1] - air.seconds
    everywhere = np.ones(len(left), dtype=bool)
    early, late = air.seconds < FIRST, left <= LAST
    cover = _nearest(found, air.width, everywhere)
    first, last = _nearest(found, air.width, early), _nearest(found, air.width, late)
    own = found[cover]

    def at(row: int) -> Vote:
        return Vote(air.start[row], float(own[row]))

    def means(other: Cover, where: Flags) -> tuple[float, float]:
        return _mean(own, air.width, where), _mean(found[other], air.width, where)

    return Asleep(
        way=way, cover=cover, at_first=first, before_waking=last,
        first=means(first, early), last=means(last, late), bedtime=at(0),
        warmest=at(int(own.argmax())), coldest=at(int(own.argmin())), waking=at(len(own) - 1),
    )  # fmt: skip


def _mean(values: Array, width: Array, where: Flags) -> float:
    return float(np.average(values[where], weights=width[where]))


def _nearest(found: Mapping[Cover, Array], width: Array, where: Flags) -> Cover:
    """Return the cover with the least mean square vote; the fan only where it is worth it."""
    off = {c: _mean(v**2, width, where) ** 0.5 for c, v in found.items()}
    still = min((c for c in off if not c.fan), key=off.__getitem__)
    best = min(off, key=off.__getitem__)
    return best if off[best] < off[still] - WORTH_A_FAN else still


def awake(air: Air) -> Awake:
    """Return the vote of someone on a quiet seat in still air at the first row."""
    found = {
        name: float(
            predicted_mean_vote(
                air.temp[0], air.radiant[0], air_speed=STILL_AIR, vapour=air.vapour[0],
                met=QUIET_SEAT, clo=clo,
            )
        )
        for name, clo in CLOTHES
    }  # fmt: skip
    name = min(found, key=lambda key: abs(found[key]))
    return Awake(name, dict(CLOTHES)[name], Vote(air.start[0], found[name]))


def out_of_range(air: Air) -> tuple[str, ...]:
    """Return which of air, walls and vapour leave what ISO 7730's votes are stated for."""
    met = {"temp_air": air.temp, "temp_radiant": air.radiant, "vapour": air.vapour}
    limits = {name: PMV_RANGE[name] for name in met}
    return tuple(
        name for name, (low, high) in limits.items()
        if met[name].min() < low or met[name].max() > high
    )  # fmt: skip


def _hottest(air: Air) -> Heat:
    index = np.asarray(heat_index(air.temp, air.humidity))
    row = int(index.argmax())
    return Heat(
        air.start[row], float(air.temp[row]), float(air.humidity[row]), float(index[row]),
        float(air.temp.max()),
    )  # fmt: skip


def beyond(run: Run, part: slice) -> Beyond:
    """Return the hours of a part of a run with the air beyond what animals may be carried in."""
    air, hours = run.column("cabin_temp_mean_c")[part], run.width[part] / 3600.0
    above, below = air > ANIMALS_WARMEST, air < ANIMALS_COLDEST
    return Beyond(_span(above, hours), _span(below, hours))


def _span(where: Flags, hours: Array) -> Span:
    return Span(float(hours[where].sum()), longest_stretch(where, hours))


def longest_stretch(where: Flags, hours: Array) -> float:
    """Return the longest run of hours without a break.

    >>> longest_stretch(np.array([True, True, False, True]), np.array([1.0, 0.5, 9.0, 1.0]))
    1.5
    """
    longest = now = 0.0
    for here, length in zip(where, hours, strict=True):
        now = now + float(length) if here else 0.0
        longest = max(longest, now)
    return longest
