"""Which night an answer is about: the one given, or the one found among its season's nights.

What does not belong here: the night itself (``night``), and which nights a season has
(``season``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from statistics import median

from vanclimate.answers.ahead import begin_table, finish_table
from vanclimate.answers.facing import at_spell, facing, wants_heat
from vanclimate.answers.figures import Figure
from vanclimate.answers.judge import WayResult, judge
from vanclimate.answers.scene import Scene, SeasonNight, hardest_first, run_way, survey
from vanclimate.answers.season import Season, Spell, given_nights, record_for, season_of
from vanclimate.errors import OptionError, UnitError
from vanclimate.site.record import Record, record_of
from vanclimate.site.suncheck import check_clock
from vanclimate.site.weather import Weather
from vanclimate.site.years import NOMINAL_YEAR
from vanclimate.van.place import read_calendar_day, read_night
from vanclimate.van.sheet import Sheet

WORDS = ("hottest", "coldest", "typical")  # for a night that is to be found
GIVEN, GIVEN_OF_YEARS = "given", "given, the hottest of its years"
YEARLESS = "given, but its year means nothing"  # in a typical year, or on made-up days


@dataclass(frozen=True)
class AskedNight:
    """A night as it is asked for; ``cold`` where the season is about heating."""

    sheet: Sheet
    season: Season
    when: str
    cold: bool


@dataclass(frozen=True)
class FoundNight:
    """The night, in its spell's weather, and all nights of its season."""

    scene: Scene
    spell: Spell
    bedtime: datetime
    which: str  # hottest, coldest, typical, or `GIVEN` and the like
    nights: tuple[SeasonNight, ...]


@dataclass(frozen=True)
class NightInShort:
    """A night's result and its season's, without all that a `night.Night` says besides."""

    sheet: Sheet
    result: WayResult
    nights: tuple[SeasonNight, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The verdict's numbers, as those of the whole answer."""
        return night_figures(self.result, self.nights)


def night_in_short(
    sheet: Sheet, weather: Weather | Record | None = None, when: str | None = None
) -> NightInShort:
    """Return the result of the night that `night.night` answers about, and no more.

    Parameters
    ----------
    sheet, weather, when : as there
    """
    asked = asked_night(sheet, weather, when)
    finish_table(begin_table(sheet.fans.bed_fan_speed))
    found = find_night(asked)
    way = found.scene.main_way
    cut = judge(run_way(found.scene, way, found.bedtime), asked.sheet, way, found.bedtime)
    result = with_whole_margins(cut, uncut(cut, found.nights, found.bedtime))
    return NightInShort(asked.sheet, result, found.nights)


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


def asked_night(sheet: Sheet, weather: Weather | Record | None, when: str | None) -> AskedNight:
    """Return which night is asked for; the sheet's own where ``when`` is None.

    Raises
    ------
    SheetError, WeatherError, OptionError
        when the site or the night asked for cannot be
    """
    record = record_of(weather) if isinstance(weather, Weather) else weather or record_for(sheet)
    chosen = when is None and sheet.is_guess("night")
    when = _read_when(when or sheet.night)
    if when not in WORDS and sheet.stay is None:
        month = read_calendar_day(when).month
        sheet = sheet.model_copy(update={"month": month})
    season = season_of(sheet, record)
    cold = when == "coldest" or ((when != "hottest" or chosen) and wants_heat(sheet, season))
    return AskedNight(sheet, season, "coldest" if chosen and cold else when, cold)


def _read_when(when: str) -> str:
    try:
        return read_night(when)
    except UnitError as error:
        raise OptionError("--night", when, error.allowed, error.hint) from None


def find_night(asked: AskedNight) -> FoundNight:
    """Return the night asked for, after a survey of its season."""
    sheet, season, when, cold = asked.sheet, asked.season, asked.when, asked.cold
    given = [] if when in WORDS else given_nights(sheet, season, when)
    asked_about = given or [(s, night) for s in season.spells for night in s.nights]
    scene = facing(sheet, asked_about, cold)
    check_clock(scene.place.weather)
    found = _survey_all(scene, season)
    wanted = {night for _, night in given}
    among = [x for x in found if not given or x[1].bedtime in wanted]
    spell, bedtime = _pick(scene, among, "hardest" if given else when, cold)
    nights = tuple(night for _, night in found)
    return FoundNight(at_spell(scene, season, spell), spell, bedtime, _kind(when, given), nights)


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


def _pick(
    scene: Scene, found: Sequence[tuple[Spell, SeasonNight]], when: str, cold: bool
) -> tuple[Spell, datetime]:
    """Return the hottest or coldest night, or the one whose strain is the median."""
    spells = {night.bedtime: spell for spell, night in found}
    ranked = hardest_first(scene, [night for _, night in found], cold)
    picked = ranked[int(median(range(len(ranked)))) if when == "typical" else 0].bedtime
    return spells[picked], picked


def uncut(result: WayResult, nights: Sequence[SeasonNight], bedtime: datetime) -> WayResult:
    """Return a night's result as it would go with no end to the bank, from the survey."""
    return next((n.result for n in nights if n.bedtime == bedtime), result)


def with_whole_margins(result: WayResult, whole: WayResult) -> WayResult:
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
