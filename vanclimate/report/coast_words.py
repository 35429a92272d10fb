"""A coast in sentences: the verdict, how the van was held, what of whom; pure functions.

Times are rounded down, never up. Of whoever cannot leave none is written, not even here.
What does not belong here: tables and the order of the page (coast.py).
"""

from __future__ import annotations

from math import floor, isfinite
from typing import TYPE_CHECKING

from vanclimate.answers.coast.tank import FILLED
from vanclimate.answers.stops import listed
from vanclimate.answers.thresholds import AIR_STEPS, COLD_STEPS
from vanclimate.report.numbers import fixed, moment_of, percent, temperature
from vanclimate.report.place_words import no_year
from vanclimate.units import show, show_clock

if TYPE_CHECKING:
    from vanclimate.answers.coast.answer import Coast
    from vanclimate.answers.coast.read import Coasting
    from vanclimate.answers.coast.runs import Limit
    from vanclimate.units import System

LEAST_RATE = 0.01  # K/min that still counts as a rise
FASTER = "(1 in 20 is faster)"


def verdict(answer: Coast, system: System) -> str:
    """Return the first line: the caution, then the times for adults who can leave."""
    part = answer.first
    said = _cold(answer, part, system) if part.kind == "cold" else _heat(answer, part, system)
    return f"{answer.caution_first}: {said}"


def _heat(answer: Coast, part: Coasting, system: System) -> str:
    when = f"at {show_clock(answer.at)}" if answer.at is not None else "in full sun"
    cools = answer.sheet.air_conditioner is not None
    start = f"if the AC stops {when}" if cools else f"shut up {when}, without an AC"
    air = _until(
        part, part.reach("air", AIR_STEPS[0]).early_s, temperature(AIR_STEPS[0], system, 0)
    )
    danger = _until(part, part.adults_danger_s, "danger for an adult")
    return f"{start}, {air} and {danger} {FASTER}"


def _cold(answer: Coast, part: Coasting, system: System) -> str:
    when = "at night" if answer.at is None else f"at {show_clock(answer.at)}"
    airs = ", ".join(
        _until(part, part.reach("air", temp).early_s, temperature(temp, system, 0))
        for temp in COLD_STEPS
    )
    ice = next(x for x in part.adults if x.limit.kind == "first ice")
    tank = _until(part, ice.early_s, "first ice in the water tank")
    return f"if the heater stops {when}, {airs} inside and {tank} {FASTER}"


def _until(part: Coasting, seconds: float, what: str) -> str:
    """Write '12 min to 86 °F', or that it is there from the start, or not in the time watched."""
    if seconds <= 0.0:
        return f"{what} from the start"
    if not isfinite(seconds):
        return f"{what} {lasts(seconds, part.watched_s)}"
    return f"{lasts(seconds, part.watched_s)} to {what}"


def lasts(seconds: float, watched: float) -> str:
    """Write a time, rounded down; what is not reached is so within the time watched.

    >>> lasts(59.0, 3600.0), lasts(960.0, 3600.0), lasts(7950.0, 21600.0), lasts(63000.0, 9e4)
    ('under 1 min', '16 min', '2 h 10 min', '17 h')
    >>> lasts(0.0, 3600.0), lasts(float("inf"), 21600.0)
    ('at once', 'not in 6 h')
    """
    if not isfinite(seconds):
        return f"not in {floor(watched / 3600.0)} h"
    if seconds <= 0.0:
        return "at once"
    minutes = floor(seconds / 60.0)
    if minutes < 1:
        return "under 1 min"
    if minutes < 120:
        return f"{minutes} min"
    hours, rest = divmod(minutes - minutes % 5, 60)
    if hours >= 10 or rest == 0:
        return f"{hours} h"
    return f"{hours} h {rest} min"


def limit_name(limit: Limit, system: System) -> str:
    """Write 'air 86 °F', 'heat index 103 °F: danger', 'first ice in the tank'."""
    if limit.kind == "first ice":
        return "first ice in the tank"
    if limit.kind == "half ice":
        return "half of it frozen"
    temp = temperature(limit.temp_c, system, 0)
    return f"heat index {temp}: {limit.band}" if limit.band else f"air {temp}"


def how_held(answer: Coast, part: Coasting, system: System) -> str:
    """Return how the van was until the cut, and how it is after it."""
    people = answer.sheet.people.sleepers
    inside = {0: "nobody inside", 1: "one person inside"}.get(people, f"{people} people inside")
    hours = f"{part.held.hold_s / 3600.0:.0f} h"
    air, walls = (temperature(x, system, 0) for x in (part.start_c, part.walls_c))
    held = {
        "heat": f"Held at its setpoint for {hours}",
        "ac": f"Held by the AC for {hours}",
        "free": "Until the cut with windows and fans as your sheet has them by day",
    }[part.held.kind]
    breath = "the fresh-air path open" if part.held.breathes else "nobody opens the door"
    return (
        f"{held} (air {air}, walls {walls}), then shut: no fan, windows and lids closed, {inside}, "
        f"{breath}, covers as your sheet has them. Watched for {fixed(part.watched_s / 3600)} h."
    )


def how_many(answer: Coast, part: Coasting) -> str:
    """Return over what the times are taken."""
    hours = listed([show_clock(minute) for minute in part.hours])
    season = answer.season
    years = f" in {season.years_words}" if season.years else ""
    days = "the made-up days" if answer.weather.synthetic else f"the days of {season.words}{years}"
    if len(part.hours) > 1:
        hours += ", together" if part.kind == "heat" else ", the worst of them for each limit"
    return (
        f"Of {fixed(part.cuts)} cuts, 1 in 20 and 1 in 2 are faster than that: on {days} at "
        f"{hours}; in {part.vans} vans as yours may turn out."
    )


def sun_line(answer: Coast) -> str:
    """Return what was made of shade."""
    if answer.shaded:
        own = answer.sheet.shade.label
        return f"No shade: your sheet's ({own}) is left out, for it may not be there."
    return "No shade anywhere."


def alone_lines(part: Coasting) -> list[str]:
    """Return what is said of whoever cannot leave: a rate, and no time."""
    alone = part.alone
    assert alone is not None, "the heat's part has it"
    kelvin = alone.first_rise_k_min
    none = f"No time is told for them, for none is safe: {alone.advice}."
    if kelvin < LEAST_RATE:
        return [none, "On these days the shut van's air hardly rises. That is no safeguard either."]
    rate = f"{fixed(1.8 * kelvin, 2)} F° ({fixed(kelvin, 2)} K)"
    return [
        none,
        f"The air's first 18 F° (10 K) go at up to {rate} a minute, fastest at the very start. It "
        "is a rate of the air: a body in the sun, small, or shut in warms otherwise, and no time "
        "follows from it.",
    ]


def tank_line(answer: Coast, system: System) -> str:
    """Return which tank it is."""
    size = show(answer.tank.volume_m3, "volume", system, 3)
    whose = "assumed, your sheet has none" if answer.tank.assumed else "your sheet's"
    return (
        f"Tank: {size} ({whose}), {percent(FILLED)} full, in the living space, as warm as its air "
        "at the cut. Pipes, pump and taps freeze long before."
    )


MEASURED = (
    "against measured cars that were parked in the sun the model's first minutes are a fifth slow, "
    "within their spread: soft seats warm faster than the wood it knows"
)


def case_line(answer: Coast, part: Coasting) -> str:
    """Return which cut the time to danger, and the trace, is of."""
    return f"the cut of {moment_of(part.moment, no_year(answer.weather))}: {_span(part)}"


def _span(part: Coasting) -> str:
    danger = part.adults_danger_s
    if not isfinite(danger):
        return "one of those that get farthest, none to danger"
    what = "danger to an adult" if part.kind == "heat" else "the first of the limits"
    return f"{_until(part, danger, what)}; 1 in 20 is faster"


def farthest_line(part: Coasting, system: System) -> str:
    """Return how far the air gets."""
    most, side = ("warmest", "warmer") if part.kind == "heat" else ("coldest", "colder")
    air = temperature(part.farthest_c, system, 0)
    return f"At its {most} the air is at {air}; 1 in 20 is {side}."
