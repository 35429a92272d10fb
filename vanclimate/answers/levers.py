"""Which guessed values move the margin most, and what to measure to settle them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from vanclimate.answers.judge import WayResult
from vanclimate.answers.scene import Scene, night_of, set_scene
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


def find_levers(
    scene: Scene, bedtime: datetime, by_heat: bool
) -> tuple[Lever, ...]:
    """Return the guesses that have a range, those that move the margin most first.

    ``by_heat`` ranks by degrees (the night fails on heat), else by charge.
    """
    levers = []
    base = night_of(scene, scene.main_way, bedtime)
    for guess in scene.sheet.guessed:
        if guess.low is None or guess.high is None or guess.path.startswith(IDLE[scene.main_way]):
            continue
        ends = [_at(scene, guess.path, value, bedtime, base) for value in (guess.low, guess.high)]
        levers.append(
            Lever(
                guess,
                (ends[0].margin_charge, ends[1].margin_charge),
                (ends[0].margin_degrees, ends[1].margin_degrees),
            )
        )
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
