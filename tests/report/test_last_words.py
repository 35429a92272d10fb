"""Whether a van lasts, in words that claim no more than the odds bear."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from vanclimate.answers.futures.change import Done
from vanclimate.answers.futures.odds import odds_of
from vanclimate.report import last_words as words
from vanclimate.report.remedy_words import done_words


@pytest.mark.parametrize(
    ("held", "independent", "sure"),
    [
        (991, 10, False),  # ten stays apart never bear nine in ten
        (991, 500, True),
        (900, 500, False),  # just what is asked
        (500, 500, True),  # far below
        (331, 1, True),  # one weather: the count itself is told, no odds
    ],
)
def test_what_is_asked_must_lie_outside_the_interval(held, independent, sure):
    assert words.is_sure(odds_of(held, 1000, independent), 0.9) is sure


@pytest.mark.parametrize(
    ("done", "us", "si"),
    [
        (Done("battery", "charge", 100.0), "100 Ah more battery", "100 Ah more battery"),
        (Done("AC setpoint", "temperature_difference", 1.0), "the AC set 1.8 F° higher",
         "the AC set 1.0 K higher"),
        (Done("insulation", "length", 0.0254), "1 in more insulation in roof and walls",
         "25 mm more insulation in roof and walls"),
        (Done("fuel", "volume", 0.005), "a tank 1.3 gal larger", "a tank 5 L larger"),
        (Done("shade", "count", 2.0), "two steps deeper in the shade",
         "two steps deeper in the shade"),
    ],
)  # fmt: skip
def test_a_change_is_said_in_the_reader_s_units(done, us, si):
    assert (done_words(done, "us"), done_words(done, "si")) == (us, si)


@pytest.mark.parametrize(
    ("system", "room"), [("us", " 18.0 F° of room"), ("si", " 10.0 K of room")]
)
def test_the_room_that_counts_as_a_bank_is_in_the_reader_s_units(system, room):
    answer: Any = SimpleNamespace(margin_low=-0.2, margin_high=0.1)
    assert room in words.margin_line(answer, system)
