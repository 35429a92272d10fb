"""Runs of a device's sizes, by the same futures for all, and the hour that sets one.

What does not belong here: the sizes themselves (``ladders``), the smallest that is enough
(``find``), and what stands beside the answer (``hand``).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.checks import check_sheet
from vanclimate.answers.futures.drawn import drawn_scene
from vanclimate.answers.futures.ensemble import Tick
from vanclimate.answers.futures.odds import Odds, odds_of
from vanclimate.answers.futures.stays import at_home, minutes_later, rows_of, run_stays, stays_of
from vanclimate.answers.futures.worlds import Columns, Worlds
from vanclimate.answers.judge import felt_temperature, night_rows, settled
from vanclimate.answers.scene import Scene
from vanclimate.answers.size.ladders import Device
from vanclimate.errors import VanclimateError
from vanclimate.simulate.runs import Run
from vanclimate.van.sheet import Sheet

Rows = NDArray[np.float64]
HOUR = 3600.0
BROUGHT_BACK = 0.995  # of the charge a day before: counts as back, for a full bank tapers


@dataclass(frozen=True)
class Aim:
    """What a device must do in a stay.

    Parameters
    ----------
    margin : of each stay's row; a stay holds where it is not below nothing
    whole : whether stays go on to the last evening
    counts : which stays count, all unless given
    """

    margin: Callable[[Worlds, Columns], Rows]
    whole: bool = False
    counts: Callable[[Columns], NDArray[np.bool_]] | None = None


def _cool(worlds: Worlds, columns: Columns) -> Rows:
    return columns["warm_margin_k"]


def _warm(worlds: Worlds, columns: Columns) -> Rows:
    least: Rows = np.minimum(columns["cold_margin_k"], columns["home_margin_k"])
    return least


def _charged(worlds: Worlds, columns: Columns) -> Rows:
    return columns["charge_margin"] - 1e-9


def _back(worlds: Worlds, columns: Columns) -> Rows:
    """Return by how much of the bank the charge at a stay's end is more than at its beginning."""
    banks = [worlds.van(i).battery for i in range(len(worlds.shares))]
    hold = np.array([bank.capacity * bank.health for bank in banks])
    bank = hold[columns["draw"].astype(int)]
    ends: Rows = columns["charge_end_ah"] / bank
    return ends - BROUGHT_BACK * start_share(worlds.sheet)


def start_share(sheet: Sheet) -> float:
    """Return the share of the bank that a stay begins with: the sheet's at bedtime, else all."""
    share = sheet.battery.charge_at_bedtime
    return 1.0 if share is None else share


def _driven(columns: Columns) -> NDArray[np.bool_]:
    return columns["drive_h"] > 0.0


AIMS = {
    "AC": Aim(_cool), "heater": Aim(_warm), "bank": Aim(_charged), "roof": Aim(_back, True),
    "DC-DC charger": Aim(_back, True, _driven),
}  # fmt: skip


@dataclass(frozen=True)
class Tried:
    """A size, and how the futures went with it."""

    size: float
    worlds: Worlds
    columns: Columns
    margin: Rows
    counted: NDArray[np.bool_]

    @property
    def odds(self) -> Odds:
        """The share of stays that hold, of those that count."""
        margin = self.margin[self.counted]
        independent = self.worlds.independent * len(margin) / len(self.margin)
        return odds_of(int((margin >= 0.0).sum()), len(margin), max(1, round(independent)))


def bank_needed(tried: Tried, asked: float) -> float:
    """Return the bank [Ah] that the asked share of stays takes, not rounded to batteries.

    What a stay takes depends little on the bank that it was tried with.
    """
    bank = tried.worlds.sheet.battery
    usable = start_share(tried.worlds.sheet) - max(bank.reserve, bank.cut_off)
    if usable <= 0.0:
        return bank.capacity
    return float(bank.capacity * np.quantile(1.0 - tried.columns["charge_margin"] / usable, asked))


@dataclass
class Trials:
    """A device's sizes in one season's futures, each run once.

    Parameters
    ----------
    worlds : of the sheet as it is
    sheet : on which the device is sized
    """

    device: Device
    aim: Aim
    worlds: Worlds
    sheet: Sheet
    asked: float
    tick: Tick
    known: dict[float, Tried | None] = field(default_factory=dict)

    def at(self, size: float) -> Tried | None:
        """Return how the futures go with a size; None where it cannot be built."""
        if size not in self.known:
            self.known[size] = self._run(size)
        return self.known[size]

    def _run(self, size: float) -> Tried | None:
        try:
            sheet = self.device.sized(self.sheet, size)
            check_sheet(sheet)
        except VanclimateError:  # such as a bank that cannot pass what is drawn at once
            return None
        worlds = replace(self.worlds.changed(sheet), whole=self.aim.whole)
        columns = worlds.run(tick=self.tick)
        counts = self.aim.counts
        counted = np.ones(len(columns["draw"]), dtype=bool) if counts is None else counts(columns)
        return Tried(size, worlds, columns, self.aim.margin(worlds, columns), counted)

    def enough(self, size: float) -> bool:
        """Return whether a size reaches the odds."""
        tried = self.at(size)
        return tried is not None and bool(tried.counted.any()) and tried.odds.share >= self.asked


@dataclass(frozen=True)
class Hour:
    """The hour that sets a size, in the worst stay that it holds.

    Parameters
    ----------
    begins : of the stay
    at : the moment of its least margin
    outdoor_c : then
    sun_w_m2 : then, on level ground
    felt_c, charge_ah : then
    load_w : over the hour before: heat taken out or given, or what the bank gives
    on_share : how long of that hour the device ran
    sun_wh_m2 : on level ground in the whole stay
    drawn_wh : by all that runs, in the whole stay
    sun_wh, drive_wh : brought in the whole stay
    margin : in K, or as a share of the bank
    """

    begins: datetime
    at: datetime
    outdoor_c: float
    sun_w_m2: float
    felt_c: float
    charge_ah: float
    load_w: float
    on_share: float
    sun_wh_m2: float
    drawn_wh: float
    sun_wh: float
    drive_wh: float
    margin: float


@dataclass(frozen=True)
class WorstHeld:
    """The worst stay that a size holds, run alone."""

    scene: Scene
    run: Run
    part: slice  # of the stay
    night: slice  # from its first bedtime to waking
    hour: Hour


def worst_held(tried: Tried, name: str) -> WorstHeld:
    """Return the stay of least margin among those that hold, or of most where none does."""
    worlds, margin = tried.worlds, tried.margin
    held = np.flatnonzero((margin >= 0.0) & tried.counted)
    row = int(held[np.argmin(margin[held])]) if len(held) else int(np.argmax(margin))
    unit, bedtime = worlds.stays[row]
    spell = unit.spell
    scene = drawn_scene(worlds.scenes[spell], worlds.van(unit.draw), worlds.places[spell])
    spans = stays_of(worlds.sheet, [bedtime], worlds.days, worlds.whole)
    run = run_stays(scene, spans)
    part = rows_of(run, spans, 0)
    moved = timedelta(minutes=minutes_later(scene.sheet, bedtime))
    night = night_rows(run, bedtime + moved, scene.sheet)
    hour = _hour(run, scene, part, night, spans.begins[0], name, float(margin[row]))
    return WorstHeld(scene, run, part, night, hour)


def _hour(
    run: Run, scene: Scene, part: slice, night: slice, begins: datetime, name: str, margin: float
) -> Hour:
    """Return the hour of least margin."""
    felt = felt_temperature(run, scene.sheet, scene.main_way)
    at = _row(run, scene, part, night, felt, name)
    loads = {
        "AC": ("ac_sensible_w", "ac_latent_w"), "heater": ("heater_output_w",),
    }.get(name, ("draw_w",))  # fmt: skip
    on = "heater_on_share" if name == "heater" else "ac_on_share"
    hour = slice(int(np.searchsorted(run.seconds, run.seconds[at + 1] - HOUR - 1e-3)), at + 1)
    length = float(run.width[hour].sum())
    weather = scene.place.weather
    since = (run.start - weather.start).total_seconds()
    sun = weather.ghi[((since + run.seconds[:-1]) // HOUR).astype(int) % len(weather.ghi)]
    return Hour(
        begins=begins,
        at=run.start + timedelta(seconds=float(run.seconds[at + 1])),
        outdoor_c=float(run.outdoor[at]),
        sun_w_m2=float(sun[at]),
        felt_c=float(felt[at]),
        charge_ah=float(run.column("battery_charge_ah")[at]),
        load_w=sum(run.total(column, hour) for column in loads) / length,
        on_share=run.total(on, hour) / length,
        sun_wh_m2=float((sun * run.width)[part].sum()) / HOUR,
        drawn_wh=run.total("draw_w", part) / HOUR,
        sun_wh=run.total("solar_used_w", part) / HOUR,
        drive_wh=run.total("drive_used_w", part) / HOUR,
        margin=margin,
    )


def _row(run: Run, scene: Scene, part: slice, night: slice, felt: Rows, name: str) -> int:
    """Return the row in which a stay's margin is least."""
    sheet = scene.sheet
    if name == "AC":
        late = settled(run, night, felt[night], sheet)
        return int(night.stop - len(late) + np.argmax(late))
    if name == "heater":
        there = at_home(run, sheet, part)
        return int(part.start + np.argmin(np.where(there, felt[part], np.inf)))
    if name == "bank":
        return int(part.start + np.argmin(run.column("battery_charge_ah")[part]))
    return int(part.stop) - 1
