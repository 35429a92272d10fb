"""Ordinary loads by name, and loads that the command line adds."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.errors import OptionError, SheetError, UnitError
from vanclimate.van.also import read_also, with_also
from vanclimate.van.fields import write_periods
from vanclimate.van.load_library import LOADS, near_load, usual_load
from vanclimate.van.loads import Load
from vanclimate.van.parts import People
from vanclimate.van.reading import loads_text

GOOD = Path(__file__).with_name("good.yaml").read_text(encoding="utf-8")
FRIDGE = "  - {name: fridge, kind: fridge, power: 55 W}\n"
PEOPLE = People()


def sheet_with(load: str):
    return loads_text(f"{GOOD}  - {load}\n")


def hours(when) -> float:
    return sum((end - start) % 1440 for start, end in when) / 60.0 if when else 24.0


def test_a_name_brings_the_whole_row():
    for text in ("{name: Kettle}", "kettle", "{name: electric-kettle}"):
        load = sheet_with(text).loads[-1]
        assert (load.power, load.feed, load.kind) == (1000.0, "inverter", "plain")
        assert load.when == ((420, 427),)
        assert load.water > 0


def test_what_the_sheet_gives_wins():
    load = sheet_with("{name: kettle, power: 1500 W, when: 8:00 to 8:05, water: none}").loads[-1]
    assert (load.power, load.when, load.water) == (1500.0, ((480, 485),), 0.0)
    assert load.feed == "inverter"
    always = sheet_with("{name: heated blanket, when: always}").loads[-1]
    assert (always.when, always.duty) == ((), 0.5)


def test_what_a_name_brings_is_a_guess_with_its_reason_and_range():
    guesses = {g.path: g for g in sheet_with("{name: kettle, when: 8:00 to 8:05}").guessed}
    watts = guesses["loads.2.power"]
    assert (watts.value, watts.low, watts.high) == (1000.0, 800.0, 1500.0)
    assert "from memory" in watts.why
    assert "loads.2.when" not in guesses
    assert guesses["loads.2.feed"].why.startswith("assumed")
    # a load of no known name, all given
    own = sheet_with("{name: sewing machine, power: 90 W, feed: inverter, heat inside: 100 %}")
    assert not [g for g in own.guessed if g.path.startswith("loads.2.")
                and not g.path.endswith("zone")]  # fmt: skip


def test_a_fridge_is_one_by_its_name():
    short = loads_text(GOOD.replace(FRIDGE, "  - {name: fridge, power: 55 W}\n"))
    assert short.loads[0] == loads_text(GOOD).loads[0]


def test_a_numbered_name_is_of_its_kind():
    assert sheet_with("{name: lights 2, power: 4 W}").loads[-1].when == ((1140, 1350),)
    assert usual_load("light 2 heater") is None


def test_a_misspelt_name_is_refused_with_the_near_one():
    with pytest.raises(SheetError, match="did you mean 'kettle'"):
        sheet_with("{name: ketle}")
    with pytest.raises(SheetError, match="name of an ordinary load"):
        sheet_with("{name: zonk}")
    assert near_load("induction cookin") == "did you mean 'induction cooking'?"


@pytest.mark.parametrize("row", LOADS, ids=lambda row: row.name)
def test_each_row_is_a_load_in_its_range(row):
    load = Load.model_validate({"name": row.name})
    assert row.at_least < load.power < row.at_most
    assert all(usual_load(name) is row for name in (row.name, *row.also))
    for end in (row.at_least, row.at_most):
        assert Load.model_validate({"name": row.name, "power": end}).power == end
    assert row.source.startswith("assumed") or "memory" in row.source


def test_the_page_lists_each_row():
    page = (Path(__file__).parents[2] / "docs" / "equipment.md").read_text(encoding="utf-8")
    table = page.split("| name | W (range) |")[1].split("\n\n")[0]
    told = {
        row.name: f"| {row.power:g} ({row.at_least:g}–{row.at_most:g}) |"
        f" {write_periods(row.when)}" for row in LOADS
    }  # fmt: skip
    for line, (name, start) in zip(table.splitlines()[2:], told.items(), strict=True):
        assert line.startswith(f"| {name} {start}")


def test_no_name_means_two_rows():
    names = [name.casefold() for row in LOADS for name in (row.name, *row.also)]
    assert len(names) == len(set(names))


def test_the_kettle_boils_a_litre():
    # enthalpy of water from 15 to 99 °C at one atmosphere: CoolProp
    pure = sum(
        s * PropsSI("H", "T", t + 273.15, "P", 101325, "Water") for s, t in ((1, 99), (-1, 15))
    )
    litre_wh = pure * 0.998 / 3600.0
    row = usual_load("kettle")
    taken = row.power * hours(row.when)
    # kettles give 80-90 % of their watts to the water, from memory
    assert 0.80 <= litre_wh / taken <= 0.90


def test_the_e_bikes_charger_fills_its_battery():
    # packs hold 400-700 Wh and chargers pass on 85-90 %, from memory
    row = usual_load("e-bike charging")
    taken = row.power * hours(row.when)
    assert 400 <= taken * 0.85 <= 700
    assert 0.10 <= row.heat_inside <= 0.15


def test_watts_named_by_the_checks():
    # CHECKS 5, from memory: compressor fridge 45-60 W, roof fan 2-40 W
    for name, span in {"fridge": (45, 60), "roof fan": (2, 40)}.items():
        row = usual_load(name)
        assert (row.at_least, row.at_most) == span
        assert span[0] <= row.power <= span[1]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("blender: 300 W, 2 h at 19:00", ("blender", 300.0, ((1140, 1260),), "battery")),
        ("blender, 300 W, 5 min at 8 am, inverter", ("blender", 300.0, ((480, 485),), "inverter")),
        ("60 W, night", ("extra load", 60.0, ((1350, 420),), "battery")),
        ("60 W, day", ("extra load", 60.0, ((420, 1350),), "battery")),
        ("60 W", ("extra load", 60.0, (), "battery")),
        ("1.2 kW, 18:00 to 18:30, inverter", ("extra load", 1200.0, ((1080, 1110),), "inverter")),
        ("kettle", ("kettle", 1000.0, ((420, 427),), "inverter")),
        ("kettle: 1.5 kW", ("kettle", 1500.0, ((420, 427),), "inverter")),
        ("pump: 60 W, 7:00 to 7:05, 18:30 to 18:35",
         ("pump", 60.0, ((420, 425), (1110, 1115)), "battery")),
        ("x: 5 W, 3 h from 23:00", ("x", 5.0, ((1380, 120),), "battery")),
    ],
)  # fmt: skip
def test_the_command_line_adds_a_load(text, expected):
    load = read_also(text, PEOPLE)
    assert (load.name, load.power, load.when, load.feed) == expected


def test_the_rest_of_a_load_is_read_too():
    load = read_also("stew: 180 W, 40 %, 200 g/h, in the garage, night, inverter", PEOPLE)
    assert (load.duty, load.zone) == (0.4, "garage")
    assert load.water == pytest.approx(0.2 / 3600)
    assert read_also("washing, drying clothes, night", PEOPLE).power == 0.0


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("ketle", "did you mean 'kettle'"),
        ("300", "the unit is missing"),
        ("x: 300 W, 5 min", "5 min at 19:00"),
        ("x: 300 W, nigth", "did you mean 'night'"),
        ("x: 300 W, 25 h at 19:00", "less than a day"),
        ("x: 300 W, 2 h at 25:00", "time of day"),
        ("x: 300 W, 2 kW", "power once"),
        ("x: 300 W, 18:00 to 20:00, 19:00 to 21:00", "overlap"),
        ("x: -5 W", "0 W to 10 kW"),
        ("x: 20 kW", "0 W to 10 kW"),
        ("18:00 to 19:00", "its watts"),
        ("", "a load such as"),
        ("a" * 100_000, "200 letters"),
        ("fridge, cab", "'cab:' section"),
        ("camp stove: 1 kW, gas", "its times"),
    ],
)
def test_what_the_command_line_may_not_add_is_refused(text, said):
    with pytest.raises(OptionError) as caught:
        with_also(loads_text(GOOD), [text])
    assert said in str(caught.value)
    assert str(caught.value).startswith("--also: found")


def test_added_loads_are_named_in_the_notes_and_leave_the_sheet_alone():
    sheet = loads_text(GOOD)
    more = with_also(sheet, ["kettle", "kettle", "60 W, night"])
    assert [load.name for load in more.loads[2:]] == ["kettle", "kettle 2", "extra load"]
    assert len(sheet.loads) == 2
    assert sheet.notes == ()
    assert [note.split(": ")[1].split(",")[0] for note in more.notes] == [
        "kettle", "kettle 2", "extra load",
    ]  # fmt: skip
    assert "60 W on the battery, 22:30 to 07:00" in more.notes[-1]
    assert more.digest != sheet.digest
    assert more.with_value("body.leakage", "tight").notes == more.notes
    assert "loads.2.power" in {guess.path for guess in more.guessed}
    assert with_also(sheet, []) is sheet


def test_a_flame_that_is_added_is_an_open_burner():
    sheet = loads_text(GOOD)
    assert sheet.appliances == "none"
    assert with_also(sheet, ["gas stove"]).appliances == "open burner"
    told = loads_text(GOOD + "appliances: none\n")
    with pytest.raises(OptionError, match="open burner"):
        with_also(told, ["gas stove"])


def test_no_more_loads_than_a_sheet_may_list():
    with pytest.raises(OptionError, match="at most 40"):
        with_also(loads_text(GOOD), ["60 W"] * 39)


@given(st.text(max_size=60))
def test_any_text_is_a_load_or_is_refused(text):
    with suppress(UnitError):
        assert read_also(text, PEOPLE).name
