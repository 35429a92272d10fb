"""Where fuel must be bought at the latest, and how much of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

LEAST = 0.05  # L; less is not told


@dataclass(frozen=True)
class Purchase:
    """Fuel bought on the way to a stop, index from 0, or while there."""

    stop: int
    litres: float  # at most what the tank takes, but while there
    while_there: bool = False  # where the stop takes more than a tank


def purchases(
    needs: Sequence[float], filled: Sequence[bool], at_start: float, full: float
) -> tuple[Purchase, ...]:
    """Return the latest purchases that get a trip through, each no more than is needed.

    Parameters
    ----------
    needs : fuel burnt at each stop, drive to it included [L]
    filled : whether the tank is filled on the way to it anyhow
    at_start, full : usable fuel at the start and in a full tank [L]

    >>> found = purchases([6.0, 6.0, 6.0], [False, False, False], 10.0, 10.0)
    >>> [(x.stop, x.litres) for x in found]
    [(1, 6.0), (2, 2.0)]
    """
    level, found = at_start, []
    for stop, need in enumerate(needs):
        if filled[stop]:
            level = full
        if level < need - LEAST:
            later = next((j for j in range(stop + 1, len(needs)) if filled[j]), len(needs))
            bought = min(sum(needs[stop:later]), full) - level
            if bought > LEAST:
                found.append(Purchase(stop, bought))
                level += bought
            if level < need - LEAST:  # more than a tank at one stop
                found.append(Purchase(stop, need - level, while_there=True))
                level = need
        level = max(0.0, level - need)
    return tuple(found)
