"""Alternators, DC-DC charger and driving as a sheet describes them.

What does not belong here: how they behave (energy/alternator), and what they may not ask of each
other (answers/source_checks).
"""

from __future__ import annotations

import re
from typing import Literal

from pydantic import model_validator

from vanclimate.units import show
from vanclimate.van.bodies import ZONES
from vanclimate.van.days import (
    EVERY_DAY,
    Days,
    read_days,
    read_hours_of_day,
    refuse_overlap,
    write_days,
    write_hours_of_day,
)
from vanclimate.van.fields import (
    Part,
    Period,
    choice,
    custom,
    own_kind,
    quantity,
    refused,
    whole,
)

SPEEDS = ("highway", "town", "idle")


NOTHING = ("none", "no", "never")
_DAYS = r"on\s.+?|every\s.+?|daily|weekdays|weekends"


def read_amps(text: str) -> dict[str, str] | None:
    """Read '220 A' or 'none' in place of a section."""
    return None if text.strip().casefold() in NOTHING else {"amps": text}


def read_dc_charger(text: str) -> dict[str, str] | None:
    """Read '30 A', or '2 x 30 A', in place of the section.

    >>> read_dc_charger("2 x 30 A")
    {'count': '2', 'amps': '30 A'}
    """
    if text.strip().casefold() in NOTHING:
        return None
    match = re.fullmatch(r"(\d+)\s*[x×]\s*(.+)", text.strip(), re.IGNORECASE)
    return {"count": match[1], "amps": match[2]} if match else {"amps": text}


def read_driving(text: str) -> dict[str, str] | None:
    """Read '3 h a day', '9:00 to 12:00 on weekdays' or '2 h every 3rd day' for the section.

    >>> read_driving("9:00 to 12:00 on Sat, Sun")
    {'hours': '9:00 to 12:00', 'days': 'Sat, Sun'}
    >>> read_driving("2 h every 2nd day from 16:00")
    {'hours': '2 h from 16:00', 'days': 'every 2nd day'}
    """
    if text.strip().casefold() in NOTHING:
        return None
    turned = re.fullmatch(f"(.+?)\\s+({_DAYS})\\s+(from\\s+.+)", text.strip(), re.IGNORECASE)
    if turned:  # '2 h every 2nd day from 16:00'
        text = f"{turned[1]} {turned[3]} {turned[2]}"
    pattern = r"(.+?)\s+(?:on\s+(.+)|(every\s+.+|daily|weekdays|weekends))"
    match = re.fullmatch(pattern, text.strip(), re.IGNORECASE)
    return {"hours": match[1], "days": match[2] or match[3]} if match else {"hours": text}


class Generator(Part):
    """What any alternator is described by."""

    amps: float = quantity(
        "current", 20.0, 600.0, 180.0, why="assumed: the usual one of a large van",
        at_least=110.0, at_most=250.0, settle="read the alternator's plate",
    )  # fmt: skip
    highway_share: float = quantity(
        "fraction", 0.1, 1.0, 1.0,
        why="a plate counts at 6000 turns a minute, from memory of ISO 8854: about a highway's",
        at_least=0.9, at_most=1.0, settle="its output curve",
    )  # fmt: skip
    town_share: float = quantity(
        "fraction", 0.1, 1.0, 0.8, why="assumed: at some 4000 turns a minute of the alternator",
        at_least=0.7, at_most=0.9, settle="its output curve",
    )  # fmt: skip
    idle_share: float = quantity(
        "fraction", 0.0, 1.0, 0.45, why="40-60 % of the plate when cold, from memory; assumed less",
        at_least=0.3, at_most=0.6, settle="its output curve",
    )  # fmt: skip
    hot_share: float = quantity(
        "fraction", 0.1, 1.0, 0.85, why="assumed: left of the cold output once it is warm, moving",
        at_least=0.7, at_most=0.95, settle="a clamp meter after an hour's drive at full charge",
    )  # fmt: skip
    hot_idle_share: float = quantity(
        "fraction", 0.1, 1.0, 0.7, why="assumed: the same without the air of driving",
        at_least=0.5, at_most=0.85, settle="a clamp meter after half an hour at idle",
    )  # fmt: skip
    warm_up: float = quantity(
        "duration", 60.0, 7200.0, 1200.0, why="assumed: time constant of its windings and iron",
        at_least=600.0, at_most=1800.0, settle="its current at full charge, minute by minute",
    )  # fmt: skip
    kind: str | None = own_kind()


class Alternator(Generator):
    """The engine's alternator, and what of it the house may take."""

    voltage: float = quantity(
        "voltage", 10.0, 32.0, 14.0, why="assumed: regulated, at the alternator", at_least=13.2,
        at_most=14.6, settle="a voltmeter at the starter battery while driving",
    )  # fmt: skip
    vehicle_draw: float = quantity(
        "current", 0.0, 400.0, default_of=lambda alternator: min(40.0, 0.5 * alternator.amps),
        why="assumed: engine, lights, blower and the starter battery's own charge; of a plate "
        "below 80 A half",
        at_least=20.0, at_most=80.0, settle="a clamp meter on the alternator, chargers off",
    )  # fmt: skip
    house_share: float = quantity(
        "fraction", 0.0, 1.0, 0.5,
        why="common practice, no source: half of the plate as a continuous load",
        at_least=0.4, at_most=0.6, settle="the vehicle maker's book for body builders",
    )  # fmt: skip
    post_fuse: float | None = quantity(
        "current", 10.0, 500.0, None, words={"none": None},
        why="assumed: the charger hangs on the starter battery by a fuse of its own size",
        settle="look where its cable begins",
    )  # fmt: skip
    post_share: float = quantity(
        "fraction", 0.5, 1.0, 0.8, applies=lambda alternator: alternator.post_fuse is not None,
        why="from memory of the US code: 80 % of a fuse as a continuous load",
        at_least=0.7, at_most=1.0, settle="the vehicle maker's book for body builders",
    )  # fmt: skip
    feed_resistance: float = quantity(
        "resistance", 0.0, 0.2, 0.004,
        why="assumed: 6 m of 35 mm2 and the body's steel from the alternator to the charger",
        at_least=0.002, at_most=0.01, settle="its volts and the charger's at full charge",
    )  # fmt: skip

    @model_validator(mode="after")
    def _leaves_something(self) -> Alternator:
        if self.vehicle_draw >= self.amps:
            allowed = f"less than the {show(self.amps, 'current')} of its plate"
            raise refused(show(self.vehicle_draw, "current"), allowed, key="vehicle_draw")
        return self


class SecondAlternator(Generator):
    """An alternator for the house alone; its regulator charges the bank directly."""

    regulator_share: float = quantity(
        "fraction", 0.1, 1.0, 0.8,
        why="common practice, no source: the regulator holds it to 70-80 % of the plate",
        at_least=0.6, at_most=1.0, settle="the regulator's settings",
    )  # fmt: skip


class DcCharger(Part):
    """One or several DC-DC chargers between alternator and bank."""

    amps: float = quantity("current", 1.0, 400.0)  # out of each
    count: int = whole(1, 8, 1)
    efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.90, why="0.88-0.95, from memory", at_least=0.88, at_most=0.95,
        settle="watts in and out while it charges",
    )  # fmt: skip
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )
    kind: str | None = own_kind()


class Driving(Part):
    """When the van drives, and how."""

    hours: tuple[Period, ...] = custom(read_hours_of_day, write_hours_of_day, joins=True)
    days: Days = custom(
        read_days, write_days, EVERY_DAY, joins=True,
        why="assumed: every day", settle="ask the client",
    )  # fmt: skip
    speed: Literal["highway", "town", "idle"] = choice(
        SPEEDS, "highway", why="assumed: on the road", settle="ask the client"
    )

    @model_validator(mode="after")
    def _apart(self) -> Driving:
        refuse_overlap(self.hours, "hours")
        return self
