"""Every shipped scenario answers, and as its name says; its invented figures check nothing."""

from __future__ import annotations

import pytest

from vanclimate.answers.night import night
from vanclimate.cache import data_path
from vanclimate.van import load

OUTCOMES = {
    "holds": None,
    "three-rooms": None,
    "holds-in-the-hills": None,
    "fails-on-charge": "charge",
    "fails-on-heat": "heat",
}


def test_all_scenarios_are_listed_here():
    assert {p.stem for p in data_path("scenarios").glob("*.yaml")} == set(OUTCOMES)


@pytest.mark.parametrize("name", OUTCOMES)
def test_a_scenario_ends_as_its_name_says(name):
    sheet = load(data_path("scenarios", f"{name}.yaml"))
    assert "Invented for this project" in sheet.note
    answer = night(sheet)
    failure = answer.result.failure
    assert (failure.kind if failure else None) == OUTCOMES[name]
    assert answer.holds == (OUTCOMES[name] is None)
    assert all(balance.ratio < 1e-9 for balance in answer.balances)
    assert {way.way for way in answer.ways} == {"closed", "fans", "ac"}
    assert not answer.ways[0].fit_to_sleep
