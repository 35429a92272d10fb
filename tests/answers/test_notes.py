"""What an answer notes beside its verdict."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.invented import weather_of
from vanclimate.answers.night import night
from vanclimate.cache import data_path
from vanclimate.errors import SheetError
from vanclimate.van import load, loads_text

HOLDS = data_path("scenarios", "holds.yaml")


def test_a_file_whose_sun_is_an_hour_off_is_noted():
    sheet = load(HOLDS).with_value("heading", "S")
    weather = weather_of(sheet)
    assert not any("the sun of its place" in note for note in night(sheet, weather).warnings)
    late = {name: np.roll(getattr(weather, name), 1) for name in ("ghi", "dni", "dhi")}
    off = replace(weather, digest=weather.digest + "-late", **late)
    assert any("the sun of its place" in note for note in night(sheet, off).warnings)


def test_a_cold_night_says_that_it_answers_for_heat_only():
    text = HOLDS.read_text(encoding="utf-8").replace("month: July", "month: January")
    answer = night(loads_text(text).with_value("heading", "S"))
    assert answer.holds
    assert any("about heat only" in note for note in answer.warnings)


def test_an_early_start_says_what_it_draws_before_bedtime():
    answer = night(load(HOLDS).with_value("heading", "S"))
    assert any("60 min before bedtime" in note for note in answer.warnings)


def test_ribs_that_cannot_bridge_as_much_as_said_are_noted():
    answer = night(load(data_path("scenarios", "fails-on-heat.yaml")).with_value("heading", "S"))
    assert any("bare steel reach a bridging factor of 1." in note for note in answer.warnings)


def test_panels_that_do_not_fit_are_noted():
    sheet = load(HOLDS).with_value("heading", "S").with_value("roof_panels.power", "2000 W")
    assert any("do not fit" in note for note in night(sheet).warnings)


@pytest.mark.parametrize("rating", ["500 W", "1200 W"])
def test_an_inverter_smaller_than_the_unit_is_refused(rating):
    with pytest.raises(SheetError, match="at least the 1300 W of the air conditioner"):
        night(load(HOLDS).with_value("inverter.rating", rating))
