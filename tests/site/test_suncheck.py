"""Whether a weather's sun is its place's: measured files, files shifted on purpose, faults made."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from tests.site.invented_files import (
    as_bsrn,
    as_crn,
    as_mapped_csv,
    as_nsrdb,
    as_power_csv,
    as_pvgis_hourly_csv,
    as_pvgis_tmy_csv,
    as_surfrad,
    as_tmy2,
    as_tmy3,
    invented_days,
    invented_year,
)
from vanclimate.site import find_site, formats, read_weather
from vanclimate.site import suncheck as suncheck_module
from vanclimate.site.clearsky import clear_sky
from vanclimate.site.designday import design_day
from vanclimate.site.filecheck import check_table
from vanclimate.site.readers import read_table, whole_station
from vanclimate.site.suncheck import consistency_notes
from vanclimate.site.sunshift import sun_shift
from vanclimate.site.table import Station, Table

SHARED = Path(__file__).resolve().parents[2].parent / "shared" / "weather"
SHIPPED = ("miami", "greensboro", "sand point")
MEASURED = (*SHIPPED, *(f"{n}TYA.CSV.gz" for n in (722020, 722780, 725645, 725650, 726580)))


def measured(name):
    if name in SHIPPED:
        return find_site(name)
    path = SHARED / name
    if not path.is_file():
        pytest.skip("../shared/weather stands beside the project only where it is made")
    return read_weather(path)


def hours(weather):
    return weather.start.timestamp() + 3600.0 * np.arange(weather.n)


def shift_of(weather, part=slice(None)):
    place = (weather.latitude, weather.longitude)
    return sun_shift(hours(weather)[part], 3600.0, weather.ghi[part], *place)


@pytest.mark.parametrize("name", MEASURED)
def test_the_sun_of_a_measured_year_is_found_within_ten_minutes(name, record_property):
    # ours when written: -1.4 to +1.8 min, Miami's afternoon clouds and Laramie's included
    found = shift_of(measured(name))
    record_property(name, float(found.minutes))
    assert abs(found.minutes) < 10.0
    assert found.correlation > 0.95
    assert not found.off


@pytest.mark.parametrize("name", MEASURED)
@pytest.mark.parametrize("minutes", [-30, 60])
def test_a_measured_file_with_a_wrong_clock_is_named(name, minutes):
    weather = measured(name)
    wrong = replace(weather, start=weather.start + timedelta(minutes=minutes))
    assert ("late" if minutes > 0 else "early") in consistency_notes(wrong)[0]
    assert consistency_notes(weather) == ()


def test_a_wrong_zone_of_many_hours_is_found_too():
    weather = find_site("greensboro")
    for lead in (-9, 5, 11):
        moved = replace(weather, start=weather.start + timedelta(hours=lead))
        assert shift_of(moved).minutes == pytest.approx(60.0 * lead, abs=5.0)


@pytest.mark.slow
@pytest.mark.parametrize("name", MEASURED)
@pytest.mark.parametrize(("days", "step"), [(30, 30), (7, 14), (3, 30)])
def test_a_few_days_of_measured_weather_are_never_called_wrong(name, days, step):
    weather = measured(name)
    for first in range(0, 365 - days, step):
        found = shift_of(weather, slice(24 * first, 24 * (first + days)))
        assert not found.off, first


def test_no_sun_gives_no_shift_and_no_note():
    at = 1.6e9 + 3600.0 * np.arange(72)
    assert sun_shift(at, 3600.0, np.zeros(72), 80.0, 0.0) is None
    assert sun_shift(at, 3600.0, np.full(72, np.nan), 10.0, 0.0) is None
    assert (
        consistency_notes(
            design_day(low=20, high=30, latitude=35, date=date(2025, 7, 1), relative_humidity=0.5)
        )
        == ()
    )


def test_the_clear_sky_is_that_of_a_clear_day():
    # a clear noon at 40 °N in June gives about 1000 W/m2 and at sea level never 1150 (common
    # knowledge); the night none
    start = datetime(2021, 6, 21, tzinfo=UTC).timestamp()
    clear = clear_sky(start, 24, latitude=40.0, longitude=0.0, elevation=0.0)
    assert 850.0 < clear.max() < 1050.0
    assert np.argmax(clear) in (11, 12)
    assert clear[0] == clear[23] == 0.0
    assert (clear >= 0.0).all()


@cache
def days():
    return invented_days(30)


@cache
def year():
    return invented_year()


def surfrad():
    first = days().start.date() + timedelta(days=1)
    texts = [(f"{i}.dat", as_surfrad(days(), first + timedelta(days=i), step=3)) for i in range(8)]
    return formats.read_many(texts, "a station")


EVERY_FORMAT = {
    "TMY2": lambda: as_tmy2(year()),
    "TMY3": lambda: as_tmy3(year()),
    "NSRDB, hours": lambda: as_nsrdb(days()),
    "NSRDB, half hours": lambda: as_nsrdb(days(), 30),
    "POWER": lambda: as_power_csv(days()),
    "POWER, solar time": lambda: as_power_csv(days(), "LST"),
    "PVGIS series": lambda: as_pvgis_hourly_csv(days()),
    "PVGIS typical year": lambda: as_pvgis_tmy_csv(year()),
    "BSRN": lambda: as_bsrn(days()),
    "CRN": lambda: as_crn(days()),
    "own, stamps at end": lambda: as_mapped_csv(days(), "end"),
    "own, summer time": lambda: as_mapped_csv(days(), "start", "America/Denver"),
}


def checked(table, fill=False):
    station, _ = whole_station(table.station)
    return check_table(replace(table, station=station), station, "a file", fill)


@pytest.mark.parametrize("form", [*EVERY_FORMAT, "SURFRAD"])
def test_the_sun_of_every_format_stands_where_the_place_has_it(form):
    # the files are made by us with an invented sun: within 5 min, their digits and minutes
    table = surfrad() if form == "SURFRAD" else formats.read(EVERY_FORMAT[form](), "a file")
    found = checked(table)
    assert abs(found.shift.minutes) < 5.0
    assert found.shift.correlation > 0.9


@pytest.mark.parametrize("form", ["NSRDB, hours", "POWER", "CRN", "own, stamps at end", "TMY3"])
@pytest.mark.parametrize("minutes", [-60, 30, 60])
def test_a_wrong_stamp_is_found_in_every_format(form, minutes):
    table = formats.read(EVERY_FORMAT[form](), "a file")
    found = checked(replace(table, start=table.start + 60 * minutes))
    assert found.shift.minutes == pytest.approx(minutes, abs=6.0)
    assert found.shift.off
    assert any("time zone, stamps and longitude" in f.words for f in found.findings)


def own(**changed):
    """Return a table of invented weather with some rows of its columns changed."""
    table = formats.read(as_mapped_csv(days(), "start"), "a file")
    columns = {name: values.copy() for name, values in table.columns.items()}
    for name, (rows, value) in changed.items():
        columns[name][rows] = value
    return replace(table, columns=columns)


def words(found):
    return [f.words for f in found.findings]


def test_an_invented_file_without_faults_has_no_finding():
    found = checked(own())
    assert found.findings == ()
    assert found.unusable == ""
    assert found.apart < 10.0


def test_sun_at_night_is_found_with_its_rows():
    table = own(ghi=([48, 49], 300.0))
    found = checked(table)
    (night,) = [f for f in found.findings if "sun at night" in f.words]
    assert (night.count, night.rows) == (2, (table.first_row + 48, table.first_row + 49))
    assert "300 W/m²" in night.words


@pytest.mark.parametrize(
    ("column", "rows", "value", "stuck"),
    [
        ("temp_air", slice(30, 54), 21.3, True),
        ("temp_air", slice(30, 52), 21.3, False),
        ("wind_speed", slice(30, 54), 2.2, True),
        ("wind_speed", slice(30, 80), 0.0, False),
        ("ghi", slice(33, 39), 432.0, True),
        ("ghi", slice(33, 38), 432.0, False),
    ],
)
def test_a_value_that_never_moves_is_stuck_unless_it_is_zero(column, rows, value, stuck):
    assert any("stuck" in w for w in words(checked(own(**{column: (rows, value)})))) is stuck


def test_gaps_are_counted_and_the_longest_is_named():
    table = own(temp_air=([5, 100, 101, 102, 103], np.nan))
    found = checked(table)
    (gap,) = [f for f in found.findings if "no value" in f.words]
    assert (gap.count, gap.rows) == (2, (table.first_row + 100,))
    assert "4 h at the longest" in gap.words
    assert "row" in found.unusable
    assert found.hours is None
    assert checked(table, fill=True).unusable == ""


def test_rows_that_are_missing_are_a_gap():
    table = own()
    keep = np.r_[0:50, 53 : len(table.start)]
    short = replace(
        table, start=table.start[keep], columns={k: v[keep] for k, v in table.columns.items()}
    )
    assert any("rows are missing, 3 h at the longest" in w for w in words(checked(short)))


def test_direct_sun_that_does_not_add_up_is_found():
    table = own()
    wrong = replace(table, columns=table.columns | {"dni": 0.5 * table.columns["dni"]})
    assert any("apart in July" in w for w in words(checked(wrong)))


@pytest.mark.parametrize("factor", [3.6, 1 / 3.6])
def test_sun_in_other_units_is_found(factor):
    table = own()
    # 1600 W/m2 is the most that a reader lets pass
    columns = table.columns | {"ghi": np.minimum(factor * table.columns["ghi"], 1600.0)}
    assert any("units" in w for w in words(checked(replace(table, columns=columns))))


def test_a_clock_far_from_the_suns_is_found():
    table = own()
    station = replace(table.station, utc_offset_h=-10.0)
    found = checked(replace(table, station=station))
    assert any("UTC-10" in w for w in words(found))
    for fine in (-7.0, -6.0, -5.0):
        assert not checked(replace(table, station=replace(station, utc_offset_h=fine))).findings


def test_columns_are_told_with_their_range():
    table = own()
    spans = {span.quantity: span for span in checked(table).spans}
    air = table.columns["temp_air"]
    assert (spans["temp_air"].least, spans["temp_air"].greatest) == (air.min(), air.max())
    assert spans["temp_air"].name.startswith("Air")
    assert spans["temp_air"].missing == 0


def test_a_file_whose_sun_is_hours_off_cannot_be_used():
    table = read_late(3)
    found = check_table(table, table.station, "late.csv")
    assert "against its place's" in found.unusable
    an_hour = read_late(1)
    assert not check_table(an_hour, an_hour.station, "late.csv").unusable


def read_late(hours):
    text = as_mapped_csv(invented_days(30))
    late = formats.read(text, "late.csv")
    sun = {k: np.roll(late.columns[k], hours) for k in ("ghi", "dni", "dhi")}
    return replace(late, columns={**late.columns, **sun})


def test_notes_of_a_weather_come_from_the_cache(monkeypatch):

    weather = find_site("miami")
    first = consistency_notes(weather)
    monkeypatch.setattr(suncheck_module, "_of_weather", lambda weather: pytest.fail("not again"))
    assert consistency_notes(weather) == first


def test_a_weather_with_sun_at_night_or_parts_that_do_not_fit_is_noted():
    weather = find_site("greensboro")
    lit = weather.ghi.copy()
    lit[::24] = 200.0  # the hour after midnight
    assert any("night" in n for n in consistency_notes(replace(weather, ghi=lit, digest="lit")))
    half = replace(weather, dni=0.5 * weather.dni, digest="half")
    assert any("W/m² apart" in n for n in consistency_notes(half))


def test_a_table_without_sun_is_told_to_be_unusable():
    hours_ = 1_600_000_000 // 3600 * 3600 + 3600 * np.arange(48)
    columns = {"temp_air": np.linspace(10, 20, 48), "temp_dew": np.full(48, 5.0)}
    place = Station("Nowhere", 40.0, -105.0, 1600.0, -7.0)
    table = Table("own", place, hours_, 3600, columns, 0.0, None, "start")
    found = check_table(table, place, "a file")
    assert "no sun" in found.unusable
    assert found.shift is None


def test_a_shipped_file_is_checked_as_it_stands():
    from vanclimate.site.sites import shipped_sites

    found = checked(read_table(shipped_sites()["miami"]))
    assert found.unusable == ""
    assert not found.shift.off
