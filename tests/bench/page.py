"""The figures as a page of text."""

from __future__ import annotations

import os
import platform
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from importlib.metadata import version

from tests.bench import futures
from tests.bench.clock import Timed
from tests.bench.compare import FINE, FINE_EVENTS, FINE_NIGHT, SHIFTS, Duel, Events, NightRow, Tuned
from tests.bench.processes import ROOT
from tests.bench.weather import Weather
from vanclimate.network.compile import Array

NAMED = ("numpy", "scipy", "numba", "pandas", "pvlib", "pydantic", "pint", "typer", "rich",
         "pythermalcomfort")  # fmt: skip
AIM_YEAR, AIM_RATIO, AIM_ROOMS, AIM_ALL = 0.4, 50.0, 0.4, 0.5  # s; times BDF; s; s


@dataclass(frozen=True)
class Figures:
    """Everything measured in one run."""

    days: int
    nodes: int
    chains: int
    steps: int
    lived: Timed
    rooms: Timed
    cooled: Timed
    everything: Timed
    events: list[dict[str, Events]]
    rooms_nodes: int
    rooms_chains: int
    bare: Timed
    parts: dict[str, Timed]
    gap: float
    errors: dict[float, tuple[float, float]]
    tuned: list[Tuned]
    best: Tuned
    year: Duel
    night: Duel
    night_hours: int
    bedtime: datetime
    rows: list[NightRow]
    imports: dict[str, Timed]
    answers: dict[str, Timed]
    weather: Weather | None
    futures: dict[str, futures.Futures]


def commit() -> str:
    """Return the short hash of the source's commit, and whether the package differs from it."""

    def git(*args: str) -> str:
        done = subprocess.run(["git", *args], cwd=ROOT, capture_output=True, text=True, check=True)
        return done.stdout.strip()

    try:
        changed = git("status", "--porcelain", "--", "vanclimate", "scenarios", "weather")
        return git("rev-parse", "--short", "HEAD") + (" with later changes" if changed else "")
    except (OSError, subprocess.CalledProcessError):
        return "unknown"


def processor() -> str:
    """Return the processor's kind, without its maker's name, and its cores."""
    return f"{platform.machine()} processor, {os.cpu_count()} cores"


def table(head: tuple[str, ...], rows: Sequence[tuple[str, ...]]) -> str:
    """Return a table, the first column to the left, the others to the right."""
    line = "|---|" + "---:|" * (len(head) - 1)
    return "\n".join([f"| {' | '.join(row)} |" if row else line for row in (head, (), *rows)])


def verdict(met: bool) -> str:
    """Return the word for an aim."""
    return "met" if met else "missed"


def page(f: Figures) -> str:
    """Return the whole page."""
    parts = [heading(f), speed(f), how(f), error_by_step(f), night(f), events(f)]
    parts.append(futures.section(f.futures))
    if f.imports:
        parts.append(processes(f))
    if f.weather is not None:
        parts.append(weather(f.weather))
    return "\n\n".join(parts) + "\n"


def heading(f: Figures) -> str:
    """Return what was measured on what."""
    versions = ", ".join(f"{name} {version(name)}" for name in NAMED)
    span = "a year" if f.days == 365 else f"{f.days} days"
    return f"""# Performance

Written by `python -m tests.bench --write docs/performance.md`; do not edit by hand.

Commit {commit()}, {date.today():%-d %B %Y}. {processor()}; Python {platform.python_version()},
{versions}.
Times are the least of several tries on a machine shared with other work. Over the tries of the bare
year the median lay {f.bare.noise:.0%} above the least, of the lived year {f.lived.noise:.0%}, of
the sweep {f.parts["sweep"].noise:.0%}. Whole runs half an hour apart gave leasts within 4 %; with
the neighbours busy a single time rose by up to 80 %. BDF's year is one try.

The van is the demo, `scenarios/holds.yaml`, compiled to {f.nodes} nodes in {f.chains} chains, air
and radiant star apart. The span is {span}, closed up and floating free, in {f.steps} steps of five
minutes, all columns of the trace written. *Bare* is the shell in dry air with nobody and nothing
inside, the same for every solver; *lived* is the sheet as it stands, with people, water, loads, fan
and fridge."""


def speed(f: Figures) -> str:
    """Return the year's times and ratios."""
    sweep = f.parts["sweep"].least
    duel = f.year
    ratio = duel.bdf / duel.ours
    each = 1e9 / f.steps / f.nodes

    def row(name: str, seconds: float) -> tuple[str, ...]:
        return (name, f"{seconds:.3f}", f"{seconds * each:.1f}", f"{seconds / sweep:.1f}",
                f"{duel.bdf / seconds:.0f}")  # fmt: skip

    rows = [
        row("`solve_ivp` BDF, bare, equal error", duel.bdf),
        row("our loop, lived", f.lived.least),
        row("our loop, bare", min(f.bare.least, duel.ours)),
        row("bare elimination sweep", sweep),
    ]
    piece = [
        (name, f"{f.parts[key].least * 1e9 / f.steps:.0f}", f"{f.parts[key].least / duel.ours:.0%}")
        for name, key in (
            ("one factorisation, two substitutions (the sweep)", "sweep"),
            ("of which the factorisation", "factors"),
            ("thermal step with its sources (holds the sweep)", "step"),
            ("film coefficients", "films"),
            ("the heat's books", "books"),
        )
    ]
    head = ("the year", "s", "ns a node-step", "× sweep", "faster than BDF")
    return f"""## The year

{table(head, rows)}

Aim: the lived year under {AIM_YEAR} s: {verdict(f.lived.least < AIM_YEAR)}. At least
{AIM_RATIO:.0f} × BDF at equal error: {verdict(ratio > AIM_RATIO)}, {ratio:.0f} ×. The two
solutions of the whole year lie {duel.gap * 1000:.2f} mK RMS apart in hourly air temperature; BDF
called its right-hand side {duel.slopes} times.

The full shell, `scenarios/three-rooms.yaml`: cab, living space and garage, {f.rooms_nodes} nodes in
{f.rooms_chains} chains, which are sides with their ribs, partitions, panes and furniture; moisture
with linings in each room. Its year lived closed up takes {f.rooms.least:.3f} s,
{f.rooms.least / sweep:.1f} × the demo's sweep and {duel.bdf / f.rooms.least:.0f} times faster than
BDF solves the demo's bare shell; with the air conditioner's nights {f.cooled.least:.3f} s. Aim:
{AIM_ROOMS} s: {verdict(f.rooms.least < AIM_ROOMS)}.

Everything on (`tests/bench/everything.yaml`): panels, driving, shore, bank with its protection and
pad, inverter, rules, air conditioner as a heat pump too, fuel heater, electric heater and mains
loads, the bank followed through the year: {f.everything.least:.3f} s. Aim: {AIM_ALL} s:
{verdict(f.everything.least < AIM_ALL)}.

What the parts of a step cost, each looped over alone:

{table(("part", "ns a step", "of the bare year"), piece)}

Along a chain each division waits for the last, so the loop eliminates level by level: the first
nodes of all chains side by side, then the next ones, several to a processor's register, which
halved the year of the van of three rooms. The films take a cube root for each face and powers of
the wind; what is left after the step, the films and the books is weather between the hours, water,
switches, the bank, and memory for the trace."""


def how(f: Figures) -> str:
    """Return how the rival was set."""
    rows = [
        (
            "hour by hour" if t.restart else "run through",
            "sparse" if t.sparse else "dense",
            f"{t.tolerance:.1e}",
            f"{t.error * 1000:.2f}",
            f"{t.seconds:.2f}",
        )
        for t in f.tuned
    ]
    head = ("BDF", "Jacobian", "rtol", "error, mK RMS", "s for the stretches")
    return f"""## How BDF was set

The right-hand side is compiled and uses the package's own formulae at the temperatures of the
moment: films, longwave, leakage from wind and temperature, weather linear between the hours, sun
constant within one. The radiant star holds no heat and is solved for in closed form. The Jacobian
is compiled too: convective films and leakage frozen, radiation between the faces exact. Water is
left out on both sides by drying the air (`humidity` 0) and leaving nobody inside. Python's call of
the compiled function costs some microseconds of BDF's time; the rest is its own.

Truth is Radau at rtol 1e-8, restarted at every hour, over a winter and a summer week. Our own loop
at {FINE:g} s agrees with it to {f.gap * 1000:.3f} mK RMS in air temperature at every five minutes:
two methods, two codes, one solution. BDF's tolerance (atol ten times rtol) was bisected until its
error was that of our loop in steps of five minutes, {f.errors[300.0][0] * 1000:.1f} mK. Errors are
taken at every five minutes: at the ends of the hours alone our loop's looks far smaller, and BDF
would be asked for more than ours gives. It was tried restarted at every hour, so that no step spans
a jump of the sun, and run through:

{table(head, rows)}

The fastest of the four is the one compared."""


def error_by_step(f: Figures) -> str:
    """Return error against step, floating free."""
    rows = [
        (f"{base:g}", f"{ends * 1000:.2f}", f"{hours * 1000:.2f}")
        for base, (ends, hours) in f.errors.items()
    ]
    head = ("base step, s", "at every row's end, mK RMS", "at the hours' ends, mK RMS")
    return f"""## Error against the step, floating free

Air temperature over the two weeks, bare, against Radau:

{table(head, rows)}

The sun of an hour is constant and jumps at its end; the air's answer to the jump is quicker than a
step of five minutes, and what is missed there is gone when the hour ends. Films are frozen over a
step at temperatures extrapolated to its middle; between 360 and 450 s (tried by hand, in this van
and in one of bare steel) that explicit part begins to swing. Five minutes is the longest base step
to be trusted, not a cautious one."""


def night(f: Figures) -> str:
    """Return the night's times, and its error against the step."""
    d = f.night
    rows = [
        (f"{r.base:g}", f"{r.error:.3f}", f"{r.energy:.0f}", f"{r.latent:.0f}", str(r.starts),
         f"{r.seconds * 1000:.1f}")
        for r in f.rows
    ]  # fmt: skip
    head = ("base step, s", "hourly mean, K RMS", "drawn, Wh", "latent, Wh", "starts", "ms")
    usual = next(r for r in f.rows if r.base == 300.0)
    fine = f.rows[-1]
    return f"""## The night

{f.bedtime:%-d %B}, the night of the month that asks most of the air conditioner, with the three
days before it ({f.night_hours} h). Bare and floating free: our loop {d.ours * 1000:.2f} ms, BDF
{d.bdf * 1000:.0f} ms, {d.bdf / d.ours:.0f} ×, {d.gap * 1000:.2f} mK RMS apart. With thermostat,
water and bank, every switch located inside its step: {usual.seconds * 1000:.1f} ms; BDF has no
counterpart without event functions of its own, so none is claimed.

The same night by base step, against our loop at {FINE_NIGHT:g} s (bedtime to waking):

{table(head, rows)}

Hourly means are compared, since the value at an instant says only where in its cycle the unit is.
At five minutes the energy drawn is {usual.energy / fine.energy - 1:+.1%} off and the latent heat
{usual.latent / fine.latent - 1:+.1%}: what the unit takes out is held over a step, and its coil's
first minutes are quicker than that."""


def events(f: Figures) -> str:
    """Return heat, power and starts with everything on, against short steps."""

    def off(usual: Array, fine: Array) -> str:
        return f"{usual.mean() / fine.mean() - 1:+.1%}" if fine.mean() else "–"

    rows = [
        (f"{season}, {name}", f"{e.kwh.mean():.2f}", off(e.kwh, e.fine_kwh),
         f"{e.starts.mean():.0f}", off(e.starts, e.fine_starts),
         f"{(e.kwh / e.fine_kwh).std():.1%}", f"{e.fine_kwh.std() / e.fine_kwh.mean():.1%}")
        for season, found in zip(("winter week", "summer week"), f.events, strict=True)
        for name, e in found.items() if e.fine_kwh.mean() > 0
    ]  # fmt: skip
    against = f"against {FINE_EVENTS:g} s"
    head = ("everything on", "kWh", against, "starts", against, "one week's kWh, scatter",
            f"at {FINE_EVENTS:g} s alone")  # fmt: skip
    return f"""## Events

The van with everything on, a week from a full bank: what each device takes or gives and how often
it starts at a base step of five minutes, against the same at {FINE_EVENTS:g} s. Means of
{len(SHIFTS)} weeks in which the outdoor air is up to {SHIFTS[-1]:g} K warmer or colder:

{table(head, rows)}

A device's week is some hundred runs, so that one run more or less, by a thermostat that switches a
second late, is near 1 % of it. A single week is worth no more than the scatter in the last two
columns: of the ratio between the steps, and of short steps alone over those weeks."""


def processes(f: Figures) -> str:
    """Return imports and whole processes."""
    empty = f.imports[""].least
    rows = [
        (f"`{name}`", f"{t.least - empty:.2f}", f"{t.median - empty:.2f}")
        for name, t in f.imports.items()
        if name
    ]
    answers = [(name, f"{t.least:.2f}", f"{t.median:.2f}") for name, t in f.answers.items()]
    return f"""## Imports

Seconds of a process that imports one module, less the {empty:.3f} s of one that imports none:

{table(("module", "least", "median"), rows)}

## Whole processes

`python -m vanclimate night` on the demo, first with an empty cache, so that the loop is compiled,
then again; and `--help`. Seconds from start to exit:

{table(("process", "least", "median"), answers)}"""


def weather(w: Weather) -> str:
    """Return what reading weather and going through years costs."""
    read = [
        (name, f"{1000 * r.cold.least:.0f}", f"{1000 * r.again.least:.0f}")
        for name, r in w.readings.items()
    ]
    seasons = [
        (str(years), f"{s.seconds:.1f}", f"{s.memory:.0f}") for years, s in w.seasons.items()
    ]
    return f"""## Weather

A year's file checked, read and laid on hours (modules imported before), and again from the cache;
milliseconds:

{table(("file", "anew", "again"), read)}

The NSRDB's hours are instants of a satellite, spread over their hours by a clear sky computed every
quarter of an hour. A fetched year is loaded from the store, its hash checked, in
{1000 * w.stored.least:.0f} ms.

The demo's van on July nights of fetched years (invented ones), a whole process from start to exit
with the loop compiled and nothing of the years' sun known; seconds and peak memory:

{table(("years", "s", "MB"), seasons)}

One year's weather is in memory at a time."""
