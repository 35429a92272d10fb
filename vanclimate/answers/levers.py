"""Which guessed values move the margin most, and what to measure to settle them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from vanclimate.answers.judge import WayResult
from vanclimate.answers.scene import Scene, night_of, set_scene, side_by_side
from vanclimate.errors import VanclimateError
from vanclimate.van.sheet import Guess

# Guesses about a thing that is not in the night's way of living cannot move it.
IDLE = {"ac": ("fans.installed", "fans.bed_fan", "settle_in"), "fans": ("air_conditioner", "fresh")}


@dataclass(frozen=True)
class Lever:
    """A guess, and the margins at its low and high end.

    ``charge`` is the margin as a fraction of the bank, ``degrees`` the room in K, each at the low
    and the high end of the guess's range.
    """

    guess: Guess
    charge: tuple[float, float]
    degrees: tuple[float, float]

    def spread(self, by_heat: bool) -> float:
        """Return how far the margin in question moves, from the worst end to the best."""
        values = self.degrees if by_heat else self.charge
        return abs(values[1] - values[0])


def find_levers(scene: Scene, bedtime: datetime, by_heat: bool) -> tuple[Lever, ...]:
    """Return the guesses that have a range, those that move the margin most first.

    ``by_heat`` ranks by degrees (the night fails on heat), else by charge.
    """
    base = night_of(scene, scene.main_way, bedtime)
    guesses = [
        g
        for g in scene.sheet.guessed
        if g.low is not None and g.high is not None and not g.path.startswith(IDLE[scene.main_way])
    ]
    tried = [(g.path, value) for g in guesses for value in (g.low, g.high)]
    ends = side_by_side(lambda pair: _at(scene, *pair, bedtime, base), tried)
    levers = [
        Lever(g, (low.margin_charge, high.margin_charge), (low.margin_degrees, high.margin_degrees))
        for g, low, high in zip(guesses, ends[::2], ends[1::2], strict=True)
    ]
    return tuple(sorted(levers, key=lambda x: x.spread(by_heat), reverse=True))


def _at(scene: Scene, path: str, value: Any, bedtime: datetime, base: WayResult) -> WayResult:
    """Return the night with one value changed; an end that cannot be built changes nothing."""
    if scene.sheet.value_of(path) == value:
        return base
    try:
        changed = scene.sheet.with_value(path, value)
        other = set_scene(changed, scene.place.weather, scene.place.heading)
    except VanclimateError:
        return base
    return night_of(other, other.main_way, bedtime)
