"""A sheet at its place: what every night of it is run from.

Here: compiling a sheet, running one way of one night, and the survey of a month. Not here: what the
results mean (``judge``, ``night``).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any, TypeVar

import numpy as np

from vanclimate.answers.judge import WayResult, judge
from vanclimate.energy.bank import Bank
from vanclimate.equipment.air_conditioner import AirConditioner, rated_coil
from vanclimate.errors import OptionError, UnknownSiteError
from vanclimate.network.compile import Model, compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.simulate.plan import (
    Place,
    ac_start,
    bank_of,
    bedtime_on,
    cabin_of,
    load_arrays,
    make_plan,
    place_at,
    unit_of,
)
from vanclimate.simulate.runs import BASE_STEP, Run, execute
from vanclimate.site.weather import Weather, window
from vanclimate.units import show_clock
from vanclimate.van.parts import DesignDay
from vanclimate.van.sheet import Sheet

T = TypeVar("T")
R = TypeVar("R")

WORKERS = 2
DAY_BEFORE = 86400.0  # s of a survey's run that a night is judged with
WARM_UP = timedelta(hours=72)
HEADINGS = tuple(45.0 * i for i in range(8))
LEAST_COIL = -2.0  # °C: a coil colder than this at rating says that the data plate is misread
EARLIEST_START = 360  # minutes before bedtime
HOT_POWER = 1.35  # times the plate: the most the unit draws, at 52 °C outdoors
UNLIMITED = -1e12  # Ah


@dataclass(frozen=True)
class Scene:
    """A sheet compiled for its place and one heading."""

    sheet: Sheet
    model: Model
    place: Place
    unit: AirConditioner
    bank: Bank

    @property
    def main_way(self) -> str:
        """The way the verdict is about."""
        return "ac" if self.sheet.air_conditioner is not None else "fans"

    @property
    def start_charge(self) -> float:
        """Charge at bedtime [Ah]."""
        return self.sheet.battery.charge_at_bedtime * self.bank.capacity


def weather_of(sheet: Sheet) -> Weather:
    """Return the weather of the sheet's site: a shipped place, a file, or its design day."""
    from vanclimate.site.readers import find_site

    site = sheet.site
    if isinstance(site, str):
        try:
            return find_site(site, sheet.folder)
        except UnknownSiteError as error:
            sheet.refuse("site", found=error.found, allowed=error.allowed or "", hint=error.hint)
    try:
        return _design_day(site)
    except OptionError as error:
        sheet.refuse(
            f"site.design_day.{error.option}",
            found=error.found, allowed=error.allowed or "", hint=error.hint,
        )  # fmt: skip


def _design_day(site: DesignDay) -> Weather:
    from vanclimate.site.designday import design_day

    return design_day(
        low=site.low,
        high=site.high,
        latitude=site.latitude,
        longitude=site.longitude,
        elevation=site.elevation,
        relative_humidity=site.humidity,
        date=site.date,
    )


def set_scene(sheet: Sheet, weather: Weather, heading: float) -> Scene:
    """Return the scene of a sheet at a heading [deg].

    Raises
    ------
    SheetError
        When a data plate cannot be: more cooling than the airflow can carry.
    """
    ac = sheet.air_conditioner
    if ac is not None:
        _check_start(sheet)
        coil = rated_coil(ac.capacity, ac.blower_power, ac.airflow)
        if coil < LEAST_COIL:
            sheet.refuse(
                "air_conditioner.airflow",
                found=f"{ac.airflow * 1000:.0f} L/s, whose coil would be at {coil:.0f} °C",
                allowed="an airflow that carries the rated capacity, about 40 L/s a kW",
            )
    check_draw(sheet)
    check_inverter(sheet)
    return Scene(
        sheet,
        compile_shell(shell_of(sheet)),
        place_at(sheet, weather, heading),
        unit_of(sheet, float(weather.pressure.mean())),
        bank_of(sheet),
    )


def _check_start(sheet: Sheet) -> None:
    """Refuse a unit that is switched on in the morning or so late that the night is half over."""
    people = sheet.people
    early = (people.bedtime - ac_start(sheet)) % 1440
    late = (ac_start(sheet) - people.bedtime) % 1440
    if early > EARLIEST_START and late > people.sleep_minutes // 2:
        sheet.refuse(
            "air_conditioner.starts",
            found=show_clock(ac_start(sheet)),
            allowed="bedtime, up to 6 h before it, or in the first half of the night; "
            "by day see 'by day'",
        )


def check_inverter(sheet: Sheet) -> None:
    """Refuse an inverter smaller than one thing that hangs on it.

    Raises
    ------
    SheetError
        Naming the load. Several that exceed it together are only noted in the answer.
    """
    rating, unit = sheet.inverter.rating, sheet.air_conditioner
    largest = [(x.power, x.name) for x in sheet.loads if x.feed == "inverter"]
    if unit is not None and unit.feed == "inverter":
        largest.append((unit.power, "air conditioner"))
    power, name = max(largest, default=(0.0, ""))
    if power > rating:
        sheet.refuse(
            "inverter.rating",
            found=f"{rating:.0f} W",
            allowed=f"at least the {power:.0f} W of the {name}",
        )


def check_draw(sheet: Sheet) -> None:
    """Refuse a bank whose resistance cannot pass what the sheet draws at once.

    Raises
    ------
    SheetError
        When air conditioner (in its hottest hour) and loads together pass the greatest power the
        terminals can give, V² / 4R.
    """
    unit, inverter = sheet.air_conditioner, sheet.inverter
    minute = np.arange(1440.0) + 0.5
    drawn = load_arrays(sheet, minute)
    mains = drawn.ac + drawn.fridge_ac
    direct = drawn.dc + drawn.fridge_dc
    if unit is not None:
        mains, direct = (
            (mains + HOT_POWER * unit.power, direct)
            if unit.feed == "inverter"
            else (mains, direct + HOT_POWER * unit.power)
        )
    most = float((direct + mains / inverter.efficiency).max()) + inverter.idle
    if sheet.battery.resistance <= 0:
        return
    limit = sheet.battery.voltage**2 / (4 * sheet.battery.resistance)
    if most > limit:
        sheet.refuse(
            "battery.resistance",
            found=f"{1000 * sheet.battery.resistance:.0f} mohm, which passes {limit:.0f} W at most",
            allowed=f"a bank and cables that pass the {most:.0f} W drawn at once",
        )


# The sheet's sections that shape the shell, and those that shape what the site brings to it.
SHELL_PARTS = ("body", "stacks", "windows", "shade", "roof_panels")
PLACE_PARTS = ("shade", "roof_panels")


def changed_scene(scene: Scene, path: str, value: Any) -> Scene:
    """Return the scene with one value of its sheet changed; what the value leaves alone is kept."""
    sheet = scene.sheet.with_value(path, value)
    check_draw(sheet)
    part = path.split(".")[0]
    return Scene(
        sheet,
        compile_shell(shell_of(sheet)) if part in SHELL_PARTS else scene.model,
        place_at(sheet, scene.place.weather, scene.place.heading)
        if part in PLACE_PARTS
        else scene.place,
        unit_of(sheet, float(scene.place.weather.pressure.mean())),
        bank_of(sheet),
    )


def run_way(
    scene: Scene, way: str, bedtime: datetime, *, hours_after: float = 0.0,
    charge: float | None = None, limited: bool = True, warm_up: timedelta = WARM_UP,
    base: float = BASE_STEP, keep_nodes: bool = False,
) -> Run:  # fmt: skip
    """Run one way of a night from 72 h before bedtime to ``hours_after`` waking.

    ``charge`` [Ah] at bedtime is the sheet's unless given. With ``limited`` off the bank never
    stops anything and its charge may fall below nothing: what the night would have taken.
    """
    return _run(
        scene, way, (bedtime,), hours_after, charge, limited, warm_up, base, keep_nodes
    )  # fmt: skip


def _run(
    scene: Scene, way: str, bedtimes: Sequence[datetime], hours_after: float = 0.0,
    charge: float | None = None, limited: bool = True, warm_up: timedelta = WARM_UP,
    base: float = BASE_STEP, keep_nodes: bool = False,
) -> Run:  # fmt: skip
    sheet = scene.sheet
    end = bedtimes[-1] + timedelta(minutes=sheet.people.sleep_minutes, hours=hours_after)
    at_bedtime = scene.start_charge if charge is None else charge
    start = bedtimes[0] - warm_up
    plan = make_plan(sheet, scene.model, scene.place, way, start, end, bedtimes, at_bedtime)
    bank = scene.bank
    if not limited:
        bank = bank._replace(kept=UNLIMITED, cut_off=UNLIMITED)
    elif way != "ac":
        bank = bank._replace(kept=bank.cut_off)
    cabin = cabin_of(sheet, scene.model, plan.outside.pressure)
    run = execute(scene.model, plan, cabin, scene.unit, bank, base=base, keep_nodes=keep_nodes)
    return replace(run, bank=scene.bank)


def night_of(scene: Scene, way: str, bedtime: datetime, warm_up: timedelta = WARM_UP) -> WayResult:
    """Return how a way fares on a night, judged against the whole bank without its cuts.

    The bank's limits end a night; what lies beyond them is only needed to rank nights and guesses,
    and there the unlimited run is smooth.
    """
    run = run_way(scene, way, bedtime, limited=False, warm_up=warm_up)
    return judge(run, scene.sheet, way, bedtime)


@dataclass(frozen=True)
class MonthNight:
    """One night of the survey."""

    bedtime: datetime
    result: WayResult


def nights_of_month(scene: Scene) -> list[datetime]:
    """Return the bedtimes of the sheet's month that the weather covers."""
    weather = scene.place.weather
    start = weather.start
    if weather.synthetic:
        return [bedtime_on(scene.sheet, weather, start.year, start.month, start.day)]
    first = datetime(start.year, scene.sheet.month, 1, tzinfo=start.tzinfo)
    following = (first + timedelta(days=32)).replace(day=1)
    days = (following - first).days
    return [
        bedtime_on(scene.sheet, weather, start.year, scene.sheet.month, day + 1)
        for day in range(days)
    ]


def survey(scene: Scene) -> list[MonthNight]:
    """Return every night of the month, in order, each from the sheet's charge at bedtime.

    The month is run through in two spans, each after 72 h of its own.
    """
    nights = nights_of_month(scene)
    half = (len(nights) + 1) // 2
    spans = [span for span in (nights[:half], nights[half:]) if span]
    found = side_by_side(lambda span: _nights_of_span(scene, span), spans)
    return [night for span in found for night in span]


def _nights_of_span(scene: Scene, bedtimes: Sequence[datetime]) -> list[MonthNight]:
    """Return consecutive nights from one run in which the bank stops nothing."""
    way = scene.main_way
    whole = _run(scene, way, bedtimes, limited=False)
    out = []
    for bedtime in bedtimes:
        second = (bedtime - whole.start).total_seconds()
        length = 60.0 * scene.sheet.people.sleep_minutes
        part = whole.between(second - DAY_BEFORE, second + length)
        out.append(MonthNight(bedtime, judge(part, scene.sheet, way, bedtime)))
    return out


def side_by_side(function: Callable[[T], R], items: Sequence[T]) -> list[R]:
    """Return the function's results in the items' order, two at a time.

    The compiled loop holds no lock, so two runs use two cores; the results do not depend on it.
    """
    with ThreadPoolExecutor(max_workers=WORKERS) as pool:
        return list(pool.map(function, items))


def hottest_first(scene: Scene, nights: list[MonthNight]) -> list[MonthNight]:
    """Return the nights by the unit's energy, most first; without a unit by felt temperature."""

    def strain(night: MonthNight) -> tuple[float, float]:
        r = night.result
        return (r.ac_energy_wh if scene.main_way == "ac" else 0.0), r.felt_warmest_c

    return sorted(nights, key=strain, reverse=True)


def tightness(result: WayResult) -> tuple[bool, float]:
    """Return a key by which the worse of two results of one night comes first."""
    return result.holds, min(result.margin_charge, result.margin_degrees / 10)


def worst_heading(sheet: Sheet, weather: Weather, bedtime: datetime | None) -> float:
    """Return the heading of eight at which a night leaves the least margin.

    Without a night given, the month's night of the highest mean outdoor temperature is taken.
    """
    scenes = {heading: set_scene(sheet, weather, heading) for heading in HEADINGS}
    if bedtime is None:
        bedtime = warmest_outdoors(scenes[0.0])

    def tried(heading: float) -> tuple[bool, float]:
        scene = scenes[heading]
        return tightness(night_of(scene, scene.main_way, bedtime))

    results = dict(zip(HEADINGS, side_by_side(tried, HEADINGS), strict=True))
    return min(results, key=lambda heading: results[heading])


def warmest_outdoors(scene: Scene) -> datetime:
    """Return the bedtime of the month's night that is warmest outdoors."""
    weather = scene.place.weather
    hours = max(1, round(scene.sheet.people.sleep_minutes / 60))
    return max(
        nights_of_month(scene),
        key=lambda bedtime: float(weather.temp_air[window(weather, bedtime, hours)].mean()),
    )
