"""A season's futures of one sheet: each a stay of a drawn van in weather that was.

Here: which stays each drawn van meets, and running them. What does not belong here: counting them
(``last``), and changing the sheet (``change``).
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property
from math import modf

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.facing import at_spell, facing, wants_heat
from vanclimate.answers.futures.drawn import Places, drawn_scene
from vanclimate.answers.futures.ensemble import WORKERS, Tick, quiet, run_units
from vanclimate.answers.futures.stays import COLUMNS, judge_stays, run_stays, stays_of
from vanclimate.answers.scene import WARM_UP, Scene, consecutive
from vanclimate.answers.season import Season
from vanclimate.errors import OptionError
from vanclimate.van.guesses import Guess
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import OTHERS, UNKNOWNS, drawn_sheet, draws

Columns = dict[str, NDArray[np.float64]]
SHORT_WARM_UP = timedelta(hours=24)  # before a stay that is run alone
MOST_DAYS = 60


@dataclass(frozen=True)
class Unit:
    """Stays of one drawn van in one spell: each begins on the evening of one of ``nights``."""

    draw: int
    spell: int
    nights: tuple[datetime, ...]


@dataclass(frozen=True)
class Worlds:
    """A sheet's futures: ``count`` of them or a few more, of stays of ``days``.

    ``scenes`` are the sheet's own in each spell's weather; ``units`` and the draws do not depend
    on the sheet, so that two sheets of one season meet the same futures.
    """

    scenes: tuple[Scene, ...]
    season: Season
    days: int
    seed: int
    units: tuple[Unit, ...]
    whole: bool = False  # stays of whole days, to the evening; else to the last morning

    @property
    def sheet(self) -> Sheet:
        """The sheet."""
        return self.scenes[0].sheet

    @cached_property
    def stays(self) -> list[tuple[Unit, datetime]]:
        """Each stay's unit and first night, in the order of the rows."""
        return [(unit, night) for unit in self.units for night in unit.nights]

    @cached_property
    def shares(self) -> NDArray[np.float64]:
        """Where on its distribution each unknown lies, by draw."""
        return draws(1 + max(unit.draw for unit in self.units), self.seed)[:, OTHERS:]

    @cached_property
    def guesses(self) -> dict[str, Guess]:
        """What the sheet leaves to be guessed, by path."""
        return {guess.path: guess for guess in self.sheet.guessed}

    def van(self, draw: int) -> Sheet:
        """Return the sheet with every unknown drawn; made anew at each call, so that none stays."""
        return drawn_sheet(self.sheet, self.shares[draw], self.guesses)

    @cached_property
    def places(self) -> list[Places]:
        """What each spell brings under each sky and on each ground."""
        return [Places(scene) for scene in self.scenes]

    @property
    def key(self) -> tuple[object, ...]:
        """All that the futures depend on besides the source.

        A value that the sheet gives is drawn otherwise than the same value guessed.
        """
        sheet = self.sheet
        drawn = [x.drawn(sheet, share, self.guesses) for x in UNKNOWNS for share in (0.1, 0.9)]
        said = hashlib.sha256(repr((sheet, drawn)).encode()).hexdigest()
        where = tuple((scene.place.weather.key, scene.place.heading) for scene in self.scenes)
        return said, where, self.days, self.whole, self.seed, len(self.units), self.units[-1].nights

    @property
    def independent(self) -> int:
        """How many stays have weather of their own, or vans where these are fewer."""
        whole = sum(max(1, len(s.nights) // self.days) for s in self.season.spells if s.nights)
        return min(whole, len(self.units))

    def changed(self, sheet: Sheet) -> Worlds:
        """Return the same futures for another sheet of the same place and heading."""
        own = [Places(scene) for scene in self.scenes]
        scenes = [drawn_scene(s, sheet, p) for s, p in zip(self.scenes, own, strict=True)]
        return replace(self, scenes=tuple(scenes))

    def run(self, *, keep: bool = True, tick: Tick = quiet, workers: int = WORKERS) -> Columns:
        """Return a row for each future, in order, as columns: ``draw``, ``spell`` and `COLUMNS`."""
        return self.run_only(self.units, keep=keep, tick=tick, workers=workers)

    def run_only(
        self, units: Sequence[Unit], *, keep: bool = False, tick: Tick = quiet,
        workers: int = WORKERS, warm_up: timedelta = WARM_UP,
    ) -> Columns:  # fmt: skip
        """Return the same of some units, after a ``warm_up`` of their own."""
        _ = self.shares, self.guesses, self.places  # before the threads start

        def work(unit: Unit) -> NDArray[np.float64]:
            return self._rows(unit, warm_up)

        names = ("draw", "spell", *COLUMNS)
        key = self.key if keep else None
        return run_units(units, work, names, key=key, tick=tick, workers=workers)

    def _rows(self, unit: Unit, warm_up: timedelta) -> NDArray[np.float64]:
        scene = drawn_scene(self.scenes[unit.spell], self.van(unit.draw), self.places[unit.spell])
        found = []
        for nights in consecutive(unit.nights, self.days):
            stays = stays_of(self.sheet, nights, self.days, self.whole)
            found.append(judge_stays(run_stays(scene, stays, warm_up=warm_up), scene, stays))
        rows = np.concatenate(found)
        return np.hstack([np.full((len(rows), 1), x) for x in (unit.draw, unit.spell)] + [rows])


def worlds_of(sheet: Sheet, season: Season, days: int, count: int, seed: int) -> Worlds:
    """Return a sheet's futures in a season.

    Raises
    ------
    OptionError
        for stays longer than the season's data allow
    """
    asked = [(spell, night) for spell in season.spells for night in spell.nights]
    scene = facing(sheet, asked, wants_heat(sheet, season))
    spells = [spell for spell in season.spells if spell.nights]
    scenes = tuple(at_spell(scene, season, spell) for spell in spells)
    units = units_of([spell.nights for spell in spells], days, count, seed)
    return Worlds(scenes, season, days, seed, units)


def units_of(
    spells: Sequence[Sequence[datetime]], days: int, count: int, seed: int
) -> tuple[Unit, ...]:
    """Return which stays each draw meets: those of one spell, from an evening that is drawn too.

    Both come from one number of the draw. Spells in turn would meet only some vans each: every
    second, fourth or eighth point of a Sobol sequence has some of its numbers on one side.
    """
    if not 1 <= days <= MOST_DAYS:
        raise OptionError("--days", days, f"1 to {MOST_DAYS}")
    if count < 1:
        raise OptionError("--futures", count, "1 or more")
    free = draws(max(16, count), seed)[:, 0]
    units: list[Unit] = []
    total = 0
    while total < count:
        draw = len(units)
        within, part = modf(free[draw] * len(spells))
        spell = int(part)
        nights = spells[spell]
        offset = int(within * min(days, len(nights)))
        taken = tuple(nights[offset::days])[: count - total]
        units.append(Unit(draw, spell, taken))
        total += len(taken)
    return tuple(units)
