"""A night's odds: counted over drawn vans, with the unknowns that move the night's margin."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from tests.invented import sheet, weather_of
from vanclimate.answers import night_odds as of
from vanclimate.answers.futures.drawn import drawn_scenes
from vanclimate.answers.scene import Scene, changed_scene, night_of, set_scene
from vanclimate.answers.season import Season, record_for, season_of
from vanclimate.van.reading import load


@pytest.fixture(scope="module")
def demo() -> tuple[Scene, Season]:
    from vanclimate.cache import data_path

    read = load(data_path("scenarios", "holds.yaml"))
    return set_scene(read, weather_of(read), 315.0), season_of(read, record_for(read))


@pytest.fixture
def many(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(of, "DRAWS", 64)


def test_what_is_counted_are_runs_of_drawn_vans(demo, monkeypatch):
    monkeypatch.setattr(of, "DRAWS", 8)
    scene, season = demo
    night = season.spells[0].nights[12]
    found = of.night_odds(scene, season, night, by_heat=False, seed=3)
    own = []
    for van in drawn_scenes(scene, 8, 3):
        people = van.sheet.people
        later = timedelta(minutes=people.bedtime - scene.sheet.people.bedtime)
        own.append(night_of(van, "ac", night + later, timedelta(hours=20)))
    charge = [r.margin_charge for r in own]
    assert found.night.held == sum(r.holds for r in own)
    assert found.night.of == found.night.independent == 8
    low, high = np.quantile(charge, [0.1, 0.9])
    assert (found.charge_low, found.charge_high) == pytest.approx((low, high), rel=1e-9)
    assert found.season is not None
    assert found.season.of == 8
    assert found.season.independent <= 8


def test_the_same_seed_gives_the_same_odds(demo, monkeypatch):
    monkeypatch.setattr(of, "DRAWS", 8)
    scene, season = demo
    night = season.spells[0].nights[3]
    one, again, other = (
        of.night_odds(scene, season, night, by_heat=True, seed=s) for s in (5, 5, 6)
    )
    assert one == again
    assert (one.room_low, one.room_high) != (other.room_low, other.room_high)


def test_what_moves_the_margin_moves_it_alone(demo, many):
    """The unknowns named first move the margin by themselves, and the way they are said to."""
    scene, season = demo
    night = season.spells[0].nights[12]
    found = of.night_odds(scene, season, night, by_heat=False)
    names = [mover.name for mover in found.movers]
    assert "battery health" in names[:3]
    health = next(m for m in found.movers if m.name == "battery health")
    poor, good = (
        night_of(changed_scene(scene, "battery.health", x), "ac", night).margin_charge
        for x in (0.865, 0.99)  # about its 10th and 90th percentile
    )
    assert health.high - health.low == pytest.approx(good - poor, rel=0.5)
    idle = {"heater's efficiency", "warmth as people set it"}
    assert not idle & set(names)  # no heater in this van


def test_a_single_made_up_night_has_no_season(monkeypatch):
    monkeypatch.setattr(of, "DRAWS", 4)
    made = sheet()
    scene = set_scene(made, weather_of(made), 180.0)
    season = season_of(made, record_for(made))
    found = of.night_odds(scene, season, season.spells[0].nights[0], by_heat=False)
    assert found.season is None
    assert found.night.of == 4
