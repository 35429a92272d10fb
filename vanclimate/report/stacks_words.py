"""Sentences of the answer about insulation stacks.

What does not belong here: tables (stacks_tables.py) and their order (stacks.py).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.stacks.nights import in_fuel
from vanclimate.report.numbers import difference, fixed, moment_of, percent, temperature
from vanclimate.report.place_words import no_year
from vanclimate.site.years import MONTHS
from vanclimate.units import GAL, show

if TYPE_CHECKING:
    from vanclimate.answers.stacks.answer import Row, Stacks
    from vanclimate.answers.stacks.nights import TestNight
    from vanclimate.network.damp import Damp
    from vanclimate.units import System

ALIKE = 0.01  # share of the best one's figure within which a stack is as good
LEAST_TOLD = 0.05  # K
OF = {"ac_wh": "of AC", "felt_c": "at the warmest", "fuel_l": "of fuel", "heat_wh": "of heat"}
RANKED = {
    "ac_wh": "Ranked by the air conditioner's energy", "felt_c": "Ranked by the warmest felt",
    "fuel_l": "Ranked by the heater's fuel", "heat_wh": "Ranked by heat",
}  # fmt: skip
ROOM = (
    "all run in a van as large inside as your sheet's: the room that a thicker stack takes is "
    "shown, and not taken off"
)


def ordinal(number: int) -> str:
    """Write a rank.

    >>> ordinal(1), ordinal(3), ordinal(11), ordinal(22)
    ('1st', '3rd', '11th', '22nd')
    """
    teens = 10 < number % 100 < 20
    return f"{number}{'th' if teens else {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th')}"


def amount(value: float, measure: str, system: System) -> str:
    """Write a stack's figure by what ranks it."""
    if measure == "felt_c":
        return temperature(value, system)
    if measure == "fuel_l":
        litres, unit = (1e3 * GAL, "gal") if system == "us" else (1.0, "L")
        return f"{fixed(value / litres, 2)} {unit}"
    return f"{fixed(value)} Wh"


def saved(value: float, measure: str, system: System) -> str:
    """Write a gain by what ranks the stacks."""
    return difference(value, system) if measure == "felt_c" else amount(value, measure, system)


def night_words(night: TestNight) -> str:
    """Return which night it is: 'the hottest July night'."""
    if night.scene.place.weather.synthetic:
        return "the made-up night"
    word = "coldest" if night.cold else "hottest"
    of = f"{night.words} {night.year}" if night.year is not None else night.words
    return f"the {word} night of {of}" if " to " in of else f"the {word} {of} night"


def inch_word(system: System) -> str:
    """Return the step in which insulation is counted."""
    return "inch" if system == "us" else "25 mm"


def verdict(answer: Stacks, system: System) -> str:
    """Return the first line: which stack is best, and where the van's own stands."""
    best, own, measure = answer.best, answer.own, answer.measure
    name = "your own" if best.own else best.name
    told = f"{amount(best.of(measure), measure, system)} {OF[measure]} on "
    if answer.cold is None and _less_is_more(answer):
        return (
            f"No rank for insulation: on {night_words(answer.night)} what insulates less takes "
            f"less ({name} {told.partition(' on ')[0]}, your own "
            f"{amount(own.of(measure), measure, system)}), and no cold night is known"
        )
    line = f"Best of {len(answer.rows)} stacks for this van: {name} ({told}"
    line += f"{night_words(answer.night)})"
    if not best.own:
        line += f"; your own is {ordinal(own.rank)} "
        line += f"({amount(own.of(measure), measure, system)}{_behind(answer)})"
    elif len(answer.rows) > 1:
        second = answer.rows[1]
        line += f"; next is {second.name} ({amount(second.of(measure), measure, system)})"
    short = best.short_k(measure)
    if short > LEAST_TOLD and measure != "felt_c":
        way = "too warm" if measure == "ac_wh" else "too cold"
        line += f"; even so it gets {difference(short, system)} {way}"
    return line


def _behind(answer: Stacks) -> str:
    """Say how far the own stack is behind."""
    best, own = (row.of(answer.measure) for row in (answer.best, answer.own))
    if answer.measure == "felt_c" or best <= 0.0:
        return ""
    more = own / best - 1.0
    return ", as good within 1 %" if abs(more) < ALIKE else f", {percent(more)} more"


def ranking_words(answer: Stacks) -> str:
    """Say what ranks the stacks, and on which night."""
    text = f"{RANKED[answer.measure]} from bedtime to waking on {night_words(answer.night)}"
    text += "; the bank stops nothing, so that all are asked the same."
    if answer.turned:
        text += (
            " Not by the hot night: it is no hotter outside than what people, loads and the day "
            "leave inside, and what insulates less takes less then."
        )
    return text


def other_night_words(answer: Stacks, system: System) -> list[str]:
    """Say what the two nights' columns mean, and which night is not there."""
    said, least = [], temperature(answer.sheet.people.least, system)
    if answer.cold is not None and answer.cold.way == "held":
        said.append(
            f"Nothing heats this van: on {night_words(answer.cold)} an ideal heater holds its air "
            f"at {least} day and night, and the heat from bedtime to waking is shown."
        )
    if any(row.cold is not None and row.cold.short_k > LEAST_TOLD for row in answer.rows):
        said.append(f"* gets colder than the {least} that is wanted.")
    hot = answer.hot is not None and answer.hot.way == "ac"
    if hot and any(row.hot is not None and row.hot.short_k > LEAST_TOLD for row in answer.rows):
        limit = temperature(answer.sheet.people.limit, system)
        said.append(f"! gets warmer than the limit of {limit}.")
    if answer.hot is None or answer.cold is None:
        which = "cold" if answer.cold is None else "hot"
        said.append(f"No {which} night is shown: the site has {_why_not(answer)}.")
    return said


def _why_not(answer: Stacks) -> str:
    return "made-up days" if answer.made_up else "less than a year of data"


def gain_words(answer: Stacks, system: System) -> str:
    """Say what the best stack saves against the own, with its range, '' where the own is best."""
    if answer.best.own:
        return ""
    from vanclimate.answers.stacks.range import SAMPLE

    measure = answer.measure
    low, high = (saved(x, measure, system) for x in answer.gain_80)
    number, _, unit = low.rpartition(" ")
    low = number if high.endswith(unit) else low
    return (
        f"Against yours it saves {saved(answer.gain.of(measure), measure, system)} as your sheet "
        f"stands, and {low} to {high} in the middle 80 % of {SAMPLE} vans in which what nobody "
        f"knows is drawn (leaks, ribs, fit, sky, people and more).{_other_gain(answer, system)}"
        f"{_less_is_more(answer)}"
    )


def _less_is_more(answer: Stacks) -> str:
    """Say why a stack that insulates less comes first, '' where the best insulates more."""
    best, own = answer.best.figures.u_w_m2k, answer.own.figures.u_w_m2k
    if answer.night.cold or best < own * (1.0 + ALIKE):
        return ""
    return (
        " The night is no hotter outside than what people, loads and the day leave inside, so what "
        "insulates less lets heat out: no rank for hotter nights."
    )


def _other_gain(answer: Stacks, system: System) -> str:
    """Say what it saves on the other night."""
    other = answer.cold if answer.night is answer.hot else answer.hot
    if other is None:
        return ""
    key = {"ac": "ac_wh", "fans": "felt_c"}.get(other.way, "heat_wh")
    if other.cold:
        key = "fuel_l" if in_fuel(answer.sheet) else "heat_wh"
    value = answer.gain.of(key)
    told = saved(abs(value), key, system)
    if key == "felt_c":
        return f" On {night_words(other)} it is {told} {'cooler' if value >= 0 else 'warmer'}."
    what = "saves" if value >= 0 else "takes"
    return f" On {night_words(other)} it {what} {told} {OF[key]}{'' if value >= 0 else ' more'}."


def damp_words(answer: Stacks, system: System) -> list[str]:
    """Say how much water settles in the best stack and the own, and which one stays dry."""
    if not answer.own.figures.damp:
        return [f"Water inside the stacks is not worked out: the site has {_why_not(answer)}."]
    from vanclimate.network.damp import RUN_OFF

    best, own = answer.best, answer.own
    wet = [row for row in ([best] if best.own else [best, own]) if _trouble(row)]
    if not wet:
        return []
    held = [
        f"{'yours' if row.own else 'the best'} holds up to "
        f"{show(side[1].peak, 'area_mass', system, 2)} {side[1].where} ({side[0]})"
        for row in wet
        if (side := row.figures.dampest) is not None
    ]
    text = f"Water in a winter: {', '.join(held)}."
    dry, least = answer.driest, show(RUN_OFF, "area_mass", system, 2)
    if dry is None:
        return [f"{text} No stack here stays dry by its layers: `vanclimate check` tells of the "
                "vapour layer that helps."]  # fmt: skip
    which = "The best" if dry is best else f"{_capital(dry.name)} ({ordinal(dry.rank)})"
    first = "" if dry is best else "is the first that "
    return [f"{text} {which} {first}holds no more than {least}, which stays in place and dries."]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _trouble(row: Row) -> bool:
    side = row.figures.dampest
    return side is not None and side[1].trouble


def water_words(row: Row, system: System) -> str:
    """Say where water settles in a stack, how much, and when it is gone."""
    side = row.figures.dampest
    if side is None or side[1].worst_month is None:
        return "nowhere inside"
    name, damp = side
    return f"{name}: {_water_there(damp, system)}"


def _water_there(damp: Damp, system: System) -> str:
    most = show(damp.peak, "area_mass", system, 2)
    assert damp.worst_month is not None, "water settles in it"
    again = "never dry" if damp.dry_month is None else f"dry in {MONTHS[damp.dry_month]}"
    return f"{most} {damp.where}, most in {MONTHS[damp.worst_month]}, {again}"


def figures_note(answer: Stacks, system: System) -> str:
    """Say what the figures of a stack are."""
    from vanclimate.answers.stacks.figures import COLD_INSIDE, COLD_OUTSIDE
    from vanclimate.van.ribs import no_ribs_given

    sides = "roof, walls and floor" if answer.floor else "roof and walls (the floor stays yours)"
    ribs = "your guess of them" if no_ribs_given(answer.sheet.body) else "as described"
    cold, warm = (temperature(x, system, 0) for x in (COLD_OUTSIDE, COLD_INSIDE))
    in_cold = "in the cold the same at its mean temperature on the cold night; "
    return (
        f"Means over {sides}. R on paper is the sum of the layers (R in ft2·F·h/BTU, RSI in "
        f"m2·K/W); {in_cold if answer.cold else ''}"
        f"in the van it has ribs ({ribs}), fit and films. Depth, room and mass are of what lies "
        f"between skin and lining. The coldest point inside, glass aside, is that at {cold} outside"
        f" and {warm} inside; air of 50 % has its dew point at {temperature(9.3, system, 0)} there."
    )


def price_note(answer: Stacks) -> str:
    """Say which materials have no price, '' where all have one or none is asked."""
    lacking = dict.fromkeys(x for row in answer.rows for x in row.figures.unpriced)
    if answer.sheet.prices is None or not lacking:
        return ""
    return f"No price in your sheet for {', '.join(lacking)}."


def idle_words(answer: Stacks) -> list[str]:
    """Say which layers earn nothing, and why where it is known."""
    said = []
    for worth in answer.worths:
        if worth.gain is not None and worth.gain.nothing:
            why = ": no air lies on its shiny side" if worth.idle else ""
            said.append(
                f"{_capital(worth.material)} ({worth.side}) earns nothing on either night{why}."
            )
    return said + [
        f"{row.name}: {', '.join(row.idle)} earns nothing without an air gap on its shiny side."
        for row in answer.rows
        if set(row.idle) - set(answer.own.idle)
    ]


def inch_words(answer: Stacks, system: System) -> str:
    """Say which surface the next inch goes to."""
    measure, size = answer.measure, inch_word(system)
    best, *others = (x for x in answer.inches if x.where != "glass")
    if best.gain.of(measure) <= 0.0:
        return f"No surface earns by one more {size} on {night_words(answer.night)}."
    text = f"The next {size} goes to the {best.where}: there it earns most by its area."
    most = max(others, key=lambda x: x.gain.of(measure), default=best)
    if most.gain.of(measure) > best.gain.of(measure):
        more = fixed(most.area_m2 / best.area_m2, 1)
        text += f" All of the {most.where} together earns more, with {more} times the board."
    return text


def night_line(night: TestNight, system: System) -> str:
    """Return when a night is, and how it is spent."""
    how = {"fans": "with fans", "held": "with an ideal heater", "heat": "with its own heat"}
    cooled = "with its own heat" if night.cold else "with the air conditioner"
    outdoors = temperature(night.outdoor_c, system)
    way = how.get(night.way, cooled)
    when = f"{moment_of(night.bedtime, no_year(night.scene.place.weather))}, {way}"
    return f"{when}; outdoors {outdoors} on average from bedtime to waking"


def tried_words(answer: Stacks, system: System) -> str:
    """Say where the stacks come from."""
    if answer.sheet.stacks_to_try is not None:
        return "your sheet's 'stacks to try', between your own skin and lining unless whole"
    from vanclimate.answers.stacks.listed import GAP, USUAL_DEPTH
    from vanclimate.van.tried import COVER

    usual, gap, cover = (show(x, "length", system, 2) for x in (USUAL_DEPTH, GAP, COVER))
    return (
        "the library's ordinary ones, each filling the depth that your own insulation has on that "
        f"side ({usual} where it has next to none), {gap} of it the gap before foil; "
        f"'ribs covered' has {cover} of it over the ribs; 'stacks to try:' in your sheet lists "
        "others."
    )
