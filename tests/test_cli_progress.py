"""Bars on a terminal: work within work shares them."""

from __future__ import annotations

import io
import sys

import pytest

from vanclimate.cli.progress import stages


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_stages_within_stages_share_one_set_of_bars(monkeypatch):
    screen = Terminal()
    monkeypatch.setattr(sys, "stderr", screen)
    for _ in range(2):  # the second time as the first
        with stages() as stage:
            tick = stage("differences")
            for _ in range(2):
                with stages() as inner:  # rich itself refuses a second set
                    inner("futures")(1, 1)
            tick(1, 2)
    assert "differences" in screen.getvalue()
    assert "futures" in screen.getvalue()


def fails() -> None:
    with stages() as stage:
        stage("futures")
        raise ValueError("too much")


def test_bars_are_over_when_the_work_fails(monkeypatch):
    monkeypatch.setattr(sys, "stderr", Terminal())
    for _ in range(2):
        with pytest.raises(ValueError, match="too much"):
            fails()


def test_a_pipe_gets_nothing(monkeypatch):
    pipe = io.StringIO()
    monkeypatch.setattr(sys, "stderr", pipe)
    with stages() as stage:
        stage("futures")(1, 2)
    assert not pipe.getvalue()
