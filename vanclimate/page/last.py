"""Whether a van lasts on two sheets: its futures as dots over the hardest stay's course."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.page import common, dots, hours, ink
from vanclimate.page.drawings.flows import worst_hour
from vanclimate.page.drawings.van import van
from vanclimate.page.parts import Assumption, Block, Page, Picture, Table
from vanclimate.report import last_words as words
from vanclimate.report.numbers import fixed, percent
from vanclimate.report.odds_words import mover_lines
from vanclimate.report.place_words import heading_words
from vanclimate.report.remedy_words import together_words

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.last import Last
    from vanclimate.units import System

ENDS = {"charge": "charge runs out", "fuel": "fuel runs out", "heat": "too warm to sleep",
        "cold": "too cold to sleep", "mould": "damp enough for mould"}  # fmt: skip
NOTHING = "No change tried is enough, nor the two together that turn most stays."
BY_FELT = ("heat", "cold")  # what a stay fails on that temperatures show, not the bank
FEW = 4  # changes told on the first sheet
MOST = 9  # rows of the table of changes
AXIS = "to spare, in % of the bank, the tank or 18 F° (10 K)"  # of what runs out first


def pictures(last: Last) -> dict[str, Picture]:
    """Draw the futures over the hardest stay, that stay whole, and the van in its worst hour."""
    run = last.hardest.run
    course = hours.course_of(run, last.sheet, last.main, last.part)
    whole = hours.draw_hours(_hours(last, course, whole=True), common.NARROW)
    short, told = _hours(last, course, whole=False), _says_whole(course)
    hour = worst_hour(run, last.part, last.sheet, last.main)
    return {
        "stay": common.picture("stay", _says(last, told), lambda width: _drawn(last, short, width)),
        "whole": common.small("whole", told, whole),
        "van": common.drawn("van", van(last.sheet, run, hour)),
    }


def page(last: Last, system: System, pictures: dict[str, Picture]) -> Page:
    """Build the page in one unit system."""
    title, changes = _changes(last, system)
    says = [words.asked_line(last)]
    if not last.lasts:
        rows = words.cause_rows(last)
        says.append(f"What fails: {'; '.join(f'{kind} {text}' for kind, text in rows)}.")
    return Page(
        question=_question(last),
        answer="yes" if last.lasts else "no",
        verdict=words.verdict(last, system),
        says=tuple(says),
        picture=pictures["stay"],
        assumptions=common.assumptions(last.movers, False, system, _others(last)),
        changes_title=title,
        changes=changes,
        cautions=last.cautions,
        place=common.place(last, system),
        van=common.van_line(last.sheet),
        prepared=common.prepared(last.sheet),
        blocks=_blocks(last, system, pictures),
    )


def _question(last: Last) -> str:
    """Return what the client asks."""
    days = f"{last.days} day{'s' * (last.days > 1)}"
    how = "on shore power as planned" if last.on_shore else "without shore power"
    if last.weather.synthetic:
        return f"Will the van last {days} {how} in made-up weather?"
    when = f"{'over' if last.sheet.stay else 'in'} {last.season.words}"
    return f"Will the van last {days} {how} {when} in {last.weather.name}?"


def draw(last: Last, width: float) -> Figure:
    """Draw the futures as dots, below them what the hardest stay fails on."""
    course = hours.course_of(last.hardest.run, last.sheet, last.main, last.part)
    return _drawn(last, _hours(last, course, whole=False), width)


def _drawn(last: Last, shown: hours.Hours, width: float) -> Figure:
    total = dots.tall() + HEAD + hours.tall(shown)
    figure = ink.figure(width, total, layout=None)
    dots.put_dots(figure, _dots(last), width, total)
    stay = last.hardest
    text = f"the hardest stay, as the sheet has the van, from {stay.begins:%b} {stay.begins.day}"
    figure.text(0.0, 1.0 - (dots.tall() + 13.0) / total, ink.fitted(text, width, ink.SMALL),
                va="center", fontsize=ink.SMALL)  # fmt: skip
    hours.put_hours(figure, shown, width, dots.tall() + HEAD, total)
    return figure


HEAD = 30.0  # px of the line between both parts


def _dots(last: Last) -> dots.Dots:
    of = last.odds.of
    return dots.Dots(
        last.futures["margin"],
        last.odds.share,
        f"{of:,} stays tried, shown as {dots.COUNT} dots" if of > dots.COUNT
        else f"{of} stays tried",
        "fail",
        "last",
        AXIS,
    )  # fmt: skip


def _hours(last: Last, course: hours.Course, whole: bool) -> hours.Hours:
    """Return the hardest stay's course: whole, or only what shows why it fails."""
    sheet, stay = last.sheet, last.hardest
    felt = stay.failed in BY_FELT
    limits = [("limit", sheet.people.limit)]
    if sheet.heats:
        limits.append(("least", sheet.people.least))
    gear = stay.run.gear
    devices = [hours.Device("air conditioner", "ac_on_share"),
               hours.Device("fuel heater", "heater_on_share")]  # fmt: skip
    marks = () if stay.failed_at is None else ((ENDS[stay.failed], stay.failed_at),)
    return hours.Hours(
        course,
        tuple(limits),
        tuple(d for d in devices if course.columns[d.column].any()),
        gear.cells.capacity if whole or not felt else None,
        gear.kept,
        marks,
        warm=176.0 if whole else 130.0 if felt else 0.0,
    )


def _says(last: Last, stay: str) -> str:
    """Return the picture in words, those of the hardest stay last."""
    held = f"{last.odds.held:,} of {last.odds.of:,} stays tried last"
    low, high = percent(last.margin_low), percent(last.margin_high)
    return f"{held}; the margins reach from {low} to {high} (80 % range). {stay}"


def _says_whole(course: hours.Course) -> str:
    """Return the second sheet's picture in words."""
    felt, out = course.columns["operative_temp_c"], course.columns["outdoor_temp_c"]
    return (
        f"The hardest stay, {fixed(course.edges[-1])} h: felt inside "
        f"{common.degrees(felt.min())} to {common.degrees(felt.max())}, outdoor air "
        f"{common.degrees(out.min())} to {common.degrees(out.max())}."
    )


def _others(last: Last) -> list[Assumption]:
    """Return what it rests on besides what was drawn."""
    return [
        Assumption("a stay", words.arrives_line(last), ""),
        common.weather_assumption(bool(last.season.years), last.weather.synthetic),
        *common.heading_assumption(last.sheet),
    ]


def _changes(last: Last, system: System) -> tuple[str, tuple[str, ...]]:
    """Return what would make it last, or how near a yes is."""
    margin = f"Margin: {words.margin_line(last, system)}."
    if last.lasts:
        return "How near it is", (
            margin, f"The hardest stay {words.hardest_line(last, system)}.",
        )  # fmt: skip
    search = last.search
    if search is None:
        return "What would make it last", ("No change was looked for.", margin)
    lines = [
        common.capital(f"{together_words(x.done, system)}: then {words.then_words(x.odds)} do.")
        for x in search.enough[:FEW]
    ]
    if not search.enough:
        lines.append(NOTHING)
    lines += [f"{common.capital(words.short_words(x, system))}." for x in search.short[: FEW - 1]]
    left = len(search.enough[FEW:]) + len(search.short[FEW - 1 :])
    if left:
        lines.append(f"And {left} more on sheet 2.")
    return "What would make it last", tuple(lines)


def _blocks(last: Last, system: System, pictures: dict[str, Picture]) -> tuple[Block, ...]:
    stands = [
        ("asked", f"{percent(last.asked)} of {last.days}-day stays"),
        ("first", "; ".join(f"{kind} {text}" for kind, text in words.cause_rows(last))),
        ("margin", words.margin_line(last, system)),
        ("hardest", words.hardest_line(last, system)),
        ("stays", words.arrives_line(last)),
        ("nose to", heading_words(last)),
        ("seed", str(last.seed)),
    ]
    found = [
        common.input_block(last.sheet, system),
        Block("The hardest stay, just as the sheet has the van", picture=pictures["whole"]),
        common.figure_block(last.figures),
        *_tried(last, system),
        Block("What it stands on", facts=tuple((name, text) for name, text in stands if text)),
        *_unknowns(last, system),
        Block("The van in the hardest stay's worst hour", picture=pictures["van"]),
        common.balance_block(last.balances),
    ]
    return tuple(found)


def _tried(last: Last, system: System) -> list[Block]:
    """Return all changes that were tried."""
    search = last.search
    if search is None:
        return []
    notes = tuple(f"{common.capital(words.short_words(short, system))}." for short in search.short)
    if not search.enough:
        return [Block("Changes that were tried", notes=(NOTHING, *notes))]
    rows = [
        (together_words(change.done, system), f"{change.steps}", words.then_words(change.odds),
         f"{change.odds.held:,} of {change.odds.of:,}")
        for change in search.enough
    ]  # fmt: skip
    heads = ("change", "its steps", "then last", "of those tried")
    shown = common.cut(Table(heads, tuple(rows)), MOST)
    return [Block("Changes that were tried", table=shown, notes=notes)]


def _unknowns(last: Last, system: System) -> list[Block]:
    lines = mover_lines(last.movers, False, system)
    facts = tuple((f"{i}", line) for i, line in enumerate(lines, 1))
    return [Block("What nobody has measured yet", facts=facts)] if facts else []
