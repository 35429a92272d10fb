"""The two nights that insulation is judged on: the hottest of a warm month, the coldest of a cold.

Both are chosen once, with the sheet's own stack, and so is the heading; every stack then meets the
same nights. What does not belong here: which stacks (``listed``), and their rank (``answer``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import NamedTuple

import numpy as np

from vanclimate.answers.facing import colder_than_wanted
from vanclimate.answers.judge import judge, night_rows
from vanclimate.answers.scene import (
    WARM_UP,
    Scene,
    SeasonNight,
    hardest_first,
    night_of,
    outdoors,
    run_way,
    set_scene,
    side_by_side,
    worst_heading,
)
from vanclimate.answers.season import Season, season_of
from vanclimate.network.damp import Climate
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.plan import make_plan
from vanclimate.simulate.runs import Run, execute
from vanclimate.site.record import Record
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet

SHORT_LIST = 6
"""Nights of a month, hardest by their outdoor mean, among which the van's own hardest is looked
for."""


@dataclass(frozen=True, eq=False)
class TestNight:
    """One of the two nights, with the van's own stack.

    Attributes
    ----------
    cold : whether it is the cold one
    words : the month or stay that it is the hardest night of
    year : of real years, the one it is in; None of a typical year and of made-up days
    bedtime : of the night
    outdoor_c : its mean outdoor temperature
    charge_ah : at bedtime: the sheet's, or what a bank that is followed has with the own stack
    scene : the van as it is, in the night's weather and at the heading
    """

    __test__ = False  # for pytest: a night to test a van on, and no test

    cold: bool
    words: str
    year: int | None
    bedtime: datetime
    outdoor_c: float
    charge_ah: float | None
    scene: Scene

    @property
    def way(self) -> str:
        """How the night is spent: 'ac', 'fans', 'heat'; 'held' where an ideal heater holds it."""
        return way_on(self.scene.sheet, self.cold)


def way_on(sheet: Sheet, cold: bool) -> str:
    """Return how a van spends a hot or a cold night, see `TestNight.way`."""
    cooled = sheet.air_conditioner is not None
    if not cold:
        return "ac" if cooled else "fans"
    return ("ac" if cooled else "heat") if sheet.heats else "held"


def in_fuel(sheet: Sheet) -> bool:
    """Say whether the cold night is counted in fuel: where a fuel heater alone heats."""
    unit = sheet.air_conditioner
    other = sheet.electric_heater is not None or (unit is not None and unit.heats)
    return sheet.heater is not None and not other


class Fared(NamedTuple):
    """How a stack fares on one night, bedtime to waking.

    ``ac_wh`` and ``fuel_l`` are of the sheet's own equipment, ``heat_wh`` of all its heaters or of
    the ideal one. ``short_k`` is by how much the felt temperature misses what is wanted [K].
    """

    ac_wh: float
    heat_wh: float
    fuel_l: float
    felt_c: float  # warmest once settled, on the cold night coldest
    hours_missed: float
    short_k: float


def two_nights(sheet: Sheet, record: Record, climate: Climate | None) -> tuple[TestNight, ...]:
    """Return the hot and the cold night, as far as the site has them; the headline's first.

    Parameters
    ----------
    sheet : the van as it is
    record : its weather
    climate : of a year; None for made-up days, and where months are missing
    """
    asked = [(cold, of) for cold in (False, True) if (of := _month_of(sheet, climate, cold))]
    if not asked:
        asked = [(colder_than_wanted(sheet, season_of(sheet, record)), sheet)]
    if sheet.air_conditioner is None:
        asked.reverse()
    first = _hardest(asked[0][1], record, asked[0][0], None)
    heading = first.scene.place.heading
    return first, *(_hardest(of, record, cold, heading) for cold, of in asked[1:])


def _month_of(sheet: Sheet, climate: Climate | None, cold: bool) -> Sheet | None:
    """Return the sheet in the month it is asked about where that is of the season, else another."""
    if climate is None:
        return None
    means = climate.outside_temp
    extreme = int(means.argmin() if cold else means.argmax())
    own = float(means[sheet.month - 1])
    if (own - means.min() < means.max() - own) == cold:
        return sheet
    return sheet.model_copy(update={"stay": None, "month": extreme + 1})


def _hardest(sheet: Sheet, record: Record, cold: bool, heading: float | None) -> TestNight:
    """Return the hardest night of a sheet's season; its heading is found where None is given.

    Of many years, that with the extreme night by its outdoor mean, and of that the hardest of a
    short list: by the unit's energy or the heaters' heat, without them by felt temperature.
    """
    season = season_of(sheet, record)
    year, weather, nights = _short_list(sheet, season, cold)
    heading = sheet.heading if heading is None else heading
    scene = set_scene(sheet, weather, heading or 0.0)
    if heading is None:
        scene = worst_heading(scene, nights[0])
    way = way_on(sheet, cold).replace("held", "fresh")
    if len(nights) > 1:
        tried = side_by_side(lambda at: SeasonNight(at, night_of(scene, way, at)), nights)
        nights = [night.bedtime for night in hardest_first(scene, tried, cold)]
    mean = outdoors(weather, sheet, nights[0])
    charge = scene.start_charge
    if charge is None:
        charge = run_way(scene, way, nights[0]).charge_at(nights[:1])[0]
    return TestNight(cold, season.words, year, nights[0], mean, charge, scene)


def _short_list(
    sheet: Sheet, season: Season, cold: bool
) -> tuple[int | None, Weather, list[datetime]]:
    """Return the year and weather of the extreme night, and its spell's hardest by outdoor mean."""
    sign = -1.0 if cold else 1.0
    found: tuple[float, int | None, Weather, list[datetime]] | None = None
    for spell in season.spells:
        if not spell.nights:
            continue
        weather = spell.weather()
        means = {night: sign * outdoors(weather, sheet, night) for night in spell.nights}
        ranked = sorted(spell.nights, key=means.__getitem__, reverse=True)
        if found is None or means[ranked[0]] > found[0]:
            found = means[ranked[0]], spell.year, weather, ranked[:SHORT_LIST]
    assert found is not None, "a season has a night"
    return found[1:]


def fared(night: TestNight, scene: Scene) -> Fared:
    """Return how a van fares on a night: the night's own scene with another stack."""
    run = night_run(night, scene)
    sheet, held = scene.sheet, night.way == "held"
    result = judge(run, sheet, "fresh" if held else night.way, night.bedtime)
    part = night_rows(run, night.bedtime, sheet)
    heat = run.total("plant_w", part) / 3600.0 if held else result.heating_wh
    if not night.cold:
        short = max(0.0, result.felt_warmest_c - sheet.people.limit)
        felt, missed = result.felt_warmest_c, result.hours_above
    else:
        short = 0.0 if held else max(0.0, -result.margin_cold)
        felt, missed = result.felt_coldest_c, result.hours_below
    return Fared(result.ac_energy_wh, heat, result.fuel_l, felt, missed, short)


def night_run(night: TestNight, scene: Scene) -> Run:
    """Run the night; the bank stops nothing, for what lies beyond it ranks stacks too."""
    if night.way == "held":
        return _held(scene, night)
    return run_way(scene, night.way, night.bedtime, limited=False, charge=night.charge_ah)


def _held(scene: Scene, night: TestNight) -> Run:
    """Run a night in which an ideal heater holds the least that the sleepers want, day and night.

    Nothing is invented of its fuel: what it takes is heat, brought to the living space's air.
    """
    sheet, model, bedtime = scene.sheet, scene.model, night.bedtime
    end = bedtime + timedelta(minutes=sheet.people.sleep_minutes)
    plan = make_plan(
        sheet, model, scene.place, "fresh", bedtime - WARM_UP, end, [bedtime], night.charge_ah
    )
    least = np.full(len(plan.schedule.start), sheet.people.least)
    plan = replace(plan, schedule=plan.schedule._replace(heat_below=least))
    cabin = cabin_of(sheet, model, plan.outside.pressure)
    return execute(model, plan, cabin, scene.gear._replace(limited=0.0))
