"""What is noted beside an answer: what lies outside a model's range, or beyond what a part gives.

What does not belong here: what is refused (``checks``) and the cautions (``cautions``).
"""

from __future__ import annotations

from collections.abc import Iterator

from vanclimate.answers.fresh_air import fixed_ventilation
from vanclimate.answers.judge import WayResult, early_minutes
from vanclimate.answers.scene import Scene
from vanclimate.answers.thresholds import WHO_LEAST
from vanclimate.equipment.air_conditioner import OUTDOOR_RANGE
from vanclimate.simulate.runs import Run
from vanclimate.site.suncheck import consistency_notes


def night_notes(scene: Scene, run: Run, part: slice, result: WayResult) -> tuple[str, ...]:
    """Return the notes of a night's answer; ``part`` are the run's rows from bedtime to waking."""
    notes = [*scene.sheet.notes, *scene.model.shell.notes, *scene.place.weather.notes]
    if result.felt_coldest_c < WHO_LEAST:
        notes.append(
            "this answer is about heat only: no heating is counted, and inside it feels colder "
            "than 18 °C (64 °F), the least that is advised indoors"
        )
    vents = fixed_ventilation(scene.sheet)
    if not vents.enough:
        notes.append(f"fixed ventilation: {vents.sentence}")
    notes += consistency_notes(scene.place.weather)
    if scene.main_way == "ac":
        notes += _outdoors(run, part)
        notes += _early_start(scene, run, part)
    notes += _inverter(scene, run)
    return tuple(notes)


def _outdoors(run: Run, part: slice) -> Iterator[str]:
    """Yield a note where it is colder or hotter than the air conditioner's slopes reach."""
    low, high = OUTDOOR_RANGE
    outdoor = run.outdoor[part]
    if outdoor.min() < low or outdoor.max() > high:
        yield (
            f"outdoor temperature {_both(outdoor.min(), outdoor.max())} leaves the range "
            f"{_both(low, high)} of the air conditioner's slopes, which are held beyond it"
        )


def _both(low: float, high: float) -> str:
    """Write a span of temperatures [°C] for readers of either scale."""
    celsius, fahrenheit = ((low, high), (1.8 * low + 32.0, 1.8 * high + 32.0))
    spans = (f"{round(a)} to {round(b)}".replace("-", "−") for a, b in (celsius, fahrenheit))
    return "{} °C ({} °F)".format(*spans)


def _early_start(scene: Scene, run: Run, part: slice) -> Iterator[str]:
    """Yield what a unit that starts before bedtime has drawn by then."""
    early = early_minutes(scene.sheet)
    if early:
        before = run.between(run.seconds[part.start] - 60.0 * early, run.seconds[part.start])
        charge = before.total("draw_w") / 3600.0 / run.bank.voltage
        yield (
            f"the air conditioner starts {early} min before bedtime: the charge at bedtime is "
            f"taken as given, so the {charge:.0f} Ah drawn until then must already be off it"
        )


def _inverter(scene: Scene, run: Run) -> Iterator[str]:
    """Yield a note where several loads together ask more of the inverter than its rating."""
    rating, plan = scene.sheet.inverter.rating, run.plan.schedule
    mains = (plan.load_ac + plan.fridge_ac)[run.segment]
    if scene.unit.on_inverter:
        mains = mains + run.column("ac_power_w")
    worst = float(mains.max()) if len(mains) else 0.0
    if worst > rating:
        yield f"the inverter is asked for {worst:.0f} W at once, its rating is {rating:.0f} W"
