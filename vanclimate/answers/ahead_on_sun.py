"""What cooling ahead on the sun is worth: the night with the rule beside the night without it.

What does not belong here: how a rule is read (``van.rule_text``) and what it allows
(``simulate.rules``).
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from vanclimate.answers.judge import WayResult, judge
from vanclimate.answers.scene import Scene, changed_scene, run_way
from vanclimate.simulate.rules import least_ac_power
from vanclimate.simulate.runs import Run
from vanclimate.units import both
from vanclimate.van.rules import Rule, Setpoint


def ahead_notes(scene: Scene, bedtime: datetime, run: Run, result: WayResult) -> Iterator[str]:
    """Yield what the rules that cool while the panels carry it change; ``run`` is with them."""
    rules = scene.sheet.rules
    ahead = [rule for rule in rules if _is_ahead(rule)]
    if not ahead or scene.main_way != "ac":
        return
    hours, most = _the_day_before(run, bedtime)
    names = " and ".join(f"'{rule.says}'" for rule in ahead)
    if hours == 0.0:
        yield (
            f"rule {names}: the panels give {most:.0f} W at most on the day before, too little to "
            f"carry the {least_ac_power(scene.sheet):.0f} W of the air conditioner, so it never "
            "cools ahead"
        )
        return
    without = changed_scene(scene, "rules", tuple(rule for rule in rules if not _is_ahead(rule)))
    other = judge(run_way(without, "ac", bedtime), without.sheet, "ac", bedtime)
    yield (
        f"rule {names}: it cools ahead in {hours:.1f} h of the day before; with it "
        f"{_outcome(result)}; without it {_outcome(other)}"
    )


def _the_day_before(run: Run, bedtime: datetime) -> tuple[float, float]:
    """Return the hours of the day before bedtime that it cooled ahead, and the panels' most [W]."""
    plan, end = run.plan.schedule, (bedtime - run.start).total_seconds()
    day = (plan.start >= end - 86400.0) & (plan.start < end)
    length = (plan.end - plan.start)[day]
    cooled = float((run.plan.power.ruled.precool[day] * length).sum()) / 3600.0
    return cooled, float(run.plan.power.solar.power[day].max())


def _is_ahead(rule: Rule) -> bool:
    return isinstance(rule.meaning, Setpoint) and rule.meaning.carried


def _outcome(result: WayResult) -> str:
    """Return what the unit takes in a night and what that leaves."""
    return (
        f"the air conditioner takes {result.ac_energy_wh:.0f} Wh from bedtime to waking, it feels "
        f"{both(round(result.felt_at_bedtime_c, 1), 'temperature')} at bedtime and "
        f"{result.charge_at_waking:.0%} is left in the bank at waking"
    )
