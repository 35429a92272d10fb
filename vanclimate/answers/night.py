"""The night: does the air conditioner get through it on the battery, and do fans alone do?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from statistics import median
from typing import TYPE_CHECKING, ClassVar

from vanclimate.answers.ahead import Ahead, begin_table, finish_table
from vanclimate.answers.ahead_on_sun import ahead_notes
from vanclimate.answers.cautions import night_cautions
from vanclimate.answers.comfort import Comfort, comfort_of
from vanclimate.answers.days import Day, days_of
from vanclimate.answers.facing import at_spell, facing, wants_heat
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
from vanclimate.answers.night_odds import NightOdds, night_odds
from vanclimate.answers.notes import night_notes
from vanclimate.answers.outside import Effect, outside_effects
from vanclimate.answers.scene import (
    Scene,
    SeasonNight,
    hardest_first,
    run_way,
    survey,
)
from vanclimate.answers.season import Season, Spell, given_nights, record_for, season_of
from vanclimate.errors import OptionError, UnitError, near
from vanclimate.simulate.runs import Run
from vanclimate.site.record import Record, record_of
from vanclimate.site.suncheck import check_clock
from vanclimate.site.weather import Weather
from vanclimate.site.years import NOMINAL_YEAR
from vanclimate.van.place import read_calendar_day
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    import pandas as pd

WORDS = ("hottest", "coldest", "typical")  # for a night that is to be found
GIVEN, GIVEN_OF_YEARS = "given", "given, the hottest of its years"
YEARLESS = "given, but its year means nothing"  # in a typical year, or on made-up days
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
class Night:
    """The answer; runs hold the traces by way."""

    also_told: ClassVar = ("holds", "nights_held")

    sheet: Sheet
    weather: Weather  # of the night's spell, at the van's spot
    season: Season
    heading: float = field(metadata=DEG)
    which: str  # hottest, coldest, typical, `GIVEN`, `GIVEN_OF_YEARS` or `YEARLESS`
    bedtime: datetime
    waking: datetime
    main: str
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
        from vanclimate.answers.trace import night_trace

        return night_trace(self)


def night_figures(r: WayResult, nights: Sequence[SeasonNight]) -> tuple[Figure, ...]:
    """Return the figures of a night's result among the season's nights."""
    margins = [
        Figure("margin of charge", r.margin_charge, "share", 1),
        Figure("margin of temperature", r.margin_degrees, "temperature_difference", 1),
    ]
    return (
        *(margins if r.failure is None or r.failure.kind == "charge" else reversed(margins)),
        Figure("nights that hold", sum(n.result.holds for n in nights), "count", 1),
        Figure("charge at waking", r.charge_at_waking, "share", 1),
        Figure("hours to spare", r.margin_hours, "hours", 1),
        Figure("felt warmest", r.felt_warmest_c, "temperature"),
        Figure("felt coldest", r.felt_coldest_c, "temperature"),
        Figure("drawn from the bank", r.drawn_ah, "charge", -1),
        Figure("energy of the air conditioner", r.ac_energy_wh, "energy", -1),
        Figure("heat of all heating", r.heating_wh, "energy", -1),
        Figure("fuel", r.fuel_l * 1e-3, "volume", -1),
    )


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
    record = record_of(weather) if isinstance(weather, Weather) else weather or record_for(sheet)
    chosen = when is None and sheet.is_guess("night")
    when = _read_when(when or sheet.night)
    if when not in WORDS and sheet.stay is None:
        month = read_calendar_day(when).month
        sheet = sheet.model_copy(update={"month": month})
    season = season_of(sheet, record)
    cold = when == "coldest" or ((when != "hottest" or chosen) and wants_heat(sheet, season))
    if chosen and cold:
        when = "coldest"
    table = begin_table(sheet.fans.bed_fan_speed)
    try:
        if sheet.air_conditioner is None:
            finish_table(table)
        return _answer(sheet, season, when, cold, table)
    except BaseException:
        if table is not None:
            table.kill()
            table.wait()
        raise


def _read_when(when: str) -> str:
    if when in WORDS:
        return when
    try:
        return str(read_calendar_day(when))
    except UnitError:
        allowed = "hottest, coldest, typical or a date such as 2025-07-14"
        raise OptionError("--night", when, allowed, near(when, WORDS)) from None


def _answer(sheet: Sheet, season: Season, when: str, cold: bool, table: Ahead) -> Night:
    """Answer for a night given or to be found; ``table`` is waited for where it is needed."""
    given = [] if when in WORDS else given_nights(sheet, season, when)
    asked_about = given or [(s, night) for s in season.spells for night in s.nights]
    scene = facing(sheet, asked_about, cold)
    check_clock(scene.place.weather)
    found = _survey_all(scene, season)
    nights = [night for _, night in found]
    asked = {night for _, night in given}
    among = [x for x in found if not given or x[1].bedtime in asked]
    spell, bedtime = _pick(scene, among, "hardest" if given else when, cold)
    scene = at_spell(scene, season, spell)
    finish_table(table)
    runs, ways = {}, []
    for way in dict.fromkeys(("closed", "fresh" if cold else "fans", scene.main_way)):
        runs[way] = run_way(scene, way, bedtime, keep_nodes=way == scene.main_way)
        ways.append(judge(runs[way], sheet, way, bedtime))
    main = runs[scene.main_way]
    part = night_rows(main, bedtime, sheet)
    result = ways[-1] = _with_whole_margins(ways[-1], uncut(ways[-1], nights, bedtime))
    by_heat = result.failure is not None and result.failure.kind in ("heat", "cold")
    refilled, day = refill(scene, bedtime)
    return Night(
        sheet=sheet,
        weather=scene.place.weather,
        season=season,
        heading=scene.place.heading,
        which=_kind(when, given),
        bedtime=bedtime,
        waking=bedtime + timedelta(minutes=sheet.people.sleep_minutes),
        main=scene.main_way,
        ways=tuple(ways),
        nights=tuple(nights),
        refill=refilled,
        days=days_of(day, bedtime),
        heating_draw=heating_draw(main, bedtime, part),
        heat=heat_rows(main, part),
        wet=wet_rows(main, part),
        sun=sun_rows(main, part),
        charge=charge_rows(main, part),
        odds=night_odds(scene, season, bedtime, by_heat),
        effects=outside_effects(scene, spell, bedtime),
        comfort=comfort_of(scene, bedtime, runs, [w.way for w in ways if w.fit_to_sleep]),
        balances=balances(main),
        cautions=night_cautions(sheet),
        warnings=(
            *night_notes(scene, main, part, result),
            *ahead_notes(scene, bedtime, main, ways[-1]),
        ),
        runs=runs,
    )


def _kind(when: str, given: Sequence[tuple[Spell, datetime]]) -> str:
    """Return which night it is: a word, or how it was given."""
    if not given:
        return when
    if len(given) > 1:
        return GIVEN_OF_YEARS
    year = read_calendar_day(when).year
    return GIVEN if given[0][0].year is not None or year in (None, NOMINAL_YEAR) else YEARLESS


def _survey_all(scene: Scene, season: Season) -> list[tuple[Spell, SeasonNight]]:
    """Return all nights of all years, one year's weather in memory at a time."""
    found = []
    for spell in season.spells:
        if spell.nights:
            here = at_spell(scene, season, spell)
            found += [(spell, night) for night in survey(here, spell.nights)]
    return found


def uncut(result: WayResult, nights: Sequence[SeasonNight], bedtime: datetime) -> WayResult:
    """Return a night's result as it would go with no end to the bank, from the survey."""
    return next((n.result for n in nights if n.bedtime == bedtime), result)


def _with_whole_margins(result: WayResult, whole: WayResult) -> WayResult:
    """Return a result that the bank ended with the margins of the whole night.

    How far the charge falls short is only seen beyond the bank's limits.
    """
    if result.failure is None or result.failure.kind != "charge":
        return result
    return replace(
        result,
        margin_charge=whole.margin_charge,
        margin_hours=whole.margin_hours,
        margin_degrees=whole.margin_degrees,
    )


def _pick(
    scene: Scene, found: Sequence[tuple[Spell, SeasonNight]], when: str, cold: bool
) -> tuple[Spell, datetime]:
    """Return the hottest or coldest night, or the one whose strain is the median."""
    spells = {night.bedtime: spell for spell, night in found}
    ranked = hardest_first(scene, [night for _, night in found], cold)
    picked = ranked[int(median(range(len(ranked)))) if when == "typical" else 0].bedtime
    return spells[picked], picked


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
