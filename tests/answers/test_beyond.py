"""A bank that is open for another reason than its charge ends a night, in every count of nights."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from vanclimate.answers.beyond import beyond_limits
from vanclimate.answers.facing import facing
from vanclimate.answers.futures.stays import CAUSES, COLUMN, judge_stays, run_stays, stays_of
from vanclimate.answers.judge import judge
from vanclimate.answers.scene import Scene, night_of, run_way, survey
from vanclimate.answers.season import record_for, season_of
from vanclimate.cache import data_path
from vanclimate.van.reading import load

COLD = ("battery.cold discharge=4 C", "battery.pad=none", "battery.charge at bedtime=90 %",
        "rules=[]", "heading=N")  # fmt: skip


def scene_and_nights(*values: str) -> tuple[Scene, tuple[datetime, ...]]:
    sheet = load(data_path("scenarios", "winter-work-van.yaml"), values)
    season = season_of(sheet, record_for(sheet), timedelta(days=3))
    spell = season.spells[0]
    return facing(sheet, [(spell, night) for night in spell.nights], True), spell.nights


@pytest.fixture(scope="module")
def cold() -> tuple[Scene, tuple[datetime, ...]]:
    return scene_and_nights(*COLD)


def test_an_ordinary_run_is_not_beyond(cold):
    scene, nights = scene_and_nights(*COLD[1:])
    assert not beyond_limits(run_way(scene, "heat", nights[8], limited=False))
    scene, nights = cold
    assert beyond_limits(run_way(scene, "heat", nights[8], limited=False))


def test_each_night_holds_as_its_limited_run_does(cold):
    scene, nights = cold
    some = nights[5:12]
    for bedtime, found in zip(some, survey(scene, some), strict=True):
        lived = judge(run_way(scene, "heat", bedtime), scene.sheet, "heat", bedtime)
        alone = night_of(scene, "heat", bedtime)
        assert alone.holds == lived.holds == found.result.holds
        assert alone.margin_degrees == lived.margin_degrees
    assert not all(night_of(scene, "heat", night).holds for night in some)


def test_a_stay_in_which_the_bank_opens_does_not_last(cold):
    scene, nights = cold
    stays = stays_of(scene.sheet, nights[6:9], 1)
    run = run_stays(scene, stays)
    rows = judge_stays(run, scene, stays)
    limited = judge_stays(run_stays(scene, stays, limited=True), scene, stays)
    assert (rows == limited).all()
    opened = run.column("bank_open_share") > 0.0
    assert opened.any()
    assert {CAUSES[int(row[COLUMN["failed"]])] for row in rows} >= {"charge"}
    assert (rows[:, COLUMN["charge_margin"]].min()) <= 0.0
