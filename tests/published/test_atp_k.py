"""The K coefficient of insulated bodies, measured in the model as the ATP agreement measures it.

Sources: ATP agreement, Annex 1: limits 0.40 (heavily insulated) and 0.70 W/m2K (normally
insulated) read; the method from memory: internal heating to a steady state with a mean wall
temperature of 19 to 21 °C (here 32.5 °C inside and 7.5 °C outside), K = heat / (S ΔT), S the
geometric mean of the inside and outside area, air at 1 to 2 m/s along the outside. Materials:
handbook rows of our library.

The bodies are invented (6 × 2.4 × 2.2 m inside, no doors or seals, tight), so the limits can only
say whether a wall that the trade calls insulated comes out as such. Bands written before the first
run: 60 mm of foam between GRP faces counts as normally insulated and 100 mm as heavily, 25 mm as
neither; K within 5 % of the U-value by arithmetic with Rsi 0.13 and Rse 0.04, whose films are 15 %
of the thinnest's resistance and a third uncertain (assumed). The first run had no fans inside, and
missed by 12 to 26 %: in still air, with all walls as cold as each other, the inside film is natural
convection alone, about 2 W/m2K. The standard asks for fans for that reason, and the bands stayed.
"""

from __future__ import annotations

from functools import lru_cache
from math import sqrt
from typing import NamedTuple

import numpy as np
import pytest

from tests.invented import NO_UNIT, cabin, idle, outside, run_bare
from vanclimate.equipment.air_conditioner import AirConditioner
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.physics.air import density
from vanclimate.van.reading import loads_text

INSIDE, OUTSIDE = 32.5, 7.5  # °C
TURNS = 55.0  # 1/h
HOURS = 120
HEAVY, NORMAL = 0.40, 0.70  # W/m2K
SHEET = """\
site: miami
body:
  length: 6 m
  width: 2.4 m
  height: 2.2 m
  rib share: 0 %
  furnishing: 0 kg
stacks:
  roof: &
  walls: &
  floor: &
windows: none
""".replace("&", "[glass fibre plastic 2 mm, sprayed foam {foam} mm, glass fibre plastic 2 mm]")


class Measured(NamedTuple):
    """What the test of a body gives."""

    k: float  # W/m2K
    ua: float  # W/K
    area: float  # m2
    inside: float  # °C
    drift: float  # W over the last 12 hours


def fan(air_mass: float) -> AirConditioner:
    """Return a blower that never cools: its thermostat is set out of reach."""
    return NO_UNIT._replace(blower=0.0, mass_flow=TURNS * air_mass / 3600, continuous_blower=True)


@lru_cache
def measured(foam: int, fans: bool = True) -> Measured:
    sheet = loads_text(SHEET.format(foam=foam))
    model = compile_shell(shell_of(sheet))
    net = model.network
    out = outside(len(net.area), len(net.capacity), HOURS, temp=OUTSIDE, humidity=0.004, wind=1.5)
    plan = idle(HOURS, len(net.area), heat_below=INSIDE, ac_setpoint=99.0)
    air = cabin(float(net.volume.sum()) * float(density(INSIDE, 0.004, 101325.0)))
    plan.ac_share[:] = float(fans)
    columns, _ = run_bare(net, out, plan, air, start=20.0, unit=fan(float(air.air_mass[0])))
    heat, temp = columns["plant_w"], columns["cabin_temp_c"]
    b, wall = sheet.body, (foam + 4) / 1000.0
    inner = _surface(b.length, b.width, b.height)
    outer = _surface(b.length + 2 * wall, b.width + 2 * wall, b.height + 2 * wall)
    area = sqrt(inner * outer)
    ua = float(heat[-12:].mean()) / (float(temp[-1]) - OUTSIDE)
    return Measured(ua / area, ua, area, float(temp[-1]), float(np.ptp(heat[-144:])))


def _surface(length: float, width: float, height: float) -> float:
    return 2 * (length * width + length * height + width * height)


def by_arithmetic(foam: int) -> float:
    return 1 / (0.13 + 0.04 + foam / 1000.0 / 0.026 + 0.004 / 0.40)


@pytest.mark.parametrize("foam", [25, 60, 100])
def test_the_state_is_steady_and_the_mean_wall_temperature_as_prescribed(foam):
    result = measured(foam)
    assert result.drift < 1e-3 * result.ua * (INSIDE - OUTSIDE)
    assert 19.0 <= 0.5 * (result.inside + OUTSIDE) <= 21.0


@pytest.mark.parametrize("foam", [25, 60, 100])
def test_k_is_the_u_value_by_arithmetic(foam):
    assert measured(foam).k == pytest.approx(by_arithmetic(foam), rel=0.05)


def test_bodies_fall_into_the_classes_that_the_limits_draw():
    assert measured(25).k > NORMAL
    assert measured(60).k <= NORMAL
    assert measured(100).k <= HEAVY


def test_our_areas_add_up_to_the_agreements():
    # ours is the geometric mean of each side, the agreement's that of the whole body
    sheet = loads_text(SHEET.format(foam=60))
    ours = sum(s.area for s in shell_of(sheet).surfaces)
    assert ours == pytest.approx(measured(60).area, rel=1e-3)


def test_without_fans_still_air_insulates_too():
    # why the standard stirs the air: natural convection alone is the weaker film
    assert measured(25, fans=False).k < measured(25).k
