"""The sizes a build needs on two sheets: what is needed against what the sheet has."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.stops import listed
from vanclimate.page import common
from vanclimate.page.bars import HATCHED, SOLID, Bar, Bars, draw_bars
from vanclimate.page.drawings.flows import worst_hour
from vanclimate.page.drawings.van import van
from vanclimate.page.parts import Assumption, Block, Page, Picture
from vanclimate.report import size as rows
from vanclimate.report import size_words as words
from vanclimate.report.place_words import heading_words
from vanclimate.report.size_hand_words import hand_text
from vanclimate.units import show

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.size.answer import Size
    from vanclimate.answers.size.work import Sized
    from vanclimate.units import System

NAMES = {"AC": "air conditioner", "roof": "roof panels"}
BEYOND = 1.15  # of the largest size: how long a bar is where no size is enough
RUNS = ". The runs: "  # between a reckoning by hand and why the runs differ


def pictures(size: Size) -> dict[str, Picture]:
    """Draw the sizes, and the van in the hour that asks most of it."""
    held = size.held
    heat = van(
        held.scene.sheet,
        held.run,
        worst_hour(held.run, held.night, held.scene.sheet, size.main),
    )
    return {
        "sizes": common.picture("sizes", _says(size), lambda width: draw(size, width)),
        "van": common.drawn("van", heat),
    }


def draw(size: Size, width: float) -> Figure:
    """Draw what is needed against what the sheet has, each device in its own scale."""
    found = []
    for one in size.sized:
        need = BEYOND * one.largest if one.size is None else one.size
        own = one.own or 0.0
        most = max(need, own)
        has = words.own_text(one, "si")
        found += [
            Bar(f"{_name(one)}: needed", need / most, words.needed(one, "si"), HATCHED),
            Bar("your sheet's", own / most, has, SOLID, bold=not one.own_enough),
        ]
    heading = "hatched: the smallest that is enough; full: what your sheet has"
    return draw_bars(Bars(heading, tuple(found)), width)


def _name(one: Sized) -> str:
    return NAMES.get(one.name, one.name)


def page(size: Size, system: System, pictures: dict[str, Picture]) -> Page:
    """Build the page in one unit system."""
    says = [f"{common.capital(words.together_line(size))}.", f"{words.asked_line(size)}."]
    says += [f"{words.missing_line(size)}."] if size.missing else []
    return Page(
        question=_question(size),
        answer="",
        verdict=words.verdict(size, system),
        says=tuple(says),
        picture=pictures["sizes"],
        assumptions=tuple(_assumptions(size, system)[: common.MOST]),
        changes_title="What to change in the build",
        changes=_changes(size, system),
        cautions=size.cautions,
        place=common.place(size, system),
        van=common.van_line(size.sheet),
        prepared=common.prepared(size.sheet),
        blocks=_blocks(size, system, pictures),
    )


def _question(size: Size) -> str:
    """Return what the client asks."""
    what = listed([_name(one) for one in size.sized])
    where = common.where(size.weather)
    return f"Which {what} does this van need in {where}?"


def _changes(size: Size, system: System) -> tuple[str, ...]:
    """Return what is too small, and what may be smaller."""
    lines = []
    for one in size.sized:
        need = words.needed(one, system)
        if not one.own_enough:
            own = "none" if one.own is None else words.own_text(one, system)
            lines.append(f"{common.capital(_name(one))}: {need}; your sheet has {own}.")
    larger = [one for one in size.sized
              if one.own is not None and one.size is not None and one.own > one.size]  # fmt: skip
    lines += [
        f"{common.capital(_name(one))}: your sheet's is larger than what was asked needs; "
        f"{words.needed(one, system)} would do."
        for one in larger
    ]
    return tuple(lines) or ("Nothing: your sheet has enough of each, and no more.",)


def _says(size: Size) -> str:
    """Return the picture in words."""
    told = [f"{_name(one)}: needed {words.needed(one, 'si')}, your sheet's "
            f"{words.own_text(one, 'si')}" for one in size.sized]  # fmt: skip
    return f"{'; '.join(told)}."


def _assumptions(size: Size, system: System) -> list[Assumption]:
    sheet = size.sheet
    limit = show(sheet.people.limit, "temperature", system, 3)
    want = f"{words.asked_words(size)}, up to {limit} as felt"
    if any(one.name == "heater" for one in size.sized):
        want += f", down to {show(sheet.people.least, 'temperature', system, 3)}"
    found = [
        Assumption("what is enough", want, "ask the client"),
        common.weather_assumption(bool(size.season.years), size.weather.synthetic),
        Assumption("what the sheet leaves out", f"{len(sheet.guessed)} values are guessed; what "
                   "nobody has measured is drawn anew in each van that was tried",
                   "vanclimate check lists them"),
    ]  # fmt: skip
    return found


def _blocks(size: Size, system: System, pictures: dict[str, Picture]) -> tuple[Block, ...]:
    hours = [(one.name, words.hour_text(size, one, system)) for one in size.sized]
    hand: list[tuple[str, str]] = []
    for one in size.sized:
        reckoned, _, why = hand_text(one, system).partition(RUNS)
        hand += [(one.name, f"{reckoned}."), ("the runs", why)]
    return (
        common.input_block(size.sheet, system, [("nose to", heading_words(size)),
                                                ("seed", str(size.seed))]),
        Block("The smallest that is enough", notes=(rows.LADDER,),
              table=common.as_table(rows.sizes_table(size, system))),
        common.figure_block(size.figures),
        Block("The van in the hour that asks most of it", picture=pictures["van"]),
        Block("The hour that sets each", facts=tuple(hours)),
        Block("By hand, and why it differs", facts=tuple(hand)),
        Block("What each is asked to do", facts=tuple(words.meaning_rows(size, system))),
        common.balance_block(size.balances),
    )  # fmt: skip
