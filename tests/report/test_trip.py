"""A trip in words and tables: the first line answers, whatever runs out."""

from __future__ import annotations

from dataclasses import replace
from io import StringIO
from types import SimpleNamespace

import numpy as np
import pytest

from tests.answers.test_trip import SHORT, dry
from tests.answers.trips import taken
from vanclimate.answers.futures.odds import odds_of
from vanclimate.report import trip_notes, trip_words
from vanclimate.report.terminal import console_for
from vanclimate.report.trip import print_trip


def test_a_trip_that_lasts_says_what_it_takes_and_how_far_the_rest_goes():
    found = taken(*SHORT, changes=("people.sleepers=1",))
    said = trip_words.verdict(found, "si")
    litres = f"{sum(found.needs_l):.1f} L"
    assert said.startswith(f"Lasts: {found.total('heater_hours'):.0f} heater hours and {litres}")
    assert f"in 4 nights; fuel for {int(found.fuel_nights)} and water for" in said
    assert "gal of diesel" in trip_words.verdict(found, "us")


def test_a_trip_that_most_vans_would_not_last_says_so_in_the_first_line():
    found = taken(*SHORT, changes=("people.sleepers=1",))
    few = replace(found, ranges=replace(found.ranges, odds=odds_of(6, 64, 64)))
    begins = "Lasts as drawn, but most vans built to this sheet would not: "
    assert trip_words.verdict(few, "si").startswith(begins)
    assert "about 1 in 10 vans built to this sheet" in trip_words.odds_line(few, "si")


def test_an_air_conditioner_that_cools_what_the_heater_warms_is_told():
    run = SimpleNamespace(
        width=np.full(4, 900.0), heats=np.array([False, False, False, True]),
        column=lambda name: np.array(
            {"ac_on_share": [0.5, 1.0, 1.0, 1.0], "heater_on_share": [1.0, 0.2, 0.0, 1.0]}[name]
        ),
    )  # fmt: skip
    one = SimpleNamespace(run=run, halt=SimpleNamespace(index=1))
    (said,) = trip_notes._against_each_other(SimpleNamespace(stages=[one]))
    assert "within minutes of the heater, 0.4 h in all (stop 2)" in said  # half a quarter, and one
    run.heats[:] = True
    assert trip_notes._against_each_other(SimpleNamespace(stages=[one])) == []


def test_fuel_that_runs_out_says_where_to_buy():
    found = dry()
    said = trip_words.verdict(found, "si")
    day = found.first.at.day
    assert said.startswith(f"Does not last: fuel runs out on January {day} at stop ")
    assert f"; buy {found.purchases[0].litres:.1f} L on the way to stop" in said
    assert f"in all {sum(found.needs_h):.0f} heater hours" in said
    assert "At the latest: buy" in trip_words.fuel_words(found, "si")
    assert found.total("heater_hours") < sum(found.needs_h)


@pytest.mark.parametrize(
    ("changes", "begins"),
    [
        (("battery.capacity=60 Ah",), "Does not last: the bank is down to its reserve"),
        (("water=30 L",), "Does not last: fresh water runs out on January 14 at stop 1"),
        (("heater.output=500 W", "heater.floor=400 W"), "Does not last: too cold to sleep on"),
        (("heater=none",), "Lasts on power alone, 4 nights with no heating; on 5 days it feels"),
    ],
)
def test_each_thing_that_fails_says_so(changes, begins):
    assert trip_words.verdict(taken(*SHORT, changes=changes), "si").startswith(begins)


def test_a_summer_trip_counts_hours_of_cooling():
    changes = ("heater=none", "air conditioner={capacity: 5 kBTU/h, power: 500 W, airflow: 150 CFM,"
               " blower power: 40 W, setpoint: 76 F}")  # fmt: skip
    found = taken("miami, 12 July, 1 night, shore", changes=changes)
    assert " AC hours (" in trip_words.verdict(found, "si")
    used = next(f for f in found.figures if f.name == "energy of the air conditioner")
    assert used.value == found.total("ac_wh") > 500.0


@pytest.mark.parametrize("width", [60, 80, 100])
@pytest.mark.parametrize("system", ["us", "si"])
def test_the_page_keeps_to_its_width_and_holds_all_stops(width, system):
    out = StringIO()
    found = taken()
    print_trip(found, system, console_for(out, width), demo="A demo.")
    lines = out.getvalue().splitlines()
    assert lines[0] == trip_words.verdict(found, system)
    assert max(map(len, lines[1:])) <= width
    assert "…" not in out.getvalue()
    text = " ".join(out.getvalue().split())
    for word in ("Greensboro, North Carolina", "Miami, Florida", "UTC−5", "fuel_l"[:4], "Cautions",
                 "in all", "not a guarantee"):  # fmt: skip
        assert word in text
    assert text.count(" yes ") == len(found.balances)


def test_what_was_assumed_is_said():
    gap = taken("greensboro, 12 January, 1 night", "greensboro, 15 January, 1 night")
    said = " ".join(trip_notes.notes(gap))
    assert "between stop 1 and stop 2 54 h are not followed" in said
    assert "arrival at 16:00 (stop 1 and 2)" in said
    assert "drive to it none (stop 1 and 2)" in said
    assert "warmed up anew for 72 h" in said
