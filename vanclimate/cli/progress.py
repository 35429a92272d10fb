"""How far long work is, on stderr: a bar on a terminal, nothing in a pipe.

Only light modules are imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Tick = Callable[[int, int], None]
Begin = Callable[[str], Tick]

_running: list[Begin] = []  # the stages of whoever began first: a terminal has one set of bars


@contextmanager
def stages() -> Iterator[Begin]:
    """Give a function that begins a stage of the work and returns what to tell of its progress.

    What is interrupted says how to go on: finished chunks are kept.
    """
    if not sys.stderr.isatty():
        yield lambda name: lambda done, of: None
        return
    if _running:
        yield _running[0]
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    share = TextColumn("{task.percentage:>3.0f} %")
    columns = (TextColumn("{task.description}"), BarColumn(), share, TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:

        def begin(name: str) -> Tick:
            for task in bar.tasks:
                if task.description == name:  # begun anew, for another sheet
                    bar.remove_task(task.id)
            number = bar.add_task(name, total=None)

            def tick(done: int, of: int) -> None:
                bar.update(number, completed=done, total=of)

            return tick

        _running.append(begin)
        try:
            yield begin
        finally:
            _running.clear()
