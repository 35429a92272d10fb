"""The night's ledgers add up: what comes into the living space is what its air then holds."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from tests import invented
from vanclimate.answers.judge import night_rows
from vanclimate.answers.ledgers import Balance, heat_rows, wet_rows
from vanclimate.answers.scene import Scene, run_way, set_scene
from vanclimate.cache import data_path
from vanclimate.physics.air import CP_AIR, CP_VAPOUR
from vanclimate.report.comfort import water_line
from vanclimate.van import load


@cache
def scene_of(name: str) -> Scene:
    sheet = load(data_path("scenarios", name))
    return set_scene(sheet, invented.weather_of(sheet), 180.0)


@pytest.mark.parametrize("way", ["ac", "fans"])
@pytest.mark.parametrize("name", ["holds.yaml", "three-rooms.yaml"])
def test_heat_into_the_living_space_is_what_its_air_holds(name, way):
    scene = scene_of(name)
    bedtime = invented.nights(scene)[9]
    run = run_way(scene, way, bedtime)
    part = night_rows(run, bedtime, scene.sheet)
    left = sum(row.wh for row in heat_rows(run, part) if not row.latent)
    air = run.column("cabin_temp_c")
    capacity = run.cabin.air_mass[0] * (CP_AIR + 0.01 * CP_VAPOUR) / 3600.0
    held = capacity * (air[part.stop - 1] - air[part.start - 1])
    assert left == pytest.approx(held, abs=1e-6)


def test_water_on_cold_faces_is_told_by_the_kind_of_face():
    # a closed, wet, cold night: breath freezes on the glass and lies on the ribs
    cold = invented.scene(low=-12, high=-6, humidity=85, left_glass=1.0, leakage="tight")
    bedtime = invented.bedtime(cold)
    run = run_way(cold, "closed", bedtime)
    part = night_rows(run, bedtime, cold.sheet)
    rows = {row.name: row for row in wet_rows(run, part)}
    assert rows["the glass"].most_g > 1
    assert rows["frost"].most_g > 1
    assert rows["frost"].most_g <= sum(r.most_g for n, r in rows.items() if n != "frost")
    assert rows["the glass"].waking_g <= rows["the glass"].most_g
    total = 1000.0 * run.column("face_water_kg")[part.stop - 1]
    told = sum(r.waking_g for n, r in rows.items() if n != "frost")
    assert told == pytest.approx(total, abs=8.0)  # kinds of face with less than a gram are not told
    assert np.all(run.water >= 0.0)


def test_a_dry_night_tells_of_no_water():
    scene = scene_of("holds.yaml")
    bedtime = invented.nights(scene)[9]
    run = run_way(scene, "ac", bedtime)
    assert wet_rows(run, night_rows(run, bedtime, scene.sheet)) == ()


def test_the_line_of_water_names_faces_and_frost():
    from types import SimpleNamespace

    from vanclimate.answers.ledgers import WetRow

    night = SimpleNamespace(wet=(WetRow("the glass", 80.2, 120.0), WetRow("frost", 0.0, 33.0)))
    assert water_line(night) == (
        "80 g on the glass at waking, 120 g at most; of it up to 33 g as frost"
    )


def test_a_book_that_nothing_passed_through_closes():
    # a full bank on shore: 2e-16 Ah came and went
    assert Balance("charge", 2e-16, 2e-16, "Ah").ratio < 1e-9
    assert Balance("charge", 2e-16, 0.1, "Ah").ratio > 1.0
