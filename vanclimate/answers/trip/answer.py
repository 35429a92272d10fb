"""The trip: heater hours and fuel of several stops, and what runs out first.

What does not belong here: when and where its stops are (``itinerary``), running them (``halts``),
and what one of them comes to (``stops``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from vanclimate.answers.cautions import CLOSED, night_cautions
from vanclimate.answers.figures import Figure
from vanclimate.answers.futures.ensemble import Tick, quiet
from vanclimate.answers.ledgers import Balance, balances
from vanclimate.answers.scene import Scene, at_weather
from vanclimate.answers.shown import Shown
from vanclimate.answers.trip.halts import (
    Stage,
    run_stages,
    scene_at,
    tank_full,
    weather_at,
)
from vanclimate.answers.trip.itinerary import Halt, halts_of
from vanclimate.answers.trip.places import records_of, refuse, sheets_of, years_of
from vanclimate.answers.trip.purchases import Purchase, purchases
from vanclimate.answers.trip.ranges import DRAWS, Ranges, ranges_of
from vanclimate.answers.trip.stops import (
    Shortfall,
    StopResult,
    charge_short,
    cold_days,
    first_of_each,
    lived,
    results_of,
    total,
    unserved,
    water_a_day,
    water_wanted,
)
from vanclimate.answers.trip.years import YearResult, hardness, year_result
from vanclimate.site.record import Record, record_of, spans
from vanclimate.site.weather import Weather
from vanclimate.van.guesses import Guess, guesses_of
from vanclimate.van.sheet import Sheet

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Trip(Shown):
    """The answer."""

    also_told = (
        "nights", "shortfalls", "lasted_nights", "fuel_nights", "water_nights", "fuel_lacks_l",
        "water_lacks_l", "charge_short_ah", "unserved_ah",
    )  # fmt: skip

    sheet: Sheet
    stages: tuple[Stage, ...]  # one a stop
    results: tuple[StopResult, ...]  # what each comes to
    years: tuple[YearResult, ...]  # of real years without one given; the hardest first
    left_out: tuple[int, ...]  # years of which there is no whole data
    needs_l: tuple[float, ...]  # fuel of each stop, as if the tank never ran out
    needs_h: tuple[float, ...]  # heater hours of each, likewise
    purchases: tuple[Purchase, ...]
    ranges: Ranges
    balances: tuple[Balance, ...]
    guesses: tuple[Guess, ...]  # of the trip and the fresh water alone
    cautions: tuple[str, ...]

    @property
    def halts(self) -> tuple[Halt, ...]:
        """The stops with their moments."""
        return tuple(stage.halt for stage in self.stages)

    @property
    def shortfalls(self) -> tuple[Shortfall, ...]:
        """What ran out or was not held, each kind once, in order of time."""
        return first_of_each(self.results)

    @property
    def first(self) -> Shortfall | None:
        """What failed first; None of a trip that lasts."""
        return self.shortfalls[0] if self.shortfalls else None

    @property
    def nights(self) -> int:
        """Nights of all stops."""
        return sum(halt.nights for halt in self.halts)

    def total(self, name: str) -> float:
        """Return the sum of one of the stops' figures."""
        return total(self.results, name)

    @property
    def fuel_nights(self) -> float:
        """Nights more that the fuel left would last, as these on average; inf where none burns."""
        burnt = self.total("fuel_l")
        return self.results[-1].fuel_left_l / burnt * self.nights if burnt > 0.0 else np.inf

    @property
    def water_nights(self) -> float:
        """Nights more that the fresh water left would last; NaN where no tank is described."""
        tank = self.sheet.water
        if tank is None:
            return np.nan
        a_day = water_a_day(self.sheet, tank)
        return self.results[-1].water_left_l / a_day if a_day > 0.0 else np.inf

    @property
    def water_lacks_l(self) -> float:
        """Fresh water [L] that would be used beyond what the tank gives."""
        wanted = sum(water_wanted(self.sheet, halt) for halt in self.halts)
        return wanted - self.total("water_used_l")

    @property
    def fuel_lacks_l(self) -> float:
        """Fuel [L] that would be burnt beyond what the tank gives."""
        return sum(self.needs_l) - self.total("fuel_l")

    @property
    def charge_short_ah(self) -> float:
        """How far the charge falls at most below what must stay in it by night [Ah]."""
        return max(charge_short(stage) for stage in self.stages)

    @property
    def unserved_ah(self) -> float:
        """Charge [Ah] that loads asked for and did not get."""
        return sum(unserved(stage) for stage in self.stages)

    @property
    def charge_least_ah(self) -> float:
        """The lowest charge of the whole trip [Ah]."""
        return min(result.charge_least_ah for result in self.results)

    @property
    def cold_days(self) -> int:
        """Days on which people awake inside feel less than the WHO's 18 °C for an hour."""
        return cold_days(self.results)

    @property
    def awake_coldest_c(self) -> float:
        """The least that people awake inside feel [°C]; NaN where nobody is."""
        felt = [r.awake_coldest_c for r in self.results if r.awake_coldest_c == r.awake_coldest_c]
        return min(felt, default=np.nan)

    @cached_property
    def lasted_nights(self) -> int:
        """Nights that were over when the first thing failed."""
        if self.first is None:
            return self.nights
        asleep = timedelta(minutes=self.sheet.people.sleep_minutes)
        ends = [night + asleep for halt in self.halts for night in halt.bedtimes(self.sheet)]
        return sum(end <= self.first.at for end in ends)

    @property
    def lasts(self) -> bool:
        """Whether nothing fails or runs out on it."""
        return self.first is None

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The trip's numbers; first what its heating or cooling takes, or when it first fails."""
        fuel = Figure("fuel", 1e-3 * sum(self.needs_l), "volume", -1)
        heat = Figure("heat of all heating", self.total("heat_wh"), "energy", -1)
        cool = Figure("energy of the air conditioner", self.total("ac_wh"), "energy", -1)
        cold = Figure("cold days", self.cold_days, "count", -1)
        order = [fuel, heat, cool, cold]
        there = [self.sheet.heater is not None, self.sheet.heats,
                 self.sheet.air_conditioner is not None, True]  # fmt: skip
        headline = order.pop(there.index(True))
        nights = Figure("nights before anything fails", self.lasted_nights, "count", 1)
        return (
            *([headline, *order, nights] if self.lasts else [nights, headline, *order]),
            Figure("heater hours", self.total("heater_hours"), "hours", -1),
            Figure("heater starts", self.total("heater_starts"), "count", -1),
            Figure("AC hours", self.total("ac_hours"), "hours", -1),
            Figure("lowest charge", self.charge_least_ah, "charge", 1),
            Figure("nights too warm", self.total("nights_warm"), "count", -1),
            Figure("nights too cold", self.total("nights_cold"), "count", -1),
            Figure("fresh water", 1e-3 * self.total("water_used_l"), "volume", -1),
            Figure("trips of drawn vans that last", self.ranges.odds.share, "share", 1),
        )  # fmt: skip

    @property
    def trace(self) -> pd.DataFrame:
        """The whole trip, a row a step, with the number of its stop and its place."""
        from vanclimate.answers.trip.trace import trip_trace

        return trip_trace(self.stages)


def trip(
    sheet: Sheet, weather: Weather | Record | None = None, *, draws: int = DRAWS,
    tick: Tick = quiet,
) -> Trip:  # fmt: skip
    """Answer what a trip takes, whether it lasts, and what runs out first.

    Parameters
    ----------
    sheet : with its `trip`
    weather : of the sheet's own site, which its stops may be at; found by the sheet unless given
    draws : vans of drawn unknowns behind the ranges
    tick : told how many of them are done

    Raises
    ------
    SheetError, OptionError, WeatherError
        where the trip cannot be, or its places have no weather of its days
    """
    own = record_of(weather) if isinstance(weather, Weather) else weather
    there = sheets_of(sheet)
    records = records_of(sheet, there, own)
    begun: dict[int, tuple[Stage, ...]] = {}
    left_out, scenes = [], None
    for year in years_of(sheet, records):
        halts = halts_of(sheet, there, records, year)
        met = _weathers(sheet, halts, year is None)
        if met is None:
            left_out.append(year or 0)
            continue
        scenes = _scenes(sheet, halts, met, scenes)
        begun[year or 0] = lived(halts, scenes)
    if not begun:
        refuse(sheet, 0, "arrival", f"days without whole data in {spans(left_out)}",
               "days that the record has, with the three before")  # fmt: skip
    return _answer(sheet, begun, tuple(left_out), draws, tick)


def _weathers(sheet: Sheet, halts: Sequence[Halt], only: bool) -> list[Weather] | None:
    """Return each stop's weather; None, or where it is the only year an error, where one lacks."""
    found = []
    for halt in halts:
        weather = weather_at(halt)
        if weather is None and only:
            held = spans(halt.record.years)
            refuse(sheet, halt.index, "arrival", f"{halt.first} to {halt.last}",
                   f"days of {held} with whole data, and with the three before them")  # fmt: skip
        if weather is None:
            return None
        found.append(weather)
    return found


def _scenes(
    sheet: Sheet, halts: Sequence[Halt], met: Sequence[Weather], before: list[Scene] | None
) -> list[Scene]:
    """Return each stop's scene; of a further year with the headings of the first."""
    if before is not None:
        return [at_weather(scene, weather) for scene, weather in zip(before, met, strict=True)]
    return [scene_at(halt, weather) for halt, weather in zip(halts, met, strict=True)]


def _answer(
    sheet: Sheet, begun: dict[int, tuple[Stage, ...]], left_out: tuple[int, ...], draws: int,
    tick: Tick,
) -> Trip:  # fmt: skip
    """Return the answer about the hardest of the years."""
    results = {year: results_of(stages) for year, stages in begun.items()}
    years = sorted(
        (year_result(year, begun[year], found) for year, found in results.items()), key=hardness
    )
    hardest = years[0].year
    stages, found = begun[hardest], results[hardest]
    scenes = [stage.scene for stage in stages]
    asked = [stage.run for stage in stages]
    if any(x.kind == "fuel" for x in first_of_each(found)):
        halts, ways = [stage.halt for stage in stages], [stage.way for stage in stages]
        asked = [stage.run for stage in run_stages(halts, scenes, ways, endless=True)]
    needs = tuple(run.total("heater_fuel_l_s") for run in asked)
    filled = [stage.halt.stop.fuel for stage in stages]
    return Trip(
        sheet=sheet,
        stages=stages,
        results=found,
        years=tuple(years) if len(years) > 1 else (),
        left_out=left_out,
        needs_l=needs,
        needs_h=tuple(run.total("heater_on_share") / 3600.0 for run in asked),
        purchases=purchases(needs, filled, scenes[0].gear.burner.fuel, tank_full(scenes[0])),
        ranges=ranges_of(stages, draws, tick),
        balances=_books([balances(stage.run) for stage in stages]),
        guesses=_guesses(sheet),
        cautions=_cautions(sheet),
    )


def _books(books: Sequence[tuple[Balance, ...]]) -> tuple[Balance, ...]:
    """Return the books of all stops in one: what passed through, and what does not add up."""
    found = []
    for same in zip(*books, strict=True):
        passed, rest = (sum(getattr(b, x) for b in same) for x in ("throughput", "residual"))
        found.append(Balance(same[0].name, passed, rest, same[0].unit))
    return tuple(found)


def _guesses(sheet: Sheet) -> tuple[Guess, ...]:
    found = [
        g for i, stop in enumerate(sheet.trip) for g in guesses_of(stop, f"trip.{i}.", sheet.units)
    ]
    if sheet.water is not None:
        found += guesses_of(sheet.water, "water.", sheet.units)
    return tuple(found)


def _cautions(sheet: Sheet) -> tuple[str, ...]:
    return tuple(text for text in night_cautions(sheet) if text != CLOSED)
