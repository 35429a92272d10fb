from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from vanclimate.answers.futures.odds import Mover
from vanclimate.answers.judge import Failure, Opened
from vanclimate.report import guesses, margin_words, odds_words, place_words, power_words, words
from vanclimate.report.numbers import difference, fixed, percent, temperature, utc_offset
from vanclimate.van.loads import Load

MARGINS = {"margin_charge": 0.327, "margin_hours": 4.94, "margin_degrees": 0.22}


def test_a_night_that_holds_says_its_three_margins(demo, with_result):
    night = with_result(demo, holds=True, failure=None, **MARGINS)
    assert words.verdict(night, "si") == "Holds: 33 % of the bank, 4.9 h and 0.2 K to spare"
    # a difference of 0.22 K is 0.4 F°, not 32.4 °F
    assert words.verdict(night, "us") == "Holds: 33 % of the bank, 4.9 h and 0.4 F° to spare"


def test_a_night_without_draw_says_so_in_place_of_hours(demo, with_result):
    still = {**MARGINS, "margin_hours": float("inf")}
    night = with_result(demo, holds=True, failure=None, **still)
    said = "Holds: 33 % of the bank and 0.2 K to spare, nothing drawn from the bank"
    assert words.verdict(night, "si") == said
    assert "discharge" not in margin_words.margin_meaning(night, "si")
    warm = Failure("heat", demo.bedtime, None)
    night = with_result(demo, holds=False, failure=warm, **still)
    assert "33 % of the bank (nothing drawn from the bank) to spare" in words.verdict(night, "si")


def test_a_bank_that_opens_has_no_margin_of_charge(demo, with_result):
    opened = Opened(demo.bedtime + timedelta(hours=2), "cold")
    night = with_result(demo, holds=True, failure=None, opened=opened, **MARGINS)
    why = "no margin of charge, for the bank's protection opens at 00:30 for its cold"
    assert words.verdict(night, "si") == f"Holds: 0.2 K to spare; {why}"
    cold = Failure("cold", demo.bedtime, None)
    night = with_result(demo, holds=False, failure=cold, opened=opened, **MARGINS)
    assert words.verdict(night, "si").endswith(why)
    lines = [words.verdict(night, "si"), margin_words.margin_meaning(night, "si")]
    lines += [words.sky_line(night, "si"), *(text for _, text in words.spot_lines(night, "si"))]
    assert "of the bank" not in " ".join(lines)


def test_what_must_stay_is_named_by_what_it_is(demo):
    lead = demo.sheet.with_value("battery.cut_off", "50 %")
    assert margin_words.must_stay(demo.sheet) == "reserve"
    assert margin_words.must_stay(lead) == "cut-off"
    boils = Load.model_validate({"name": "kettle", "when": ((420, 430),)})
    kettle = demo.sheet.model_copy(update={"loads": (boils,)})
    assert margin_words.must_stay(kettle) == "reserve and the morning's loads"


def test_a_night_that_heats_has_no_pull_down(demo, with_result):
    warm = {"pull_down_minutes": 0.0, "margin_cold": 1.0, "heating_wh": 500.0}
    assert words.pull_down(with_result(demo, **warm)) == ""
    assert words.pull_down(with_result(demo, **{**warm, "heating_wh": 0.0}))


def test_the_reserve_is_named_with_its_clock_time_and_how_early(demo, with_result):
    at = demo.waking - timedelta(hours=3.3)
    values = {"margin_charge": -0.4, "margin_hours": -3.0, "margin_degrees": 1.0}
    night = with_result(demo, holds=False, failure=Failure("charge", at, None), **values)
    text = words.verdict(night, "us")
    assert text.startswith(f"Does not hold: reserve reached at {at:%H:%M}, 3.3 h before waking; ")
    assert "252 Ah too little (40 % of the bank)" in text
    assert "1.8 F° to spare" in text
    late = Failure("charge", demo.waking - timedelta(minutes=2), None)
    text = words.verdict(with_result(demo, holds=False, failure=late, **values), "us")
    assert ", 2 min before waking; " in text
    warm = {**values, "margin_degrees": -1.0, "margin_cold": 3.0}
    text = words.verdict(with_result(demo, holds=False, failure=late, **warm), "us")
    assert "and 1.8 F° too warm even with a larger bank" in text


@pytest.mark.parametrize(
    ("starts", "ends", "said"),
    [
        (0, 140, "until 00:50"),
        (0, None, "all night"),
        (280, None, "from 03:10"),
        (280, 390, "from 03:10 to 05:00"),
    ],
)
def test_heat_is_named_with_its_span(demo, with_result, starts, ends, said):
    assert demo.bedtime.strftime("%H:%M") == "22:30"
    at = demo.bedtime + timedelta(minutes=starts)
    until = None if ends is None else demo.bedtime + timedelta(minutes=ends)
    values = {**MARGINS, "margin_degrees": -2.0}
    night = with_result(demo, holds=False, failure=Failure("heat", at, until), **values)
    text = words.verdict(night, "us")
    assert text.startswith(f"Does not hold: too warm to sleep {said}; 3.6 F° over the limit")
    assert "33 % of the bank (4.9 h) to spare" in text


def test_pull_down_says_minutes_and_charge(demo, with_result):
    night = with_result(demo, pull_down_minutes=25.0, pull_down_ah=31.4)
    assert words.pull_down(night).startswith("Pull-down: 25 minutes after bedtime, 31 Ah since")
    never = words.pull_down(with_result(demo, pull_down_minutes=None))
    assert "not done within the 60 minutes" in never


@pytest.mark.parametrize(
    ("count", "said"),
    [(None, "as many as"), (0, "none"), (1, "1 such night on"), (3, "3 such nights on")],
)
def test_nights_in_a_row(demo, count, said):
    night = replace(demo, refill=replace(demo.refill, nights_in_a_row=count))
    assert said in power_words.nights_in_a_row(night)


def test_the_sun_of_the_next_day(demo):
    back = replace(demo, refill=replace(demo.refill, puts_back=True))
    gone = replace(demo, refill=replace(demo.refill, puts_back=False))
    assert power_words.tomorrow(back).startswith("the sun puts the charge back (")
    assert power_words.tomorrow(gone).startswith("the sun does not put the charge back (")


def test_nights_held_are_a_count_of_the_month(demo):
    held = sum(n.result.holds for n in demo.nights)
    assert words.nights_held(demo).startswith(f"{held} of 31 nights hold")
    made_up = replace(demo, nights=demo.nights[:1], weather=replace(demo.weather, synthetic=True))
    assert "no share" in words.nights_held(made_up)


def test_an_unknown_heading_is_said_to_be_the_worst_of_eight(demo):
    assert place_words.heading_words(replace(demo, heading=270.0)) == (
        "worst of eight: W, as your sheet gives no heading"
    )
    known = replace(demo, heading=90.0, sheet=demo.sheet.with_value("heading", 90.0))
    assert place_words.heading_words(known).startswith("E (90°")


@pytest.mark.parametrize(("which", "said"), [("hottest", "most energy"), ("typical", "median")])
def test_which_night_says_how_it_was_chosen(demo, which, said):
    assert said in words.which_night(replace(demo, which=which))


def test_synthetic_weather_is_said_clearly(demo):
    invented = replace(demo, weather=replace(demo.weather, synthetic=True))
    assert place_words.place_line(invented, "si").startswith("SYNTHETIC")
    assert "SYNTHETIC" not in place_words.place_line(demo, "si")


def test_the_clock_says_its_offset_and_daylight_saving(demo):
    assert "UTC−5, no daylight saving" in place_words.clock_line(demo)


def test_an_unknown_names_its_share_the_margin_and_a_measurement():
    mover = Mover("leakage", "a smoke test", 0.45, -1.0, 0.5)
    (charge,) = odds_words.mover_lines((mover,), False, "us")
    assert charge.startswith("leakage: about half of what is uncertain")
    assert "the margin −100 to +50 % of the bank" in charge
    assert charge.endswith("Settle it: a smoke test.")
    (room,) = odds_words.mover_lines((mover,), True, "us")
    assert "the margin −1.8 to +0.9 F°." in room


def test_how_many_values_are_guessed(demo):
    count = len(demo.sheet.guessed)
    assert guesses.count_line(demo.sheet, "vanclimate check x").startswith(f"{count} values")


def test_numbers_never_show_a_minus_before_a_zero():
    assert fixed(-0.04, 1) == "0.0"
    assert percent(-0.001) == "0 %"
    assert fixed(-12345.6) == "−12,346"


def test_differences_are_differences_and_temperatures_have_their_offset():
    assert difference(10.0, "us") == "18.0 F°"
    assert temperature(10.0, "us") == "50.0 °F"
    assert utc_offset(5.75) == "UTC+5:45"
