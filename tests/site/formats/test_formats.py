"""Formats are told apart, a station's files joined, bytes made text; reading is quick and light."""

import json
import os
import random
import subprocess
import sys
import time

import numpy as np
import pytest

from tests.site import invented_files as invented
from vanclimate.errors import WeatherError
from vanclimate.site import formats
from vanclimate.site.formats.rows import Column, Source, numbers
from vanclimate.site.table import QUANTITIES


@pytest.fixture(scope="module")
def texts():
    days, year = invented.invented_days(3), invented.invented_year()
    return {
        "CSV with three lines at its top": invented.as_mapped_csv(days),
        "TMY3": invented.as_tmy3(year),
        "TMY2": invented.as_tmy2(year),
        "NSRDB": invented.as_nsrdb(days),
        "PVGIS typical year, JSON": invented.as_pvgis_tmy_json(year),
        "PVGIS typical year, CSV": invented.as_pvgis_tmy_csv(year),
        "PVGIS hourly, JSON": invented.as_pvgis_hourly_json(days),
        "PVGIS hourly, CSV": invented.as_pvgis_hourly_csv(days),
        "NASA POWER, JSON": invented.as_power_json(days),
        "NASA POWER, CSV": invented.as_power_csv(days),
        "BSRN": invented.as_bsrn(days),
        "SURFRAD": invented.as_surfrad(days),
        "CRN": invented.as_crn(days),
    }


def test_each_text_matches_its_own_format_and_no_other(texts):
    assert set(texts) == {form.name for form in formats.FORMATS}
    for name, text in texts.items():
        assert [form.name for form in formats.FORMATS if form.matches(text)] == [name]


def test_every_table_is_in_si_and_in_order(texts):
    for name, text in texts.items():
        table = formats.read(text, name)
        rows = len(table.start)
        assert np.all(np.diff(table.start) > 0)
        assert table.start.dtype == np.int64
        for quantity, values in table.columns.items():
            low, high = QUANTITIES[quantity]
            assert values.shape == (rows,)
            assert np.nanmin(values) >= low
            assert np.nanmax(values) <= high
            assert quantity in table.names
        assert table.stamps
        assert table.licence or name.startswith("CSV")


def test_windows_line_ends_and_a_byte_order_mark_change_nothing(texts):
    for name, text in texts.items():
        other = "\ufeff" + text.replace("\r\n", "\n").replace("\n", "\r\n")
        one, two = formats.read(text, name), formats.read(other, name)
        np.testing.assert_array_equal(one.start, two.start)
        for quantity in one.columns:
            np.testing.assert_array_equal(one.columns[quantity], two.columns[quantity])


def test_text_in_the_code_pages_of_the_west_and_in_utf_16():
    text = invented.as_mapped_csv(invented.invented_days(2)).replace("Invented", "Señor São")
    for encoding in ("utf-8", "utf-8-sig", "cp1252", "latin-1", "utf-16"):
        decoded = formats.decode(text.encode(encoding), "own.csv")
        assert formats.read(decoded, "own.csv").station.name == "Señor São Flats"


@pytest.mark.parametrize(
    "content", [b"", b" \n", b"a\0b", b"a\x01b", b"\x89PNG\r\n\x1a\n\x81", b"PK\x03\x04"]
)
def test_what_is_no_text(content):
    with pytest.raises(WeatherError, match=r"found '(an empty file|binary data|a spreadsheet)"):
        formats.decode(content, "odd.csv")


def three_days():
    days = invented.invented_days(5)
    first = days.start.date()
    return [
        (f"day{k}.dat", invented.as_surfrad(days, day=first.replace(day=first.day + k)))
        for k in (3, 1, 2)
    ]


def test_days_of_a_station_are_joined_in_the_order_of_time():
    table = formats.read_many(three_days(), "days")
    assert len(table.start) == 3 * 1440
    np.testing.assert_array_equal(np.diff(table.start), 60)
    single = formats.read(three_days()[1][1], "day1.dat")
    np.testing.assert_array_equal(table.columns["ghi"][:1440], single.columns["ghi"])


def test_a_quantity_that_one_file_lacks_is_missing_there():
    days = invented.invented_days(2)
    later = invented.invented_days(2, start=days.time(48))
    one = invented.as_power_json(days)
    two = invented.as_power_json(later, leave_out=("CLOUD_AMT",))
    table = formats.read_many([("b.json", two), ("a.json", one)], "both")
    np.testing.assert_array_equal(np.isnan(table.columns["cloud_total"]), np.arange(96) >= 48)


@pytest.mark.parametrize(
    ("other", "words"),
    [
        ("surfrad3", "found 'step (60|180)'"),
        ("bsrn", "found 'format BSRN'"),
        ("typical", "other.dat: found 'a typical year'"),
    ],
)
def test_files_that_do_not_go_together(other, words):
    days = invented.invented_days(5)
    day = days.start.date()
    text = {
        "surfrad3": lambda: invented.as_surfrad(days, day.replace(day=5), step=3),
        "bsrn": lambda: invented.as_bsrn(invented.invented_days(2, start=days.time(120))),
        "typical": lambda: invented.as_tmy3(invented.invented_year()),
    }[other]()
    with pytest.raises(WeatherError, match=words):
        formats.read_many([("day.dat", three_days()[0][1]), ("other.dat", text)], "days")


@pytest.mark.parametrize("cut", [0.1, 0.37, 0.5, 0.8, 0.999])
def test_a_file_cut_anywhere_is_read_or_refused_in_one_line(texts, cut):
    for name, text in texts.items():
        try:
            formats.read(text[: int(cut * len(text))], name)
        except WeatherError as refused:
            message = str(refused)
        else:
            message = "read"
        assert len(message.splitlines()) == 1


def test_broken_bits_are_read_or_refused_in_one_line(texts):
    junk = ['"', "\n", "", "-", "9" * 400, "nan", "é", "{", "]", ",", ";", "#", "1e5", "null", "٣",
            "\u2028", "=", "# columns: ", "# clock: "]  # fmt: skip
    dice = random.Random(5)
    for name, text in texts.items():
        short = text[:4000]
        for _ in range(60):
            at = dice.randrange(min(len(short), 1500))
            broken = short[:at] + dice.choice(junk) + short[at + dice.choice((0, 1, 3, 40)) :]
            try:
                formats.read(broken, name)
            except WeatherError as refused:
                message = str(refused)
            else:
                message = "read"
            assert len(message.splitlines()) == 1, broken


def test_json_of_other_kinds_is_refused_in_one_line():
    for text in (invented.as_power_json(invented.invented_days(1)),
                 invented.as_pvgis_hourly_json(invented.invented_days(1))):  # fmt: skip
        reply = json.loads(text)
        for path in _paths(reply):
            for junk in (None, True, 10**400, "x", [], {"a": 1}):
                broken = json.loads(text)
                here = broken
                for key in path[:-1]:
                    here = here[key]
                here[path[-1]] = junk
                try:
                    formats.read(json.dumps(broken), "a.json")
                except WeatherError as refused:
                    message = str(refused)
                else:
                    message = "read"
                assert len(message.splitlines()) == 1, path


def _paths(node, path=()):
    items = node.items() if isinstance(node, dict) else enumerate(node)
    for key, value in list(items)[:5]:
        yield (*path, key)
        if isinstance(value, dict | list):
            yield from _paths(value, (*path, key))


@pytest.mark.slow
def test_the_sun_of_every_format_fits_the_sky_best_without_a_shift(texts):
    # the sun's place from NREL's algorithm in pvlib; the files were made with another formula
    from vanclimate.site.sun import zenith_at

    shifts = range(-60, 61, 15)
    for name, text in texts.items():
        table = formats.read(text, name)
        share = 0.5 if table.sun is None else table.sun
        at = np.asarray(table.start + share * table.step, dtype=float)
        place = table.station
        heights = [
            np.clip(
                np.cos(np.radians(zenith_at(at + 60.0 * s, place.latitude, place.longitude))), 0, 1
            )
            for s in shifts
        ]
        fits = [np.corrcoef(height, table.columns["ghi"])[0, 1] for height in heights]
        assert shifts[int(np.argmax(fits))] == 0, name


def test_a_leap_year_without_its_day_has_a_gap():
    first = invented.invented_days().start.replace(year=2020, month=2, day=27)
    days = invented.invented_days(4, start=first)
    lines = invented.as_nsrdb(days).splitlines()
    table = formats.read("\n".join(r for r in lines if not r.startswith("2020,2,29,")), "leap.csv")
    assert sorted(set(np.diff(table.start))) == [3600, 25 * 3600]


@pytest.mark.parametrize("value", ["1_0", "", "nan", "inf", "1e999", "0x1p3", None, True, [], "٣x"])
def test_what_is_no_number(value):
    with pytest.raises(WeatherError, match="row 5, column T"):
        numbers(["1", "2", "3", value], Column("temp_air", "T"), Source("f", 2))


def test_a_typical_year_is_read_within_the_time_and_without_pandas(tmp_path):
    path = tmp_path / "year.csv"
    path.write_text(invented.as_tmy3(invented.invented_year()))
    program = (
        "import sys, time\n"
        "from vanclimate.site import formats\n"
        f"text = open({str(path)!r}).read()\n"
        "begin = time.process_time()\n"
        "formats.read(text, 'year')\n"
        "print(time.process_time() - begin)\n"
        "print([m for m in ('pandas', 'pvlib', 'pint', 'scipy') if m in sys.modules])\n"
    )
    begin = time.perf_counter()
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True,
        env=os.environ | {"PYTHONWARNINGS": "ignore"},
    )  # fmt: skip
    spent, heavy = run.stdout.splitlines()
    assert float(spent) < 0.3, time.perf_counter() - begin
    assert heavy == "[]"
