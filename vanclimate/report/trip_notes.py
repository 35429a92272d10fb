"""What a trip's answer stands on, in sentences: places, headings, what was assumed.

What does not belong here: the verdict and what runs out (trip_words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.stops import listed
from vanclimate.answers.trip.stops import cooled_after_heat
from vanclimate.report.numbers import compass, hours, utc_offset
from vanclimate.report.place_words import weather_line

if TYPE_CHECKING:
    from vanclimate.answers.trip.answer import Trip
    from vanclimate.units import System

TOLD_COOLING = 0.25  # h of a stop
TOLD_GAP = 60.0  # s between two stops, from which on it is told


def place_lines(trip: Trip, system: System) -> list[str]:
    """Return each place with its source and its clock, once."""
    found: dict[str, str] = {}
    for stage in trip.stages:
        weather = stage.scene.place.weather
        clock = f"clock: standard time, {utc_offset(weather.utc_offset_h)}"
        found.setdefault(weather.name, f"{weather_line(weather, system)}; {clock}")
    return list(found.values())


def licences(trip: Trip) -> list[str]:
    """Return the terms under which the weather is given."""
    return [x for x in dict.fromkeys(s.scene.place.weather.licence for s in trip.stages) if x]


def notes(trip: Trip) -> list[str]:
    """Return what was assumed of the trip."""
    found = [_headings(trip), *_gaps(trip), *_by_fans(trip), *_against_each_other(trip)]
    found.append(
        "charge, fuel and water go on from stop to stop; walls and air are warmed up anew for "
        "72 h in the weather of each place. The engine's heat is left out"
    )
    sheet = trip.sheet
    if sheet.battery.charge_at_bedtime is None:
        found.append("the trip begins with a full bank")
    if sheet.driving is not None and sheet.driving.hours:
        found.append("at the stops the van drives as the sheet's 'driving:' says")
    if sum(stage.halt.stop.drive for stage in trip.stages) and not _charges(trip):
        found.append("driving charges nothing: the van has no charger on its alternator")
    found += _guessed(trip)
    return [text for text in found if text]


def _charges(trip: Trip) -> bool:
    sheet = trip.sheet
    return sheet.dc_charger is not None or sheet.second_alternator is not None


def _headings(trip: Trip) -> str:
    """Return which way the nose points at stops whose heading nobody gave."""
    free = [s for s in trip.stages if s.scene.sheet.heading is None]
    if not free:
        return ""
    told = ", ".join(f"{compass(s.scene.place.heading)} at stop {s.halt.index + 1}" for s in free)
    return f"nose to the worst of eight on each stop's hardest night: {told}"


def _gaps(trip: Trip) -> list[str]:
    """Return the spans between two stops that nobody follows."""
    return [
        f"between stop {halt.index} and stop {halt.index + 1} {hours(halt.apart_s / 3600.0)} are "
        "not followed: charge, fuel and water stay as they are"
        for halt in trip.halts
        if halt.apart_s > TOLD_GAP
    ]


def _by_fans(trip: Trip) -> list[str]:
    """Return the stops whose nights are spent with fans."""
    stops = [str(s.halt.index + 1) for s in trip.stages if s.way == "fans"]
    if not stops or not trip.sheet.heats:
        return []
    return [f"the nights at stop {listed(stops)} are with fans, not heat: fewer are too warm so"]


def _against_each_other(trip: Trip) -> list[str]:
    """Return in how many hours the air conditioner cools what the heater has just warmed."""
    at: dict[str, float] = {}
    for stage in trip.stages:
        cooled = cooled_after_heat(stage.run)
        if cooled >= TOLD_COOLING:
            at[str(stage.halt.index + 1)] = cooled
    if not at:
        return []
    return [
        f"the air conditioner cools within minutes of the heater, {hours(sum(at.values()))} in all "
        f"(stop {listed(list(at))}): each warms or cools the air past the other's setpoint. "
        "Without it: --set 'air conditioner=none'"
    ]


def _guessed(trip: Trip) -> list[str]:
    """Return what of the stops and the water was guessed."""
    at: dict[tuple[str, str], list[str]] = {}
    words = {"at": "arrival at", "drive": "drive to it", "shore": "shore"}
    for guess in trip.guesses:
        head, *rest = guess.path.split(".")
        if head == "trip" and rest[1] in words:
            at.setdefault((words[rest[1]], guess.text), []).append(str(int(rest[0]) + 1))
    told = [
        f"{name} {'none' if text in ('off', '0 s') else text} ({_at(stops, trip)})"
        for (name, text), stops in at.items()
    ]
    told += [
        f"{g.label.replace('.', ' ')} {g.text}" for g in trip.guesses if g.path[:6] == "water."
    ]
    return [f"assumed: {', '.join(told)}"] if told else []


def _at(stops: list[str], trip: Trip) -> str:
    """Name some stops by their numbers; all of several shortly."""
    return "every stop" if 2 < len(stops) == len(trip.stages) else f"stop {listed(stops)}"
