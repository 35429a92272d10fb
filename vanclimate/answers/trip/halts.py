"""A trip's stops run one after the other, charge and tank carried from each to the next.

The shell is warmed up anew before each stop, 72 h in the weather of that place; of a van whose tank
is empty, without its heater. What does not belong here: when and where the stops are
(``itinerary``), and what the runs mean (``answer``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from vanclimate.answers.scene import (
    WARM_UP,
    Scene,
    outdoors,
    set_scene,
    worst_heading,
)
from vanclimate.answers.season import BEFORE, spot_of, whole_between
from vanclimate.answers.trip.itinerary import Halt
from vanclimate.errors import NoHoursError
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import Run, execute
from vanclimate.site.sky import MEASURED, model_of
from vanclimate.site.spot import at_spot
from vanclimate.site.weather import Weather

NO_END = 1e4  # L, of a tank that never runs out


@dataclass(frozen=True)
class Stage:
    """One stop's run; ``run`` begins with the drive to it."""

    halt: Halt
    scene: Scene
    way: str  # of its nights
    run: Run
    charge_ah: float  # as it begins
    fuel_l: float  # the same, with what was bought
    bought_l: float


def weather_at(halt: Halt) -> Weather | None:
    """Return a stop's weather at the van's spot; None where real years do not cover it."""
    record, sheet = halt.record, halt.sheet
    if not record.real:
        return at_spot(record.whole(), spot_of(sheet, record))
    try:
        bare = record.span(halt.begins - BEFORE, halt.ends + (BEFORE - WARM_UP))
    except NoHoursError:
        return None
    measured = model_of(bare, sheet.site.sky) == MEASURED
    if not whole_between(bare, halt.begins - WARM_UP, halt.ends, measured):
        return None
    return at_spot(bare, spot_of(sheet, record))


def scene_at(halt: Halt, weather: Weather) -> Scene:
    """Return a stop's scene: at its heading, else at the worst of eight on its hardest night.

    That is its coldest where the van heats and the nights are colder than is wanted inside.
    """
    sheet, nights = halt.sheet, halt.bedtimes(halt.sheet)
    if sheet.heading is not None:
        return set_scene(sheet, weather, sheet.heading)
    means = [outdoors(weather, sheet, night) for night in nights]
    cold = sheet.heats and sum(means) / len(means) < sheet.people.least
    hardest = nights[means.index(min(means) if cold else max(means))]
    return worst_heading(set_scene(sheet, weather, 0.0), hardest)


def first_charge(scene: Scene) -> float:
    """Return the charge [Ah] that a trip begins with: the sheet's, full where it is followed."""
    return scene.gear.cells.capacity if scene.start_charge is None else scene.start_charge


def tank_full(scene: Scene) -> float:
    """Return the usable fuel [L] of a full tank."""
    heater = scene.sheet.heater
    return 0.0 if heater is None else 1e3 * heater.tank * heater.usable


def run_stages(
    halts: Sequence[Halt], scenes: Sequence[Scene], ways: Sequence[str], *, endless: bool = False
) -> tuple[Stage, ...]:
    """Return the stops run in order; ``endless`` where the tank shall never run out."""
    found: list[Stage] = []
    for halt, scene, way in zip(halts, scenes, ways, strict=True):
        found.append(next_stage(found[-1] if found else None, halt, scene, way, endless=endless))
    return tuple(found)


def next_stage(
    before: Stage | None, halt: Halt, scene: Scene, way: str, *, endless: bool = False
) -> Stage:
    """Return a stop's run, with the charge and the fuel that the stop before left."""
    if before is None:
        charge, fuel = first_charge(scene), scene.gear.burner.fuel
    else:
        names = ("battery_charge_ah", "heater_fuel_l")
        charge, fuel = (float(before.run.column(name)[-1]) for name in names)
    bought = max(0.0, tank_full(scene) - fuel) if halt.stop.fuel else 0.0
    fuel = NO_END if endless else fuel + bought
    run = run_halt(scene, way, halt.begins, halt.arrives, halt.ends, charge, fuel)
    return Stage(halt, scene, way, run, charge, fuel, bought)


def run_halt(
    scene: Scene, way: str, begins: datetime, arrives: datetime, ends: datetime, charge: float,
    fuel: float,
) -> Run:  # fmt: skip
    """Run one stop from the drive to it on, after a warm-up in its weather; without that.

    Parameters
    ----------
    way : of its nights
    begins, arrives : from when and until when the van drives
    charge, fuel : as the drive begins [Ah], [L]
    """
    legs = [(begins, arrives)] if arrives > begins else []
    start = begins - WARM_UP
    plan = make_plan(scene.sheet, scene.model, scene.place, way, start, ends, [begins],
                     charge, fuel, legs)  # fmt: skip
    burner = scene.gear.burner._replace(fuel=NO_END if fuel > 0.0 else 0.0)
    cabin = cabin_of(scene.sheet, scene.model, plan.outside.pressure)
    run = execute(scene.model, plan, cabin, scene.gear._replace(burner=burner))
    lived = run.between((begins - plan.start).total_seconds(), float("inf"))
    return replace(lived, gear=scene.gear)
