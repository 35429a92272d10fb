"""Insulation stacks on two sheets: bars, best first, and what each stack is."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from vanclimate.answers.damp import Dampness
from vanclimate.answers.stacks.nights import in_fuel
from vanclimate.answers.stops import listed
from vanclimate.page import common, ink
from vanclimate.page.bars import HATCHED, PALE, SOLID, Bar, Bars, cut, draw_bars
from vanclimate.page.drawings.section import damp_section
from vanclimate.page.parts import Assumption, Block, Page, Picture
from vanclimate.report import place_words, stacks_tables
from vanclimate.report import stacks_words as words
from vanclimate.report.numbers import difference, fixed, percent
from vanclimate.units import show
from vanclimate.van.ribs import no_ribs_given
from vanclimate.van.tried import COVERED
from vanclimate.van.unknowns import UNKNOWNS

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.stacks.answer import Row, Stacks
    from vanclimate.units import System

MOST_BARS = 12
MOST_ROWS = 12  # of a table: what the largest lists leave room for
NAMED = 250.0  # px of a stack's name in it, one line on paper
MOST_LAYERS = 12
SIZE = re.compile(r"([\d.]+) mm$")  # at the end of a layer's label
WIDE = 200  # columns of a table that is never narrow
OF = {"ac_wh": "AC", "felt_c": "warmest felt", "fuel_l": "fuel", "heat_wh": "heat"}


def pictures(answer: Stacks) -> dict[str, Picture]:
    """Draw the ranking, and sections of the best stack and the own where most water lies."""
    shown = _bars(answer)
    told = "; ".join(f"{bar.name}: {bar.told}" for bar in shown.rows)
    says = f"{shown.heading}, the best first. {told}. {shown.more}"
    found = {"ranking": common.picture("ranking", says, lambda width: draw_bars(shown, width))}
    vans = [("best", answer.best, answer.best_shell)]
    if not answer.best.own:
        vans.append(("own", answer.own, answer.night.scene.model.shell))
    for name, row, shell in vans:
        drawn = damp_section(Dampness(row.figures.damp, 0, answer.climate), shell)
        if drawn is not None:
            found[name] = common.drawn(f"section-{name}", drawn)
    return found


def draw(answer: Stacks, width: float) -> Figure:
    """Draw the ranking."""
    return draw_bars(_bars(answer), width)


def page(answer: Stacks, system: System, pictures: dict[str, Picture]) -> Page:
    """Build the page in one unit system."""
    sheet, weather = answer.sheet, answer.night.scene.place.weather
    says = [words.gain_words(answer, system), *words.damp_words(answer, system)]
    return Page(
        question=_question(answer),
        answer="",
        verdict=words.verdict(answer, system),
        says=tuple(text for text in says if text),
        picture=pictures["ranking"],
        assumptions=common.assumptions((), False, system, _assumptions(answer)),
        changes_title="What the best one changes" if not answer.best.own else "What would help",
        changes=_changes(answer, system),
        cautions=answer.cautions,
        place=common.places([place_words.weather_line(weather, system)], [weather.licence]),
        van=common.van_line(sheet),
        prepared=common.prepared(sheet),
        blocks=_blocks(answer, system, pictures),
    )


def _question(answer: Stacks) -> str:
    """Return what the client asks."""
    where = common.where(answer.night.scene.place.weather)
    return f"Which insulation suits this van best in {where}?"


def _bars(answer: Stacks) -> Bars:
    """Return the ranking as bars, with what each takes on the other night beside them."""
    measure = answer.measure
    other = answer.cold if answer.night is answer.hot else answer.hot
    key = "" if other is None else _other_measure(answer)
    rows = [
        Bar(
            f"{row.rank}  {row.name}", row.of(measure), _told(row, measure),
            SOLID if row.rank == 1 else HATCHED if row.own else PALE, bold=row.own,
            beside=_amount(row, key) if key else "",
        )
        for row in answer.rows
    ]  # fmt: skip
    kept, more = cut(rows, MOST_BARS, "stacks")
    heading = f"{OF[measure]} on {words.night_words(answer.night)}"
    beside = f"{OF[key]}, {'cold' if other.cold else 'hot'} night" if other is not None else ""
    return Bars(heading, kept, beside, dots=measure == "felt_c", more=more)


def _other_measure(answer: Stacks) -> str:
    """Return what is told of the night that does not rank."""
    if answer.night is answer.hot:
        return "fuel_l" if in_fuel(answer.sheet) else "heat_wh"
    return "ac_wh" if answer.sheet.air_conditioner is not None else "felt_c"


def _amount(row: Row, measure: str) -> str:
    """Write what a stack takes in both unit systems; watt-hours are of both."""
    us, si = (words.amount(row.of(measure), measure, system) for system in ("us", "si"))
    return us if us == si else f"{us} · {si}"


def _told(row: Row, measure: str) -> str:
    text = _amount(row, measure)
    if measure == "felt_c" or row.short_k(measure) <= words.LEAST_TOLD:
        return text
    return f"{text}, {'too warm' if measure == 'ac_wh' else 'too cold'}"


def _assumptions(answer: Stacks) -> list[Assumption]:
    """Return what the ranking rests on, the heaviest first."""
    sheet, weather = answer.sheet, answer.night.scene.place.weather
    settles = {unknown.name: unknown.settle for unknown in UNKNOWNS}
    found = []
    if no_ribs_given(sheet.body):
        found.append(Assumption(
            "the metal ribs", f"a guess, {percent(sheet.body.rib_share)} of roof and walls; heat "
            "goes through them past any insulation", "measure one rib: depth, width and spacing",
        ))  # fmt: skip
    factor = sheet.body.installed_conductivity
    fit = "as its makers measure it; gaps and age let more heat through"
    if factor != 1.0:
        fit = f"lets {fixed(factor, 2)} times the heat through that its makers say"
    found.append(Assumption("insulation as fitted", fit, settles["insulation as fitted"]))
    found.append(common.weather_assumption(answer.night.year is not None, weather.synthetic))
    return found + common.heading_assumption(sheet)


def _changes(answer: Stacks, system: System) -> tuple[str, ...]:
    """Return what the best stack is made of, what it takes, and where the next inch goes."""
    best, own = answer.best, answer.own
    said = []
    if not best.own:
        said += [f"Its layers between skin and lining: {_layers(best, system)}.",
                 f"Yours: {_layers(own, system)}.", _costs(answer, system)]  # fmt: skip
    elif len(answer.rows) > 1:
        said.append("No other stack tried here does better: yours stays.")
    covered = next((row for row in answer.rows if row.name == COVERED), None)
    if covered is not None and covered is not best and not best.own:
        said.append(f"Your own layers with the ribs covered: {_told(covered, answer.measure)}.")
    said.append(words.inch_words(answer, system))
    if best.idle:
        said.append(f"In the best one {', '.join(best.idle)} earns nothing without an air gap.")
    return tuple(said)


def _layers(row: Row, system: System) -> str:
    """Write a stack's layers in the reader's units; sides that are alike once."""

    def sized(label: str) -> str:
        return SIZE.sub(lambda m: show(1e-3 * float(m[1]), "length", system, 2), label)

    at: dict[str, list[str]] = {}
    for side, layers in row.layers.items():
        at.setdefault(", ".join(map(sized, layers)) or "nothing", []).append(side)
    if len(at) == 1:
        return next(iter(at))
    return "; ".join(f"{' and '.join(sides)} {layers}" for layers, sides in at.items())


def _costs(answer: Stacks, system: System) -> str:
    """Say what the best stack takes of room, mass and money against the own."""
    best, own = answer.best.figures, answer.own.figures
    parts = [
        _more(best.thickness_m - own.thickness_m, "length", 1e-3, system, "deeper", "thinner"),
        _more(best.lost_m3 - own.lost_m3, "volume", 5e-3, system, "of room lost", "of room won"),
        _more(best.mass_kg - own.mass_kg, "mass", 1.0, system, "heavier", "lighter"),
    ]
    told = [text for text in parts if text]
    text = f"Against yours it is {', '.join(told)}" if told else "It is as deep and heavy as yours"
    prices = answer.sheet.prices
    if prices is not None and best.price is not None:
        unit = f" {prices.currency}" if prices.currency else ""
        text += f"; its materials cost {best.price:,.0f}{unit}"
        text += f" (yours {own.price:,.0f})" if own.price is not None else ""
    else:
        lacking = f"no price is given for {listed(best.unpriced)}" if best.unpriced else ""
        text += f"; {lacking or 'no prices are given'}"
    warmer = best.coldest_c - own.coldest_c
    if abs(warmer) >= 0.1:
        way = "warmer" if warmer > 0 else "colder"
        text += f"; its coldest point inside is {difference(abs(warmer), system)} {way}"
    return f"{text}."


def _more(value: float, kind: str, least: float, system: System, more: str, less: str) -> str:
    """Say how much more or less of something there is, '' of next to nothing."""
    if abs(value) < least:
        return ""
    return f"{show(abs(value), kind, system, 2)} {more if value > 0 else less}"


def _blocks(answer: Stacks, system: System, pictures: dict[str, Picture]) -> tuple[Block, ...]:
    """Return the technical sheet."""
    kept = {i for i, row in enumerate(answer.rows) if row.own}
    long = max(len(row.name) for row in answer.rows) > stacks_tables.NAME
    most = MOST_ROWS - 7 * long  # such names may take two lines
    (figures,) = stacks_tables.figures_tables(answer, system, WIDE)
    nights = stacks_tables.nights_table(answer, system, WIDE)
    ranking = common.joined(common.as_table(nights), common.as_table(figures))
    named = tuple((ink.fitted(row[0], NAMED, ink.SMALL), *row[1:]) for row in ranking.rows)
    ranking = replace(ranking, rows=named)
    worth = common.as_table(stacks_tables.worth_table(answer, system))
    inch = common.as_table(stacks_tables.inch_table(answer, system, WIDE))
    notes = [words.ranking_words(answer), *words.other_night_words(answer, system),
             words.figures_note(answer, system), words.price_note(answer),
             f"Tried: {words.tried_words(answer, system)}.".replace("..", "."),
             f"{common.capital(words.ROOM)}."]  # fmt: skip
    inches = f"Where the next {words.inch_word(system)} goes"
    drawn = tuple(pictures[name] for name in ("best", "own") if name in pictures)
    which = "the best, and yours" if len(drawn) == 2 else "the best is yours"
    sections = Block(f"Where most water lies: {which}", pair=drawn, wide=True)
    return (
        Block("The stacks, best first", table=common.cut(ranking, most, kept),
              notes=tuple(common.sentences(notes)), wide=True),
        *([sections] if drawn else []),
        common.input_block(answer.sheet, system),
        Block("What each layer of yours earns, added last",
              table=common.cut(worth, MOST_LAYERS), notes=tuple(words.idle_words(answer)[:3])),
        Block(inches, table=common.cut(inch, MOST_LAYERS)),
        Block("What it stands on", facts=_grounds(answer, system)),
        common.figure_block(answer.figures),
        common.balance_block(answer.balances),
    )  # fmt: skip


def _grounds(answer: Stacks, system: System) -> tuple[tuple[str, str], ...]:
    """Return the nights, and the first stack that stays dry."""
    nights = [night for night in (answer.hot, answer.cold) if night is not None]
    facts = [(f"{'cold' if n.cold else 'hot'} night", words.night_line(n, system)) for n in nights]
    heading = answer.night.scene.place.heading
    facts.append(("nose to", place_words.nose_words(heading, answer.sheet, " on that night")))
    if answer.driest is not None:
        rank = words.ordinal(answer.driest.rank)
        facts.append((f"driest, {rank}", words.water_words(answer.driest, system)))
    return tuple(facts)
