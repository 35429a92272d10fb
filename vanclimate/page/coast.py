"""A coast on two sheets: cautions before any figure, then how fast the air changes.

Of whoever cannot leave no time is written, not even here.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import numpy as np

from vanclimate.answers.cautions import ESTIMATE
from vanclimate.answers.coast.answer import BEFORE
from vanclimate.answers.thresholds import HEAT_BANDS
from vanclimate.page import common, technical
from vanclimate.page.after import After, Limit, draw_after
from vanclimate.page.drawings.flows import worst_hour
from vanclimate.page.drawings.van import van
from vanclimate.page.parts import Assumption, Block, Page, Picture
from vanclimate.report import coast as rows
from vanclimate.report import coast_words as words
from vanclimate.report.numbers import temperature
from vanclimate.report.place_words import clock_line, heading_words

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.coast.answer import Coast
    from vanclimate.answers.coast.read import Coasting, Reach
    from vanclimate.units import System

ROUNDED = "Of adults who can leave, 1 in 20 is faster; rounded here, elsewhere rounded down."
MILD = ("caution", "extreme caution")  # bands of the heat index that the picture leaves out


def pictures(coast: Coast) -> dict[str, Picture]:
    """Draw the cut that the first line is about, and the van in the worst hour after it."""
    run = coast.first.run
    begin = (coast.first.moment - run.start).total_seconds()
    ends = (begin - 1e-3, begin + coast.first.held.watch_s - 1e-3)
    watched = slice(*(int(np.searchsorted(run.seconds, x)) for x in ends))
    way = "heat" if coast.leads == "cold" else "closed"
    heat = van(coast.sheet, run, worst_hour(run, watched, coast.sheet, way))
    shown, begins = _after(coast), coast.first.moment - timedelta(seconds=BEFORE)
    caption = f"The curves show {words.case_line(coast, coast.first)}."
    return {
        "after": common.picture("after", _says(coast), lambda w: draw_after(shown, w), caption),
        "van": common.drawn("van", heat),
        "sun": common.drawn("sun", technical.sun(coast, begins)),
    }


def draw(coast: Coast, width: float) -> Figure:
    """Draw a cut's hours, and how soon all cuts reach each limit."""
    return draw_after(_after(coast), width)


def page(coast: Coast, system: System, pictures: dict[str, Picture]) -> Page:
    """Build the page in one unit system."""
    part = coast.first
    title, changes = _beside(coast, system)
    return Page(
        question=_question(coast),
        answer="",
        verdict=words.verdict(coast, system),
        says=(words.how_many(coast, part), words.farthest_line(part, system)),
        picture=pictures["after"],
        assumptions=_assumptions(coast, system),
        changes_title=title,
        changes=changes,
        warnings=tuple(text for text in coast.cautions if text != ESTIMATE),
        cautions=(*_doubts(coast), ESTIMATE),
        place=common.place(coast, system),
        van=common.van_line(coast.sheet),
        prepared=common.prepared(coast.sheet),
        blocks=_blocks(coast, system, pictures),
    )


def _question(coast: Coast) -> str:
    """Return what the client asks."""
    if coast.leads == "cold":
        return "If the heater stops, how fast does it get cold inside?"
    if coast.sheet.air_conditioner is None:
        return "Shut up without an air conditioner, how fast does the van get dangerous?"
    return "If the air conditioner stops, how fast does it get dangerous inside?"


def _doubts(coast: Coast) -> list[str]:
    """Return what the model is known to get wrong, that errs on the unsafe side."""
    if coast.heat is None:
        return []
    return [f"The times are rather too long: {words.MEASURED}."]


def _beside(coast: Coast, system: System) -> tuple[str, tuple[str, ...]]:
    """Return what is said of whoever cannot leave, in the cold of the tank."""
    lines = []
    if coast.heat is not None:
        lines += words.alone_lines(coast.heat)
    if coast.cold is not None:
        lines.append(words.tank_line(coast, system))
    if coast.heat is not None and coast.cold is not None:
        other = "cold" if coast.leads == "heat" else "heat"
        lines.append(f"The same in the {other} is on sheet 2.")
    alone = "Children, animals, whoever cannot leave by themselves"
    return alone if coast.heat is not None else "The water tank", tuple(lines)


def _assumptions(coast: Coast, system: System) -> tuple[Assumption, ...]:
    held = words.how_held(coast, coast.first, system).rstrip(".")
    found = [Assumption("how the van stood", held, "")]
    if coast.leads == "heat":
        found.append(Assumption("the sun", words.sun_line(coast).rstrip("."), ""))
    found.append(common.weather_assumption(bool(coast.season.years), coast.weather.synthetic))
    found += common.heading_assumption(coast.sheet)
    return tuple(found[: common.MOST])


def _after(coast: Coast) -> After:
    """Return what the picture shows."""
    part = coast.first
    heat = part.kind == "heat"
    cools = coast.sheet.air_conditioner is not None
    stops = ("AC stops" if cools else "shut up") if heat else "heater stops"
    dangers = [((f - 32.0) / 1.8, name) for f, name in HEAT_BANDS if name not in MILD]
    return After(
        coast.trace, BEFORE, part.held.watch_s, stops, heat, tuple(dangers if heat else ()),
        tuple(_limit(part, reach) for reach in part.adults if reach.limit.band not in MILD),
    )  # fmt: skip


def _both(temp: float) -> str:
    return f"{temperature(temp, 'us', 0)} · {temperature(temp, 'si', 0)}"


def _limit(part: Coasting, reach: Reach) -> Limit:
    """Return a limit of the picture's rows, its name in both systems of units."""
    limit = reach.limit
    name = words.limit_name(limit, "us").split(":")[0]
    if limit.kind in ("air", "heat index"):
        name = name.replace(temperature(limit.temp_c, "us", 0), _both(limit.temp_c))
    times = reach.early_s, reach.median_s
    told = words.lasts(times[0], part.watched_s), words.lasts(times[1], part.watched_s)
    return Limit(name, *times, told, bold=limit.band.endswith("danger"))


def _says(coast: Coast) -> str:
    """Return the picture in words."""
    part = coast.first
    rows = [_limit(part, x) for x in part.adults if x.limit.band not in MILD]
    told = "; ".join(f"{row.name}: {row.told[0]}, half by {row.told[1]}" for row in rows)
    return (
        f"{coast.caution_first}. One cut's temperatures, hour by hour, and how soon one cut in "
        f"twenty reaches each limit: {told}."
    )


def _blocks(coast: Coast, system: System, pictures: dict[str, Picture]) -> tuple[Block, ...]:
    found = [common.input_block(coast.sheet, system)]
    others = [x for x in (coast.heat, coast.cold) if x is not None and x is not coast.first]
    found += [_times(coast, part, system) for part in (coast.first, *others)]
    books = [book for book in coast.first.balances if book.throughput]
    stands = [
        ("case", words.case_line(coast, coast.first)),
        ("nose to", heading_words(coast)),
        ("clock", clock_line(coast)),
    ]
    return (
        *found,
        replace(common.figure_block(coast.figures), notes=(ROUNDED,)),
        Block("The van in the worst hour after the cut", picture=pictures["van"]),
        Block("The sun over the van on that day", picture=pictures["sun"]),
        Block("What it stands on", facts=tuple(stands)),
        common.balance_block(books),
    )


def _times(coast: Coast, part: Coasting, system: System) -> Block:
    """Return how soon each limit is reached, and how the van was until the cut."""
    name = "In the cold" if part.kind == "cold" else "In the heat"
    text = [words.how_many(coast, part), words.farthest_line(part, system),
            words.how_held(coast, part, system)]  # fmt: skip
    return Block(
        f"{name}: adults who can leave",
        table=common.as_table(rows.times_table(part, system)),
        notes=tuple(text),
    )
