"""How far long work is, on stderr: one line kept up to date on a terminal, a few in a pipe.

Only light modules are imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

import os
import sys
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from shutil import get_terminal_size
from threading import Event, Thread
from time import monotonic
from typing import IO

from vanclimate.cli.outcome import Stopped

Tick = Callable[[int, int], None]
Begin = Callable[[str], Tick]

SOON = 0.7  # s of work before anything is shown on a terminal
REDRAWN = 0.25  # s between two looks of a terminal's line
EVERY = 10.0  # s between two lines in a pipe
RECENT = 16  # ticks that tell the pace: what was kept goes by at once, and is soon forgotten
BAR = 16  # characters
ROOMY = 70  # columns from which there is room for the bar
NOT_LIVE = ("dumb", "unknown")  # kinds of terminal that write no line anew
COMPILING = "compiling, once for this version; takes about a minute"
KEPT = "stopped; what is finished is kept: type the same command again to go on"


class Stage:
    """A stage of the work: how many of how many are done, and since when."""

    def __init__(self, name: str) -> None:
        self.name, self.done, self.of = name, 0, 0
        self.marks: deque[tuple[float, int]] = deque(maxlen=RECENT)

    def tick(self, done: int, of: int) -> None:
        """Take how many are done."""
        self.done, self.of = done, of
        self.marks.append((monotonic(), done))

    @property
    def over(self) -> bool:
        """Whether all of it is done."""
        return 0 < self.of <= self.done

    def left(self) -> float | None:
        """Return the seconds that are left at the pace of late, None where none is known yet."""
        if len(self.marks) < 2:
            return None
        (first, before), (last, done) = self.marks[0], self.marks[-1]
        if done <= before:
            return None
        return max(0.0, (self.of - done) * (last - first) / (done - before) - (monotonic() - last))

    def words(self) -> str:
        """Return 'futures 400 of 1,000, about 12 s left'."""
        if not self.of:
            return f"{self.name} …"
        left = self.left()
        then = "" if left is None else f", about {in_words(left)} left"
        return f"{self.name} {self.done:,} of {self.of:,}{then}"


def in_words(seconds: float) -> str:
    """Write a time to wait.

    >>> in_words(12.3), in_words(100.0), in_words(4000.0)
    ('12 s', '2 min', '1.1 h')
    """
    if seconds < 90.0:
        return f"{max(1, round(seconds))} s"
    return f"{seconds / 60.0:.0f} min" if seconds < 3570.0 else f"{seconds / 3600.0:.1f} h"


class Board:
    """What is going on, told on a stream while it lasts.

    Parameters
    ----------
    title : the command
    stream : where to
    """

    def __init__(self, title: str, stream: IO[str]) -> None:
        self.title, self.stream = title, stream
        self.stages: list[Stage] = []
        self.kept = False  # whether the same command goes on with what is finished
        self.begun = self.told = monotonic()
        self._compiled: Callable[[], bool] | None = None
        self._over = Event()
        self._drawing: Thread | None = None
        if stream.isatty() and os.environ.get("TERM", "") not in NOT_LIVE:
            self._drawing = Thread(target=self._draw, daemon=True)
            self._drawing.start()

    def begin(self, name: str) -> Tick:
        """Begin a stage; those that are over make room."""
        stage = Stage(name)
        self.stages = [s for s in self.stages if s.name != name and not s.over] + [stage]

        def tick(done: int, of: int) -> None:
            stage.tick(done, of)
            if self._drawing is None and not stage.over and monotonic() - self.told >= EVERY:
                self.told = monotonic()
                self._write(f"{self.line()}\n")

        return tick

    def compiling(self, compiled: Callable[[], bool]) -> None:
        """Say that the loop is compiled first, until `compiled` says that it is."""
        if self._drawing is None:
            self._write(f"{COMPILING} …\n")
        else:
            self._compiled = compiled

    @property
    def any_done(self) -> bool:
        """Whether anything of the work is finished."""
        return any(stage.done for stage in self.stages)

    def line(self) -> str:
        """Return how far the outermost stage is, and the innermost."""
        if self._compiled is not None:
            if not self._compiled():
                return f"{COMPILING} … {monotonic() - self.begun:.0f} s"
            self._compiled = None
        going = [stage for stage in self.stages if not stage.over]
        words = [stage.words() for stage in dict.fromkeys((*going[:1], *going[-1:]))]
        return f"{self.title}: {'; '.join(words)}" if words else f"{self.title} …"

    def end(self) -> None:
        """Leave the terminal as it was."""
        if self._drawing is not None:
            self._over.set()
            self._drawing.join()

    def _draw(self) -> None:
        """Write the line anew and anew; in a thread of its own, for the loop reports seldom."""
        shown, wait = False, SOON
        while not self._over.wait(wait):
            shown, wait = True, REDRAWN
            width = get_terminal_size().columns
            bar = self._bar() if width >= ROOMY else ""
            self._write(f"\r{f'{bar}{self.line()}'[: width - 1]}\x1b[K")
        if shown:
            self._write("\r\x1b[K")

    def _bar(self) -> str:
        """Return the share of the outermost stage as a bar, '' before it is known."""
        stage = next((s for s in self.stages if not s.over), None)
        if stage is None or not stage.of or self._compiled is not None:
            return ""
        return f"[{'#' * (BAR * stage.done // stage.of):.<{BAR}}] "

    def _write(self, text: str) -> None:
        with suppress(OSError, ValueError):  # nobody reads on
            self.stream.write(text)
            self.stream.flush()


_running: list[Board] = []  # of whoever began first: a terminal has one


@contextmanager
def working(title: str) -> Iterator[Board]:
    """Give the board on which work is told; Ctrl-C says how to go on where anything is kept."""
    if _running:
        yield _running[0]
        return
    board = Board(title, sys.stderr)
    _running.append(board)
    try:
        yield board
    except KeyboardInterrupt:
        raise Stopped(KEPT if board.kept and board.any_done else "") from None
    finally:
        _running.clear()
        board.end()


@contextmanager
def stages(kept: bool = False) -> Iterator[Begin]:
    """Give a function that begins a stage of the work and returns what to tell of its progress.

    Parameters
    ----------
    kept : whether what is finished is kept, so that the same command goes on with it
    """
    with working("working") as board:
        board.kept |= kept
        yield board.begin
