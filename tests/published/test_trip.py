"""A trip's fuel against what fleets burn, and against degree-hours worked out by hand.

Sources: fuel of bunk heaters, trade pages (read), their kilowatts derived; lower heating value of
diesel, a government data sheet (read); convective film coefficients inside, ISO 6946 annex, 5.0 up,
2.5 across and 0.7 W/m²K down, from memory, and 0.04 m²K/W outside (partly read); XPS of
0.026-0.034 W/mK, handbook tables (read).
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.published.test_sleeper_cab import TRUCK, USUAL
from vanclimate.answers.trip.answer import Trip, trip
from vanclimate.van import loads_text

FLEET = (0.114, 0.19)  # L/h
DIESEL = (9.95, 10.03)  # kWh/L
NIGHTS, HOURS = 20, 10  # from 21:00 to 07:00

BUNK = """
heater: {{fuel: diesel, output: 2 kW, setpoint: {setpoint} C, when: 21:00 to 07:00, tank: 200 L}}
trip: ["{place}, {day}, 20 nights"]
"""


@cache
def in_the_cab(place: str, day: str, setpoint: int) -> Trip:
    """Return three weeks of a sleeper cab, invented as in `test_sleeper_cab`, one driver in it."""
    text = TRUCK.replace("sleepers: 0", "sleepers: 1, bedtime: 22:00, waking: 06:00")
    text = text.replace("battery: {{", "battery: {{capacity: 2000 Ah, ")
    said = USUAL | {"drawn": "night"}
    text = (text + BUNK).format(**said, place=place, day=day, setpoint=setpoint)
    return trip(loads_text(text, "truck"), draws=1)


@pytest.mark.parametrize("setpoint", [18, 21])
@pytest.mark.parametrize(
    ("place", "day"),
    [
        ("greensboro", "15 December"), ("greensboro", "10 January"),
        ("sand point", "20 November"), ("sand point", "10 January"),
    ],
)  # fmt: skip
@pytest.mark.slow
def test_a_bunk_heater_burns_what_fleets_burn(place: str, day: str, setpoint: int) -> None:
    """Weeks with means of -1 to 2 °C, those of a winter in which fleets count hours, assumed."""
    (result,) = in_the_cab(place, day, setpoint).results
    assert -1.0 <= result.outdoor_mean_c <= 2.0
    assert FLEET[0] <= result.fuel_l / result.heater_hours <= FLEET[1]
    assert FLEET[0] <= result.fuel_l / (NIGHTS * HOURS) <= FLEET[1]


def test_a_litre_gives_the_class_its_share_of_the_heating_value() -> None:
    """0.24 L/h at 2.0 kW is 83 % (derived, to two digits)."""
    (result,) = in_the_cab("greensboro", "10 January", 18).results
    per_litre = result.heat_wh / 1e3 / result.fuel_l
    assert 0.825 * DIESEL[0] <= per_litre <= 0.835 * DIESEL[1]


BOX = """
name: a box of foam, invented for this test
site: {{design day: {{low: {low} C, high: {high} C, latitude: 45, longitude: -80, humidity: 80 %,
       date: 01-15}}, ground: as air}}
heading: N
shade: 100 %
body: {{length: 3.6 m, width: 1.8 m, height: 1.9 m, leakage: 1 cm2, rib share: 0 %,
       furnishing: 0 kg}}
stacks: {{roof: [XPS 40 mm], walls: [XPS 40 mm], floor: [XPS 40 mm]}}
windows: none
people: {{sleepers: 0}}
fans: {{count: 0}}
vents: none
doors: {{openings per hour: 0}}
heater: {{output: 2 kW, floor: 50 W, setpoint: 20 C, differential: 0.5 K, when: always,
         tank: 80 L, start: 0 s, purge: 0 s, glow power: 0 W, fan floor: 0 W, fan full: 0 W,
         standby: 0 W}}
battery: {{capacity: 2000 Ah, conductance: 0 W/K}}
inverter: none
loads: none
trip: ["15 January, 4 nights"]
"""
FILMS = {"roof": 5.0, "walls": 2.5, "floor": 0.7}  # W/m2K
AREAS = {"roof": 3.6 * 1.8, "walls": 2 * (3.6 + 1.8) * 1.9, "floor": 3.6 * 1.8}  # m2
FOAM = 0.040 / 0.030  # m2K/W


@pytest.mark.parametrize(("low", "high"), [(-5, 5), (-15, -5), (0, 8)])
def test_degree_hours_by_hand(low: int, high: int) -> None:
    """Within 15 %, as asked: a van without sun and mass; measured 6 % less than by hand.

    A heater warms the air, and inside a box that is cold all round no face has a warmer one to look
    at, so its films are those of convection alone. With ISO 6946's 0.13 m²K/W, which takes the
    walls of the room behind one for as warm as its air, the hand gets a third too much.
    """
    found = trip(loads_text(BOX.format(low=low, high=high), "box"), draws=1)
    (result,) = found.results
    run = found.stages[0].run
    degree_hours = float(((20.0 - run.outdoor) * run.width).sum()) / 3600.0
    ua = sum(AREAS[x] / (1.0 / FILMS[x] + FOAM + 0.04) for x in FILMS)
    by_hand = ua * degree_hours / (0.83 * 1e3 * DIESEL[0])
    assert result.fuel_l == pytest.approx(by_hand, rel=0.15)
    usual = sum(AREAS.values()) / (0.13 + FOAM + 0.04) / ua
    assert usual * by_hand == pytest.approx(4.0 / 3.0 * result.fuel_l, rel=0.05)
