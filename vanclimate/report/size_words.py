"""The sizes a build needs, in sentences; pure functions on a `Size`.

What does not belong here: their order on the page (size.py), and what the reckoning by hand leaves
out (size_hand_words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.size.ladders import KBTU_H
from vanclimate.answers.stops import listed
from vanclimate.report.numbers import (
    amp_hours,
    difference,
    fixed,
    moment_of,
    percent,
    temperature,
)
from vanclimate.report.odds_words import in_ten
from vanclimate.report.place_words import no_year
from vanclimate.units import show

if TYPE_CHECKING:
    from vanclimate.answers.size.answer import Size
    from vanclimate.answers.size.runs import Hour
    from vanclimate.answers.size.work import Sized
    from vanclimate.units import System

COUNT = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
WHY = {
    "none": "your sheet has none",
    "other": "your sheet heats by electricity, whose watts the bank's size counts",
    "no alternator": "your sheet has no alternator to charge from",
    "no driving": "your sheet has no driving to charge by",
    "no alternator and no driving": "your sheet has neither alternator nor driving",
    "no day that drives": "no day of the season's stays has driving in it",
    "unbuildable": "no size fits the rest of your sheet",
}  # fmt: skip
STEADY = 0.05  # of an hour: less is not told


def size_text(name: str, size: float, system: System) -> str:
    """Write a device's size as the trade calls it.

    >>> size_text("AC", 13.5 * KBTU_H, "si"), size_text("bank", 400.0, "us")
    ('4.0 kW (13.5 kBTU/h)', '400 Ah')
    """
    if name == "AC":
        trade = f"{round(size / KBTU_H, 1):g} kBTU/h"
        return trade if system == "us" else f"{fixed(size / 1e3, 1)} kW ({trade})"
    if name == "heater":
        return f"{round(size / 1e3, 1):g} kW"
    unit = {"bank": "Ah", "roof": "W"}.get(name, "A")
    return f"{fixed(size)} {unit}"


def needed(one: Sized, system: System) -> str:
    """Write what is needed: '400 Ah', or 'more than the 900 W that fit'."""
    if one.size is None:
        most = size_text(one.name, one.largest, system)
        return f"more than the {most} that fit" if one.name == "roof" else f"more than {most}"
    return size_text(one.name, one.size, system)


def things(answer: Size, one: Sized | None = None) -> str:
    """Name what is counted: nights, days or stays of some days."""
    if one is not None and one.name in ("roof", "DC-DC charger"):
        return "days"
    if answer.days > 1 and (one is None or one.name == "bank"):
        return f"stays of {answer.days} nights"
    return "nights"


def asked_words(answer: Size) -> str:
    """Write the odds asked for: '9 nights in 10', or '95 % of nights'."""
    tenths = 10.0 * answer.asked
    of = things(answer) if answer.days == 1 else "stays"
    if abs(tenths - round(tenths)) < 1e-9:
        return f"{round(tenths)} {of} in 10"
    return f"{show(answer.asked, 'fraction', digits=4)} of {of}"


def verdict(answer: Size, system: System) -> str:
    """Return the first line: the sizes, and which of the sheet's are not enough."""
    sizes = ", ".join(f"{one.name} {needed(one, system)}" for one in answer.sized)
    return f"For {asked_words(answer)} in {answer.weather.name}: {sizes}; {_shortfall(answer)}"


def _shortfall(answer: Size) -> str:
    """Write which of the sheet's own sizes are not enough."""
    short = [one for one in answer.sized if one.own is not None and not one.own_enough]
    lacks = ["roof panels" if one.name == "roof" else one.name
             for one in answer.sized if one.own is None]  # fmt: skip
    parts = []
    if short:
        whose = ("your sheet's", *["its"] * len(short))
        told = [f"{word} {one.name} is {_steps(one)}"
                for word, one in zip(whose, short, strict=False)]  # fmt: skip
        parts.append(listed(told))
    if lacks:
        parts.append(f"your sheet has no {listed(lacks)}")
    return " and ".join(parts) or "your sheet has enough of each"


def _steps(one: Sized) -> str:
    """Write by how many sizes one is short."""
    if one.size is None or not one.short:
        return "not enough"
    count = COUNT[one.short] if one.short < len(COUNT) else str(one.short)
    return f"{count} size{'s' * (one.short > 1)} short"


def asked_line(answer: Size) -> str:
    """Return over how many futures the sizes were tried."""
    of = max(one.odds.of for one in answer.sized)
    independent = answer.together.independent
    days = "made-up days" if answer.weather.synthetic else "real days"
    return (
        f"Each size was tried in the same {of} futures: {days}, and vans as they may turn out. "
        f"The odds count the {independent} of them that differ in weather and van"
    )


def holds_text(answer: Size, one: Sized) -> str:
    """Write how often the size holds: '248 of 250 nights'."""
    return f"{one.odds.held} of {one.odds.of}"


def below_text(one: Sized, system: System) -> str:
    """Write what the next size down costs: '300 Ah fails 54 of 250'."""
    if one.size is None:
        largest = size_text(one.name, one.largest, system)
        return f"{largest} fails {one.odds.of - one.odds.held} of {one.odds.of}"
    if one.below is None:
        return "the smallest there is"
    size = size_text(one.name, one.below, system)
    if one.below_odds is None:
        return f"{size} cannot be built"
    return f"{size} fails {one.below_odds.of - one.below_odds.held} of {one.below_odds.of}"


def own_text(one: Sized, system: System) -> str:
    """Write the sheet's own size and whether it is enough."""
    if one.own is None:
        return "none"
    return f"{size_text(one.name, one.own, system)}, {'enough' if one.own_enough else 'too small'}"


def hour_text(answer: Size, one: Sized, system: System) -> str:
    """Return the hour that sets a size, and what happens then."""
    hour, typical = one.hour, no_year(answer.weather)
    begins = moment_of(hour.begins, typical)
    if one.name in ("roof", "DC-DC charger"):
        return f"the day from {begins}: {_day_text(one, hour)}"
    when = moment_of(hour.at, typical)
    sun = f"{fixed(hour.sun_w_m2)} W/m² of sun" if hour.sun_w_m2 >= 1.0 else "dark"
    outside = f"{temperature(hour.outdoor_c, system)} outdoors, {sun}"
    if one.name == "bank":
        took = f"{fixed(hour.drawn_wh)} Wh taken since {begins}"
        left = f"{amp_hours(hour.charge_ah)} left"
        return f"{when}: {outside}; {left} after {took}; {_spare(one, hour, system)}"
    does = "takes out" if one.name == "AC" else "gives"
    felt = f"felt inside {temperature(hour.felt_c, system)}"
    runs = f"it {does} {fixed(hour.load_w)} W in the hour before"
    if hour.on_share >= STEADY:
        runs += f", on for {percent(hour.on_share)} of it"
    return f"{when}: {outside}, {felt}; {runs}; {_spare(one, hour, system)}"


def _spare(one: Sized, hour: Hour, system: System) -> str:
    """Write how near it was."""
    if one.name == "bank":
        return f"{_share(hour)} of the bank {'to spare' if hour.margin >= 0.0 else 'too little'}"
    room = difference(abs(hour.margin), system)
    return f"{room} {'to spare' if hour.margin >= 0.0 else 'too much'}"


def _share(hour: Hour) -> str:
    """Write a margin of the bank."""
    share = 100.0 * abs(hour.margin)
    return "under 0.1 %" if share < 0.05 else f"{fixed(share, 1)} %"


def _day_text(one: Sized, hour: Hour) -> str:
    """Write what a day that sets a source took and brought."""
    took = f"{fixed(hour.drawn_wh)} Wh taken"
    sun = f"{fixed(hour.sun_wh_m2 / 1e3, 1)} kWh/m² of sun bring {fixed(hour.sun_wh)} Wh"
    back = "back with" if hour.margin >= 0.0 else "short by"
    spare = f"{back} {_share(hour)} of the bank"
    spare += " to spare" if hour.margin >= 0.0 else ""
    driving = f", driving {fixed(hour.drive_wh)} Wh" if one.name != "roof" else ""
    return f"{took}; {sun}{driving}; {spare}"


def missing_line(answer: Size) -> str:
    """Return the devices that are not sized, and why."""
    told = [f"{one.name} ({WHY[one.why]})" for one in answer.missing]
    return f"Not sized: {', '.join(told)}"


def together_line(answer: Size) -> str:
    """Return how often all holds at once, with the sizes found."""
    of = things(answer)
    season = next(one.season for one in answer.sized if one.name == "bank")
    names = [one.name for one in answer.sized if one.name in ("AC", "heater", "bank")]
    what = f"{listed(names)} of these sizes in one van" if names[1:] else "A bank of that size"
    odds = in_ten(answer.together, of)
    return f"{what}: {odds} of {season} hold on all at once (charge, heat, cold, fuel, damp)"


def meaning_rows(answer: Size, system: System) -> list[tuple[str, str]]:
    """Return what each size was asked to do."""
    people = answer.sheet.people
    limit, least = (show(x, "temperature", system) for x in (people.limit, people.least))
    seasons = {one.name: one.season for one in answer.sized}
    bank = f"{answer.days} night{'s' * (answer.days > 1)}"
    texts = {
        "AC": f"smallest class with which nights of {{}} stay at {limit} as felt or below (not at "
        "its setpoint), its dial as low as need be, the bank aside; evenings and days are not "
        "asked of it; watts and airflow in proportion to your sheet's",
        "heater": f"smallest class that keeps {{}} at {least} as felt or above, asleep and at "
        f"home from {show(people.settle_in, 'duration')} after coming home on, its dial as high as "
        "need be, fuel and bank aside; what your sheet says of it in proportion",
        "bank": f"smallest in steps of a battery that holds on charge through {bank} of {{}}, "
        "with AC and heater as found",
        "roof": "smallest with which a day of {} without driving brings that bank back to where "
        "it was the evening before; as much as the roof has room for",
        "DC-DC charger": "smallest with which a day of {} with your sheet's driving and its own "
        "panels does the same; days without driving do not count",
    }  # fmt: skip
    return [(name, texts[name].format(season)) for name, season in seasons.items()]
