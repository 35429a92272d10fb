"""The smallest change that makes a stay last: sizes of each remedy, tried on the same futures.

What does not belong here: what a remedy does to a sheet (``remedies``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from vanclimate.answers.ensemble import Tick, quiet
from vanclimate.answers.odds import Odds, odds_of
from vanclimate.answers.remedies import remedied, sizes_of
from vanclimate.answers.worlds import SHORT_WARM_UP, Columns, Unit, Worlds
from vanclimate.errors import VanclimateError
from vanclimate.van.remedies import Remedy

SAMPLE = 32  # failing futures that a size is tried on first
CONFIRMED = 5  # changes that are then run on all futures
Stage = Callable[[str], Tick]


def silent(stage: str) -> Tick:
    """Show no progress of any stage."""
    return quiet


@dataclass(frozen=True)
class Change:
    """A remedy by so much.

    Parameters
    ----------
    name : of the remedy, see `van.remedies.KINDS`
    quantity : kind of its size
    size : SI
    steps : how many of its steps that is; the fewest is the smallest change
    odds : with it, over all futures
    """

    name: str
    quantity: str
    size: float
    steps: int
    odds: Odds


@dataclass(frozen=True)
class Search:
    """What was found: changes that are enough, smallest first; and remedies that are not, alone.

    ``too_little`` holds the odds at the most of each, on the failing futures alone 0 to 1.
    """

    enough: tuple[Change, ...]
    too_little: tuple[str, ...]


def find_changes(worlds: Worlds, base: Columns, asked: float, stage: Stage = silent) -> Search:
    """Return the changes that bring the odds of a sheet's futures to what is asked.

    Each remedy's size is bisected on some of the failing futures, evenly by their margin, with
    the same draws and weather; what the base holds it holds as well (more of a remedy helps). The
    smallest are then confirmed on all futures, a step more where that is not enough.

    Parameters
    ----------
    worlds, base : the futures, and how the sheet fares in them
    asked : the share that must hold
    """
    failing = np.flatnonzero(base["failed"] > 0)
    total = len(base["failed"])
    fixed = 1.0 - (1.0 - asked) * total / len(failing)  # share of the failing that must turn
    sample = _evenly(worlds, base, failing)
    found: list[tuple[int, Remedy, list[float]]] = []
    short: list[str] = []
    remedies = worlds.sheet.remedies
    tick = stage("changes")
    for i, remedy in enumerate(remedies):
        sizes = sizes_of(worlds.sheet, remedy)
        steps = _fewest(worlds, remedy, sizes, sample, fixed)
        if steps is not None:
            found.append((steps, remedy, sizes))
        elif sizes:
            short.append(remedy.what)
        tick(i + 1, len(remedies))
    found.sort(key=lambda x: x[0])
    enough = []
    for steps, remedy, sizes in found[:CONFIRMED]:
        change = _confirmed(worlds, remedy, sizes, steps, asked, stage(remedy.what))
        if change is None:
            short.append(remedy.what)
        else:
            enough.append(change)
    return Search(tuple(sorted(enough, key=lambda change: change.steps)), tuple(short))


def _evenly(worlds: Worlds, base: Columns, failing: np.ndarray) -> list[Unit]:
    """Return failing futures, evenly by their margin, each as a unit of one stay."""
    ranked = failing[np.argsort(base["margin"][failing], kind="stable")]
    picks = np.unique(np.linspace(0, len(ranked) - 1, min(SAMPLE, len(ranked))).round().astype(int))
    stays = [(unit, night) for unit in worlds.units for night in unit.nights]
    chosen = [stays[ranked[i]] for i in picks]
    return [Unit(unit.draw, unit.spell, (night,)) for unit, night in chosen]


def _fewest(
    worlds: Worlds, remedy: Remedy, sizes: list[float], sample: list[Unit], fixed: float
) -> int | None:
    """Return the fewest steps that turn enough of the sample, None where the most does not."""

    def enough(steps: int) -> bool:
        try:
            other = worlds.changed(remedied(worlds.sheet, remedy, sizes[steps - 1]))
            columns = other.run_only(sample, warm_up=SHORT_WARM_UP)
        except VanclimateError:  # a size that cannot be built
            return False
        return float((columns["failed"] == 0).mean()) >= fixed

    if not sizes or not enough(len(sizes)):
        return None
    low, high = 0, len(sizes)  # `low` is not enough, `high` is
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


def _confirmed(
    worlds: Worlds, remedy: Remedy, sizes: list[float], steps: int, asked: float, tick: Tick
) -> Change | None:
    """Return the change by the fewest steps, from some on, that is enough on all futures."""
    while steps <= len(sizes):
        size = sizes[steps - 1]
        columns = worlds.changed(remedied(worlds.sheet, remedy, size)).run(tick=tick)
        held = int((columns["failed"] == 0).sum())
        odds = odds_of(held, len(columns["failed"]), worlds.independent)
        if odds.share >= asked:
            return Change(remedy.what, remedy.kind.quantity, size, steps, odds)
        steps += 1
    return None
