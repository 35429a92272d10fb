"""Odds in words, with no more digits than the sample bears; and what moves a margin.

What does not belong here: how they are counted (answers/futures/odds.py).
"""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING

from vanclimate.report.numbers import MINUS, fixed, in_units, unit_of

if TYPE_CHECKING:
    from vanclimate.answers.futures.odds import Mover, Odds
    from vanclimate.answers.night import Night
    from vanclimate.units import System

NARROW = 0.2  # width of the interval up to which one number of tenths is said
ABOUT = 0.15  # from that number to either end: within it both ends are its neighbours, rounded
ROUNDING = 1e-9  # of a tenth that is whole but for the last digit
NEARLY = 0.95  # from which on nearly all hold
SHOWN = 2  # movers


def in_ten(odds: Odds, things: str) -> str:
    """Write a share in tenths, as its binomial interval allows.

    >>> from vanclimate.answers.futures.odds import odds_of
    >>> in_ten(odds_of(88, 100, 100), "nights")
    'about 9 nights in 10'
    >>> in_ten(odds_of(331, 1000, 10), "stays")
    '1 to 6 stays in 10'
    >>> in_ten(odds_of(31, 31, 31), "nights")
    'at least 9 nights in 10'
    """
    least, most = floor(10.0 * odds.low + ROUNDING), ceil(10.0 * odds.high - ROUNDING)
    if odds.held == odds.of:
        if odds.low >= NEARLY:
            return f"nearly all {things}"
        return _tenths("at least", least, things)
    if odds.held == 0:
        if odds.high <= 1.0 - NEARLY:
            return f"hardly any {things}"
        return _tenths("at most", most, things)
    tenths = round(10 * odds.share)
    off = max(0.1 * tenths - odds.low, odds.high - 0.1 * tenths)
    if 0 < tenths < 10 and off <= ABOUT and odds.high - odds.low <= NARROW:
        return _tenths("about", tenths, things)
    if most == 1:
        return _tenths("less than", 1, things)
    if least == 9:
        return f"more than 9 {things} in 10"
    return f"{least} to {most} {things} in 10"


def _tenths(how: str, count: int, things: str) -> str:
    """Write 'about 9 vans in 10', and of one 'about 1 in 10 vans'."""
    return f"{how} 1 in 10 {things}" if count == 1 else f"{how} {count} {things} in 10"


def night_odds_line(night: Night, system: System) -> str:
    """Return the odds of a night, of its season, and the range of its margin."""
    odds = night.odds
    text = f"Odds: {in_ten(odds.night, 'vans')} built to this sheet get through this night"
    if odds.season is not None:
        what = "nights of the stay" if night.sheet.stay else f"{night.season.words} nights"
        if night.weather.synthetic:
            what = "made-up nights"
        text += f"; {in_ten(odds.season, what)} hold"
    return f"{text}. {_range(night, system)}"


def _range(night: Night, system: System) -> str:
    """Return how far the margin goes over what is not known."""
    odds = night.odds
    charge = span([100.0 * odds.charge_low, 100.0 * odds.charge_high], 0)
    kind = "temperature_difference"
    room = span([in_units(x, kind, system) for x in (odds.room_low, odds.room_high)], 1)
    margins = f"{charge} % of the bank and {room} {unit_of(kind, system)}"
    if night.result.opened is not None:  # its charge is no margin
        margins = f"{room} {unit_of(kind, system)}"
    own = "The first line is the sheet's own van; what nobody has measured yet makes it"
    return f"{own} {margins} in 8 vans of 10"


def mover_lines(movers: tuple[Mover, ...], by_heat: bool, system: System) -> list[str]:
    """Return the unknowns that matter most, how far each moves the margin, what settles it."""
    return [
        f"{mover.name}: {moves(mover, by_heat, system)}. Settle it: {mover.settle}."
        for mover in movers[:SHOWN]
    ]


def moves(mover: Mover, by_heat: bool, system: System) -> str:
    """Return how much of what is uncertain an unknown is, and how far it moves the margin."""
    if by_heat:
        kind = "temperature_difference"
        ends = [in_units(x, kind, system) for x in (mover.low, mover.high)]
        moved = f"{span(sorted(ends), 1)} {unit_of(kind, system)}"
    else:
        moved = f"{span(sorted(100.0 * x for x in (mover.low, mover.high)), 0)} % of the bank"
    share = _share(mover.share)
    return f"{share} of what is uncertain; alone it can make the margin {moved}"


def _share(share: float) -> str:
    """Write a share of the variance roughly; it is no better known than to a tenth."""
    words = ((0.9, "nearly all"), (0.7, "most"), (0.4, "about half"), (0.2, "about a third"),
             (0.0, "a tenth or so"))  # fmt: skip
    return next(text for least, text in words if share >= least)


def span(values: list[float], decimals: int) -> str:
    """Write both ends, signed where one lies below zero.

    >>> span([-4.2, 11.0], 0)
    '−4 to +11'
    """
    texts = [fixed(v, decimals) for v in values]
    if any(t.startswith(MINUS) for t in texts):
        texts = [t if t.startswith(MINUS) or not t.strip("0.") else f"+{t}" for t in texts]
    return texts[0] if texts[0] == texts[1] else f"{texts[0]} to {texts[1]}"
