"""A night on two sheets: its hours in a picture, and what it was reckoned from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vanclimate.answers.judge import night_rows
from vanclimate.page import common, technical
from vanclimate.page.drawings.ledger import charge_ledger, heat_ledger
from vanclimate.page.drawings.spread import night_spread
from vanclimate.page.hours import Course, Device, Hours, course_of, draw_hours
from vanclimate.page.parts import Assumption, Block, Page, Picture
from vanclimate.report import (
    margin_words,
    odds_words,
    place_words,
    power_words,
    tables,
    words,
)
from vanclimate.report.numbers import day_of, percent
from vanclimate.report.remedy_words import night_change_lines
from vanclimate.units import show

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vanclimate.answers.night import Night
    from vanclimate.units import System


MOST_FAILING = 4  # nights told one by one
FAILS = {"charge": "charge", "heat": "too warm", "cold": "too cold"}


def pictures(night: Night) -> dict[str, Picture]:
    """Draw the night, and for the technical sheet the van, its books and the range."""
    run = night.runs[night.main]
    part = night_rows(run, night.bedtime, night.sheet)
    spread = night_spread(night.result, night.odds, run.gear.cells.capacity)
    heat, charge, shown = heat_ledger(night.heat), charge_ledger(night.charge), _hours(night)
    says = _says(night, shown.course)
    return {
        "hours": common.picture("hours", says, lambda width: draw_hours(shown, width)),
        **technical.drawings(night, run, part, night.main),
        "spread": common.drawn("spread", spread),
        "heat": common.drawn("heat", heat),
        "charge": common.drawn("charge", charge),
    }


def draw(night: Night, width: float) -> Figure:
    """Draw its hours."""
    return draw_hours(_hours(night), width)


def page(night: Night, system: System, pictures: dict[str, Picture]) -> Page:
    """Build the page in one unit system."""
    says = [odds_words.night_odds_line(night, system)]
    if words.heated(night):
        says.insert(0, f"{power_words.heating(night, system)}.")
    says.append(margin_words.margin_meaning(night, system))
    title, changes = _changes(night, system)
    return Page(
        question=_question(night),
        answer="yes" if night.holds else "no",
        verdict=words.verdict(night, system),
        says=tuple(says),
        picture=pictures["hours"],
        assumptions=common.assumptions(
            night.odds.movers, night.odds.by_heat, system, _others(night, system)
        ),
        changes_title=title,
        changes=changes,
        cautions=night.cautions,
        place=common.place(night, system),
        van=common.van_line(night.sheet),
        prepared=common.prepared(night.sheet),
        blocks=_blocks(night, system, pictures),
    )


def _question(night: Night) -> str:
    """Return what the client asks."""
    sheet, which = night.sheet, _which(night)
    cold = words.heated(night) and night.which != "hottest"
    if cold and (night.which == "coldest" or night.main == "heat"):
        return f"Do we stay warm through {which}?"
    if night.main == "ac":
        on = " on the battery" if sheet.shore is None else ""
        if cold and (sheet.heater or sheet.electric_heater):
            return f"Do air conditioner and heating get us through {which}{on}?"
        return f"Does the air conditioner get us through {which}{on}?"
    return f"Can we sleep through {which} with fans alone?"


def _which(night: Night) -> str:
    """Return which night it is, and where."""
    kind = {"hottest": "the hottest night", "coldest": "the coldest night",
            "typical": "a typical night"}.get(night.which)  # fmt: skip
    if night.weather.synthetic:
        return f"{kind or 'a night'} in made-up weather"
    when = f"the stay of {night.season.words}" if night.sheet.stay else night.season.words
    if kind is None:
        kind, when = "the night", day_of(night.bedtime, place_words.no_year(night.weather))
    return f"{kind} of {when} in {night.weather.name}"


def _hours(night: Night) -> Hours:
    sheet, run = night.sheet, night.runs[night.main]
    course = course_of(run, sheet, night.main, night_rows(run, night.bedtime, sheet))
    limits = [("limit", sheet.people.limit)]
    if words.heated(night):
        limits.append(("least", sheet.people.least))
    devices = [Device("air conditioner", "ac_on_share"), Device("fuel heater", "heater_on_share")]
    failure = night.result.failure
    name = FAILS | {"charge": margin_words.must_stay(sheet).split()[0] + " reached"}
    marks = () if failure is None or failure.at < night.bedtime else ((name[failure.kind],
                                                                       failure.at),)  # fmt: skip
    return Hours(
        course,
        tuple(limits),
        tuple(d for d in devices if course.columns[d.column].any()),
        run.gear.cells.capacity,
        run.gear.kept,
        marks,
    )


def _says(night: Night, course: Course) -> str:
    """Return the picture in words."""
    result, columns = night.result, course.columns
    felt, out = columns["operative_temp_c"], columns["outdoor_temp_c"]
    felt_least, felt_most, least, most = map(
        common.degrees, (felt.min(), felt.max(), out.min(), out.max())
    )
    text = (
        f"From bedtime at {night.bedtime:%H:%M} to waking at {night.waking:%H:%M} it feels like "
        f"{felt_least} to {felt_most} inside while the outdoor air is at {least} to {most}. "
        f"The bank wakes with "
        f"{percent(result.charge_at_waking)} of its charge"
    )
    if result.ac_hours:
        text += f"; the air conditioner is on for {result.ac_hours:.1f} h in all"
    if result.heater_hours:
        text += f"; the fuel heater is on for {result.heater_hours:.1f} h in all"
    return f"{text}."


def _others(night: Night, system: System) -> list[Assumption]:
    """Return what the night rests on besides what was drawn, the heaviest first."""
    sheet = night.sheet
    share = sheet.battery.charge_at_bedtime
    found = []
    if share is not None:
        found.append(Assumption(
            "charge at bedtime",
            f"{percent(share)} of the bank, as given; what was drawn before is off it already",
            "read the battery monitor at bedtime for a week",
        ))  # fmt: skip
    found.append(common.weather_assumption(bool(night.season.years), night.weather.synthetic))
    found += common.heading_assumption(sheet)
    found.append(Assumption("the sleepers", f"{sheet.people.sleepers}, well up to "
                            f"{show(sheet.people.limit, 'temperature', system, 3)} as felt",
                            "ask the client"))  # fmt: skip
    return found


def _changes(night: Night, system: System) -> tuple[str, tuple[str, ...]]:
    """Return what would make a night hold, or what to keep in mind of one that does."""
    rows = [power_words.tomorrow(night), power_words.nights_in_a_row(night)]
    held = f"{words.nights_held(night)}{_failing(night)}"
    if night.holds:
        return "The other nights", (
            f"All nights: {held}.", f"The next day: {rows[0]}.", f"In a row: {rows[1]}.",
        )  # fmt: skip
    lines = [] if night.changes is None else night_change_lines(night.changes, system)
    return "What would make it hold", (*lines, f"All nights: {held}.", f"The next day: {rows[0]}.")


def _failing(night: Night) -> str:
    """Return which nights do not hold and why, where they are few."""
    failing = [n for n in night.nights if not n.result.holds]
    if not 0 < len(failing) <= MOST_FAILING:
        return ""
    typical = place_words.no_year(night.weather)
    told = []
    for each in failing:
        failure = each.result.failure
        why = "unfit to sleep" if failure is None else FAILS[failure.kind]
        told.append(f"{day_of(each.bedtime, typical)}, {why}")
    return f". Not so: {'; '.join(told)}"


def _blocks(night: Night, system: System, pictures: dict[str, Picture]) -> tuple[Block, ...]:
    van, *drawn = technical.blocks(pictures)
    return (
        common.input_block(night.sheet, system),
        van,
        Block("Heat, bedtime to waking", picture=pictures["heat"]),
        Block("Charge, bedtime to waking", picture=pictures["charge"]),
        common.figure_block(night.figures),
        *drawn,
        Block("How sure the margin is", picture=pictures["spread"]),
        Block("Ways to spend this night", table=common.as_table(tables.ways_table(night, system)),
              notes=(f"* {words.settled(night)}.",)),
        common.balance_block(night.balances),
    )  # fmt: skip
