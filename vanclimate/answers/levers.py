"""Which guessed values move the margin most, and what to measure to settle them."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from vanclimate.answers.figures import KELVIN, SHARE
from vanclimate.answers.judge import WayResult
from vanclimate.answers.scene import WARM_UP, Scene, changed_scene, night_of, side_by_side
from vanclimate.errors import VanclimateError
from vanclimate.van.sheet import Guess

# Guesses about a thing that is not in the night's way of living cannot move it, nor can a circuit
# on which nothing hangs yet. What only stops a start is noted beside the answer (``stops``).
STARTS = ("air_conditioner.starting_surge", "inverter.surge", "spare")
IDLE = {
    "ac": ("fans.shut_off", "fans.open_window", "fans.bed_fan", "people.settle_in", *STARTS),
    "fans": ("air_conditioner", "fresh", "people.settle_in", "people.least", *STARTS),
    "heat": ("fans.shut_off", "fans.open_window", "fans.bed_fan", "people.settle_in", *STARTS),
}
CHARGING = (
    "battery.charge_limit", "battery.charge_voltage", "battery.charge_resumes", "battery.mass",
    "battery.conductance", "roof_panels.power_coefficient", "roof_panels.controller", "alternator",
    "dc_charger", "shore",
)  # fmt: skip
"""What matters only where the days before a night are followed, or by less than is told."""

SCREEN_WARM_UP = timedelta(hours=20)
SHOWN = 4  # of the levers that are run in full


@dataclass(frozen=True)
class Lever:
    """A guess, and the margins at its low and high end.

    ``charge`` is the margin as a fraction of the bank, ``degrees`` the room in K, each at the low
    and the high end of the guess's range.
    """

    guess: Guess
    charge: tuple[float, float] = field(metadata=SHARE)
    degrees: tuple[float, float] = field(metadata=KELVIN)

    def spread(self, by_heat: bool) -> float:
        """Return how far the margin in question moves, from the worst end to the best."""
        values = self.degrees if by_heat else self.charge
        return abs(values[1] - values[0])


def find_levers(scene: Scene, bedtime: datetime, by_heat: bool) -> tuple[Lever, ...]:
    """Return the guesses that move the margin most, most first.

    ``by_heat`` ranks by degrees (the night fails on heat), else by charge. All guesses with a
    range are screened after a short warm-up; the first few are then run in full.
    """
    idle: tuple[str, ...] = IDLE[scene.main_way]
    if scene.start_charge is not None:
        idle += CHARGING
    if not scene.sheet.heats:
        idle += ("people.least",)
    guesses = [
        g
        for g in scene.sheet.guessed
        if g.low is not None and g.high is not None and not g.path.startswith(idle)
    ]
    screened = _ranked(scene, guesses, bedtime, by_heat, SCREEN_WARM_UP)
    return _ranked(scene, [x.guess for x in screened[:SHOWN]], bedtime, by_heat, WARM_UP)


def _ranked(
    scene: Scene, guesses: list[Guess], bedtime: datetime, by_heat: bool, warm_up: timedelta
) -> tuple[Lever, ...]:
    """Return the guesses with their margins at both ends, ranked."""
    base = night_of(scene, scene.main_way, bedtime, warm_up)

    def margin(tried: tuple[str, Any]) -> WayResult:
        return _at(scene, *tried, bedtime, warm_up, base)

    ends = side_by_side(margin, [(g.path, value) for g in guesses for value in (g.low, g.high)])
    levers = [
        Lever(g, (low.margin_charge, high.margin_charge), (low.margin_degrees, high.margin_degrees))
        for g, low, high in zip(guesses, ends[::2], ends[1::2], strict=True)
    ]
    return tuple(sorted(levers, key=lambda x: x.spread(by_heat), reverse=True))


def _at(
    scene: Scene, path: str, value: Any, bedtime: datetime, warm_up: timedelta, base: WayResult
) -> WayResult:
    """Return the night with one value changed; an end that cannot be built changes nothing."""
    if scene.sheet.value_of(path) == value:
        return base
    try:
        other = changed_scene(scene, path, value)
    except VanclimateError:
        return base
    return night_of(other, other.main_way, bedtime, warm_up)
