"""The air conditioner as a sheet describes it.

What does not belong here: how it behaves (equipment/air_conditioner).
"""

from __future__ import annotations

import re
from typing import Literal

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.units import System, parse, show
from vanclimate.van.fields import Part, choice, clock, custom, quantity, refused, words_of

FEEDS = ("inverter", "battery")


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
