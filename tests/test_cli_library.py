"""`vanclimate library`: its lists, a word, one's own file, widths, JSON, what is refused."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from rich.cells import cell_len
from typer.testing import CliRunner

from tests.van.test_library import ROWS, line_in
from vanclimate import cli
from vanclimate.answers.shelf import shelf
from vanclimate.answers.size.ladders import AC
from vanclimate.answers.stacks.listed import ordinary
from vanclimate.cache import data_path
from vanclimate.units import KINDS, show
from vanclimate.van.bodies import KINDS as BODIES
from vanclimate.van.fields import specs
from vanclimate.van.library_rows import EQUIPMENT
from vanclimate.van.load_library import LOADS
from vanclimate.van.materials import MATERIALS
from vanclimate.van.openings import GLASSES
from vanclimate.van.reading import load
from vanclimate.van.schema import part_at
from vanclimate.van.shelf import LISTS
from vanclimate.van.shelf_equipment import classes

PUMP = line_in(ROWS, "- {name: my pump")


def run(*args: str, width: int = 100):
    return CliRunner().invoke(cli.app, ["library", *args], env={"COLUMNS": str(width)})


@pytest.fixture
def mine(tmp_path):
    path = tmp_path / "my-library.yaml"
    path.write_text(ROWS, encoding="utf-8")
    return str(path)


def test_without_a_list_it_says_which_there_are():
    result = run()
    assert result.exit_code == 0
    for name in LISTS:
        assert f"{len(shelf(name))} rows" in result.stdout
        assert name in result.stdout
    assert "vanclimate library materials" in result.stdout


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize("width", [60, 80, 100, 120])
def test_every_row_stands_with_its_figures_and_source_at_every_width(name, width, mine):
    lines = run(name, "--file", mine, width=width).stdout.splitlines()
    assert max(map(cell_len, lines)) <= min(width, 100)
    text = " ".join(" ".join(lines).split())
    for row in shelf(name):
        assert row.name in text
        assert " ".join(row.source.split()) in text
        for cell in row.cells:
            assert cell.us in text, (row.name, cell.key)
    assert not any("\x1b" in line for line in lines)


@pytest.mark.parametrize("name", LISTS)
def test_each_row_has_a_source_and_figures_in_both_systems(name):
    for row in shelf(name):
        assert row.source, row.name
        assert row.cells
        for cell in row.cells:
            assert cell.si
            assert cell.us
            assert cell.kind == "" or cell.kind in KINDS


def test_the_lists_are_whole():
    names = {name: {row.name for row in shelf(name)} for name in LISTS}
    assert {x.name for x in (*MATERIALS, *GLASSES)} <= names["materials"]
    assert {x.name for x in LOADS} == names["loads"]
    assert {x.name for x in BODIES} == names["bodies"]
    tried = {made.name for made in ordinary(load(data_path("scenarios", "holds.yaml")))}
    assert tried <= names["stacks"]
    sections = {x.section.replace(" ", "_") for x in classes()}
    assert sections == set(EQUIPMENT)


def test_every_default_of_equipment_is_in_its_list():
    listed = {(row.group.split(",")[0], row.name) for row in shelf("equipment")}
    for section in EQUIPMENT:
        part = part_at([section])
        assert part is not None
        words = section.replace("_", " ")
        if words == "ground panel":
            continue  # it lists what differs from panels on the roof
        wanted = {
            (words, name.replace("_", " ")) for name, spec in specs(part).items()
            if spec.why and name not in ("table", "capacity")
        }  # fmt: skip
        assert wanted <= listed


def test_a_word_picks_rows_by_any_of_their_names():
    names = [r["name"] for r in json.loads(run("materials", "wool", "--json").stdout)["rows"]]
    assert names == ["mineral wool", "glass wool", "sheep wool", "polyester batt"]


def test_units_say_which_stands_first():
    us, si = run("bodies", "trailer").stdout, run("bodies", "trailer", "--units", "si").stdout
    assert us.index("11.8 ft") < us.index("3.6 m")
    assert si.index("3.6 m") < si.index("11.8 ft")


def test_rows_of_ones_own_are_marked_among_the_shipped(mine):
    text = run("loads", "pump", "--file", mine).stdout
    assert "\n  water pump " in text
    assert "\n  * my pump " in text
    assert f"source: its label (my-library.yaml, line {PUMP})" in text
    assert "a row of your own, of my-library.yaml" in text
    assert "3 of them yours" in run("--file", mine).stdout


def test_json_has_values_in_si_with_units(mine):
    whole = json.loads(run("materials", "--json", "--file", mine).stdout)
    assert whole["schema"] == "vanclimate.library/1"
    rows = {row["name"]: row for row in whole["rows"]}
    xps = {value["key"]: value for value in rows["XPS"]["values"]}
    assert xps["conductivity"] == {
        "key": "conductivity", "value": 0.03, "unit": "W/m·K", "low": 0.025, "high": 0.036,
    }  # fmt: skip
    assert rows["My board"]["own"] == "my-library.yaml, line 2"
    assert rows["XPS"]["own"] is None
    assert len(json.loads(run("--json").stdout)["rows"]) == sum(len(shelf(x)) for x in LISTS)


def test_the_sizes_are_those_that_are_tried():
    row = next(r for r in shelf("equipment") if "size" in r.group and r.name == "air conditioner")
    assert row.cells[0].us == ", ".join(show(x, "heat_rate", "us", 3) for x in AC)


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["wool"], "vanclimate library materials wool"),
        (["materals"], "did you mean 'materials'?"),
        (["materials", "wol"], "did you mean 'wool'?"),
        (["materials", "--units", "uk"], "us or si"),
        (["materials", "--file", "no-such.yaml"], "a library: a text file in YAML"),
        (["materials", "--file", "."], "a folder"),
    ],
)
def test_what_cannot_be_is_one_line(args, said):
    result = run(*args)
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stderr.count("\n") == 1
    assert result.stdout == ""


def test_each_fault_of_a_file_is_told(tmp_path):
    path = tmp_path / "mine.yaml"
    path.write_text(ROWS.replace("45 W", "45").replace("0.022 W/m·K", "0.022"), encoding="utf-8")
    result = run("loads", "--file", str(path))
    assert result.exit_code == 2
    lines = [line.split(",")[1] for line in result.stderr.splitlines()]
    assert lines == [" line 3", f" line {PUMP}"]


def test_a_name_of_ones_own_gives_the_terminal_no_orders(tmp_path):
    path = tmp_path / "mine.yaml"
    path.write_text("loads: [{name: a\u202eb, power: 3 W, source: x\u202ey}]", encoding="utf-8")
    result = run("loads", "--file", str(path))
    assert "\u202e" not in result.stdout + result.stderr


def test_help_imports_nothing_heavy():
    code = (
        "import sys; sys.argv = ['vanclimate', 'library', '--help']\n"
        "import vanclimate.cli\n"
        "try: vanclimate.cli.main()\n"
        "except SystemExit: pass\n"
        "print([m for m in ('numba', 'numpy', 'yaml', 'vanclimate.van') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("[]")


def test_the_page_shows_what_is_printed(tmp_path, monkeypatch):
    page = (Path(__file__).parents[1] / "docs" / "library.md").read_text(encoding="utf-8")
    rows = re.search(r"```yaml\n(materials:.*?)```", page, re.DOTALL)
    shown = re.search(r"```\n(loads \(.*?)```", page, re.DOTALL)
    assert rows is not None
    assert shown is not None
    (tmp_path / "my-library.yaml").write_text(rows[1], encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert run("loads", "compressor", "--file", "my-library.yaml").stdout == shown[1]
