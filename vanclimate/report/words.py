"""The answer in sentences: verdict, margin, night, refill, place; pure functions on a `Night`.

What does not belong here: columns and rows (tables.py, chart.py) and where they are printed
(terminal.py), so that any other page may use the same words.
"""

from __future__ import annotations

from typing import TYPE_CHECKING
from unicodedata import category

from vanclimate.answers.thresholds import WHO_LEAST
from vanclimate.answers.which_night import GIVEN_OF_YEARS, YEARLESS, uncut
from vanclimate.report.margin_words import (
    NOTHING_DRAWN,
    gives_nothing,
    must_stay,
    no_margin,
    spare,
)
from vanclimate.report.numbers import (
    amp_hours,
    clock,
    difference,
    fixed,
    height,
    hours,
    in_units,
    moment_of,
    percent,
    temperature,
    unit_of,
)
from vanclimate.report.place_words import no_year
from vanclimate.site.record import spans
from vanclimate.site.sky import SKY_MODELS

if TYPE_CHECKING:
    from vanclimate.answers.judge import Failure, WayResult
    from vanclimate.answers.night import Night
    from vanclimate.answers.outside import Effect
    from vanclimate.units import System

WAYS = {"closed": "closed up", "fans": "fans only", "ac": "air conditioner", "heat": "heated",
        "fresh": "no heating"}  # fmt: skip
RESIDUAL_ALLOWED = 1e-9  # of what passed through: a book within it closes


def plain(text: str) -> str:
    """Return a user's text without control and direction signs, which a terminal would obey."""
    return "".join(c if c.isprintable() and category(c) != "Cf" else " " for c in text)


def verdict(night: Night, system: System) -> str:
    """Return the first line: whether the night holds, by how much, or what failed first."""
    result = night.result
    if result.holds:
        text = f"Holds: {_to_spare(result, system)}"
        if result.felt_coldest_c < WHO_LEAST and not heated(night):
            least = temperature(result.felt_coldest_c, system)
            text += f"; against heat only, for it falls to {least} inside"
        return text + _of_years(night)
    failure = result.failure
    if failure is None:  # only a way without fresh air ends here
        return "Does not hold: unfit for sleeping, no outdoor air comes in"
    short = _shortfall(failure, night, system)
    return f"Does not hold: {_failed(failure, night)}; {short}{_of_years(night)}"


def _to_spare(result: WayResult, system: System) -> str:
    """Return the margins of a night that holds."""
    room = difference(result.margin_degrees, system)
    if result.opened is not None:
        return f"{room} to spare; {no_margin(result)}"
    share = f"{percent(result.margin_charge)} of the bank"
    if gives_nothing(result):
        return f"{share} and {room} to spare, {NOTHING_DRAWN}"
    return f"{share}, {hours(result.margin_hours)} and {room} to spare"


def heated(night: Night) -> bool:
    """Return whether the van has heating, so that the cold is judged as well."""
    return night.result.margin_cold < float("inf")


def way_name(way: str, night: Night) -> str:
    """Return what a way is called: by all that it has, where the sheet cools and heats."""
    return "AC and heating" if way == "ac" and night.sheet.heats else WAYS[way]


def _of_years(night: Night) -> str:
    """Return how many nights of real years hold, for the first line."""
    if not night.season.years:
        return ""
    verb = "holds" if night.nights_held == 1 else "hold"
    return f"; {night.nights_held} of {_nights_of(night)} {verb}"


def _nights_of(night: Night) -> str:
    """Write '217 July nights in 2017–2023', or '28 nights of 12 July to 26 July in 2017–2018'."""
    season, among = night.season, len(night.nights)
    if night.sheet.stay is None:
        nights = f"{among} {season.words} night{'s' * (among > 1)}"
    else:
        nights = f"{among} night{'s' * (among > 1)} of {season.words}"
    has_year = night.sheet.stay is not None and night.sheet.stay.arrival.year is not None
    return nights if has_year else f"{nights} in {season.years_words}"


def _failed(failure: Failure, night: Night) -> str:
    """Return what failed first, and when."""
    if failure.kind == "charge":
        before = (night.waking - failure.at).total_seconds() / 3600.0
        line = must_stay(night.sheet)
        if failure.at <= night.bedtime:
            return f"{line} reached before bedtime already"
        early = hours(before) if before >= 0.95 else f"{fixed(60.0 * before)} min"
        return f"{line} reached at {clock(failure.at)}, {early} before waking"
    felt = "too cold" if failure.kind == "cold" else "too warm"
    return f"{felt} to sleep {when_warm(failure, night)}{_why_cold(failure, night)}"


def _why_cold(failure: Failure, night: Night) -> str:
    """Return what kept the heater from heating by then, or ''."""
    if failure.kind != "cold" or night.sheet.heater is None:
        return ""
    if night.result.fuel_left_l <= 1e-3:
        return ", the fuel is used up"
    fault = night.result.heater_fault
    return f", the heater does not start: {FAULTS[fault]}" if fault else ""


FAULTS = {"volts": "too few volts", "cold": "its fuel is too cold"}


def when_warm(failure: Failure, night: Night) -> str:
    """Return the span of a failure on heat.

    'all night', 'until 00:50', 'from 03:10', 'from 03:10 to 05:00'
    """
    from_bedtime = (failure.at - night.bedtime).total_seconds() < 60.0
    if from_bedtime:
        return "all night" if failure.until is None else f"until {clock(failure.until)}"
    ends = "" if failure.until is None else f" to {clock(failure.until)}"
    return f"from {clock(failure.at)}{ends}"


def _shortfall(failure: Failure, night: Night, system: System) -> str:
    """Return the three margins of a night that does not hold, as far as they say something."""
    whole = uncut(night.result, night.nights, night.bedtime)
    if failure.kind == "charge":
        bank = night.runs[night.main].gear.cells.capacity
        lack = f"{amp_hours(-whole.margin_charge * bank)} too little"
        lack += f" ({percent(-whole.margin_charge)} of the bank)"
        room = _room(whole, system)
        if whole.margin_degrees < 0:
            return f"{lack}, and {room} even with a larger bank"
        return f"{lack}; the temperature alone would hold, {room}"
    side = "under the least wanted" if failure.kind == "cold" else "over the limit"
    warm = f"{difference(-night.result.margin_degrees, system)} {side} at worst"
    if whole.margin_charge < 0:
        return f"{warm}, and short of {percent(-whole.margin_charge)} of the bank"
    return f"{warm}, {no_margin(night.result) or spare(whole)}"


def _room(result: WayResult, system: System) -> str:
    """Return the room to the nearer of the limits, or how far it is missed."""
    degrees = result.margin_degrees
    if degrees < 0:
        felt = "cold" if result.margin_cold == degrees else "warm"
        return f"{difference(-degrees, system)} too {felt}"
    return f"{difference(degrees, system)} to spare"


def pull_down(night: Night) -> str:
    """Return the line about the time until it is cool enough to sleep; '' of a night that heats."""
    from vanclimate.simulate.thermostats import ac_start
    from vanclimate.units import show_clock

    result, allowed = night.result, night.sheet.people.settle_in / 60.0
    minutes, charge = result.pull_down_minutes, amp_hours(result.pull_down_ah)
    since = f"{charge} since the start at {show_clock(ac_start(night.sheet))}"
    drawn = f", {since}" if night.main == "ac" else ""
    if minutes is None:
        late = f" ({charge} drawn by waking)" if night.main == "ac" else ""
        return f"Pull-down: not done within the {allowed:.0f} minutes allowed from bedtime{late}"
    if minutes < 0.5 and heated(night) and result.heating_wh > 0.0:
        return ""
    if minutes < 0.5:
        return f"Pull-down: 0 minutes{drawn}; cool enough at bedtime"
    return f"Pull-down: {minutes:.0f} minutes after bedtime{drawn}"


def three_ways_note(night: Night, system: System) -> str:
    """Return what the three ways share, and what 'felt' means."""
    from vanclimate.units import show

    sheet = night.sheet
    flow = show(sheet.fresh_air, "flow", system, 3)
    speed = sheet.fans.bed_fan_speed
    assumed = any(g.path == "fresh_air" for g in sheet.guessed)
    text = (
        f"All but closed up have a fresh-air path of {flow} a sleeper "
        f"({'assumed' if assumed else 'your sheet'}). Felt is the operative temperature, air and "
        "walls together"
    )
    if not any(w.way == "fans" for w in night.ways):
        return f"{text}."
    return (
        f"{text}; with fans, less the cooling effect of the bed fan's {speed:g} m/s by ASHRAE 55, "
        "computed at 1.0 met, where the standard starts (sleepers are at 0.7)."
    )


def which_night(night: Night) -> str:
    """Return which night the answer is about."""
    dates = f"{moment_of(night.bedtime, no_year(night.weather))} to {clock(night.waking)}"
    if night.weather.synthetic and len(night.nights) == 1:
        year = "; the year you gave counts for nothing" if night.which == YEARLESS else ""
        return f"{dates}: the design night, invented weather, the same each day{year}"
    if night.which == "coldest":
        return f"{dates}: the coldest, the {_one_of(night)} on which this van takes most heating"
    by_energy = night.main == "ac"
    most = "on which this van's air conditioner uses most energy between bedtime and waking"
    strain = most if by_energy else "that feels warmest inside"
    if night.which == "hottest":
        return f"{dates}: the hottest, the {_one_of(night)} {strain}"
    if night.which == "typical":
        strain = "the air conditioner's energy" if by_energy else "how warm it feels inside"
        return f"{dates}: typical, the median of {_all_of(night)} by {strain}"
    besides = {
        GIVEN_OF_YEARS: ", in its hottest year",
        YEARLESS: "; the weather is of no year of its own, so the year you gave counts for nothing",
    }
    return f"{dates}: the night you asked for{besides.get(night.which, '')}"


def _one_of(night: Night) -> str:
    """Return what the hottest night is one of: 'July night', 'night of the stay'."""
    if night.weather.synthetic:
        return "made-up night"
    if night.sheet.stay is not None:
        return "night of the stay"
    return f"{night.season.words} night"


def _all_of(night: Night) -> str:
    if night.weather.synthetic:
        return "the made-up nights"
    return "the stay's nights" if night.sheet.stay is not None else f"{night.season.words}'s nights"


def nights_held(night: Night) -> str:
    """Return how many of the nights asked about hold, and the worst year of several."""
    count, among = night.nights_held, len(night.nights)
    if night.weather.synthetic and among <= 1:
        return "a design day is a single night, so no share of a month is given"
    verb = "holds" if count == 1 else "hold"
    if night.weather.synthetic:
        text = f"{count} of {among} made-up nights {verb}"
    elif not night.season.years:
        own = night.season.words
        spell = f"this {own}" if night.sheet.stay is None else f"the stay of {own}"
        text = f"{count} of {among} nights {verb} in {spell}"
    else:
        text = f"{count} of {_nights_of(night)} {verb}"
    start = "each from the same start charge"
    if night.sheet.battery.charge_at_bedtime is None:
        start = "the bank followed from three days before"
    return f"{text}, {start}{_worst_year(night)}{_left_out(night)}"


def _worst_year(night: Night) -> str:
    """Return the year that holds least, where there are several and they differ."""
    shares = {year: held / of for year, (held, of) in night.by_year.items()}
    if len(set(shares.values())) < 2:
        return ""
    least = min(shares.values())
    worst = [year for year, share in shares.items() if share == least]
    held, of = night.by_year[worst[0]]
    if len(worst) == 1:
        return f"; worst year {worst[0]}: {held} of {of}"
    return f"; worst years {spans(worst)}: {held} of {of} each" if least == 0 else ""


def _left_out(night: Night) -> str:
    count = night.season.left_out
    if not count:
        return ""
    verb = "lacks" if count == 1 else "lack"
    return f"; {count} more {verb} whole data from three days before to the day after: left out"


def sky_line(night: Night, system: System) -> str:
    """Return the sky that was used, and the night under its alternative."""
    effect = next(e for e in night.effects if e.kind == "sky")
    used, other = SKY_MODELS[str(effect.used)], SKY_MODELS[effect.other]
    return f"{used}. With {other}: {_outcome(effect.result, night, system)}"


def spot_lines(night: Night, system: System) -> list[tuple[str, str]]:
    """Return what each thing that the van's own spot adds is worth."""
    return [
        (effect.kind, f"{_chosen(effect, system)}: {_outcome(effect.result, night, system)}")
        for effect in night.effects
        if effect.kind != "sky"
    ]


def _chosen(effect: Effect, system: System) -> str:
    """Return what the spot adds, and what the outcome beside it is of."""
    if effect.kind == "terrain":
        return f"{effect.used} ground; on open ground"
    if effect.kind == "height":
        return f"{height(float(effect.used), system)}; with the air left at the weather's height"
    degrees = in_units(float(effect.used), "temperature_difference", system)
    sign = "+" if degrees > 0 else ""
    unit = unit_of("temperature_difference", system)
    return f"{sign}{fixed(degrees, 1)} {unit} at night; without it"


def _outcome(result: WayResult, night: Night, system: System) -> str:
    """Return in a few words how the night of an answer comes out otherwise."""
    verb = "holds" if result.holds else "does not hold"
    if night.result.opened is not None:  # which the other outcome leaves out
        return f"{verb}, {_room(result, system)}"
    margin = f"{percent(result.margin_charge)} of the bank"
    return f"{verb}, {margin} and {_room(result, system)}"


def settled(night: Night) -> str:
    """Return from when on the warmest counts."""
    if night.main == "ac":
        return "once pulled down"
    return f"from {night.sheet.people.settle_in / 60.0:.0f} minutes after bedtime on"
