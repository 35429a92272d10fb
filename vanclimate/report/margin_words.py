"""The margin of charge in words: what must stay in the bank, what is to spare, and when none is.

What does not belong here: the verdict around it (words.py), and working it out (answers/judge.py).
"""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from vanclimate.report.numbers import amp_hours, clock, hours, percent, temperature
from vanclimate.simulate.gear import morning_charge

if TYPE_CHECKING:
    from vanclimate.answers.judge import WayResult
    from vanclimate.answers.night import Night
    from vanclimate.units import System
    from vanclimate.van.sheet import Sheet

TOLD = 1.0  # Ah of the morning's loads from which on they are named
NOTHING_DRAWN = "nothing drawn from the bank"
OPENS = {"cells": "at its least charge or volts", "current": "for more amps than it lets out",
         "cold": "for its cold", "hot": "for its warmth"}  # fmt: skip


def must_stay(sheet: Sheet) -> str:
    """Name the charge that must stay in the bank."""
    bank = sheet.battery
    least = "cut-off" if bank.cut_off > bank.reserve else "reserve"
    return f"{least} and the morning's loads" if morning_charge(sheet) >= TOLD else least


def gives_nothing(result: WayResult) -> bool:
    """Return whether the bank gives nothing in the night, so that its hours have no end."""
    return not isfinite(result.margin_hours)


def spare(result: WayResult) -> str:
    """Return the margin of charge with its hours in brackets."""
    lasts = NOTHING_DRAWN if gives_nothing(result) else hours(result.margin_hours)
    return f"{percent(result.margin_charge)} of the bank ({lasts}) to spare"


def no_margin(result: WayResult) -> str:
    """Return why a night has no margin of charge: when the bank's protection opens, or ''."""
    if result.opened is None:
        return ""
    at, why = clock(result.opened.at), OPENS[result.opened.cause]
    return f"no margin of charge, for the bank's protection opens at {at} {why}"


def margin_meaning(night: Night, system: System) -> str:
    """Return what the margin counts from."""
    from vanclimate.report.words import WAYS, heated

    gear, people, result = night.runs[night.main].gear, night.sheet.people, night.result
    how = "" if night.main == "ac" else f" ({WAYS[night.main]})"
    held = f", and their least of {temperature(people.least, system)}" if heated(night) else ""
    limit = f"from the sleepers' limit of {temperature(people.limit, system)}{held}"
    if result.opened is not None:
        return f"Counted{how} {limit}."
    pace = ""
    if not gives_nothing(result):
        pace = ", at its mean discharge this night while it gives any"
    return (
        f"Counted{how} from the {amp_hours(gear.kept)} that must stay in the bank of "
        f"{amp_hours(gear.cells.capacity)} ({must_stay(night.sheet)}){pace}, and {limit}."
    )
