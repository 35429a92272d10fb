"""``vanclimate size``: what it refuses is one line, and what it prints begins with its answer."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from tests.report.test_json import strict
from vanclimate import cli
from vanclimate.cache import data_path

DEMO = str(data_path("scenarios", "holds.yaml"))


def run(*args: str):
    return CliRunner().invoke(cli.app, ["size", *args])


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--odds", "0"), "--odds: found '0'"),
        (("--odds", "100 %"), "--odds: found '100 %'"),
        (("--odds", "often"), "--odds: found 'often'"),
        (("--futures", "0"), "--futures: found '0'"),
        (("--futures", "1000000"), "--futures: found '1000000'"),
        (("--days", "0"), "--days: found '0'"),
        (("--set", "battery.capazity=3 Ah"), "--set: found 'battery.capazity'"),
    ],
)
def test_what_cannot_be_is_one_line_and_exit_code_2(options, said):
    outcome = run(DEMO, *options)
    assert outcome.exit_code == 2
    assert said in outcome.stderr
    assert outcome.stderr.strip().count("\n") == 0
    assert not outcome.stdout


def test_a_sheet_that_cannot_be_names_its_line(tmp_path):
    sheet = tmp_path / "bad.yaml"
    sheet.write_text(Path(DEMO).read_text("utf-8").replace("630 Ah", "630 apples"), "utf-8")
    outcome = run(str(sheet))
    assert outcome.exit_code == 2
    assert "bad.yaml, line " in outcome.stderr
    assert "630 apples" in outcome.stderr


@pytest.mark.slow
def test_the_answer_its_trace_and_its_json(tmp_path):
    target = tmp_path / "size.csv"
    options = (DEMO, "--futures", "16", "--stay", "10 July to 14 July", "--odds", "50 %")
    printed = run(*options, "--trace", str(target))
    assert printed.exit_code == 0, printed.output
    first, *rest = printed.stdout.splitlines()
    assert first.startswith("For 5 nights in 10 in Greensboro, North Carolina: AC ")
    for title in ("The smallest that is enough", "The hour that sets each", "Cautions"):
        assert title in rest
    assert all(len(line) <= 100 for line in rest)
    assert target.read_text("utf-8").startswith("start,step_s,")
    told = strict(run(*options, "--json").stdout)
    assert told["schema"] == "vanclimate.size/1"
    assert told["first_line"] == first
    bank = next(one for one in told["answer"]["sized"] if one["name"] == "bank")
    assert f"bank {bank['size']:.0f} Ah" in first
    assert told["figures"][0]["unit"] == "Ah"
    assert told["figures"][0]["value"] <= bank["size"]
