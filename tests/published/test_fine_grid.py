"""The default network against a fine one: eight parts for one, twenty seconds for five minutes.

The bound is that of one node a layer, from our own study of a light van shell with a fine mesh at
one minute as the truth: 0.06 to 0.10 K RMS in hourly air temperature.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from tests.invented import weather_of
from vanclimate.answers.scene import set_scene
from vanclimate.cache import data_path
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.simulate.plan import bedtime_on, cabin_of, make_plan
from vanclimate.simulate.runs import execute
from vanclimate.van import load


def hourly_air(scene, base):
    bedtime = bedtime_on(scene.sheet, scene.place.weather.start.tzinfo, date(2025, 7, 20))
    start = bedtime - timedelta(days=10)
    plan = make_plan(
        scene.sheet, scene.model, scene.place, "closed", start, bedtime, [bedtime], 100.0
    )
    cabin = cabin_of(scene.sheet, scene.model, plan.outside.pressure)
    run = execute(scene.model, plan, cabin, scene.unit, scene.bank, base=base)
    sums = np.concatenate([[0.0], np.cumsum(run.column("cabin_temp_mean_c") * run.width)])
    hours = 3600.0 * np.arange(72, 240)
    return np.diff(np.interp(hours, run.seconds, sums)) / 3600.0


@pytest.mark.parametrize("name", ["holds.yaml", "fails-on-heat.yaml"])
def test_hourly_air_temperature_of_a_fine_grid(name):
    sheet = load(data_path("scenarios", name))
    scene = set_scene(sheet, weather_of(sheet), 180.0)
    fine = replace(scene, model=compile_shell(shell_of(sheet), 10))
    assert len(fine.model.network.capacity) > len(scene.model.network.capacity)
    difference = hourly_air(scene, 300.0) - hourly_air(fine, 20.0)
    assert np.sqrt(np.mean(difference**2)) < 0.06
