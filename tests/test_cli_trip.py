"""``vanclimate trip``: its options, and what is refused with one line and exit code 2."""

from __future__ import annotations

import json

import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.cache import data_path

VAN = data_path("scenarios", "winter-trip.yaml").read_text(encoding="utf-8")
RUNNER = CliRunner()


def ends(*args: str) -> str:
    """Return the message of a command that is refused, after the checks that all of them pass."""
    result = RUNNER.invoke(cli.app, ["trip", *args])
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert "Traceback" not in result.output
    lines = [line for line in result.stderr.splitlines() if not line.startswith("compiling")]
    assert len(lines) == 1
    return lines[0]


@pytest.mark.parametrize(
    ("old", "new", "line", "key", "found"),
    [
        ("arrival: 15 January", "arrival: 10 January", 15, "trip item 2.arrival", "January 10"),
        ("arrival: 15 January", "arrival: 14 January", 15, "trip item 2.arrival", "January 14"),
        ("nights: 3, drive", "nights: 0, drive", 15, "trip item 2.nights", "0"),
        ("place: miami", "place: miamy", 15, "trip item 2.place", "miamy"),
        ("12 January, 3", "12 January 2019, 3", 14, "trip item 1.arrival", "January 12, 2019"),
        ("shore: {inlet: 30 A, charger: 40 A}\n", "", 15, "trip item 2.shore", "shore in a van"),
        ("- greensboro, 12", "- greensboro, 32", 14, "trip item 1", "32 January"),
        ("drive: 12 h", "drive: 14 h", 15, "trip item 2.drive", "14 h, from 06:00"),
        ("tank: 20 gal, use", "tank: 20, use", None, "water.tank", "20"),
    ],
)
def test_a_bad_trip_is_refused_at_its_line(tmp_path, old, new, line, key, found):
    assert old in VAN
    sheet = tmp_path / "van.yaml"
    sheet.write_text(VAN.replace(old, new), encoding="utf-8")
    said = ends(str(sheet))
    assert said.startswith(f"van.yaml, line {line}, " if line else "van.yaml, line ")
    assert f"{key}: found '{found}" in said
    assert "; allowed: " in said


@pytest.mark.parametrize(
    ("args", "begins"),
    [
        (["--stop", "greensboro, 12 January, 0 nights"], "--stop: found '0'"),
        (["--stop", "greensboro, 3 nights"], "--stop: found 'no day'"),
        (["--stop", ""], "--stop: found"),
        (["--stop", "miami, 2 May, 2 nights", "--stop", "miami, 1 May, 2 nights"],
         "--stop (2): found 'May 1'"),
        (["--stay", "12 July to 14 July"], "--stay: found"),
        (["--site", "miami"], "--site: found"),
        (["--years", "2019"], "--years: found"),
        ([str(data_path("scenarios", "holds.yaml"))], "holds.yaml, line "),
    ],
)  # fmt: skip
def test_bad_options_are_refused(args, begins):
    assert ends(*args).startswith(begins)


@pytest.mark.slow
def test_the_demo_answers_in_words_and_in_json(tmp_path):
    trace = tmp_path / "trip.csv"
    stops = ["--stop", "greensboro, 12 January, 1 night", "--stop", "miami, 14 January, 1 night"]
    page = RUNNER.invoke(cli.app, ["trip", *stops, "--units", "si", "--trace", str(trace)])
    assert page.exit_code == 0, page.output
    first, *rest = page.stdout.splitlines()
    assert first.startswith("Lasts: ")
    assert "A demo: the van is invented." in " ".join(rest)
    rows = trace.read_text(encoding="utf-8").splitlines()
    assert rows[0].startswith("start,step_s,stop,place,")
    assert f"{len(rows) - 1} rows to" in page.stdout
    told = RUNNER.invoke(cli.app, ["trip", *stops, "--units", "si", "--json"])
    whole = json.loads(told.stdout)
    assert whole["schema"] == "vanclimate.trip/1"
    assert whole["first_line"] == first
    assert whole["figures"][0]["name"] == "fuel"
    assert [stage["halt"]["place"] for stage in whole["answer"]["stages"]] == [
        "Greensboro, North Carolina", "Miami, Florida",
    ]  # fmt: skip
    assert whole["answer"]["nights"] == 2


def test_a_drive_that_begins_too_early_says_when_it_could_arrive():
    said = ends("--stop", "greensboro, 10 January, 2 nights", "--stop",
                "miami, 12 January, 2 nights, 12 h driving")  # fmt: skip
    assert "arrive at 19:00 or later: 'at 19:00'; left out, it is 16:00" in said
