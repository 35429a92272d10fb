"""Every shipped scenario answers, and as its name says; its invented figures check nothing."""

from __future__ import annotations

import pytest

from vanclimate.answers.night import night
from vanclimate.cache import data_path
from vanclimate.van import load
from vanclimate.van.reading import loads_text

OUTCOMES = {
    "holds": None,
    "three-rooms": None,
    "holds-in-the-hills": None,
    "fails-on-charge": "charge",
    "fails-on-heat": "heat",
    "winter-work-van": None,
    "weekend-van": None,
    "winter-trip": None,
}
WAYS = {x: {"closed", "fresh", "heat"} for x in ("winter-work-van", "winter-trip")}
# what the scenario's own comment says: a change, and what it does to the verdict
CHANGED = {
    "winter-work-van": ('driving: {hours: "7:00 to 8:30, 15:00 to 16:30", days: weekdays, speed: '
                        "town}", "driving: never", "charge"),
    "weekend-van": ("by day: off", "by day: hold 80 F", None),
}  # fmt: skip


def test_all_scenarios_are_listed_here():
    assert {p.stem for p in data_path("scenarios").glob("*.yaml")} == set(OUTCOMES)


SLOW = ("winter-work-van", "three-rooms", "winter-trip")


@pytest.mark.parametrize(
    "name",
    [pytest.param(x, marks=pytest.mark.slow) if x in SLOW else x for x in OUTCOMES],
)
def test_a_scenario_ends_as_its_name_says(name):
    sheet = load(data_path("scenarios", f"{name}.yaml"))
    assert "Invented for this project" in sheet.note
    answer = night(sheet)
    failure = answer.result.failure
    assert (failure.kind if failure else None) == OUTCOMES[name]
    assert answer.holds == (OUTCOMES[name] is None)
    assert all(balance.ratio < 1e-9 for balance in answer.balances)
    assert {way.way for way in answer.ways} == WAYS.get(name, {"closed", "fans", "ac"})
    assert not answer.ways[0].fit_to_sleep
    # a survey's night is the answer's own: as much fuel, the bank followed from the same day
    surveyed = next(n for n in answer.nights if n.bedtime == answer.bedtime)
    assert surveyed.result.margin_charge == pytest.approx(answer.result.margin_charge, abs=0.02)
    assert surveyed.result.fuel_left_l == pytest.approx(answer.result.fuel_left_l, abs=0.2)
    for day in answer.days:  # what came and went is what the bank's charge did
        moved = sum(day.came.values()) - sum(day.went.values()) - day.losses_ah
        # but for a row now and then that both charges and discharges
        assert day.end_ah - day.start_ah == pytest.approx(moved, abs=0.01)


@pytest.mark.slow
@pytest.mark.parametrize("name", CHANGED)
def test_a_change_that_the_comment_names_does_what_it_says(name):
    was, now, kind = CHANGED[name]
    text = data_path("scenarios", f"{name}.yaml").read_text(encoding="utf-8")
    assert was in text
    answer = night(loads_text(text.replace(was, now)))
    failure = answer.result.failure
    assert (failure.kind if failure else None) == kind
    if name == "weekend-van":
        assert any("together trip the inlet" in text for text in answer.warnings)
