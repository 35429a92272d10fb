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
class Short:
    """A remedy of which the most is not enough: its size, and the share of failing stays it turns.

    ``turned`` is of those that it was tried on.
    """

    name: str
    quantity: str
    size: float
    turned: float


@dataclass(frozen=True)
class Search:
    """What was found: changes that are enough, smallest first; and remedies that are not, alone."""

    enough: tuple[Change, ...]
    short: tuple[Short, ...]


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
    short: list[Short] = []
    remedies = worlds.sheet.remedies
    tick = stage("changes")
    for i, remedy in enumerate(remedies):
        sizes = sizes_of(worlds.sheet, remedy)
        most = turned(worlds, remedy, sizes[-1], sample) if sizes else 0.0
        if sizes and most >= fixed:
            found.append((_fewest(worlds, remedy, sizes, sample, fixed), remedy, sizes))
        elif sizes:
            short.append(Short(remedy.what, remedy.kind.quantity, sizes[-1], most))
        tick(i + 1, len(remedies))
    found.sort(key=lambda x: x[0])
    enough = []
    for steps, remedy, sizes in found[:CONFIRMED]:
        change = _confirmed(worlds, remedy, sizes, steps, asked, stage(remedy.what))
        if change is not None:
            enough.append((change, remedy, sizes))
    enough.sort(key=lambda x: x[0].steps)
    changes = [change for change, _, _ in enough]
    if enough:
        changes[0] = _smallest(worlds, *enough[0], asked, stage("one step less"))
    return Search(tuple(changes), tuple(sorted(short, key=lambda x: -x.turned)))


def _evenly(worlds: Worlds, base: Columns, failing: np.ndarray) -> list[Unit]:
    """Return failing futures, evenly by their margin, each as a unit of one stay."""
    ranked = failing[np.argsort(base["margin"][failing], kind="stable")]
    picks = np.unique(np.linspace(0, len(ranked) - 1, min(SAMPLE, len(ranked))).round().astype(int))
    stays = [(unit, night) for unit in worlds.units for night in unit.nights]
    chosen = [stays[ranked[i]] for i in picks]
    return [Unit(unit.draw, unit.spell, (night,)) for unit, night in chosen]


def turned(worlds: Worlds, remedy: Remedy, size: float, sample: list[Unit]) -> float:
    """Return the share of some failing stays that so much of a remedy turns; 0 where it cannot be.

    A size that cannot be built, such as a tank larger than any sheet may have, turns none.
    """
    try:
        other = worlds.changed(remedied(worlds.sheet, remedy, size))
    except VanclimateError:
        return 0.0
    columns = other.run_only(sample, warm_up=SHORT_WARM_UP)
    return float((columns["failed"] == 0).mean())


def _fewest(
    worlds: Worlds, remedy: Remedy, sizes: list[float], sample: list[Unit], fixed: float
) -> int:
    """Return the fewest steps that turn enough of the sample; the most of them does."""
    low, high = 0, len(sizes)  # `low` is not enough, `high` is
    while high - low > 1:
        middle = (low + high) // 2
        enough = turned(worlds, remedy, sizes[middle - 1], sample) >= fixed
        low, high = (low, middle) if enough else (middle, high)
    return high


def _confirmed(
    worlds: Worlds, remedy: Remedy, sizes: list[float], steps: int, asked: float, tick: Tick
) -> Change | None:
    """Return the change by the fewest steps that is enough on all futures, looked for from some."""

    found = _odds(worlds, remedy, sizes[steps - 1], tick)
    while found.share < asked and steps < len(sizes):
        steps += 1
        found = _odds(worlds, remedy, sizes[steps - 1], tick)
    if found.share < asked:
        return None
    return Change(remedy.what, remedy.kind.quantity, sizes[steps - 1], steps, found)


def _smallest(
    worlds: Worlds, change: Change, remedy: Remedy, sizes: list[float], asked: float, tick: Tick
) -> Change:
    """Return a change by the fewest steps that are enough: the sample may have asked for more."""
    steps, odds = change.steps, change.odds
    while steps > 1 and (less := _odds(worlds, remedy, sizes[steps - 2], tick)).share >= asked:
        steps, odds = steps - 1, less
    return Change(change.name, change.quantity, sizes[steps - 1], steps, odds)


def _odds(worlds: Worlds, remedy: Remedy, size: float, tick: Tick) -> Odds:
    """Return the odds of all futures with so much of a remedy."""
    failed = worlds.changed(remedied(worlds.sheet, remedy, size)).run(tick=tick)["failed"]
    return odds_of(int((failed == 0).sum()), len(failed), worlds.independent)
