"""What nobody knows for certain before the van is built: each unknown with its spread and source.

Here: the one table of distributions, how they hang together, and sheets with every unknown drawn.
What does not belong here: the weather, whose nights are drawn from the record (``answers``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import exp, sqrt
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from vanclimate.cache import cached_arrays
from vanclimate.van.cooling import AirConditioner
from vanclimate.van.fields import DAY, Part, in_use, specs
from vanclimate.van.guesses import Guess
from vanclimate.van.heating import ElectricHeater, Heater
from vanclimate.van.inverter import Inverter
from vanclimate.van.paths import steps_of
from vanclimate.van.sheet import Sheet

Array = NDArray[np.float64]
Take = Callable[[float, Any, Guess | None], Any]  # (share 0..1, the sheet's value, guess) → value

FRIDGES = "every fridge's power"
SEED = 20  # of the draws, where none is asked for; any other serves as well
STANDARD = NormalDist()  # of Python: to load scipy's takes as long as a night of sixteen vans
LEAST = 1e-6  # share of a distribution that is drawn to each end


@dataclass(frozen=True)
class Unknown:
    """One thing that is not known for certain.

    Parameters
    ----------
    name : as a reader says it
    paths : of the sheet's values that it moves, `FRIDGES` for each of those
    guessed : how a value is drawn where the sheet leaves it out
    given : the same where the sheet gives it; None: what is given is certain
    source : of the spread
    settle : what would settle it
    """

    name: str
    paths: tuple[str, ...]
    guessed: Take
    given: Take | None
    source: str
    settle: str

    def drawn(self, sheet: Sheet, share: float, guesses: dict[str, Guess]) -> dict[str, Any]:
        """Return values by path at a share [0..1] of its distribution; none where it is idle."""
        out: dict[str, Any] = {}
        for path in _expanded(sheet, self.paths):
            part, name = holder_of(sheet, path)
            if part is None or getattr(part, name) is None or not in_use(part, name):
                continue
            guess = guesses.get(path)
            take = self.guessed if guess is not None or part.leaves(name) else self.given
            if take is not None:
                out[path] = take(share, getattr(part, name), guess)
        return out


def _expanded(sheet: Sheet, paths: tuple[str, ...]) -> list[str]:
    """Return the paths with every fridge of the sheet named, idle ones left out."""
    fridges = [i for i, load in enumerate(sheet.loads) if load.kind == "fridge"]
    found = []
    for path in paths:
        if path == FRIDGES:
            found += [f"loads.{i}.power" for i in fridges]
        elif path == "roof_panels.soiling" and not sheet.roof_panels.power:
            continue
        elif not path.startswith("people.") or sheet.people.sleepers:
            found.append(path)
    return found


def holder_of(sheet: Sheet, path: str) -> tuple[Part | None, str]:
    """Return the section that holds a path's value, None where the van has none, and its key."""
    *head, name = steps_of(path)
    part: Any = sheet
    for step in head:
        part = part[step] if isinstance(step, int) else getattr(part, step, None)
    return part, str(name)


def triangle(low: float, mode: float, high: float) -> Callable[[float], float]:
    """Return the inverse of a triangular distribution."""
    split = (mode - low) / (high - low) if high > low else 0.0

    def at(share: float) -> float:
        if share < split:
            return low + sqrt(share * (high - low) * (mode - low))
        return high - sqrt((1.0 - share) * (high - low) * (high - mode))

    return at


def of_field(share: float, value: Any, guess: Guess | None) -> Any:
    """Draw from the range that the guess itself names, the default the likeliest."""
    if guess is None or guess.low is None or guess.high is None or guess.low == guess.high:
        return value
    low, high = sorted((guess.low, guess.high))
    return triangle(low, min(max(value, low), high), high)(share)


def factor(spread: float) -> Take:
    """Return a log-normal draw about the value: one standard deviation is a factor ``spread``."""

    def take(share: float, value: Any, guess: Guess | None) -> float:
        return float(value * exp(np.log(spread) * normal(share)))

    return take


def within_range(share: float, value: Any, guess: Guess | None) -> Any:
    """Draw log-normally about a guess, its range from the 5th to the 95th percentile."""
    if guess is None or not guess.low or not guess.high:
        return value
    low, high = sorted((guess.low, guess.high))
    side = low if share < 0.5 else high
    return float(value * (side / value) ** (abs(normal(share)) / 1.645))


def plus(low: float, mode: float, high: float) -> Take:
    """Return a triangular deviation from the value."""
    deviation = triangle(low, mode, high)

    def take(share: float, value: Any, guess: Guess | None) -> float:
        return float(value + deviation(share))

    return take


def one_of(shares: dict[str, float]) -> Take:
    """Return a draw of one of some words by their shares."""
    ends = np.cumsum(list(shares.values()))

    def take(share: float, value: Any, guess: Guess | None) -> str:
        return list(shares)[int(np.searchsorted(ends, share * ends[-1], side="right"))]

    return take


def dirt(share: float, value: Any, guess: Guess | None) -> float:
    """Draw what dirt and age make of a paint: towards grey, which takes up half of the sun."""
    grey = 0.5
    return float(value + triangle(0.0, 0.1, 0.45)(share) * (grey - value))


def by_quarters(share: float, value: Any, guess: Guess | None) -> int:
    """Draw a time of day, half an hour around the value, in quarters of an hour."""
    late = triangle(-37.5, 0.0, 37.5)(share)
    return int(value + 15 * round(late / 15.0)) % DAY


def normal(share: float) -> float:
    """Return the standard normal variate of a share, within 2.5 standard deviations."""
    return min(max(STANDARD.inv_cdf(min(max(share, LEAST), 1.0 - LEAST)), -2.5), 2.5)


UNKNOWNS = (
    Unknown(
        "leakage", ("body.leakage",), within_range, factor(1.3),
        "assumed: the field's range where guessed; a third about a measured or named area, for "
        "doors' seals age and blower doors repeat to a tenth",
        "a blower-door or smoke test of the finished van",
    ),
    Unknown(
        "rib bridging", ("body.rib_bridging",), of_field, plus(-0.1, 0.0, 0.2),
        "assumed: the field's range; glued or screwed linings touch the steel more or less",
        "a thermal picture of the finished wall on a cold night",
    ),
    Unknown(
        "insulation as fitted", ("body.installed_conductivity",), of_field, plus(0.0, 0.02, 0.1),
        "ATP in-service growth (IIR 2019, up to 65 % in 12 years) bounds it; the field's range is "
        "a new fit-out's, assumed",
        "a heater test: watts against the temperature difference on a calm night",
    ),
    Unknown(
        "sky's radiation", ("site.sky",),
        one_of({"by dew point": 0.5, "by vapour pressure": 0.5}), None,
        "two textbook models that differ by 5 K on average (docs/physics-air.md); each as likely, "
        "assumed",
        "a pyrgeometer, or weather with measured longwave",
    ),
    Unknown(
        "dirt on the paint", ("body.colour",), of_field, dirt,
        "weathering takes white roofs from 0.2 to 0.3-0.4 within years (cool-roof ageing tests), "
        "from memory; darker paints fade",
        "wash it, or measure its reflectance",
    ),
    Unknown(
        "ground", ("site.ground",), one_of({"asphalt": 0.4, "gravel": 0.3, "grass": 0.3}), None,
        "assumed: car parks, tracks and meadows", "look where the van parks",
    ),
    Unknown(
        "wind break", ("body.shelter",),
        one_of({"open": 0.25, "some": 0.5, "sheltered": 0.25}), None,
        "assumed", "look at the place where the van parks",
    ),
    Unknown(
        "sleepers' heat", ("people.heat_asleep",), of_field, None,
        "the field's range: 40 W/m2 on 1.6 to 2.0 m2 of skin", "not worth measuring",
    ),
    Unknown(
        "setpoint as people set it", ("air_conditioner.setpoint",),
        plus(-1.5, 0.0, 1.5), plus(-1.5, 0.0, 1.5),
        "assumed: a thermostat's dial and its user are good to a kelvin or so",
        "a thermometer at the bed beside the dial",
    ),
    Unknown(
        "warmth as people set it", ("heater.setpoint", "electric_heater.setpoint"),
        plus(-2.0, 0.0, 3.0), plus(-2.0, 0.0, 3.0),
        "assumed: people turn heat up more than down", "a thermometer at the bed beside the dial",
    ),
    Unknown(
        "door openings", ("doors.openings_per_hour",), of_field, factor(1.6),
        "assumed: the field's range", "count them for an evening",
    ),
    Unknown(
        "bedtime", ("people.bedtime",), by_quarters, by_quarters,
        "assumed: half an hour either way", "ask the client",
    ),
    Unknown(
        "AC performance", ("air_conditioner.fit_factor",), of_field, plus(-0.05, 0.0, 0.05),
        "the field's range; a tenth of capacity for ducts, filter and recirculated condenser air, "
        "from memory",
        "supply and return temperature and the airflow at the vent, on a hot day",
    ),
    Unknown(
        "battery health", ("battery.health",), of_field, plus(-0.03, 0.0, 0.01),
        "new to 80 %, the usual end of a warranty, from memory",
        "a full discharge through the battery monitor",
    ),
    Unknown(
        "inverter's losses", ("inverter.efficiency",), of_field, plus(-0.02, 0.0, 0.01),
        "0.85-0.93 at a third of its rating, from memory",
        "watts in and out while the air conditioner runs",
    ),
    Unknown(
        "heater's efficiency", ("heater.efficiency",), of_field, plus(-0.03, 0.0, 0.02),
        "0.78-0.88, from memory", "litres burnt in a day at full output",
    ),
    Unknown(
        "fridge's draw", (FRIDGES,), of_field, factor(1.15),
        "45-60 W while it runs, from memory; door openings and food put in, assumed",
        "its watt-hours over a day through a meter",
    ),
    Unknown(
        "dirt on the panels", ("roof_panels.soiling",), of_field, plus(-0.02, 0.0, 0.08),
        "2-15 %, the field's range", "the panels' amps before and after washing",
    ),
)  # fmt: skip
"""Each unknown; the order is the order of the draws, so new ones go to the end."""

LINKS = {
    ("leakage", "insulation as fitted"): 0.4,
    ("rib bridging", "insulation as fitted"): 0.4,
    ("dirt on the paint", "dirt on the panels"): 0.7,
}
"""Rank correlations of a Gaussian copula, all assumed: one pair of hands fits insulation, seals and
lining; one dust lies on paint and panels."""

OTHERS = 1  # numbers of a draw beside the unknowns': which night or stay


def _correlation() -> Array:
    names = [unknown.name for unknown in UNKNOWNS]
    matrix = np.eye(len(names))
    for (one, other), value in LINKS.items():
        i, j = names.index(one), names.index(other)
        matrix[i, j] = matrix[j, i] = value
    return matrix


def draws(count: int, seed: int = SEED) -> Array:
    """Return quasi-random draws, shape (count, 1 + unknowns), each in (0, 1).

    A scrambled Sobol sequence (scipy), the unknowns' columns coupled by a Gaussian copula with
    `LINKS`. Column 0 is free, for the night or the stay. The first draws of a longer set are those
    of a shorter.

    References
    ----------
    Sobol 1967; Owen 1998 for the scrambling; both by `scipy.stats.qmc`.
    """
    return kept_draws(count, seed)["share"]


def normal_scores(count: int, seed: int = SEED) -> Array:
    """Return the standard normal variates of the draws, shape (count, unknowns)."""
    return kept_draws(count, seed)["score"]


@lru_cache(maxsize=16)
def kept_draws(count: int, seed: int) -> dict[str, Array]:
    """Return the draws and the unknowns' scores, from disk: the libraries load for a while."""
    size = 1 << max(4, (count - 1).bit_length())
    wide = OTHERS + len(UNKNOWNS)

    def build() -> dict[str, Array]:
        from scipy.special import ndtr, ndtri
        from scipy.stats import qmc

        free = qmc.Sobol(wide, scramble=True, rng=seed).random(size)
        free = np.clip(free, LEAST, 1.0 - LEAST)
        score = ndtri(free[:, OTHERS:]) @ np.linalg.cholesky(_correlation()).T
        return {"share": np.hstack([free[:, :OTHERS], ndtr(score)]), "score": score}

    kept = cached_arrays("draws", (size, seed, wide), build)
    return {name: values[:count] for name, values in kept.items()}


def drawn_sheets(sheet: Sheet, count: int, seed: int = SEED) -> Iterator[Sheet]:
    """Yield sheets with every unknown drawn; the same seed, the same sheets."""
    guesses = {guess.path: guess for guess in sheet.guessed}
    for shares in draws(count, seed)[:, OTHERS:]:
        yield drawn_sheet(sheet, shares, guesses)


def drawn_sheet(sheet: Sheet, shares: Array, guesses: dict[str, Guess]) -> Sheet:
    """Return a sheet with the unknowns at some shares (unknowns,) of their distributions."""
    drawn: dict[str, Any] = {}
    for unknown, share in zip(UNKNOWNS, shares, strict=True):
        for path, value in unknown.drawn(sheet, float(share), guesses).items():
            drawn[path] = within_limits(sheet, path, value)
    return sheet.with_values(drawn)


def within_limits(sheet: Sheet, path: str, value: Any) -> Any:
    """Return a drawn value, kept to what its field may hold and to what its other values allow."""
    part, name = holder_of(sheet, path)
    assert part is not None, "a value is drawn for a section that is there"
    if path == "people.bedtime":
        return _bedtime(sheet, value)
    if isinstance(value, str):
        return value
    low, high = specs(type(part))[name].bounds or (-np.inf, np.inf)
    if isinstance(part, AirConditioner) and name == "setpoint" and part.heats:
        low = max(low, part.heating_setpoint + 1.0)
    if isinstance(part, Heater | ElectricHeater) and name == "setpoint":
        low = max(low, part.otherwise or low)
    if isinstance(part, Inverter):
        least, most = _by_inverter(part)
        low, high = max(low, least), min(high, most)
    return float(np.clip(value, low, high))


def _by_inverter(part: Inverter) -> tuple[float, float]:
    """Return what efficiencies at a third of the rating go with its idle draw, and a given full's.

    The loss beyond idle at the full rating is three to nine times that at a third.
    """
    rating, idle = part.rating, 3.0 * part.idle
    if part.leaves("full_load_efficiency"):
        return 0.0, rating / (rating + idle)
    full = max(0.0, rating * (1.0 / part.full_load_efficiency - 1.0) - part.idle)
    return rating / (rating + idle + full), rating / (rating + idle + full / 3.0)


def _bedtime(sheet: Sheet, minute: int) -> int:
    """Return a drawn bedtime, or the sheet's where nobody would be home by then, or sleep."""
    people = sheet.people
    home, since = (people.bedtime - people.home_from) % DAY, (minute - people.home_from) % DAY
    moved = abs(since - home)
    return minute if moved < DAY // 2 and (people.waking - minute) % DAY >= 60 else people.bedtime
