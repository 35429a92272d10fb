"""Heaters as a sheet says them, and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.errors import SheetError, UnitError
from vanclimate.van.heating import read_held, read_when, write_held, write_when
from vanclimate.van.reading import loads_text

SMALLEST = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""


def test_without_a_section_there_is_no_heater():
    sheet = loads_text(SMALLEST)
    assert sheet.heater is None
    assert sheet.electric_heater is None
    assert not [g for g in sheet.guessed if "heater" in g.path]


def test_a_heater_in_the_trades_units():
    text = "heater: {output: 6824 BTU/h, setpoint: 65 F, tank: 2.5 gal, otherwise: hold 41 F}\n"
    heater = loads_text(SMALLEST + text).heater
    assert heater.output == pytest.approx(2000.0, rel=1e-3)
    assert heater.setpoint == pytest.approx(18.333, abs=1e-3)
    assert heater.usable_fuel == pytest.approx(0.95 * 2.5 * 3.785411784)
    assert heater.otherwise == pytest.approx(5.0)


def test_every_default_of_a_heater_is_a_guess_with_a_reason():
    sheet = loads_text(SMALLEST + "heater: {}\nelectric heater: {power: 500 W}\n")
    guesses = {g.path: g for g in sheet.guessed if "heater" in g.path}
    assert {"heater.burns", "heater.output", "heater.floor", "heater.tank"} <= set(guesses)
    assert all(g.why for g in guesses.values())
    assert "heater.fan_coil" not in guesses  # of the other kind
    assert "electric_heater.power" not in guesses


def test_a_fuel_says_what_the_heater_burns():
    for key in ("fuel", "burns"):
        sheet = loads_text(SMALLEST + f"heater: {{{key}: gasoline}}\n")
        assert (sheet.heater.fuel, sheet.heater.burns) == ("petrol", "petrol")
        assert "heater.burns" not in {g.path for g in sheet.guessed}


def test_the_coldest_fuel_goes_with_the_fuel_or_the_grade():
    def coldest(said: str) -> float:
        return loads_text(SMALLEST + f"heater: {{{said}}}\n").heater.coldest_fuel

    assert coldest("fuel: diesel") == -20.0
    assert coldest("fuel: propane") == -30.0
    assert coldest("coldest fuel: summer diesel") == 0.0


def test_a_stand_pipe_leaves_its_share():
    text = "heater: {supply: main tank, tank: 80 L, usable: 75 %, tank at start: half}\n"
    assert loads_text(SMALLEST + text).heater.usable_fuel == pytest.approx(20.0)
    low = text.replace("half", "20 %")
    assert loads_text(SMALLEST + low).heater.usable_fuel == 0.0


@pytest.mark.parametrize(
    ("text", "key", "found"),
    [
        ("heater: {burns: diesel, fuel: propane}", "heater.fuel", "propane in a diesel heater"),
        ("heater: {fuel: propane, supply: main tank}", "heater.supply", "main tank of propane"),
        ("heater: {floor: 3 kW}", "heater.floor", "3 kW at the least"),
        ("heater: {fan floor: 40 W}", "heater.fan floor", "40 W at the least output"),
        ("heater: {fan coil: 80 W/K}", "heater.fan coil", "'fan coil:' of a heater without it"),
        ("heater: {airflow: 40 CFM}", "heater.airflow", "'airflow:' of a heater without it"),
        ("heater: {kind: hydronic, air: outdoor}", "heater.air", "'air:' of a heater without it"),
        ("heater: {kind: hydronic, coolant on: 90 C}", "heater.coolant on", "90 °C"),
        ("heater: {kind: hydronic, coil fan from: 70 C}", "heater.coolant on", "65 °C"),
        ("heater: {setpoint: 15 C, otherwise: hold 16 C}", "heater.otherwise", "hold 16 °C"),
        ("heater: {otherwise: hold 60 C}", "heater.otherwise", "hold 60 C"),
        ("heater: {when: nigt}", "heater.when", "nigt"),
        ("heater: {output: 2}", "heater.output", "2"),
        ("heater: {zone: cab}", "heater.zone", "cab"),
        ("electric heater: {}", "electric heater.power", "nothing"),
        ("electric heater: {power: 500 W, zone: garage}", "electric heater.zone", "garage"),
        ("electric heater: {power: 500 W, feed: gas}", "electric heater.feed", "gas"),
        ("people: {limit: 22 C, least: 22 C}", "people.least", "22 °C"),
    ],
)
def test_what_a_heater_cannot_be_is_refused_by_name(text, key, found):
    with pytest.raises(SheetError) as error:
        loads_text(SMALLEST + text + "\n", "x.yaml")
    assert error.value.key == key
    assert found in str(error.value)
    assert "x.yaml, line 4" in str(error.value)


def test_an_electric_heater_larger_than_the_inverter_is_refused():
    from vanclimate.answers.checks import check_sheet

    text = "electric heater: {power: 1500 W}\ninverter: {rating: 1000 W}\n"
    with pytest.raises(SheetError, match="1500 W of the electric heater"):
        check_sheet(loads_text(SMALLEST + text))


def test_the_least_stays_below_the_limit_by_itself():
    sheet = loads_text(SMALLEST + "people: {limit: 60 F}\n")
    assert sheet.people.least == pytest.approx(sheet.people.limit - 2.0)
    assert loads_text(SMALLEST).people.least == 16.0


def test_words_of_when_and_held_are_read_again():
    for word in ("home", "night", "always", "never", "18:00 to 07:00, 12:00 to 13:00"):
        assert write_when(read_when(word)) == word
    assert read_when("all day") == "always"
    for word in ("off", "hold 5 °C"):
        assert write_held(read_held(word), "si") == word
    with pytest.raises(UnitError):
        read_held("hold")


@given(st.floats(1.0, 30.0), st.sampled_from(["si", "us"]))
def test_a_written_temperature_is_read_again(value, system):
    rounded = round(value, 1)
    held = read_held(write_held(rounded, system))
    assert held == pytest.approx(rounded, abs=0.06)


def test_the_heaters_of_a_new_sheet_can_be_taken_in():
    from vanclimate.van import new_sheet_text

    text = new_sheet_text()
    block = text[text.index("# heater:") : text.index("\nbattery:")]
    taken = "".join(line.removeprefix("# ") for line in block.splitlines(keepends=True))
    sheet = loads_text(text.replace(block, taken.replace("#   ", "  ")))
    assert sheet.heater.floor == 900.0
    assert sheet.heater.otherwise == pytest.approx(7.2222, abs=1e-3)
    assert sheet.electric_heater.power == 750.0
