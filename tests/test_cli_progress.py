"""How far long work is: a line kept up to date on a terminal, plain lines in a pipe."""

from __future__ import annotations

import io
import os
import re
import signal
from types import SimpleNamespace

import pytest

from vanclimate.cli import progress
from vanclimate.cli.outcome import Stopped
from vanclimate.cli.progress import Board, Stage, stages, working


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def clock(monkeypatch):
    """A clock that stands still until it is moved."""
    now = [100.0]
    monkeypatch.setattr(progress, "monotonic", lambda: now[0])

    def move(seconds):
        now[0] += seconds

    return move


@pytest.fixture
def at_once(monkeypatch):
    """A terminal is written to at once, and often."""
    monkeypatch.setattr(progress, "SOON", 0.001)
    monkeypatch.setattr(progress, "REDRAWN", 0.001)
    monkeypatch.setenv("TERM", "xterm")
    screen = Terminal()
    monkeypatch.setattr(progress, "sys", SimpleNamespace(stderr=screen))
    return screen


def wait_for(screen, text):
    for _ in range(2000):
        if text in screen.getvalue():
            return
        progress.Event().wait(0.001)
    raise AssertionError(f"{text!r} is not in {screen.getvalue()!r}")


def test_stages_within_stages_share_one_line(at_once):
    for _ in range(2):  # the second time as the first
        with working("last") as board:
            tick = board.begin("differences")
            tick(1, 3)
            with stages() as inner:
                inner("futures")(1, 2)
                wait_for(at_once, "last: differences 1 of 3; futures 1 of 2")
        assert at_once.getvalue().endswith("\r\x1b[K")  # the line is gone again
        assert not progress._running
        at_once.truncate(0)


def fails() -> None:
    with stages() as stage:
        stage("futures")
        raise ValueError("too much")


def test_the_line_is_over_when_the_work_fails(at_once):
    for _ in range(2):
        with pytest.raises(ValueError, match="too much"):
            fails()
        assert not progress._running


def test_time_left_is_by_the_pace_of_late(clock):
    stage = Stage("futures")
    assert stage.words() == "futures …"
    clock(60.0)  # of compiling: no pace of the work
    stage.tick(400, 1000)  # and these were kept on disk
    assert stage.words() == "futures 400 of 1,000"
    for done in range(410, 600, 10):
        clock(1.0)
        stage.tick(done, 1000)
    assert stage.words() == "futures 590 of 1,000, about 41 s left"
    clock(11.0)  # nothing is heard, time goes on
    assert stage.words() == "futures 590 of 1,000, about 30 s left"
    stage.tick(1000, 1000)
    assert stage.over


def test_a_pipe_gets_a_plain_line_now_and_then(clock, monkeypatch):
    pipe = io.StringIO()
    monkeypatch.setattr(progress, "sys", SimpleNamespace(stderr=pipe))
    with working("last") as board:
        tick = board.begin("futures")
        for i in range(1, 30):
            clock(1.0)
            tick(i, 30)
        tick(30, 30)
    lines = pipe.getvalue().splitlines()
    assert lines == [
        "last: futures 10 of 30, about 20 s left",
        "last: futures 20 of 30, about 10 s left",
    ]
    assert not re.search(r"[\x00-\x09\x0b-\x1f]", pipe.getvalue())


def test_short_work_says_nothing_in_a_pipe(monkeypatch):
    pipe = io.StringIO()
    monkeypatch.setattr(progress, "sys", SimpleNamespace(stderr=pipe))
    with stages() as stage:
        stage("futures")(1, 2)
    assert not pipe.getvalue()


def test_a_terminal_that_writes_no_line_anew_is_told_as_a_pipe(at_once, monkeypatch):
    monkeypatch.setenv("TERM", "dumb")
    with working("last") as board:
        board.compiling(lambda: False)
        board.begin("futures")(1, 2)
    assert at_once.getvalue() == f"{progress.COMPILING} …\n"


def test_compiling_counts_its_seconds_until_it_is_done(at_once):
    ready = []
    with working("night") as board:
        board.compiling(lambda: bool(ready))
        wait_for(at_once, f"{progress.COMPILING} … 0 s")
        ready.append(True)
        wait_for(at_once, "night …")


@pytest.mark.parametrize("columns", ["40", "60", "100"])
def test_the_line_fits_the_terminal(at_once, monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", columns)
    with working("last") as board:
        board.begin("a name that is far too long for any terminal to hold in one line, " * 3)(5, 9)
        wait_for(at_once, "last: a name")
    shown = re.split(r"\r|\x1b\[K", at_once.getvalue())
    assert max(map(len, shown)) == int(columns) - 1


@pytest.mark.parametrize(("kept", "done", "said"), [
    (True, 3, progress.KEPT), (True, 0, ""), (False, 3, ""),
])  # fmt: skip
def test_ctrl_c_says_how_to_go_on_where_anything_is_kept(monkeypatch, kept, done, said):
    monkeypatch.setattr(progress, "sys", SimpleNamespace(stderr=io.StringIO()))

    def interrupted():
        with stages(kept=kept) as stage:
            stage("futures")(done, 9)
            os.kill(os.getpid(), signal.SIGINT)
            progress.Event().wait(5.0)

    with pytest.raises(Stopped) as stop:
        interrupted()
    assert str(stop.value) == said


def test_nobody_who_reads_on_is_no_fault(monkeypatch):
    class Gone(io.StringIO):
        def write(self, text):
            raise BrokenPipeError

    Board("last", Gone()).compiling(lambda: False)
