"""The night in short is the night: a comparison ranks by the same figures as it shows."""

from __future__ import annotations

import pytest

from vanclimate.answers.night import night
from vanclimate.answers.which_night import night_in_short
from vanclimate.cache import data_path
from vanclimate.van.reading import load

OTHERS = [
    ("fails-on-charge", ()),  # its margin is of the whole night, from the survey
    ("fails-on-heat", ()),
    ("winter-work-van", ()),  # its bank is followed, its night the coldest
]


def agree(name: str, changes: tuple[str, ...], when: str | None) -> None:
    sheet = load(data_path("scenarios", f"{name}.yaml"), changes)
    assert night_in_short(sheet, when=when).figures == night(sheet, when=when).figures


def test_a_given_night_in_short_has_the_figures_of_its_whole_answer():
    agree("holds", ("battery.capacity=150 Ah",), "07-04")


@pytest.mark.slow
@pytest.mark.parametrize(("name", "changes"), OTHERS)
def test_any_night_in_short_has_the_figures_of_its_whole_answer(name, changes):
    agree(name, changes, None)
