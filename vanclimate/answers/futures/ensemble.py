"""Many runs over two cores, their results in columns, kept chunk by chunk on disk.

Here: the engine alone. What is run, and what its columns mean, stand in ``drawn`` and ``stays``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, wait
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from vanclimate.cache import cached_arrays

U = TypeVar("U")
Rows = NDArray[np.float64]
Tick = Callable[[int, int], None]  # how many are done, and of how many

WORKERS = 2
CHUNK = 4  # units of work that are kept together


def quiet(done: int, of: int) -> None:
    """Show no progress."""


def run_units(
    units: Sequence[U], work: Callable[[U], Rows], columns: Sequence[str],
    *, key: tuple[object, ...] | None = None, tick: Tick = quiet, workers: int = WORKERS,
) -> dict[str, Rows]:  # fmt: skip
    """Return the rows of all units of work, in the units' order, as columns.

    Parameters
    ----------
    units : each a run or a few
    work : runs one and returns its rows (n, columns); it depends on nothing but its unit
    columns : their names
    key : all that the rows depend on besides the source; where given, finished chunks are kept on
        disk under it, so that a run that was stopped goes on where it was. The result does not
        depend on that, nor on the number of workers.
    tick : told after each chunk how many units are done

    Notes
    -----
    The compiled loop holds no lock, so threads use all cores; what is kept in memory is the rows.
    """
    chunks = [units[i : i + CHUNK] for i in range(0, len(units), CHUNK)]

    def run(chunk: Sequence[U]) -> dict[str, Rows]:
        rows = np.concatenate([work(unit) for unit in chunk])
        return {name: rows[:, i].copy() for i, name in enumerate(columns)}

    def one(index: int) -> dict[str, Rows]:
        if key is None:
            return run(chunks[index])
        place = (*key, len(units), index)
        return cached_arrays("futures", place, lambda: run(chunks[index]))

    found = _all_done(one, len(chunks), len(units), tick, workers)
    return {name: np.concatenate([part[name] for part in found]) for name in columns}


def _all_done(
    one: Callable[[int], dict[str, Rows]], chunks: int, units: int, tick: Tick, workers: int
) -> list[dict[str, Rows]]:
    """Return each chunk's result in order; what has not begun is given up when one fails."""
    with ThreadPoolExecutor(max_workers=workers) as pool:
        tasks: list[Future[dict[str, Rows]]] = [pool.submit(one, i) for i in range(chunks)]
        try:
            left = set(tasks)
            while left:  # by short waits, so that an interruption is met at once
                done, left = wait(left, timeout=0.2, return_when="FIRST_COMPLETED")
                for task in done:
                    task.result()
                finished = chunks - len(left)
                if done:
                    tick(min(units, finished * CHUNK), units)
        except BaseException:
            pool.shutdown(wait=True, cancel_futures=True)
            raise
    return [task.result() for task in tasks]
