"""Timing: the least of several tries, and how much the machine's noise adds to it."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import Any, NamedTuple


class Timed(NamedTuple):
    """Times [s] of several tries."""

    least: float
    median: float
    tries: int

    @property
    def noise(self) -> float:
        """How far the median lies above the least, as a share."""
        return self.median / self.least - 1.0


def timed(function: Callable[[], Any], tries: int) -> Timed:
    """Time a call, after one call that is not counted."""
    function()
    return timed_cold(function, tries)


def timed_cold(function: Callable[[], Any], tries: int) -> Timed:
    """Time a call without a trial call."""
    times = []
    for _ in range(tries):
        begin = time.perf_counter()
        function()
        times.append(time.perf_counter() - begin)
    return Timed(min(times), statistics.median(times), tries)
