from __future__ import annotations

import subprocess
import sys
from datetime import timedelta

import pytest
from typer.testing import CliRunner

from vanclimate import __version__, cli
from vanclimate.cache import data_path
from vanclimate.cli import respond

DEMO = str(data_path("scenarios", "holds.yaml"))
COLUMNS = {
    "cabin_temp_c", "operative_temp_c", "outdoor_temp_c", "ac_sensible_w", "ac_latent_w",
    "ac_power_w", "battery_charge_ah",
}  # fmt: skip


def run(*args: str):
    return CliRunner().invoke(cli.app, list(args))


def test_importing_the_command_line_pulls_in_nothing_heavy():
    code = (
        "import sys, vanclimate.cli; "
        "print([m for m in ('numba', 'numpy', 'pandas', 'pvlib', 'pydantic', 'scipy', 'pint') "
        "if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_version_and_help():
    assert run("--version").output.strip() == f"vanclimate {__version__}"
    result = run("--help")
    assert result.exit_code == 0
    assert all(word in result.output for word in ("night", "new", "check"))
    for page in (result, run("weather", "--help")):  # no line of the list is cut
        assert "..." not in page.output.split("Commands:")[1]


def test_the_demo_answers_says_it_is_invented_and_how_to_start():
    result = run("night")
    assert result.exit_code == 0
    assert result.stdout.startswith(("Holds", "Does not hold"))
    assert "invented" in result.stdout
    assert "vanclimate new my-van.yaml" in result.stdout


def test_a_sheet_of_ones_own_is_no_demo():
    result = run("night", DEMO, "--night", "07-04", "--units", "si")
    assert result.exit_code == 0
    assert "A demo" not in result.stdout
    assert "July 4, 22:30" in result.stdout
    assert "°C" in result.stdout


def test_the_trace_has_its_columns_and_stamps_with_a_zone(tmp_path):
    import pandas as pd

    target = tmp_path / "night.csv"
    result = run("night", "--trace", str(target))
    assert result.exit_code == 0
    assert [p.name for p in tmp_path.iterdir()] == ["night.csv"]
    frame = pd.read_csv(target, index_col=0, parse_dates=True)
    assert set(frame.columns) >= COLUMNS
    assert frame.index.tz.utcoffset(None) == timedelta(hours=-5)
    assert not frame[sorted(COLUMNS)].isna().any().any()


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["night", "no-such.yaml"], "no-such.yaml"),
        (["night", "--night", "hotest"], "did you mean 'hottest'?"),
        (["night", "--night", "02-30"], "--night"),
        (["night", "--also", "ketle"], "did you mean 'kettle'?"),
        (["night", "--units", "metrik"], "did you mean 'metric'?"),
        (["night", "--site", "miamy"], "did you mean 'miami'?"),
        (["night", "--site", "St. Louis, Missouri"], 'weather fetch "St Louis, Missouri"'),
        (["night", "--site", "no-such.csv"], "no such file"),
        (["night", "--years", "2017-2019"], "a typical year only"),
        (["night", "--years", "20l7"], "--years"),
        (["night", "--stay", "July"], "--stay"),
        (["night", "--night", "02-29"], "--night"),
        (["night", "--trace", "."], "--trace"),
        (["check", "."], "a folder"),
        (["nihgt"], "type: vanclimate night"),
        (["night", "--colour"], "type: vanclimate night --help"),
    ],
)
def test_what_cannot_be_is_one_message_and_exit_code_2(args, said):
    result = run(*args)
    assert result.exit_code == 2
    assert said in result.stderr
    assert "Traceback" not in result.output
    assert not result.stdout


def test_years_beside_a_made_up_day_are_refused(tmp_path):
    sheet = tmp_path / "van.yaml"
    day = "site: {design day: {low: 70 F, high: 95 F, latitude: 35, humidity: 70 %, date: 15 July}}"
    sheet.write_text(data_path(*cli.DEMO).read_text().replace("site: greensboro", day))
    assert run("night", str(sheet)).exit_code == 0
    result = run("night", str(sheet), "--years", "2019")
    assert result.exit_code == 2
    assert "no years beside a made-up day" in result.stderr


def test_a_bad_sheet_names_file_line_and_key_and_writes_nothing(tmp_path):
    sheet, trace = tmp_path / "van.yaml", tmp_path / "t.csv"
    sheet.write_text(data_path(*cli.DEMO).read_text().replace("length: 12 ft 6 in", "length: 3"))
    result = run("night", str(sheet), "--trace", str(trace))
    assert result.exit_code == 2
    assert "van.yaml, line" in result.stderr
    assert "body.length" in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1
    assert not trace.exists()


def test_debug_shows_the_traceback():
    result = run("night", "no-such.yaml", "--debug")
    assert result.exit_code == 2
    assert "Traceback" in result.stderr


def test_new_writes_a_sheet_that_check_understands_and_never_overwrites(tmp_path):
    sheet = tmp_path / "my.yaml"
    assert run("new", str(sheet)).exit_code == 0
    text = sheet.read_text()
    again = run("new", str(sheet))
    assert again.exit_code == 2
    assert "never overwritten" in again.stderr
    assert sheet.read_text() == text
    checked = run("check", str(sheet))
    assert checked.exit_code == 0
    for said in ("12.17 ft = 3.708 m", "  ?  ", "slowest time constant", "usable charge"):
        assert said in checked.stdout
    last = " ".join(checked.stdout.split("Accepted, ")[1].split())
    assert last.endswith(f"values guessed. Ask: vanclimate night {sheet}")


def test_ctrl_c_ends_with_130_and_leaves_nothing(monkeypatch, tmp_path):
    def interrupted(*_args):
        raise KeyboardInterrupt

    monkeypatch.setattr(respond, "say_compiling", interrupted)
    result = run("night", "--trace", str(tmp_path / "t.csv"))
    assert result.exit_code == 130
    assert "Traceback" not in result.output
    assert not list(tmp_path.iterdir())


def test_the_first_run_says_that_it_compiles(monkeypatch):
    from vanclimate.simulate import jit

    monkeypatch.setattr(jit, "is_compiled", lambda: False)
    assert "compiling, once" in run("night").stderr


def test_check_tells_what_described_ribs_do(tmp_path):
    sheet = tmp_path / "my.yaml"
    assert run("new", str(sheet)).exit_code == 0
    ribs = "ribs: {kind: hat, depth: 30 mm, width: 40 mm, spacing: 16 in}"
    plain = sheet.read_text()
    assert "with them" not in run("check", str(sheet)).stdout
    line = next(row for row in plain.splitlines() if row.strip().startswith("rib share:"))
    sheet.write_text(plain.replace(line, f"  {ribs}"))
    checked = run("check", str(sheet))
    assert checked.exit_code == 0
    for said in ("hat 40 x 30 mm at 406 mm", "U with them", "coldest point inside*"):
        assert said in checked.stdout


def test_check_cuts_no_figure_in_a_narrow_window(monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    checked = run("check", str(data_path("scenarios", "three-rooms.yaml"))).stdout
    assert "BTU/h·F" in checked
    assert "…" not in checked


def test_check_notes_what_the_description_could_not_have(tmp_path):
    sheet = tmp_path / "my.yaml"
    assert run("new", str(sheet)).exit_code == 0
    deep = (
        "ribs: {kind: hat, depth: 140 mm, width: 40 mm, spacing: 16 in, "
        "screws: {spacing: 8 in, diameter: 4 mm}}"
    )
    text = sheet.read_text().replace("XPS 1-1/2 in, ply", "XPS 1-1/2 in, vented air gap 10 mm, ply")
    line = next(row for row in text.splitlines() if row.strip().startswith("rib share:"))
    sheet.write_text(text.replace(line, f"  {deep}"))
    checked = " ".join(run("check", str(sheet)).stdout.split())
    assert "note: ribs that reach 140 mm in carry the lining" in checked
    assert "note: a vented gap beside ribs: U between" in checked
    assert "coldest point inside, screws aside*" in checked
    assert "a screw's head*" in checked
