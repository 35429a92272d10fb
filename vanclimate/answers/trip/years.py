"""A trip begun in each of several real years: what it comes to, and which is the hardest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from vanclimate.answers.trip.halts import Stage
from vanclimate.answers.trip.stops import Shortfall, StopResult, first_of_each, total


@dataclass(frozen=True)
class YearResult:
    """A trip begun in one of several real years."""

    year: int
    fuel_l: float
    heater_hours: float
    heat_wh: float
    ac_wh: float
    first: Shortfall | None
    lasted_h: float  # until the first thing failed; null where it lasts


def year_result(year: int, stages: Sequence[Stage], results: Sequence[StopResult]) -> YearResult:
    """Return what the trip comes to in a year."""
    short = first_of_each(results)
    lasted = np.inf
    if short:
        lasted = (short[0].at - stages[0].halt.begins).total_seconds() / 3600.0
    return YearResult(
        year,
        fuel_l=total(results, "fuel_l"),
        heater_hours=total(results, "heater_hours"),
        heat_wh=total(results, "heat_wh"),
        ac_wh=total(results, "ac_wh"),
        first=short[0] if short else None,
        lasted_h=lasted,
    )


def hardness(year: YearResult) -> tuple[float, float, float]:
    """Order years: what fails soonest first, then by what heating, then by what cooling takes."""
    return year.lasted_h, -year.heat_wh, -year.ac_wh
