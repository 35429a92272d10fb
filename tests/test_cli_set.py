"""``--set``: a value in place of the sheet's, checked as if it stood in the file."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.cache import data_path
from vanclimate.errors import VanclimateError
from vanclimate.report.opening import setting_lines
from vanclimate.van.reading import load, loads_text

DEMO = data_path("scenarios", "holds.yaml")


def changed(*texts: str):
    return load(DEMO, texts)


@pytest.mark.parametrize(
    ("text", "path", "value"),
    [
        ("battery.capacity=500 Ah", "battery.capacity", 500.0),
        ("Battery.Charge-at bedtime = 80 %", "battery.charge_at_bedtime", 0.8),
        ("body.leakage=tight", "body.leakage", 0.0025),
        ("air conditioner=none", "air_conditioner", None),
        ("windows.2.cover=none", "windows.1.cover", "none"),
        ("windows.Left door.glass=tinted", "windows.1.glass", "tinted"),
        ("loads.fridge.power=60 W", "loads.0.power", 60.0),
        ("heater.output=2 kW", "heater.output", 2000.0),  # a section that the sheet lacks
        ("alternator.amps=180 A", "alternator.amps", 180.0),
        ("site.terrain=water", "site.place", "greensboro"),  # a text becomes its section
        ("heading=W", "heading", 270.0),
    ],
)
def test_a_value_is_read_as_in_the_sheet(text, path, value):
    assert changed(text).value_of(path) == value
    assert load(DEMO).digest != changed(text).digest


def test_lists_and_single_layers_work_too():
    walls = changed("stacks.walls=[steel 0.9 mm, XPS 2 in, plywood 6 mm]").stacks.walls
    assert [layer.material for layer in walls] == ["steel", "XPS", "plywood"]
    roof = changed("stacks.roof.2=XPS 3 in").stacks.roof
    assert [layer.material for layer in roof] == ["steel", "XPS", "plywood"]
    assert [load.name for load in changed("loads=[kettle, fridge]").loads] == ["kettle", "fridge"]
    body = changed("body={kind: medium high van, leakage: tight}").body
    assert (body.kind, body.leakage) == ("medium high van", 0.0025)


def test_it_is_the_same_as_the_same_text_in_the_file():
    text = DEMO.read_text().replace("capacity: 630 Ah", "capacity: 500 Ah")
    assert dict(loads_text(text)) == dict(changed("battery.capacity=500 Ah"))


def test_what_belongs_to_a_thing_set_to_none_goes_with_it_and_is_said():
    sheet = changed("windows.left door.cover=none")
    assert sheet.windows[1].cover == "none"
    assert [note for note in sheet.notes if "windows item 2.covered" in note]


def test_a_value_that_makes_a_bad_sheet_whole_is_taken():
    text = DEMO.read_text().replace("capacity: 630 Ah", "capacity: 630 V")
    assert loads_text(text, changes=["battery.capacity=500 Ah"]).battery.capacity == 500.0


def test_what_was_set_is_told_with_what_it_replaces():
    sheet = changed("battery.capacity=500 Ah", "battery.health=80 %", "air conditioner=none")
    assert setting_lines(sheet, "us") == [
        "set: battery.capacity 500 Ah, in place of 630 Ah",
        "set: battery.health 80 %, in place of 100 % (guess)",
        "set: air conditioner none, in place of the sheet's",
    ]
    assert setting_lines(changed("body.length=3 m"), "si") == [
        "set: body.length 3 m, in place of 3.81 m"
    ]
    assert setting_lines(load(DEMO), "us") == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("batery.capacity=500 Ah", "did you mean 'battery.capacity'?"),
        ("battery.capasity=500 Ah", "did you mean 'battery.capacity'?"),
        ("bedtime=22:00", "did you mean 'people.bedtime'?"),
        ("windows.lft door.cover=none", "did you mean 'left door'?"),
        ("windows.0.cover=none", "windows.1 to windows.3"),
        ("windows.4.cover=none", "windows.1 to windows.3"),
        ("rules.1=none", "the whole list"),
        ("stacks.walls.2.thickness=3 in", "the whole of it, 'stacks.walls.2=…'"),
        ("month.day=3", "'month' with one value"),
        ("battery.capacity=-3 Ah", "--set battery.capacity: found '-3 Ah'"),
        ("battery.capacity=3", "the unit is missing"),
        ("battery.capacity=[a, b]", "--set battery.capacity: found 'a list'; allowed: one value"),
        ("battery=none", "--set battery: found 'none'; allowed: a section"),
        ("stacks.walls=[steel 0.9 mm, XPQ 2 in]", "--set stacks.walls, stacks.walls item 2"),
        ("inverter.rating=300 W", "line 51, inverter.efficiency"),
        ("inverter.rating=300 W", "beside --set inverter.rating"),
        ("air conditioner.power=9 kW", "--set air conditioner.power"),
        ("month", "a key and its value"),
        ("=3", "a key and its value"),
        ("month=", "a value after '='"),
        ("month='", "--set month: found"),
        ("month=*a", "text, not a reference"),
        ("month=a\tb", "spaces"),
    ],
)
def test_what_cannot_be_set_is_one_line_that_names_the_option(text, said):
    result = CliRunner().invoke(cli.app, ["night", "--set", text])
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stderr.count("\n") == 1
    assert not result.stdout


def test_one_key_is_set_once():
    with pytest.raises(VanclimateError, match="each key once"):
        changed("month=May", "Month=June")
