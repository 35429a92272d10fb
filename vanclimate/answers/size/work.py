"""The devices sized one after the other, each on those found before it.

What does not belong here: the answer (``answer``).
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from vanclimate.answers.futures.change import Stage
from vanclimate.answers.futures.odds import Odds
from vanclimate.answers.futures.worlds import Worlds, units_of
from vanclimate.answers.scene import Scene
from vanclimate.answers.size.find import Found, find
from vanclimate.answers.size.hand import (
    Extremes,
    Hand,
    ac_by_hand,
    bank_by_hand,
    charger_by_hand,
    extremes_of,
    heater_by_hand,
    roof_by_hand,
)
from vanclimate.answers.size.ladders import (
    DEVICES,
    with_ac,
    with_cool_dial,
    with_great_bank,
    with_heater,
    with_warm_dial,
    without_fuel_limit,
)
from vanclimate.answers.size.runs import AIMS, Hour, Trials, WorstHeld, bank_needed, worst_held
from vanclimate.van.sheet import Sheet


@dataclass(frozen=True)
class Sized:
    """A device's size.

    Parameters
    ----------
    name : AC, heater, bank, roof or DC-DC charger
    quantity : the kind of its sizes
    size : the smallest that reaches the odds, in W, Ah or A by its quantity; None where the
        largest does not
    largest : that was tried
    odds : with it, or with the largest
    below : the next size down, None where there is none
    below_odds : with it, None where it cannot be built
    own : the sheet's size
    own_enough : whether that is enough
    short : by how many sizes it is not, counted to the largest where none is
    season : in words
    hour : what sets it
    hand : the same by hand
    """

    name: str
    quantity: str
    size: float | None
    largest: float
    odds: Odds
    below: float | None
    below_odds: Odds | None
    own: float | None
    own_enough: bool
    short: int
    season: str
    hour: Hour
    hand: Hand


@dataclass(frozen=True)
class Missing:
    """A device that is not sized."""

    name: str
    why: str  # a key of `report.size_words.WHY`


@dataclass
class Work:
    """What is being sized, and what has been found.

    Parameters
    ----------
    best : the sheet with all that has been found
    worlds : one night's futures by season, 'warm', 'cold' or 'own'
    """

    best: Sheet
    worlds: dict[str, Worlds]
    asked: float
    stage: Stage
    sized: list[Sized] = field(default_factory=list)
    none: list[Missing] = field(default_factory=list)
    found: dict[str, Found] = field(default_factory=dict)
    held: dict[str, WorstHeld] = field(default_factory=dict)

    def plant(self) -> None:
        """Size AC and heater by nights, whatever the bank, the tank and the dial."""
        sheet = self.best
        if sheet.air_conditioner is not None:
            free = with_cool_dial(with_great_bank(sheet))
            found = self._find("AC", free, ["warm"], sheet.air_conditioner.capacity)
            if found is not None:
                hand = ac_by_hand(self._scene(found), self._ends(found), self.held["AC"])
                self._add("AC", found, hand)
                self.best = with_ac(self.best, found.tried.size)
        if sheet.heater is not None:
            free = with_warm_dial(without_fuel_limit(with_great_bank(sheet)))
            found = self._find("heater", free, ["cold"], sheet.heater.output)
            if found is not None:
                hand = heater_by_hand(self._scene(found), self._ends(found), self.held["heater"])
                self._add("heater", found, hand)
                self.best = with_heater(self.best, found.tried.size)

    def bank(self, days: int, futures: int) -> None:
        """Size the bank by stays of some days, with AC and heater as found."""
        sheet = without_fuel_limit(self.best)
        found = self._find("bank", sheet, list(self.worlds), self._bank_guess(), days, futures)
        assert found is not None, "the largest bank passes what is drawn"
        self._add("bank", found, bank_by_hand(self.best, self.held["bank"]))
        self.best = DEVICES["bank"].sized(self.best, found.tried.size)

    def _bank_guess(self) -> float:
        """Return the bank [Ah] that the nights of the AC or the heater ask for."""
        tried = next((one.tried for one in self.found.values()), None)
        return self.best.battery.capacity if tried is None else bank_needed(tried, self.asked)

    def sources(self) -> None:
        """Size the roof by days without driving, and the DC-DC charger by days with it."""
        parked = without_fuel_limit(self.best).with_value("driving", None)
        bank = self.found["bank"]
        seasons = [name for name, own in self.worlds.items()
                   if own.season is bank.trials.worlds.season]  # fmt: skip
        ends = self._ends(bank)
        guess = roof_by_hand(bank.tried, ends, self.held["bank"]).size
        found = self._find("roof", parked, seasons, guess)
        if found is not None:
            self._add("roof", found, roof_by_hand(found.tried, ends, self.held["roof"]))
        else:
            self.none.append(Missing("roof", "unbuildable"))
        if not undriven(self.best):
            self._charger(seasons)

    def _charger(self, seasons: list[str]) -> None:
        found = self._find("DC-DC charger", without_fuel_limit(self.best), seasons, 30.0)
        if found is None or not found.tried.counted.any():
            self.none.append(Missing("DC-DC charger", "no day that drives"))
            return
        self._add("DC-DC charger", found,
                  charger_by_hand(found.tried, self.held["DC-DC charger"]))  # fmt: skip

    def _find(
        self, name: str, sheet: Sheet, seasons: list[str], guess: float, days: int = 1,
        futures: int = 0,
    ) -> Found | None:  # fmt: skip
        """Return a device's size on a sheet, in some seasons."""
        device, tick = DEVICES[name], self.stage(name)
        trials = []
        for season in seasons:
            own = self.worlds[season]
            if days > 1:
                own = _longer(own, days, futures)
            here = sheet.model_copy(update={"month": own.sheet.month, "stay": own.sheet.stay})
            trials.append(Trials(device, AIMS[name], own, here, self.asked, tick))
        found = find(trials, device.own(sheet), guess)
        if found is not None:
            self.found[name] = found
            self.held[name] = worst_held(found.tried, name)
        return found

    def _add(self, name: str, found: Found, hand: Hand) -> None:
        """Put down what was found."""
        device = DEVICES[name]
        self.sized.append(Sized(
            name=name,
            quantity=device.quantity,
            size=found.size,
            largest=device.sizes(found.trials.sheet)[-1],
            odds=found.tried.odds,
            below=found.below,
            below_odds=found.below_odds,
            own=device.own(found.trials.sheet),
            own_enough=found.own_enough,
            short=found.short,
            season=found.trials.worlds.season.words,
            hour=self.held[name].hour,
            hand=hand,
        ))  # fmt: skip

    def _scene(self, found: Found) -> Scene:
        """Return the sheet's own van, nothing drawn, in the season that sets a size."""
        return found.trials.worlds.scenes[0]

    def _ends(self, found: Found) -> Extremes:
        worlds = found.trials.worlds
        return extremes_of(worlds.scenes, worlds.season)


def _longer(worlds: Worlds, days: int, futures: int) -> Worlds:
    """Return the futures of a season in stays of more days."""
    spells = [spell.nights for spell in worlds.season.spells if spell.nights]
    return replace(worlds, days=days, units=units_of(spells, days, futures, worlds.seed))


def missing_of(sheet: Sheet) -> tuple[Missing, ...]:
    """Return the devices that are not sized."""
    found = []
    if sheet.air_conditioner is None:
        found.append(Missing("AC", "none"))
    if sheet.heater is None:
        found.append(Missing("heater", "other" if sheet.heats else "none"))
    if why := undriven(sheet):
        found.append(Missing("DC-DC charger", why))
    return tuple(found)


def undriven(sheet: Sheet) -> str:
    """Return why driving brings nothing through a DC-DC charger, '' where it does."""
    drives = sheet.driving is not None and bool(sheet.driving.hours)
    if sheet.alternator is None:
        return "no alternator" if drives else "no alternator and no driving"
    return "" if drives else "no driving"
