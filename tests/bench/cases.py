"""What is timed: the shipped demo van, a year and a night of it.

Two forms of each span. ``lived`` is the sheet as it stands. ``bare`` is the same shell in dry air
with nobody and nothing inside: no water, no loads, no fans, nothing that switches, so that a solver
of differential equations can be given the same problem word for word.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from tests import invented
from tests.invented import weather_of
from vanclimate.answers.scene import Scene, hardest_first, set_scene, survey
from vanclimate.cache import data_path
from vanclimate.network.compile import Array
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.inputs import Equipment
from vanclimate.simulate.plan import Plan, make_plan
from vanclimate.simulate.runs import BASE_STEP, Run, execute
from vanclimate.van.reading import load

DEMO = ("scenarios", "holds.yaml")
ROOMS = ("scenarios", "three-rooms.yaml")
HEADING = 180.0  # deg; any one will do
HOUR = 3600.0  # s
KEPT = (
    "start", "end", "covered", "ac_share", "ac_setpoint", "bank_live", "bank_set", "heat_below",
    "cool_above", "passage_open", "heat_setpoint",
)  # fmt: skip


@dataclass(frozen=True)
class Case:
    """A span ready to run."""

    name: str
    scene: Scene
    plan: Plan
    gear: Equipment

    def run(self, base: float = BASE_STEP) -> Run:
        """Run the compiled loop over the span."""
        scene = self.scene
        cabin = cabin_of(scene.sheet, scene.model, self.plan.outside.pressure)
        return execute(scene.model, self.plan, cabin, self.gear, base=base)

    @property
    def nodes(self) -> int:
        """Nodes of the shell; air and radiant star are two unknowns more."""
        return len(self.scene.model.network.capacity)

    @property
    def hours(self) -> int:
        """Whole hours of the span."""
        return int(self.plan.schedule.end[-1] // HOUR)


def demo_scene() -> Scene:
    """Return the demo van at its place."""
    return _scene(DEMO)


def rooms_scene() -> Scene:
    """Return the van of three rooms, with ribs, at its place."""
    return _scene(ROOMS)


def everything_scene() -> Scene:
    """Return a van in which every source, load and limit is on."""
    sheet = load(Path(__file__).with_name("everything.yaml"))
    return set_scene(sheet, weather_of(sheet), HEADING)


def _scene(parts: tuple[str, ...]) -> Scene:
    sheet = load(data_path(*parts))
    return set_scene(sheet, weather_of(sheet), HEADING)


def span(
    scene: Scene, way: str, month: int, day: int, days: int, name: str, followed: bool = False
) -> Case:
    """Return whole days of the sheet as it stands, the bank followed from full or not at all."""
    zone = scene.place.weather.start
    start = datetime(zone.year, month, day, tzinfo=zone.tzinfo)
    end = start + timedelta(days=days)
    plan = make_plan(scene.sheet, scene.model, scene.place, way, start, end, (),
                     None if followed else 0.0)  # fmt: skip
    return Case(name, scene, plan, scene.gear)


def bare(case: Case, name: str) -> Case:
    """Return the span in dry air with nobody and nothing inside."""
    schedule = case.plan.schedule
    abrupt = np.zeros(len(schedule.start))
    abrupt[0] = 1.0
    quiet = {
        name: np.zeros_like(values)
        for name, values in schedule._asdict().items()
        if name not in KEPT
    }
    schedule = schedule._replace(**quiet | {"abrupt": abrupt})
    outside = case.plan.outside
    outside = outside._replace(humidity=np.zeros_like(outside.humidity))
    plan = replace(case.plan, schedule=schedule, outside=outside)
    gear = case.gear._replace(
        inverter=case.gear.inverter._replace(waiting=0.0),
        cells=case.gear.cells._replace(conductance=0.0),
    )
    return Case(name, case.scene, plan, gear)


def hottest_night(scene: Scene) -> datetime:
    """Return the bedtime of the month's night that asks most of the air conditioner."""
    return hardest_first(scene, survey(scene, invented.nights(scene)), False)[0].bedtime


def night(scene: Scene, way: str, bedtime: datetime, name: str) -> Case:
    """Return a night with the three days before it, as the night's answer runs it."""
    end = bedtime + timedelta(minutes=scene.sheet.people.sleep_minutes)
    plan = make_plan(
        scene.sheet, scene.model, scene.place, way, bedtime - timedelta(hours=72), end, (bedtime,),
        scene.start_charge,
    )  # fmt: skip
    return Case(name, scene, plan, scene.gear)


def air_at(run: Run, every: float) -> Array:
    """Return the cabin air's temperature [°C] at the ends of rows that are multiples of ``every``.

    Of an hour [s] these are its ends, of five minutes also what a jump of the sun leaves behind.
    """
    ends = run.seconds[1:] / every
    return np.asarray(run.column("cabin_temp_c")[np.abs(ends - np.round(ends)) < 1e-6])


def rms(a: Array, b: Array) -> float:
    """Return the root of the mean square difference."""
    return float(np.sqrt(np.mean((a - b) ** 2)))
