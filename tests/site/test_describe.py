"""What a place's weather is like, by hand: made-up years whose figures are known."""

import calendar
from datetime import date, datetime
from itertools import pairwise

import numpy as np
import pytest

from vanclimate.site import find_site
from vanclimate.site.clearsky import clear_sky
from vanclimate.site.clock import fixed_zone
from vanclimate.site.describe import BASE, describe
from vanclimate.site.designday import design_day
from vanclimate.site.record import Record, record_of
from vanclimate.site.sites import find_record
from vanclimate.site.table import Hours
from vanclimate.site.weather import MEANS, POINTS

PLACE = {"latitude": 40.0, "longitude": -105.0, "elevation": 1600.0}
OFFSET = -7.0


def made(temperature, years=(2019,), sun=0.9, seen=None, phase=0.0, offset=OFFSET):
    """Return a record of made-up years; `temperature` takes (year, hours from New Year)."""

    def load(year):
        if seen is not None:
            seen.append(year)
        start = datetime(year, 1, 1, tzinfo=fixed_zone(offset)).timestamp() - phase
        n = 8784 if calendar.isleap(year) else 8760
        air = np.asarray(temperature(year, np.arange(n + 1.0)), dtype=float)
        arrays = dict.fromkeys(POINTS, np.zeros(n + 1))
        arrays |= {"temp_air": air, "temp_dew": air - 5.0, "wind_speed": np.full(n + 1, 3.0)}
        clear = clear_sky(start, n, **PLACE)
        arrays |= dict.fromkeys(MEANS, sun * clear)
        return Hours(int(start), arrays)

    place = ("Made up", PLACE["latitude"], PLACE["longitude"], PLACE["elevation"], offset)
    return Record(*place, "invented", "0" * 64, load, years=tuple(years))


def test_a_year_of_one_temperature_has_that_temperature_everywhere():
    found = describe(made(lambda year, hour: np.full(len(hour), 10.0)))
    assert len(found.months) == 12
    for month in found.months:
        for value in (month.mean, month.low, month.high, month.hot_night, month.cold_night):
            assert value == pytest.approx(10.0)
        assert month.dew_point == pytest.approx(5.0)
        assert month.wind == pytest.approx(3.0)
        assert month.clear == 1.0
    assert found.annual.heating == pytest.approx(365 * (BASE - 10.0))
    assert found.annual.cooling == 0.0
    assert found.annual.exceeded == pytest.approx((10.0,) * 4)
    assert found.hot_nights.mean == found.cold_days.mean == pytest.approx(10.0)
    assert (found.hours, found.missing) == (8760, 0)


def test_half_a_clear_sky_is_never_clear():
    found = describe(made(lambda year, hour: np.zeros(len(hour)), sun=0.5))
    assert {m.clear for m in found.months} == {0.0}
    # a June day at 40 degrees north brings 8 to 9 kWh/m2 under a clear sky (common knowledge)
    assert 4.0 < found.months[5].sun < 4.5


def test_a_night_is_ten_at_night_to_seven_and_belongs_to_its_evening():
    def temperature(year, hour):
        air = np.zeros(len(hour))
        evening = 24 * 200 + 22  # 20 July, 22:00
        air[evening : evening + 10] = 18.0  # the ten edges of its nine hours
        return air

    found = describe(made(temperature))
    assert found.months[6].hot_night == pytest.approx(18.0)
    assert found.months[6].high == pytest.approx(2 * 18.0 / 31)  # on two days
    assert found.hot_nights.mean == pytest.approx(6.0)  # one of three
    assert found.hot_nights.first in (date(2019, 7, 18), date(2019, 7, 19), date(2019, 7, 20))


@pytest.mark.slow
def test_the_night_across_new_year_is_whole_where_the_next_year_is_there():
    seen = []

    def temperature(year, hour):
        air = np.zeros(len(hour))
        if year == 2019:
            air[24 * 364 + 22 :] = 18.0
        else:
            air[:8] = 18.0
        return air

    found = describe(made(temperature, years=(2019, 2020), seen=seen))
    december = found.months[11]
    assert december.nights == 61  # the last night of 2020 has no morning
    assert december.hot_night == pytest.approx(18.0)
    assert found.last == date(2020, 12, 31)
    assert found.hours == 8760 + 8784


@pytest.mark.slow
def test_with_a_hundred_nights_one_percent_exceed_and_with_fewer_it_is_the_hottest():
    def temperature(year, hour):
        return np.floor(hour / 24.0 % 31) + (year - 2015)

    few = describe(made(temperature, years=(2015,)))
    july = few.months[6]
    assert july.nights == 31
    many = describe(made(temperature, years=range(2015, 2020)))
    july_of_all = many.months[6]
    assert july_of_all.nights == 155
    alone = describe(made(temperature, years=(2019,))).months[6].hot_night
    # warmer years are among them, but the hottest night of all does not stand for the 1 %
    assert july.hot_night < july_of_all.hot_night < alone


def test_the_hottest_and_the_coldest_spell_are_three_in_a_row():
    def temperature(year, hour):
        day = hour // 24
        return np.where((day >= 100) & (day < 103), 30.0, np.where(day == 300, -40.0, 10.0))

    found = describe(made(temperature))
    assert found.hot_nights.count == 3
    assert found.hot_nights.first in (date(2019, 4, 10), date(2019, 4, 11))
    assert found.cold_days.mean < -5.0
    assert date(2019, 10, 26) <= found.cold_days.first <= date(2019, 10, 28)


def test_missing_hours_are_counted_and_a_run_never_reaches_over_them():
    def temperature(year, hour):
        air = np.where(hour // 24 == 150, 40.0, 15.0)
        air[24 * 151 : 24 * 153] = np.nan
        return air

    found = describe(made(temperature))
    assert 48 <= found.missing <= 49
    assert found.months[4].mean < 16.0
    assert np.isfinite(found.hot_nights.mean)
    assert found.hot_nights.mean < 30.0


@pytest.mark.slow
def test_real_years_are_read_one_after_the_other():
    seen = []
    years = (2015, 2016, 2017, 2018)
    describe(made(lambda year, hour: np.zeros(len(hour)), years, seen=seen))
    # a year and the morning after it; never back to the first
    assert set(seen) == set(years)
    assert len(seen) <= 3 * len(years)
    assert all(later >= earlier - 2 for earlier, later in pairwise(seen))


def test_a_leap_day_is_a_day():
    found = describe(made(lambda year, hour: np.full(len(hour), 10.0), years=(2020,)))
    assert found.hours == 8784
    assert found.annual.heating == pytest.approx(365 * (BASE - 10.0))


def test_a_design_day_is_described_without_a_year():
    day = design_day(
        low=20.0, high=35.0, latitude=35.0, date=date(2025, 7, 15), relative_humidity=0.6
    )
    found = describe(record_of(day))
    assert [m.month for m in found.months] == [7]
    assert found.annual is None
    assert found.months[0].low > 19.9
    assert found.months[0].high < 35.1
    assert 20.0 < found.months[0].hot_night < 28.0
    assert found.months[0].clear > 0.9


def test_less_than_a_year_has_no_years_figures():
    day = 24 * 60
    record = made(lambda year, hour: np.full(len(hour), 10.0))
    hours = record.load(2019)
    cut = {k: v[: day + (k not in MEANS)] for k, v in hours.arrays.items()}
    short = Record(*("Made up", 40.0, -105.0, 1600.0, OFFSET, "invented", "1" * 64),
                   lambda year: Hours(hours.start, cut), years=(2019,))  # fmt: skip
    found = describe(short)
    assert found.annual is None
    assert [m.month for m in found.months] == [1, 2, 3]
    assert (found.first, found.last) == (date(2019, 1, 1), date(2019, 3, 1))


def test_shipped_years_make_sense():
    # Miami's July nights and Sand Point's are what they are known for: warm, and cool
    miami, sand_point = (describe(find_record(s)) for s in ("miami", "sand point"))
    assert 24.0 < miami.months[6].cold_night < miami.months[6].hot_night < 30.0
    assert sand_point.months[6].hot_night < 15.0
    assert miami.annual.cooling > 10.0 * miami.annual.heating
    assert sand_point.annual.cooling < 5.0
    for found in (miami, sand_point):
        for month in found.months:
            assert month.cold_night <= month.mean + 3.0
            assert month.low <= month.mean <= month.high
            assert 0.0 <= month.clear <= 1.0
        assert found.missing == 0


def test_the_months_sun_is_the_years():
    weather = find_site("greensboro")
    found = describe(record_of(weather))
    days = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    year = sum(m.sun * d for m, d in zip(found.months, days, strict=True))
    assert year == pytest.approx(weather.ghi.sum() / 1000.0)


@pytest.mark.slow
def test_hours_that_begin_half_past_make_the_same_year():
    # whole hours of UTC in a zone of half an hour: the first begins at 23:30 the year before
    found = describe(
        made(lambda y, hour: np.full(len(hour), 10.0), (2019, 2020), phase=1800.0, offset=-7.5)
    )
    assert (found.first, found.last) == (date(2019, 1, 1), date(2020, 12, 31))
    assert {m.clear for m in found.months} == {1.0}
    assert found.annual.heating == pytest.approx(365 * (BASE - 10.0))
    assert [m.month for m in found.months] == list(range(1, 13))
    assert found.missing == 0
