from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.answers.coast import part as coast_part
from vanclimate.cache import data_path

DEMO = str(data_path("scenarios", "holds.yaml"))
STAY = ("--stay", "14 July to 15 July")


@pytest.fixture(autouse=True)
def _few_vans(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(coast_part, "VANS", 2)
    monkeypatch.setattr(coast_part, "RUNS", {"heat": 2, "cold": 2})


def run(*args: str):
    return CliRunner().invoke(cli.app, ["coast", *args])


def refused(*args: str) -> str:
    result = run(*args)
    assert result.exit_code == 2
    assert "Traceback" not in result.output
    (line,) = result.output.strip().splitlines()
    return line


@pytest.mark.parametrize("at", ["25:00", "noonish", "15", "-1:00", ""])
def test_a_moment_that_is_none(at):
    line = refused(DEMO, "--at", at)
    assert "--at" in line
    assert "a time of day such as 22:30" in line


def test_a_sheet_that_cannot_be(tmp_path):
    sheet = tmp_path / "bad.yaml"
    text = Path(DEMO).read_text("utf-8").replace("12 ft 6 in ", "12 bananas ")
    sheet.write_text(text, "utf-8")
    line = refused(str(sheet))
    number = 1 + text[: text.index("12 bananas")].count("\n")
    assert f"bad.yaml, line {number}, body.length" in line
    assert "12 bananas" in line


def test_a_sheet_that_is_not_there():
    assert "nowhere.yaml" in refused("nowhere.yaml")


def test_a_trace_over_the_sheet():
    assert "--trace" in refused(DEMO, "--trace", DEMO)


def test_the_answer_its_trace_and_its_json(tmp_path):
    target = tmp_path / "coast.csv"
    result = run(DEMO, *STAY, "--at", "15:00", "--trace", str(target), "--units", "si")
    assert result.exit_code == 0
    first = result.stdout.splitlines()[0]
    assert first.startswith("Not a permission, and never for a child or an animal: if the AC stops")
    assert f"rows to {target}" in " ".join(result.stdout.split())
    header = target.read_text("utf-8").splitlines()[0].split(",")
    assert {"start", "cabin_temp_c", "heat_index_c", "outdoor_temp_c"} <= set(header)
    result = run(DEMO, *STAY, "--at", "15:00", "--json")
    whole = json.loads(result.stdout)
    assert whole["schema"] == "vanclimate.coast/1"
    assert whole["answer"]["at_min_after_midnight"] == 900
