"""Wire sizes, the inverter's section and spare circuits as a sheet writes them."""

from __future__ import annotations

import re

import pytest

from vanclimate.answers.checks import check_sheet
from vanclimate.energy.inverter import inverter_input, inverter_limit
from vanclimate.errors import SheetError, UnitError
from vanclimate.physics.wire import awg_area
from vanclimate.simulate.gear import gear_of
from vanclimate.van.inverter import Inverter
from vanclimate.van.reading import loads_text
from vanclimate.van.wires import read_wire, write_wire

VAN = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}
"""
CIRCUIT = "{name: heater, fuse: 15 A, wire: 14 AWG, length: 12 ft}"


@pytest.mark.parametrize(
    ("text", "gauge"),
    [
        ("12 AWG", 12), ("AWG 12", 12), ("12awg", 12), ("12 gauge", 12), ("12 ga", 12), ("2/0", -1),
        ("2/0 AWG", -1), ("AWG 4/0", -3), ("0 AWG", 0), ("1/0 AWG", 0), ("00 AWG", -1),
        ("0000 AWG", -3),
    ],
)  # fmt: skip
def test_gauges_are_read(text, gauge):
    assert read_wire(text) == awg_area(gauge)


@pytest.mark.parametrize("text", ["35 mm2", "35 mm²", "35 sq mm", "35mm2"])
def test_metric_sizes_are_read(text):
    assert read_wire(text) == pytest.approx(35e-6)


@pytest.mark.parametrize(
    "text", ["12", "20 AWG", "5/0 AWG", "0.5 mm2", "300 mm2", "thick", "12 mm", "-4 AWG", "", "4 V"]
)
def test_anything_else_is_refused(text):
    with pytest.raises(UnitError, match="18 AWG to 4/0 AWG or 1 mm2 to 120 mm2"):
        read_wire(text)


@pytest.mark.parametrize("text", ["18 AWG", "1 AWG", "1/0 AWG", "4/0 AWG", "2.5 mm2", "120 mm2"])
def test_a_size_is_written_as_it_was_read(text):
    assert write_wire(read_wire(text)) == text


@pytest.mark.parametrize(
    ("inverter", "key", "allowed"),
    [
        ("rating: 300 W, idle: 20 W", "efficiency", "up to 83.3 %"),
        ("full load efficiency: 95 %", "full load efficiency", "78.1 % to 91.1 % beside 90 %"),
        ("full load efficiency: 60 %", "full load efficiency", "78.1 % to 91.1 % beside 90 %"),
        ("surge: 2 kW", "surge", "at least its rating, 3 kW"),
        ("stops at: 45 C, derates from: 50 C", "stops at", "more than 50 °C"),
        ("cut off: 12 V, restart: 11 V", "restart", "more than the cut-off, 12 V"),
        ("cable resistance: 1 mohm, cable length: 2 m", "cable resistance", "one of them"),
        ("cable size: 12", "cable size", "18 AWG to 4/0"),
        ("on: sometimes", "on", "always, needed, search"),
    ],
)
def test_what_an_inverter_cannot_be(inverter, key, allowed):
    with pytest.raises(SheetError) as error:
        loads_text(f"{VAN}inverter: {{{inverter}}}\n")
    assert error.value.key == f"inverter.{key}"
    assert allowed in str(error.value)
    assert error.value.line == 4


def test_defaults_follow_the_rating():
    inverter = loads_text(f"{VAN}inverter: {{rating: 1500 W}}\n").inverter
    assert (inverter.idle, inverter.surge, inverter.search_power) == (10.0, 3000.0, 2.0)
    assert inverter.full_load_efficiency == pytest.approx(0.854, abs=0.0005)


def test_a_guess_is_only_listed_where_it_counts():
    def paths(inverter: str) -> set[str]:
        return {g.path for g in loads_text(f"{VAN}inverter: {{{inverter}}}\n").guessed}

    assert "inverter.search_power" not in paths("on: always")
    assert "inverter.search_power" in paths("on: search")
    assert "inverter.cable_length" in paths("on: always")
    assert "inverter.cable_length" not in paths("cable resistance: 1 mohm")


def test_spare_circuits_are_read():
    sheet = loads_text(f"{VAN}spare circuits:\n  - {CIRCUIT}\n")
    (circuit,) = sheet.spare_circuits
    assert (circuit.feed, circuit.planned, circuit.fuse) == ("battery", 0.0, 15.0)
    assert circuit.wire == awg_area(14)
    assert circuit.length == pytest.approx(12 * 0.3048)
    assert loads_text(VAN).spare_circuits == ()
    assert loads_text(f"{VAN}spare circuits: none\n").spare_circuits == ()


@pytest.mark.parametrize(
    ("circuit", "key", "allowed"),
    [
        (CIRCUIT.replace("14 AWG", "14"), "spare circuits item 1.wire", "the unit is missing"),
        (CIRCUIT.replace("15 A", "15"), "spare circuits item 1.fuse", "the unit is missing"),
        (CIRCUIT.replace("fuse", "fuze"), "spare circuits item 1.fuze", "did you mean 'fuse'"),
        (CIRCUIT.replace("}", ", feed: gas}"), "spare circuits item 1.feed", "battery, inverter"),
        (f"{CIRCUIT}\n  - {CIRCUIT}", "spare circuits", "a name of its own"),
    ],
)
def test_what_a_circuit_cannot_be(circuit, key, allowed):
    with pytest.raises(SheetError) as error:
        loads_text(f"{VAN}spare circuits:\n  - {circuit}\n")
    assert error.value.key == key
    assert allowed in str(error.value)


# what hangs on mains sockets, and its name in a refusal
ON_MAINS = {
    "loads: [kettle]\n": "kettle",
    "loads: []\nair conditioner: {capacity: 3 kW}\n": "air conditioner",
    "loads: []\nelectric heater: {power: 700 W}\n": "electric heater",
}


@pytest.mark.parametrize("text", ON_MAINS)
def test_an_inverter_is_there_where_something_hangs_on_it(text):
    assert loads_text(VAN + text).inverter == Inverter()
    alone = loads_text(VAN + text + "shore: 30 A\ninverter: none\n")
    assert alone.inverter is None
    check_sheet(alone)  # served on shore


@pytest.mark.parametrize(
    "text",
    ["", "loads: []\n", "loads: [fridge, gas cooking]\n", "inverter: none\n", "shore: 30 A\n",
     "loads: []\nair conditioner: {capacity: 3 kW, feed: battery}\n"],
)  # fmt: skip
def test_without_anything_on_mains_there_is_none_and_nothing_is_guessed_of_it(text):
    sheet = loads_text(VAN + text)
    assert sheet.inverter is None
    assert not [g.path for g in sheet.guessed if g.path.startswith("inverter")]
    check_sheet(sheet)
    gear = gear_of(sheet, 101325.0)
    assert [inverter_input(gear.inverter, watts) for watts in (0.0, 1000.0)] == [0.0, 0.0]
    assert inverter_limit(gear.inverter, 25.0) == inverter_limit(gear.inverter, -25.0) == 0.0


def test_a_circuit_planned_on_mains_wants_an_inverter():
    circuit = CIRCUIT.replace("{", "{feed: inverter, ")
    assert loads_text(f"{VAN}spare circuits: [{circuit}]\n").inverter == Inverter()
    bare = f"{VAN}spare circuits: [{circuit}]\ninverter: none\n"
    with pytest.raises(SheetError, match=r"spare circuits item 1\.feed"):
        check_sheet(loads_text(bare))
    check_sheet(loads_text(bare + "shore: 30 A\n"))


@pytest.mark.parametrize("text", ON_MAINS)
@pytest.mark.parametrize("shore", ["", "shore: never\n", "shore: {hours: never}\n"])
def test_what_hangs_on_no_inverter_is_refused_by_name(text, shore):
    with pytest.raises(SheetError) as error:
        check_sheet(loads_text(f"{VAN}{text}{shore}inverter: none\n"))
    assert error.value.key == "inverter"
    assert f"none, while the {ON_MAINS[text]} hangs on it" in str(error.value)
    assert "'inverter: {rating: 1" in str(error.value)
    assert f"'feed: battery' for the {ON_MAINS[text]}" in str(error.value)


def test_what_a_refusal_of_no_inverter_says_to_type_is_taken():
    with pytest.raises(SheetError) as error:
        check_sheet(loads_text(f"{VAN}loads: [kettle]\ninverter: none\n"))
    typed = re.search(r"inverter: \{[^}]*\}", str(error.value))
    assert typed
    check_sheet(loads_text(f"{VAN}loads: [kettle]\n{typed[0]}\n"))


@pytest.mark.parametrize(
    ("text", "limit", "amps"),
    [
        # 1000 W through 2 kW of inverter, 90 % at a third of it, are 87 to 88 A at 12.8 V
        ("loads: [kettle]\ninverter: {rating: 2 kW}\n", 60, "88 A of the kettle"),
        ("loads: []\nair conditioner: {capacity: 3 kW, power: 1 kW, feed: battery}\n", 60,
         "79 A of the air conditioner"),
        ("loads: [{name: pump, power: 640 W}]\n", 49, "50 A of the pump"),
    ],
)  # fmt: skip
def test_a_bank_that_lets_out_less_than_one_thing_takes_is_refused(text, limit, amps):
    with pytest.raises(SheetError) as error:
        check_sheet(loads_text(f"{VAN}{text}battery: {{discharge limit: {limit} A}}\n"))
    assert error.value.key == "battery.discharge limit"
    assert f"at least the {amps}" in str(error.value)
    check_sheet(loads_text(f"{VAN}{text}battery: {{discharge limit: {amps.split(' A')[0]} A}}\n"))
    guessed = loads_text(f"{VAN}{text}battery: {{capacity: {limit} Ah}}\n")
    check_sheet(guessed)
    check_sheet(guessed.with_value("battery.discharge_limit", 0.5 * limit))  # its range is tried


def test_a_small_bank_beside_shore_is_not_refused_for_what_shore_serves():
    text = f"{VAN}battery: {{discharge limit: 60 A}}\nloads: [kettle]\nshore: 30 A\n"
    check_sheet(loads_text(text))
