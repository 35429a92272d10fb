"""Rules of a sheet against the rest of it: what they name, and whether they can ever be true.

What does not belong here: how a sentence is read (``van.rule_text``).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np

from vanclimate.errors import near
from vanclimate.simulate.air import home_at
from vanclimate.simulate.rules import Facts, Mask, holds, least_ac_power
from vanclimate.simulate.times import at_times, within
from vanclimate.units import show
from vanclimate.van.fields import DAY, fold, write_periods
from vanclimate.van.rules import (
    AC,
    THINGS,
    Condition,
    HeatOrder,
    Meaning,
    Restriction,
    Setpoint,
    conditions_of,
    thing_index,
)
from vanclimate.van.sheet import Sheet

SECTIONS = {
    AC: "an 'air conditioner:' section",
    "heat pump": "an 'air conditioner:' that says 'heats: yes'",
    "fuel heater": "a 'heater:' section",
    "electric heater": "an 'electric heater:' section",
    "driving": "a 'driving:' section",
    "on shore": "a 'shore:' section",
}


def check_rules(sheet: Sheet) -> None:
    """Refuse a rule for what the sheet does not have, and one that can never be true.

    Raises
    ------
    SheetError
        Naming the rule by its line.
    """
    facts = _a_day(sheet)
    may: dict[str, Mask] = {}
    for i, rule in enumerate(sheet.rules):
        _check_names(sheet, i, rule.meaning)
        for condition in conditions_of(rule.meaning):
            _check_sun(sheet, i, condition)
        if isinstance(rule.meaning, Restriction):
            _check_restriction(sheet, i, rule.meaning, facts, may)
        elif isinstance(rule.meaning, Setpoint):
            _check_setpoint(sheet, i, rule.meaning, facts)
    _check_both_ways(sheet, facts)


def rule_notes(sheet: Sheet) -> Iterator[str]:
    """Yield what the rules say that changes nothing."""
    battery = sheet.battery
    yield from _overridden(sheet)
    for rule in sheet.rules:
        meaning = rule.meaning
        if not isinstance(meaning, Restriction):
            continue
        text = f"rule '{rule.says}'"
        for condition in meaning.needs:
            if condition.kind == "charge" and condition.above <= battery.cut_off:
                cut = show(battery.cut_off, "fraction")
                yield f"{text}: the bank's cut-off, {cut}, comes first"
            if condition.kind in ("driving", "on shore") and not _has(sheet, condition.kind):
                so = "it changes nothing" if condition.is_not else "only what lifts it counts"
                yield f"{text}: {condition.kind} is nowhere in the sheet, so {so}"
        for condition in meaning.unless:
            if condition.kind in ("driving", "on shore") and not _has(sheet, condition.kind):
                yield f"{text}: {condition.kind} is nowhere in the sheet, so nothing lifts it"


def _overridden(sheet: Sheet) -> Iterator[str]:
    """Yield the rules of which nothing is left beside a later one for the same."""
    facts, rules = _a_day(sheet), sheet.rules
    for i, rule in enumerate(rules):
        left = _hours(rule.meaning, facts)
        for later in rules[i + 1 :]:
            if left is None or _subject(later.meaning) != _subject(rule.meaning):
                continue
            if _as_wide(later.meaning, rule.meaning):
                left = left & False
            elif (hours := _certain(later.meaning, facts)) is not None:
                left = left & ~hours
            if not left.any():
                yield f"rule '{rule.says}': the later '{later.says}' counts in all its hours"
                break


def _subject(meaning: Meaning) -> tuple[object, ...]:
    """Return what a rule sets, of which the later of two rules holds."""
    if isinstance(meaning, Setpoint):
        return (meaning.mode, meaning.carried)
    return (type(meaning),)


def _hours(meaning: Meaning, facts: Facts) -> Mask | None:
    """Return (minutes,) when a rule may hold that a later one overrides; None of a restriction."""
    if isinstance(meaning, Restriction):
        return None
    return _all(conditions_of(meaning), facts)


def _as_wide(later: Meaning, rule: Meaning) -> bool:
    """Return whether a later rule asks for nothing that an earlier one does not ask for."""
    return set(conditions_of(later)) <= set(conditions_of(rule))


def _certain(meaning: Meaning, facts: Facts) -> Mask | None:
    """Return (minutes,) when a rule holds whatever sun, charge and days of driving or shore."""
    conditions = conditions_of(meaning)
    if any(c.kind in ("sun", "charge", "driving", "on shore") for c in conditions):
        return None
    return _all(conditions, facts)


def _a_day(sheet: Sheet) -> Facts:
    """Return each minute of a day on which the van drives and is plugged in, sun left out."""
    minute = np.arange(float(DAY)) + 0.5
    night = within(minute, sheet.people.bedtime, sheet.people.waking)
    home = home_at(sheet, minute, night)
    driving, shore = np.zeros(DAY, dtype=bool), np.zeros(DAY, dtype=bool)
    if sheet.driving is not None:
        driving = at_times(sheet.driving.hours, minute, night)
    if sheet.shore is not None:
        shore = at_times(sheet.shore.hours, minute, night)
    return Facts(minute, night, home, driving, shore, np.zeros(DAY), 0.0)


def _may(condition: Condition, facts: Facts) -> Mask:
    """Return (minutes,) whether a condition may hold; sun and charge may at any."""
    if condition.kind in ("sun", "charge"):
        return np.ones(DAY, dtype=bool)
    return holds(condition, facts)


def _all(conditions: tuple[Condition, ...], facts: Facts) -> Mask:
    """Return (minutes,) whether all of some conditions may hold."""
    out = np.ones(DAY, dtype=bool)
    for condition in conditions:
        out &= _may(condition, facts)
    return out


def _check_names(sheet: Sheet, i: int, meaning: Meaning) -> None:
    """Refuse a load, a source of heat, driving or shore power that the sheet does not have."""
    if isinstance(meaning, HeatOrder):
        for source in meaning.sources:
            _need(sheet, i, source)
    elif isinstance(meaning, Setpoint):
        if meaning.mode == "cool":
            _need(sheet, i, AC)
        elif not any(_has(sheet, x) for x in ("heat pump", "fuel heater", "electric heater")):
            sheet.refuse(f"rules.{i}", found="nothing that heats", allowed="a 'heater:' section")
    elif thing_index(meaning.thing, [load.name for load in sheet.loads]) is None:
        known = THINGS.get(meaning.thing)
        if known is None:
            _refuse_unknown(sheet, i, meaning.thing)
        else:
            _need(sheet, i, known)
    needed = meaning.needs if isinstance(meaning, Restriction) else conditions_of(meaning)
    lifts = meaning.unless if isinstance(meaning, Restriction) else ()
    for condition in needed:
        if condition.kind in ("driving", "on shore") and not (condition.is_not or lifts):
            _need(sheet, i, condition.kind)


def _need(sheet: Sheet, i: int, what: str) -> None:
    """Refuse a rule for what the sheet does not have."""
    if not _has(sheet, what):
        sheet.refuse(
            f"rules.{i}",
            found=f"{what}, which the sheet does not have",
            allowed=f"{SECTIONS[what]}, or no such rule",
        )


def _has(sheet: Sheet, what: str) -> bool:
    """Return whether the sheet has a thing that a rule may name."""
    unit = sheet.air_conditioner
    there = {
        AC: unit is not None,
        "heat pump": unit is not None and unit.heats,
        "fuel heater": sheet.heater is not None,
        "electric heater": sheet.electric_heater is not None,
        "driving": sheet.driving is not None and bool(sheet.driving.hours),
        "on shore": sheet.plugs_in,
    }
    return there[what]


def _refuse_unknown(sheet: Sheet, i: int, thing: str) -> None:
    names = [load.name for load in sheet.loads]
    several = [name for name in names if f" {thing} " in f" {fold(name)} "]
    if several:
        sheet.refuse(f"rules.{i}", found=thing, allowed=f"one of: {', '.join(several)}")
    listed = ", ".join([*names, "AC", "heater", "electric heater", "heat pump"])
    parts = re.split(r",? and |, ", thing)
    hint = "a rule for each of them" if len(parts) > 1 else near(thing, [*names, *THINGS])
    sheet.refuse(f"rules.{i}", found=thing, allowed=listed, hint=hint)


def _check_sun(sheet: Sheet, i: int, condition: Condition) -> None:
    """Refuse more sun than the panels ever give."""
    most = _panel_power(sheet)
    if condition.kind == "sun" and condition.above >= most:
        sheet.refuse(
            f"rules.{i}",
            found=f"more than {show(condition.above, 'power')} of sun",
            allowed=f"less than the {show(most, 'power')} that the panels of the sheet have",
        )


def _panel_power(sheet: Sheet) -> float:
    """Return the nameplate watts of all panels."""
    ground = sheet.ground_panel
    return sheet.roof_panels.power + (0.0 if ground is None else ground.power)


def _check_restriction(
    sheet: Sheet, i: int, rule: Restriction, facts: Facts, may: dict[str, Mask]
) -> None:
    """Refuse what never lets its thing run, alone or with the rules before it."""
    lifted = np.zeros(DAY, dtype=bool)
    for condition in rule.unless:
        lifted |= _may(condition, facts)
    allowed = _all(rule.needs, facts) | lifted
    load = thing_index(rule.thing, [x.name for x in sheet.loads])
    key = f"load {load}" if load is not None else THINGS[rule.thing]
    if not allowed.any():
        sheet.refuse(
            f"rules.{i}", found=rule.words(sheet.units), allowed="what is so at some time of day"
        )
    if load is not None:
        item = sheet.loads[load]
        allowed &= at_times(item.when or "always", facts.minute, facts.night)
        if not allowed.any():
            on = write_periods(item.when, sheet.units)
            sheet.refuse(
                f"rules.{i}",
                found=rule.words(sheet.units),
                allowed=f"a part of the times of {item.name}, {on}",
            )
    allowed &= may.get(key, np.ones(DAY, dtype=bool))
    if not allowed.any():
        sheet.refuse(
            f"rules.{i}",
            found=rule.words(sheet.units),
            allowed="what is so at some time of day together with the rules before it",
        )
    may[key] = allowed


def _check_setpoint(sheet: Sheet, i: int, rule: Setpoint, facts: Facts) -> None:
    """Refuse a temperature that is never held."""
    if not _all(rule.during, facts).any():
        sheet.refuse(
            f"rules.{i}", found=rule.words(sheet.units), allowed="what is so at some time of day"
        )
    least, most = least_ac_power(sheet), _panel_power(sheet)
    if rule.carried and most < least:
        sheet.refuse(
            f"rules.{i}",
            found=f"panels of {show(most, 'power')} that carry {show(least, 'power')}",
            allowed=f"panels of at least the {show(least, 'power')} that the air conditioner takes",
        )


def _check_both_ways(sheet: Sheet, facts: Facts) -> None:
    """Refuse heating to more than what is cooled to in the same hour."""
    held = [(i, r.meaning) for i, r in enumerate(sheet.rules) if isinstance(r.meaning, Setpoint)]
    for i, heat in held:
        for _, cool in held:
            if (heat.mode, cool.mode) != ("heat", "cool") or heat.temp < cool.temp:
                continue
            if (_all(heat.during, facts) & _all(cool.during, facts)).any():
                sheet.refuse(
                    f"rules.{i}",
                    found=f"{heat.words(sheet.units)}, and {cool.words(sheet.units)}",
                    allowed="heating to less than what is cooled to at the same time",
                )
