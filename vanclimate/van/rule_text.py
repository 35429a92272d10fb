"""Reading a rule: one sentence such as 'AC only above 40 % unless asleep'.

What does not belong here: what is read (rules.py), other wordings of the same (rule_words.py), and
whether it fits the rest of the sheet (answers/rule_checks).
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Literal

from vanclimate.errors import UnitError, near
from vanclimate.units import parse
from vanclimate.van.fields import fold, read_periods
from vanclimate.van.rule_words import AC_NAMES, BEGINS, CHARGE, ORDER, SUN, UNDER, plainly, state_of
from vanclimate.van.rules import (
    AC,
    HEAT_SOURCES,
    STATES,
    THINGS,
    Condition,
    HeatOrder,
    Meaning,
    Restriction,
    Setpoint,
)

FORMS = (
    "a rule such as 'AC only above 40 % unless asleep', 'kettle only while driving', "
    "'shed the kettle under 20 %', 'hold 78 F from 9:00 to 17:00', 'heat to 15 C while asleep' or "
    "'heat with the heat pump, then the fuel heater'"
)
_STATES = f"while {', '.join(STATES[:1] + STATES[2:])}, or on shore"
WHENS = f"above 40 %, when the sun gives more than 300 W, from 18:00 to 22:00, {_STATES}"
COOLEST, WARMEST = 10.0, 45.0  # °C that may be held by cooling
COLDEST_HEAT, WARMEST_HEAT = 0.0, 30.0  # °C that may be held by heating

_TEMP = r"([-+−\d.]+(?:\s*°?\s*[CFK]\b)?)\s*(.*)"
_COOL = (
    rf"(?:pre-?)?cool\s+(?:down\s+)?to\s+{_TEMP}",
    rf"hold\s+{_TEMP}",
    rf"(?:the\s+)?(?:{AC_NAMES})\s+at\s+{_TEMP}",
)
_HEAT = (rf"heat\s+(?:to|at)\s+{_TEMP}",)
_CARRIED = re.compile(
    r",?\s+(?:while|as long as)\s+the\s+(?:panels|sun)\s+carr(?:y|ies)\s+it$", re.I
)
_ORDER = re.compile(r"heat\s+(?:first\s+)?(?:with|by)\s+(.+)", re.I)
_ONLY = re.compile(r"(.+?)\s+(only|off|never|not)\s+(.+?)(?:\s+unless\s+(.+))?", re.I)
_BARE = re.compile(rf"(.+?)\s+({BEGINS}.+)", re.I)
_UNCLEAR = (
    (rf"(?:the\s+)?(?:{AC_NAMES})\s+first", "'heat pump first'",
     "whether it goes before the charger says 'air conditioner first' in 'shore:'"),
    (rf"(?:the\s+)?(?:\w+ )?(?:heater|heat pump)\s+(?:at|to)\s+{_TEMP}", r"'heat to \1 \2'",
     "one temperature is held, whatever heats"),
    (r".*\bset\s?-?back\b.*", "'heat to 60 F at night', or 'AC at 80 F at night'",
     "of heating or of cooling?"),
)  # fmt: skip
"""Sentences that could mean two things, and what to say instead."""


@lru_cache(maxsize=256)
def read_rule(text: str) -> Meaning:
    """Read one sentence.

    >>> read_rule("AC only above 40 % unless asleep").words("si")
    'air conditioner only above 40 % of the charge unless while asleep'
    >>> read_rule("hold 78.8 F from 9:00 to 17:00").words("si")
    'cool to 26 °C from 09:00 to 17:00'
    """
    clean = plainly(" ".join(text.split()).rstrip("."))
    if order := _ORDER.fullmatch(clean):
        return _order(order[1])
    for form in _COOL + _HEAT:
        if match := re.fullmatch(form, clean, re.I):
            return _setpoint("cool" if form in _COOL else "heat", match[1], match[2])
    if match := _ONLY.fullmatch(clean):
        return _restriction(match[1], match[2].casefold(), match[3], match[4])
    raise _not_a_rule(text, clean)


def _not_a_rule(text: str, clean: str) -> UnitError:
    """Return the error for a sentence that is none; it says what to write where that is clear."""
    for said, instead, why in _UNCLEAR:
        if match := re.fullmatch(said, clean, re.I):
            return UnitError(text, re.sub(" '$", "'", match.expand(instead)), why)
    first = near(clean.split(" ")[0], ["shed", "heat", "hold", "cool"])
    match = None if first else _BARE.fullmatch(clean)
    meant = [f"{match[1]} {how} {match[2]}" for how in ("only", "off")] if match else []
    if meant := [said for said in meant if _is_rule(said)]:
        allowed = " or ".join(f"'{said}'" for said in meant)
        return UnitError(text, allowed, "a rule switches nothing on")
    return UnitError(text, FORMS, first)


def _is_rule(text: str) -> bool:
    try:
        read_rule(text)
    except UnitError:
        return False
    return True


def _restriction(thing: str, how: str, when: str, unless: str | None) -> Restriction:
    """Read what follows 'only', or after 'off', 'never' and 'not' what must not be."""
    either = re.split(r"\s+or\s+", when, flags=re.I)
    both = re.split(r"\s+and\s+", when, flags=re.I)
    if len(either) > 1 and len(both) > 1:
        raise UnitError(when, "several conditions joined by 'and', or by 'or', not by both")
    if how != "only":
        if len(both) > 1:
            raise UnitError(when, f"one condition after '{how}', or several joined by 'or'")
        needs = tuple(_inverse(_condition(part, shedding=True)) for part in either)
        return Restriction(_bare(thing), needs, _lifts(unless))
    if len(either) > 1:
        # 'A or B' is 'A unless B'; the charge, which the loop looks at, stays what is needed
        met = sorted((_condition(part) for part in either), key=lambda c: c.kind != "charge")
        if sum(c.kind == "charge" for c in met) > 1:
            raise UnitError(when, "one share of the charge")
        return Restriction(_bare(thing), (met[0],), (*met[1:], *_lifts(unless)))
    return Restriction(_bare(thing), tuple(_condition(part) for part in both), _lifts(unless))


def _setpoint(mode: Literal["cool", "heat"], temp: str, when: str) -> Setpoint:
    """Read a temperature and when it is held."""
    value = parse(temp, "temperature")
    low, high = (COOLEST, WARMEST) if mode == "cool" else (COLDEST_HEAT, WARMEST_HEAT)
    if not low <= value <= high:
        raise UnitError(temp, f"{low:g} °C to {high:g} °C")
    carried = _CARRIED.search(f" {when}")
    when = _CARRIED.sub("", f" {when}").strip()
    if carried and mode == "heat":
        raise UnitError(carried[0].strip(), "that of cooling only")
    parts = [part for part in re.split(r"\s+and\s+", when, flags=re.I) if part]
    if not parts and not carried:
        raise UnitError("no time", f"when it is held: from 9:00 to 17:00, or {_STATES}")
    if carried:
        parts = [_till_midnight(part) for part in parts]
    during = tuple(_condition(part) for part in parts)
    if any(c.kind == "charge" for c in during):
        alone = "the charge in a rule of its own, such as 'AC only above 40 %'"
        raise UnitError(when, f"a time, a state or the sun; {alone}")
    return Setpoint(mode, value, during, carried is not None)


def _till_midnight(text: str) -> str:
    """Give a time its end where the panels carry the unit: after dark they carry none."""
    start = re.fullmatch(r"from\s+(\S+(?:\s[ap]m)?)", text, re.I)
    return f"{text} to midnight" if start and fold(start[1]) != "midnight" else text


def _order(text: str) -> HeatOrder:
    """Read what heats first."""
    parts = [p for p in ORDER.split(text) if p]
    sources = []
    for part in parts:
        name = THINGS.get(_bare(part), "")
        source = "heat pump" if name == AC else name
        if not source:
            known = ", ".join(HEAT_SOURCES)
            raise UnitError(part, known, near(fold(part), HEAT_SOURCES))
        if source in sources:
            raise UnitError(f"the {source} twice", "each source once")
        sources.append(source)
    return HeatOrder(tuple(sources))


def _bare(text: str) -> str:
    return re.sub(r"^the ", "", fold(text))


def _lifts(text: str | None) -> tuple[Condition, ...]:
    """Read what follows 'unless'."""
    if text is None:
        return ()
    met = tuple(_condition(part) for part in re.split(r"\s+or\s+", text, flags=re.I))
    if any(c.kind == "charge" for c in met):
        raise UnitError(text, "a time, a state or the sun after 'unless'")
    return met


def _condition(text: str, shedding: bool = False) -> Condition:
    """Read one condition; ``shedding`` says that a charge is one under which a thing is off."""
    if match := re.fullmatch(r"(?:(?:while|when|if)\s+)?not\s+(.+)", text, re.I):
        inner = _condition(match[1])
        if inner.kind == "charge":
            raise UnitError(text, "above a share of the charge, such as above 40 %")
        return _inverse(inner)
    if match := next((m for form in SUN if (m := form.fullmatch(text))), None):
        sun = Condition("sun", above=_sun(match[2]))
        return _inverse(sun) if UNDER.fullmatch(match[1] or "") else sun
    if match := CHARGE.fullmatch(text):
        if (UNDER.fullmatch(match[1]) is not None) != shedding:
            word = "under" if shedding else "above"
            raise UnitError(text, f"{word} a share of the charge, such as {word} 40 %")
        return _charge(match[2])
    if (state := state_of(text)) is not None:
        return state
    bare = re.sub(r"^(?:while|when|if) ", "", fold(text))
    if re.search(r"\d|noon|midnight|midday", bare):
        times = re.sub(r"^(?:from|between|at)\s+", "", text, flags=re.I)
        if not re.search(r"\s(?:to|until|till)\s|[-–]", times):
            raise UnitError(text, "a time with its end, such as from 14:00 to 18:00")
        return Condition("times", times=read_periods(times))
    raise UnitError(text, WHENS, near(bare, STATES))


def _inverse(condition: Condition) -> Condition:
    """Return what must hold where a condition must not; under a charge is not above it."""
    if condition.kind == "charge":
        return condition
    return Condition(condition.kind, condition.above, condition.times, not condition.is_not)


def _charge(text: str) -> Condition:
    """Read a share of the charge that the bank can be above and below."""
    if re.fullmatch(r"\d+(?:\.\d+)?", text) and float(text) >= 1.0:
        raise UnitError(text, "a share such as 40 %, or the sun's watts", "the unit is missing")
    share = parse(text, "fraction")
    if not 0.0 < share < 1.0:
        raise UnitError(text, "more than 0 %, less than 100 %", "the bank is never beyond")
    return Condition("charge", above=share)


def _sun(text: str) -> float:
    """Read the sun's watts."""
    watts = parse(text, "power")
    if watts < 0.0:
        raise UnitError(text, "0 W or more")
    return watts
