"""Stops and fresh water as a sheet says them: lines and keys, and what is refused."""

from __future__ import annotations

import pytest

from vanclimate.errors import OptionError, SheetError
from vanclimate.van.place import Day
from vanclimate.van.reading import loads_text
from vanclimate.van.summary import echo
from vanclimate.van.trip import Stop, stops_of_option

SHEET = """\
name: invented for a test
site: greensboro
body: {kind: long high van}
stacks: {roof: [steel 1 mm], walls: [steel 1 mm], floor: [steel 1 mm]}
"""


def with_lines(*lines: str):
    return loads_text(SHEET + "\n".join(lines) + "\n")


def test_a_line_says_what_keys_say():
    line = "Moab, Utah, 12 January 2019, 3 nights, 2 h driving, shore, fuel filled, at 17:30"
    keys = {
        "place": "Moab, Utah", "arrival": "12 January 2019", "nights": "3", "drive": "2 h",
        "shore": "yes", "fuel": "filled here", "at": "17:30",
    }  # fmt: skip
    assert Stop.model_validate(line) == Stop.model_validate(keys)
    stop = Stop.model_validate(line)
    assert stop.place is not None
    assert stop.place.place == "Moab, Utah"
    assert (stop.arrival, stop.nights, stop.drive, stop.at) == (Day(2019, 1, 12), 3, 7200.0, 1050)
    assert (stop.shore, stop.fuel, stop.water) == (True, True, False)


@pytest.mark.parametrize(
    ("line", "field", "value"),
    [
        ("38.57, -109.55, 12 January, 1 night", "nights", 1),
        ("miami, 2020-02-29, until 3 March", "departure", Day(None, 3, 3)),
        ("miami, 3 nights, 90 min of driving", "drive", 5400.0),
        ("miami, 3 nights, heading SW", "heading", 225.0),
        ("miami, 3 nights, water, no shore", "water", True),
        ("12 January, 3 nights", "place", None),
    ],
)
def test_words_of_a_line_may_stand_in_any_order(line, field, value):
    assert getattr(Stop.model_validate(line), field) == value


def test_coordinates_and_names_with_commas_stay_whole():
    sheet = with_lines(
        "trip:", "  - 38.57, -109.55, 12 January, 1 night", "  - {place: miami, nights: 2}"
    )
    assert [stop.place.place for stop in sheet.trip] == ["38.57, -109.55", "miami"]


@pytest.mark.parametrize(
    ("line", "found", "allowed"),
    [
        ("miami, 12 January, 0 nights", "0", "1 to 120"),
        ("miami, 12 January", "no end", "nights"),
        ("miami, 31 February, 2 nights", "31 February", "a day that exists"),
        ("miami, 12 January, 2 nights, whenever", "whenever", "2 h driving"),
        ("miami, 12 January, 2 nights, 3 nights", "3 nights", "2 h driving"),
        ("miami, 12 January, 2 nights, until 20 January", "both", "one of them"),
        ("miami, 12 January, 2 nights, 2 miles driving", "2 miles", "duration"),
        ("miami, 12 January, 2 nights, 30 h driving", "30 h", "20 h"),
    ],
)
def test_a_bad_line_is_refused_at_its_line_and_as_an_option(line, found, allowed):
    with pytest.raises(SheetError, match=r"sheet, line 6, trip item 1") as raised:
        with_lines("trip:", f"  - {line}")
    assert found in str(raised.value.found)
    assert allowed in str(raised.value)
    with pytest.raises(OptionError, match=r"^--stop \(2\): found") as raised:
        stops_of_option(["miami, 1 January, 2 nights", line])
    assert found in str(raised.value.found)


@pytest.mark.parametrize(
    ("lines", "key"),
    [
        (["trip: {place: miami}"], "trip"),
        (["trip:", "  - {place: miami, nights: 2, fuel: half}"], "trip item 1.fuel"),
        (["trip:", "  - {place: miami, nights: 2, stay: 3}"], "trip item 1.stay"),
        (["water: {tank: 0 L}"], "water.tank"),
        (["water: {use: 10}"], "water.use"),
        (["water: a lot"], "water.tank"),
    ],
)
def test_bad_keys_are_refused_with_theirs(lines, key):
    with pytest.raises(SheetError) as raised:
        with_lines(*lines)
    assert raised.value.key == key
    assert raised.value.line in (5, 6)


def test_water_is_a_size_or_a_section_or_none():
    assert with_lines("water: 20 gal").water.tank == pytest.approx(0.0757, abs=1e-4)
    assert with_lines("water: {use: 5 L, at start: half}").water.at_start == 0.5
    assert with_lines("water: none").water is None
    assert with_lines().water is None


def test_guesses_of_a_trip_are_no_guesses_of_a_night():
    plain, whole = with_lines(), with_lines("water: 80 L", "trip:", "  - 12 January, 3 nights")
    assert [g.path for g in whole.guessed] == [g.path for g in plain.guessed]
    rows = {row.key: row for row in echo(whole)}
    assert rows["water.use"].guessed
    assert "Sphere" in rows["water.use"].why
    assert any(key.startswith("trip (the sheet's own site, 01-12)") for key in rows)
