"""What charges, heats and holds back, in sentences; pure functions on a `Night`.

What does not belong here: the verdict and the night itself (words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.days import LEAST
from vanclimate.answers.stops import listed
from vanclimate.report.numbers import amp_hours, clock, fixed, hours
from vanclimate.report.words import FAULTS
from vanclimate.site.years import MONTHS

if TYPE_CHECKING:
    from vanclimate.answers.night import Night
    from vanclimate.units import System

DRY = 1e-3  # L; less is none
TOLD_BURNT = 0.02  # of the fuel burnt before bedtime, from which on it is told
SOURCE = {"the sun": "the panels", "driving": "driving", "shore": "shore"}


def tomorrow(night: Night) -> str:
    """Return whether the next day's sun puts the charge back."""
    refill = night.refill
    back, full = refill.charge_at_next_bedtime_ah, refill.charge_at_bedtime_ah
    names = sources(night)
    if not names:
        return f"nothing charges: {amp_hours(back)} of {amp_hours(full)} left at the next bedtime"
    given = {"the sun": refill.solar_ah, "driving": refill.drive_ah, "shore": refill.shore_ah}
    came = ", ".join(f"{amp_hours(given[x])} from {SOURCE[x]}" for x in names)
    who = listed(names)
    verb = ("puts", "does") if len(names) == 1 else ("put", "do")
    if refill.puts_back:
        return f"{who} {verb[0]} the charge back ({came}; {amp_hours(back)} at the next bedtime)"
    return (
        f"{who} {verb[1]} not put the charge back ({came}; {amp_hours(back)} at the next bedtime, "
        f"{amp_hours(full)} at this one)"
    )


def sources(night: Night) -> list[str]:
    """Return what charges this van at all."""
    sheet = night.sheet
    ground = sheet.ground_panel is not None
    drives = sheet.driving is not None and (sheet.dc_charger or sheet.second_alternator) is not None
    there = {
        "the sun": sheet.roof_panels.power > 0 or ground, "driving": drives,
        "shore": sheet.shore is not None and sheet.shore.charger > 0,
    }  # fmt: skip
    return [name for name, is_there in there.items() if is_there]


def nights_in_a_row(night: Night) -> str:
    """Return how many such nights follow one another on what charges."""
    count = night.refill.nights_in_a_row
    names = sources(night)
    source = "on this charge"
    if names:
        source = "on sun alone" if names == ["the sun"] else f"on {' and '.join(names)}"
    if count is None:
        return f"as many as such days go on, {source}"
    if count == 0:
        return "none: already this night does not hold"
    return f"{count} such night{'s' * (count > 1)} {source}, then a night does not hold"


def heating(night: Night, system: System) -> str:
    """Return what heating takes between bedtime and waking."""
    result, sheet = night.result, night.sheet
    text = f"Heating: {fixed(result.heating_wh)} Wh of heat"
    if sheet.heater is None:
        return text
    left = _fuel(result.fuel_left_l, system)
    if not result.heater_hours:
        text += f"; the fuel heater does not run, {left} of {sheet.heater.fuel} left"
    else:
        starts = f"{result.heater_starts} start{'s' * (result.heater_starts != 1)}"
        text += (
            f"; the fuel heater burns {_fuel(result.fuel_l, system)} of {sheet.heater.fuel} in "
            f"{hours(result.heater_hours)} and {starts}, {left} left"
        )
        if result.heater_fails:
            text += f"; {result.heater_fails} starts fail: {FAULTS[result.heater_fault]}"
    run = night.runs[night.main]
    filled, at_bedtime = run.gear.burner.fuel, result.fuel_l + result.fuel_left_l
    if filled - at_bedtime >= TOLD_BURNT * filled:
        text += (
            f"; at bedtime {_fuel(at_bedtime, system)} of the {_fuel(filled, system)} within reach "
            f"on {MONTHS[run.start.month - 1][:3]} {run.start.day}, from when on it is followed"
        )
    return text


def heating_draw(night: Night) -> str:
    """Return what heating took of the bank since the last bedtime, or '' where it does not matter.

    It matters where it is the greatest draw, or the night fails on charge.
    """
    drawn, failure = night.heating_draw, night.result.failure
    short = failure is not None and failure.kind == "charge"
    if drawn.total < LEAST or not (drawn.greatest or short):
        return ""
    both = {name: drawn.before[name] + drawn.night[name] for name in drawn.night}
    parts = [f"{name} {amp_hours(ah)}" for name, ah in both.items() if ah >= LEAST]
    if len(parts) == 1:
        parts = [max(both, key=both.__getitem__)]
    if drawn.since >= night.bedtime:
        when = "from bedtime to waking; the charge at bedtime is as given, whatever heated before"
    else:
        span = f"{clock(drawn.since)} on {MONTHS[drawn.since.month - 1][:3]} {drawn.since.day}"
        before, after = (amp_hours(sum(x.values())) for x in (drawn.before, drawn.night))
        when = f"since {span}, {before} before bedtime and {after} from then to waking"
    return f"Heating takes {amp_hours(drawn.total)} of the bank ({', '.join(parts)}) {when}"


def _fuel(litres: float, system: System) -> str:
    """Return a volume of fuel; the hair that a tank run dry keeps is none."""
    from vanclimate.units import show

    return show((litres if litres >= DRY else 0.0) * 1e-3, "volume", system, 2)


def cost_lines(night: Night) -> list[str]:
    """Return what each limit cost of each source, day after day, one line for both."""
    found: dict[tuple[str, str], list[str]] = {}
    for day in night.days:
        date = f" on {MONTHS[day.begins.month - 1][:3]} {day.begins.day}"
        for cost in day.costs:
            when = date if len(night.days) > 1 else ""
            told = found.setdefault((cost.limit, cost.source), [])
            told.append(f"{amp_hours(cost.ah)}{when}")
    return [
        f"Of {source} held back by {limit}: {', '.join(told)}."
        for (limit, source), told in found.items()
    ]
