"""``--compare``: another sheet beside the first."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from tests.report.test_json import strict
from vanclimate import cli
from vanclimate.cache import data_path

DEMO = str(data_path("scenarios", "holds.yaml"))


def run(*args: str):
    return CliRunner().invoke(cli.app, list(args))


@pytest.fixture
def smaller(tmp_path):
    """The demo with a smaller bank and a greater reserve."""
    sheet = tmp_path / "smaller.yaml"
    text = (data_path("scenarios", "holds.yaml")).read_text()
    sheet.write_text(text.replace("capacity: 630 Ah", "capacity: 500 Ah"))
    return str(sheet)


@pytest.mark.slow
def test_a_smaller_bank_is_what_matters(smaller):
    result = run("night", DEMO, "--compare", smaller, "--json")
    assert result.exit_code == 0
    told = strict(result.stdout)
    assert told["inputs"]["question"] == "night"
    assert "holds.yaml, is better" in told["first_line"]
    lead, (move,) = told["figures"][0], told["answer"]["moves"]
    assert move["key"] == "battery.capacity"
    assert move["by"] == lead["difference"] == pytest.approx(told["answer"]["of_whole"])
    lines = told["answer"]["first_lines"]
    assert lines[0].startswith("Holds: 25 % of the bank")
    assert f"{100 * lead['second']:.0f} % of the bank" in lines[1]


@pytest.mark.slow
def test_what_was_set_holds_for_the_first_sheet_and_a_load_more_for_both(smaller):
    options = ("--set", "battery.capacity=500 Ah", "--also", "kettle")
    result = run("night", DEMO, "--compare", smaller, *options)
    assert result.exit_code == 0
    assert result.stdout.startswith("Nothing differs but names")
    assert "set: battery.capacity 500 Ah, in place of 630 Ah" in result.stdout


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--compare", "no-such.yaml"], "no-such.yaml"),
        (["--compare", "."], "a folder"),
    ],
)
def test_another_sheet_that_cannot_be_is_one_line(args, said):
    result = run("night", *args)
    assert result.exit_code == 2
    assert said in result.stderr
    assert result.stderr.count("\n") == 1
    assert not result.stdout
