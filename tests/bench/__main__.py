"""``python -m tests.bench``: time the loop, its rivals and whole processes, and write the page."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tests.bench import cases, compare, floor, futures, page, processes, weather
from tests.bench.clock import timed

TRIES = 9
DAYS = 7
STEP = 300.0  # s


def measure(smoke: bool) -> page.Figures:
    """Run every measurement; with ``smoke`` short ones, BDF at a tolerance not tuned."""
    tries = 2 if smoke else TRIES
    scene = cases.demo_scene()
    days = 3 if smoke else 365
    say("year")
    lived = cases.span(scene, "closed", 1, 1, days, "year")
    bare = cases.bare(lived, "bare year")
    lived_time, bare_time = timed(lived.run, tries), timed(bare.run, tries)
    steps = int(bare.plan.schedule.end[-1] // STEP)
    say("year of three rooms")
    scene_of_rooms = cases.rooms_scene()
    rooms = cases.span(scene_of_rooms, "closed", 1, 1, days, "three rooms")
    cooled = cases.span(scene_of_rooms, "ac", 1, 1, days, "three rooms, cooled")
    rooms_time, cooled_time = timed(rooms.run, tries), timed(cooled.run, tries)
    say("year with everything on")
    everything = cases.span(cases.everything_scene(), "ac", 1, 1, days, "everything", True)
    everything_time = timed(everything.run, tries)
    events = [
        compare.events(
            cases.span(cases.everything_scene(), "ac", month, day, min(days, DAYS), "", True)
        )
        for month, day in compare.STRETCHES
    ]
    say("parts of a step")
    parts = floor.parts(bare, steps, tries)
    say("references")
    length = 1 if smoke else DAYS
    stretches = [
        cases.bare(cases.span(scene, "closed", month, day, length, ""), "")
        for month, day in compare.STRETCHES
    ]
    truth, gap = compare.references(stretches, 1e-6 if smoke else 1e-8)
    errors = {base: compare.error_of_loop(stretches, truth, base) for base in compare.STEPS}
    say("BDF set for equal error")
    tuned = compare.tune(stretches, truth, errors[STEP][0], passes=1 if smoke else 7)
    best = min(tuned, key=lambda t: t.seconds)
    say("BDF's year and night")
    year = compare.duel(bare, best, tries, 1)
    bedtime = cases.hottest_night(scene)
    free = cases.bare(cases.night(scene, "closed", bedtime, ""), "")
    night = compare.duel(free, best, 3 * tries, 3)
    say("night with air conditioner")
    rows = compare.night_rows(cases.night(scene, "ac", bedtime, ""), tries)
    say("futures")
    many = futures.measure(smoke)
    say("processes")
    return page.Figures(
        days=days, nodes=bare.nodes, chains=len(scene.model.chains), steps=steps,
        lived=lived_time, rooms=rooms_time, cooled=cooled_time, rooms_nodes=rooms.nodes,
        everything=everything_time, events=events,
        rooms_chains=len(scene_of_rooms.model.chains), bare=bare_time,
        parts=parts, gap=gap, errors=errors, tuned=tuned,
        futures=many,
        best=best, year=year, night=night, night_hours=free.hours, bedtime=bedtime, rows=rows,
        imports={} if smoke else processes.imports(5),
        answers={} if smoke else processes.answers(5),
        weather=None if smoke else weather.measure(5, (1, 7, 20)),
    )  # fmt: skip


def say(what: str) -> None:
    """Tell what is being measured."""
    print(f"… {what}", file=sys.stderr, flush=True)


def main() -> None:
    """Read the options, measure, print, write."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--smoke", action="store_true", help="a few days: does it run at all?")
    parser.add_argument("--write", type=Path, metavar="FILE", help="write the page to this file")
    options = parser.parse_args()
    if options.smoke and options.write:
        parser.error("--smoke is no measurement to write down")
    figures = measure(options.smoke)
    text = page.page(figures)
    if options.smoke:
        print("A smoke run: it shows that the benchmarks run, its figures mean nothing.\n")
    print(text)
    if options.write:
        options.write.write_text(text)


if __name__ == "__main__":
    main()
