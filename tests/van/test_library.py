"""A user's own library: its rows in a sheet, what is refused of it, and that it stays in its sheet.

Every figure in these files is invented; they check that a value arrives, not what it does.
"""

from __future__ import annotations

import pickle
import re
from pathlib import Path

import pytest

from vanclimate.answers.compare.exchanges import exchanged, exchanges
from vanclimate.answers.stacks.checks import check_prices
from vanclimate.answers.stacks.listed import candidates
from vanclimate.errors import OptionError, SheetError
from vanclimate.units import BTU_H, IN, R_US
from vanclimate.van.also import with_also
from vanclimate.van.layers import Layer
from vanclimate.van.library import read_library
from vanclimate.van.library_rows import EQUIPMENT, SECTIONS
from vanclimate.van.reading import load
from vanclimate.van.sheet import Sheet
from vanclimate.van.summary import echo

ROWS = """\
materials:
  - name: My board
    conductivity: 0.022 W/m·K
    density: 35 kg/m3
    specific heat: 1400 J/kg·K
    vapour: 60
    source: its data sheet
  - {name: batt of mine, conductivity: 0.037 W/m·K, density: 20 kg/m3, specific heat: 1000 J/kg·K,
     source: its data sheet}
  - {name: my film, conductivity: 0.3 W/m·K, density: 900 kg/m3, specific heat: 1800 J/kg·K,
     sd: 20 m, film: yes, source: its data sheet}
stacks:
  - {name: my stack, layers: [my board 2 in, foil, air gap 1/2 in], source: built twice}
bodies:
  - name: my box
    kind: box trailer
    length: 4.4 m
    width: 2 m
    height: 1.95 m
    windows: [{name: side, side: left, area: 0.5 m2, glass: double acrylic}]
    doors: {area: 1.6 m2, height: 1.7 m}
    source: a tape measure
equipment:
  - {name: my quiet unit, what: air conditioner, capacity: 9 kBTU/h, power: 800 W, source: plate}
  - {name: my burner, what: heater, kind: hydronic, output: 4 kW, source: plate}
  - {name: my bank, what: battery, capacity: 314 Ah, source: its label}
  - {name: my inverter, what: inverter, rating: 2 kW, idle: 12 W, source: plate}
loads:
  - {name: my pump, power: 45 W, when: 7:00 to 7:10, source: its label}
"""
VAN = """\
library: shop/my-library.yaml
site: miami
body: my box
stacks:
  roof: [steel 0.9 mm, my board 2 in, my film, plywood 6 mm]
  walls: [steel 20 gauge, R-13 batt of mine in 60 mm, plywood 6 mm]
  floor: [plywood 12 mm, {material: my board, thickness: 1 in, density: 40 kg/m3}, plywood 12 mm]
loads: [my pump, {name: my pump 2, power: 60 W}, kettle]
air conditioner: {kind: My-Quiet Unit, setpoint: 74 F}
heater: {kind: my burner, floor: 1 kW}
battery: {kind: my bank}
inverter: my inverter
"""
PLAIN = """\
site: miami
body: {length: 4 m, width: 2 m, height: 2 m}
stacks: {roof: [steel 1 mm], walls: [steel 1 mm], floor: [steel 1 mm]}
"""


def shop_in(path: Path) -> Path:
    """Write a library and a sheet that takes its rows."""
    (path / "shop").mkdir()
    (path / "shop" / "my-library.yaml").write_text(ROWS, encoding="utf-8")
    (path / "van.yaml").write_text(VAN, encoding="utf-8")
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return shop_in(tmp_path)


@pytest.fixture
def sheet(folder: Path) -> Sheet:
    return load(folder / "van.yaml")


def line_in(text: str, part: str) -> int:
    return text[: text.index(part)].count("\n") + 1


def test_own_materials_lie_in_layers_in_every_way_of_writing_them(sheet):
    board, batt, floor = sheet.stacks.roof[1], sheet.stacks.walls[1], sheet.stacks.floor[1]
    assert (board.material, board.conductivity, board.vapour) == ("My board", 0.022, 60.0)
    assert board.thickness == 0.0508
    assert board.insulation
    assert board.inner_facing == 20.0  # the film lies on it and is no layer
    assert board.source == "its data sheet"
    own = 13 * R_US * 0.037
    assert batt.compressed_from == pytest.approx(own)
    assert batt.thickness == 0.06
    assert batt.density == pytest.approx(20.0 * own / 0.06)
    assert (floor.conductivity, floor.density, floor.thickness) == (0.022, 40.0, 0.0254)


def test_a_layer_of_an_own_material_is_the_one_that_a_section_describes(sheet):
    described = Layer.model_validate(
        {"material": "My board", "thickness": "2 in", "conductivity": "0.022 W/m·K",
         "density": "35 kg/m3", "specific_heat": "1400 J/kg·K", "vapour": "60",
         "source": "its data sheet"}
    )  # fmt: skip
    assert sheet.stacks.roof[1].model_copy(update={"inner_facing": 0.0}) == described


def test_an_r_value_with_a_thickness_gives_an_own_material_another_conductivity(folder):
    sheet = load(folder / "van.yaml", ["stacks.roof.2=R-13.5 my board 2 in"])
    assert sheet.stacks.roof[1].conductivity == pytest.approx(2 * IN / (13.5 * R_US))


def test_own_loads_bring_what_the_sheet_does_not_give(sheet):
    pump, second, kettle = sheet.loads
    assert (pump.power, pump.when) == (45.0, ((420, 430),))
    assert (second.name, second.power, second.when) == ("my pump 2", 60.0, pump.when)
    assert kettle.power == 1000.0
    assert not pump.is_guess("power")


def test_an_own_load_may_be_added_on_the_command_line(sheet):
    added = with_also(sheet, ["my pump", "my pump: 8:00 to 8:30"]).loads[-2:]
    assert [(x.power, x.when) for x in added] == [(45.0, ((420, 430),)), (45.0, ((480, 510),))]
    with pytest.raises(OptionError, match="did you mean 'my pump'"):
        with_also(sheet, ["my pumb"])


def test_an_own_body_brings_its_glass_and_doors(sheet, folder):
    assert (sheet.body.length, sheet.body.kind, sheet.body.sandwich) == (4.4, "box trailer", True)
    assert [window.glass for window in sheet.windows] == ["double acrylic"]
    assert sheet.doors.area == 1.6
    longer = load(folder / "van.yaml", ["body.length=5 m", "windows=none"])
    assert (longer.body.length, longer.body.width, longer.windows) == (5.0, 2.0, ())


def test_own_equipment_gives_what_the_sheet_leaves_out_and_counts_as_given(sheet):
    unit, heater = sheet.air_conditioner, sheet.heater
    assert unit is not None
    assert heater is not None
    assert (unit.kind, unit.power) == ("my quiet unit", 800.0)
    assert unit.capacity == pytest.approx(9000 * BTU_H)
    assert unit.setpoint == pytest.approx((74 - 32) / 1.8)
    assert not unit.is_guess("power")
    assert (heater.kind, heater.output, heater.floor) == ("hydronic", 4000.0, 1000.0)
    assert (sheet.battery.kind, sheet.battery.capacity) == ("lithium", 314.0)
    assert sheet.inverter is not None
    assert (sheet.inverter.kind, sheet.inverter.rating, sheet.inverter.idle) == (
        "my inverter", 2000.0, 12.0,
    )  # fmt: skip
    assert not {"battery.capacity", "inverter.idle"} & {guess.path for guess in sheet.guessed}


CHARGER = "  - {name: my charger, what: dc charger, amps: 30 A, source: plate}\nloads:\n"


@pytest.mark.parametrize(("named", "change", "key", "kept"), [
    ("battery: my bank", "battery.reserve=20 %", "capacity", 314.0),
    ("inverter: my inverter", "inverter.idle=9 W", "rating", 2000.0),
    ("body: my box", "body.width=2.1 m", "length", 4.4),
    ("dc charger: my charger", "dc charger.zone=living", "amps", 30.0),
])  # fmt: skip
def test_a_value_set_beside_a_name_alone_keeps_the_others_of_its_row(
    folder, named, change, key, kept
):
    (folder / "shop" / "my-library.yaml").write_text(ROWS.replace("loads:\n", CHARGER))
    section = named.split(":")[0]
    others = "".join(x for x in VAN.splitlines(True) if not x.startswith(f"{section}:"))
    (folder / "van.yaml").write_text(f"{others}{named}\nalternator: 200 A\n")
    part = load(folder / "van.yaml", [change]).value_of(section)
    assert getattr(part, key) == kept
    assert not part.is_guess(key)


def test_own_stacks_are_tried_beside_the_ordinary_ones_or_by_name(sheet, folder):
    names = [made.name for made in candidates(sheet)]
    assert names[-1] == "my stack"
    assert "bare" in names
    asked = load(folder / "van.yaml", ["stacks to try=[my stack, 'my board 1 in, air gap 20 mm']"])
    ways = {made.name: made.between["roof"] for made in candidates(asked)}
    assert list(ways) == ["your own", "my stack", "my board 1 in, air gap 20 mm"]
    assert [x.material for x in ways["my stack"]] == ["My board", "foil", "air gap"]
    assert ways["my board 1 in, air gap 20 mm"][0].conductivity == 0.022


def test_an_own_stack_that_cannot_stand_in_the_van_is_told_with_its_line(folder):
    path = folder / "shop" / "my-library.yaml"
    path.write_text(ROWS.replace("[my board 2 in, foil,", "[air gap 20 mm, air gap 10 mm, foil,"))
    with pytest.raises(SheetError, match="two air gaps"):
        load(folder / "van.yaml")  # refused by itself
    path.write_text(ROWS.replace("air gap 1/2 in],", "air gap 1/2 in], rib cover: 10 mm,"))
    bare = "{kind: hat, depth: 20 mm, width: 30 mm, spacing: 400 mm, lined: no}"
    with pytest.raises(SheetError) as caught:
        candidates(load(folder / "van.yaml", [f"body.ribs={bare}"]))
    assert caught.value.line == line_in(ROWS, "- {name: my stack")
    assert caught.value.file == "my-library.yaml"
    assert "stacks to try" in str(caught.value)


def test_prices_may_name_own_materials(folder):
    check_prices(load(folder / "van.yaml", ["prices={batt of mine: 3 per m2, my film: 1 per m2}"]))
    with pytest.raises(SheetError, match="my film by its area"):
        check_prices(load(folder / "van.yaml", ["prices={my film: 900 per m3}"]))


def test_a_sheet_as_understood_says_where_a_value_came_from(sheet):
    origins = {row.key: row.origin for row in echo(sheet)}
    at = {key: f"my-library.yaml, line {line_in(ROWS, part)}" for key, part in (
        ("battery.capacity", "- {name: my bank"), ("body.length", "length:"),
        ("stacks.walls.1", "- {name: batt of mine"), ("loads (my pump).power", "- {name: my pump"),
    )}  # fmt: skip
    assert {key: origins[key] for key in at} == at
    assert origins["loads (my pump 2).power"] == ""
    assert origins["body.colour"] == ""


def test_its_text_is_in_the_digest(sheet, folder):
    path = folder / "shop" / "my-library.yaml"
    path.write_text(ROWS + "# the same rows\n")
    assert load(folder / "van.yaml").digest != sheet.digest
    path.write_text(ROWS)
    assert load(folder / "van.yaml").digest == sheet.digest
    assert pickle.loads(pickle.dumps(sheet)).digest == sheet.digest


def test_a_library_stays_in_its_sheet(folder, sheet):
    (folder / "plain.yaml").write_text(PLAIN.replace("[steel 1 mm]", "[my board 2 in]", 1))
    with pytest.raises(SheetError, match="my board"):
        load(folder / "plain.yaml")
    other = ROWS.replace("0.022", "0.030").replace("45 W", "90 W")
    (folder / "shop" / "other.yaml").write_text(other)
    (folder / "other.yaml").write_text(VAN.replace("my-library", "other"))
    second = load(folder / "other.yaml")
    assert (sheet.stacks.roof[1].conductivity, sheet.loads[0].power) == (0.022, 45.0)
    assert (second.stacks.roof[1].conductivity, second.loads[0].power) == (0.030, 90.0)
    assert with_also(sheet, ["my pump"]).loads[-1].power == 45.0


def test_two_sheets_with_libraries_are_compared_by_what_these_give(folder, sheet):
    (folder / "shop" / "other.yaml").write_text(ROWS.replace("314 Ah", "628 Ah"))
    (folder / "other.yaml").write_text(VAN.replace("my-library", "other"))
    second = load(folder / "other.yaml")
    found = exchanges(sheet, second)
    assert [exchange.key for exchange in found] == ["battery.capacity"]
    assert exchanged(sheet, second, found[0]).battery.capacity == 628.0


@pytest.mark.parametrize("section", [x for x in EQUIPMENT if x not in ("air_conditioner",)])
def test_a_kind_that_no_library_has_is_told(folder, section):
    words = section.replace("_", " ")
    (folder / "plain.yaml").write_text(f"{PLAIN}{words}: {{kind: my thing}}\n")
    with pytest.raises(SheetError) as caught:
        load(folder / "plain.yaml")
    assert caught.value.found == "my thing"
    assert caught.value.line == 4
    assert caught.value.key == f"{words}.kind"


def test_a_misspelt_air_conditioner_is_told_and_a_text_of_ones_own_is_not(folder):
    with pytest.raises(SheetError, match="did you mean 'my quiet unit'"):
        load(folder / "van.yaml", ["air conditioner.kind=my quit unit"])
    with pytest.raises(SheetError, match="did you mean 'my quiet unit'"):
        load(folder / "van.yaml", ["air conditioner=my quit unit"])
    given = ["air conditioner.kind=my quiet one", "air conditioner.capacity=8 kBTU/h"]
    unit = load(folder / "van.yaml", given).air_conditioner
    assert unit is not None
    assert (unit.kind, unit.is_guess("power")) == ("my quiet one", True)


def test_equipment_and_a_library_may_be_set_on_the_command_line(folder):
    (folder / "plain.yaml").write_text(PLAIN)
    sheet = load(folder / "plain.yaml", ["library=shop/my-library.yaml", "battery=my bank"])
    assert sheet.battery.capacity == 314.0
    with pytest.raises(SheetError, match="my burner"):
        load(folder / "van.yaml", ["library=none"])
    assert load(folder / "plain.yaml", ["library=none"]).own.rows == ()
    with pytest.raises(SheetError) as caught:
        load(folder / "van.yaml", ["heater.kind=burner", "battery.kind=lead-acid"])
    assert [error.found for error in (caught.value, *caught.value.others)] == [
        "burner", "lead-acid",
    ]  # fmt: skip
    again = load(folder / "van.yaml", ["battery.capacity=100 Ah", "air conditioner=my quiet unit"])
    assert again.battery.capacity == 100.0


def test_a_value_that_cannot_stand_beside_the_sheets_names_the_librarys_line(folder):
    with pytest.raises(SheetError) as caught:
        load(folder / "van.yaml", ["air conditioner.blower power=900 W"])
    assert caught.value.found == "900 W"
    (folder / "shop" / "my-library.yaml").write_text(ROWS.replace("4 kW,", "4 kW, zone: garage,"))
    with pytest.raises(SheetError) as caught:
        load(folder / "van.yaml")
    assert (caught.value.file, caught.value.key) == ("my-library.yaml", "heater.zone")
    assert caught.value.line == line_in(ROWS, "- {name: my burner")


def test_each_section_may_stand_alone(tmp_path):
    for section in SECTIONS:
        start = ROWS.index(f"{section}:")
        after = [i for other in SECTIONS if (i := ROWS.index(f"{other}:")) > start]
        own = ROWS[start : min(after, default=len(ROWS))].replace("my board", "XPS")
        (tmp_path / "one.yaml").write_text(own)
        assert {row.section for row in read_library(tmp_path / "one.yaml").rows} == {section}


def test_the_pages_example_is_read_as_it_stands(tmp_path):
    page = (Path(__file__).parents[2] / "docs" / "library.md").read_text(encoding="utf-8")
    rows, van = re.findall(r"```yaml\n(.*?)```", page, re.DOTALL)
    (tmp_path / "my-library.yaml").write_text(rows, encoding="utf-8")
    (tmp_path / "van.yaml").write_text(van, encoding="utf-8")
    sheet = load(tmp_path / "van.yaml")
    assert {row.section for row in sheet.own.rows} == set(SECTIONS)
    assert sheet.stacks.walls[1].thickness == pytest.approx(6 * R_US * 0.031)
    assert (sheet.body.length, sheet.battery.capacity) == (4.4, 300.0)
    for section in EQUIPMENT:
        assert section.replace("_", " ") in page
