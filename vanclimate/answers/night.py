"""The night: does the air conditioner get through it on the battery, and do fans alone do?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from statistics import median
from typing import TYPE_CHECKING

from vanclimate.answers.ahead import Ahead, begin_table, finish_table
from vanclimate.answers.cautions import night_cautions
from vanclimate.answers.judge import WayResult, judge, night_rows
from vanclimate.answers.ledgers import (
    Balance,
    ChargeRow,
    HeatRow,
    SunRow,
    balances,
    charge_rows,
    heat_rows,
    sun_rows,
)
from vanclimate.answers.levers import Lever, find_levers
from vanclimate.answers.notes import night_notes
from vanclimate.answers.scene import (
    MonthNight,
    Scene,
    hottest_first,
    run_way,
    set_scene,
    survey,
    weather_of,
    worst_heading,
)
from vanclimate.errors import OptionError, near
from vanclimate.simulate.plan import bedtime_on, morning_charge
from vanclimate.simulate.runs import Run
from vanclimate.site.clock import to_nominal
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    import pandas as pd

MOST_NIGHTS = 30  # in a row that are tried before it is called 'no end'
FULL = 0.995  # of the charge at bedtime: counts as put back


@dataclass(frozen=True)
class Refill:
    """Whether tomorrow's sun puts the charge back.

    ``nights_in_a_row`` is None where such nights can go on as long as such days do.
    """

    charge_at_next_bedtime_ah: float
    charge_at_bedtime_ah: float
    solar_ah: float
    puts_back: bool
    nights_in_a_row: int | None


@dataclass(frozen=True)
class Night:
    """The answer; runs hold the traces by way."""

    sheet: Sheet
    weather: Weather
    heading: float
    which: str  # hottest, typical or given
    bedtime: datetime
    waking: datetime
    main: str
    ways: tuple[WayResult, ...]
    month: tuple[MonthNight, ...]
    refill: Refill
    heat: tuple[HeatRow, ...]
    sun: tuple[SunRow, ...]
    charge: tuple[ChargeRow, ...]
    levers: tuple[Lever, ...]
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
    def morning_ah(self) -> float:
        """Charge [Ah] that the morning's timed loads add to the reserve."""
        return morning_charge(self.sheet)

    @property
    def nights_held(self) -> int:
        """How many of the month's nights hold."""
        return sum(n.result.holds for n in self.month)

    @property
    def trace(self) -> pd.DataFrame:
        """The main way's night, bedtime to waking, as a DataFrame with units in its names."""
        from vanclimate.answers.trace import night_trace

        return night_trace(self)


def night(sheet: Sheet, weather: Weather | None = None, when: str | None = None) -> Night:
    """Answer whether a night holds.

    Parameters
    ----------
    sheet : Sheet
    weather : Weather, optional
        The sheet's own site unless given.
    when : str, optional
        ``hottest``, ``typical`` or an ISO date; the sheet's own unless given.

    Raises
    ------
    SheetError, WeatherError, OptionError
        When the sheet, its site or the night asked for cannot be.
    """
    weather = weather or weather_of(sheet)
    when = when or sheet.night
    given = _given_bedtime(sheet, weather, when)
    if given is not None:
        sheet = sheet.model_copy(update={"month": given.month})
    table = begin_table(sheet.fans.bed_fan_speed)
    try:
        if sheet.air_conditioner is None:
            finish_table(table)
        return _answer(sheet, weather, when, given, table)
    except BaseException:
        if table is not None:
            table.kill()
        raise


def _answer(
    sheet: Sheet, weather: Weather, when: str, given: datetime | None, table: Ahead
) -> Night:
    """Answer for a night given or to be found; ``table`` is waited for where it is needed."""
    scene = set_scene(sheet, weather, sheet.heading or 0.0)
    if sheet.heading is None:
        scene = worst_heading(scene, given)
    month = survey(scene)
    bedtime = given or _pick(scene, month, when)
    finish_table(table)
    runs, ways = {}, []
    for way in ("closed", "fans", "ac") if scene.main_way == "ac" else ("closed", "fans"):
        runs[way] = run_way(scene, way, bedtime)
        ways.append(judge(runs[way], sheet, way, bedtime))
    main = runs[scene.main_way]
    part = night_rows(main, bedtime, sheet)
    result = ways[-1] = _with_whole_margins(ways[-1], uncut(ways[-1], month, bedtime))
    by_heat = result.failure is not None and result.failure.kind == "heat"
    return Night(
        sheet=sheet,
        weather=weather,
        heading=scene.place.heading,
        which="given" if given else when,
        bedtime=bedtime,
        waking=bedtime + timedelta(minutes=sheet.people.sleep_minutes),
        main=scene.main_way,
        ways=tuple(ways),
        month=tuple(month),
        refill=refill(scene, bedtime),
        heat=heat_rows(main, part),
        sun=sun_rows(main, part),
        charge=charge_rows(main, part),
        levers=find_levers(scene, bedtime, by_heat),
        balances=balances(main),
        cautions=night_cautions(sheet),
        warnings=night_notes(scene, main, part, result),
        runs=runs,
    )


def uncut(result: WayResult, month: Sequence[MonthNight], bedtime: datetime) -> WayResult:
    """Return a night's result as it would go with no end to the bank, from the month's survey."""
    return next((n.result for n in month if n.bedtime == bedtime), result)


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


def _given_bedtime(sheet: Sheet, weather: Weather, when: str) -> datetime | None:
    """Return the bedtime of a night given by its date, or None for a night to be found."""
    if when in ("hottest", "typical"):
        return None
    try:
        day = date.fromisoformat(when)
    except ValueError:
        raise OptionError(
            "--night", when, "hottest, typical or a date such as 2025-07-14",
            near(when, ["hottest", "typical"]),
        ) from None  # fmt: skip
    if weather.typical:
        noon = datetime(day.year, day.month, day.day, 12, tzinfo=weather.start.tzinfo)
        moment = to_nominal(noon, weather.utc_offset_h)
        return bedtime_on(sheet, weather, moment.year, moment.month, moment.day)
    return bedtime_on(sheet, weather, day.year, day.month, day.day)


def _pick(scene: Scene, month: list[MonthNight], when: str) -> datetime:
    """Return the hottest night, or the one whose strain is the month's median."""
    ranked = hottest_first(scene, month)
    if when == "hottest":
        return ranked[0].bedtime
    return ranked[int(median(range(len(ranked))))].bedtime


def refill(scene: Scene, bedtime: datetime) -> Refill:
    """Return whether the day after puts the charge back, and how many such nights in a row last.

    The same night and day are repeated, each starting with the charge the last one left.
    """
    sheet = scene.sheet
    day = 24.0 - sheet.people.sleep_minutes / 60.0
    charge = scene.start_charge
    first: Refill | None = None
    count = 0
    while count < MOST_NIGHTS:
        run = run_way(scene, scene.main_way, bedtime, hours_after=day, charge=charge)
        end = float(run.column("battery_charge_ah")[-1])
        if first is None:
            part = night_rows(run, bedtime, sheet)
            after = slice(part.stop, len(run.rows))
            solar = run.total("solar_used_w", after) / 3600.0 / run.bank.voltage
            first = Refill(end, charge, solar, end >= FULL * charge, None)
        result = judge(run, sheet, scene.main_way, bedtime)
        if not result.holds:
            break
        count += 1
        if end >= charge - 1e-3 * scene.bank.capacity:  # the next night starts no worse
            return Refill(**{**vars(first), "nights_in_a_row": None})
        charge = end
    assert first is not None
    return Refill(**{**vars(first), "nights_in_a_row": count})
