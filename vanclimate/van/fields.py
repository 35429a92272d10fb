"""What a field of the sheet may hold: how its text is read, its limits, its default and why.

Everything known about a field stands in its `Spec`: reader, message, guesses, echo and schema use
it. What does not belong here: any particular field.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Self

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, field_validator, model_validator
from pydantic_core import PydanticCustomError

from vanclimate.errors import UnitError, near, shorten
from vanclimate.units import System, allowed_units, parse, parse_clock, show, show_clock, system_of

DAY = 1440  # minutes

Period = tuple[int, int]  # minutes after midnight, from and until; until <= from is the next day


@dataclass(frozen=True)
class Spec:
    """One field: reader, writer, limits, and the standing of its default."""

    read: Callable[[str], Any]
    write: Callable[[Any, System], str]
    check: Callable[[Any, str], None] = lambda value, text: None
    why: str = ""  # source or 'assumed: …' of the default; empty: the default is no guess
    low: Any = None  # range that the default may lie in, SI
    high: Any = None
    settle: str | None = None  # the one measurement that would settle it
    default_of: Callable[[Any], Any] | None = None  # default worked out from the other fields
    spread: tuple[float, float] | None = None  # range of such a default, as factors
    what: str = ""  # what a key of sections holds, in words
    section: bool = False  # holds sections; only a word is read here
    kind: str | None = None  # kind of quantity, a key of units.KINDS
    bounds: tuple[float, float] | None = None  # of a quantity, SI
    joins: bool = False  # a list of texts is read as one, with commas
    applies: Callable[[Any], bool] | None = None  # whether the section it stands in uses it
    words: tuple[tuple[str, Any], ...] = ()  # words that stand for values, all spellings
    open_low: bool = False  # the lower of its bounds is refused
    whole: tuple[int, int] | None = None  # limits of a whole number
    longest: int = 0  # letters of a free text; 0: it is none
    clock: bool = False  # a time of day

    def take(self, value: Any) -> Any:
        """Return the field's value from text, or check a value that is one already."""
        if self.joins and isinstance(value, list) and all(isinstance(v, str) for v in value):
            value = ", ".join(value)
        if isinstance(value, str):
            if not value and not self.section:
                raise UnitError("nothing", "a value after the key")
            text, value = value, self.read(value)
        elif self.section:
            return value
        elif isinstance(value, Mapping | list):
            raise UnitError("a list" if isinstance(value, list) else "a section", "one value")
        else:
            text = self.write(value, "si") if value is not None else ""
        self.check(value, text)
        return value


class Part(BaseModel):
    """A section of the sheet: frozen, no unknown keys, texts read by their `Spec`."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

    @field_validator("*", mode="before")
    @classmethod
    def _read(cls, value: Any, info: ValidationInfo) -> Any:
        spec = specs(cls).get(info.field_name or "")
        if spec is None:
            return value
        try:
            return spec.take(value)
        except UnitError as error:
            raise refused(error.text, error.allowed, error.hint) from None

    @model_validator(mode="after")
    def _fill(self) -> Self:
        """Work out the defaults that depend on other fields."""
        for name, spec in specs(type(self)).items():
            if spec.default_of is not None and name not in self.model_fields_set:
                self.__dict__[name] = spec.default_of(self)
        return self

    def certain(self) -> frozenset[str]:
        """Return the fields whose default is no guess, given what the others say."""
        return frozenset()

    def spec_of(self, name: str) -> Spec | None:
        """Return a field's `Spec`, its reason and range as the other fields stand."""
        return specs(type(self)).get(name)

    def leaves(self, name: str) -> bool:
        """Return whether a field was left out, its default a guess or not."""
        return name not in self.model_fields_set

    def is_guess(self, name: str) -> bool:
        """Return whether a field holds a guess."""
        spec = self.spec_of(name)
        given = name in self.model_fields_set or name in self.certain()
        return spec is not None and bool(spec.why) and not given


def refused(
    found: object, allowed: str | None, hint: str = "", key: str = ""
) -> PydanticCustomError:
    """Return the error that carries found, allowed and hint through pydantic."""
    context = {"found": shorten(found), "allowed": allowed or "", "hint": hint, "key": key}
    return PydanticCustomError("sheet", "found {found}; allowed: {allowed}", context)


def in_use(part: Part, name: str) -> bool:
    """Say whether a section uses one of its fields, as its other fields stand."""
    spec = specs(type(part)).get(name)
    return spec is None or spec.applies is None or spec.applies(part)


@lru_cache(maxsize=64)
def specs(part: type[BaseModel]) -> dict[str, Spec]:
    """Return the `Spec` of each field of a section, in order."""
    found: dict[str, Spec] = {}
    for name, info in part.model_fields.items():
        extra = info.json_schema_extra
        if isinstance(extra, dict) and isinstance(spec := extra.get("spec"), Spec):
            found[name] = spec
    return found


def quantity(
    kind: str,
    low: float,
    high: float,
    default: Any = ...,
    *,
    words: Mapping[str, Any] | None = None,
    hints: Mapping[str, str] | None = None,
    open_low: bool = False,
    **guess: Any,
) -> Any:
    """Declare a quantity in SI between two limits, or one of some words that stand for values.

    Parameters
    ----------
    kind : a key of `units.KINDS`
    low, high : limits [SI unit of the kind]
    default : value [SI] where the key is left out; required where none is given
    words : words that stand for a value
    hints : what to write for words that are often written there and mean nothing
    open_low : the lower limit itself is refused
    guess : why, low (``at_least``), high (``at_most``), settle, default_of, spread of the default,
        and ``applies``, which says whether its section uses it at all
    """
    table = {fold(word): value for word, value in (words or {}).items()}

    def limits(system: System) -> str:
        span = f"{show(low, kind, system)} to {show(high, kind, system)}"
        if open_low:
            span = f"more than {show(low, kind, system)}, up to {show(high, kind, system)}"
        return f"{_first_words(words)}, or {span}" if words else span

    def read(text: str) -> Any:
        if table and (word := fold(text)) in table:
            return table[word]
        try:
            return parse(text, kind)
        except UnitError as error:
            if table and not re.match(r"[-+.\d]", text):
                raise UnitError(text, limits("si"), near(text, table)) from None
            allowed = f"{allowed_units(kind)}; {limits(system_of(text, kind))}"
            raise UnitError(text, allowed, (hints or {}).get(fold(text)) or error.hint) from None

    def check(value: Any, text: str) -> None:
        if value is None and None in table.values():
            return
        below = value <= low if open_low else value < low
        if not math.isfinite(value) or below or value > high:
            hint = ""
            if kind == "fraction" and 1 < value <= 100 and "%" not in text:
                hint = f"did you mean '{text} %'?"
            raise UnitError(text, limits(system_of(text, kind)), hint)

    by_value = {value: word for word, value in (words or {}).items()}

    def write(value: Any, system: System) -> str:
        return by_value[value] if value is None else show(value, kind, system)

    told = _guess(guess, words=tuple((words or {}).items()), open_low=open_low)
    return _field(default, Spec(read, write, check, kind=kind, bounds=(low, high), **told))


def choice(
    words: Sequence[str] | Mapping[str, Any],
    default: Any = ...,
    *,
    hints: Mapping[str, str] | None = None,
    **guess: Any,
) -> Any:
    """Declare one of some words; with a mapping, the word stands for a value.

    ``hints`` says what is meant by words that are often written there and mean nothing.
    """
    values = words if isinstance(words, Mapping) else {word: word for word in words}
    table = {fold(word): value for word, value in values.items()}
    allowed = _first_words(values)

    def read(text: str) -> Any:
        if fold(text) not in table:
            # the words that are shown come first: 'Juli' is nearer to 'Jul' than to 'July'
            hint = (hints or {}).get(fold(text)) or near(text, allowed.split(", "))
            raise UnitError(text, allowed, hint or near(text, values))
        return table[fold(text)]

    def check(value: Any, text: str) -> None:
        if value not in table.values():
            raise UnitError(text, allowed)

    def write(value: Any, system: System) -> str:
        known = next((word for word, held in values.items() if held == value), str(value))
        return "none" if value is None else known

    return _field(default, Spec(read, write, check, **_guess(guess, words=tuple(values.items()))))


def switch(default: Any = ..., **guess: Any) -> Any:
    """Declare a yes or a no."""
    words = {"on": True, "off": False, "yes": True, "no": False, "true": True, "false": False}
    return choice(words, default, **guess)


def whole(low: int, high: int, default: Any = ..., **guess: Any) -> Any:
    """Declare a whole number between two limits."""
    allowed = f"a whole number, {low} to {high}"

    def read(text: str) -> int:
        if not re.fullmatch(r"[-+]?[0-9]{1,9}", text):
            raise UnitError(text, allowed)
        return int(text)

    def check(value: Any, text: str) -> None:
        if not low <= value <= high:
            raise UnitError(text, allowed)

    told = _guess(guess, whole=(low, high))
    return _field(default, Spec(read, lambda v, s: str(v), check, **told))


def words_of(default: Any = ..., *, longest: int = 400, **guess: Any) -> Any:
    """Declare free text."""

    def check(value: Any, text: str) -> None:
        if not value or len(value) > longest:
            raise UnitError(text or "nothing", f"1 to {longest} letters")

    told = _guess(guess, longest=longest)
    return _field(default, Spec(lambda text: text, lambda v, s: str(v), check, **told))


def own_kind() -> Any:
    """Declare the name of a row of the user's own library, whose values stand where none are given.

    Whether there is such a row is seen where it is put in (own_rows.py).
    """
    return words_of(None, longest=60, applies=lambda part: part.kind is not None)


def clock(default: Any = ..., *, words: Mapping[str, Any] | None = None, **guess: Any) -> Any:
    """Declare a time of day [minutes after midnight]."""
    table = dict(words or {})

    def read(text: str) -> Any:
        return table[fold(text)] if fold(text) in table else parse_clock(text)

    def check(value: Any, text: str) -> None:
        if value is not None and not 0 <= value < 1440:
            raise UnitError(text, "a time of day, 0 to 1439 minutes after midnight")

    def write(value: Any, system: System) -> str:
        return next((w for w, v in table.items() if v == value), None) or show_clock(value)

    told = _guess(guess, words=tuple(table.items()), clock=True)
    return _field(default, Spec(read, write, check, **told))


def custom(
    read: Callable[[str], Any],
    write: Callable[[Any, System], str],
    default: Any = ...,
    **guess: Any,
) -> Any:
    """Declare a field with a reader and a writer of its own."""
    return _field(default, Spec(read, write, **_guess(guess)))


def section(
    default: Any = ...,
    *,
    none: Any = ...,
    what: str,
    reads: Callable[[str], Any] | None = None,
    **guess: Any,
) -> Any:
    """Declare a field that holds a section or a list of them.

    Parameters
    ----------
    default : a value, or a function that makes one
    none : what the word 'none' stands for; it is refused where nothing is given
    what : what the key holds, in words
    reads : reader of a text in place of the section
    guess : as in `quantity`
    """
    may = what if none is ... else f"{what}, or none"

    def read(text: str) -> Any:
        if none is not ... and fold(text) == "none":
            return none() if callable(none) else none
        raise UnitError(text or "nothing", may)

    spec = Spec(reads or read, lambda v, s: _count(v), section=True, what=may, **_guess(guess))
    if callable(default):
        return Field(default_factory=default, json_schema_extra={"spec": spec})  # type: ignore[dict-item]
    return _field(default, spec)


def read_period(text: str) -> Period:
    """Read '18:00 to 09:00'; until <= from means the next day, equal times are refused.

    >>> read_period("18:00 to 09:00")
    (1080, 540)
    """
    parts = re.split(r"\s+(?:to|until|till)\s+|\s*[-–]\s*", text.strip())
    if len(parts) != 2:
        raise UnitError(text, "two times of day such as 18:00 to 09:00")
    start, end = parse_clock(parts[0]), parse_clock(parts[1])
    if start == end:
        raise UnitError(text, "two times of day that differ; all day: leave the key out")
    return start, end


def read_periods(text: str) -> tuple[Period, ...]:
    """Read '18:30 to 19:00, 7:00 to 7:20'; 'always' is no period at all.

    >>> read_periods("18:30 to 19:00, 7 am to 7:20")
    ((1110, 1140), (420, 440))
    """
    if fold(text) in ("always", "all day"):
        return ()
    return tuple(read_period(part) for part in text.split(","))


def write_period(period: Period, system: System = "si") -> str:
    """Write a period as it is read."""
    return f"{show_clock(period[0])} to {show_clock(period[1])}"


def write_periods(periods: Sequence[Period], system: System = "si") -> str:
    """Write periods as they are read."""
    return ", ".join(write_period(p) for p in periods) or "always"


def _first_words(words: Mapping[str, Any]) -> str:
    """Name each value once, by its first word; other spellings are read too."""
    first: dict[Any, str] = {}
    for word, value in words.items():
        first.setdefault(value, word)
    return ", ".join(first.values())


def fold(text: str) -> str:
    """Return a word or a name without case, hyphens and spaces to spare."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


def _count(value: Any) -> str:
    if value is None or value == ():
        return "none"
    if isinstance(value, tuple):
        return ", ".join(str(getattr(item, "name", getattr(item, "label", item))) for item in value)
    return str(getattr(value, "label", "as listed"))


def _guess(guess: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    """Turn the words of a declaration into the fields of a `Spec`."""
    own = {"at_least": "low", "at_most": "high"}
    return {own.get(key, key): value for key, value in guess.items()} | more


def _field(default: Any, spec: Spec) -> Any:
    if spec.default_of is not None and default is ...:
        default = None  # filled in by Part._fill
    return Field(default, json_schema_extra={"spec": spec})  # type: ignore[dict-item]
