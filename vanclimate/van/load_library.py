"""Ordinary loads by name: what they draw, when they are usually on, and where their heat goes.

What does not belong here: a sheet's own loads (loads.py), and the air conditioner, heaters and
fans, which have sections of their own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from vanclimate.errors import near
from vanclimate.van.fields import Period, fold
from vanclimate.van.water import G_PER_H, WATER

NIGHT = (22 * 60 + 30, 7 * 60)  # the sheet's own night where it says nothing of it
PLATES = "the class's data plates, from memory"


@dataclass(frozen=True)
class UsualLoad:
    """An ordinary load.

    Parameters
    ----------
    name : as a sheet writes it
    power : drawn while on [W], at its plug
    at_least, at_most : range of such loads [W]
    source : of the power and its range
    when : its usual periods, none where it is always on; assumed, all of them
    duty : share of that time in which it draws
    feed : battery, inverter or gas
    heat_inside : share of its power that ends as heat in the van
    water : given off while on [kg/s]
    kind : plain, or a fridge, whose duty follows the air
    also : other names of it
    """

    name: str
    power: float
    at_least: float
    at_most: float
    source: str = PLATES
    when: tuple[Period, ...] = ()
    duty: float = 1.0
    feed: str = "battery"
    heat_inside: float = 1.0
    water: float = 0.0
    kind: str = "plain"
    also: tuple[str, ...] = ()


def _at(hour: int, minute: int, minutes: int) -> tuple[Period, ...]:
    start = 60 * hour + minute
    return ((start, (start + minutes) % 1440),)


_EVENING = _at(19, 0, 210)

# fmt: off
LOADS = (
    UsualLoad("fridge", 55.0, 45.0, 60.0, "compressor fridges: 45-60 W, from memory", kind="fridge",
              also=("refrigerator", "compressor fridge", "cool box")),
    UsualLoad("lights", 15.0, 5.0, 30.0, "assumed: five lamps of 3 W", when=_EVENING,
              also=("lighting", "lamps", "LED lights")),
    UsualLoad("induction cooking", 1500.0, 1000.0, 1800.0, when=_at(18, 30, 30), duty=0.6,
              feed="inverter", water=WATER["cooking"],
              also=("induction", "induction plate", "induction hob", "induction cooktop")),
    UsualLoad("gas cooking", 1800.0, 1200.0, 2500.0, when=_at(18, 30, 30), duty=0.6, feed="gas",
              water=WATER["cooking"], also=("gas stove", "gas hob")),
    UsualLoad("kettle", 1000.0, 800.0, 1500.0, when=_at(7, 0, 7), feed="inverter",
              water=300 * G_PER_H, also=("electric kettle",)),
    UsualLoad("coffee maker", 1000.0, 700.0, 1450.0, when=_at(7, 10, 6), feed="inverter",
              water=300 * G_PER_H, also=("coffee machine",)),
    UsualLoad("microwave", 1200.0, 1000.0, 1600.0, when=_at(18, 30, 6), feed="inverter",
              water=300 * G_PER_H, also=("microwave oven",)),
    UsualLoad("toaster", 800.0, 600.0, 1200.0, when=_at(7, 10, 4), feed="inverter"),
    UsualLoad("slow cooker", 180.0, 100.0, 300.0, when=_at(13, 0, 330), feed="inverter",
              water=60 * G_PER_H),
    UsualLoad("television", 35.0, 20.0, 60.0, when=_at(20, 0, 120), also=("TV",)),
    UsualLoad("router", 10.0, 6.0, 20.0, also=("mobile router", "cellular router", "wifi router")),
    UsualLoad("satellite terminal", 60.0, 40.0, 100.0, feed="inverter",
              also=("satellite internet", "satellite dish")),
    UsualLoad("laptop", 60.0, 30.0, 100.0, when=_at(19, 0, 150), feed="inverter",
              also=("laptop charging", "computer")),
    UsualLoad("phone charging", 10.0, 5.0, 25.0, when=_at(22, 30, 120), also=("phone", "phones")),
    UsualLoad("speakers", 15.0, 5.0, 40.0, when=_EVENING, also=("radio", "stereo")),
    UsualLoad("game console", 130.0, 50.0, 200.0, when=_at(20, 0, 120), feed="inverter"),
    UsualLoad("water pump", 60.0, 40.0, 110.0, "12 V pressure pumps: 4-8 A, from memory",
              when=(*_at(7, 0, 5), *_at(18, 30, 5)), heat_inside=0.5),
    UsualLoad("water heater", 500.0, 200.0, 1400.0, when=_at(12, 0, 60), feed="inverter",
              heat_inside=0.3, also=("boiler", "hot water")),
    UsualLoad("roof fan", 25.0, 2.0, 40.0, "roof fans: 2-40 W, from memory", when=_EVENING,
              heat_inside=0.0, also=("exhaust fan",)),
    UsualLoad("bed fan", 6.0, 2.0, 15.0, "assumed: a small fan at a low step", when=(NIGHT,)),
    UsualLoad("heated blanket", 60.0, 40.0, 120.0, when=(NIGHT,), duty=0.5,
              also=("electric blanket", "heated mattress pad")),
    UsualLoad("breathing machine", 40.0, 20.0, 90.0, when=(NIGHT,), also=("CPAP",)),
    UsualLoad("e-bike charging", 150.0, 80.0, 250.0, when=_at(18, 0, 240), feed="inverter",
              heat_inside=0.15, also=("e-bike", "ebike", "ebike charging")),
    UsualLoad("tool charging", 80.0, 40.0, 150.0, when=_at(18, 0, 60), feed="inverter",
              heat_inside=0.2),
    UsualLoad("hair dryer", 1200.0, 800.0, 1875.0, when=_at(7, 15, 5), feed="inverter",
              water=600 * G_PER_H, also=("hairdryer",)),
    UsualLoad("vacuum cleaner", 120.0, 60.0, 600.0, when=_at(10, 0, 10), feed="inverter"),
    UsualLoad("toilet fan", 1.5, 1.0, 4.0, heat_inside=0.0, also=("composting toilet",)),
    UsualLoad("gas alarm", 1.5, 0.5, 3.0, also=("alarms", "CO alarm")),
    UsualLoad("dash camera", 4.0, 2.0, 8.0, also=("dashcam",)),
)
# fmt: on
"""Kettle: a litre takes about 6.5 minutes at 1 kW. Induction and gas: full output for 60 % of the
half hour, assumed. Water heater and pump: the rest of the heat leaves with the water, assumed.
Charging a battery that leaves the van: the charger's loss stays, assumed. Steam of a kettle, a
coffee maker and a microwave: 30 g in 6 minutes, assumed."""


@lru_cache(maxsize=256)
def usual_load(name: str) -> UsualLoad | None:
    """Return the ordinary load of a name; 'lights 2' is one of the lights.

    >>> usual_load("Lights 2").power
    15.0
    """
    return _known().get(re.sub(r" \d+$", "", fold(name)))


def near_load(name: str) -> str:
    """Return ``did you mean '…'?`` where an ordinary load is spelt nearly so, else ''."""
    return near(fold(name), [load.name for load in LOADS])


def gives(load: UsualLoad, field: str) -> bool:
    """Return whether a row says of a field something that is not said of every load."""
    plain: dict[str, Any] = {
        "when": (), "duty": 1.0, "feed": "battery", "heat_inside": 1.0, "water": 0.0,
    }  # fmt: skip
    return field == "power" or (field in plain and getattr(load, field) != plain[field])


@lru_cache(maxsize=1)
def _known() -> dict[str, UsualLoad]:
    return {fold(name): load for load in LOADS for name in (load.name, *load.also)}
