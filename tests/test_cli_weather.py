"""The weather commands: what they print, how they end, and that only one of them has a network."""

import os
import re
import subprocess
import sys
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tests.site.fetched.stub_server import running
from tests.site.fetched.test_fetch import TODAY, power_reply, typical_reply
from tests.site.invented_files import as_mapped_csv, as_power_json, invented_days, invented_year
from vanclimate import cli
from vanclimate.cache import data_path
from vanclimate.site.fetched import fetch as fetching
from vanclimate.site.fetched.download import Limits
from vanclimate.site.fetched.entry import Origin, save
from vanclimate.site.record import hours_of

MIAMI = str(data_path("weather", "12839.tm2.gz"))


def run(*args, width=100):
    return CliRunner(env={"COLUMNS": str(width)}).invoke(cli.app, ["weather", *args])


# ------------------------------------------------------------------ show


@pytest.mark.parametrize(("width", "most"), [(100, 45), (60, 60)])
@pytest.mark.parametrize("site", ["miami", "sand point"])
def test_a_place_is_shown_on_a_screen(site, width, most):
    result = run("show", site, width=width)
    assert result.exit_code == 0, result.output
    lines = result.stdout.splitlines()
    assert len(lines) <= most
    assert max(map(len, lines)) <= width
    for month in ("Jan", "Jul", "Dec"):
        assert sum(line.strip().startswith(month) for line in lines) == 1
    for word in ("hottest", "coldest", "dew", "wind", "clear", "degree-days", "licence", "UTC−"):
        assert word in result.stdout


def test_every_figure_stands_whole_on_a_narrow_page():
    narrow = run("show", "miami", width=60).stdout.splitlines()
    wide = run("show", "miami").stdout.splitlines()
    for month in ("Jan", "Aug"):
        (short,), (long,) = (
            [ln.split() for ln in lines if ln.strip().startswith(month)] for lines in (narrow, wide)
        )
        assert short == long[: len(short)]
        assert len(short) == 9  # the month, seven figures, a percent sign


def test_units_are_the_readers():
    si, us = run("show", "miami").stdout, run("show", "miami", "--units", "us").stdout
    assert "°C" in si
    assert "°F" not in si
    assert "°F" in us
    assert "mph" in us
    assert "base 65 °F" in us
    assert run("show", "miami", "--units", "kelvin").exit_code == 2


@pytest.mark.slow
def test_a_pipe_that_knows_no_signs_gets_plain_ones():
    done = subprocess.run(
        [sys.executable, "-m", "vanclimate", "weather", "show", "miami"],
        capture_output=True, env=os.environ | {"PYTHONIOENCODING": "ascii"}, check=True,
    )  # fmt: skip
    text = done.stdout.decode("ascii")
    assert "-o-" in text
    assert "?" not in text


def test_a_files_own_days_are_shown_without_years_figures(tmp_path):
    file = tmp_path / "mine.csv"
    file.write_text(as_mapped_csv(invented_days(40)))
    result = run("show", str(file))
    assert result.exit_code == 0, result.output
    assert "less than a year" in result.stdout
    assert "Invented Flats" in result.stdout
    assert "Jan" not in result.stdout


# ------------------------------------------------------------------ check


def test_a_good_file_is_usable():
    result = run("check", MIAMI)
    assert result.exit_code == 0
    assert "usable, nothing found" in result.stdout
    for word in ("TMY2", "25.8° N", "8,760", "end of the hour", "UTC−5", "noon", "DewPoint"):
        assert word.casefold() in result.stdout.casefold()


def broken(tmp_path, change):
    file = tmp_path / "mine.csv"
    lines = as_mapped_csv(invented_days(30)).splitlines()
    file.write_text("\n".join(change(lines)) + "\n")
    return file


def test_findings_stand_in_a_line_each_and_the_file_is_still_usable(tmp_path):
    def lit(lines):
        cells = lines[4].split(",")
        cells[3] = "250"
        return [*lines[:4], ",".join(cells), *lines[5:]]

    result = run("check", str(broken(tmp_path, lit)))
    assert result.exit_code == 0
    assert "usable, with 1 finding" in " ".join(result.stdout.split())  # a long path wraps
    assert re.search(r"!  .*sun at night, up to 250 W/m² \(row 5\)", result.stdout)


def test_an_hour_off_is_found(tmp_path):
    def late(lines):
        return [line.replace("stamp at end", "stamp at start") for line in lines]

    result = run("check", str(broken(tmp_path, late)))
    assert "min late against the sun of its place" in result.stdout


def test_a_gap_makes_it_unusable_unless_it_is_filled(tmp_path):
    file = broken(tmp_path, lambda lines: [*lines[:60], *lines[62:]])
    result = run("check", str(file))
    assert result.exit_code == 2
    assert "cannot be used" in result.stdout
    assert "2 h" in result.stdout
    filled = run("check", str(file), "--fill")
    assert filled.exit_code == 0
    assert "filled by straight lines" in filled.stdout


def test_a_file_that_is_no_weather_is_one_line(tmp_path):
    file = tmp_path / "x.csv"
    file.write_text("<html>\n")
    result = run("check", str(file))
    assert result.exit_code == 2
    assert len(result.stderr.strip().splitlines()) == 1
    assert not result.stdout


def test_a_bare_table_is_met_with_three_lines_to_copy(tmp_path):
    file = broken(tmp_path, lambda lines: lines[3:])
    result = run("check", str(file))
    assert result.exit_code == 2
    assert len(result.stderr.strip().splitlines()) == 1
    assert "# columns" not in result.stderr
    copied = [line for line in result.stdout.splitlines() if line.startswith("# ")]
    assert [line.split(":")[0] for line in copied] == ["# columns", "# clock", "# place"]


# ------------------------------------------------------------------ list and fetch


@pytest.fixture
def stub(tmp_path, monkeypatch):
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path / "cache"))
    for name in ("http_proxy", "https_proxy", "all_proxy"):
        monkeypatch.delenv(name, raising=False)
        monkeypatch.delenv(name.upper(), raising=False)
    with running() as server:
        server.on("/power", lambda h: h.send(power_reply(int(h.query["start"][:4]))))
        server.on("/pvgis/tmy", lambda h: h.send(typical_reply()))
        real = fetching.fetch

        def bring(place, years, source=None, **more):
            base = server.url("/pvgis/" if years == "typical" else "/power")
            limits = Limits(read=2.0, whole=20.0)
            given = {"today": TODAY, "base": base, "limits": limits, "sleep": lambda s: None}
            return real(place, years, source, **given, **more)

        monkeypatch.setattr(fetching, "fetch", bring)
        yield server


def test_years_are_fetched_and_the_next_line_to_type_is_told(stub):
    result = run("fetch", "Moab, Utah", "--years", "2019-2020")
    assert result.exit_code == 0, result.output
    assert "2019–2020 fetched from NASA POWER" in result.stdout
    assert 'vanclimate night my-van.yaml --site "Moab, Utah" --years 2019-2020' in result.stdout
    assert "2019: kept" in result.stderr
    again = run("fetch", "Moab, Utah", "--years", "2019-2020")
    assert "already there, fetched on 20" in again.stdout
    assert "--refresh" in again.stdout
    assert len(stub.seen) == 2
    assert run("fetch", "Moab, Utah", "--years", "2019", "--refresh").exit_code == 0
    assert len(stub.seen) == 3
    shown = run("show", "Moab, Utah", "--years", "2019-2020")
    assert shown.exit_code == 0, shown.output
    assert "2 years of 2019–2020" in shown.stdout


def test_a_pair_of_coordinates_may_begin_with_a_minus(stub):
    # the invented reply is of another place, so only the request and the refusal are looked at
    result = run("fetch", "-33.9,151.2", "--years", "typical")
    assert float(stub.seen[0][1]["lat"]) == -33.9
    assert "No such option" not in result.output
    assert result.exit_code == 2
    shown = run("show", "-33.9,151.2")
    assert shown.exit_code == 2
    assert 'vanclimate weather fetch "-33.900, 151.200"' in shown.stderr


def test_an_option_that_is_none_is_still_refused(stub):
    result = run("fetch", "Moab, Utah", "--yaers", "typical")
    assert result.exit_code == 2
    assert not stub.seen


def test_list_names_what_is_shipped_fetched_and_broken(stub, tmp_path):
    empty = run("list")
    assert empty.exit_code == 0
    assert "miami" in empty.stdout
    assert "nothing yet" in empty.stdout
    run("fetch", "Moab, Utah", "--years", "2019-2020")
    listed = run("list")
    assert "Moab, Utah" in listed.stdout
    assert "2019–2020" in listed.stdout
    (entry,) = Path(tmp_path).rglob("power-2020.npz")
    entry.write_bytes(b"not what it was")
    assert "power-2020.npz is broken" in run("list").stdout.replace("\n  ", " ")


def test_an_interrupted_fetch_keeps_what_is_there_and_says_how_to_go_on(stub, monkeypatch):
    told = fetching.fetch

    def after_a_year(*args, progress, **more):
        def stop(line):
            progress(line)
            if "2019: kept" in line:
                raise KeyboardInterrupt

        return told(*args, progress=stop, **more)

    monkeypatch.setattr(fetching, "fetch", after_a_year)
    result = run("fetch", "Moab, Utah", "--years", "2019-2021")
    assert result.exit_code == 130
    assert "1 of 3 years are kept; the same command goes on" in result.stderr
    assert "2019" in run("list").stdout


def test_years_that_are_none_name_the_option():
    result = run("fetch", "Moab, Utah", "--years", "typicall")
    assert result.exit_code == 2
    assert result.stderr.startswith("--years: found 'typicall'")
    assert "did you mean 'typical'?" in result.stderr


def test_a_service_that_fails_is_one_line_and_nothing_is_kept(stub):
    stub.on("/power", lambda h: h.send(b"", status=404))
    result = run("fetch", "Moab, Utah", "--years", "2019")
    assert result.exit_code == 2
    told = [line for line in result.stderr.splitlines() if "fetching" not in line]
    assert len(told) == 1
    assert told[0].startswith("NASA POWER")
    assert "nothing yet" in run("list").stdout


# ------------------------------------------------------------------ no network but for fetch

GUARD = """
import os, socket

def _note(what):
    with open(os.environ["NETWORK_LOG"], "a") as log:
        log.write(what + "\\n")

def _refuse(name):
    real = getattr(socket.socket, name)
    def refused(self, address):
        if self.family == getattr(socket, "AF_UNIX", None):
            return real(self, address)
        _note(f"{name} {address}")
        raise OSError("no network in this test")
    return refused

def _no_names(*args, **more):
    _note(f"getaddrinfo {args[:2]}")
    raise OSError("no network in this test")

socket.socket.connect = _refuse("connect")
socket.socket.connect_ex = _refuse("connect_ex")
socket.getaddrinfo = socket.gethostbyname = socket.create_connection = _no_names
with open(os.environ["NETWORK_LOG"] + ".started", "a") as log:
    log.write(f"{os.getpid()}\\n")
"""


@pytest.fixture
def guarded(tmp_path):
    """Run commands in processes of their own; they and what they start have no network."""
    (tmp_path / "hook").mkdir()
    (tmp_path / "hook" / "sitecustomize.py").write_text(GUARD)
    log = tmp_path / "log"
    path = os.pathsep.join([str(tmp_path / "hook"), os.environ.get("PYTHONPATH", "")])

    def command(*args):
        return subprocess.run(
            [sys.executable, "-m", "vanclimate", *args], capture_output=True, text=True,
            cwd=tmp_path, env=os.environ | {"PYTHONPATH": path, "NETWORK_LOG": str(log)},
            timeout=300, check=False,
        )  # fmt: skip

    def asked():
        return log.read_text().splitlines() if log.is_file() else []

    def processes():
        return len((tmp_path / "log.started").read_text().split())

    return command, asked, processes


@pytest.mark.slow
def test_no_command_but_fetch_touches_the_network(guarded, tmp_path):
    command, asked, processes = guarded
    (tmp_path / "mine.csv").write_text(as_mapped_csv(invented_days(5)))
    (tmp_path / "power.json").write_text(as_power_json(invented_days(5)))
    lines = [
        ("--help",), ("--version",), ("weather", "--help"), ("night",), ("check",),
        ("new", "van.yaml"), ("weather", "show", "miami"), ("weather", "show", "power.json"),
        ("weather", "check", "mine.csv"), ("weather", "list"),
    ]  # fmt: skip
    for line in lines:
        done = command(*line)
        assert done.returncode == 0, (line, done.stderr)
    refused = [("weather", "show", "Moab, Utah"), ("night", "--site", "38.57, -109.55"),
               ("weather", "show", "no-such.csv")]  # fmt: skip
    for line in refused:
        assert command(*line).returncode == 2
    assert asked() == []
    assert processes() >= len(lines) + len(refused)  # the guard was there


@pytest.mark.slow
def test_the_guard_sees_a_fetch(guarded):
    command, asked, _ = guarded
    done = command("weather", "fetch", "Moab, Utah")
    assert done.returncode == 2
    assert asked()
    assert "a weather file, a shipped place such as miami, or a design day" in done.stderr
    assert "Traceback" not in done.stderr


def test_help_answers_without_anything_heavy():
    code = (
        "import sys, vanclimate.cli; "
        "print([m for m in ('numpy', 'pandas', 'pvlib', 'rich.progress', 'requests') "
        "if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_typical_year_of_ones_own_coordinates_is_shown(stub):
    assert run("fetch", "38.57, -109.55").exit_code == 0
    shown = run("show", "38.57, -109.55")
    assert shown.exit_code == 0, shown.output
    assert f"months from {min(invented_year().source_years)}" in shown.stdout


@pytest.mark.slow
def test_a_pair_of_coordinates_that_was_fetched_gives_a_nights_answer(tmp_path, monkeypatch):
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path / "cache"))
    for year in (2019, 2020):
        start = datetime(year, 1, 1, tzinfo=timezone(timedelta(hours=-7)))
        save(
            Origin(
                name="Invented Flats", latitude=38.57, longitude=-109.55, elevation=1834.0,
                utc_offset_h=-7.0, zone="America/Denver", source="power", service="NASA POWER",
                year=year, format="invented", query={}, fetched="2026-01-01", licence="invented",
                grid_latitude=38.5, grid_longitude=-109.4, grid_elevation=1234.0,
            ),
            hours_of(invented_days(365 + (year == 2020), start)),
        )  # fmt: skip
    told = CliRunner().invoke(cli.app, ["night", "--site", "38.57,-109.55", "--years", "2019-2020"])
    assert told.exit_code == 0, told.output
    first = told.stdout.splitlines()[0]
    assert "62 July nights in 2019–2020 hold" in first
    # the place lies 600 m above its grid cell: 3.9 K at 6.5 K/km (ISO 2533)
    assert "−3.9 K" in told.stdout
    assert "NASA POWER at 38.50, -109.40, fetched 2026-01-01" in " ".join(told.stdout.split())
    missing = CliRunner().invoke(cli.app, ["night", "--site", "38.57,-109.55", "--years", "2018"])
    assert missing.exit_code == 2
    assert 'weather fetch "Invented Flats" --years 2018 --source power' in missing.stderr
