"""How often something holds over futures, and which unknowns decide it.

What does not belong here: the futures themselves (``drawn``, ``stays``), and the words
(``report.odds_words``).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from vanclimate.cache import cached_arrays
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import STANDARD, UNKNOWNS, normal_scores

INTERVAL = 0.8  # of the binomial interval that decides the words
TOLD = 0.05  # of a margin's variance, below which an unknown is not worth a word; assumed


@dataclass(frozen=True)
class Odds:
    """How many futures hold.

    Parameters
    ----------
    held, of : futures
    independent : how many of them count as tries of their own: those of one night of the weather,
        or of one van, hold or fail together
    low, high : the 80 % binomial interval of their share, see `INTERVAL`
    """

    held: int
    of: int
    independent: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """The share that holds."""
        return self.held / self.of


def odds_of(held: int, of: int, independent: int) -> Odds:
    """Return the odds of some futures, with the interval of Clopper and Pearson 1934.

    Its bounds are quantiles of beta distributions; between whole counts they go on smoothly.

    >>> odds = odds_of(27, 31, 31)
    >>> round(odds.low, 2), round(odds.high, 2)
    (0.76, 0.94)
    """
    n = min(independent, of)
    bounds = _bounds(of, n)
    return Odds(held, of, n, float(bounds["low"][held]), float(bounds["high"][held]))


@lru_cache(maxsize=64)
def _bounds(of: int, n: int) -> dict[str, NDArray[np.float64]]:
    """Return (of + 1,) the interval's bounds for each count that can hold.

    From disk, for the library of these functions takes longer to load than some nights to run.
    """

    def build() -> dict[str, NDArray[np.float64]]:
        from scipy.special import betaincinv

        k, tail = np.arange(of + 1) / of * n, (1.0 - INTERVAL) / 2.0
        low, high = np.zeros(of + 1), np.ones(of + 1)
        low[1:] = betaincinv(k[1:], n - k[1:] + 1.0, tail)
        high[:-1] = betaincinv(k[:-1] + 1.0, n - k[:-1], 1.0 - tail)
        return {"low": low, "high": high}

    return cached_arrays("odds", (of, n, INTERVAL), build)


@dataclass(frozen=True)
class Mover:
    """An unknown that moves a margin.

    Parameters
    ----------
    name, settle : of the unknown
    share : of the margin's variance over the draws
    low, high : the margin at the unknown's 10th and 90th percentile, all others at their middle
    """

    name: str
    settle: str
    share: float
    low: float
    high: float


def movers(sheet: Sheet, seed: int, margins: NDArray[np.float64]) -> tuple[Mover, ...]:
    """Return the unknowns of a sheet that move a margin beyond chance, most first.

    Parameters
    ----------
    sheet : that was drawn
    seed : of the draws
    margins : (draws,) of the first draws in order; what is not finite is left out

    Notes
    -----
    Linear regression on the normal scores of the draws; the squared coefficients are shares of the
    variance where the unknowns are independent and the margin is straight in them (Saltelli et al.
    2008, Global Sensitivity Analysis, section 1.2.5, from memory). A coefficient within two of its
    standard errors is left out.
    """
    guesses = {guess.path: guess for guess in sheet.guessed}
    active = [i for i, unknown in enumerate(UNKNOWNS) if unknown.drawn(sheet, 0.5, guesses)]
    there = np.isfinite(margins)
    scores = normal_scores(len(margins), seed)[there][:, active]
    values = margins[there]
    spare = len(values) - len(active) - 1
    if spare < len(active) or np.ptp(values) <= 1e-12:
        return ()
    table = np.column_stack([np.ones(len(scores)), scores])
    slope = np.linalg.lstsq(table, values, rcond=None)[0]
    noise = float(((values - table @ slope) ** 2).sum()) / spare
    error = np.sqrt(noise * np.diag(np.linalg.inv(table.T @ table)))
    tenth = STANDARD.inv_cdf(0.9)
    found = []
    for i, b, e in zip(active, slope[1:], error[1:], strict=True):
        share = float(b * b / values.var())
        if share >= TOLD and abs(b) > 2.0 * e:
            ends = float(slope[0] - tenth * b), float(slope[0] + tenth * b)
            found.append(Mover(UNKNOWNS[i].name, UNKNOWNS[i].settle, share, *ends))
    return tuple(sorted(found, key=lambda mover: -mover.share))
