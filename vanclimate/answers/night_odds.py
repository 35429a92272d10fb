"""Odds of a night: the night asked about and its season's, over all that is not known of the van.

What does not belong here: the unknowns (``van.unknowns``) and counting (``futures.odds``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np

from vanclimate.answers.facing import at_spell
from vanclimate.answers.figures import KELVIN, SHARE
from vanclimate.answers.futures.drawn import Places, drawn_scene, moved_scene
from vanclimate.answers.futures.odds import Mover, Odds, movers, odds_of
from vanclimate.answers.futures.stays import minutes_later
from vanclimate.answers.judge import WayResult
from vanclimate.answers.scene import WARM_UP, Scene, night_of, side_by_side
from vanclimate.answers.season import Season
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import SEED, drawn_sheets, draws

DRAWS = 64  # vans, each in the night asked about and in one of its season's
SHORT_WARM_UP = timedelta(hours=20)


@dataclass(frozen=True)
class NightOdds:
    """How often a night holds.

    Parameters
    ----------
    night : the night asked about, over vans
    season : any night of the season, over vans; None of a single made-up night
    charge_low, charge_high : 80 % range of the margin of charge, as a fraction of the bank
    room_low, room_high : the same of the room to the nearer limit [K]
    by_heat : whether the movers are of the room, not of the charge
    movers : the unknowns that move the night's margin beyond chance, most first
    """

    night: Odds
    season: Odds | None
    charge_low: float = field(metadata=SHARE)
    charge_high: float = field(metadata=SHARE)
    room_low: float = field(metadata=KELVIN)
    room_high: float = field(metadata=KELVIN)
    by_heat: bool
    movers: tuple[Mover, ...]


def night_odds(
    scene: Scene, season: Season, bedtime: datetime, by_heat: bool, seed: int = SEED
) -> NightOdds:
    """Return the odds of a night and of its season's.

    Where the bank is followed each night is run from three days before; else after 20 h, for a van
    forgets within hours.

    Parameters
    ----------
    scene : in the weather of the night's spell
    bedtime : of the night, as the sheet has it
    by_heat : whether the night fails on heat or cold, so that the room is what matters
    """
    both = _drawn_and_run(scene, bedtime, DRAWS, seed)
    vans, own = [van for van, _ in both], [result for _, result in both]
    charge = np.array([r.margin_charge for r in own])
    room = np.array([r.margin_degrees for r in own])
    low, high = np.quantile(charge, [0.1, 0.9])
    cool, warm = np.quantile(room, [0.1, 0.9])
    return NightOdds(
        odds_of(sum(r.holds for r in own), DRAWS, DRAWS),
        _season_odds(scene, season, vans, seed),
        float(low), float(high), float(cool), float(warm), by_heat,
        movers(scene.sheet, seed, room if by_heat else charge),
    )  # fmt: skip


def vans_that_hold(scene: Scene, bedtime: datetime, seed: int = SEED) -> Odds:
    """Return how many of some drawn vans a night holds in; half as many as for its odds."""
    results = [result for _, result in _drawn_and_run(scene, bedtime, DRAWS // 2, seed)]
    return odds_of(sum(r.holds for r in results), len(results), len(results))


def _drawn_and_run(
    scene: Scene, bedtime: datetime, count: int, seed: int
) -> list[tuple[Scene, WayResult]]:
    """Return so many drawn vans, and how each fares in a night."""
    places = Places(scene)

    def one(sheet: Sheet) -> tuple[Scene, WayResult]:
        van = drawn_scene(scene, sheet, places)
        return van, _result(scene.sheet, van, bedtime)

    return side_by_side(one, drawn_sheets(scene.sheet, count, seed))


def _season_odds(scene: Scene, season: Season, vans: Sequence[Scene], seed: int) -> Odds | None:
    """Return the odds of any night of a season: each drawn van meets one, drawn as well."""
    nights = [(spell, night) for spell in season.spells for night in spell.nights]
    if len(nights) < 2:
        return None
    met = [nights[int(x * len(nights))] for x in draws(len(vans), seed)[:, 0]]
    held = 0
    for spell in dict.fromkeys(spell for spell, _ in met):
        here = at_spell(scene, season, spell)
        mine = [(van, night) for van, (of, night) in zip(vans, met, strict=True) if of is spell]
        if here is not scene:
            places = Places(here)
            mine = [(moved_scene(van, places), night) for van, night in mine]
        found = side_by_side(lambda task: _result(scene.sheet, *task), mine)
        held += sum(r.holds for r in found)
    return odds_of(held, len(met), len(set(met)))


def _result(sheet: Sheet, van: Scene, night: datetime) -> WayResult:
    """Return how a drawn van fares in its night, the sheet's bedtime moved as it is drawn."""
    warm_up = SHORT_WARM_UP if sheet.battery.charge_at_bedtime is not None else WARM_UP
    moved = timedelta(minutes=minutes_later(van.sheet, night))
    return night_of(van, van.main_way, night + moved, warm_up)
