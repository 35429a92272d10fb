"""The smallest size that reaches the odds, in one season or in several.

What does not belong here: what a size is tried by (``runs``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from vanclimate.answers.futures.odds import Odds
from vanclimate.answers.futures.search import first_at_least, smallest
from vanclimate.answers.size.runs import Trials, Tried


@dataclass(frozen=True)
class Found:
    """What was found of one device.

    Parameters
    ----------
    trials : in the season that sets it
    size : None where the largest is not enough
    tried : the runs with it, or with the largest
    below, below_odds : the next size down; None where there is none, or it cannot be built
    own_enough, short : of the sheet's size
    """

    trials: Trials
    size: float | None
    tried: Tried
    below: float | None
    below_odds: Odds | None
    own_enough: bool
    short: int


def find(trials: Sequence[Trials], own: float | None, guess: float) -> Found | None:
    """Return the smallest size that is enough in every season; None where nothing can be built.

    Parameters
    ----------
    trials : of one device, the season that is likely to set it first
    own : the sheet's size
    guess : where to begin
    """
    sizes = trials[0].device.sizes(trials[0].sheet)
    setting, at = trials[0], _first(trials[0], sizes, first_at_least(sizes, guess))
    for other in trials[1:]:
        if at is None or other.enough(sizes[at]):
            continue
        after = sizes[at + 1 :]
        more = _first(other, after, 0) if after else None
        setting, at = other, None if more is None else at + 1 + more
    needed = sizes[-1] if at is None else sizes[at]
    tried = setting.at(needed)
    if tried is None:
        return None
    below = sizes[at - 1] if at else None
    less = None if below is None else setting.at(below)
    enough = own is not None and _own_enough(trials, sizes, at, own)
    short = 0 if enough else sum((own or 0.0) + 1e-6 < size <= needed for size in sizes)
    return Found(
        setting, None if at is None else sizes[at], tried, below,
        less.odds if less is not None and less.counted.any() else None, enough, short,
    )  # fmt: skip


def _first(trials: Trials, sizes: Sequence[float], guess: int) -> int | None:
    return smallest(len(sizes), lambda i: trials.enough(sizes[i]), guess)


def _own_enough(
    trials: Sequence[Trials], sizes: Sequence[float], at: int | None, own: float
) -> bool:
    """Return whether the sheet's size is enough; one between two sizes is tried."""
    if at is not None and own >= sizes[at] - 1e-6:
        return True
    below = sizes[-1] if at is None else sizes[at - 1] if at else 0.0
    return own > below + 1e-6 and all(one.enough(own) for one in trials)
