"""Whether a van lasts, in sentences; pure functions on a `Last`.

What does not belong here: their order on the page (last.py), and any answer's odds (odds_words.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.futures.stays import DEGREES
from vanclimate.report.numbers import amp_hours, difference, moment_of, percent
from vanclimate.report.odds_words import in_ten, span
from vanclimate.report.place_words import no_year
from vanclimate.report.remedy_words import done_words, together_words
from vanclimate.units import show_clock

if TYPE_CHECKING:
    from vanclimate.answers.futures.change import Short
    from vanclimate.answers.futures.odds import Odds
    from vanclimate.answers.last import Cause, Last
    from vanclimate.units import System

RUNS_OUT = {
    "charge": "the charge runs out", "fuel": "the fuel runs out",
    "heat": "it gets too warm to sleep", "cold": "it gets too cold to sleep",
    "mould": "the linings stay damp enough for mould",
}  # fmt: skip
FEW = 3  # stays apart below which no odds are told: a made-up week


def days_words(answer: Last) -> str:
    """Write '3 days without shore power'."""
    days = f"{answer.days} day{'s' * (answer.days > 1)}"
    return f"{days} {'on shore power as the sheet has it' if answer.on_shore else 'without shore'}"


def share_words(answer: Last) -> str:
    """Write how many stays last: 'about 9 July stays in 10 do'."""
    odds, season = answer.odds, answer.season.words
    if odds.independent < FEW:
        return f"{odds.held:,} of {odds.of:,} stays tried do, {_one_weather(odds.independent)}"
    if answer.sheet.stay is not None:
        return f"{in_ten(odds, 'stays')}, of {season}, do"
    return f"{in_ten(odds, f'{season} stays')} do"


def then_words(odds: Odds) -> str:
    """Write how many stays last with a change, in tenths where the weather bears them."""
    return f"{percent(odds.share)} of them" if odds.independent < FEW else in_ten(odds, "stays")


def _one_weather(count: int) -> str:
    """Say of how few stays the weather is, so that no odds are told."""
    return f"in the weather of {'one stay' if count < 2 else f'{count} stays'} alone"


def verdict(answer: Last, system: System) -> str:
    """Return the first line: whether it lasts, the odds, and what would make it."""
    share = f"{share_words(answer)}{_year_words(answer)}"
    sure = is_sure(answer.odds, answer.asked)
    if answer.lasts:
        return f"{'Lasts' if sure else 'Probably lasts'} {days_words(answer)}: {share}"
    first = answer.causes[0]
    text = f"{'Does' if sure else 'Probably does'} not last {days_words(answer)}: {share}; "
    text += f"{RUNS_OUT[first.kind]} first, on day {first.day} as a rule"
    if answer.search is None:
        return text
    if not answer.search.enough:
        return f"{text}; no change tried is enough"
    change = answer.search.enough[0]
    would = "would" if is_sure(change.odds, answer.asked) else "would probably"
    return f"{text}; {together_words(change.done, system)} {would} do"


def is_sure(odds: Odds, asked: float) -> bool:
    """Return whether what is asked lies outside the interval of the odds, or no odds are told."""
    return odds.independent < FEW or not odds.low < asked <= odds.high


def _year_words(answer: Last) -> str:
    return f", {answer.season.years_words}" if answer.season.years else ""


def asked_line(answer: Last) -> str:
    """Return what was asked, and over how many futures."""
    odds = answer.odds
    vans = len(set(answer.futures["draw"].tolist()))
    whose = f"{vans} vans" if vans > 1 else "one van"
    held = f"{odds.held:,} of {odds.of:,} stays last, in {whose} as yours may turn out"
    few = f"the odds count the {odds.independent} of them that differ in weather and van"
    if odds.independent < FEW:
        few = f"all {_one_weather(odds.independent)}, too little for odds"
    return f"Asked: {percent(answer.asked)} of stays. Tried: {held}; {few}."


def cause_rows(answer: Last) -> list[tuple[str, str]]:
    """Return what stays fail on first, how often, and when."""
    total = answer.odds.of
    return [(cause.kind, _cause(cause, total, answer.days)) for cause in answer.causes]


def _cause(cause: Cause, total: int, days: int) -> str:
    share = cause.count / total
    often = f"{percent(share)} of stays" if share >= 0.01 else f"{cause.count} of {total:,} stays"
    when = f", half of them by day {cause.day}" if days > 1 else ""
    return f"first in {often}{when}"


def hardest_line(answer: Last, system: System) -> str:
    """Return how the van just as the sheet has it fares in the hardest stay."""
    stay = answer.hardest
    typical = no_year(answer.weather)
    begins = f"begins {moment_of(stay.begins, typical)}"
    if stay.failed and stay.failed_at is not None:
        after = (stay.failed_at - stay.begins).total_seconds() / 86400.0
        at = f"{moment_of(stay.failed_at, typical)}, day {int(after) + 1}"
        how = f"{RUNS_OUT[stay.failed]} ({at}); at its least {_charge(stay.charge_margin)}"
    else:
        how = f"lasts; at its least {_charge(stay.charge_margin)}"
    room = f", {difference(stay.warm_margin_k, system)} to the warmest allowed"
    if stay.cold_margin_k < float("inf"):
        room += f", {difference(stay.cold_margin_k, system)} to the coldest"
    return f"{begins}: {how}{room}"


def _charge(margin: float) -> str:
    """Write a margin of charge."""
    if margin < 0.0:
        return f"{percent(-margin)} of the bank too little"
    return f"{percent(margin)} of the bank to spare"


def arrives_line(answer: Last) -> str:
    """Return what a stay begins with, and what it counts on."""
    sheet = answer.sheet
    given = sheet.battery.charge_at_bedtime is not None
    charge = f"{amp_hours(answer.charge_at_arrival_ah)} in the bank"
    source = "your sheet's charge at bedtime" if given else "full"
    driving = "driving as the sheet has it" if sheet.driving is not None else "no driving"
    shore = "shore power as the sheet has it, " if answer.on_shore else ""
    tank = ", the tank as the sheet has it" if sheet.heater is not None else ""
    people = sheet.people
    times = f"from {show_clock(people.home_from)} to {show_clock(people.home_until)}"
    begins = f"each {times} on the last morning, with {charge} ({source}){tank}"
    return f"{begins}; then {shore}sun and {driving}"


def margin_line(answer: Last, system: System) -> str:
    """Return the 80 % range of the margin."""
    low, high = 100.0 * answer.margin_low, 100.0 * answer.margin_high
    range_ = f"{span([low, high], 0)} %" if low >= -100.0 else "down to more than a bank too little"
    return (
        f"{range_} (80 % range), of the nearest limit: the bank, the tank, "
        f"{difference(DEGREES, system)} of room, or humidity at the linings"
    )


def short_words(short: Short, system: System) -> str:
    """Write what the most of a remedy does."""
    what = done_words(short.done, system)
    return f"{what}: {percent(short.turned)} of the failing stays then last, not enough alone"
