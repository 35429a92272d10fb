"""Futures: a thousand stays of drawn vans, on one core and on two, and the whole of `last`."""

from __future__ import annotations

import time
from typing import NamedTuple

from tests.bench.clock import Timed, timed_cold
from vanclimate.answers.futures.worlds import Worlds, worlds_of
from vanclimate.answers.last import last
from vanclimate.answers.season import record_for, season_of
from vanclimate.cache import data_path
from vanclimate.van.reading import load
from vanclimate.van.unknowns import SEED

COUNT, DAYS = 1000, 3
AIM_FUTURES, AIM_LAST = 3.0, 180.0  # s
SHEETS = ("holds", "winter-work-van")


class Futures(NamedTuple):
    """Times of one sheet's futures [s] on one core and on two, and of `last` with its search."""

    one: Timed
    two: Timed
    last: float
    held: int
    changes: int  # that are enough


def worlds(name: str, count: int) -> Worlds:
    """Return a scenario's futures."""
    sheet = load(data_path("scenarios", f"{name}.yaml"))
    return worlds_of(sheet, season_of(sheet, record_for(sheet)), DAYS, count, SEED)


def measure(smoke: bool) -> dict[str, Futures]:
    """Time each sheet's futures; drawing, compiling and judging each van counts."""
    count = 20 if smoke else COUNT
    out = {}
    for name in SHEETS[:1] if smoke else SHEETS:
        made = worlds(name, count)
        made.run_only(made.units[:1])  # the loop is compiled or loaded

        def run(workers: int, made: Worlds = made) -> None:
            made.changed(made.sheet).run(keep=False, workers=workers)  # no van is drawn yet

        one = timed_cold(lambda: run(1), 1)  # called here
        two = timed_cold(lambda: run(2), 1 if smoke else 3)
        seconds, held, changes = _last(name, count)
        out[name] = Futures(one, two, seconds, held, changes)
    return out


def _last(name: str, count: int) -> tuple[float, int, int]:
    """Time `last` with a seed of which nothing is kept on disk."""
    sheet = load(data_path("scenarios", f"{name}.yaml"))
    begin = time.perf_counter()
    found = last(sheet, days=DAYS, futures=count, seed=time.time_ns() % 2**31)
    seconds = time.perf_counter() - begin
    return seconds, found.odds.held, len(found.search.enough) if found.search else 0


def section(found: dict[str, Futures]) -> str:
    """Return the page's section."""
    from tests.bench.page import table, verdict

    rows = [
        (f"`{name}`", f"{f.one.least:.2f}", f"{f.two.least:.2f}",
         f"{f.one.least / f.two.least:.2f}", f"{f.last:.0f}", f"{f.held}", f"{f.changes}")
        for name, f in found.items()
    ]  # fmt: skip
    head = ("sheet", "one core, s", "two cores, s", "ratio", "`last` with its search, s", "last",
            "changes enough")  # fmt: skip
    demo = found[SHEETS[0]]
    longest = max(f.last for f in found.values())
    return f"""## Futures

{COUNT:,} stays of {DAYS} days, each van drawn, compiled, run through the weather and judged;
results are the same for any number of workers. Aim: {AIM_FUTURES:g} s on two cores for the demo:
{verdict(demo.two.least < AIM_FUTURES)}; the search for the smallest change, its confirmation on all
futures included, in {AIM_LAST:g} s: {verdict(longest < AIM_LAST)}.

{table(head, rows)}

The hydronic heater's van takes steps of 30 s while its fan coil blows."""
