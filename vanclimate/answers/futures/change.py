"""The smallest change that makes a stay last: sizes of each remedy, tried on the same futures.

What does not belong here: what a remedy does to a sheet (``remedies``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.futures.ensemble import Tick, quiet
from vanclimate.answers.futures.odds import Odds, odds_of
from vanclimate.answers.futures.remedies import remedied, sizes_of
from vanclimate.answers.futures.search import halved
from vanclimate.answers.futures.worlds import SHORT_WARM_UP, Columns, Unit, Worlds
from vanclimate.errors import VanclimateError
from vanclimate.van.remedies import Remedy
from vanclimate.van.sheet import Sheet

SAMPLE = 32  # failing futures that a size is tried on first
CONFIRMED = 5  # changes that are then run on all futures
Stage = Callable[[str], Tick]


def silent(stage: str) -> Tick:
    """Show no progress of any stage."""
    return quiet


@dataclass(frozen=True)
class Done:
    """So much of a remedy."""

    name: str  # see `van.remedies.KINDS`
    quantity: str  # the kind of its size, such as 'power', or 'count'
    size: float  # SI of that kind


@dataclass(frozen=True)
class Change:
    """What is changed together, the fewest steps of it that are enough, and the odds then.

    ``odds`` are over all futures. The change of the fewest steps is the smallest.
    """

    done: tuple[Done, ...]
    steps: int
    odds: Odds


@dataclass(frozen=True)
class Short:
    """The most of a remedy, or as much as does most, which is not enough alone."""

    done: Done
    turned: float  # share of the failing stays that it was tried on which then last


@dataclass(frozen=True)
class Search:
    """What was found: changes that are enough, smallest first; and remedies that are not, alone.

    Where none is enough alone, the two that turn most stays are tried together.
    """

    enough: tuple[Change, ...]
    short: tuple[Short, ...]


@dataclass(frozen=True)
class Ladder:
    """Remedies to take together, and the sizes of each by the step."""

    remedies: tuple[Remedy, ...]
    sizes: tuple[tuple[float, ...], ...]  # one for each step, with a size for each remedy

    @property
    def name(self) -> str:
        """What is taken, in words."""
        return " and ".join(remedy.what for remedy in self.remedies)

    def sheet(self, sheet: Sheet, steps: int) -> Sheet:
        """Return a sheet changed by so many steps."""
        for remedy, size in zip(self.remedies, self.sizes[steps - 1], strict=True):
            sheet = remedied(sheet, remedy, size)
        return sheet

    def done(self, steps: int) -> tuple[Done, ...]:
        """Return what so many steps are."""
        return tuple(
            Done(remedy.what, remedy.kind.quantity, size)
            for remedy, size in zip(self.remedies, self.sizes[steps - 1], strict=True)
        )


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
    found: list[tuple[int, Ladder]] = []
    short: list[tuple[float, Ladder]] = []
    ladders = [ladder_of(worlds.sheet, remedy) for remedy in worlds.sheet.remedies]
    tick = stage("changes")
    for i, whole in enumerate(ladders):
        if whole.sizes:
            most, ladder = _useful(worlds, whole, sample, fixed)
            if most >= fixed:
                found.append((_fewest(worlds, ladder, sample, fixed), ladder))
            else:
                short.append((most, ladder))
        tick(i + 1, len(ladders))
    short.sort(key=lambda x: -x[0])
    if not found and len(short) > 1:
        pair = together(short[0][1], short[1][1])
        if turned(worlds, pair, len(pair.sizes), sample) >= fixed:
            found.append((_fewest(worlds, pair, sample, fixed), pair))
    shown = [Short(ladder.done(len(ladder.sizes))[0], most) for most, ladder in short]
    return Search(_enough(worlds, found, asked, stage), tuple(shown))


def _useful(
    worlds: Worlds, ladder: Ladder, sample: Sequence[Unit], fixed: float
) -> tuple[float, Ladder]:
    """Return what the most of a ladder turns, and the ladder; its half where that turns more.

    Too much may do harm: a larger heater's least output is larger too.
    """
    most, half = turned(worlds, ladder, len(ladder.sizes), sample), len(ladder.sizes) // 2
    if most >= fixed or not half:
        return most, ladder
    less = turned(worlds, ladder, half, sample)
    return (less, replace(ladder, sizes=ladder.sizes[:half])) if less > most else (most, ladder)


def ladder_of(sheet: Sheet, remedy: Remedy) -> Ladder:
    """Return a remedy alone, by the step."""
    return Ladder((remedy,), tuple((size,) for size in sizes_of(sheet, remedy)))


def together(one: Ladder, other: Ladder) -> Ladder:
    """Return two remedies step by step together; the shorter one stays at its most."""
    count = max(len(one.sizes), len(other.sizes))
    sizes = tuple(
        one.sizes[min(i, len(one.sizes) - 1)] + other.sizes[min(i, len(other.sizes) - 1)]
        for i in range(count)
    )
    return Ladder(one.remedies + other.remedies, sizes)


def _evenly(worlds: Worlds, base: Columns, failing: NDArray[np.int64]) -> list[Unit]:
    """Return failing futures, evenly by their margin, each as a unit of one stay."""
    ranked = failing[np.argsort(base["margin"][failing], kind="stable")]
    picks = np.unique(np.linspace(0, len(ranked) - 1, min(SAMPLE, len(ranked))).round().astype(int))
    chosen = [worlds.stays[ranked[i]] for i in picks]
    return [Unit(unit.draw, unit.spell, (night,)) for unit, night in chosen]


def turned(worlds: Worlds, ladder: Ladder, steps: int, sample: Sequence[Unit]) -> float:
    """Return the share of some failing stays that so many steps turn; 0 where they cannot be.

    A size that cannot be built, such as a tank larger than any sheet may have, turns none.
    """
    try:
        other = worlds.changed(ladder.sheet(worlds.sheet, steps))
    except VanclimateError:
        return 0.0
    columns = other.run_only(sample, warm_up=SHORT_WARM_UP)
    return float((columns["failed"] == 0).mean())


def _fewest(worlds: Worlds, ladder: Ladder, sample: Sequence[Unit], fixed: float) -> int:
    """Return the fewest steps that turn enough of the sample; the most of them does."""

    def enough(steps: int) -> bool:
        return turned(worlds, ladder, steps, sample) >= fixed

    return halved(0, len(ladder.sizes), enough)


def _enough(
    worlds: Worlds, found: list[tuple[int, Ladder]], asked: float, stage: Stage
) -> tuple[Change, ...]:
    """Return the smallest of what was found, each by the fewest steps that all futures confirm.

    The sample may have asked for too little, which is met step by step, or, of the smallest, for
    too much.
    """
    kept: list[tuple[int, Odds, Ladder]] = []
    for first, ladder in sorted(found, key=lambda x: x[0])[:CONFIRMED]:
        tick = stage(ladder.name)
        for steps in range(first, len(ladder.sizes) + 1):
            odds = _odds(worlds, ladder, steps, tick)
            if odds.share >= asked:
                kept.append((steps, odds, ladder))
                break
    kept.sort(key=lambda x: x[0])
    if kept:
        steps, odds, ladder = kept[0]
        tick = stage("one step less")
        while steps > 1 and (less := _odds(worlds, ladder, steps - 1, tick)).share >= asked:
            steps, odds = steps - 1, less
        kept[0] = steps, odds, ladder
    return tuple(Change(ladder.done(steps), steps, odds) for steps, odds, ladder in kept)


def _odds(worlds: Worlds, ladder: Ladder, steps: int, tick: Tick) -> Odds:
    """Return the odds of all futures with so many steps."""
    failed = worlds.changed(ladder.sheet(worlds.sheet, steps)).run(tick=tick)["failed"]
    return odds_of(int((failed == 0).sum()), len(failed), worlds.independent)
