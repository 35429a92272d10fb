"""Typical years, fixed zones, 29 February, windows that wrap round New Year."""

from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import pytest

from vanclimate.errors import OptionError
from vanclimate.site import clock, find_site, window, window_edges
from vanclimate.site.designday import design_day


def test_stamps_of_a_typical_year():
    stamps = clock.nominal_stamps()
    assert len(stamps) == clock.HOURS_OF_YEAR
    assert (2, 29) not in {stamp[:2] for stamp in stamps}
    assert stamps[58 * 24 + 23] == (2, 28, 24)
    assert np.bincount(clock.month_of_hour())[1:].tolist() == [
        24 * days for days in (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    ]


def test_solar_hour_by_hand():
    # 80 W in the zone of 75 W: the sun is 5/15 h late
    assert clock.solar_hour(np.array([12.0]), -80.0, -5.0)[0] == pytest.approx(12.0 - 1.0 / 3.0)
    assert clock.solar_hour(np.array([0.0]), -80.0, -5.0)[0] == pytest.approx(24.0 - 1.0 / 3.0)


def test_any_year_and_zone_is_laid_on_the_nominal_year():
    moment = datetime(1999, 7, 1, 3, tzinfo=UTC)
    assert clock.to_nominal(moment, -5.0) == datetime(
        clock.NOMINAL_YEAR, 6, 30, 22, tzinfo=timezone(timedelta(hours=-5))
    )


def test_29_february_and_naive_times_are_refused():
    with pytest.raises(OptionError, match="29 February"):
        clock.to_nominal(datetime(2024, 2, 29, 12, tzinfo=UTC), 0.0)
    with pytest.raises(OptionError, match="zone"):
        clock.to_nominal(datetime(2024, 2, 28, 12), 0.0)


def test_window_wraps_round_new_year():
    weather = find_site("miami")
    last = weather.time(weather.n - 1)
    assert (last.month, last.day, last.hour) == (12, 31, 23)
    assert window(weather, last, 3).tolist() == [8759, 0, 1]
    assert window_edges(weather, last, 3).tolist() == [8759, 0, 1, 2]
    assert weather.temp_air[0] == weather.temp_air[-1]


def test_window_of_a_design_day_starts_at_the_hour_of_any_date():
    day = design_day(
        low=20.0, high=35.0, latitude=35.0, date=date(2025, 6, 21), relative_humidity=0.7, days=2
    )
    start = datetime(2031, 3, 4, 22, 30, tzinfo=day.start.tzinfo)
    assert window(day, start, 30).tolist() == [*range(22, 48), 0, 1, 2, 3]


def test_an_empty_window_is_refused():
    weather = find_site("miami")
    with pytest.raises(OptionError, match="1 or more"):
        window(weather, weather.start, 0)
