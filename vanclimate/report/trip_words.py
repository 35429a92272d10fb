"""A trip in sentences: the verdict and what runs out; pure functions on a `Trip`.

What does not belong here: what it stands on (trip_notes.py), its tables (trip_tables.py) and their
order (trip.py).
"""

from __future__ import annotations

from datetime import datetime
from math import isfinite
from typing import TYPE_CHECKING

from vanclimate.answers.stops import listed
from vanclimate.answers.thresholds import WHO_LEAST
from vanclimate.report import numbers
from vanclimate.report.margin_words import must_stay
from vanclimate.report.numbers import (
    amp_hours,
    clock,
    difference,
    fixed,
    hours,
    percent,
    temperature,
    volume,
    volume_number,
)
from vanclimate.report.odds_words import in_ten
from vanclimate.units import show

if TYPE_CHECKING:
    from vanclimate.answers.trip.answer import Trip
    from vanclimate.answers.trip.itinerary import Halt
    from vanclimate.answers.trip.purchases import Purchase
    from vanclimate.answers.trip.stops import Shortfall
    from vanclimate.units import System

MOST_TOLD = 99  # nights more
MOST = 0.5  # of the drawn vans: where fewer last, the first line says so


def verdict(trip: Trip, system: System) -> str:
    """Return the first line: whether the trip lasts and what it takes, or what fails first."""
    takes = _takes(trip, system)
    if trip.first is None and _unheated(trip):
        return f"Lasts on power alone, {takes}{_cold(trip, system)}"
    if trip.first is None:
        few = trip.ranges.odds.share < MOST
        how = "Lasts as drawn, but most vans built to this sheet would not" if few else "Lasts"
        return f"{how}: {takes}{_more(trip)}{_cold(trip, system)}"
    failed = f"{_failed(trip.first, trip)} {_where(trip, trip.first)}"
    return f"Does not last: {failed}{_remedy(trip, system)}; in all {takes}"


def _unheated(trip: Trip) -> bool:
    """Return whether it gets colder than people sleep well in, and nothing heats."""
    coldest = min(result.asleep_coldest_c for result in trip.results)
    return not trip.sheet.heats and coldest < trip.sheet.people.least


def _takes(trip: Trip, system: System) -> str:
    """Return what the whole trip takes: '96 heater hours and 14 L (11 to 18) in 9 nights'."""
    nights = f"{trip.nights} night{'s' * (trip.nights != 1)}"
    parts = []
    if trip.sheet.heater is not None and sum(trip.needs_l) > 0.0:
        took = _of_range(sum(trip.needs_l), trip.ranges.fuel_l, system)
        parts += [
            f"{fixed(sum(trip.needs_h))} heater hours",
            f"{took} of {trip.sheet.heater.fuel}",
        ]
    electric = trip.total("heat_electric_wh")
    if electric > 0.0:
        heat = fixed(trip.total("heat_wh") / 1e3, 1)
        parts.append(f"{fixed(electric / 1e3, 1)} kWh drawn for heat ({heat} kWh of it in all)")
    if trip.total("ac_wh") > 0.0:
        energy = fixed(trip.total("ac_wh") / 1e3, 1)
        parts.append(f"{fixed(trip.total('ac_hours'))} AC hours ({energy} kWh)")
    if not parts:
        heats = "no heating" if not trip.sheet.heats else "no heat"
        return f"{nights} with {heats}{' and no cooling' if _may_cool(trip) else ''}"
    return f"{listed(parts)} in {nights}"


def _may_cool(trip: Trip) -> bool:
    return trip.sheet.air_conditioner is not None


def _of_range(value: float, ends: tuple[float, float], system: System) -> str:
    """Write a volume with its 80 % range in brackets."""
    low, high = (volume_number(x, system) for x in ends)
    text = volume(value, system)
    return text if low == high else f"{text} ({low} to {high})"


def _more(trip: Trip) -> str:
    """Return for how many nights more fuel and water last."""
    parts = []
    if trip.sheet.heater is not None and trip.total("fuel_l") > 0.0:
        parts.append(f"fuel for {_count(trip.fuel_nights)}")
    if isfinite(trip.water_nights):
        parts.append(f"water for {_count(trip.water_nights)}")
    return f"; {' and '.join(parts)} more" if parts else ""


def _count(nights: float) -> str:
    """Write whole nights; of very many none can be told apart.

    >>> _count(0.9), _count(3.2), _count(250.0)
    ('0', '3', 'over 99')
    """
    return f"over {MOST_TOLD}" if nights > MOST_TOLD else str(int(nights))


def _cold(trip: Trip, system: System) -> str:
    """Return what is cold on a trip that lasts, or ''."""
    days = trip.cold_days
    if not days:
        return ""
    limit = temperature(WHO_LEAST, system, 0)
    text = f"; on {days} day{'s' * (days != 1)} it feels under {limit} inside"
    if not trip.sheet.heats:
        coldest = min(trip.awake_coldest_c, *(result.asleep_coldest_c for result in trip.results))
        text += f", {temperature(coldest, system)} at worst"
    return text


def day_of(moment: datetime, trip: Trip) -> str:
    """Write a moment's day, with its year where the trip has one."""
    return numbers.day_of(moment, not any(halt.record.real for halt in trip.halts))


def _where(trip: Trip, short: Shortfall) -> str:
    """Return when and at which stop: 'on January 14 at stop 3 (Greensboro)'."""
    stop = f"stop {short.stop + 1} ({short_name(trip.halts[short.stop])})"
    return f"on {day_of(short.at, trip)} at {stop}"


def short_name(halt: Halt) -> str:
    """Return a place's name without its state."""
    return halt.record.name.split(",")[0]


def _failed(short: Shortfall, trip: Trip) -> str:
    """Return what failed."""
    if short.kind == "charge":
        return f"the bank is down to its {must_stay(trip.sheet)}"
    return {
        "fuel": "fuel runs out", "water": "fresh water runs out", "heat": "too warm to sleep",
        "cold": "too cold to sleep",
    }[short.kind]  # fmt: skip


def _remedy(trip: Trip, system: System) -> str:
    """Return what would have helped against what failed first, or how often it fails."""
    short = trip.first
    assert short is not None
    if short.kind == "fuel" and trip.purchases:
        return f"; {purchase_words(trip.purchases[0], system)}"
    if short.kind == "water":
        lacks = trip.water_lacks_l
        return f"; {volume(lacks, system)} too little in all" if lacks > 0.0 else ""
    if short.kind == "charge":
        return f", after {trip.lasted_nights} of {trip.nights} nights"
    if short.kind in ("heat", "cold"):
        count = int(trip.total("nights_warm" if short.kind == "heat" else "nights_cold"))
        return f", {count} of {trip.nights} nights"
    return ""


def purchase_words(purchase: Purchase, system: System) -> str:
    """Return where fuel must be bought at the latest: 'buy 12 L on the way to stop 2'."""
    stop, litres = purchase.stop + 1, volume(purchase.litres, system)
    if purchase.while_there:
        return f"buy {litres} more during stop {stop}, for one tank does not last it"
    return f"buy {litres} {'before the start' if stop == 1 else f'on the way to stop {stop}'}"


def odds_line(trip: Trip, system: System) -> str:
    """Return how often the trip lasts over what is not known, and the ranges."""
    r, sheet = trip.ranges, trip.sheet
    text = f"Odds: {in_ten(r.odds, 'vans')} built to this sheet last this trip in this weather"
    if r.first:
        most = sorted(r.first, key=lambda kind: -r.first[kind])
        text += f", others fail on {listed(most)}"
    ends = []
    if sheet.heater is not None and r.heater_hours[1] > 0.0:
        ends.append(f"{fixed(r.heater_hours[0])} to {fixed(r.heater_hours[1])} heater hours")
    bank = trip.stages[0].scene.gear.cells.capacity
    low, high = (percent(x / bank).removesuffix(" %") for x in r.charge_least_ah)
    ends.append(f"a lowest charge of {low} to {high} %")
    whole = " with fuel enough" if trip.fuel_lacks_l > 0.0 else ""
    return f"{text}. What nobody has measured yet makes it {listed(ends)}{whole} (80 % range)."


def fuel_words(trip: Trip, system: System) -> str:
    """Return how the tank does."""
    last = trip.results[-1]
    if not sum(trip.needs_l):
        return f"none burnt; {volume(last.fuel_left_l, system)} in the tank"
    bought = trip.total("fuel_bought_l")
    text = f"{volume(trip.total('fuel_l'), system)} burnt"
    if bought:
        text += f", {volume(bought, system)} bought where your sheet says so"
    text += f", {volume(last.fuel_left_l, system)} left at the end"
    dry = next((x for x in trip.shortfalls if x.kind == "fuel"), None)
    if dry is None:
        return f"{text}: {_count(trip.fuel_nights)} more nights like these on average"
    told = ", then ".join(purchase_words(x, system) for x in trip.purchases)
    text = f"runs out {_where(trip, dry)} at {clock(dry.at)}; the trip takes "
    text += f"{volume(sum(trip.needs_l), system)} and {fixed(sum(trip.needs_h))} heater hours, "
    text += "of which the stops above show what the tank gave"
    return f"{text}. At the latest: {told}" if told else text


def charge_words(trip: Trip) -> str:
    """Return the lowest charge, where and when."""
    index = min(range(len(trip.results)), key=lambda i: trip.results[i].charge_least_ah)
    result, stage = trip.results[index], trip.stages[index]
    bank = stage.scene.gear.cells.capacity
    at = f"{day_of(result.least_at, trip)}, {clock(result.least_at)}, stop {index + 1}"
    kept = amp_hours(stage.scene.gear.kept)
    text = f"at least {percent(result.charge_least_ah / bank)} of the bank ({at})"
    text += f"; {kept} of {amp_hours(bank)} must stay in it by night ({must_stay(trip.sheet)})"
    low = next((x for x in trip.shortfalls if x.kind == "charge"), None)
    return text if low is None else f"{text}: reached {_where(trip, low)} at {clock(low.at)}"


def water_words(trip: Trip, system: System) -> str:
    """Return how the fresh water does."""
    from vanclimate.answers.trip.stops import water_a_day

    tank = trip.sheet.water
    if tank is None:
        return "not counted: the sheet has no 'water:'"
    a_day = volume(water_a_day(trip.sheet, tank), system)
    text = f"{volume(trip.total('water_used_l'), system)} used, {a_day} a day"
    dry = next((x for x in trip.shortfalls if x.kind == "water"), None)
    if dry is not None:
        return f"runs out {_where(trip, dry)} at {clock(dry.at)}; {text}"
    return f"{text}; {volume(trip.results[-1].water_left_l, system)} left at the end"


def warmth_words(trip: Trip, system: System) -> str:
    """Return how people awake and asleep feel: nights outside their limits, cold days."""
    people = trip.sheet.people
    warm, cold = int(trip.total("nights_warm")), int(trip.total("nights_cold"))
    parts = [f"{warm} of {trip.nights} nights over {show(people.limit, 'temperature', system)}"]
    if trip.sheet.heats:
        parts.append(f"{cold} under {show(people.least, 'temperature', system)}")
    days, limit = trip.cold_days, temperature(WHO_LEAST, system, 0)
    text = f"{', '.join(parts)}; awake and inside, {days} day{'s' * (days != 1)} with an hour or "
    text += f"more under {limit}, the least that the WHO advises (from memory)"
    if days:
        coldest = temperature(trip.awake_coldest_c, system)
        below = sum(sum(result.cold_hours.values()) for result in trip.results)
        text += f": {hours(below)} in all, {coldest} at worst"
    return f"{text}. All as felt, air and walls together"


def left_words(trip: Trip, system: System) -> list[tuple[str, str]]:
    """Return what becomes of fuel, charge, water and warmth."""
    fuel = [("fuel", fuel_words(trip, system))] if trip.sheet.heater is not None else []
    return [
        *fuel, ("charge", charge_words(trip)), ("water", water_words(trip, system)),
        ("warmth", warmth_words(trip, system)),
    ]  # fmt: skip


def lack_words(trip: Trip, system: System) -> list[str]:
    """Return for each thing that fails from when on, and what is lacking of it."""
    return [
        f"{_lacking(x, trip, system)}, from {day_of(x.at, trip)}, {clock(x.at)} on "
        f"(stop {x.stop + 1})"
        for x in trip.shortfalls
    ]


def _lacking(short: Shortfall, trip: Trip, system: System) -> str:
    """Return how much is lacking."""
    people, results = trip.sheet.people, trip.results
    if short.kind == "fuel":
        return f"{volume(max(0.0, trip.fuel_lacks_l), system)} of fuel are lacking"
    if short.kind == "water":
        return f"{volume(max(0.0, trip.water_lacks_l), system)} of fresh water are lacking"
    if short.kind == "charge":
        text = f"the bank falls up to {amp_hours(trip.charge_short_ah)} below what must stay in it"
        lost = trip.unserved_ah
        return text + (f" and loads miss {amp_hours(lost)} in all" if lost >= 0.05 else "")
    if short.kind == "heat":
        count, far = trip.total("nights_warm"), max(r.asleep_warmest_c for r in results)
        return f"{_nights(count)} too warm, at most by {difference(far - people.limit, system)}"
    count, far = trip.total("nights_cold"), min(r.asleep_coldest_c for r in results)
    return f"{_nights(count)} too cold, at most by {difference(people.least - far, system)}"


def _nights(count: float) -> str:
    """Write some nights and their verb."""
    return "1 night is" if count == 1 else f"{fixed(count)} nights are"


def help_words(trip: Trip, system: System) -> list[str]:
    """Return what helps against each thing that fails."""
    found = [purchase_words(purchase, system) for purchase in trip.purchases]
    for x in trip.shortfalls:
        at = f"at stop {x.stop + 1}"
        if x.kind == "charge":
            found.append(f"shore power or a drive {at}, more bank or panels, or smaller loads")
        elif x.kind == "water":
            found.append(f"fill water on the way to stop {x.stop + 1}, or use less")
        elif x.kind == "heat":
            more = "more cooling" if _may_cool(trip) else "an air conditioner"
            found.append(f"{more}, shade, or a cooler place {at}")
        elif x.kind == "cold" and not _ran_out_before(x, trip):
            found.append(f"a larger heater, a higher setpoint, covers or insulation {at}")
    return found


def _ran_out_before(cold: Shortfall, trip: Trip) -> bool:
    """Return whether it may be cold for want of fuel or charge, not of heater or setpoint."""
    return any(x.kind in ("fuel", "charge") and x.at <= cold.at for x in trip.shortfalls)


def year_words(trip: Trip) -> str:
    """Return which of several years the answer is about."""
    if not trip.years:
        return ""
    lasts = sum(year.first is None for year in trip.years)
    text = f"of {len(trip.years)} years the trip lasts in {lasts}; this is {trip.years[0].year}, "
    text += "the hardest"
    return text + (f"; {len(trip.left_out)} more lack whole data" if trip.left_out else "")
