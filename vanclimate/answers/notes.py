"""What is noted beside an answer: what the weather or a part does not give, or the answer lacks.

What does not belong here: what is refused (``checks``), the cautions (``cautions``), and when a
formula leaves its range (``ranges``).
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from vanclimate.answers.circuits import wiring_notes
from vanclimate.answers.fresh_air import fixed_ventilation
from vanclimate.answers.judge import WayResult, early_minutes
from vanclimate.answers.lost import lost_notes
from vanclimate.answers.ranges import DAY, range_notes
from vanclimate.answers.rule_checks import rule_notes
from vanclimate.answers.scene import Scene
from vanclimate.answers.source_checks import source_notes
from vanclimate.answers.stops import stop_notes
from vanclimate.answers.thresholds import WHO_LEAST
from vanclimate.equipment.air_conditioner import START_DEAD_TIME
from vanclimate.simulate.air import Moments, home_at, windows_open
from vanclimate.simulate.runs import Run
from vanclimate.simulate.thermostats import ROWS, STAGE, ac_schedule, heat_order
from vanclimate.simulate.times import at_times, within
from vanclimate.site.suncheck import consistency_notes
from vanclimate.units import both
from vanclimate.van.covers import FITS
from vanclimate.van.fields import DAY as MINUTES
from vanclimate.van.sheet import Sheet

SNOW_LIES = 5.0
"""Mean air of a day [°C] above which snow is not left lying; assumed."""
SHORT_RUN = 10.0 * START_DEAD_TIME
"""Mean run of a compressor [s] below which it is told of: a tenth of its watts then goes into
starts. Makers ask for 5 to 10 minutes (common practice, no source)."""
MANY_STARTS = 12
"""Starts in a night, of which fewer are not told of; assumed."""
LOOSE = FITS["loose"]
"""Slit along a cover's edges [m] from which on it lets the air of a window past; assumed."""


def night_notes(scene: Scene, run: Run, part: slice, result: WayResult) -> tuple[str, ...]:
    """Return the notes of a night's answer; ``part`` are the run's rows from bedtime to waking."""
    notes = [*scene.sheet.notes, *scene.model.shell.notes, *scene.place.weather.notes]
    if result.felt_coldest_c < WHO_LEAST and not scene.sheet.heats:
        notes.append(
            "this answer is about heat only: no heating is counted, and inside it feels colder "
            "than 18 °C (64 °F), the least that is advised indoors"
        )
    vents = fixed_ventilation(scene.sheet)
    if not vents.enough:
        notes.append(f"fixed ventilation: {vents.sentence(scene.sheet.units)}")
    notes += consistency_notes(scene.place.weather)
    notes += _snow(scene, run, part)
    notes += range_notes(scene, run, part)
    if scene.main_way == "ac":
        notes += _early_start(scene, run, part)
    notes += _later_heaters(run, part)
    notes += _held_too_cold(scene.sheet, run, part)
    notes += short_runs(scene.sheet, run, part, result)
    notes += lost_notes(scene.sheet, run, part)
    notes += stop_notes(scene.sheet, run)
    notes += rule_notes(scene.sheet)
    notes += wiring_notes(scene.sheet)
    notes += source_notes(scene.sheet)
    notes += covered_openings(scene.sheet, scene.main_way)
    return tuple(notes)


def _later_heaters(run: Run, part: slice) -> Iterator[str]:
    """Yield what each heater after the first holds, which no sheet says."""
    held = run.plan.schedule.heat_setpoint[run.segment[part]]
    on = [name for name, row in ROWS.items() if not np.isnan(held[:, row]).all()]
    order = heat_order(on, run.plan.power.ruled)
    for place, name in enumerate(order[1:], 1):
        warmest = round(float(np.nanmax(held[:, ROWS[name]])), 1)
        yield (
            f"the {name} heats after the {order[place - 1]} and holds "
            f"{both(warmest, 'temperature')} at most, {STAGE * place:g} K below what is asked of "
            f"it (assumed), also while the {order[place - 1]} cannot heat"
        )


def _held_too_cold(sheet: Sheet, run: Run, part: slice) -> Iterator[str]:
    """Yield a note where what heats holds less, once settled, than the sleepers want at least."""
    held = run.plan.schedule.heat_setpoint[run.segment[part]]
    since = run.seconds[part] - run.seconds[part.start]
    heated = (~np.isnan(held)).any(axis=1) & (since >= sheet.people.settle_in - 1)
    if not heated.any():
        return
    warmest = float(np.nanmax(held[heated], axis=1).min())
    if warmest < sheet.people.least - 1e-6:
        yield (
            f"heating holds {both(round(warmest, 1), 'temperature')}, colder than the "
            f"{both(round(sheet.people.least, 1), 'temperature')} that the sleepers want at least "
            "(people.least): a night that it has to heat does not hold"
        )


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


def short_runs(sheet: Sheet, run: Run, part: slice, result: WayResult) -> Iterator[str]:
    """Yield a note where the compressor starts often and runs for a few minutes only."""
    unit, starts = sheet.air_conditioner, result.ac_starts
    if unit is None or starts < MANY_STARTS or 3600.0 * result.ac_hours >= starts * SHORT_RUN:
        return
    heats = run.total("heat_pump_w", part) > run.total("ac_sensible_w", part)
    other = "a varying speed" if unit.speed == "fixed" else "a lower floor"
    lost = starts * START_DEAD_TIME / (3600.0 * result.ac_hours)
    wet = "; in each pause the blower gives the coil's water back to the air"
    if heats or unit.blower == "automatic":
        wet = ""
    yield (
        f"the {'heat pump' if heats else 'air conditioner'} starts {starts} times, "
        f"{60.0 * result.ac_hours / starts:.1f} min at a time (makers want 5 to 10): "
        f"{START_DEAD_TIME:.0f} s of full watts for nothing each, "
        f"{lost * result.ac_energy_wh:.0f} Wh in all, {lost:.0%} of its energy{wet}. A smaller "
        f"unit or {other} takes less; a longer minimum run or a wider differential starts less "
        "often"
    )


def _early_start(scene: Scene, run: Run, part: slice) -> Iterator[str]:
    """Yield what a unit that starts before bedtime has drawn by then."""
    early = early_minutes(scene.sheet)
    if early and scene.start_charge is not None:
        before = run.between(run.seconds[part.start] - 60.0 * early, run.seconds[part.start])
        charge = before.amp_hours("draw_w", slice(None))
        yield (
            f"the air conditioner starts {early} min before bedtime: the charge at bedtime is "
            f"taken as given, so the {charge:.0f} Ah drawn until then must already be off it"
        )


def covered_openings(sheet: Sheet, main_way: str) -> Iterator[str]:
    """Yield a note for each window that is open while a cover that fits closely is over it.

    Curtains and mesh hang loose and let air past; so does what fits no better than `LOOSE`.
    """
    minute = np.arange(float(MINUTES)) + 0.5
    people = sheet.people
    night = within(minute, people.bedtime, people.waking)
    opened = {}
    for way in (main_way, "fans"):
        cooled = ac_schedule(sheet, way, minute, night).share > 0
        at = Moments(minute, night, home_at(sheet, minute, night), cooled, night & False)
        opened[way] = windows_open(sheet, way, at)
    for k, window in enumerate(sheet.windows):
        if window.cover == "none" or window.cover_edge >= LOOSE:
            continue
        covered = at_times(window.covered, minute, night)
        ways = [way for way, flags in opened.items() if (flags[k] & covered).any()]
        if ways:
            where = "" if main_way in ways else "with fans only, "
            yield (
                f"{window.name}: {where}its cover ({window.cover}) is shut while the window is "
                "open; its air is taken as if no cover were there"
            )
