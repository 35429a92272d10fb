"""The air conditioner as a sheet describes it, a heat pump where it heats too.

What does not belong here: how it behaves (equipment/air_conditioner, equipment/heat_pump), and the
reading of a maker's table (maker_table.py).
"""

from __future__ import annotations

import re
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.units import System, parse, show
from vanclimate.van.fields import (
    Part,
    choice,
    clock,
    custom,
    in_use,
    quantity,
    refused,
    specs,
    switch,
    words_of,
)
from vanclimate.van.heating import When, read_when, write_when
from vanclimate.van.maker_table import RATING, Points, at_rating, read_table, write_table

FEEDS = ("inverter", "battery")
NEEDS = {
    "floor": "speed: variable",
    "half_speed_power": "speed: variable",
    "soft_start": "speed: fixed",
    "heating_capacity": "heats: yes",
    "heating_power": "heats: yes",
    "heating_setpoint": "heats: yes",
    "heating_when": "heats: yes",
    "heats_down_to": "heats: yes",
    "defrost_loss": "heats: yes",
    "condenser": "hose: none",
    "condenser_airflow": "hose: one",
    "roof_warmth": "condenser: roof",
    "condenser_excess": "condenser: roof or underneath",
}
"""What must stand beside a key for it to mean anything."""


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


def _capacity(ac: Any) -> float:
    """Return the cooling [W] at rating that a table holds; without one it must be given."""
    if ac.table is None:
        allowed = "'capacity:' and its value, or a maker's 'table:'"
        raise refused("nothing", allowed, "the key is missing", key="capacity")
    return at_rating(ac.table, *RATING)[0]


def _power(ac: Any) -> float:
    """Return the watts at rating, of the table or guessed."""
    return float(ac.capacity / 2.8 if ac.table is None else at_rating(ac.table, *RATING)[1])


def _varies(ac: Any) -> bool:
    return bool(ac.speed == "variable")


def _heats(ac: Any) -> bool:
    return bool(ac.heats)


def _usual_surge(ac: Any) -> float:
    """Return the usual starting watts of a compressor as a multiple of its running watts."""
    if ac.speed == "variable":
        return 1.2
    return 1.6 if ac.soft_start else 4.0


class AirConditioner(Part):
    """An air conditioner, by its rated point or by its maker's table."""

    kind: str = words_of("air conditioner", longest=80)
    capacity: float = quantity(
        "heat_rate", 300.0, 12000.0, default_of=_capacity,
        why="read from the maker's table at 35 °C outdoors and 19.4 °C of wet bulb",
    )  # fmt: skip
    power: float = quantity(
        "power", 50.0, 6000.0, default_of=_power, spread=(0.8, 1.2),
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
    table: Points | None = custom(
        read_table, write_table, None, joins=True, applies=lambda ac: ac.table is not None,
        why="assumed: no maker's table, so the plate and general slopes stand in",
    )  # fmt: skip
    speed: Literal["fixed", "variable"] = choice(
        ("fixed", "variable"), "fixed", why="assumed: one speed, on and off",
        settle="read the data sheet: an inverter compressor varies its speed",
    )  # fmt: skip
    floor: float = quantity(
        "fraction", 0.1, 1.0, 0.3, applies=_varies, at_least=0.2, at_most=0.5,
        why="assumed: its least output; below it a variable-speed unit goes on and off",
        settle="read the data sheet's least capacity",
    )  # fmt: skip
    half_speed_power: float = quantity(
        "fraction", 0.3, 0.55, 0.40, applies=_varies, at_least=0.35, at_most=0.45,
        why="assumed: the compressor's watts at half output as a share of those at full; 0.5 is "
        "the same efficiency, an ideal cycle says 0.30",
        settle="a clamp meter at half output",
    )  # fmt: skip
    soft_start: bool = switch(
        False, applies=lambda ac: ac.speed == "fixed", why="assumed: none fitted",
        settle="look for a box at the compressor",
    )  # fmt: skip
    starting_surge: float = quantity(
        "none", 1.0, 10.0, default_of=_usual_surge, spread=(0.75, 1.5),
        why="from memory: 3-6 times the compressor's running watts, 1.2-2 with a soft start; "
        "a variable-speed drive ramps up",
        settle="a clamp meter that holds its peak",
    )  # fmt: skip
    heats: bool = switch(
        False, why="assumed: it only cools", settle="read the data sheet: a heat pump heats too"
    )
    heating_capacity: float = quantity(
        "heat_rate", 300.0, 15000.0, default_of=lambda ac: 0.95 * ac.capacity, applies=_heats,
        spread=(0.85, 1.15), settle="read the data plate",
        why="assumed: a little less than its cooling, at 8.3 °C (47 °F) outdoors",
    )  # fmt: skip
    heating_power: float = quantity(
        "power", 50.0, 6000.0, default_of=lambda ac: ac.heating_capacity / 3.0, applies=_heats,
        spread=(0.8, 1.25), settle="read the data plate",
        why="assumed: 3 W of heat a watt at 8.3 °C (47 °F) outdoors, blower included",
    )  # fmt: skip
    heating_setpoint: float = quantity(
        "temperature", 5.0, 28.0, 18.0, applies=_heats, why="assumed", at_least=15.0,
        at_most=21.0, settle="ask the client",
    )  # fmt: skip
    heating_when: When = custom(
        read_when, write_when, "home", joins=True, applies=_heats,
        why="assumed: on while somebody is in the van", settle="ask the client",
    )  # fmt: skip
    heats_down_to: float = quantity(
        "temperature", -20.0, 15.0, -5.0, applies=_heats, at_least=-15.0, at_most=5.0,
        why="assumed: roof units stop near 4 °C, variable-speed ones at -15 °C and below",
        settle="read the data sheet's least outdoor temperature for heating",
    )  # fmt: skip
    defrost_loss: float = quantity(
        "fraction", 0.0, 0.4, 0.10, applies=_heats, at_least=0.05, at_most=0.20,
        why="of the heat at 1.7 °C (35 °F), frost and defrosting together: the test code's default "
        "for an untested unit, from memory",
        settle="supply and return temperature over some hours of damp air near freezing",
    )  # fmt: skip
    hose: Literal["none", "one", "two"] = choice(
        ("none", "one", "two"), "none", why="assumed: its condenser stands outdoors",
        settle="look at it: a portable unit has one hose or two",
    )  # fmt: skip
    condenser_airflow: float = quantity(
        "flow", 0.005, 1.0, default_of=lambda ac: 3.0e-5 * ac.capacity, spread=(0.7, 1.5),
        applies=lambda ac: ac.hose == "one",
        why="assumed: 30 L/s a kW of cooling, the portable class, blown out through its hose",
        settle="air speed at the hose's end times its section",
    )  # fmt: skip
    condenser: Literal["outside", "roof", "underneath"] = choice(
        ("outside", "roof", "underneath"), "outside", applies=lambda ac: ac.hose == "none",
        why="assumed: its condenser breathes outdoor air as it is", settle="look where it stands",
    )  # fmt: skip
    roof_warmth: float = quantity(
        "fraction", 0.0, 0.5, 0.10, applies=lambda ac: ac.hose == "none" and ac.condenser == "roof",
        why="assumed: of the roof skin's excess over the air, in what a roof condenser breathes",
        at_least=0.0, at_most=0.25,
        settle="a thermometer in the condenser's intake on a calm sunny day",
    )  # fmt: skip
    condenser_excess: float = quantity(
        "temperature_difference", 0.0, 15.0, spread=(0.0, 2.5),
        default_of=lambda ac: 2.0 if ac.condenser == "underneath" else 0.0,
        applies=lambda ac: ac.hose == "none" and ac.condenser != "outside",
        why="assumed: what it breathes of its own warm air, 2 K under a floor, none on the roof",
        settle="a thermometer in the condenser's intake while it runs, and one beside the van",
    )  # fmt: skip

    def certain(self) -> frozenset[str]:
        """Return what a table holds: cooling and watts at rating."""
        return frozenset(("capacity", "power") if self.table is not None else ())

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

    @model_validator(mode="after")
    def _meant(self) -> AirConditioner:
        """Refuse a key that nothing beside it uses."""
        for name in specs(AirConditioner):
            if name in NEEDS and name in self.model_fields_set and not in_use(self, name):
                found = f"{name.replace('_', ' ')}, which nothing uses"
                raise refused(found, f"'{NEEDS[name]}' beside it", key=name)
        return self

    @model_validator(mode="after")
    def _tabled(self) -> AirConditioner:
        """Refuse a plate beside the table that holds it, and watts below the blower's."""
        if self.table is None:
            return self
        for name in ("capacity", "power"):
            if name in self.model_fields_set:
                raise refused(f"{name} beside a table", "the table alone, which holds it", key=name)
        least = min(point.power for point in self.table)
        if least <= self.blower_power:
            found = f"{show(least, 'power')} in the table"
            allowed = f"more than the blower's {show(self.blower_power, 'power')}"
            raise refused(found, allowed, key="table")
        return self

    @model_validator(mode="after")
    def _parted(self) -> AirConditioner:
        """Refuse a variable-speed unit that its night limit holds below its floor."""
        if self.speed == "variable" and self.night_limit < self.floor:
            found = f"{show(self.night_limit, 'fraction')}, below the floor"
            allowed = f"the floor, {show(self.floor, 'fraction')}, or more"
            raise refused(found, allowed, key="night_limit")
        return self

    @model_validator(mode="after")
    def _heat_pump(self) -> AirConditioner:
        """Refuse heating that no heat pump gives."""
        if not self.heats:
            return self
        if self.blower_power >= self.heating_power:
            found = show(self.heating_power, "power")
            allowed = f"more than the blower's {show(self.blower_power, 'power')}"
            raise refused(found, allowed, key="heating_power")
        ratio = self.heating_capacity / self.heating_power
        if not 1.0 <= ratio <= 8.0:
            allowed = "1 to 8: check heating power and heating capacity"
            raise refused(f"{ratio:.1f} W of heat a watt", allowed, key="heating_power")
        if self.heating_setpoint >= self.setpoint:
            found = show(self.heating_setpoint, "temperature")
            allowed = f"below the {show(self.setpoint, 'temperature')} it cools to"
            raise refused(found, allowed, key="heating_setpoint")
        return self
