"""What is noted beside an answer: what the weather or a part does not give, or the answer lacks.

What does not belong here: what is refused (``checks``), the cautions (``cautions``), and when a
formula leaves its range (``ranges``).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from vanclimate.answers.fresh_air import fixed_ventilation
from vanclimate.answers.judge import WayResult, early_minutes
from vanclimate.answers.ranges import DAY, range_notes
from vanclimate.answers.scene import Scene
from vanclimate.answers.thresholds import WHO_LEAST
from vanclimate.simulate.runs import Run
from vanclimate.site.suncheck import consistency_notes
from vanclimate.units import both

SNOW_LIES = 5.0
"""Mean air of a day [°C] above which snow is not left lying; assumed."""


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
    notes += _snow(scene, run, part)
    notes += range_notes(scene, run, part)
    if scene.main_way == "ac":
        notes += _early_start(scene, run, part)
    notes += _inverter(scene, run)
    return tuple(notes)


def _snow(scene: Scene, run: Run, part: slice) -> Iterator[str]:
    """Yield a note where the sheet has snow that the weather of the day to waking would melt."""
    first = np.searchsorted(run.seconds[:-1], run.seconds[part.stop] - DAY - 1.0)
    mean = float(run.outdoor[int(first) : part.stop].mean())
    sheet = scene.sheet
    lying = {"body.roof state": sheet.body.roof_state.kind, "site.ground": sheet.site.ground}
    where = " and ".join(key for key, kind in lying.items() if kind == "snow")
    if where and mean > SNOW_LIES:
        yield (
            f"{where}: snow in a day of {both(round(mean, 1), 'temperature')}, "
            "in which none would lie; it is counted all the same"
        )


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
