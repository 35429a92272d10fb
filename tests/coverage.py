"""How often the ranges that answers state hold: ``python -m tests.coverage`` measures it anew.

Hidden vans, drawn from the table of unknowns with a seed of their own, run on a fine grid in
weather that no answer has seen: that is the truth. Beside it stands the 80 % range that an answer
states from its own draws, its own coarser grid and its own weather. Counted is how often the range
holds the truth. The harder test draws the hidden vans from twice the spread. Nothing is tuned to
the result; ``--write`` puts it on docs/validation.md.

The held-out years are synthetic: days of the same month of a shipped typical year, drawn in blocks
by a seeded lottery. What such a year lacks, a month hotter or colder than the typical one, no
coverage here can miss.
"""

from __future__ import annotations

import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
from scipy.special import ndtr, ndtri
from scipy.stats import binomtest

from vanclimate.answers.futures.drawn import Places, drawn_scene, spread
from vanclimate.answers.futures.stays import COLUMN, judge_stays, run_stays, stays_of
from vanclimate.answers.scene import Scene, set_scene
from vanclimate.answers.season import record_for, season_of
from vanclimate.cache import data_path
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.site.weather import MEANS, POINTS, Weather
from vanclimate.van import load
from vanclimate.van.sheet import Sheet
from vanclimate.van.unknowns import OTHERS, drawn_sheet, draws

PAGE = Path(__file__).parents[1] / "docs" / "validation.md"
HEAD = "## Coverage of the 80 % ranges"
CASES = {"holds.yaml": "summer, AC on the bank", "winter-work-van.yaml": "winter, heater"}
QUANTITIES = {
    "charge_margin": ("least charge above what is kept, % of the bank", 100.0),
    "warm_margin_k": ("room to the warmest allowed, K", 1.0),
    "cold_margin_k": ("room to the coldest allowed, K", 1.0),
    "fuel_l": ("fuel, L", 1.0),
}
STATED = 0.8
ANSWER_SEED, HIDDEN_SEED, WEATHER_SEED = 20, 4711, 99
FINER, FINE_STEP = 5, 60.0  # parts for one of the answer's grid; s
WARM_UP = timedelta(hours=24)
BLOCK = 3  # days that stay together
DAYS = 2  # of a stay


@dataclass(frozen=True)
class Count:
    """How many truths lie in their ranges, below and above them."""

    inside: int
    below: int
    above: int

    @property
    def of(self) -> int:
        """How many there are."""
        return self.inside + self.below + self.above


def held_out(weather: Weather, month: int, seed: int) -> Weather:
    """Return a typical year whose month is made of blocks of its own days, drawn anew.

    The month before and after stay; within a day nothing is changed. Where two blocks meet, an
    edge at midnight is the later block's.
    """
    rng = np.random.default_rng(seed)
    first = int((datetime(2025, month, 1) - datetime(2025, 1, 1)).days)
    length = (datetime(2025 + month // 12, month % 12 + 1, 1) - datetime(2025, month, 1)).days
    chosen: list[int] = []
    while len(chosen) < length:
        start = int(rng.integers(0, length - BLOCK + 1))
        chosen += range(start, start + BLOCK)
    hours = np.arange(weather.n)
    for i, day in enumerate(chosen[:length]):
        at = 24 * (first + i)
        hours[at : at + 24] = 24 * (first + day) + np.arange(24)
    changed = {name: getattr(weather, name)[hours] for name in MEANS}
    edges = np.append(hours, hours[0])
    changed |= {name: getattr(weather, name)[edges] for name in POINTS}
    return replace(weather, digest=f"{weather.digest}:{month}:{seed}", **changed)


def wider(shares: np.ndarray, times: float) -> np.ndarray:
    """Return shares of distributions whose normal scores are so many times as wide."""
    out: np.ndarray = np.clip(ndtr(times * ndtri(shares)), 1e-6, 1.0 - 1e-6)
    return out


def stay_of(scene: Scene, night: datetime, base: float) -> dict[str, float]:
    """Return what a stay leaves of each quantity."""
    stays = stays_of(scene.sheet, [night], DAYS)
    row = judge_stays(run_stays(scene, stays, warm_up=WARM_UP, base=base), scene, stays)[0]
    return {name: float(row[COLUMN[name]]) for name in QUANTITIES}


def runs(scenes: list[tuple[Scene, datetime]], base: float) -> list[dict[str, float]]:
    """Return the same of many, two at a time."""
    with ThreadPoolExecutor(max_workers=2) as pool:
        return list(pool.map(lambda x: stay_of(x[0], x[1], base), scenes))


def vans_of(scene: Scene, count: int, seed: int, times: float = 1.0) -> list[Sheet]:
    """Return drawn sheets, from a spread so many times as wide."""
    guesses = {guess.path: guess for guess in scene.sheet.guessed}
    shares = draws(count, seed)[:, OTHERS:]
    if times != 1.0:
        shares = wider(shares, times)
    return [drawn_sheet(scene.sheet, x, guesses) for x in shares]


def stated(scene: Scene, nights: list[datetime], count: int) -> dict[str, tuple[float, float]]:
    """Return the 80 % range of each quantity, as `answers.last` states it: over vans and stays."""
    places = Places(scene)
    free = draws(count, ANSWER_SEED)[:, 0]
    sheets = vans_of(scene, count, ANSWER_SEED)
    asked = [(drawn_scene(scene, sheet, places), nights[int(x * len(nights))])
             for sheet, x in zip(sheets, free, strict=True)]  # fmt: skip
    found = runs(asked, 300.0)
    told = [name for name in QUANTITIES if np.isfinite([x[name] for x in found]).all()]
    return {name: spread([x[name] for x in found], STATED) for name in told}


def truths(
    scene: Scene, weather: Weather, nights: list[datetime], count: int, times: float
) -> list[dict[str, float]]:
    """Return how hidden vans fare, each in a stay of its own held-out year, on a fine grid."""
    sheets = vans_of(scene, count, HIDDEN_SEED, times)
    free = draws(count, HIDDEN_SEED)[:, 0]
    asked = []
    for i, (sheet, x) in enumerate(zip(sheets, free, strict=True)):
        year = held_out(weather, scene.sheet.month, WEATHER_SEED + i)
        there = set_scene(sheet, year, scene.place.heading)
        fine = replace(there, model=compile_shell(shell_of(sheet), FINER))
        asked.append((fine, nights[int(x * len(nights))]))
    return runs(asked, FINE_STEP)


def counted(range_: tuple[float, float], values: list[float]) -> Count:
    """Return how many values lie in a range."""
    low, high = range_
    below = sum(x < low for x in values)
    above = sum(x > high for x in values)
    return Count(len(values) - below - above, below, above)


def measured(hidden: int, count: int) -> dict[tuple[str, float, str], Count]:
    """Return the counts by case, times the spread, and quantity."""
    found = {}
    for file in CASES:
        sheet = load(data_path("scenarios", file)).with_value("heading", 180.0)
        season = season_of(sheet, record_for(sheet))
        (spell,) = season.spells
        scene = set_scene(sheet, spell.weather(), 180.0)
        nights = list(spell.nights[: -DAYS + 1])
        ranges = stated(scene, nights, count)
        for times in (1.0, 2.0):
            true = truths(scene, scene.place.weather, nights, hidden, times)
            for name, range_ in ranges.items():
                values = [x[name] for x in true]
                if np.isfinite(values).all() and np.ptp(values) > 0.0:
                    found[file, times, name] = counted(range_, values)
    return found


def row(key: tuple[str, float, str], count: Count) -> str:
    """Return a row of the page's table."""
    file, times, name = key
    share = count.inside / count.of
    ends = binomtest(count.inside, count.of).proportion_ci(STATED, method="exact")
    short = max(0.0, STATED - share)
    wide = "the table's" if times == 1.0 else "twice the table's"
    return (
        f"| {CASES[file]} | {wide} | {QUANTITIES[name][0]} | {share:.0%} "
        f"({ends.low:.0%}–{ends.high:.0%}) | {count.below}, {count.above} of {count.of} "
        f"| {f'{100 * short:.1f} points' if short else 'none'} |"
    )


def page(found: dict[tuple[str, float, str], Count], count: int) -> str:
    """Return the section of docs/validation.md."""
    text = f"""{HEAD}

`python -m tests.coverage --write`; a small form in `tests/test_coverage.py`. Stays of {DAYS} days
of hidden vans, drawn with another seed and run on a grid {FINER} times as fine in steps of
{FINE_STEP:.0f} s, each in a year that the answer has not seen; beside them the 80 % range over
{count} draws of the answer. **The years are synthetic**: blocks of {BLOCK} days of the same month
of the shipped typical year, drawn by lot, for neither the package nor the tests' own weather has
real years. A month unlike the typical one is not tried, so real coverage is lower. *Twice* doubles
the normal scores of each draw: more vans lie at the ends of their ranges, none beyond them. The
share inside with its binomial 80 % interval, how many lie below and above, and what is short of
80 %. No spread was tuned to it.

| case | hidden vans' spread | quantity | inside | below, above | short |
|---|---|---|---:|---:|---|
"""
    return text + "\n".join(row(key, x) for key, x in found.items()) + f"\n\n{told(found)}\n"


def told(found: dict[tuple[str, float, str], Count]) -> str:
    """Return what the table says in a line: short beyond chance, by the spread."""
    lines = []
    for times, words in ((1.0, "the table's own spread"), (2.0, "twice that")):
        mine = {key: x for key, x in found.items() if key[1] == times}
        short = {key: x for key, x in mine.items()
                 if binomtest(x.inside, x.of, STATED, "less").pvalue < 0.1}  # fmt: skip
        text = "; ".join(f"{QUANTITIES[key[2]][0]} ({CASES[key[0]]})" for key in short)
        lines.append(f"Of {words}, short beyond chance: {text or 'none'}.")
    return "\n".join(lines)


def write(section: str) -> None:
    """Put the section on the page, before the list of misses where it is new."""
    text = PAGE.read_text(encoding="utf-8")
    if HEAD in text:
        before, rest = text.split(HEAD, 1)
        after = rest[rest.index("\n## ") + 1 :]
    else:
        before, after = text.split("## Misses", 1)
        after = "## Misses" + after
    PAGE.write_text(f"{before}{section}\n{after}", encoding="utf-8")


def main() -> None:
    """Measure, print, and write where that is asked."""
    hidden, count = 64, 256
    section = page(measured(hidden, count), count)
    print(section)
    if "--write" in sys.argv:
        write(section)


if __name__ == "__main__":
    main()
