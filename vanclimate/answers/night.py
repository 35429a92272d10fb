"""The night: does the air conditioner get through it on the battery, and do fans alone do?"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, ClassVar

from vanclimate.answers.ahead import Ahead, begin_table, finish_table
from vanclimate.answers.ahead_on_sun import ahead_notes
from vanclimate.answers.cautions import night_cautions
from vanclimate.answers.comfort import Comfort, comfort_of
from vanclimate.answers.days import Day, days_of
from vanclimate.answers.figures import DEG, Figure
from vanclimate.answers.heated import HeatingDraw, heating_draw
from vanclimate.answers.judge import WayResult, judge, night_rows
from vanclimate.answers.ledgers import (
    Balance,
    ChargeRow,
    HeatRow,
    SunRow,
    WetRow,
    balances,
    charge_rows,
    heat_rows,
    sun_rows,
    wet_rows,
)
from vanclimate.answers.night_changes import NightChanges, night_changes
from vanclimate.answers.night_odds import NightOdds, night_odds
from vanclimate.answers.notes import night_notes
from vanclimate.answers.outside import Effect, outside_effects
from vanclimate.answers.scene import Scene, SeasonNight, run_way
from vanclimate.answers.season import Season
from vanclimate.answers.shown import Shown
from vanclimate.answers.trace import run_trace
from vanclimate.answers.which_night import (
    AskedNight,
    asked_night,
    find_night,
    night_figures,
    uncut,
    with_whole_margins,
)
from vanclimate.simulate.runs import Run
from vanclimate.site.record import Record
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    import pandas as pd

MOST_NIGHTS = 30  # in a row that are tried before it is called 'no end'
FULL = 0.995  # of the charge at bedtime: counts as put back


@dataclass(frozen=True)
class Refill:
    """Whether the day after puts the charge back, by sun, driving and shore; Ah.

    ``nights_in_a_row`` is None where such nights can go on as long as such days do.
    """

    charge_at_next_bedtime_ah: float
    charge_at_bedtime_ah: float
    solar_ah: float  # from waking to the next bedtime, as the others
    drive_ah: float
    shore_ah: float
    puts_back: bool
    nights_in_a_row: int | None


@dataclass(frozen=True)
class Night(Shown):
    """The answer; runs hold the traces by way."""

    also_told: ClassVar = ("holds", "nights_held")

    sheet: Sheet
    weather: Weather  # of the night's spell, at the van's spot
    season: Season
    heading: float = field(metadata=DEG)
    which: str  # hottest, coldest, typical, or how it was given
    bedtime: datetime
    waking: datetime
    main: str  # the way that the verdict is about: ac, heat or fans
    ways: tuple[WayResult, ...]
    nights: tuple[SeasonNight, ...]
    refill: Refill
    days: tuple[Day, ...]
    heating_draw: HeatingDraw
    heat: tuple[HeatRow, ...]
    wet: tuple[WetRow, ...]
    sun: tuple[SunRow, ...]
    charge: tuple[ChargeRow, ...]
    odds: NightOdds
    changes: NightChanges | None  # None where nothing failed
    effects: tuple[Effect, ...]
    comfort: Comfort
    balances: tuple[Balance, ...]
    cautions: tuple[str, ...]
    warnings: tuple[str, ...]
    runs: dict[str, Run]

    @property
    def result(self) -> WayResult:
        """The way the verdict is about."""
        return next(w for w in self.ways if w.way == self.main)

    @property
    def holds(self) -> bool:
        """Whether the night holds."""
        return self.result.holds

    @property
    def nights_held(self) -> int:
        """How many of the season's nights hold."""
        return sum(n.result.holds for n in self.nights)

    @property
    def by_year(self) -> dict[int, tuple[int, int]]:
        """Of real years, how many nights of each spell hold, and of how many."""
        counts: dict[int, tuple[int, int]] = {}
        for spell in self.season.spells:
            if spell.year is not None and spell.nights:
                own = [n.result.holds for n in self.nights if n.bedtime in spell.nights]
                counts[spell.year] = sum(own), len(own)
        return counts

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The verdict's numbers; first the margin that the verdict is about."""
        return night_figures(self.result, self.nights)

    @property
    def trace(self) -> pd.DataFrame:
        """The main way's night, bedtime to waking, as a DataFrame with units in its names."""
        run = self.runs[self.main]
        return run_trace(run, self.sheet, self.main, night_rows(run, self.bedtime, self.sheet))


def night(sheet: Sheet, weather: Weather | Record | None = None, when: str | None = None) -> Night:
    """Answer whether a night holds.

    Parameters
    ----------
    sheet : Sheet
    weather : Weather or Record, optional
        The sheet's own site unless given.
    when : str, optional
        ``hottest``, ``coldest``, ``typical`` or an ISO date, with its year or without; the sheet's
        own unless given.

    Raises
    ------
    SheetError, WeatherError, OptionError
        When the sheet, its site or the night asked for cannot be.
    """
    asked = asked_night(sheet, weather, when)
    table = begin_table(sheet.fans.bed_fan_speed)
    try:
        if sheet.air_conditioner is None:
            finish_table(table)
        return _answer(asked, table)
    except BaseException:
        if table is not None:
            table.kill()
            table.wait()
        raise


def _answer(asked: AskedNight, table: Ahead) -> Night:
    """Answer for a night given or to be found; ``table`` is waited for where it is needed."""
    found = find_night(asked)
    sheet, scene, bedtime, nights = asked.sheet, found.scene, found.bedtime, found.nights
    finish_table(table)
    runs, ways = {}, []
    for way in dict.fromkeys(("closed", "fresh" if asked.cold else "fans", scene.main_way)):
        runs[way] = run_way(scene, way, bedtime, keep_nodes=way == scene.main_way)
        ways.append(judge(runs[way], sheet, way, bedtime))
    main = runs[scene.main_way]
    part = night_rows(main, bedtime, sheet)
    result = ways[-1] = with_whole_margins(ways[-1], uncut(ways[-1], nights, bedtime))
    by_heat = result.failure is not None and result.failure.kind in ("heat", "cold")
    refilled, day = refill(scene, bedtime)
    return Night(
        sheet=sheet,
        weather=scene.place.weather,
        season=asked.season,
        heading=scene.place.heading,
        which=found.which,
        bedtime=bedtime,
        waking=bedtime + timedelta(minutes=sheet.people.sleep_minutes),
        main=scene.main_way,
        ways=tuple(ways),
        nights=nights,
        refill=refilled,
        days=days_of(day, bedtime),
        heating_draw=heating_draw(main, bedtime, part),
        heat=heat_rows(main, part),
        wet=wet_rows(main, part),
        sun=sun_rows(main, part),
        charge=charge_rows(main, part),
        odds=night_odds(scene, asked.season, bedtime, by_heat),
        changes=None if result.failure is None else night_changes(scene, bedtime),
        effects=outside_effects(scene, found.spell, bedtime),
        comfort=comfort_of(scene, bedtime, runs, [w.way for w in ways if w.fit_to_sleep]),
        balances=balances(main),
        cautions=night_cautions(sheet),
        warnings=(
            *night_notes(scene, main, part, result),
            *ahead_notes(scene, bedtime, main, ways[-1]),
        ),
        runs=runs,
    )


def refill(scene: Scene, bedtime: datetime) -> tuple[Refill, Run]:
    """Return whether the day after puts the charge back, and how many such nights in a row last.

    The same night and day are repeated, each starting with the charge the last one left. The first
    of these runs, from the warm-up to the next bedtime, comes with it.
    """
    sheet = scene.sheet
    hours = 24.0 - sheet.people.sleep_minutes / 60.0
    day = run_way(scene, scene.main_way, bedtime, hours_after=hours)
    first = _refill(day, night_rows(day, bedtime, sheet))
    run, charge = day, first.charge_at_bedtime_ah
    for count in range(MOST_NIGHTS):
        if not judge(run, sheet, scene.main_way, bedtime).holds:
            return replace(first, nights_in_a_row=count), day
        end = float(run.column("battery_charge_ah")[-1])
        if end >= charge - 1e-3 * scene.gear.cells.capacity:  # the next night starts no worse
            return first, day
        charge = end
        run = run_way(scene, scene.main_way, bedtime, hours_after=hours, charge=charge)
    return replace(first, nights_in_a_row=MOST_NIGHTS), day


def _refill(run: Run, part: slice) -> Refill:
    """Return what a night and the day after it make of the charge."""
    after = slice(part.stop, len(run.rows))
    charge = run.column("battery_charge_ah")
    first = run.column("battery_charge_rate_ah_s")[part.start] * run.width[part.start]
    begins, end = float(charge[part.start] - first), float(charge[-1])
    sun, drive, shore = (run.amp_hours(f"{x}_used_w", after) for x in ("solar", "drive", "shore"))
    return Refill(end, begins, sun, drive, shore, end >= FULL * begins > run.gear.kept, None)
