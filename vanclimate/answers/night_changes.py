"""What would make a night hold that does not: the least of each remedy, tried on that night.

What does not belong here: what a remedy does to a sheet (``futures.remedies``), and changes that
hold over many stays (``futures.change``).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from vanclimate.answers.futures.change import Done, Ladder, ladder_of, together
from vanclimate.answers.futures.search import halved
from vanclimate.answers.night_odds import vans_that_hold
from vanclimate.answers.scene import Scene, night_of, set_scene, side_by_side, tightness
from vanclimate.errors import VanclimateError

SURE = 0.9  # of vans


@dataclass(frozen=True)
class NightChange:
    """What is done together so that the night holds, and in how many steps."""

    done: tuple[Done, ...]
    steps: int


@dataclass(frozen=True)
class NightChanges:
    """Changes with each of which the night holds, fewest steps first; remedies that are not enough.

    Where none is enough alone, the one that brings most is tried with each of the others.

    Attributes
    ----------
    enough : for the van as the sheet has it
    short : the most that was tried of each remedy, what brings most first
    sure : as much of the first of ``enough`` as holds in `SURE` of the vans built to the sheet;
        None where the most of it does not
    """

    enough: tuple[NightChange, ...]
    short: tuple[Done, ...]
    sure: NightChange | None


def night_changes(scene: Scene, bedtime: datetime) -> NightChanges:
    """Return the least changes with which a night holds, in the same weather and heading.

    Each size is a van of its own, compiled and run from three days before. The more the better is
    taken for granted between a size that is too small and the most.

    Parameters
    ----------
    scene : of the night, which does not hold
    bedtime : of the night
    """
    ladders = [ladder_of(scene.sheet, remedy) for remedy in scene.sheet.remedies]
    ladders = [ladder for ladder in ladders if ladder.sizes]
    tried = side_by_side(lambda ladder: _fewest(scene, bedtime, ladder), ladders)
    pairs = list(zip(ladders, tried, strict=True))
    found = [(ladder, steps) for ladder, (steps, _) in pairs if steps is not None]
    short = sorted(((gain, i) for i, (steps, gain) in enumerate(tried) if steps is None),
                   reverse=True)  # fmt: skip
    if not found and len(short) > 1:
        first, *others = (ladders[i] for _, i in short)
        two = [together(first, other) for other in others]
        tried = side_by_side(lambda ladder: _fewest(scene, bedtime, ladder), two)
        found = [(pair, n) for pair, (n, _) in zip(two, tried, strict=True) if n is not None]
    found.sort(key=lambda x: x[1])
    return NightChanges(
        tuple(NightChange(ladder.done(steps), steps) for ladder, steps in found),
        tuple(ladders[i].done(len(ladders[i].sizes))[0] for _, i in short),
        _sure(scene, bedtime, *found[0]) if found else None,
    )


def _sure(scene: Scene, bedtime: datetime, ladder: Ladder, first: int) -> NightChange | None:
    """Return the least of a change, no less than what is enough, that holds in `SURE` of vans."""

    def enough(steps: int) -> bool:
        other = _changed(scene, ladder, steps)
        return other is not None and vans_that_hold(other, bedtime).share >= SURE

    most = len(ladder.sizes)
    if enough(first):
        return NightChange(ladder.done(first), first)
    if first == most or not enough(most):
        return None
    steps = halved(first, most, enough)
    return NightChange(ladder.done(steps), steps)


def _fewest(scene: Scene, bedtime: datetime, ladder: Ladder) -> tuple[int | None, float]:
    """Return the fewest steps with which a night holds, None for none; the margin at the most."""
    holds, margin = _tried(scene, bedtime, ladder, len(ladder.sizes))
    if not holds:
        return None, margin
    return halved(0, len(ladder.sizes), lambda n: _tried(scene, bedtime, ladder, n)[0]), margin


def _tried(scene: Scene, bedtime: datetime, ladder: Ladder, steps: int) -> tuple[bool, float]:
    """Return whether the night holds after so many steps, and by what margin; see `tightness`."""
    other = _changed(scene, ladder, steps)
    if other is None:
        return False, float("-inf")
    return tightness(night_of(other, other.main_way, bedtime))


def _changed(scene: Scene, ladder: Ladder, steps: int) -> Scene | None:
    """Return the scene after so many steps, None for a size that cannot be built."""
    try:
        sheet = ladder.sheet(scene.sheet, steps)
        return set_scene(sheet, scene.place.weather, scene.place.heading)
    except VanclimateError:
        return None
