"""A table of one's own: units, clocks, dates, delimiters, uneven rows, and a guess at its lines."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from tests.site import invented_files as invented
from vanclimate.errors import WeatherError
from vanclimate.site import formats

CLOCK = "# clock: UTC-7, stamp at start\n"
PLACE = "# place: Ridge camp, 38.57 N, 109.55 W, 1234 m\n"


def table(rows, columns="time = Time, air = Air in C", clock=CLOCK, header="Time,Air", more=""):
    text = f"# columns: {columns}\n{clock}{PLACE}{more}{header}\n" + "\n".join(rows) + "\n"
    return formats.read(text, "own.csv")


def hourly(values, form="{:%Y-%m-%d %H:%M},{}", start=datetime(2024, 7, 1)):
    return [form.format(start + timedelta(hours=i), v) for i, v in enumerate(values)]


def utc(*parts):
    return datetime(*parts, tzinfo=UTC).timestamp()


@pytest.fixture(scope="module")
def days():
    return invented.invented_days(2)


@pytest.mark.parametrize("stamp", ["start", "middle", "end"])
@pytest.mark.parametrize("zone", [None, "America/Denver"])
@pytest.mark.parametrize("us_units", [False, True])
def test_every_stamp_zone_and_unit_gives_the_same_hours(days, stamp, zone, us_units):
    got = formats.read(invented.as_mapped_csv(days, stamp, zone, us_units), "own.csv")
    np.testing.assert_array_equal(got.start, days.start.timestamp() + 3600 * np.arange(days.n))
    np.testing.assert_allclose(got.columns["ghi"], days.ghi, atol=0.051)
    mean = 0.5 * (days.temp_air[1:] + days.temp_air[:-1])
    np.testing.assert_allclose(got.columns["temp_air"], mean, atol=0.0051)
    mean = 0.5 * (days.pressure[1:] + days.pressure[:-1])
    np.testing.assert_allclose(got.columns["pressure"], mean, atol=2.0)
    assert got.points is got.sun is None
    assert got.station.utc_offset_h == -7.0
    assert got.station.longitude == pytest.approx(-109.55)


def test_readings_at_the_stamp():
    clock = "# clock: UTC-7, stamp at end, readings at the stamp\n"
    got = table(hourly([1, 2, 3]), clock=clock)
    assert (got.points, got.sun) == (1.0, None)
    assert got.start[0] == utc(2024, 7, 1, 6)


@pytest.mark.parametrize(
    ("columns", "header", "value", "si"),
    [
        ("time = Time, air = Temp (F)", "Time,Temp (F)", "77", 25.0),
        ("time = Time, air = Temp", "Time,Temp (F)", "77", 25.0),
        ("time = Time, air = Temp (F)", "Time,Temp", "77", 25.0),
        ("time = Time, air = Temp in F", "Time,Temp", "77", 25.0),
        ('time = Time, air = "Temp, out" in °F', 'Time,"Temp, out"', "77", 25.0),
        ("time = Time; air = temp in K", "Time,Temp", "298.15", 25.0),
        ("time = Time, humidity = RH (%)", "Time,RH (%)", "40", 0.4),
        ("time = Time, humidity = RH in share", "Time,RH", "0.4", 0.4),
        ("time = Time, pressure = Baro in inHg", "Time,Baro", "29.92126", 101325.0),
        ("time = Time, wind = Wind in mph", "Time,Wind", "10", 4.4704),
        ("time = Time, cloud = Sky in oktas", "Time,Sky", "4", 0.5),
        ("time = Time, sun = Sun in kW/m2", "Time,Sun", "0.5", 500.0),
    ],
)
def test_units_and_writings(columns, header, value, si):
    # definitions: 77 F = 25 C, 29.92126 inHg = 1 atm, 10 mph = 4.4704 m/s
    got = table(hourly([value] * 3), columns, header=header)
    (values,) = got.columns.values()
    assert values == pytest.approx([si] * 3, rel=1e-6)


@pytest.mark.parametrize(
    "form",
    [
        "{:%Y-%m-%d %H:%M},{}", "{:%Y-%m-%dT%H:%M:%S},{}", "{:%Y/%m/%d %H:%M},{}",
        "{:%Y%m%d %H%M},{}", "{:%d %b %Y %H:%M},{}", '"{:%B %d, %Y %I:%M %p}",{}',
        "{:%d.%m.%Y %H:%M},{}", "{:%d-%b-%Y %H:%M:%S},{}", "{:%Y-%m-%d %I:%M %p},{}",
    ],
)  # fmt: skip
def test_forms_of_time(form):
    got = table(hourly(range(30), form))
    np.testing.assert_array_equal(got.start, utc(2024, 7, 1, 7) + 3600 * np.arange(30))


def test_day_and_month_are_told_by_any_row_or_by_the_clock_line():
    form = "{:%m/%d/%Y %H:%M},{}"
    told = table(hourly([1] * 60, form, datetime(2024, 7, 11)))  # reaches 07/13
    assert told.start[0] == utc(2024, 7, 11, 7)
    clock = "# clock: UTC-7, stamp at start, {}\n"
    rows = hourly([1] * 5, form, datetime(2024, 7, 3))
    assert table(rows, clock=clock.format("month first")).start[0] == utc(2024, 7, 3, 7)
    assert table(rows, clock=clock.format("day first")).start[0] == utc(2024, 3, 7, 7)
    with pytest.raises(WeatherError, match=r"row 5, column time.*one meaning"):
        table(rows)


def test_date_and_time_in_two_columns_and_24_o_clock():
    rows = ["2024-07-01,23:00,20", "2024-07-01,24:00,21", "2024-07-02,01:00,22"]
    got = table(rows, "time = Day + Hour, air = Air in C", header="Day,Hour,Air")
    np.testing.assert_array_equal(np.diff(got.start), 3600)


def test_daylight_saving_goes_both_ways():
    # the United States' clocks in 2024: forward on 10 March, back on 3 November (common knowledge)
    clock = "# clock: America/Denver, stamp at start\n"
    walls = [0, 1, 1, 2, 3]
    back = table([f"2024-11-03 {h:02d}:00,{i}" for i, h in enumerate(walls)], clock=clock)
    np.testing.assert_array_equal(back.start, utc(2024, 11, 3, 6) + 3600 * np.arange(5))
    forward = table([f"2024-03-10 {h:02d}:00,1" for h in (0, 1, 3, 4)], clock=clock)
    np.testing.assert_array_equal(forward.start, utc(2024, 3, 10, 7) + 3600 * np.arange(4))
    assert back.station.utc_offset_h == forward.station.utc_offset_h == -7.0
    halves = [f"2024-11-03 {h:02d}:{m:02d},1" for h in walls for m in (0, 30)]
    fine = table(halves, clock=clock)
    np.testing.assert_array_equal(np.diff(fine.start), 1800)


def test_stamps_that_carry_their_offset():
    clock = "# clock: stamps carry their offset, stamp at start\n"
    rows = ["2024-11-03T01:00-06:00,1", "2024-11-03T01:00-07:00,2", "2024-11-03T02:00-07:00,3"]
    got = table(rows, clock=clock)
    np.testing.assert_array_equal(got.start, utc(2024, 11, 3, 7) + 3600 * np.arange(3))
    assert got.station.utc_offset_h is None  # a summer's offsets alone would say an hour too much
    with pytest.raises(WeatherError, match="row 5, column time"):
        table(hourly([1, 2]), clock=clock)
    with pytest.raises(WeatherError, match="carry their offset"):
        table(rows)


def test_semicolons_with_decimal_commas_and_tabs():
    rows = hourly(["21,5", "22,5"], "{:%d.%m.%Y %H:%M};{}")
    assert table(rows, header="Time;Air").columns["temp_air"].tolist() == [21.5, 22.5]
    rows = hourly(["21.5", "22.5"], "{:%Y-%m-%d %H:%M}\t{}")
    assert table(rows, header="Time\tAir").columns["temp_air"].tolist() == [21.5, 22.5]


def test_empty_cells_and_named_codes_are_missing():
    rows = hourly(["20", "", "-9999", "NA", "21"])
    got = table(rows, more="# missing: -9999, NA\n").columns["temp_air"]
    np.testing.assert_array_equal(np.isnan(got), [False, True, True, True, False])
    with pytest.raises(WeatherError, match=r"row 8, column Air in C: found 'NA'.*# missing: NA"):
        table(hourly(["20", "", "21", "NA"]))


def test_a_gap_stays_a_gap():
    rows = hourly(range(10))
    got = table(rows[:4] + rows[6:])
    np.testing.assert_array_equal(np.diff(got.start)[3], 3 * 3600)
    assert got.step == 3600


def test_uneven_rows_are_laid_on_the_nearest_step_and_said():
    start = datetime(2024, 7, 1)
    wobble = [0, 4, -3, 11, -8, 2, 0, 5]
    rows = [
        f"{start + timedelta(minutes=5 * i, seconds=s + 60):%Y-%m-%d %H:%M:%S},{i}"
        for i, s in enumerate(wobble, start=1)
    ]
    got = table(rows)
    assert got.step == 300
    np.testing.assert_array_equal(got.start, utc(2024, 7, 1, 7) + 300 * np.arange(1, 9))
    assert got.columns["temp_air"].tolist() == list(range(1, 9))
    assert any("uneven" in note for note in got.notes)


def test_rows_within_one_step_are_averaged_and_directions_turn_through_north():
    rows = ["00:01,350", "00:02,10", "00:16,90", "00:31,100", "00:46,110", "01:01,120"]
    rows = [f"2024-07-01 {row}" for row in rows]
    got = table(rows, "time = Time, wind direction = Dir in deg", header="Time,Dir")
    assert got.step == 900
    north = got.columns["wind_direction"][0]
    assert min(north, 360 - north) == pytest.approx(0.0, abs=1e-9)


def test_a_spreadsheet_that_quoted_the_three_lines():
    lines = [
        '"# columns: time = Time, air = ""Air"" in C",',
        '"# clock: UTC-7, stamp at start",',
        '"# place: Ridge camp, 38.57 N, 109.55 W, 1234 m",',
        "Time,Air",
        *hourly([1, 2]),
    ]
    got = formats.read("\r\n".join(lines), "own.csv")
    assert got.columns["temp_air"].tolist() == [1.0, 2.0]


@pytest.mark.parametrize(
    ("place", "lat", "lon", "height"),
    [
        ("A, B, 38.57 N, 109.55 W, 1234 m", 38.57, -109.55, 1234.0),
        ("A, 38.57, -109.55, 4000 ft", 38.57, -109.55, 1219.2),
        ("A, 38.57° N, 109.55° W", 38.57, -109.55, None),
        ("A, 33.9 S, 109.55 W, 0 m", -33.9, -109.55, 0.0),
    ],
)
def test_places(place, lat, lon, height):
    text = f"# columns: time = Time, air = Air in C\n{CLOCK}# place: {place}\nTime,Air\n"
    got = formats.read(text + "\n".join(hourly([1, 2])), "own.csv").station
    assert (got.latitude, got.longitude) == (lat, lon)
    assert got.elevation == (None if height is None else pytest.approx(height))


@pytest.mark.parametrize("place", ["A, 38.57 E, 109.55 W, 1 m", "A, 38.57, -109.55, 1234", "A", ""])
def test_bad_places(place):
    text = f"# columns: time = Time, air = Air in C\n{CLOCK}# place: {place}\nTime,Air\n"
    with pytest.raises(WeatherError, match="row 3, column place"):
        formats.read(text + "\n".join(hourly([1, 2])), "own.csv")


def test_the_guess_at_the_three_lines_reads_once_completed(days):
    body = invented.as_mapped_csv(days).split("\n", 3)[3]
    body = body.replace("Time,Air,Dew,", "Time,Air (C),Dew (C),", 1)
    guess = formats.suggest(body)
    assert 'air = "Air (C)" in C' in guess
    assert 'direct sun = "DNI" in …' in guess
    with pytest.raises(WeatherError):
        formats.read(f"{guess}\n{body}", "own.csv")
    done = guess.replace("…, … N, … W, … m", "Camp, 38.57 N, 109.55 W, 1234 m")
    done = done.replace("UTC…, stamp at …", "UTC-7, stamp at end")
    for word, unit in {
        "GHI": "W/m2",
        "DNI": "W/m2",
        "DHI": "W/m2",
        "Baro": "Pa",
        "Wind": "m/s",
        "Dir": "deg",
    }.items():
        done = done.replace(f'"{word}" in …', f'"{word}" in {unit}')
    got = formats.read(f"{done}\n{body}", "own.csv")
    np.testing.assert_allclose(got.columns["dni"], days.dni, atol=0.051)
    assert len(got.columns) == 8


def test_even_rows_that_do_not_divide_the_hour_stay_as_they_are():
    first = datetime(2024, 7, 1)
    got = table([f"{first + timedelta(minutes=7 * i):%Y-%m-%d %H:%M},{i % 9}" for i in range(300)])
    assert got.step == 420
    assert np.diff(got.start).tolist() == [420] * 299
    assert not any("uneven" in note for note in got.notes)


@pytest.mark.parametrize("zone", ["UTC+9:30", "UTC+0930", "UTC+9.5"])
def test_zones_of_half_an_hour_in_three_writings(zone):
    place = "# place: Ridge camp, 38.57 N, 109.55 W, 1234 m\n"
    text = f"# columns: time = Time, air = Air in C\n# clock: {zone}, stamp at start\n"
    text += place.replace("109.55 W", "131.00 E") + "Time,Air\n" + "\n".join(hourly([1, 2])) + "\n"
    got = formats.read(text, "own.csv")
    assert got.station.utc_offset_h == 9.5
