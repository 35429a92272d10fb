"""Typical slips of the command line: each is a line that says what is allowed and what to type."""

from __future__ import annotations

import shlex

import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.cache import data_path

# what is typed, what is allowed, what to type instead
SLIPS = [
    ("nihgt", "night, stacks, trip", "type: vanclimate night"),
    ("van.yaml", "a command first", "type: vanclimate night van.yaml"),
    ("--units si night", "a command before its options", "type: vanclimate night --units si"),
    ("--colour", "--version", "type: vanclimate --help"),
    ("night --colour", "--site, --years", "type: vanclimate night --help"),
    ("night --sit miami", "--site, --years", "did you mean '--site'?"),
    ("night --site", "a value", "type: vanclimate night --site miami"),
    ("night --site=", "a place", "`vanclimate weather list`"),
    ("night --fill=3", "no value", "type: vanclimate night --fill"),
    ("last --days three", "a whole number", "type: vanclimate last --days 3"),
    ("last --days", "a value", "type: vanclimate last --days 3"),
    ("last --odds 90", "less than 100 %", "such as '90 %'"),
    ("last --no-serch", "--no-search", "did you mean '--no-search'?"),
    ("night a.yaml b.yaml", "one sheet", "type: vanclimate night a.yaml --compare b.yaml"),
    ("night my van.yaml", "in quotes", "type: vanclimate night 'my van.yaml'"),
    ("night van.yaml units si", "one sheet", "did you mean '--units'?"),
    ("weather fech", "show, check, list, fetch", "type: vanclimate weather fetch"),
    ("weather fetch Moab Utah", "in quotes", "type: vanclimate weather fetch 'Moab Utah'"),
    ("weather show", "a site", "type: vanclimate weather show miami"),
    ("weather show miami --yaers 2019", "--years", "did you mean '--years'?"),
    ("weather list miami", "options only", "type: vanclimate weather list"),
    ("weather show miamy", "miami, greensboro", "did you mean 'miami'?"),
    ("weather check no-such.csv", "a weather file", "no-such.csv"),
    ("night no-such.yaml", "a scenario sheet", "type: vanclimate new my-van.yaml"),
    ("check .", "a scenario sheet", "type: vanclimate new my-van.yaml"),
    ("night --units metrik", "us or si", "did you mean 'metric'?"),
    ("night --night hotest", "hottest", "did you mean 'hottest'?"),
    ("night --years 20l7", "typical", "2017-2023"),
    ("night --stay July", "two days", "12 July to 26 July"),
    ("night --also ketle", "a load", "did you mean 'kettle'?"),
    ("night --set batery.capacity=5", "a key", "did you mean 'battery.capacity'?"),
    ("night --set battery.capacity", "a key and its value", "'battery.capacity=500 Ah'"),
    ("check --set battery.capacity=5", "5 Ah to 5000 Ah", "as in '5 Ah'"),
    ("night --trace .", "a file that can be written", "night.csv"),
    ("coast --at teatime", "a time", "22:30"),
    ("trip van.yaml", "a list of stops", "--stop 'greensboro, 12 January, 3 nights'"),
    ("night van.yaml --compare", "a value", "--compare other-van.yaml"),
]


@pytest.mark.parametrize(("typed", "allowed", "to_type"), SLIPS)
def test_a_slip_is_one_line_that_says_what_is_allowed_and_what_to_type(
    typed, allowed, to_type, tmp_path, monkeypatch
):
    (tmp_path / "van.yaml").write_text(data_path(*cli.DEMO).read_text())
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("vanclimate.cli.respond.say_compiling", lambda board: None)
    result = CliRunner().invoke(cli.app, shlex.split(typed))
    assert result.exit_code == 2
    assert not result.stdout
    (line,) = result.stderr.splitlines()
    assert "Traceback" not in line
    assert allowed in line
    assert to_type in line


@pytest.mark.parametrize("typed", ["", "weather"])
def test_a_command_alone_shows_what_there_is(typed):
    result = CliRunner().invoke(cli.app, typed.split())
    assert result.exit_code == 2
    assert "Commands:" in result.output
