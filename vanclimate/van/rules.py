"""Rules of a sheet: what may run when, which temperature is held when, and what heats first.

What does not belong here: how a sentence is read (rule_text.py), whether it fits the rest of the
sheet (answers/rule_checks), and what it makes of a night (simulate/rules).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.units import System, show
from vanclimate.van.fields import Part, Period, fold, refused, words_of, write_periods

AC = "air conditioner"
HEAT_SOURCES = ("heat pump", "fuel heater", "electric heater")
AC_WORDS = ("ac", "a/c", "aircon", "air conditioner", "air conditioning")
THINGS = dict.fromkeys(AC_WORDS, AC) | {
    "heat pump": "heat pump", "electric heater": "electric heater", "heater": "fuel heater",
    **{f"{kind} heater": "fuel heater"
       for kind in ("fuel", "diesel", "petrol", "gasoline", "propane", "hydronic")},
}  # fmt: skip
"""What a rule may name beside loads."""
RESUME = 0.02
"""Share of the charge above its floor at which what was shed comes on again; assumed: less than
that, and the voltage's swing at each switching would bring it off at once."""

State = Literal["driving", "on shore", "asleep", "awake", "home", "away"]
STATES: tuple[State, ...] = ("driving", "on shore", "asleep", "awake", "home", "away")


@dataclass(frozen=True)
class Condition:
    """One thing that a rule asks for.

    Parameters
    ----------
    kind : 'charge' (of the bank), 'sun' (what the panels give), 'times', or a state
    above : what charge [share] or sun [W] must exceed
    times : periods of the day
    is_not : it must not be so
    """

    kind: Literal["charge", "sun", "times"] | State
    above: float = 0.0
    times: tuple[Period, ...] = ()
    is_not: bool = False

    def words(self, system: System) -> str:
        """Return the condition as a reader says it."""
        if self.kind == "charge":
            return f"above {show(self.above, 'fraction', system)} of the charge"
        if self.kind == "sun":
            text = f"when the sun gives more than {show(self.above, 'power', system)}"
        elif self.kind == "times":
            text = f"from {write_periods(self.times, system)}"
        else:
            text = self.kind if self.kind == "on shore" else f"while {self.kind}"
        return f"not {text}" if self.is_not else text


@dataclass(frozen=True)
class Restriction:
    """Something runs only where all of ``needs`` hold, or any of ``unless``."""

    thing: str  # a load by its name, or one of `THINGS`
    needs: tuple[Condition, ...]
    unless: tuple[Condition, ...] = ()

    def words(self, system: System) -> str:
        """Return the rule as it was understood."""
        thing = THINGS.get(self.thing, self.thing)
        if all(c.is_not for c in self.needs):
            met = (replace(c, is_not=False).words(system) for c in self.needs)
            text = f"{thing} off {' or '.join(met)}"
        else:
            text = f"{thing} only {' and '.join(c.words(system) for c in self.needs)}"
        others = " or ".join(c.words(system) for c in self.unless)
        return f"{text} unless {others}" if others else text


@dataclass(frozen=True)
class Setpoint:
    """A temperature is held where all of ``during`` hold, by cooling or by heating."""

    mode: Literal["cool", "heat"]
    temp: float  # °C
    during: tuple[Condition, ...]
    carried: bool = False  # only while the panels give what the unit takes

    def words(self, system: System) -> str:
        """Return the rule as it was understood."""
        text = f"{self.mode} to {show(self.temp, 'temperature', system)} "
        text += " and ".join(c.words(system) for c in self.during)
        return f"{text.rstrip()}{', while the panels carry it' if self.carried else ''}"


@dataclass(frozen=True)
class HeatOrder:
    """What heats first, of `HEAT_SOURCES`."""

    sources: tuple[str, ...]

    def words(self, system: System) -> str:
        """Return the rule as it was understood."""
        return f"heat with the {', then the '.join(self.sources)}"


Meaning = Restriction | Setpoint | HeatOrder


class Rule(Part):
    """One sentence of the section `rules`."""

    says: str = words_of(longest=200)

    @model_validator(mode="before")
    @classmethod
    def _sentence(cls, value: Any) -> Any:
        return {"says": value} if isinstance(value, str) else value

    @model_validator(mode="after")
    def _understood(self) -> Rule:
        try:
            _ = self.meaning
        except UnitError as error:
            raise refused(error.text, error.allowed, error.hint) from None
        return self

    @property
    def meaning(self) -> Meaning:
        """What the sentence says."""
        from vanclimate.van.rule_text import read_rule

        return read_rule(self.says)


def thing_index(thing: str, names: Sequence[str]) -> int | None:
    """Return which load a rule means: the one of that name, or the only one whose name has it.

    'heater' is the heater, and no water heater.

    >>> thing_index("induction", ["fridge", "Induction cooking"])
    1
    """
    known = [fold(name) for name in names]
    if fold(thing) in known:
        return known.index(fold(thing))
    if fold(thing) in THINGS:
        return None
    within = [i for i, name in enumerate(known) if f" {fold(thing)} " in f" {name} "]
    return within[0] if len(within) == 1 else None


def rule_marks(rules: Iterable[Rule]) -> set[int]:
    """Return the minutes of the day at which a rule begins or ends to bite."""
    marks: set[int] = set()
    for rule in rules:
        for condition in conditions_of(rule.meaning):
            marks |= {mark % 1440 for period in condition.times for mark in period}
    return marks


def conditions_of(meaning: Meaning) -> tuple[Condition, ...]:
    """Return everything that a rule asks for."""
    if isinstance(meaning, Restriction):
        return meaning.needs + meaning.unless
    return meaning.during if isinstance(meaning, Setpoint) else ()
