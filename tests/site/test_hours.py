"""Rows of any step and stamp laid on hours: what is kept, what is refused, what is filled."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.errors import WeatherError
from vanclimate.site.hours import _between_means, lay
from vanclimate.site.table import Station, Table

START = int(datetime(2021, 7, 1, tzinfo=UTC).timestamp())
PLACE = Station("Invented", 38.6, -109.6, 1200.0, -7.0)


def table(days=3, step=3600, points=0.0, sun=None, keep=None, **columns):
    """Return rows whose values are functions of the time [h] at which the file reads them."""
    start = START + step * np.arange(days * 86400 // step)
    read = (start - START + (0.5 if points is None else points) * step) / 3600.0
    middle = (start - START + (0.5 if sun is None else sun) * step) / 3600.0
    found = {
        "temp_air": 20.0 + read / 10.0,
        "temp_dew": 5.0 + read / 20.0,
        "pressure": 88_000.0 + 0.0 * read,
        "wind_speed": 3.0 + 0.0 * read,
        "cloud_opaque": 0.0 * read,
        "ghi": np.maximum(0.0, 800.0 * np.cos((middle - 19.3) / 24.0 * 2 * np.pi)),
    }
    found["dni"] = 0.0 * read
    found["dhi"] = found["ghi"]
    found |= {name: function(read) for name, function in columns.items()}
    whole = Table("test", PLACE, start, step, found, points, sun, "for the test")
    return whole if keep is None else cut(whole, keep)


def cut(whole, keep):
    columns = {name: values[keep] for name, values in whole.columns.items()}
    return replace(whole, start=whole.start[keep], columns=columns)


@pytest.mark.parametrize("points", [0.0, 0.25, 0.5, 1.0, None])
@pytest.mark.parametrize("step", [3600, 1800, 900, 300])
def test_a_straight_course_is_found_at_the_edges_whatever_the_stamp(points, step):
    hours = lay(table(points=points, step=step), "x")
    assert hours.start == START
    assert hours.n == 72
    inner = slice(3, -3)  # a quarter of the first or last hour may be missing
    expected = 20.0 + np.arange(73) / 10.0
    assert hours.arrays["temp_air"][inner] == pytest.approx(expected[inner], abs=1e-9)


def test_shorter_rows_give_the_means_they_were_made_of():
    hours = lay(table(step=600), "x")
    rows = table(step=600).columns["ghi"].reshape(72, 6)
    assert hours.arrays["ghi"] == pytest.approx(rows.mean(axis=1), abs=1e-9)


def test_rows_across_the_hour_count_by_what_lies_in_it():
    late = table(step=1800)
    late = replace(late, start=late.start + 900)  # half hours from quarter past
    hours = lay(late, "x")
    assert hours.start == START  # three quarters of the first hour are there
    ghi = late.columns["ghi"]
    assert hours.arrays["ghi"][9] == pytest.approx(
        (ghi[17] / 2 + ghi[18] + ghi[19] / 2) / 2, abs=1e-9
    )


@pytest.mark.parametrize("minute", [10, 30])
def test_an_instant_of_the_sun_is_spread_over_its_hour(minute):
    """A clear sky read at an instant gives the clear sky's own hourly means back."""
    import pandas as pd
    from pvlib.clearsky import haurwitz

    from vanclimate.site.sun import zenith_at

    start = START + 3600 * np.arange(72)

    def clear(at):
        zenith = pd.Series(zenith_at(np.asarray(at, dtype=float), 38.6, -109.6))
        return haurwitz(zenith)["ghi"].to_numpy()

    read = table(sun=minute / 60.0)
    ghi = clear(start + 60 * minute)
    read = replace(read, columns={**read.columns, "ghi": ghi, "dhi": 0.2 * ghi})
    means = clear((start[:, None] + 60 * (np.arange(60) + 0.5)).ravel()).reshape(72, 60).mean(1)
    hours = lay(read, "x")
    # twelve samples an hour against sixty
    assert hours.arrays["ghi"] == pytest.approx(means, abs=0.6)
    lit = hours.arrays["ghi"] > 100
    assert hours.arrays["dhi"][lit] / hours.arrays["ghi"][lit] == pytest.approx(0.2, abs=1e-6)


def test_a_missing_row_is_refused_with_row_and_column():
    keep = np.delete(np.arange(72), 30)
    with pytest.raises(WeatherError) as caught:
        lay(table(keep=keep), "x.csv")
    assert str(caught.value).startswith("x.csv, row 32, column ")
    assert "2021-07-02 06:00 UTC" in str(caught.value)
    assert "gaps: fill" in str(caught.value)


@pytest.mark.parametrize("points", [0.0, 1.0, None])
@pytest.mark.parametrize("length", [1, 2, 3])
def test_short_gaps_are_filled_by_straight_lines_when_asked_and_said(points, length):
    keep = np.delete(np.arange(72), np.arange(30, 30 + length))
    whole, filled = lay(table(points=points), "x"), lay(table(points=points, keep=keep), "x", True)
    assert filled.arrays["temp_air"] == pytest.approx(whole.arrays["temp_air"], abs=1e-9)
    (note,) = (note for note in filled.notes if "filled by straight lines" in note)
    assert f"{length} h in each column" in note
    assert not any("filled" in note for note in whole.notes)


@pytest.mark.parametrize("points", [0.0, 1.0, None])
def test_a_longer_gap_of_a_real_year_stays_open(points):
    keep = np.delete(np.arange(72), np.arange(30, 34))
    filled = lay(table(points=points, keep=keep), "x", True)
    assert np.isnan(filled.arrays["temp_air"]).sum() >= 4
    assert np.isnan(filled.arrays["ghi"][30:34]).all()
    assert np.isfinite(filled.arrays["ghi"][[29, 34]]).all()


def test_a_direction_that_is_missing_refuses_nothing():
    rows = table(wind_direction=lambda t: np.where((t > 30) & (t < 40), np.nan, 200.0))
    assert np.isfinite(lay(rows, "x").arrays["wind_direction"]).all()


def test_an_instant_off_the_hour_is_bridged_in_all_columns_alike():
    whole = table(points=1 / 6, sun=1 / 6)
    keep = np.delete(np.arange(72), np.arange(30, 33))
    filled = lay(cut(whole, keep), "x", True)
    assert np.isfinite(filled.arrays["temp_air"]).all()
    assert np.isfinite(filled.arrays["ghi"]).all()


def test_a_sun_that_never_shines_is_read():
    dark = table(sun=0.5)
    columns = {**dark.columns, "ghi": np.zeros(72), "dhi": np.zeros(72)}
    assert not lay(replace(dark, columns=columns), "x").arrays["ghi"].any()


def test_dew_point_never_lies_above_the_air_at_an_edge():
    damp = table(points=None, temp_air=lambda t: 10.0 + 5.0 * np.sin(t))
    damp = replace(damp, columns={**damp.columns, "temp_dew": damp.columns["temp_air"] - 0.01})
    found = lay(damp, "x").arrays
    assert (found["temp_dew"] <= found["temp_air"]).all()


def test_a_value_missing_in_its_row_is_a_gap_of_its_column():
    rows = table()
    rows.columns["temp_dew"][40] = np.nan
    with pytest.raises(WeatherError, match="column temp_dew"):
        lay(rows, "x")
    assert any("temp_dew" in note for note in lay(rows, "x", True).notes)


def test_three_quarters_of_an_hours_minutes_are_an_hour():
    whole = table(step=60)
    half = np.delete(np.arange(72 * 60), np.arange(1800, 1830))
    most = np.delete(np.arange(72 * 60), np.arange(1800, 1814))
    assert np.isfinite(lay(cut(whole, most), "x").arrays["ghi"]).all()
    with pytest.raises(WeatherError, match="without a value"):
        lay(cut(whole, half), "x")


def test_less_than_a_day_is_refused():
    with pytest.raises(WeatherError, match="a day or more"):
        lay(table(keep=np.arange(20)), "x")


def test_wind_directions_go_the_short_way_round():
    hours = lay(table(points=0.5, wind_direction=lambda t: np.where(t % 2 < 1, 350.0, 10.0)), "x")
    turn = hours.arrays["wind_direction"]
    assert (np.minimum(turn, 360.0 - turn) < 11.0).all()


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(-30, 40), min_size=6, max_size=40))
def test_straight_lines_between_edges_keep_a_smooth_courses_means(values):
    """For a course of third order the means come back to rounding."""
    t = np.arange(len(values) + 1, dtype=float)
    a, b, c = (v / 40.0 for v in values[:3])
    edges = a + b * t + c * t**2 / 50.0
    means = 0.5 * (edges[:-1] + edges[1:])
    found = _between_means(means, False)
    inner = slice(2, -2)
    assert found[inner] == pytest.approx(edges[inner], abs=1e-9)
