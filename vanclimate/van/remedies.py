"""What a builder would change to make a van last, as a sheet lists it: each with its own step.

Here: the remedies by name and how one is read. What does not belong here: what each does to a
sheet, and trying them (``answers.futures.remedies``).
"""

from __future__ import annotations

import re
from math import inf
from typing import Annotated, Any, NamedTuple

from pydantic import AfterValidator, model_validator

from vanclimate.errors import UnitError, near
from vanclimate.units import BTU_H, System, parse, show
from vanclimate.van.fields import Part, fold, refused, section, words_of


class Kind(NamedTuple):
    """A kind of remedy: its name in a sheet, its size's kind of quantity or 'count', its step."""

    name: str
    quantity: str
    step: float  # SI


KINDS = (
    Kind("roof panels", "power", 100.0),
    Kind("battery", "charge", 100.0),
    Kind("driving", "duration", 1800.0),
    Kind("insulation", "length", 0.0127),
    Kind("AC setpoint", "temperature_difference", 0.5),
    Kind("heater setpoint", "temperature_difference", 0.5),
    Kind("shade", "count", 1.0),
    Kind("window covers", "count", 1.0),
    Kind("night limit", "fraction", 0.1),
    Kind("fuel", "volume", 0.005),
    Kind("air conditioner", "heat_rate", 1e3 * BTU_H),
    Kind("heater", "heat_rate", 500.0),
)
"""Each kind; steps are common practice, no source: a module, a battery, half an hour, half an inch,
1 kBTU/h. One step of a kind counts as much as one of another (assumed)."""
MOST_STEPS = 1000
BY_NAME = {fold(kind.name): kind for kind in KINDS}
NAMES = ", ".join(kind.name for kind in KINDS)


class Remedy(Part):
    """A remedy that a sheet lists: its kind, and where it says so its step and the most of it."""

    what: str = words_of()
    step: float | None = None
    most: float | None = None

    @model_validator(mode="before")
    @classmethod
    def _from_text(cls, data: Any) -> Any:
        if not isinstance(data, str):
            return data
        try:
            return read_remedy(data)
        except UnitError as error:
            raise refused(error.text, error.allowed, error.hint) from None

    @model_validator(mode="after")
    def _can_be(self) -> Remedy:
        """Refuse what keys, read without a line's own checks, may say."""
        if fold(self.what) not in BY_NAME:
            raise refused(self.what, NAMES, near(fold(self.what), BY_NAME), key="what")
        sizes = [size for size in (self.step, self.most) if size is not None]
        if sizes and self.kind.quantity == "count":
            raise refused(f"{self.kind.name} with a size", f"{self.kind.name} alone")
        step, most = self.step or self.kind.step, self.most
        if any(not 0.0 < size < inf for size in sizes) or (most is not None and most < step):
            raise refused(f"sizes of {', '.join(map(str, sizes))}",
                          "a step above nothing, and no more of it than the most")  # fmt: skip
        if most is not None and most > MOST_STEPS * step:
            raise refused(f"{most / step:.3g} steps of {self.what}", f"{MOST_STEPS} at most")
        return self

    @property
    def kind(self) -> Kind:
        """Its kind."""
        return BY_NAME[fold(self.what)]


def read_remedy(text: str) -> dict[str, Any]:
    """Read 'roof panels', 'roof panels 100 W' or 'battery 50 Ah up to 200 Ah'.

    >>> read_remedy("battery 50 Ah up to 200 Ah")
    {'what': 'battery', 'step': 50.0, 'most': 200.0}
    """
    word = fold(text)
    name = max((n for n in BY_NAME if word == n or word.startswith(n + " ")), key=len, default="")
    if not name:
        allowed = f"{NAMES}; with a step and a most such as 'battery 50 Ah up to 200 Ah'"
        raise UnitError(text, allowed, near(word, BY_NAME))
    kind = BY_NAME[name]
    rest = " ".join(text.split())[len(name) :].strip()
    if not rest:
        return {"what": kind.name}
    form = f"'{kind.name}', or a step and the most of it, in words: {kind.name} … up to …"
    if kind.quantity == "count":
        raise UnitError(text, f"{kind.name} alone")
    match = re.fullmatch(r"(?:by )?(.+?)(?: up to (.+))?", rest, re.IGNORECASE)
    if match is None:
        raise UnitError(text, form)
    step = parse(match[1], kind.quantity)
    most = parse(match[2], kind.quantity) if match[2] else None
    if step <= 0.0 or (most is not None and most < step):
        raise UnitError(text, f"a step above nothing, and no more of it than the most; {form}")
    return {"what": kind.name, "step": step, "most": most}


def shown(kind: Kind, size: float, system: System) -> str:
    """Write a remedy's size."""
    return f"{size:.0f}" if kind.quantity == "count" else show(size, kind.quantity, system)


def written(remedy: Remedy, system: System) -> str:
    """Write a remedy as a sheet lists it.

    >>> written(Remedy.model_validate("battery 50 Ah up to 200 Ah"), "si")
    'battery 50 Ah up to 200 Ah'
    """
    step = "" if remedy.step is None else f" {shown(remedy.kind, remedy.step, system)}"
    most = "" if remedy.most is None else f" up to {shown(remedy.kind, remedy.most, system)}"
    return f"{remedy.what}{step}{most}"


def _some(remedies: tuple[Remedy, ...]) -> tuple[Remedy, ...]:
    """Refuse a list of none, and a kind that is listed twice."""
    if not remedies:
        raise refused("an empty list", f"one or more of {NAMES}; or leave the key out")
    seen: set[str] = set()
    for remedy in remedies:
        if remedy.what in seen:
            raise refused(f"{remedy.what} twice", "each kind once")
        seen.add(remedy.what)
    return remedies


Remedies = Annotated[tuple[Remedy, ...], AfterValidator(_some)]


def remedies_section() -> Any:
    """Declare a sheet's list of remedies; left out, the usual ones are tried."""
    return section(usual_remedies, what="a list of remedies")


def usual_remedies() -> tuple[Remedy, ...]:
    """Return those that are tried where a sheet lists none."""
    return tuple(Remedy(what=kind.name) for kind in KINDS)
