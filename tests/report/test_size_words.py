"""The sizes in words: each sentence says what its numbers say."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from types import SimpleNamespace

import pytest

from vanclimate.answers.futures.odds import odds_of
from vanclimate.answers.size.hand import Hand
from vanclimate.answers.size.ladders import KBTU_H
from vanclimate.answers.size.runs import Hour
from vanclimate.answers.size.work import Missing, Sized
from vanclimate.report import size_words as words
from vanclimate.report.size_hand_words import hand_text

HOUR = Hour(
    begins=datetime(2025, 7, 13, 18, tzinfo=UTC), at=datetime(2025, 7, 14, 8, tzinfo=UTC),
    outdoor_c=27.0, sun_w_m2=160.0, felt_c=25.0, charge_ah=44.0, load_w=900.0, on_share=0.85,
    sun_wh_m2=5800.0, drawn_wh=4238.0, sun_wh=2100.0, drive_wh=800.0, margin=0.01,
)  # fmt: skip
BANK = Sized(
    name="bank", quantity="charge", size=500.0, largest=2000.0, odds=odds_of(480, 500, 31),
    below=400.0, below_odds=odds_of(400, 500, 31), own=400.0, own_enough=False, short=1,
    season="July", hour=HOUR,
    hand=Hand(
        223.0,
        {"cools": 1.0, "plate_w": 481.0, "duty_share": 0.5, "hours_h": 8.5, "loads_w": 27.5,
         "usable_share": 0.8, "volts_v": 12.8},
        {"on_h": 7.6, "hours_h": 14.0, "plant_wh": 3197.0, "inverter_wh": 529.0, "loads_wh": 446.0,
         "health_share": 0.99},
    ),
)  # fmt: skip
AC = replace(
    BANK, name="AC", quantity="heat_rate", size=9 * KBTU_H, largest=15 * KBTU_H,
    below=8 * KBTU_H, below_odds=odds_of(300, 500, 31), own=13.5 * KBTU_H,
    own_enough=True, short=0,
)  # fmt: skip
ROOF = replace(
    BANK, name="roof", quantity="power", size=None, largest=900.0, odds=odds_of(430, 500, 31),
    below=None, below_odds=None, own=400.0, short=5,
)  # fmt: skip


def test_made_up_days_are_not_called_real():
    made_up = answer(BANK)
    made_up.weather.synthetic = True
    assert "the same 500 futures: made-up days, and vans" in words.asked_line(made_up)
    assert "the same 500 futures: real days, and vans" in words.asked_line(answer(BANK))


def answer(*sized, missing=(), asked=0.9, days=1):
    weather = SimpleNamespace(name="Greensboro, North Carolina", synthetic=False, typical=True)
    return SimpleNamespace(
        sized=sized, missing=missing, asked=asked, days=days, weather=weather,
        together=odds_of(470, 500, 31),
    )  # fmt: skip


def test_the_first_line_has_all_sizes_and_what_is_short():
    assert words.verdict(answer(AC, BANK, ROOF), "us") == (
        "For 9 nights in 10 in Greensboro, North Carolina: AC 9 kBTU/h, bank 500 Ah, roof more "
        "than the 900 W that fit; your sheet's bank is one size short and its roof is not enough"
    )
    assert words.verdict(answer(AC), "si").endswith(
        "AC 2.6 kW (9 kBTU/h); your sheet has enough of each"
    )
    bare = replace(ROOF, own=None)
    assert words.verdict(answer(AC, bare), "us").endswith("your sheet has no roof panels")


@pytest.mark.parametrize(
    ("asked", "days", "said"),
    [(0.9, 1, "9 nights in 10"), (0.5, 3, "5 stays in 10"), (0.95, 1, "95 % of nights"),
     (0.995, 2, "99.5 % of stays")],
)  # fmt: skip
def test_the_odds_asked_for(asked, days, said):
    assert words.asked_words(answer(BANK, asked=asked, days=days)) == said


def test_a_size_less_is_counted():
    assert words.below_text(BANK, "us") == "400 Ah fails 100 of 500"
    assert words.below_text(ROOF, "us") == "900 W fails 70 of 500"
    assert words.below_text(replace(BANK, below=None), "us") == "the smallest there is"
    assert words.below_text(replace(BANK, below_odds=None), "us") == "400 Ah cannot be built"


def test_the_sheet_s_own_stands_beside_it():
    assert words.own_text(BANK, "us") == "400 Ah, too small"
    assert words.own_text(AC, "us") == "13.5 kBTU/h, enough"
    assert words.own_text(replace(ROOF, own=None), "us") == "none"


def test_the_hour_that_sets_a_size():
    text = words.hour_text(answer(BANK), BANK, "si")
    assert text.startswith("July 14, 08:00: 27.0 °C outdoors, 160 W/m² of sun; 44 Ah left after")
    assert "4,238 Wh taken since July 13, 18:00; 1.0 % of the bank to spare" in text
    real = answer(BANK)
    real.weather.typical = False
    said = words.hour_text(real, BANK, "si")
    assert said.startswith("July 14, 2025, 08:00: ")
    assert "since July 13, 2025, 18:00" in said
    dark = replace(HOUR, sun_w_m2=0.0, margin=0.5)
    text = words.hour_text(answer(AC), replace(AC, hour=dark), "si")
    assert "dark, felt inside 25.0 °C; it takes out 900 W in the hour before, on for 85 %" in text
    assert text.endswith("0.5 K to spare")
    short = replace(ROOF, hour=replace(HOUR, margin=-0.36))
    text = words.hour_text(answer(ROOF), short, "si")
    assert "5.8 kWh/m² of sun bring 2,100 Wh" in text
    assert text.endswith("short by 36.0 % of the bank")
    driven = replace(ROOF, name="DC-DC charger")
    assert "driving 800 Wh; back with 1.0 % of the bank" in words.hour_text(
        answer(driven), driven, "us"
    )


@pytest.mark.parametrize("why", words.WHY)
def test_what_is_not_sized_is_named_with_its_reason(why):
    line = words.missing_line(answer(BANK, missing=(Missing("heater", why),)))
    assert line == f"Not sized: heater ({words.WHY[why]})"


def test_by_hand_and_why_it_differs():
    text = hand_text(BANK, "us")
    assert text.startswith("223 Ah: a night of 8.5 h, the AC half the time at 481 W, 28 W of")
    assert "on for 7.6 h and takes 3,197 Wh; the inverter takes 529 Wh more" in text
    heat = replace(BANK.hand, terms={**BANK.hand.terms, "cools": 0.0})
    assert "the heater half the time" in hand_text(replace(BANK, hand=heat), "us")
    bare = replace(heat, terms={**heat.terms, "plate_w": 0.0})
    assert "heater" not in hand_text(replace(BANK, hand=bare), "us")


def test_all_together_names_what_there_is():
    assert words.together_line(answer(AC, BANK)).startswith("AC and bank of these sizes in one van")
    assert words.together_line(answer(BANK)).startswith("A bank of that size")
