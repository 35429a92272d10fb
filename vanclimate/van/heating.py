"""Heaters as a sheet describes them: burning fuel, and electric.

What does not belong here: how they behave (equipment/heater), and a heat pump (cooling.py).
"""

from __future__ import annotations

import re
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.physics.fuels import DIESEL_GRADES, FUELS
from vanclimate.units import System, both, parse, show
from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import (
    Part,
    Period,
    choice,
    custom,
    in_use,
    own_kind,
    quantity,
    read_periods,
    refused,
    switch,
    write_periods,
)

When = Literal["home", "night", "always", "never"] | tuple[Period, ...]
"""When a heater is on: a word, or periods of the clock."""

FUEL_HINTS = {
    "gas": "gasoline is 'petrol'; bottled gas, 'propane'", "lpg": "'propane'", "lp": "'propane'",
    "kerosene": "'diesel' is the nearest",
}  # fmt: skip
FUEL_WORDS = {**{word: word for word in FUELS}, "gasoline": "petrol"}
WHEN_WORDS: dict[str, When] = {
    "home": "home", "night": "night", "always": "always", "never": "never",
}  # fmt: skip
LEAST_HELD, MOST_HELD = 1.0, 30.0  # °C
ROUNDED = 1e-6  # K: a limit written in the other unit is still within


def read_when(text: str) -> When:
    """Read 'home', 'night', 'always', 'never', or periods.

    >>> read_when("home"), read_when("18:00 to 07:00")
    ('home', ((1080, 420),))
    """
    word = " ".join(text.casefold().split())
    if word in WHEN_WORDS:
        return WHEN_WORDS[word]
    try:
        return read_periods(text) or "always"
    except UnitError as error:
        allowed = f"{', '.join(WHEN_WORDS)}, or times such as 18:00 to 07:00"
        raise UnitError(text, allowed, error.hint) from None


def write_when(value: When, system: System = "si") -> str:
    """Write what `read_when` reads."""
    return value if isinstance(value, str) else write_periods(value, system)


def read_held(text: str) -> float | None:
    """Read 'off', or 'hold 45 F' [°C].

    >>> read_held("hold 50 F")
    10.0
    """
    if text.casefold() in ("off", "no"):
        return None
    match = re.fullmatch(r"hold\s+(.+)", text, re.IGNORECASE)
    value = parse(match[1], "temperature") if match else None
    if value is None or not LEAST_HELD - ROUNDED <= value <= MOST_HELD + ROUNDED:
        span = f"{both(LEAST_HELD, 'temperature')} to {both(MOST_HELD, 'temperature')}"
        raise UnitError(text, f"off, or 'hold' and a temperature such as 45 F, {span}")
    return value


def write_held(value: float | None, system: System) -> str:
    """Write what `read_held` reads."""
    return "off" if value is None else f"hold {show(value, 'temperature', system)}"


def _blows(heater: Any) -> bool:
    """Say whether it warms the air itself."""
    return bool(heater.kind == "air")


def _pumps(heater: Any) -> bool:
    """Say whether it warms a coolant."""
    return bool(heater.kind == "hydronic")


def _tank(heater: Heater) -> float:
    """Return the usual tank [m³]: the vehicle's own, one for the heater, or a bottle."""
    if heater.fuel == "propane":
        return 0.0178  # 20 lb of propane
    return 0.080 if heater.supply == "main tank" else 0.010


def _usable(heater: Heater) -> float:
    """Return the usual share of that tank above the stand-pipe's end."""
    return 0.75 if heater.supply == "main tank" else 0.95


_SETPOINT: dict[str, Any] = {
    "why": "assumed: the least that the WHO asks for indoors, 18 °C from memory",
    "at_least": 15.0, "at_most": 21.0, "settle": "ask the client",
}  # fmt: skip
_DIFFERENTIAL: dict[str, Any] = {
    "why": "assumed: between start and stop", "at_least": 1.0, "at_most": 3.0,
    "settle": "a temperature log of one night",
}  # fmt: skip


class Heater(Part):
    """A heater that burns fuel outside the cabin's air, by its data plate."""

    kind: Literal["air", "hydronic"] = choice(
        ("air", "hydronic"), "air", why="assumed: it warms the air itself", settle="look at it"
    )
    burns: Literal["diesel", "petrol", "propane"] = choice(
        FUEL_WORDS, hints=FUEL_HINTS, default_of=lambda heater: heater.fuel or "diesel",
        why="assumed: a diesel burner", settle="read the data plate",
    )  # fmt: skip
    fuel: Literal["diesel", "petrol", "propane"] = choice(
        FUEL_WORDS, hints=FUEL_HINTS, default_of=lambda heater: heater.burns
    )
    output: float = quantity(
        "heat_rate", 300.0, 12000.0, 2000.0, why="assumed: the 2 kW class", at_least=1800.0,
        at_most=4000.0, settle="read the data plate",
    )  # fmt: skip
    floor: float = quantity(
        "heat_rate", 0.0, 12000.0, default_of=lambda heater: 0.42 * heater.output,
        spread=(0.8, 1.2), open_low=True,
        why="0.10 of 0.24 L/h, the 2 kW class, from memory", settle="read the data plate",
    )  # fmt: skip
    efficiency: float = quantity(
        "fraction", 0.4, 0.99, 0.83, why="2.0 kW of 0.24 L/h of diesel, from memory",
        at_least=0.78, at_most=0.88, settle="litres burnt in a day at full output",
    )  # fmt: skip
    setpoint: float = quantity("temperature", LEAST_HELD, MOST_HELD, 18.0, **_SETPOINT)
    differential: float = quantity("temperature_difference", 0.2, 8.0, 2.0, **_DIFFERENTIAL)
    when: When = custom(
        read_when, write_when, "home", joins=True, why="assumed: on while somebody is in the van",
        settle="ask the client",
    )  # fmt: skip
    otherwise: float | None = custom(
        read_held, write_held, None, why="assumed: off at other times", settle="ask the client"
    )
    start: float = quantity(
        "duration", 0.0, 1200.0, 180.0, why="2-5 min until it gives heat, from memory",
        at_least=120.0, at_most=300.0, settle="time one start",
    )  # fmt: skip
    glow_power: float = quantity(
        "power", 0.0, 600.0, 100.0, why="100 W and more, from memory", at_least=90.0,
        at_most=140.0, settle="a clamp meter during a start",
    )  # fmt: skip
    fan_floor: float = quantity(
        "power", 0.0, 300.0,
        default_of=lambda heater: (5.0 if heater.kind == "air" else 3.0) * heater.output / 1e3,
        spread=(0.6, 1.5), why="10 W for the 2 kW class, from memory; scaled by the output",
        settle="a clamp meter at the lowest step",
    )  # fmt: skip
    fan_full: float = quantity(
        "power", 0.0, 300.0,
        default_of=lambda heater: (14.5 if heater.kind == "air" else 6.0) * heater.output / 1e3,
        spread=(0.6, 1.4), why="29 W for the 2 kW class, from memory; scaled by the output",
        settle="a clamp meter at full output",
    )  # fmt: skip
    purge: float = quantity(
        "duration", 0.0, 1200.0, 180.0, why="assumed: its fan clears and cools it that long",
        at_least=90.0, at_most=300.0, settle="time it after switching off",
    )  # fmt: skip
    purge_power: float = quantity(
        "power", 0.0, 600.0, default_of=lambda heater: heater.fan_full, spread=(0.6, 1.5),
        why="assumed: its fan at full speed", settle="a clamp meter after switching off",
    )  # fmt: skip
    standby: float = quantity(
        "power", 0.0, 50.0, 1.0, why="assumed: its control while it waits", at_least=0.2,
        at_most=3.0, settle="an ammeter with the heater waiting",
    )  # fmt: skip
    least_volts: float | None = quantity(
        "voltage", 6.0, 60.0, None, words={"usual": None},
        why="assumed: 10.5 V of a 12 V heater, in the bank's proportion",
        settle="read the heater's manual",
    )  # fmt: skip
    altitude_kit: bool = switch(
        False, why="assumed: nothing corrects its mixture in thin air", settle="read the manual"
    )
    coldest_fuel: float = quantity(
        "temperature", -60.0, 15.0, words=DIESEL_GRADES,
        default_of=lambda heater: FUELS[heater.fuel].coldest,
        why="assumed: fuel as sold in winter, see the page on equipment",
        settle="ask where the client fills up",
    )  # fmt: skip
    supply: Literal["own tank", "main tank"] = choice(
        ("own tank", "main tank"), "own tank", why="assumed: a tank or bottle of its own",
        settle="follow the fuel line",
    )  # fmt: skip
    tank: float = quantity(
        "volume", 0.0005, 1.0, default_of=_tank, spread=(0.5, 1.5),
        hints={"main tank": "write 'supply: main tank'", "main": "write 'supply: main tank'"},
        why="assumed: 10 L of its own, 80 L of a main tank, or 20 lb of propane",
        settle="read the tank's label",
    )  # fmt: skip
    usable: float = quantity(
        "fraction", 0.05, 1.0, default_of=_usable, spread=(0.85, 1.05),
        why="common practice, no source: a stand-pipe leaves a quarter of a main tank",
        settle="measure the stand-pipe",
    )  # fmt: skip
    tank_at_start: float = quantity(
        "fraction", 0.0, 1.0, 1.0, words={"full": 1.0, "half": 0.5}, why="assumed: full",
        at_least=0.5, at_most=1.0, settle="ask the client",
    )  # fmt: skip
    air: Literal["recirculated", "outdoor"] = choice(
        ("recirculated", "outdoor"), "recirculated", applies=_blows,
        why="assumed: it warms the cabin's own air", settle="look where its inlet is",
    )  # fmt: skip
    airflow: float = quantity(
        "flow", 0.002, 0.5, default_of=lambda heater: 9.7e-6 * heater.output, spread=(0.8, 1.3),
        applies=lambda heater: heater.air == "outdoor" and heater.kind == "air",
        why="assumed: 70 m3/h for the 2 kW class, scaled by the output",
        settle="read the data sheet",
    )  # fmt: skip
    full_run_every: float | None = quantity(
        "duration", 3600.0, 1e6, None, words={"never": None},
        why="assumed: never made to run at full output to burn off its soot",
        settle="ask the client",
    )  # fmt: skip
    full_run: float = quantity(
        "duration", 60.0, 7200.0, 900.0, applies=lambda heater: heater.full_run_every is not None,
        why="common practice, no source: a quarter of an hour at full output",
        at_least=600.0, at_most=1800.0,
    )  # fmt: skip
    coolant: float = quantity(
        "volume", 0.0005, 0.2, 0.005, applies=_pumps,
        why="assumed: hoses, coil and heater hold 5 L", at_least=0.003, at_most=0.012,
        settle="what went in when it was filled",
    )  # fmt: skip
    fan_coil: float = quantity(
        "conductance", 1.0, 2000.0, default_of=lambda heater: heater.output / 55.0,
        spread=(0.6, 1.3), applies=_pumps,
        why="assumed: passes the full output at 55 K between coolant and air",
        settle="coolant and air temperature after half an hour at full output",
    )  # fmt: skip
    coil_fan_power: float = quantity(
        "power", 0.0, 500.0, 30.0, applies=_pumps, why="assumed: one fan of a fan coil",
        at_least=15.0, at_most=60.0, settle="a clamp meter on the fan's lead",
    )  # fmt: skip
    pump_power: float = quantity(
        "power", 0.0, 200.0, 15.0, applies=_pumps, why="assumed: a small circulation pump",
        at_least=8.0, at_most=25.0, settle="a clamp meter on the pump's lead",
    )  # fmt: skip
    coolant_off: float = quantity(
        "temperature", 40.0, 105.0, 80.0, applies=_pumps, why="assumed: its burner stops there",
        at_least=75.0, at_most=88.0, settle="read the manual",
    )  # fmt: skip
    coolant_on: float = quantity(
        "temperature", 30.0, 100.0, 65.0, applies=_pumps, why="assumed: its burner starts there",
        at_least=60.0, at_most=72.0, settle="read the manual",
    )  # fmt: skip
    coil_fan_from: float = quantity(
        "temperature", 20.0, 80.0, 45.0, applies=_pumps,
        why="assumed: the fan waits for a coolant that warm", at_least=35.0, at_most=55.0,
        settle="feel when the fan starts",
    )  # fmt: skip
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it warms the living space", settle="look where it blows"
    )

    def certain(self) -> frozenset[str]:
        """A fuel that is given says what the heater burns."""
        return frozenset({"burns"} if "fuel" in self.model_fields_set else ())

    @model_validator(mode="after")
    def _burner(self) -> Heater:
        """Refuse a fuel that the burner is not made for."""
        if self.fuel != self.burns:
            found, allowed = f"{self.fuel} in a {self.burns} heater", self.burns
            raise refused(found, allowed, "'burns:' says what it is made for", key="fuel")
        if self.fuel == "propane" and self.supply == "main tank":
            raise refused("a main tank of propane", "own tank: a bottle", key="supply")
        return self

    @model_validator(mode="after")
    def _order(self) -> Heater:
        if self.floor > self.output:
            found = f"{show(self.floor, 'heat_rate')} at the least"
            allowed = f"up to the full output, {show(self.output, 'heat_rate')}"
            raise refused(found, allowed, key="floor")
        if self.fan_floor > self.fan_full:
            found = f"{show(self.fan_floor, 'power')} at the least output"
            allowed = f"up to what it draws at full output, {show(self.fan_full, 'power')}"
            raise refused(found, allowed, key="fan_floor")
        if self.kind == "hydronic" and not self.coil_fan_from < self.coolant_on < self.coolant_off:
            found = f"{show(self.coolant_on, 'temperature')}"
            allowed = (
                f"more than the fan's {show(self.coil_fan_from, 'temperature')}, less than "
                f"the {show(self.coolant_off, 'temperature')} at which it stops"
            )
            raise refused(found, allowed, key="coolant_on")
        refuse_setback(self.setpoint, self.otherwise)
        return self

    @model_validator(mode="after")
    def _of_its_kind(self) -> Heater:
        """Refuse keys of the other kind."""
        for name in sorted(self.model_fields_set):
            if not in_use(self, name) and name != "full_run":
                said = "air: outdoor" if name == "airflow" else "kind: hydronic"
                said = "kind: air" if name == "air" else said
                found = f"'{name.replace('_', ' ')}:' of a heater without it"
                raise refused(found, f"'{said}' beside it", key=name)
        return self

    @property
    def usable_fuel(self) -> float:
        """Fuel above the stand-pipe's end at the start [L]."""
        return 1e3 * self.tank * max(0.0, self.tank_at_start - (1.0 - self.usable))


class ElectricHeater(Part):
    """An electric heater, all of whose watts warm its zone."""

    power: float = quantity("power", 20.0, 10000.0)
    feed: Literal["inverter", "battery"] = choice(
        ("inverter", "battery"),
        "inverter",
        why="assumed: a mains heater",
        settle="look at its plug",
    )
    setpoint: float = quantity("temperature", LEAST_HELD, MOST_HELD, 18.0, **_SETPOINT)
    differential: float = quantity("temperature_difference", 0.2, 8.0, 1.0, **_DIFFERENTIAL)
    when: When = custom(
        read_when, write_when, "home", joins=True, why="assumed: on while somebody is in the van",
        settle="ask the client",
    )  # fmt: skip
    otherwise: float | None = custom(
        read_held, write_held, None, why="assumed: off at other times", settle="ask the client"
    )
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )
    kind: str | None = own_kind()

    @model_validator(mode="after")
    def _order(self) -> ElectricHeater:
        refuse_setback(self.setpoint, self.otherwise)
        return self


def refuse_setback(setpoint: float, otherwise: float | None) -> None:
    """Refuse a temperature at other times above that of the heater's own times."""
    if otherwise is not None and otherwise > setpoint:
        found = f"hold {show(otherwise, 'temperature')}"
        allowed = f"off, or up to the setpoint, {show(setpoint, 'temperature')}"
        raise refused(found, allowed, key="otherwise")
