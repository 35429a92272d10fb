"""Fetching: a year at a time from a service into the store. The services are stubs on loopback.

Replies are made by us with invented values; they check the way of the data, not physics.
"""

import calendar
import json
import logging
import os
import signal
import subprocess
import sys
import textwrap
import time
import traceback
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache

import numpy as np
import pytest
from pvlib.iotools import psm4

from tests.site.fetched.stub_server import running
from tests.site.invented_files import (
    as_nsrdb,
    as_power_json,
    as_pvgis_hourly_json,
    as_pvgis_tmy_json,
    as_tmy3,
    invented_days,
    invented_year,
)
from vanclimate.errors import FetchError, OptionError, VanclimateError, WeatherError
from vanclimate.site.clock import fixed_zone
from vanclimate.site.fetched import store
from vanclimate.site.fetched.download import Limits
from vanclimate.site.fetched.fetch import fetch
from vanclimate.site.places import PlaceFound

MOAB = PlaceFound("Moab, Utah", 38.57, -109.55, 1230.0, -7.0, "America/Denver")
TODAY = date(2025, 6, 1)
KEY, MAIL = "s3cretk3y", "someone@example.org"


@pytest.fixture(autouse=True)
def direct(tmp_path, monkeypatch):
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path / "cache"))
    for name in ("HTTP_PROXY", "HTTPS_PROXY", "ALL_PROXY", "http_proxy", "https_proxy",
                 "all_proxy"):  # fmt: skip
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("NSRDB_API_KEY", KEY)
    monkeypatch.setenv("NSRDB_EMAIL", MAIL)


@cache
def real_year(year, utc_offset_h=0.0):
    first = datetime(year, 1, 1, tzinfo=fixed_zone(utc_offset_h))
    return invented_days(366 if calendar.isleap(year) else 365, first)


@cache
def power_reply(year):
    return as_power_json(real_year(year))


@cache
def pvgis_reply(year):
    return as_pvgis_hourly_json(real_year(year))


@cache
def typical_reply():
    return as_pvgis_tmy_json(invented_year())


@pytest.fixture
def stub():
    with running() as server:
        server.on("/power", lambda h: h.send(power_reply(int(h.query["start"][:4]))))
        server.on("/pvgis/tmy", lambda h: h.send(typical_reply()))
        server.on("/pvgis/seriescalc", lambda h: h.send(pvgis_reply(int(h.query["startyear"]))))
        yield server


@pytest.fixture
def bring(stub):
    def bring_from(years, source=None, **more):
        key = source or ("pvgis" if years == "typical" else "power")
        base = stub.url({"power": "/power", "pvgis": "/pvgis/", "nsrdb": "/nsrdb/"}[key])
        waits, place = more.pop("waits", []), more.pop("place", MOAB)
        given = {"today": TODAY, "base": base, "limits": Limits(read=2.0, whole=20.0)} | more
        return fetch(place, years, source, sleep=waits.append, **given)

    return bring_from


def test_years_come_into_the_store_one_request_each(bring, stub):
    lines = []
    done = bring((2019, 2020), progress=lines.append)
    assert [(one.year, one.source, one.stored_before) for one in done] == [
        (2019, "power", False), (2020, "power", False),
    ]  # fmt: skip
    assert [query["start"] for _, query, _ in stub.seen] == ["20190101", "20200101"]
    assert lines == [
        "NASA POWER, Moab, Utah, 2019: fetching", "NASA POWER, Moab, Utah, 2019: kept",
        "NASA POWER, Moab, Utah, 2020: fetching", "NASA POWER, Moab, Utah, 2020: kept",
    ]  # fmt: skip
    (series,) = store.stored_series()
    assert series.years == (2019, 2020)
    assert (series.load(2019).n, series.load(2020).n) == (8760, 8784)


def test_what_is_stored_holds_the_values_of_the_reply(bring):
    bring((2019,))
    (series,) = store.stored_series()
    hours = series.load(2019)
    assert hours.start == datetime(2019, 1, 1, tzinfo=UTC).timestamp()
    # the reply gives two digits
    np.testing.assert_allclose(hours.arrays["ghi"], real_year(2019).ghi, atol=0.006)
    assert np.abs(hours.arrays["temp_air"] - real_year(2019).temp_air).max() < 0.5
    assert "longwave" in hours.arrays
    origin = series.origin
    assert (origin.name, origin.elevation, origin.grid_elevation) == ("Moab, Utah", 1230.0, 1234.0)
    assert origin.query["parameters"].startswith("T2M,")
    assert origin.fetched == datetime.now(UTC).date().isoformat()


def test_a_typical_year_is_kept_with_the_years_of_its_months(bring):
    (done,) = bring("typical")
    assert (done.year, done.source) == (None, "pvgis")
    (series,) = store.stored_series()
    assert series.has_typical
    assert series.origin.source_years == invented_year().source_years
    assert series.load(None).n == 8760


def test_a_second_call_takes_what_is_stored_and_says_so(bring, stub):
    bring((2019,))
    lines = []
    (done,) = bring((2019,), progress=lines.append)
    assert done.stored_before
    assert len(stub.seen) == 1
    assert "already stored, fetched 20" in lines[0]


def test_refresh_fetches_again(bring, stub):
    bring((2019,))
    (done,) = bring((2019,), refresh=True)
    assert not done.stored_before
    assert len(stub.seen) == 2


def test_a_record_of_the_place_follows_from_what_was_fetched(bring):
    bring((2019, 2020))
    record = store.fetched_record("Moab, Utah", (2019, 2020))
    weather = record.span(
        datetime(2019, 12, 31, 12, tzinfo=UTC), datetime(2020, 1, 1, 12, tzinfo=UTC)
    )
    assert weather.n == 24
    assert not np.isnan(weather.temp_air).any()
    assert weather.licence.startswith("NASA POWER")


@pytest.mark.slow
def test_pvgis_years_take_their_dew_point_from_its_typical_year(bring, stub):
    lines = []
    (done,) = bring((2019,), "pvgis", progress=lines.append)
    assert lines == [
        "PVGIS, Moab, Utah, 2019: fetching",
        "PVGIS has no humidity in real years: its typical year serves",
        "PVGIS, Moab, Utah, 2019: kept",
    ]
    assert [path for path, _, _ in stub.seen] == ["/pvgis/seriescalc", "/pvgis/tmy"]
    (series,) = store.stored_series()
    assert (series.years, series.has_typical) == ((2019,), True)
    assert any("dew point is the mean of each month" in note for note in done.notes)
    typical, hours = series.load(None), series.load(2019)
    july = slice(24 * 190, 24 * 200)
    dew = hours.arrays["temp_dew"][july]
    assert (dew <= hours.arrays["temp_air"][july] + 1e-9).all()
    wanted = typical.arrays["temp_dew"][24 * 181 : 24 * 212].mean()
    assert dew.max() == pytest.approx(wanted, abs=0.01)
    bring((2018,), "pvgis")
    assert [path for path, _, _ in stub.seen][2:] == ["/pvgis/seriescalc"]


@pytest.mark.slow
def test_the_nsrdb_gives_years_and_a_typical_year(bring, stub):
    agg = as_nsrdb(real_year(2019, -7.0))
    stub.on(f"/nsrdb/{psm4.PSM4_AGG_ENDPOINT}", lambda h: h.send(agg, kind="text/csv"))
    stub.on("/nsrdb/nsrdb-GOES-tmy-v4-0-0-download.csv",
            lambda h: h.send(as_nsrdb(invented_year()), kind="text/csv"))  # fmt: skip
    bring((2019,), "nsrdb")
    bring("typical", "nsrdb")
    (series,) = store.stored_series()
    assert (series.years, series.has_typical) == ((2019,), True)
    assert stub.seen[0][1]["api_key"] == KEY


# --- refused


def refusal(kind, call, *args, **more):
    with pytest.raises(kind) as caught:
        call(*args, **more)
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_an_interrupted_fetch_keeps_the_finished_years_and_goes_on(bring, stub):
    stub.on("/power", lambda h: h.send(
        "{}" if "2019" in h.query["start"] else power_reply(int(h.query["start"][:4])),
        status=500 if "2019" in h.query["start"] else 200,
    ))  # fmt: skip
    waits = []
    text = refusal(FetchError, bring, (2018, 2019, 2020), waits=waits)
    assert text.startswith("NASA POWER: out of order for now (status 500)")
    assert "without the network: a weather file" in text
    assert waits == [1.0, 2.0, 4.0]
    assert store.stored_series()[0].years == (2018,)
    stub.on("/power", lambda h: h.send(power_reply(int(h.query["start"][:4]))))
    done = bring((2018, 2019, 2020))
    assert [one.stored_before for one in done] == [True, False, False]


def changed(year, change):
    reply = json.loads(power_reply(year))
    change(reply["properties"]["parameter"])
    return json.dumps(reply)


def hole(name, first, count):
    def change(series):
        for stamp in list(series[name])[first : first + count]:
            series[name][stamp] = -999.0

    return change


def test_a_year_with_gaps_is_refused_with_the_hours_that_are_missing(bring, stub):
    reply = changed(2019, hole("T2M", 100, 37))
    stub.on("/power", lambda h: h.send(reply))
    text = refusal(FetchError, bring, (2019,))
    assert text == (
        "NASA POWER, Moab, Utah, 2019: 37 hours without T2M (C), the first 2019-01-05 04:00 UTC "
        "(other years, or another --source)"
    )
    assert store.stored_series() == []


def test_a_year_that_ends_early_is_refused(bring, stub):
    def change(series):
        for name in series:
            series[name] = dict(list(series[name].items())[:-48])

    reply = changed(2019, change)
    stub.on("/power", lambda h: h.send(reply))
    assert "2019: 48 of 8760 hours are missing" in refusal(FetchError, bring, (2019,))


def test_another_year_than_asked_for_is_refused(bring, stub):
    stub.on("/power", lambda h: h.send(power_reply(2018)))
    assert "the reply begins at 2018-01-01" in refusal(FetchError, bring, (2019,))


def test_gaps_in_what_an_answer_can_do_without_leave_it_out_and_say_so(bring, stub):
    reply = changed(2019, hole("ALLSKY_SFC_LW_DWN", 10, 5))
    stub.on("/power", lambda h: h.send(reply))
    (done,) = bring((2019,))
    (series,) = store.stored_series()
    assert "longwave" not in series.load(2019).arrays
    assert any("is left out: 5 hours of it are missing" in note for note in done.notes)
    assert done.notes == series.load(2019).notes


def test_a_reply_of_another_place_is_refused(bring, stub):
    reply = json.loads(power_reply(2019))
    reply["geometry"]["coordinates"][:2] = [18.4, -33.9]
    stub.on("/power", lambda h: h.send(json.dumps(reply)))
    assert "another place, -33.90, 18.40" in refusal(FetchError, bring, (2019,))


@pytest.mark.parametrize(
    "body", [b"\xff\xfe\x00", b"", "  ", "{}", '{"a":', "<html>", "x,y\n1,2\n"]
)
def test_a_reply_that_is_no_weather_is_refused_in_one_line(bring, stub, body):
    stub.on("/power", lambda h: h.send(body))
    refusal(VanclimateError, bring, (2019,))
    assert store.stored_series() == []


def test_a_reply_in_another_format_is_refused(bring, stub):
    stub.on("/power", lambda h: h.send(as_tmy3(invented_year())))
    assert "in another format, TMY3" in refusal(FetchError, bring, (2019,))


def test_a_real_year_in_place_of_a_typical_one_is_refused(bring, stub):
    stub.on("/pvgis/tmy", lambda h: h.send(pvgis_reply(2019)))
    assert "another kind of year" in refusal(FetchError, bring, "typical")


@pytest.mark.parametrize(
    ("years", "source", "allowed"),
    [
        ((2019, 2025), None, "2001 to 2024 from NASA POWER (that year is not over yet)"),
        ((2000,), None, "2001 to 2024 from NASA POWER"),
        ((2024,), "pvgis", "2005 to 2023 from PVGIS"),
        ((), None, "1 to 60 years at a time"),
        ("typical", "power", "pvgis or nsrdb"),
    ],
)
def test_years_that_cannot_be_had_are_refused_before_anything_is_asked(
    bring, stub, years, source, allowed
):
    assert allowed in refusal(OptionError, bring, years, source)
    assert stub.seen == []


def test_no_network_says_what_to_do_instead(bring, stub):
    with running() as gone:
        base = gone.url("/power")
    text = refusal(FetchError, bring, (2019,), base=base)
    assert text.startswith("NASA POWER: no connection (without the network: a weather file, a ")


def test_a_broken_entry_is_named_and_only_refreshed_on_request(bring, stub):
    (done,) = bring((2019,))
    done.path.write_bytes(b"half")
    text = refusal(WeatherError, bring, (2019,))
    assert "a damaged file" in text
    assert "--years 2019 --source power --refresh" in text
    assert done.path.read_bytes() == b"half"
    assert len(stub.seen) == 1
    bring((2019,), refresh=True)
    assert store.stored_series()[0].load(2019).n == 8760


def test_a_store_in_the_way_is_one_line(bring, tmp_path):
    (tmp_path / "cache").write_text("a file")
    assert "VANCLIMATE_CACHE names another one" in refusal(WeatherError, bring, (2019,))


def test_a_place_with_dots_in_its_name_stays_in_the_store(bring, tmp_path):
    (done,) = bring((2019,), place=replace(MOAB, name="../../../evil"))
    assert done.path.parent == tmp_path / "cache" / "fetched" / "n38.570-w109.550"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["cache"]
    assert store.stored_series()[0].name == "../../../evil"


# --- secrets


@pytest.mark.parametrize("way", ["echo", "error", "page", "cut", "away", "good"])
def test_the_key_is_in_no_message_no_log_no_chain_and_no_file(bring, stub, caplog, tmp_path, way):
    def answer(h):
        if way == "echo":
            h.send(f'"{KEY} {MAIL}", {h.path}', kind="text/csv")
        elif way == "error":
            h.send(json.dumps({"errors": [f"key {KEY} of {MAIL} at {h.path}"]}), status=403)
        elif way == "page":
            h.send(f"<html>{KEY}", kind="text/html")
        elif way == "cut":
            h.send(KEY, Content_Length=900, kind="text/csv")
        elif way == "away":
            h.send(status=302, Location=f"https://elsewhere.invalid{h.path}")
        else:
            text = as_nsrdb(real_year(2019, -7.0)).replace("999999", KEY)
            h.send(text, kind="text/csv")

    stub.on(f"/nsrdb/{psm4.PSM4_AGG_ENDPOINT}", answer)
    told = []
    with caplog.at_level(logging.DEBUG):
        try:
            done = bring((2019,), "nsrdb", progress=told.append)
            told += [repr(done), *done[0].notes]
        except VanclimateError as fault:
            told += traceback.format_exception(fault)
            while fault is not None:
                told += [str(fault), repr(fault), repr(vars(fault))]
                fault = fault.__cause__ or fault.__context__
    assert stub.seen[0][1]["api_key"] == KEY
    for text in (*told, caplog.text):
        for secret in (KEY, MAIL, "someone%40example.org"):
            assert secret not in text
    for path in tmp_path.rglob("*"):
        if path.is_file():
            assert KEY.encode() not in path.read_bytes()
            assert MAIL.encode() not in path.read_bytes()
    assert (way == "good") == bool(store.stored_series())


# --- two at once, and killed

FETCHER = """
    import sys
    from datetime import date
    sys.path.insert(0, {root!r})
    from vanclimate.site.fetched.fetch import fetch
    from vanclimate.site.places import PlaceFound
    place = PlaceFound("Moab, Utah", 38.57, -109.55, 1230.0, -7.0, "America/Denver")
    fetch(place, {years!r}, today=date(2025, 6, 1), base={base!r}, refresh={refresh!r})
"""


def fetcher(stub, years, refresh=False):
    root = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
    code = FETCHER.format(root=root, years=years, base=stub.url("/power"), refresh=refresh)
    return subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(code)], stderr=subprocess.PIPE, text=True
    )


def ended(process):
    with process:
        return process.wait(), process.stderr.read()


@pytest.mark.slow
def test_two_fetches_of_the_same_years_at_once_leave_a_whole_store(stub):
    both = [fetcher(stub, (2018, 2019)), fetcher(stub, (2018, 2019))]
    assert [ended(process) for process in both] == [(0, "")] * 2
    (series,) = store.stored_series()
    assert (series.years, series.broken) == ((2018, 2019), ())
    assert [series.load(year).n for year in series.years] == [8760, 8760]
    assert not list(store.store_dir().rglob("*.part"))


@pytest.mark.slow
def test_a_fetch_killed_in_the_middle_of_a_year_keeps_the_years_before(stub):
    def answer(h):
        year = int(h.query["start"][:4])
        body = power_reply(year)
        if year == 2019:
            h.send(body[:1000], Content_Length=len(body))
            stub.over.wait(10.0)
        else:
            h.send(body)

    stub.on("/power", answer)
    process = fetcher(stub, (2018, 2019))
    deadline = time.monotonic() + 20.0
    while len(stub.seen) < 2 and time.monotonic() < deadline:
        time.sleep(0.01)
    process.send_signal(signal.SIGKILL)
    assert ended(process)[0] == -signal.SIGKILL
    (series,) = store.stored_series()
    assert (series.years, series.broken) == ((2018,), ())
    assert series.load(2018).n == 8760
