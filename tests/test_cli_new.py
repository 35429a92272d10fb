"""``vanclimate new`` and ``vanclimate schema`` at the command line, on a terminal and in a pipe."""

from __future__ import annotations

import json
import os
import select
import signal
import sys
import time

import pytest
from typer.testing import CliRunner

from vanclimate.cli import app
from vanclimate.cli.new import _asked
from vanclimate.cli.outcome import Stopped
from vanclimate.van.new_sheet import SCHEMA, find_use, new_sheet_text


def run(*args: str):
    return CliRunner().invoke(app, list(args))


def test_in_a_pipe_nothing_is_asked_and_what_is_usual_is_taken(tmp_path):
    file = tmp_path / "my-van.yaml"
    done = run("new", str(file))
    assert done.exit_code == 0
    assert file.read_text(encoding="utf-8") == new_sheet_text()
    assert "[" not in done.output


def test_it_says_the_next_three_commands_and_the_page_is_one(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    lines = run("new", "my-van.yaml").stdout.splitlines()
    commands = [line.strip().split("  ")[0] for line in lines if line.startswith("  ")]
    assert commands == [
        "vanclimate check my-van.yaml",
        "vanclimate night my-van.yaml",
        "vanclimate night my-van.yaml --page my-van.html",
    ]
    spaced = run("new", "my van.yaml", "--for", "trip").stdout
    assert 'vanclimate trip "my van.yaml" --page "my van.html"' in spaced


def test_a_place_whose_weather_is_not_there_says_what_to_type(tmp_path, monkeypatch):
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path))
    file = tmp_path / "a.yaml"
    done = run("new", str(file), "--place", "Moab, Utah", "--van", "trailer", "--for", "winter")
    assert done.exit_code == 0
    assert 'vanclimate weather fetch "Moab, Utah" --years typical' in done.stdout
    text = file.read_text(encoding="utf-8")
    assert "\nsite: Moab, Utah " in text
    assert "\n  kind: box trailer " in text
    assert "\nheater:" in text


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [("--van", "bus", "box trailer"), ("--for", "sumer", "'summer'"),
     ("--place", "Nowhereville", "a weather file")],
)  # fmt: skip
def test_a_bad_option_is_one_line_and_leaves_nothing(option, value, says, tmp_path):
    done = run("new", str(tmp_path / "a.yaml"), option, value)
    assert done.exit_code == 2
    assert says in done.stderr
    assert done.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_told_before_anything_else(tmp_path):
    file = tmp_path / "a.yaml"
    file.write_text("mine", encoding="utf-8")
    done = run("new", str(file), "--van", "bus")
    assert done.exit_code == 2
    assert "never overwritten" in done.stderr
    assert file.read_text(encoding="utf-8") == "mine"
    assert run("new", str(tmp_path)).exit_code == 2
    assert run("new", str(tmp_path / "no" / "a.yaml")).exit_code == 2


def test_a_bad_answer_is_asked_again_with_what_is_allowed(monkeypatch, capsys):
    answers = iter(["sumer", "  full time "])
    monkeypatch.setattr("builtins.input", lambda prompt: next(answers))
    assert _asked("What for?", "summer", find_use).name == "full-time"
    said = capsys.readouterr().out
    assert said.count("What for?") == 1
    assert "\n  found 'sumer'; allowed: summer, winter" in said
    assert "did you mean 'summer'?" in said


@pytest.mark.parametrize("ends", [EOFError, KeyboardInterrupt])
def test_an_answer_that_does_not_come_writes_nothing(ends, monkeypatch):
    def stops(prompt: str) -> str:
        raise ends

    monkeypatch.setattr("builtins.input", stops)
    with pytest.raises(Stopped, match="no sheet was written"):
        _asked("What for?", "summer", find_use)


PAUSE, LONGEST = 0.3, 60.0  # s before an answer; without a word, after which it counts as hung


def talk(answers: list[bytes], *args: str) -> tuple[int, str]:
    """Run a command on a terminal, give an answer at each prompt, return its code and output.

    A key struck in the instant between a prompt and the reading of it may wait for the next one
    (Ctrl-C: the library looks for signals, then waits for keys), so there is a moment's pause.
    """
    import pty

    pid, terminal = pty.fork()
    if pid == 0:
        os.execv(sys.executable, [sys.executable, "-m", "vanclimate", *args])
    out, waiting = b"", list(answers)
    while True:
        if not select.select([terminal], [], [], LONGEST)[0]:
            os.kill(pid, signal.SIGKILL)
        try:
            part = os.read(terminal, 4096)
        except OSError:  # the other end is closed
            break
        out += part
        if not part:
            break
        if waiting and out.rstrip(b" ").endswith(b"]"):
            time.sleep(PAUSE)
            os.write(terminal, waiting.pop(0))
            out += b" "
    os.close(terminal)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]), out.decode()


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="no such terminals")
@pytest.mark.parametrize(
    ("answers", "code"),
    [
        ([b"\n", b"pop-top\n", b"winter\n"], 0),
        ([b"greensboro\n", b"bus\n", b"short high\n", b"\n"], 0),
        ([b"\n", b"\x03"], 130),
        ([b"\x04"], 130),
    ],
)
def test_on_a_terminal_it_asks_three_questions(answers, code, tmp_path):
    file = tmp_path / "my-van.yaml"
    found, said = talk(answers, "new", str(file))
    assert found == code, said
    assert "Traceback" not in said
    assert "Where does it stand?" in said
    if code:
        assert "stopped; no sheet was written" in said
        assert list(tmp_path.iterdir()) == []
    else:
        text = file.read_text(encoding="utf-8")
        assert ("pop-top van" if b"pop-top\n" in answers else "short high van") in text.split("\n")[
            2
        ]


def test_the_schema_is_printed_as_it_is_shipped():
    done = run("schema")
    assert done.exit_code == 0
    assert json.loads(done.stdout) == json.loads(SCHEMA.read_text(encoding="utf-8"))


def test_the_schema_is_written_beside_a_sheet_and_over_an_earlier_one_alone(tmp_path):
    file = tmp_path / "sheet.schema.json"
    for _ in range(2):
        done = run("schema", str(file))
        assert done.exit_code == 0
        assert "# yaml-language-server: $schema=sheet.schema.json" in done.stdout
        assert file.read_bytes() == SCHEMA.read_bytes()
    sheet = tmp_path / "my-van.yaml"
    sheet.write_text("mine", encoding="utf-8")
    for taken in (sheet, tmp_path):
        done = run("schema", str(taken))
        assert done.exit_code == 2
        assert done.stderr.count("\n") == 1
    assert sheet.read_text(encoding="utf-8") == "mine"
    assert sorted(x.name for x in tmp_path.iterdir()) == ["my-van.yaml", "sheet.schema.json"]
