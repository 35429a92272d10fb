"""A trip on two sheets: its stops along the dates, and what runs out where."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

import numpy as np

from vanclimate.answers.judge import felt_temperature
from vanclimate.answers.stops import listed
from vanclimate.answers.trip.halts import tank_full
from vanclimate.answers.trip.stops import water_wanted
from vanclimate.page import common
from vanclimate.page.drawings.flows import worst_hour
from vanclimate.page.drawings.van import van
from vanclimate.page.parts import Assumption, Block, Page, Picture
from vanclimate.page.stops import Leg, Level, Stops, Track, draw_stops
from vanclimate.report import trip_notes, trip_tables
from vanclimate.report import trip_words as words
from vanclimate.report.numbers import amp_hours, fixed, percent, volume
from vanclimate.units import show

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.trip.answer import Trip
    from vanclimate.answers.trip.halts import Stage
    from vanclimate.answers.trip.stops import StopResult
    from vanclimate.network.compile import Array
    from vanclimate.units import System

WIDE = 200  # columns of a table that is never narrow
MOST_JOINED = 21  # rows of one table, their sum among them
MOST_COLUMNS = 20  # of one table
MOST_STOPS = 12  # of tables that stand below each other
MOST_DRAWN = 8  # stops beside which the van is drawn
MOST_YEARS = 8  # of a table
FULL_PLACES, MOST_PLACES = 2, 6  # told with all their data, and on the technical sheet
NAMED = 3  # places that a question names
CALLED = {"charge": "bank too low", "fuel": "fuel out", "water": "water out",
          "heat": "too warm", "cold": "too cold"}  # fmt: skip


def pictures(trip: Trip) -> dict[str, Picture]:
    """Draw the trip."""
    shown = _stops(trip)
    caption = (
        "Hatched in the row of stops: driving."
        if any(halt.stop.drive for halt in trip.halts)
        else ""
    )
    drawn = common.picture("stops", _says(shown), lambda w: draw_stops(shown, w), caption)
    found = {"stops": drawn}
    if len(trip.stages) <= MOST_DRAWN:  # else the tables take the room
        stage = _hardest(trip)
        hour = worst_hour(stage.run, slice(0, len(stage.run.rows)), stage.scene.sheet, stage.way)
        found["van"] = common.drawn("van", van(stage.scene.sheet, stage.run, hour))
    return found


def draw(trip: Trip, width: float) -> Figure:
    """Draw its stops."""
    return draw_stops(_stops(trip), width)


def _hardest(trip: Trip) -> Stage:
    """Return the stop at which something fails first, else that which takes most heat or AC."""
    if trip.first is not None:
        return trip.stages[trip.first.stop]
    taken = [result.heat_wh + result.ac_wh for result in trip.results]
    return trip.stages[taken.index(max(taken))]


def page(trip: Trip, system: System, pictures: dict[str, Picture]) -> Page:
    """Build the page in one unit system."""
    says = [words.odds_line(trip, system), _sentence(words.year_words(trip))]
    title, changes = _changes(trip, system)
    return Page(
        question=_question(trip),
        answer="yes" if trip.lasts else "no",
        verdict=words.verdict(trip, system),
        says=tuple(text for text in says if text),
        picture=pictures["stops"],
        assumptions=common.assumptions((), False, system, _assumptions(trip, system)),
        changes_title=title,
        changes=changes,
        cautions=trip.cautions,
        place=_place(trip, system),
        van=common.van_line(trip.sheet),
        prepared=common.prepared(trip.sheet),
        blocks=_blocks(trip, system, pictures),
    )


def _sentence(text: str) -> str:
    return f"{common.capital(text)}." if text else ""


def _question(trip: Trip) -> str:
    """Return what the client asks."""
    names = list(dict.fromkeys(words.short_name(halt) for halt in trip.halts))
    where = listed(names) if len(names) <= NAMED else f"{len(names)} places"
    things = ["heat"] * trip.sheet.heats + ["power"] + ["water"] * (trip.sheet.water is not None)
    first, last = trip.halts[0].first, trip.halts[-1].last
    days = f"{first:%B} {first.day} to {last:%B} {last.day}"
    nights = f"{trip.nights} night{'s' * (trip.nights != 1)}"
    do = "Do" if len(things) > 1 else "Does"
    return f"{do} {listed(things)} last our {nights} in {where}, {days}?"


def _changes(trip: Trip, system: System) -> tuple[str, tuple[str, ...]]:
    """Return what is lacking and what helps, or what is left of a trip that lasts."""
    if trip.lasts:
        rows = [f"{name.capitalize()}: {text}." for name, text in words.left_words(trip, system)]
        return "What is left of each", tuple(rows)
    told = (*words.lack_words(trip, system), *words.help_words(trip, system))
    return "What is missing, and what helps", tuple(map(_sentence, told))


def _assumptions(trip: Trip, system: System) -> list[Assumption]:
    """Return what the trip rests on, the heaviest first."""
    sheet, scene = trip.sheet, trip.stages[0].scene
    weathers = [stage.scene.place.weather for stage in trip.stages]
    real = any(stage.halt.record.real for stage in trip.stages)
    found = [common.weather_assumption(real, any(w.synthetic for w in weathers))]
    heater = sheet.heater or sheet.electric_heater
    if heater is not None:
        at = show(heater.setpoint, "temperature", system, 3)
        takes = "burns more fuel" if heater is sheet.heater else "takes more charge"
        found.append(Assumption("the thermostat", f"at {at}; each degree more {takes}",
                                "ask the client"))  # fmt: skip
    elif sheet.air_conditioner is not None:
        at = show(sheet.air_conditioner.setpoint, "temperature", system, 3)
        found.append(Assumption("the thermostat", f"the air conditioner's at {at}; each degree "
                                "less takes more charge", "ask the client"))  # fmt: skip
    charge = scene.start_charge
    share = "a full bank" if charge is None else f"{amp_hours(charge)} in the bank"
    tank = f" and {volume(scene.gear.burner.fuel, system)} of fuel" if sheet.heater else ""
    found.append(Assumption("the start", f"{share}{tank} as the trip begins",
                            "the monitor and the gauge on the day"))  # fmt: skip
    return found + common.heading_assumption(sheet)


def _place(trip: Trip, system: System) -> str:
    """Return where the van stands; of many places their names."""
    lines = trip_notes.place_lines(trip, system)
    if len(lines) <= FULL_PLACES:
        return common.places(lines, trip_notes.licences(trip))
    names = list(dict.fromkeys(words.short_name(halt) for halt in trip.halts))
    more = f" and {len(names) - MOST_PLACES} more" if len(names) > MOST_PLACES else ""
    told = f"{', '.join(names[:MOST_PLACES])}{more}; their data: sheet 2"
    return common.places([told], [])


def _stops(trip: Trip) -> Stops:
    """Return what the picture shows."""
    start = trip.halts[0].begins
    felt = [
        _track(stage, start, felt_temperature(stage.run, stage.scene.sheet, stage.way))
        for stage in trip.stages
    ]
    people, sheet = trip.sheet.people, trip.sheet
    limits = (people.least, people.limit) if sheet.heats else (people.limit,)
    wanted = " to ".join(common.degrees(x) for x in limits)
    return Stops(
        start=start,
        legs=tuple(_leg(s, r, trip) for s, r in zip(trip.stages, trip.results, strict=True)),
        felt=tuple(felt),
        outdoors=tuple(_track(stage, start, stage.run.outdoor) for stage in trip.stages),
        limits=limits,
        wanted=f"wanted asleep: {'' if sheet.heats else 'up to '}{wanted}",
        levels=tuple(_levels(trip)),
        unfit=_failing(trip, "heat", "cold"),
        dry=_failing(trip, "fuel", "charge", "water"),
    )


def _track(stage: Stage, start: datetime, values: Array) -> Track:
    begins = (stage.run.start - start).total_seconds() / 3600.0
    return Track(begins + stage.run.seconds / 3600.0, values)


def _failing(trip: Trip, *kinds: str) -> tuple[tuple[float, str], ...]:
    """Return when some things fail first [h], and how that is called."""
    start = trip.halts[0].begins
    return tuple(
        ((x.at - start).total_seconds() / 3600.0, CALLED[x.kind])
        for x in trip.shortfalls if x.kind in kinds
    )  # fmt: skip


def _leg(stage: Stage, result: StopResult, trip: Trip) -> Leg:
    halt, start = stage.halt, trip.halts[0].begins
    begins, arrives, ends = (
        (moment - start).total_seconds() / 3600.0
        for moment in (halt.begins, halt.arrives, halt.ends)
    )
    name, nights = words.short_name(halt), f"{halt.nights} night{'s' * (halt.nights != 1)}"
    lines = [f"{name}, {nights}"]
    if trip.sheet.heater is not None:
        lines.append(f"heater {fixed(result.heater_hours)} h, {_litres(result.fuel_l)}")
    elif trip.sheet.heats:
        lines.append(f"heat {fixed(result.heat_wh / 1e3, 1)} kWh")
    if trip.sheet.air_conditioner is not None and trip.total("ac_wh") > 0.0:
        used = fixed(result.ac_wh / 1e3, 1)
        lines.append(f"AC {fixed(result.ac_hours)} h, {used} kWh")
    least = percent(result.charge_least_ah / stage.scene.gear.cells.capacity)
    lines.append(f"bank at least {least}")
    out = " to ".join(common.degrees(x) for x in (result.outdoor_least_c, result.outdoor_most_c))
    told = f"Stop {halt.index + 1}: {'; '.join(lines)}; outdoors {out}"
    return Leg(halt.index + 1, begins, arrives, ends, tuple(lines), told)


def _litres(litres: float) -> str:
    """Write a volume in both unit systems."""
    return f"{volume(litres, 'us')} · {volume(litres, 'si')}"


def _levels(trip: Trip) -> list[Level]:
    """Return bank, tank and fresh water, those that are there."""
    start, last, scene = trip.halts[0].begins, trip.results[-1], trip.stages[0].scene
    bank = scene.gear.cells.capacity
    found = [Level(
        f"bank: at least {percent(trip.charge_least_ah / bank)} (hatched: must stay by night)",
        tuple(_track(s, start, s.run.column("battery_charge_ah")) for s in trip.stages),
        bank, "bank", kept=scene.gear.kept,
    )]  # fmt: skip
    if trip.sheet.heater is not None:
        full = max(tank_full(scene), scene.gear.burner.fuel)
        found.append(Level(
            f"fuel: {_litres(last.fuel_left_l)} left",
            tuple(_track(s, start, s.run.column("heater_fuel_l")) for s in trip.stages),
            full, "device", (0, (5, 1.5)),
        ))  # fmt: skip
    if trip.sheet.water is not None:
        tracks = tuple(_water(s, r, start) for s, r in zip(trip.stages, trip.results, strict=True))
        name = f"fresh water: {_litres(last.water_left_l)} left"
        full = 1e3 * trip.sheet.water.tank
        found.append(Level(name, tracks, full, "water", (0, (1, 1.2))))
    return found


def _water(stage: Stage, result: StopResult, start: datetime) -> Track:
    """Return the fresh water over a stop: an even use, until it is dry."""
    since = stage.run.seconds - stage.run.seconds[0]
    begins = result.water_left_l + result.water_used_l
    wanted = water_wanted(stage.scene.sheet, stage.halt)
    gone = wanted * since[1:] / float(since[-1])
    return _track(stage, start, np.maximum(0.0, begins - gone))


def _says(shown: Stops) -> str:
    """Return the picture in words."""
    levels = "; ".join(level.name for level in shown.levels)
    failing = [name for _, name in (*shown.unfit, *shown.dry)]
    stops = ". ".join(leg.told for leg in shown.legs)
    told = f" Marked: {', '.join(failing)}." if failing else ""
    return f"{stops}. At the end, {levels}.{told}"


def _blocks(trip: Trip, system: System, pictures: dict[str, Picture]) -> tuple[Block, ...]:
    """Return the technical sheet."""
    (heat,) = trip_tables.heat_tables(trip, system, WIDE)
    (bank,) = trip_tables.bank_tables(trip, system, WIDE)
    stops = [common.as_table(table) for table in (heat, bank)]
    whole = common.joined(*stops)
    if len(whole.heads) <= MOST_COLUMNS:
        stops = [common.cut(whole, MOST_JOINED, (len(whole.rows) - 1,))]
    elif len(trip.stages) > MOST_STOPS:
        stops = [common.cut(table, MOST_STOPS, (len(table.rows) - 1,)) for table in stops]
    headings = ("Stop by stop, the drive to each counted with it", "Charge and water")
    found = [
        *(Block(h, table=t, wide=True) for h, t in zip(headings, stops, strict=False)),
        Block("What runs out", facts=tuple(words.left_words(trip, system))),
        common.input_block(trip.sheet, system),
        Block("What it stands on", facts=_grounds(trip, system)),
        common.figure_block(trip.figures),
        common.balance_block(trip.balances),
    ]
    if "van" in pictures:
        at = f"Heat through the van at stop {_hardest(trip).halt.index + 1}"
        found.append(Block(at, picture=pictures["van"]))
    if trip.years:
        years = common.as_table(trip_tables.years_table(trip, system))
        found.insert(
            len(stops), Block("The same trip, year by year", table=common.cut(years, MOST_YEARS))
        )
    return tuple(found)


def _grounds(trip: Trip, system: System) -> tuple[tuple[str, str], ...]:
    """Return places and what was assumed."""
    places = trip_notes.place_lines(trip, system)
    facts = [("place", line) for line in places[:MOST_PLACES]]
    if len(places) > MOST_PLACES:
        facts.append(("places", f"and {len(places) - MOST_PLACES} more: the terminal lists all"))
    facts += [("licence", text) for text in trip_notes.licences(trip)[:MOST_PLACES]]
    return (*facts, *(("note", text) for text in trip_notes.notes(trip)))
