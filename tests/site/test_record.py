"""Real years one at a time, typical years turned to local time, spans across New Year."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta, timezone

import numpy as np
import pytest

from tests.site import invented_files as files
from vanclimate.errors import WeatherError
from vanclimate.site import find_site, read_record
from vanclimate.site.record import Record, by_year, hours_of, join, record_of, spans
from vanclimate.site.table import Hours
from vanclimate.site.weather import MEANS, POINTS, window, window_edges

ZONE = timezone(timedelta(hours=-7))


@pytest.fixture(scope="module")
def winter():
    """Return 20 days across a New Year."""
    return files.invented_days(20, datetime(2019, 12, 22, tzinfo=ZONE))


def test_years_are_cut_at_new_year_and_joined_again_without_a_seam(winter):
    record = record_of(winter)
    assert record.years == (2019, 2020)
    whole = record.whole()
    assert (whole.start, whole.n) == (winter.start, winter.n)
    for name in (*POINTS, *MEANS):
        assert np.array_equal(getattr(whole, name), getattr(winter, name))


def test_a_span_across_new_year_holds_the_hours_of_both(winter):
    first, last = datetime(2019, 12, 30, 5, tzinfo=ZONE), datetime(2020, 1, 3, 8, tzinfo=ZONE)
    part = record_of(winter).span(first, last)
    assert part.start == first
    assert part.n == 99
    at = window(winter, first, 99)
    assert np.array_equal(part.ghi, winter.ghi[at])
    assert np.array_equal(part.temp_air, winter.temp_air[window_edges(winter, first, 99)])
    assert "2019–2020" in part.period


def test_a_span_loads_no_more_than_the_years_it_touches():
    asked = []

    def load(year):
        asked.append(year)
        return hours_of(files.invented_days(365, datetime(year, 1, 1, tzinfo=ZONE)))

    record = Record("x", 38.0, -109.0, 0.0, -7.0, "s", "d", load, tuple(range(2001, 2020)))
    record.span(datetime(2010, 7, 1, tzinfo=ZONE), datetime(2010, 8, 1, tzinfo=ZONE))
    assert asked == [2010]


def test_hours_between_years_that_are_not_there_are_open(winter):
    pieces = by_year(hours_of(winter), -7.0)
    far = replace(pieces[2020], start=pieces[2020].start + 48 * 3600)
    joined = join([pieces[2019], far], pieces[2019].start, far.start + 3600 * far.n)
    assert joined is not None
    missing = np.isnan(joined.arrays["ghi"])
    assert missing.sum() == 48
    assert np.flatnonzero(missing)[0] == pieces[2019].n


def test_the_edge_of_two_years_is_the_mean_of_what_both_say():
    one = Hours(0, {"temp_air": np.array([1.0, 2.0, 3.0]), "ghi": np.zeros(2)})
    two = Hours(7200, {"temp_air": np.array([5.0, 6.0, 7.0]), "ghi": np.zeros(2)})
    joined = join([two, one], 0, 14400)
    assert joined is not None
    assert joined.arrays["temp_air"].tolist() == [1.0, 2.0, 4.0, 6.0, 7.0]


def test_years_that_are_not_there_are_refused(winter):
    record = record_of(winter)
    with pytest.raises(WeatherError, match="no data of 2031"):
        record.chosen((2019, 2031))
    with pytest.raises(WeatherError, match="no data from 2025"):
        record.span(datetime(2025, 7, 1, tzinfo=ZONE), datetime(2025, 8, 1, tzinfo=ZONE))
    with pytest.raises(WeatherError, match="a typical year only"):
        record_of(find_site("miami")).chosen((2019,))


def test_chosen_years_keep_the_others_for_their_edges(winter):
    chosen = record_of(winter).chosen((2019,))
    assert chosen.asked == (2019,)
    assert chosen.years == (2019, 2020)


def test_a_typical_year_in_utc_begins_at_local_midnight(tmp_path):
    year = files.invented_year()
    path = tmp_path / "year.json"
    path.write_text(files.as_pvgis_tmy_json(year))
    read = read_record(path).whole()
    assert read.typical
    assert (read.start.month, read.start.day, read.start.hour) == (1, 1, 0)
    # hours after the change of year come from December's end, all others from the same hour
    same = slice(24, -24)
    assert read.temp_air[same] == pytest.approx(year.temp_air[same], abs=0.02)
    assert np.corrcoef(read.ghi, year.ghi)[0, 1] > 0.999


def test_a_zone_of_half_an_hour_keeps_the_hours_of_its_data():
    half = replace(
        find_site("miami"), typical=False, utc_offset_h=5.5, longitude=82.5, digest="half",
        start=datetime(2021, 1, 1, 0, 30, tzinfo=timezone(timedelta(hours=5.5))),
    )  # fmt: skip
    part = record_of(half).span(half.time(100), half.time(148))
    assert (part.start.minute, part.n) == (30, 48)
    assert np.array_equal(part.ghi, half.ghi[100:148])


@pytest.mark.parametrize(
    ("years", "text"), [((2005, 2006, 2007, 2010), "2005–2007, 2010"), ((1999,), "1999"), ((), "")]
)
def test_years_in_words(years, text):
    assert spans(years) == text


def test_many_years_cost_the_memory_of_one(tmp_path):
    """The peak of going through ten years is not twice that of two."""
    import tracemalloc

    def load(year):
        return Hours(
            int(datetime(year, 1, 1, tzinfo=ZONE).timestamp()),
            {k: np.zeros(8761) for k in POINTS} | {k: np.zeros(8760) for k in MEANS},
        )

    def peak(years):
        record = Record("x", 38.0, -109.0, 0.0, -7.0, "s", "d", load, tuple(range(2001, 2021)))
        tracemalloc.start()
        for year in years:
            record.span(datetime(year, 7, 1, tzinfo=ZONE), datetime(year, 8, 1, tzinfo=ZONE))
        found = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return found

    assert peak(range(2003, 2013)) < 1.5 * peak(range(2003, 2005))
