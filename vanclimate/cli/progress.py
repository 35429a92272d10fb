"""How far long work is, on stderr: a bar on a terminal, nothing in a pipe.

Only light modules are imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Tick = Callable[[int, int], None]


@contextmanager
def stages() -> Iterator[Callable[[str], Tick]]:
    """Give a function that begins a stage of the work and returns what to tell of its progress.

    What is interrupted says how to go on: finished chunks are kept.
    """
    if not sys.stderr.isatty():
        yield lambda name: lambda done, of: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    share = TextColumn("{task.percentage:>3.0f} %")
    columns = (TextColumn("{task.description}"), BarColumn(), share, TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:

        def begin(name: str) -> Tick:
            task = bar.add_task(name, total=None)

            def tick(done: int, of: int) -> None:
                bar.update(task, completed=done, total=of)

            return tick

        yield begin
