"""Changes that make a night hold: they do, and a step less does not."""

from __future__ import annotations

from pathlib import Path

import pytest

import vanclimate as vc
from vanclimate.answers.futures.change import Done
from vanclimate.answers.futures.remedies import remedied
from vanclimate.answers.night_changes import NightChange, NightChanges
from vanclimate.report.remedy_words import night_change_lines
from vanclimate.van.remedies import BY_NAME

SCENARIOS = Path(__file__).parents[2] / "scenarios"
BATTERY, COVERS = Done("battery", "charge", 300.0), Done("window covers", "count", 1.0)


def changed(sheet: vc.Sheet, change: NightChange, less: bool) -> vc.Sheet:
    """Return a sheet changed so, or by a step less of the first remedy."""
    for done in change.done:
        remedy = next(r for r in sheet.remedies if r.what == done.name)
        step = (remedy.step or BY_NAME[done.name.casefold()].step) if less else 0.0
        if done.size - step > 1e-9:
            sheet = remedied(sheet, remedy, done.size - step)
    return sheet


@pytest.mark.slow
@pytest.mark.parametrize("name", ["fails-on-charge", "fails-on-heat"])
def test_the_night_holds_with_each_change_and_not_with_a_step_less(name):
    night = vc.night(vc.load(SCENARIOS / f"{name}.yaml"))
    day = f"{night.bedtime:%Y-%m-%d}"
    assert night.changes is not None
    assert night.changes.enough
    assert night.changes.sure is None or night.changes.sure.steps >= night.changes.enough[0].steps
    for change in night.changes.enough:
        base = night.sheet.with_value("heading", night.heading)
        assert vc.night(changed(base, change, less=False), when=day).holds
        assert not vc.night(changed(base, change, less=True), when=day).holds


def test_what_is_enough_and_what_is_not_are_told_apart():
    one = NightChanges((NightChange((BATTERY,), 3),), (COVERS,), NightChange((COVERS,), 4))
    assert night_change_lines(one, "us") == [
        "The sheet's own van holds with 300 Ah more battery.",
        "To hold in 9 vans of 10, however they turn out when built: insulated covers on all glass.",
        "Not enough alone, at the most that was tried: insulated covers on all glass.",
    ]
    two = NightChanges((NightChange((BATTERY, COVERS), 3), NightChange((COVERS,), 4)), (), None)
    assert night_change_lines(two, "us") == [
        "The sheet's own van holds with any one of these, least first: 300 Ah more battery and "
        "insulated covers on all glass; insulated covers on all glass.",
        "As it may turn out when built: no more of the first is enough in 9 vans of 10.",
    ]
    assert (
        "Nothing that was tried" in night_change_lines(NightChanges((), (COVERS,), None), "us")[0]
    )
