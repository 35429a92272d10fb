"""``vanclimate last``: what it refuses is one line, and its table is the sheet's own."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.cache import data_path

DEMO = str(data_path("scenarios", "holds.yaml"))
OTHER = str(data_path("scenarios", "fails-on-charge.yaml"))


def run(*args: str):
    return CliRunner().invoke(cli.app, ["last", *args])


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--odds", "0"), "--odds: found '0'"),
        (("--odds", "100 %"), "--odds: found '100 %'"),
        (("--odds", "often"), "--odds: found 'often'"),
        (("--futures", "0"), "--futures: found '0'"),
        (("--futures", "1000000"), "--futures: found '1000000'"),
        (("--days", "0"), "--days: found '0'"),
        (("--days", "61"), "--days: found '61'"),
        (("--seed", "-1"), "--seed: found '-1'"),
        (("--set", "remedies=[]"), "an empty list"),
        (("--table", DEMO), "this file is being read"),
        (("--table", OTHER, "--compare", OTHER), "this file is being read"),
        (("--table", "both.csv", "--trace", "both.csv"), "another file than that of --trace"),
    ],
)
def test_what_cannot_be_is_one_line_and_exit_code_2(options, said):
    outcome = run(DEMO, *options)
    assert outcome.exit_code == 2
    assert said in outcome.stderr
    assert outcome.stderr.strip().count("\n") == 0
    assert not outcome.stdout


@pytest.mark.slow
def test_the_table_beside_a_comparison_is_of_the_first_sheet(tmp_path: Path):
    alone, both = tmp_path / "alone.csv", tmp_path / "both.csv"
    options = ("--futures", "10", "--days", "1", "--no-search", "--table")
    assert run(DEMO, *options, str(alone)).exit_code == 0
    assert run(DEMO, *options, str(both), "--compare", OTHER).exit_code == 0
    pd.testing.assert_frame_equal(pd.read_csv(alone), pd.read_csv(both))
