"""The store of fetched weather: whole, suspicious of its files, and never in the way of a list."""

import json
import os
import pickle
import signal
import subprocess
import sys
import textwrap
import time
import zipfile
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest

from vanclimate.errors import NoYearsError, OptionError, WeatherError
from vanclimate.site.fetched import entry as entries
from vanclimate.site.fetched.entry import load, save
from vanclimate.site.fetched.names import coordinates_of, entry_file, slug_of, store_dir
from vanclimate.site.fetched.store import fetched_record, find_by_name, find_series, stored_series
from vanclimate.site.sites import find_record
from vanclimate.site.table import Hours
from vanclimate.site.weather import MEANS, POINTS

START = 1_546_300_800  # 2019-01-01 00:00 UTC


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache" / "fetched"


def origin(**changed):
    base = entries.Origin(
        name="Moab, Utah", latitude=38.7576, longitude=-109.7535, elevation=1395.7,
        utc_offset_h=-7.0, zone="America/Denver", source="power", service="NASA POWER", year=2019,
        format="NASA POWER", query={"url": "https://example.org/x", "start": "20190101"},
        fetched="2026-07-01", licence="invented", grid_latitude=38.75, grid_longitude=-109.75,
        grid_elevation=1500.0,
    )  # fmt: skip
    return replace(base, **changed)


def hours(n=8760, seed=0, start=START):
    """Invented values; they check nothing but that they come back."""
    rng = np.random.default_rng(seed)
    arrays = {name: rng.uniform(0.0, 20.0, n + 1) for name in POINTS}
    arrays["ceiling"][::3] = np.inf
    return Hours(start, arrays | {name: rng.uniform(0.0, 900.0, n) for name in MEANS}, ("a note",))


def kept(**changed):
    return save(origin(**changed), hours())


def refusal(call, *args):
    with pytest.raises(WeatherError) as caught:
        call(*args)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def rewritten(path, change=lambda meta, members: None):
    """Write an entry again with its parts changed."""
    with zipfile.ZipFile(path) as packed:
        members = {name: packed.read(name) for name in packed.namelist()}
    meta = json.loads(members["meta.json"])
    change(meta, members)
    members["meta.json"] = json.dumps(meta).encode()
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in members.items():
            packed.writestr(name, content)


def npy(values, allow_pickle=False):
    out = BytesIO()
    np.lib.format.write_array(out, values, allow_pickle=allow_pickle)
    return out.getvalue()


# --- whole


@pytest.mark.parametrize("year", [2019, None])
def test_what_is_kept_comes_back_bit_by_bit(year):
    given = hours()
    given.arrays["longwave"] = np.linspace(200.0, 300.0, given.n + 1)
    path = save(origin(year=year, source_years=(2001,) * 12 if year is None else ()), given)
    entry, found = load(path)
    assert entry.origin == origin(year=year, source_years=(2001,) * 12 if year is None else ())
    assert (found.start, found.n, found.notes) == (given.start, given.n, given.notes)
    assert found.arrays.keys() == given.arrays.keys()
    for name, values in given.arrays.items():
        np.testing.assert_array_equal(found.arrays[name], values)
    assert entry.size == path.stat().st_size
    assert len(entry.digest) == 64


def test_names_of_files_come_from_coordinates_only(folder):
    path = kept(name="../../evil\x00\n; rm -rf")
    assert path == folder / "n38.758-w109.754" / "power-2019.npz"
    assert load(path)[0].origin.name == "../../evil  ; rm -rf"


@pytest.mark.parametrize(
    ("latitude", "longitude", "slug"),
    [(-33.9, 18.4, "s33.900-e18.400"), (0.0, -0.0001, "n0.000-e0.000"),
     (90, 180, "n90.000-e180.000"), (-0.0004, 0.0, "n0.000-e0.000")],
)  # fmt: skip
def test_a_spots_folder_is_read_back_to_the_spot(latitude, longitude, slug):
    assert slug_of(latitude, longitude) == slug
    assert coordinates_of(slug) == pytest.approx((latitude, longitude), abs=5e-4)


def test_a_second_fetch_replaces_the_first():
    kept()
    path = save(origin(fetched="2026-08-01"), hours(seed=1))
    assert load(path)[0].origin.fetched == "2026-08-01"
    assert [p.name for p in path.parent.iterdir()] == ["power-2019.npz"]


def test_a_year_is_read_within_50_ms_without_pandas_or_pvlib():
    kept()
    code = """
        import sys, time
        from vanclimate.site.fetched.store import find_series
        (series,) = find_series(38.76, -109.75)
        took = []
        for _ in range(5):
            begin = time.perf_counter()
            series.load(2019)
            took.append(time.perf_counter() - begin)
        print(min(took))  # the machine may be busy with something else
        print([m for m in ("pandas", "pvlib", "requests", "airportsdata", "scipy")
               if m in sys.modules])
    """
    command = [sys.executable, "-c", textwrap.dedent(code)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    seconds, modules = done.stdout.splitlines()
    assert float(seconds) < 0.05
    assert modules == "[]"


# --- broken


def cut(path):
    path.write_bytes(path.read_bytes()[:-200])


def flip(path):
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)


def alter(path):
    def change(meta, members):
        values = np.lib.format.read_array(BytesIO(members["temp_air.npy"]))
        values[5] += 1e-9
        members["temp_air.npy"] = npy(values)

    rewritten(path, change)


def move_the_place(path):
    rewritten(path, lambda meta, members: meta["origin"].update(utc_offset_h=-8.0))


def pickled(path):
    def change(meta, members):
        members["temp_air.npy"] = npy(np.array([{"a": 1}] * 8761, dtype=object), True)

    rewritten(path, change)


def plain_pickle(path):
    path.write_bytes(pickle.dumps({"a": 1}))


def lying_shape(path):
    def change(meta, members):
        members["ghi.npy"] = members["ghi.npy"].replace(b"(8760,)", b"(10**9,)"[:7])

    rewritten(path, change)


def huge(path):
    with path.open("r+b") as out:
        out.truncate(21_000_000)


def bomb(path):
    rewritten(path, lambda meta, members: members.update({"ghi.npy": bytes(30_000_000)}))


def nan(path):
    given = hours()
    given.arrays["temp_dew"][7] = np.nan
    save(origin(), given)


def short(path):
    given = hours()
    given.arrays["wind_speed"] = given.arrays["wind_speed"][:-1]
    save(origin(), given)


def old_schema(path):
    rewritten(path, lambda meta, members: meta.update(schema=0))


def newer_schema(path):
    rewritten(path, lambda meta, members: meta.update(schema=9))


def other_place(path):
    rewritten(path, lambda meta, members: meta["origin"].update(latitude=12.0))


def no_place(path):
    rewritten(path, lambda meta, members: meta["origin"].pop("latitude"))


def odd_place(path):
    rewritten(path, lambda meta, members: meta["origin"].update(grid_elevation="high"))


def nan_place(path):
    rewritten(path, lambda meta, members: meta["origin"].update(grid_elevation=float("nan")))


def many_hours(path):
    rewritten(path, lambda meta, members: meta.update(hours=10**9))


def extra_part(path):
    rewritten(path, lambda meta, members: members.update({"../../x.npy": b""}))


def no_array(path):
    rewritten(path, lambda meta, members: members.pop("dni.npy"))


def directory(path):
    path.unlink()
    path.mkdir()


def link_out(path):
    outside = path.parent.parent.parent.parent / "outside.npz"
    path.rename(outside)
    path.symlink_to(outside)


def dangling_link(path):
    path.unlink()
    path.symlink_to("nowhere")


def pipe(path):
    path.unlink()
    os.mkfifo(path)


def folder_link(path):
    outside = path.parent.parent.parent.parent / "outside"
    path.parent.rename(outside)
    path.parent.symlink_to(outside)


def gone(path):
    path.unlink()


BROKEN = {
    cut: "a damaged file", flip: "a damaged file", plain_pickle: "a damaged file",
    alter: "altered content", move_the_place: "altered content",
    pickled: "temp_air does not hold plain numbers", lying_shape: "a damaged file",
    huge: "21 MB, more than 20", bomb: "more than 20 MB unpacked",
    nan: "values of temp_dew that are no numbers", short: "wind_speed of a wrong length",
    old_schema: "an old layout of entries (0, now 1)",
    newer_schema: "another layout of entries (9, now 1)",
    other_place: "an entry of another place, source or year", no_place: "a damaged file",
    odd_place: "a damaged file", nan_place: "a damaged file", many_hours: "a wrong number of hours",
    extra_part: "other parts than an entry has", no_array: "other parts than an entry has",
    directory: "a folder in place of a file", link_out: "a link in place of a file",
    dangling_link: "a link in place of a file", pipe: "not a plain file",
    folder_link: "a folder that leads out of the store", gone: "no such entry",
}  # fmt: skip


def as_it_stands(path):
    state = path.lstat()
    return state.st_ino, state.st_mode, state.st_size, state.st_mtime_ns


@pytest.mark.parametrize("damage", BROKEN, ids=lambda d: d.__name__)
def test_a_broken_entry_is_named_with_how_to_fetch_it_again_and_left_as_it_is(damage):
    path = kept()
    damage(path)
    before = None if damage is gone else as_it_stands(path)
    text = refusal(load, path)
    assert text.startswith(f"{path}: found '{BROKEN[damage]}'")
    assert (
        "refetch with: vanclimate weather fetch 38.758N,109.754W --years 2019 --source power "
        "--refresh"
    ) in text
    if before is not None:
        assert as_it_stands(path) == before


@pytest.mark.parametrize("damage", [d for d in BROKEN if d is not gone], ids=lambda d: d.__name__)
def test_a_list_passes_over_what_it_cannot_read(damage):
    kept(year=2018)
    kept(latitude=10.0)
    path = kept()
    damage(path)
    listed = {series.slug: series for series in stored_series()}
    assert listed["n10.000-w109.754"].years == (2019,)
    series = listed[path.parent.name]
    seen_by_list = damage not in (alter, move_the_place, pickled, lying_shape, nan, short, flip)
    if damage is folder_link:
        assert (series.years, len(series.broken)) == ((), 2)
    elif seen_by_list:
        assert series.years == (2018,)
        assert series.broken == (("power-2019.npz", BROKEN[damage]),)
    else:  # seen as soon as its hours are read
        assert series.years == (2018, 2019)
        refusal(series.load, 2019)


@pytest.mark.parametrize("damage", [directory, folder_link], ids=lambda d: d.__name__)
def test_keeping_over_what_stands_in_the_way_fails_in_one_line(damage):
    path = kept()
    damage(path)
    text = refusal(save, origin(), hours())
    assert "allowed: a cache folder that can be written to" in text
    assert not list(path.parent.glob("*.part"))


def test_keeping_over_a_link_replaces_the_link_and_not_its_goal():
    path = kept()
    link_out(path)
    goal = path.resolve()
    before = goal.read_bytes()
    save(origin(), hours(seed=3))
    assert not path.is_symlink()
    assert goal.read_bytes() == before


def test_a_store_that_is_a_file_is_empty_and_cannot_be_kept_in(folder):
    folder.parent.mkdir()
    folder.write_text("in the way")
    assert stored_series() == []
    assert find_series(38.7, -109.7) == []
    assert fetched_record("Moab", None) is None
    assert "allowed: a cache folder that can be written to" in refusal(save, origin(), hours())


def test_a_store_that_cannot_be_written_to_says_so(folder, monkeypatch):
    def refuse(*args, **more):
        raise PermissionError(13, "Permission denied")

    kept()
    monkeypatch.setattr(entries.tempfile, "mkstemp", refuse)
    text = refusal(save, origin(year=2018), hours())
    assert "found 'Permission denied'" in text
    assert "VANCLIMATE_CACHE" in text
    assert stored_series()[0].years == (2019,)


def test_strange_names_in_the_store_are_passed_over(folder):
    path = kept()
    for name in ("notes.txt", "power-19.npz", "Power-2019.npz", "power-2019.npz.part", "a"):
        (path.parent / name).write_text("x")
    (folder / "elsewhere").mkdir()
    (folder / "n1-e1").mkdir()
    (series,) = stored_series()
    assert (series.years, series.broken) == ((2019,), ())


def test_what_killed_processes_left_is_swept_after_a_day():
    path = kept()
    for name, age in (("old.part", 2 * 86_400), ("new.part", 60)):
        (path.parent / name).write_bytes(b"half")
        then = time.time() - age
        os.utime(path.parent / name, (then, then))
    kept()
    assert sorted(p.name for p in path.parent.iterdir()) == ["new.part", "power-2019.npz"]


# --- killed, and two at once

WRITER = """
    import sys
    sys.path.insert(0, {root!r})
    from tests.site.fetched.test_store import hours, origin
    from vanclimate.site.fetched.entry import save
    pieces = [hours(seed=i) for i in range(2)]
    print("ready", flush=True)
    for i in range({rounds}):
        save(origin(), pieces[i % 2])
"""


def writer(rounds):
    root = str(Path(__file__).resolve().parents[3])
    code = textwrap.dedent(WRITER.format(root=root, rounds=rounds))
    started = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert started.stdout is not None
    assert started.stdout.readline() == "ready\n"
    return started


def ended(process):
    """Wait for a writer; return how it ended and what it complained of."""
    with process:
        return process.wait(), process.stderr.read()


def test_a_writer_killed_in_the_middle_leaves_the_store_whole():
    path = kept()
    for pause in (0.003, 0.011, 0.02):
        process = writer(100_000)
        time.sleep(0.05 + pause)
        process.send_signal(signal.SIGKILL)
        assert ended(process)[0] == -signal.SIGKILL
        load(path)
        assert stored_series()[0].broken == ()


def test_two_writers_of_one_entry_and_a_reader_never_meet_half_of_it():
    path = kept()
    both = [writer(40), writer(40)]
    reads = 0
    while any(process.poll() is None for process in both):
        load(path)
        reads += 1
    assert [ended(process) for process in both] == [(0, "")] * 2
    assert reads > 3
    assert [p.name for p in path.parent.iterdir()] == ["power-2019.npz"]


# --- found again


def test_a_list_gathers_the_years_of_a_spot_by_source():
    for year in (2019, 2017, None):
        kept(year=year)
    kept(source="pvgis", service="PVGIS", year=None)
    power, pvgis = stored_series()
    assert (power.years, power.has_typical) == ((2017, 2019), True)
    assert (pvgis.years, pvgis.has_typical) == ((), True)
    assert (power.name, power.source) == ("Moab, Utah", "power")
    assert power.size == sum(entry.path.stat().st_size for entry in power.entries)


def test_the_nearest_spot_is_found_up_to_15_km():
    kept()
    kept(latitude=38.80, name="Another")
    assert find_series(38.76, -109.75)[0].name == "Moab, Utah"
    assert find_series(38.81, -109.75)[0].name == "Another"
    # a tenth of a degree of latitude is 11.1 km, two are 22.2 (60 nautical miles a degree)
    assert find_series(38.90, -109.75)[0].name == "Another"
    assert find_series(39.0, -109.75) == []
    assert find_series(39.0, -109.75, within_km=30)[0].name == "Another"


@pytest.mark.parametrize("text", ["Moab, Utah", "moab", "MOAB, utah", "Moab, UT", "Moab, US"])
def test_a_place_is_found_by_its_name(text):
    kept()
    assert [series.slug for series in find_by_name(text)] == ["n38.758-w109.754"]


@pytest.mark.parametrize("text", ["", "Denver, Colorado", "..", "Moab, Nevada"])
def test_another_name_finds_nothing(text):
    kept()
    assert find_by_name(text) == []


def test_a_name_kept_for_two_places_gives_the_choice():
    kept(name="Springfield, Ohio", latitude=39.84)
    kept(name="Springfield, Illinois", latitude=39.9, longitude=-89.7)
    with pytest.raises(OptionError, match="say which: Springfield, Illinois; Springfield, Ohio"):
        find_by_name("Springfield")
    assert find_by_name("springfield, ohio")[0].name == "Springfield, Ohio"


def test_a_record_of_years_says_where_it_comes_from():
    for year in (2017, 2018, 2019):
        kept(year=year)
    record = fetched_record("Moab", (2017, 2019))
    assert record is not None
    assert (record.asked, record.years) == ((2017, 2019), (2017, 2018, 2019))
    assert not record.typical
    assert record.source == "NASA POWER at 38.75, -109.75, fetched 2026-07-01"
    assert (record.elevation, record.place_elevation) == (1500.0, 1395.7)
    assert record.licence == "invented"
    assert record.load(2017).n == 8760
    assert record.digest == fetched_record("Moab", (2017, 2018)).digest
    kept(year=2018, licence="another")
    assert record.digest != fetched_record("Moab", (2017, 2018)).digest
    assert fetched_record("38.76, -109.75", (2017, 2019)) is not None


def test_a_record_without_years_is_the_typical_one_where_there_is_one():
    kept(year=2018)
    assert fetched_record("Moab", None).years == (2018,)
    kept(year=None, source="pvgis", service="PVGIS", source_years=tuple(range(2001, 2013)))
    record = fetched_record("Moab", None)
    assert record.typical
    assert record.source_years == tuple(range(2001, 2013))
    assert fetched_record("Moab", "typical").digest == record.digest


def test_of_two_sources_the_one_with_most_of_the_years_serves():
    for year in (2018, 2019):
        kept(year=year, source="pvgis", service="PVGIS")
    kept(year=2019)
    assert fetched_record("Moab", (2018, 2019)).source.startswith("PVGIS")
    assert fetched_record("Moab", (2019,)).source.startswith("NASA POWER")


def test_years_that_were_not_fetched_are_named_with_how_to_fetch_them():
    kept(year=2018)
    text = refusal(fetched_record, "Moab", (2016, 2017, 2018))
    assert "no years 2016-2017" in text
    assert "allowed: what was fetched: 2018" in text
    assert 'vanclimate weather fetch "Moab, Utah" --years 2016-2017 --source power' in text
    assert "no typical year" in refusal(fetched_record, "Moab", "typical")


def test_a_broken_entry_among_the_years_is_never_passed_over_in_silence():
    kept(year=2018)
    cut(kept(year=2019))
    assert fetched_record("Moab", (2018,)).years == (2018,)
    assert fetched_record("Moab", (2018,)).asked == (2018,)
    for years in ((2018, 2019), None):
        assert "--years 2019 --source power --refresh" in refusal(fetched_record, "Moab", years)


def test_a_broken_typical_year_is_not_replaced_by_real_years_in_silence():
    kept(year=2018)
    cut(kept(year=None, source="pvgis"))
    assert "--years typical --source pvgis --refresh" in refusal(fetched_record, "Moab", None)


def test_a_place_that_was_never_fetched_is_none():
    assert fetched_record("Moab", None) is None
    assert fetched_record("38.76, -109.75", (2019,)) is None
    assert not store_dir().exists()


def test_an_entry_never_has_a_name_of_its_own_making():
    with pytest.raises(ValueError, match="no name of an entry"):
        entry_file("../..", "power", 2019)
    with pytest.raises(ValueError, match="no name of an entry"):
        entry_file("n1.000-e1.000", "../x", 2019)


def test_years_beside_those_asked_for_still_give_their_edges():
    for year in (2018, 2019, 2020):
        start = int(datetime(year, 1, 1, tzinfo=UTC).timestamp())
        save(origin(year=year), hours(24 * (366 if year % 4 == 0 else 365), start=start))
    record = fetched_record("Moab", (2019,))
    assert (record.asked, record.years) == ((2019,), (2018, 2019, 2020))
    zone = timezone(timedelta(hours=-7))
    around = record.span(datetime(2018, 12, 30, tzinfo=zone), datetime(2020, 1, 3, tzinfo=zone))
    assert around.n == 24 * 369


@pytest.mark.parametrize("odd", ["Moab\x1b[2J", "Moab\x9b2J", "Mo\nab", "Mo\u202eab"])
def test_a_name_that_would_move_the_cursor_is_no_entry(odd):
    path = kept(year=2019)
    rewritten(path, lambda meta, members: meta["origin"].update(name=odd))
    (series,) = stored_series()
    assert not series.entries
    assert [name for name, _ in series.broken] == [path.name]


@pytest.mark.parametrize("text", ["miami", "Miami, Florida"])
def test_fetched_years_of_a_shipped_place_are_found_by_its_name(text):
    kept(name="Miami, Florida", latitude=25.8, longitude=-80.28, year=2019)
    record = find_record(text, years=(2019,))
    assert record.source.startswith("NASA POWER")
    assert find_record(text).typical
    with pytest.raises(NoYearsError, match=r"Miami, Florida: found 'no years 2018'"):
        find_record(text, years=(2018,))


def test_years_of_a_shipped_place_that_were_never_fetched_say_how_to_fetch_them():
    with pytest.raises(NoYearsError, match='weather fetch "Miami, Florida" --years 2018'):
        find_record("miami", years=(2018,))
