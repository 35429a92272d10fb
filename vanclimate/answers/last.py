"""Will it last: stays of some days without shore, over the season's weather and all unknowns."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property
from math import ceil
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.cautions import night_cautions
from vanclimate.answers.figures import DEG, SHARE, Figure
from vanclimate.answers.futures.change import Search, Stage, find_changes, silent
from vanclimate.answers.futures.odds import Mover, Odds, movers, odds_of
from vanclimate.answers.futures.stays import (
    CAUSES,
    COLUMN,
    charge_at_arrival,
    judge_stays,
    off_shore,
    run_stays,
    stays_of,
)
from vanclimate.answers.futures.worlds import Columns, Worlds, worlds_of
from vanclimate.answers.ledgers import Balance, balances
from vanclimate.answers.scene import Scene
from vanclimate.answers.season import Season, record_for, season_of
from vanclimate.answers.shown import Shown
from vanclimate.answers.trace import run_trace
from vanclimate.errors import OptionError
from vanclimate.simulate.runs import Run
from vanclimate.site.record import Record, record_of
from vanclimate.site.suncheck import check_clock
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import SEED

if TYPE_CHECKING:
    import pandas as pd

DAYS, ODDS, FUTURES = 3, 0.9, 1000
MOST_FUTURES = 100_000


@dataclass(frozen=True)
class Cause:
    """What stays fail on first: how many, and the day on which half of those have failed."""

    kind: str  # one of `stays.CAUSES`
    count: int
    day: int


@dataclass(frozen=True)
class HardStay:
    """The sheet's own van in the hardest stay: how it fares, and its run."""

    begins: datetime
    failed: str
    failed_at: datetime | None
    charge_margin: float = field(metadata=SHARE)  # of the bank
    warm_margin_k: float
    cold_margin_k: float
    fuel_l: float
    run: Run


@dataclass(frozen=True)
class Last(Shown):
    """The answer."""

    sheet: Sheet
    weather: Weather
    season: Season
    heading: float = field(metadata=DEG)
    main: str
    days: int
    asked: float = field(metadata=SHARE)
    seed: int
    on_shore: bool  # shore counted as the sheet has it
    charge_at_arrival_ah: float
    odds: Odds
    causes: tuple[Cause, ...]
    margin_low: float = field(metadata=SHARE)  # 10th to 90th percentile, as a fraction of the bank
    margin_high: float = field(metadata=SHARE)
    movers: tuple[Mover, ...]
    search: Search | None  # None where it lasts, or no change was looked for
    hardest: HardStay
    balances: tuple[Balance, ...]
    cautions: tuple[str, ...]
    futures: Columns

    @property
    def lasts(self) -> bool:
        """Whether the odds are those that are asked."""
        return self.odds.share >= self.asked

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The answer's numbers, its headline first: a margin, for a share ends at 0 and at 1.

        What a run takes beyond an empty bank is a margin's, no charge that is left. Beyond a whole
        bank too little a margin says no more.
        """
        left = np.maximum(self.futures["charge_end_ah"], 0.0)
        least, middle, most = np.clip(
            [self.margin_low, float(np.median(self.futures["margin"])), self.margin_high], -1.0, 1.0
        )
        return (
            Figure("margin, half have more", float(middle), "share", 1),
            Figure("share of stays that last", self.odds.share, "share", 1),
            Figure("margin, 1 in 10 is less", float(least), "share", 1),
            Figure("margin, 1 in 10 is more", float(most), "share", 1),
            Figure("charge at the end, mean", float(left.mean()), "charge", 1),
            Figure("fuel in a stay, mean", float(self.futures["fuel_l"].mean()) / 1e3, "volume",
                   -1),
            Figure("heater hours in a stay, mean", float(self.futures["heater_h"].mean()), "hours",
                   -1),
        )  # fmt: skip

    @cached_property
    def trace(self) -> pd.DataFrame:
        """The sheet's own van in its hardest stay, step by step."""
        return run_trace(self.hardest.run, self.sheet, self.main, self.part)

    @property
    def part(self) -> slice:
        """The rows of the hardest stay in its run."""
        run = self.hardest.run
        begins = (self.hardest.begins - run.start).total_seconds()
        return slice(int(np.searchsorted(run.seconds[:-1], begins - 1e-3)), len(run.rows))


def last(
    sheet: Sheet, weather: Weather | Record | None = None, *, days: int = DAYS, odds: float = ODDS,
    futures: int = FUTURES, seed: int = SEED, shore: bool = False, search: bool = True,
    stage: Stage = silent,
) -> Last:  # fmt: skip
    """Answer whether a van lasts some days.

    Parameters
    ----------
    sheet : Sheet
    weather : Weather or Record, optional
        The sheet's own site unless given.
    days : nights in a row, with the days between them
    odds : the share of stays that must last
    futures : how many stays are tried
    seed : of the draws
    shore : whether shore power counts as the sheet has it; else there is none
    search : whether the smallest change is looked for where it does not last
    stage : returns what to tell of the progress of a stage of the work

    Raises
    ------
    SheetError, WeatherError, OptionError
        when the sheet, its site or what is asked cannot be
    """
    check_asked(odds, futures, seed)
    record = record_of(weather) if isinstance(weather, Weather) else weather or record_for(sheet)
    if not shore:
        sheet = off_shore(sheet)
    season = season_of(sheet, record, timedelta(days=days + 1))
    worlds = worlds_of(sheet, season, days, futures, seed)
    check_clock(worlds.scenes[0].place.weather)
    columns = worlds.run(tick=stage("futures"))
    held = int((columns["failed"] == 0).sum())
    share = odds_of(held, len(columns["failed"]), worlds.independent)
    found = None
    if share.share < odds and search:
        found = find_changes(worlds, columns, odds, stage)
    scene, hardest = hardest_stay(worlds, columns)
    low, high = np.quantile(columns["margin"], [0.1, 0.9])
    return Last(
        sheet=sheet,
        weather=scene.place.weather,
        season=season,
        heading=scene.place.heading,
        main=scene.main_way,
        days=days,
        asked=odds,
        seed=seed,
        on_shore=shore and sheet.plugs_in,
        charge_at_arrival_ah=charge_at_arrival(scene),
        odds=share,
        causes=causes_of(columns),
        margin_low=float(low),
        margin_high=float(high),
        movers=movers(sheet, seed, by_draw(columns)),
        search=found,
        hardest=hardest,
        balances=balances(hardest.run),
        cautions=night_cautions(sheet),
        futures=columns,
    )


def check_asked(odds: float, futures: int, seed: int = SEED) -> None:
    """Refuse odds, a number of futures and a seed that nothing can be said of.

    Raises
    ------
    OptionError
    """
    if not 0.0 < odds < 1.0:
        allowed = "more than 0 %, less than 100 %, such as '90 %'"
        raise OptionError("--odds", f"{odds:.0%}", allowed)
    if not 1 <= futures <= MOST_FUTURES:
        raise OptionError("--futures", futures, f"1 to {MOST_FUTURES:,}")
    if seed < 0:
        raise OptionError("--seed", seed, "0 or more")


def causes_of(columns: Columns) -> tuple[Cause, ...]:
    """Return what stays fail on first, most first."""
    found = []
    for number, kind in enumerate(CAUSES):
        mine = columns["failed_after_h"][columns["failed"] == number]
        if number and len(mine):
            found.append(Cause(kind, len(mine), max(1, ceil(float(np.median(mine)) / 24.0))))
    return tuple(sorted(found, key=lambda cause: -cause.count))


def by_draw(columns: Columns) -> NDArray[np.float64]:
    """Return each drawn van's margin beyond that of its stays' weather; (draws,)."""
    margin = np.clip(columns["margin"], -1.0, 1.0)
    stays = {begins: margin[columns["begins_s"] == begins].mean()
             for begins in np.unique(columns["begins_s"])}  # fmt: skip
    beyond = margin - np.array([stays[begins] for begins in columns["begins_s"]])
    draw = columns["draw"].astype(int)
    count = np.bincount(draw)
    mean: NDArray[np.float64] = np.bincount(draw, beyond) / np.maximum(count, 1) + margin.mean()
    return mean


def hardest_stay(worlds: Worlds, columns: Columns) -> tuple[Scene, HardStay]:
    """Return the sheet's own van, nothing drawn, in the stay with the least mean margin."""
    begins = columns["begins_s"]
    means = {x: columns["margin"][begins == x].mean() for x in np.unique(begins)}
    row = int(np.flatnonzero(begins == min(means, key=means.__getitem__))[0])
    _, night = worlds.stays[row]
    scene = worlds.scenes[int(columns["spell"][row])]
    stays = stays_of(scene.sheet, [night], worlds.days)
    free = judge_stays(run_stays(scene, stays), scene, stays)[0]
    run = run_stays(scene, stays, limited=True)
    failed = CAUSES[int(free[COLUMN["failed"]])]
    after = timedelta(hours=float(free[COLUMN["failed_after_h"]])) if failed else None
    return scene, HardStay(
        begins=stays.begins[0],
        failed=failed,
        failed_at=None if after is None else stays.begins[0] + after,
        charge_margin=float(free[COLUMN["charge_margin"]]),
        warm_margin_k=float(free[COLUMN["warm_margin_k"]]),
        cold_margin_k=float(free[COLUMN["cold_margin_k"]]),
        fuel_l=float(free[COLUMN["fuel_l"]]),
        run=run,
    )
