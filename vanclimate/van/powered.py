"""What draws, holds or makes electricity: air conditioner, battery, inverter, panels, loads.

What does not belong here: how any of it behaves (equipment/, energy/), and fans (air.py).
"""

from __future__ import annotations

import re
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.units import System, parse, show
from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import (
    Part,
    Period,
    choice,
    clock,
    custom,
    quantity,
    read_periods,
    refused,
    words_of,
    write_periods,
)
from vanclimate.van.water import WATER

FEEDS = ("inverter", "battery")
LOAD_FEEDS = ("battery", "inverter", "gas")


def read_hold(text: str) -> float | None:
    """Read 'off', or 'hold 80 F' [°C].

    >>> read_hold("hold 77 F")
    25.0
    """
    if text.casefold() in ("off", "no"):
        return None
    match = re.fullmatch(r"hold\s+(.+)", text, re.IGNORECASE)
    value = parse(match[1], "temperature") if match else None
    if value is None or not 10.0 <= value <= 45.0:
        raise UnitError(text, "off, or 'hold' and a temperature, such as 'hold 80 F'")
    return value


def write_hold(value: float | None, system: System) -> str:
    """Write what `read_hold` reads."""
    return "off" if value is None else f"hold {show(value, 'temperature', system)}"


class AirConditioner(Part):
    """An air conditioner, by its rated point."""

    kind: str = words_of("air conditioner", longest=80)
    capacity: float = quantity("heat_rate", 300.0, 12000.0)
    power: float = quantity(
        "power", 50.0, 6000.0, default_of=lambda ac: ac.capacity / 2.8, spread=(0.8, 1.2),
        why="assumed: 2.8 W of cooling a watt at the rated point, blower included",
        settle="read the data plate",
    )  # fmt: skip
    airflow: float = quantity(
        "flow", 0.01, 1.5, default_of=lambda ac: 4.0e-5 * ac.capacity, spread=(0.7, 1.3),
        why="assumed: 300 CFM per ton of cooling, the roof class", settle="read the data sheet",
    )  # fmt: skip
    blower_power: float = quantity(
        "power", 0.0, 1000.0, default_of=lambda ac: 0.028 * ac.capacity, spread=(0.5, 1.5),
        why="assumed: 28 W of blower per kW of cooling",
        settle="a clamp meter with the compressor off",
    )  # fmt: skip
    blower: Literal["automatic", "continuous"] = choice(
        ("automatic", "continuous"),
        "automatic",
        why="assumed: the blower stops with the compressor",
    )
    setpoint: float = quantity(
        "temperature", 15.0, 32.0, 24.0, why="assumed", at_least=22.0, at_most=25.5,
        settle="ask the client",
    )  # fmt: skip
    differential: float = quantity(
        "temperature_difference", 0.1, 5.0, 1.0, why="assumed: between start and stop",
        at_least=0.5, at_most=2.0, settle="a temperature log of one night",
    )  # fmt: skip
    minimum_run: float = quantity(
        "duration",
        0.0,
        3600.0,
        180.0,
        why="assumed: its control keeps the compressor on that long",
        at_least=60.0,
        at_most=300.0,
        settle="time the compressor's shortest run on a mild night",
    )
    minimum_off: float = quantity(
        "duration", 0.0, 3600.0, 180.0,
        why="common practice, no source: 3 minutes for the pressures to even out",
        at_least=120.0, at_most=300.0, settle="time the compressor's shortest pause",
    )  # fmt: skip
    night_limit: float = quantity("fraction", 0.1, 1.0, 1.0, why="assumed: no quiet mode at night")
    fit_factor: float = quantity(
        "fraction", 0.3, 1.2, 0.85,
        why="assumed: what is left of the rated capacity as installed", at_least=0.7, at_most=1.0,
        settle="supply and return temperature and the airflow at the vent, on a hot day",
    )  # fmt: skip
    stirring: float = quantity(
        "none", 0.1, 5.0, 1.0,
        why="assumed: its air brushes the walls as a ceiling diffuser's does in a room",
        at_least=0.4, at_most=1.5,
        settle="wall and air temperature during a pull-down, every minute",
    )  # fmt: skip
    by_day: float | None = custom(
        read_hold, write_hold, None, why="assumed: off while nobody is in the van",
        settle="ask the client",
    )  # fmt: skip
    starts: int | None = clock(
        None,
        words={"bedtime": None},
        why="assumed: switched on at bedtime",
        settle="ask the client",
    )
    feed: Literal["inverter", "battery"] = choice(
        FEEDS, "inverter", why="assumed: a mains unit behind the inverter"
    )

    @model_validator(mode="after")
    def _consistent(self) -> AirConditioner:
        if self.blower_power >= self.power:
            found = show(self.blower_power, "power")
            allowed = f"less than the power in all, {show(self.power, 'power')}"
            raise refused(found, allowed, key="blower_power")
        if self.capacity / self.power > 8.0:
            found = f"{self.capacity / self.power:.1f} W of cooling a watt"
            raise refused(found, "8 at most: check power and capacity", key="power")
        return self


class Battery(Part):
    """A lithium iron phosphate bank."""

    capacity: float = quantity(
        "charge", 5.0, 5000.0, 200.0, why="assumed: two 100 Ah batteries", at_least=100.0,
        at_most=600.0, settle="read the label",
    )  # fmt: skip
    voltage: float = quantity(
        "voltage", 10.0, 60.0, 12.8, why="nominal: four cells of 3.2 V", settle="read the label"
    )
    cut_off: float = quantity(
        "fraction", 0.0, 0.5, 0.05, why="assumed: the protection stops at 5 % of the charge",
        at_least=0.0, at_most=0.10, settle="read the battery's manual",
    )  # fmt: skip
    reserve: float = quantity(
        "fraction", 0.0, 0.9, 0.10, why="assumed: left in the bank at waking", at_least=0.05,
        at_most=0.20, settle="ask the client",
    )  # fmt: skip
    resistance: float = quantity(
        "resistance", 0.0, 1.0,
        default_of=lambda bank: 0.4 / bank.capacity * (bank.voltage / 12.8), spread=(0.5, 2.0),
        why="assumed: 4 mohm for 100 Ah at 12.8 V with its cables",
        settle="the voltage's drop when the air conditioner starts, with the amps",
    )  # fmt: skip
    charge_efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.955,
        why="lithium iron phosphate: round trip 92-96 %, from memory, its middle at a 5 h rate",
        at_least=0.935, at_most=0.975,
        settle="the battery monitor over one full charge and discharge",
    )  # fmt: skip
    charge_at_bedtime: float = quantity(
        "fraction", 0.05, 1.0, 1.0, words={"full": 1.0, "half": 0.5},
        why="assumed: full at bedtime", at_least=0.8, at_most=1.0,
        settle="the battery monitor at bedtime",
    )  # fmt: skip
    health: float = quantity(
        "fraction", 0.3, 1.1, 1.0, words={"new": 1.0}, why="assumed: a new bank", at_least=0.8,
        at_most=1.0, settle="a full discharge through the battery monitor",
    )  # fmt: skip
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )

    @model_validator(mode="after")
    def _order(self) -> Battery:
        if self.charge_at_bedtime <= self.cut_off:
            found = show(self.charge_at_bedtime, "fraction")
            allowed = f"more than the cut-off, {show(self.cut_off, 'fraction')}"
            raise refused(found, allowed, key="charge_at_bedtime")
        return self


class Inverter(Part):
    """The inverter between the bank and the mains sockets."""

    idle: float = quantity(
        "power", 0.0, 200.0, 20.0, why="5-25 W, from memory", at_least=5.0, at_most=25.0,
        settle="a clamp meter with the inverter on and nothing plugged in",
    )  # fmt: skip
    efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.90, why="0.85-0.93, from memory", at_least=0.85, at_most=0.93,
        settle="watts in and out while the air conditioner runs",
    )  # fmt: skip
    rating: float = quantity(
        "power", 50.0, 20000.0, 3000.0, why="assumed: a class that starts an air conditioner",
        settle="read the label",
    )  # fmt: skip
    on: Literal["always", "needed"] = choice(
        ("always", "needed"), "always", why="assumed: left on", settle="ask the client"
    )
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )


class RoofPanels(Part):
    """Solar panels on the roof; left out, there are none."""

    power: float = quantity("power", 0.0, 5000.0, 0.0)
    area: float = quantity(
        "area", 0.0, 30.0, default_of=lambda panels: 0.0053 * panels.power, spread=(0.85, 1.2),
        why="assumed: 190 W a square metre", settle="measure the panels",
    )  # fmt: skip
    soiling: float = quantity(
        "fraction", 0.0, 0.9, 0.05, why="assumed: a roof that is washed now and then",
        at_least=0.02, at_most=0.15, settle="the panels' amps before and after washing",
    )  # fmt: skip
    controller_efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.97, why="0.96-0.98, from memory", at_least=0.96, at_most=0.98
    )
    tilt: float = quantity("angle", 0.0, 90.0, 0.0, why="assumed: flat on the roof")


class Load(Part):
    """Something that draws power, and when; on gas, an open burner by its heating value."""

    name: str = words_of(longest=60)
    power: float = quantity("power", 0.0, 10000.0, 0.0)
    kind: Literal["plain", "fridge"] = choice(("plain", "fridge"), "plain")
    when: tuple[Period, ...] = custom(read_periods, write_periods, (), joins=True)
    feed: Literal["battery", "inverter", "gas"] = choice(
        LOAD_FEEDS, "battery", why="assumed: on the battery's own voltage",
        settle="look at its plug",
    )  # fmt: skip
    heat_inside: float = quantity(
        "fraction", 0.0, 1.0, 1.0, why="assumed: all of its power ends as heat in the van"
    )
    water: float = quantity("water", 0.0, 3.0 / 3600, 0.0, words=WATER)
    duty: float = quantity("fraction", 0.0, 1.0, 1.0)
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )

    @model_validator(mode="after")
    def _burns(self) -> Load:
        if self.feed == "gas" and self.kind == "fridge":
            raise refused("gas for a fridge", "battery or inverter", key="feed")
        if self.feed == "gas" and not self.when:
            raise refused("an open burner that always burns", "its times", key="when")
        return self

    @model_validator(mode="after")
    def _does_something(self) -> Load:
        if not {"power", "water"} & self.model_fields_set:
            raise refused("nothing", "its power, or the water it gives off", key="power")
        return self

    @model_validator(mode="after")
    def _apart(self) -> Load:
        spans = sorted((a, b if b > a else b + 1440) for a, b in self.when)
        later = [*spans[1:], (spans[0][0] + 1440, 0)] if spans else []
        for (_, end), (start, _) in zip(spans, later, strict=True):
            if end > start:
                raise refused("times that overlap", "times that follow each other", key="when")
        return self


def usual_loads() -> tuple[Load, ...]:
    """Return the loads of a sheet that lists none: a fridge and lights (assumed)."""
    rows: list[dict[str, Any]] = [
        {"name": "fridge", "kind": "fridge", "power": 55.0, "feed": "battery", "heat_inside": 1.0},
        {"name": "lights", "power": 15.0, "when": ((19 * 60, 22 * 60 + 30),), "feed": "battery",
         "heat_inside": 1.0},
    ]  # fmt: skip
    return tuple(Load.model_validate(row) for row in rows)
