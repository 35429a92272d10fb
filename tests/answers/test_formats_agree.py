"""The same weather through two formats is the same nights: within 0.1 K and 1 % of the energy.

The weather is the shipped year's summer, laid on real dates; the files are written from it by
`tests.site.invented_files` with each service's digits and stamps. Writer and reader share one
belief of what a service's stamps mean, so a wrong belief would not show here: that is held against
pvlib's own readers (`tests/site/formats/test_oracle.py`) and, in measured files, against the sun.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache

import numpy as np
import pytest

from tests.site import invented_files as files
from vanclimate.answers.judge import felt_temperature, night_rows
from vanclimate.answers.scene import run_way, set_scene, survey
from vanclimate.answers.season import season_of
from vanclimate.cache import data_path
from vanclimate.site import Record, Weather, find_site, read_record
from vanclimate.site.record import record_of
from vanclimate.site.sky import BY_DEW_POINT, sky
from vanclimate.site.weather import MEANS, POINTS
from vanclimate.van import load
from vanclimate.van.place import read_stay

FIRST, DAYS = 152, 92  # from 2 June
STEFAN_BOLTZMANN = 5.670374e-8


@cache
def weather(longwave: bool) -> Weather:
    """Return a shipped summer as if of 2021, on request with its model's longwave as measured."""
    whole = find_site("greensboro")
    if longwave:
        black = sky(whole, BY_DEW_POINT).temp_sky + 273.15
        whole = replace(whole, longwave=STEFAN_BOLTZMANN * black**4)
    first, n = 24 * FIRST, 24 * DAYS
    cut = {k: getattr(whole, k)[first : first + n + 1] for k in POINTS}
    cut |= {k: getattr(whole, k)[first : first + n] for k in MEANS}
    return replace(
        whole,
        typical=False,
        start=datetime(2021, 1, 1, tzinfo=whole.start.tzinfo) + timedelta(days=FIRST),
        n=n,
        digest=f"july {longwave}",
        source_years=(),
        longwave=None if whole.longwave is None else whole.longwave[first : first + n + 1],
        **cut,
    )


def nights(record: Record) -> tuple[list[float], float]:
    """Return mean felt temperatures [°C] of some nights, and all nights' energy [Wh].

    Means and a whole summer's sum, for at one moment a unit's cycle may stand anywhere.
    """
    sheet = load(data_path("scenarios", "holds.yaml")).with_value("heading", 180.0)
    sheet = sheet.for_stay(read_stay("June 6 to August 30"))
    (spell,) = season_of(sheet, record).spells
    scene = set_scene(sheet, spell.weather(), 180.0)
    picked = [b for b in spell.nights if b.month == 7 and b.day in (9, 13, 17, 21)]
    assert len(picked) == 4
    felt = []
    for way in ("ac", "fans"):
        for bedtime in picked:
            run = run_way(scene, way, bedtime, limited=False)
            part = night_rows(run, bedtime, sheet)
            felt.append(float(np.average(felt_temperature(run, sheet, way)[part],
                                         weights=run.width[part])))  # fmt: skip
    return felt, sum(n.result.ac_energy_wh for n in survey(scene, spell.nights))


def assert_same_nights(one: tuple[list[float], float], other: tuple[list[float], float]) -> None:
    assert one[0] == pytest.approx(other[0], abs=0.1)
    assert one[1] == pytest.approx(other[1], rel=0.01)


@pytest.fixture(scope="module")
def mapped(tmp_path_factory):
    path = tmp_path_factory.mktemp("mapped") / "own.csv"
    path.write_text(files.as_mapped_csv(weather(False), stamp="end"))
    return nights(read_record(path))


@pytest.mark.parametrize(
    ("name", "write"),
    [
        ("nsrdb hourly", files.as_nsrdb),
        ("nsrdb half-hourly", lambda w: files.as_nsrdb(w, step=30)),
        ("own table, stamps at start", lambda w: files.as_mapped_csv(w, stamp="start")),
        ("own table, US units", lambda w: files.as_mapped_csv(w, stamp="middle", us_units=True)),
        (
            "own, summer time",
            lambda w: files.as_mapped_csv(w, stamp="end", zone="America/New_York"),
        ),
    ],
)
def test_formats_without_cloud_agree(tmp_path, mapped, name, write):
    path = tmp_path / "file.csv"
    path.write_text(write(weather(False)))
    assert_same_nights(nights(read_record(path)), mapped)


@pytest.mark.parametrize("write", [files.as_power_json, files.as_power_csv])
def test_hourly_means_with_longwave_agree_with_what_they_were_made_from(tmp_path, write):
    path = tmp_path / "file.txt"
    path.write_text(write(weather(True)))
    assert_same_nights(nights(read_record(path)), nights(record_of(weather(True))))


def test_a_typical_year_in_utc_with_instants_is_that_of_local_hours(tmp_path):
    """Sun read ten minutes past the hour, air on the hour, the months' seams shifted by 5 h.

    The file was written with each hour's cloud the same all through it, and read as if an instant's
    cloud went over into the next hour's: some 20 min of the clouds' time lie between.
    """
    whole = find_site("greensboro")
    black = sky(whole, BY_DEW_POINT).temp_sky + 273.15
    whole = replace(whole, longwave=STEFAN_BOLTZMANN * black**4, digest="typical longwave")
    path = tmp_path / "typical.json"
    path.write_text(files.as_pvgis_tmy_json(whole))
    assert_same_nights(nights(read_record(path)), nights(record_of(whole)))
