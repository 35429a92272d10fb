"""Shore power and its charger as a sheet describes them.

What does not belong here: how they behave (energy/shore).
"""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from vanclimate.van.bodies import ZONES
from vanclimate.van.days import EVERY_DAY, Days, read_days, refuse_overlap, write_days
from vanclimate.van.fields import Part, choice, custom, own_kind, quantity, switch
from vanclimate.van.windows import When, read_when, write_when


def read_shore(text: str) -> dict[str, str] | None:
    """Read '30 A', the inlet's, or when it is plugged in, in place of the section.

    >>> read_shore("30 A"), read_shore("night")
    ({'inlet': '30 A'}, {'hours': 'night'})
    """
    if text.strip().casefold() in ("none", "no", "never"):
        return None
    is_time = ":" in text or " to " in text or not text.lstrip("+-.")[:1].isdigit()
    return {"hours" if is_time else "inlet": text}


class Shore(Part):
    """Mains from a post through the inlet, and the charger on it."""

    hours: When = custom(
        read_when, write_when, "always", joins=True,
        why="assumed: plugged in all the time", settle="ask the client",
    )  # fmt: skip
    days: Days = custom(
        read_days, write_days, EVERY_DAY, joins=True,
        why="assumed: every day", settle="ask the client",
    )  # fmt: skip
    inlet: float = quantity(
        "current", 5.0, 63.0, 30.0, why="assumed: 15, 20 and 30 A are usual", at_least=15.0,
        at_most=30.0, settle="read the inlet's label",
    )  # fmt: skip
    pedestal: float = quantity(
        "current", 3.0, 100.0, default_of=lambda shore: shore.inlet, spread=(0.5, 1.0),
        why="assumed: the post's breaker is of the inlet's size", settle="read the post's breaker",
    )  # fmt: skip
    voltage: float = quantity(
        "voltage", 90.0, 260.0, 120.0, why="assumed: the US mains, nothing drawn",
        at_least=114.0, at_most=126.0,
        settle="a voltmeter at the post",
    )  # fmt: skip
    sag: float = quantity(
        "fraction", 0.0, 0.2, 0.03,
        why="assumed: of the post's volts at all of its amps; 3-5 % is what the US code advises,"
        " from memory",
        at_least=0.01, at_most=0.1, settle="a voltmeter at the inlet, loaded and not",
    )  # fmt: skip
    cord: float = quantity(
        "resistance", 0.0, 2.0, 0.06, why="assumed: 9 m of 10 AWG there and back",
        at_least=0.03, at_most=0.25, settle="its length and its wire",
    )  # fmt: skip
    continuous: float = quantity(
        "fraction", 0.5, 1.0, 0.8,
        why="from memory of the US code: 80 % of a breaker as a continuous load",
        at_least=0.8, at_most=1.0, settle="whether the post's breaker holds a whole night",
    )  # fmt: skip
    charger: float = quantity(
        "current", 0.0, 500.0, 60.0, words={"none": 0.0},
        why="assumed: amps into the bank of a usual charger", at_least=30.0, at_most=100.0,
        settle="read the charger's label",
    )  # fmt: skip
    charger_efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.88, why="0.85-0.93, from memory", at_least=0.85, at_most=0.93,
        applies=lambda shore: shore.charger > 0.0,
        settle="watts in and out while it charges",
    )  # fmt: skip
    air_conditioner_first: bool = switch(
        True, why="assumed: the charger takes what the mains loads leave of the inlet",
        applies=lambda shore: shore.charger > 0.0, settle="read the charger's manual",
    )  # fmt: skip
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", applies=lambda shore: shore.charger > 0.0,
        why="assumed: the charger stands in the living space", settle="look where it stands",
    )  # fmt: skip
    kind: str | None = own_kind()

    @model_validator(mode="after")
    def _apart(self) -> Shore:
        if not isinstance(self.hours, str):
            refuse_overlap(self.hours, "hours")
        return self
