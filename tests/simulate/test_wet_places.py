"""Condensation on light faces: what their own latent heat does, from step to step."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
import pytest

from tests import invented
from tests.simulate.test_thermal_step import network
from vanclimate.answers.scene import set_scene
from vanclimate.network.compile import OUT_NONE, OUT_WALL
from vanclimate.physics.air import saturation_humidity_ratio
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.lanes import lanes_of
from vanclimate.simulate.moisture import damp_places
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import execute
from vanclimate.van.reading import loads_text

# invented: a tight trailer in a warm damp place, clothes drying at noon, a mat on its window
DAMP = """\
site: greensboro
units: si
body: {kind: box trailer, colour: silver, leakage: tight, roof state: wet}
stacks:
  roof: [steel 0.9 mm, sprayed foam 2 in, plywood 6 mm]
  walls: [steel 20 gauge, sprayed foam 2 in, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 1 in, plywood 1/2 in]
windows:
  - {name: left, side: left, area: 0.4 m2, glass: clear, cover: reflective, covered: night}
people: {sleepers: 0, bedtime: 22:30, waking: 07:00}
fans: {by day: off}
battery: {conductance: 0 W/K}
inverter: {}
loads:
  - {name: drying, power: 0 W, when: 10:00 to 15:00, water: 200 g/h}
"""


def test_a_wet_mat_on_a_window_does_not_swing_from_step_to_step() -> None:
    """Its face weighs 240 J/K; the latent heat of one step once set the next one's rate."""
    sheet = loads_text(DAMP)
    scene = set_scene(sheet, invented.weather_of(sheet), 90.0)
    zone = scene.place.weather.start
    start = datetime(zone.year, 7, 3, tzinfo=zone.tzinfo)
    plan = make_plan(
        sheet, scene.model, scene.place, "closed", start, start + timedelta(days=6), (), 0.0
    )
    cabin = cabin_of(sheet, scene.model, plan.outside.pressure)
    found = []
    for base in (300.0, 10.0):
        run = execute(scene.model, plan, cabin, scene.gear, base=base, keep_nodes=True)
        hours = np.abs(run.seconds[1:] / 3600.0 - np.round(run.seconds[1:] / 3600.0)) < 1e-6
        found.append((run.nodes[hours], run.column("face_water_kg")[hours]))
    (coarse, water), (fine, expected) = found
    assert expected.max() > 0.3  # kg: it is a wet place
    assert np.abs(coarse - fine).max() < 1.0  # K; 33.7 where the rate is not damped
    assert np.abs(water - expected).max() < 0.01 * expected.max()


@pytest.mark.parametrize("temp", [25.0, -8.0])
@pytest.mark.parametrize("inverse", [0.0, 3e-3, 0.1])
def test_at_rest_the_rate_is_that_of_the_air_in_contact(temp: float, inverse: float) -> None:
    """However strongly the face answers: rate = β (W − W_sat) where the last rate was the same."""
    net = lanes_of(network([([1.0], [0.0])], 1.0, OUT_NONE))
    saturation, contact, humidity = float(saturation_humidity_ratio(temp, 101325.0)), 2e-3, 0.02
    rate = contact * (humidity - saturation)
    water, active = np.zeros((wet.N_PLACE, 2)), np.array([0, 0, 1])
    water[wet.CONTACT, 0], water[wet.SATURATION, 0] = contact, saturation
    water[wet.BEFORE, 0] = rate
    damp_places(net, np.array([inverse]), np.array([temp]), water, active, 1.0)
    found = water[wet.DAMPED, 0] * (humidity - water[wet.MET, 0])
    assert water[wet.MET, 0] > 0.0  # not held at dryness
    assert found == pytest.approx(rate, rel=1e-12)


def frosted() -> tuple[dict[str, np.ndarray], np.ndarray]:
    """Return the rows of a room whose one light face frosts for a day and thaws in the next.

    A face of 3 kJ/K behind little insulation, a damp room; at -15 °C outdoors, then at 15 °C with
    dry outdoor air and nothing damp left inside.
    """
    hours, net = 60, network([([3e3, 3e3], [4.0, 0.0])], 2.0, OUT_WALL)
    temp = np.where(np.arange(hours + 1) < 24, -15.0, 15.0)
    out = invented.outside(1, 2, hours, temp=temp, humidity=0.0008, wind=2.0,
                           surroundings=temp[:, None])  # fmt: skip
    gain = np.where(np.arange(hours) < 24, 1e-5, 0.0)[:, None]  # kg/s
    plan = invented.idle(hours, 1, heat_below=5.0, fan_flow=0.002, free_water=gain)
    rows, trace = invented.run_bare(net, out, plan, invented.cabin(12.0), start=-5.0)
    return rows, trace.nodes[:, -1]


def test_frost_melts_before_it_dries() -> None:
    rows, face = frosted()
    ice, water = rows["frost_kg"], rows["face_water_kg"]
    assert ice.max() > 0.05
    assert ice.max() == pytest.approx(water.max(), rel=0.05)  # it froze as it came
    assert water[-1] == 0.0
    # half molten: the face is held at the melting point
    melting = (ice > 0.1 * ice.max()) & (ice < 0.9 * water) & (np.arange(len(ice)) > 23 * 12)
    assert melting.sum() > 3
    assert np.abs(face[melting]).max() < 0.5


def test_what_frost_gave_it_takes_back() -> None:
    """Frosting, melting and drying in turn: all heats together are nothing, but for temperature.

    2.834 MJ/kg given; 0.333 and 2.45 taken, the last a value for 20 °C.
    """
    rows, _ = frosted()
    heat, mass = rows["condensation_w"] * 300.0, rows["face_water_kg"].max()
    assert abs(heat.sum()) < 0.03 * mass * 2.834e6
    assert heat[heat > 0.0].sum() > 0.9 * mass * 2.834e6
