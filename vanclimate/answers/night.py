"""The night: does the air conditioner get through it on the battery, and do fans alone do?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from statistics import median
from typing import TYPE_CHECKING

import numpy as np

from vanclimate.answers.ahead import Ahead, begin_table, finish_table
from vanclimate.answers.cautions import night_cautions
from vanclimate.answers.judge import COLD, WayResult, early_minutes, judge, night_rows
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
from vanclimate.answers.scene import (
    MonthNight,
    Scene,
    hottest_first,
    nights_of_month,
    run_way,
    set_scene,
    survey,
    weather_of,
    worst_heading,
)
from vanclimate.errors import OptionError, near
from vanclimate.simulate.plan import morning_charge
from vanclimate.simulate.runs import Run
from vanclimate.site.clock import to_nominal
from vanclimate.site.sun import horizontal_residual
from vanclimate.site.weather import Weather, window
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    import pandas as pd

MOST_NIGHTS = 30  # in a row that are tried before it is called 'no end'
SUN_GAP = (
    20.0  # W/m2 RMS: eight measured years stay below 8 in any month; an hour off gives 28 to 63
)
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
    heading = sheet.heading
    if heading is None:
        heading = worst_heading(sheet, weather, given)
    scene = set_scene(sheet, weather, heading)
    month = survey(scene)
    bedtime = given or _pick(scene, month, when)
    finish_table(table)
    runs, ways = {}, []
    for way in ("closed", "fans", "ac") if scene.main_way == "ac" else ("closed", "fans"):
        runs[way] = run_way(scene, way, bedtime)
        ways.append(judge(runs[way], sheet, way, bedtime))
    main = runs[scene.main_way]
    part = night_rows(main, bedtime, sheet)
    result = ways[-1] = _uncut(ways[-1], month, bedtime)
    by_heat = result.failure is not None and result.failure.kind == "heat"
    return Night(
        sheet=sheet,
        weather=weather,
        heading=heading,
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
        warnings=_warnings(scene, main, part, result),
        runs=runs,
    )


def _uncut(result: WayResult, month: list[MonthNight], bedtime: datetime) -> WayResult:
    """Return a result with the margins of the night as it would go with no end to the bank.

    Where the bank stops the night, how far it falls short is only seen beyond its limits.
    """
    if result.failure is None or result.failure.kind != "charge":
        return result
    whole = next((n.result for n in month if n.bedtime == bedtime), result)
    return replace(
        result,
        margin_charge=whole.margin_charge,
        margin_hours=whole.margin_hours,
        margin_degrees=whole.margin_degrees,
    )


def _given_bedtime(sheet: Sheet, weather: Weather, when: str) -> datetime | None:
    """Return the bedtime of a night given by its date, or None for a night to be found."""
    from vanclimate.simulate.plan import bedtime_on

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


def _month_rows(scene: Scene) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Return the weather's hours from the month's first night to its last."""
    nights = nights_of_month(scene)
    hours = 24 * max(1, (nights[-1] - nights[0]).days)
    return window(scene.place.weather, nights[0], hours)


def _warnings(scene: Scene, run: Run, part: slice, result: WayResult) -> tuple[str, ...]:
    """Return what lay outside a model's range, or beyond what a part can give."""
    from vanclimate.equipment.air_conditioner import OUTDOOR_RANGE

    shell = scene.model.shell
    out = [*scene.sheet.notes, *shell.notes, *scene.place.weather.notes]
    if result.felt_coldest_c < COLD:
        out.append(
            "this answer is about heat only: no heating is counted, and inside it feels colder "
            "than 18 °C (64 °F), the least that is advised indoors"
        )
    month = _month_rows(scene)
    gap = float(np.sqrt(np.mean(horizontal_residual(scene.place.weather)[month] ** 2)))
    if gap > SUN_GAP:
        out.append(
            f"the weather's sun does not fit the sun's height ({gap:.0f} W/m² apart): look at the "
            "file's time zone, stamps and place"
        )
    low, high = OUTDOOR_RANGE
    outdoor = run.outdoor[part]
    if scene.main_way == "ac" and (outdoor.min() < low or outdoor.max() > high):
        out.append(
            f"outdoor temperature {outdoor.min():.0f} to {outdoor.max():.0f} °C leaves the range "
            f"{low:.0f} to {high:.0f} °C of the air conditioner's slopes, which are held beyond it"
        )
    early = early_minutes(scene.sheet) if scene.main_way == "ac" else 0
    if early:
        before = run.between(run.seconds[part.start] - 60.0 * early, run.seconds[part.start])
        charge = before.total("draw_w") / 3600.0 / run.bank.voltage
        out.append(
            f"the air conditioner starts {early} min before bedtime: the charge at bedtime is "
            f"taken as given, so the {charge:.0f} Ah drawn until then must already be off it"
        )
    inverter = scene.sheet.inverter
    plan = run.plan.schedule
    mains = (plan.load_ac + plan.fridge_ac)[run.segment]
    if scene.unit.on_inverter:
        mains = mains + run.column("ac_power_w")
    worst = float(mains.max()) if len(mains) else 0.0
    if worst > inverter.rating:
        out.append(
            f"the inverter is asked for {worst:.0f} W at once, its rating is "
            f"{inverter.rating:.0f} W"
        )
    return tuple(out)
