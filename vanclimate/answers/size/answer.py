"""What AC, heater, bank, roof and DC-DC charger a build needs: the smallest sizes that are enough.

What does not belong here: the sizes there are (``ladders``), running them (``runs``) and
the reckoning by hand (``hand``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from vanclimate.answers.cautions import night_cautions
from vanclimate.answers.figures import DEG, Figure
from vanclimate.answers.futures.change import Stage, silent
from vanclimate.answers.futures.odds import Odds, odds_of
from vanclimate.answers.futures.stays import off_shore
from vanclimate.answers.futures.worlds import MOST_DAYS, Worlds, worlds_of
from vanclimate.answers.last import check_asked
from vanclimate.answers.ledgers import Balance, balances
from vanclimate.answers.season import Season, record_for
from vanclimate.answers.shown import Shown
from vanclimate.answers.size.runs import WorstHeld, bank_needed
from vanclimate.answers.size.seasons import seasons_for
from vanclimate.answers.size.work import Missing, Sized, Work, missing_of
from vanclimate.answers.trace import run_trace
from vanclimate.errors import OptionError
from vanclimate.site.record import Record, record_of
from vanclimate.site.suncheck import check_clock
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import SEED

if TYPE_CHECKING:
    import pandas as pd

DAYS, ODDS, FUTURES = 1, 0.9, 500


@dataclass(frozen=True)
class Size(Shown):
    """The answer."""

    sheet: Sheet
    weather: Weather
    season: Season
    heading: float = field(metadata=DEG)
    main: str
    days: int
    asked: float  # share of stays that must hold
    seed: int
    sized: tuple[Sized, ...]
    missing: tuple[Missing, ...]  # devices that are not sized
    together: Odds  # stays of the bank's season that hold on all, with the sizes found
    bank_needed_ah: float  # by the asked share of stays, not rounded to batteries
    balances: tuple[Balance, ...]
    cautions: tuple[str, ...]
    held: WorstHeld

    def of(self, name: str) -> Sized | None:
        """Return a device's size."""
        return next((one for one in self.sized if one.name == name), None)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The bank that is needed and all sizes; infinite where none of a device's is enough."""
        sizes = (Figure(one.name, np.inf if one.size is None else one.size, one.quantity, -1)
                 for one in self.sized)  # fmt: skip
        return Figure("charge of a bank that is needed", self.bank_needed_ah, "charge", -1), *sizes

    @cached_property
    def trace(self) -> pd.DataFrame:
        """The stay that sets the AC, without one the bank, step by step."""
        held = self.held
        return run_trace(held.run, held.scene.sheet, self.main, held.part)


def size(
    sheet: Sheet, weather: Weather | Record | None = None, *, days: int = DAYS, odds: float = ODDS,
    futures: int = FUTURES, seed: int = SEED, stage: Stage = silent,
) -> Size:  # fmt: skip
    """Answer what sizes a build needs.

    Each device of the sheet is sized on those found before it: AC and heater by nights that hold
    on heat and cold whatever the bank; the bank by stays of ``days``; the roof by days without
    driving that bring back what a day takes; the DC-DC charger by days with the sheet's driving.

    Parameters
    ----------
    sheet : Sheet
    weather : Weather or Record, optional
        The sheet's own site unless given.
    days : nights in a row that the bank must bridge
    odds : the share of stays that must hold
    futures : how many stays are tried
    seed : of the draws
    stage : returns what to tell of the progress of a stage of the work

    Raises
    ------
    SheetError, WeatherError, OptionError
        when the sheet, its site or what is asked cannot be
    """
    check_asked(odds, futures, seed)
    if not 1 <= days <= MOST_DAYS:
        raise OptionError("--days", days, f"1 to {MOST_DAYS}")
    record = record_of(weather) if isinstance(weather, Weather) else weather or record_for(sheet)
    sheet = off_shore(sheet)
    seasons = seasons_for(sheet, record, timedelta(days=days + 1))
    worlds: dict[str, Worlds] = {}
    for key, (own, season) in seasons.items():  # made-up days are one season for both
        same = next((one for one in worlds.values() if one.season is season), None)
        worlds[key] = same or worlds_of(own, season, 1, futures, seed)
    for one in worlds.values():
        check_clock(one.scenes[0].place.weather)
    work = Work(sheet, worlds, odds, stage)
    work.plant()
    work.bank(days, futures)
    work.sources()
    lead = "AC" if "AC" in work.held else "bank"
    held, found, bank = work.held[lead], work.found[lead], work.found["bank"].tried
    failed = bank.columns["failed"]
    return Size(
        sheet=sheet,
        weather=held.scene.place.weather,
        season=found.tried.worlds.season,
        heading=held.scene.place.heading,
        main=held.scene.main_way,
        days=days,
        asked=odds,
        seed=seed,
        sized=tuple(work.sized),
        missing=(*missing_of(sheet), *work.none),
        together=odds_of(int((failed == 0).sum()), len(failed), bank.worlds.independent),
        bank_needed_ah=bank_needed(bank, odds),
        balances=balances(held.run),
        cautions=night_cautions(sheet),
        held=held,
    )
