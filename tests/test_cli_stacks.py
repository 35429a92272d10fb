"""``vanclimate stacks``: what it refuses is one line, and what it prints begins with its answer."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from tests.answers.test_stacks import AC, COLD, TRIED, VAN, WALLS, WARM
from tests.report.test_json import strict
from vanclimate import cli


def run(folder: Path, more: str, *options: str, site: str = COLD):
    sheet = folder / "van.yaml"
    text = VAN.format(ribs="rib share: 10 %", walls=WALLS, site=site)
    sheet.write_text(f"{text}{more}\n", encoding="utf-8")
    return CliRunner().invoke(cli.app, ["stacks", str(sheet), *options])


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("stacks to try: [unobtainable 2 in]", "stacks to try item 1.layers item 1: found"),
        ("stacks to try: []", "stacks to try: found 'no stack'"),
        ("stacks to try:\n  - {name: x}", "item 1.layers: found 'nothing'"),
        ("stacks to try:\n  - XPS 500 mm, cork 500 mm", "stacks to try item 1: found"),
        ("prices: {XPS: 14}", "prices.xps: found '14'"),
        ("prices: {unobtainable: 14 per m2}", "prices.unobtainable: found 'unobtainable'"),
    ],
)
def test_what_cannot_be_is_one_line_and_exit_code_2(tmp_path, more, said):
    outcome = run(tmp_path, more)
    assert outcome.exit_code == 2
    assert said in outcome.stderr
    assert "van.yaml, line " in outcome.stderr
    assert outcome.stderr.count("\n") == 1
    assert not outcome.stdout


def test_the_first_line_answers_and_the_trace_is_written(tmp_path):
    trace = tmp_path / "own.csv"
    outcome = run(tmp_path, f"{AC}{TRIED}", "--trace", str(trace), "--units", "si", site=WARM)
    assert outcome.exit_code == 0, outcome.output
    first = outcome.stdout.splitlines()[0]
    assert first.startswith("Best of 3 stacks for this van: thick (")
    assert "of AC on the made-up night); your own is 2nd" in first
    assert "No cold night is shown: the site has made-up days." in outcome.stdout
    assert len(trace.read_text(encoding="utf-8").splitlines()) > 90


def test_json_holds_the_ranking(tmp_path):
    told = strict(run(tmp_path, TRIED, "--json").stdout)
    assert told["schema"] == "vanclimate.stacks/1"
    rows = told["answer"]["rows"]
    assert [row["name"] for row in rows] == ["thick", "your own", "bare"]
    assert rows[1]["layers"]["walls"] == ["sheep wool 40 mm", "foil"]
    assert told["figures"][0]["value"] == rows[1]["cold"]["heat_wh"]
    assert all(0 < row["figures"]["u_w_m2k"] < 8 for row in rows)
