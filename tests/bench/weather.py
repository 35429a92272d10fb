"""Times of the weather: files read cold and again, fetched years loaded, a night over years."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import NamedTuple

from tests.bench.clock import Timed, timed_cold
from tests.bench.processes import ROOT, call
from tests.site import invented_files as files
from vanclimate.cache import data_path
from vanclimate.site.fetched.entry import Origin, save
from vanclimate.site.fetched.store import find_series
from vanclimate.site.readers import read_record
from vanclimate.site.record import hours_of

ZONE = timezone(timedelta(hours=-7))
SPOT = (38.57, -109.55)
FIRST, MANY = 2001, 20


class Reading(NamedTuple):
    """Reading one file: everything anew, and from the cache."""

    cold: Timed
    again: Timed


class Season(NamedTuple):
    """A whole answer over some years, in a process of its own: seconds and peak memory [MB]."""

    seconds: float
    memory: float


class Weather(NamedTuple):
    """All that is measured of the weather."""

    readings: dict[str, Reading]
    stored: Timed
    seasons: dict[int, Season]


def measure(tries: int, counts: tuple[int, ...]) -> Weather:
    """Measure in a cache folder of its own; ``counts`` of years for the night."""
    with tempfile.TemporaryDirectory() as folder:
        before = os.environ.get("VANCLIMATE_CACHE")
        os.environ["VANCLIMATE_CACHE"] = folder
        try:
            return Weather(_readings(Path(folder), tries), *_stored(tries, counts))
        finally:
            os.environ.pop("VANCLIMATE_CACHE")
            if before is not None:
                os.environ["VANCLIMATE_CACHE"] = before


def _readings(folder: Path, tries: int) -> dict[str, Reading]:
    year = files.invented_days(365, datetime(FIRST, 1, 1, tzinfo=ZONE))
    made = {
        "NSRDB, hours": files.as_nsrdb(year),
        "NASA POWER, JSON": files.as_power_json(year),
        "a table of one's own": files.as_mapped_csv(year),
    }
    paths = {
        "TMY3, shipped": data_path("weather", "723170TYA.CSV.gz"),
        "TMY2, shipped": data_path("weather", "12839.tm2.gz"),
    }
    for name, text in made.items():
        paths[name] = folder / f"{len(paths)}.txt"
        paths[name].write_text(text, encoding="utf-8")

    def cold(path: Path) -> None:
        shutil.rmtree(folder / "weather", ignore_errors=True)
        whole(path)

    def whole(path: Path) -> None:
        read_record(path).whole()

    found = {}
    for name, path in paths.items():
        cold(path)  # modules are imported once
        found[name] = Reading(
            timed_cold(lambda path=path: cold(path), tries),  # type: ignore[misc]
            timed_cold(lambda path=path: whole(path), tries),  # type: ignore[misc]
        )
    return found


def _stored(tries: int, counts: tuple[int, ...]) -> tuple[Timed, dict[int, Season]]:
    for year in range(FIRST, FIRST + max(counts)):
        days = (datetime(year + 1, 1, 1) - datetime(year, 1, 1)).days
        hours = hours_of(files.invented_days(days, datetime(year, 1, 1, tzinfo=ZONE)))
        origin = Origin(
            name="Invented Flats", latitude=SPOT[0], longitude=SPOT[1], elevation=1234.0,
            utc_offset_h=-7.0, zone="invented", source="power", service="NASA POWER", year=year,
            format="invented", query={}, fetched="2026-01-01", licence="invented",
            grid_latitude=SPOT[0], grid_longitude=SPOT[1], grid_elevation=1234.0,
        )  # fmt: skip
        save(origin, hours)
    (series,) = find_series(*SPOT)
    one = timed_cold(lambda: series.load(FIRST), tries)
    call("-m", "vanclimate", "night")  # compiles
    return one, {count: _night(count) for count in counts}


def _night(years: int) -> Season:
    """Run the demo's night over years of a July, as a process."""
    span = f"{FIRST}-{FIRST + years - 1}"
    code = (
        "import re, sys, time; begin = time.perf_counter()\n"
        "from vanclimate.cli import main\n"
        f"sys.argv = ['', 'night', '--site', '{SPOT[0]},{SPOT[1]}', '--years', '{span}']\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code\n"
        # the kernel's own record, for what getrusage tells is handed down from the parent
        "peak = int(re.search(r'VmHWM:\\s+(\\d+)', open('/proc/self/status').read())[1]) / 1024\n"
        "print(time.perf_counter() - begin, peak, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True
    )
    seconds, memory = done.stderr.split()[-2:]
    return Season(float(seconds), float(memory))
