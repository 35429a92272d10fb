"""``--json``: the same answer, for programs."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from tests.report.test_json import strict
from vanclimate import cli
from vanclimate.cache import data_path

DEMO = str(data_path("scenarios", "holds.yaml"))


def run(*args: str):
    return CliRunner().invoke(cli.app, list(args))


@pytest.fixture(scope="module")
def both():
    """The night as text and as JSON."""
    options = ("night", DEMO, "--units", "si", "--set", "battery.capacity=600 Ah")
    return run(*options), run(*options, "--json")


def test_nothing_but_one_strict_object_is_printed(both):
    _, told = both
    assert told.exit_code == 0
    assert told.stdout.startswith("{")
    found = strict(told.stdout)
    assert list(found) == ["schema", "version", "inputs", "first_line", "figures", "answer"]
    assert found["schema"] == "vanclimate.night/1"
    assert found["inputs"]["sheet"] == DEMO
    assert found["inputs"]["place"] == "greensboro"
    assert found["inputs"]["set"] == ["battery.capacity=600 Ah"]


def test_its_figures_are_those_that_are_printed(both):
    printed, told = both
    found = strict(told.stdout)
    value = {figure["name"]: figure["value"] for figure in found["figures"]}
    first = printed.stdout.splitlines()[0]
    assert first == found["first_line"]
    assert f"{100 * value['margin of charge']:.0f} % of the bank" in first
    assert f"{value['hours to spare']:.1f} h" in first
    assert f"{value['margin of temperature']:.1f} K to spare" in first
    way = next(w for w in found["answer"]["ways"] if w["way"] == found["answer"]["main"])
    rows = {line.split("  ")[1].strip(): line.split() for line in printed.stdout.splitlines()
            if line.startswith("  ")}  # fmt: skip
    assert rows["drawn, Ah"][-1] == f"{value['drawn from the bank']:.0f}"
    assert rows["felt, warmest*, °C"][-1] == f"{value['felt warmest']:.1f}"
    assert rows["felt, waking, °C"][-1] == f"{way['felt_at_waking_c']:.1f}"
    assert f"{value['charge at waking']:.0%}" in rows["bank, waking, Ah"][-1]
    assert value["nights that hold"] == found["answer"]["nights_held"] == 31


def test_what_was_set_is_printed_near_the_top(both):
    printed = both[0].stdout
    place = printed.index("set: battery.capacity 600 Ah, in place of 630 Ah")
    assert place < printed.index("Three ways")
    assert "bank of 600 Ah" in printed


def test_its_stamps_carry_their_zone(both):
    answer = strict(both[1].stdout)["answer"]
    assert answer["bedtime"].endswith("T22:30:00-05:00")


def test_a_fault_is_told_on_stderr_alone(tmp_path):
    result = run("night", "--json", "--set", "batery.capacity=3 Ah")
    assert result.exit_code == 2
    assert not result.stdout
    assert result.stderr.count("\n") == 1


@pytest.mark.slow
def test_a_trace_is_written_beside_it(tmp_path):
    target = tmp_path / "night.csv"
    result = run("night", "--json", "--trace", str(target))
    assert strict(result.stdout)["schema"] == "vanclimate.night/1"
    assert target.read_text().startswith("start,step_s,")
