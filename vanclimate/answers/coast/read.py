"""What the cuts of a coast come to: how soon each limit is reached, by whom it is meant.

What does not belong here: the runs (``runs``), and the answer as a whole (``answer``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from vanclimate.answers.cautions import DO_NOT
from vanclimate.answers.coast.cut import Held
from vanclimate.answers.coast.runs import Case, Job, Limit, run_job
from vanclimate.answers.ledgers import Balance, balances
from vanclimate.answers.thresholds import AIR_STEPS, COLD_STEPS, DANGER, HEAT_BANDS
from vanclimate.network.compile import Array
from vanclimate.simulate.runs import Run

EARLY = 0.05  # share of all cuts that are faster than what is told


@dataclass(frozen=True)
class Reach:
    """How soon a limit is reached; seconds, inf where it is not within the time watched.

    Attributes
    ----------
    limit : the threshold
    early_s : one cut in twenty is faster
    median_s : half of the cuts are
    share : of the cuts in which it is reached at all
    hour : minute of the day of the worst cut, None where hours are taken together
    """

    limit: Limit
    early_s: float
    median_s: float
    share: float
    hour: int | None = field(metadata={"unit": "min_after_midnight"})


@dataclass(frozen=True)
class Alone:
    """What is said of children, animals and whoever cannot leave: no time, only a rate.

    Attributes
    ----------
    advice : the words that go with it
    first_rise_k_min : rate of the first 10 K of a rise [K/min]; one cut in twenty is faster
    """

    advice: str
    first_rise_k_min: float


@dataclass(frozen=True)
class Coasting:
    """One part of the answer: the heat, or the cold.

    Attributes
    ----------
    kind : 'heat' or 'cold'
    held : how the van was until the cut
    hours : times of day of the cuts [minutes after midnight]
    start_c, walls_c : air and mean radiant temperature at the cut, medians
    adults_danger_s : to the first limit that is a danger to adults who can leave; one in twenty is
        faster
    adults : how soon each limit is reached
    alone : of whoever cannot leave; None in the cold
    farthest_c : air that one cut in twenty gets beyond
    watched_s : for how long every cut was watched
    cuts, vans : how many
    moment, run : of the cut that ``adults_danger_s`` is about
    balances : of that run
    """

    kind: str
    held: Held
    hours: tuple[int, ...] = field(metadata={"unit": "min_after_midnight"})
    start_c: float
    walls_c: float
    adults_danger_s: float
    adults: tuple[Reach, ...]
    alone: Alone | None
    farthest_c: float
    watched_s: float
    cuts: int
    vans: int
    moment: datetime
    run: Run
    balances: tuple[Balance, ...]

    def reach(self, kind: str, temp_c: float) -> Reach:
        """Return how soon one of the limits is reached."""
        return next(
            x for x in self.adults if x.limit.kind == kind and abs(x.limit.temp_c - temp_c) < 0.01
        )


def read_cases(
    kind: str, jobs: Sequence[Job], cases: Sequence[Case], limits: Sequence[Limit],
    hours: Sequence[int],
) -> Coasting:  # fmt: skip
    """Return what the cuts come to."""
    times = np.array([case.times for case in cases])
    hour = np.array([jobs[case.job].hour for case in cases])
    far = np.array([case.farthest_c for case in cases])
    rates = [case.rate for case in cases]
    danger = danger_of(kind, times, limits)
    apart = kind == "cold"
    reaches = tuple(
        _reach(limit, times[:, i], hour, hours, apart) for i, limit in enumerate(limits)
    )
    worst = _reach(limits[0], danger, hour, hours, apart)
    among = np.flatnonzero(hour == worst.hour) if apart else np.arange(len(cases))
    farther = -far if kind == "heat" else far
    order = among[np.lexsort((farther[among], danger[among]))]
    picked = cases[int(order[_early_index(len(order))])]
    job = jobs[picked.job]
    run = run_job(replace(job, cuts=job.cuts[picked.cut : picked.cut + 1]))
    ends = EARLY if kind == "cold" else 1.0 - EARLY
    return Coasting(
        kind=kind,
        held=job.held,
        hours=tuple(hours),
        start_c=float(np.median([case.start_c for case in cases])),
        walls_c=float(np.median([case.walls_c for case in cases])),
        adults_danger_s=worst.early_s,
        adults=reaches,
        alone=None if apart else Alone(DO_NOT, 60.0 * float(np.quantile(rates, 1.0 - EARLY))),
        farthest_c=float(np.quantile(far, ends)),
        watched_s=min(case.watched for case in cases),
        cuts=len(cases),
        vans=len({job.draw for job in jobs}),
        moment=job.cuts[picked.cut],
        run=run,
        balances=balances(run),
    )


def danger_of(kind: str, times: Array, limits: Sequence[Limit]) -> Array:
    """Return (cases,) s to the first limit that is a danger to an adult.

    In the heat the last step of air or the heat index's band of danger, whichever is sooner; in the
    cold the first step.
    """
    if kind == "cold":
        return np.asarray(times[:, limits.index(Limit("air", COLD_STEPS[0]))])
    band = next(i for i, x in enumerate(limits) if x.band == dict(HEAT_BANDS)[DANGER])
    found: Array = np.minimum(times[:, limits.index(Limit("air", AIR_STEPS[-1]))], times[:, band])
    return found


def _early_index(count: int) -> int:
    """Return which of sorted times one in twenty is faster than."""
    return int(EARLY * (count - 1))


def _reach(limit: Limit, times: Array, hour: Array, hours: Sequence[int], apart: bool) -> Reach:
    """Return how soon a limit is reached; with ``apart`` at the worst of the hours."""

    def early(own: Array) -> float:
        return float(np.sort(own)[_early_index(len(own))])

    if not apart:
        share = float(np.isfinite(times).mean())
        return Reach(
            limit, early(times), float(np.quantile(times, 0.5, method="lower")), share, None
        )
    groups = {h: times[hour == h] for h in hours if (hour == h).any()}
    worst = min(groups, key=lambda h: (early(groups[h]), float(np.median(groups[h]))))
    own = groups[worst]
    median = float(np.quantile(own, 0.5, method="lower"))
    return Reach(limit, early(own), median, float(np.isfinite(own).mean()), worst)
