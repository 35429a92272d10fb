"""What a file leaves out: humidity, pressure, the sun's parts, cloud; each by an outside hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import psychrolib
import pytest

from tests.site.test_hours import table
from vanclimate.errors import WeatherError
from vanclimate.site import find_site
from vanclimate.site.complete import complete_hours, complete_rows, with_monthly_dew_point
from vanclimate.site.hours import lay
from vanclimate.site.record import hours_of
from vanclimate.site.sun import horizontal_residual, sun_position
from vanclimate.site.table import Station


def without(rows, *names):
    return replace(rows, columns={k: v for k, v in rows.columns.items() if k not in names})


@pytest.mark.slow
def test_dew_point_from_humidity_is_psychrolibs():
    # PsychroLib as the oracle; above freezing, where both mean water
    rows = table()
    temp, share = rows.columns["temp_air"], np.full(72, 0.55)
    rows = without(replace(rows, columns={**rows.columns, "relative_humidity": share}), "temp_dew")
    found = complete_rows(rows, "x").columns["temp_dew"]
    psychrolib.SetUnitSystem(psychrolib.SI)
    expected = [psychrolib.GetTDewPointFromRelHum(float(t), 0.55) for t in temp]
    assert found == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(
    ("names", "word"),
    [(("temp_air",), "air temperature"), (("temp_dew",), "humidity"), (("ghi", "dni"), "sun")],
)
def test_what_cannot_be_derived_is_refused(names, word):
    with pytest.raises(WeatherError, match=word):
        complete_rows(without(table(), *names), "x")


def test_pressure_comes_from_the_height_and_is_said():
    found = complete_rows(without(table(), "pressure"), "x")
    # ISO 2533 at 1200 m: 87 718 Pa, from memory of its table
    assert found.columns["pressure"][0] == pytest.approx(87_718.0, rel=2e-4)
    assert any("pressure" in note for note in found.notes)
    unknown = replace(table(), station=Station("x", 38.0, -109.0, None, -7.0))
    with pytest.raises(WeatherError, match="no height"):
        complete_rows(without(unknown, "pressure"), "x")


def test_wind_that_is_not_there_is_assumed_and_said():
    found = complete_rows(without(table(), "wind_speed"), "x")
    assert (found.columns["wind_speed"] == 2.0).all()
    assert any("assumed" in note for note in found.notes)


def test_a_months_dew_point_never_exceeds_the_air():
    rows = without(table(), "temp_dew")
    found = with_monthly_dew_point(rows, np.full(12, 24.0), "another year")
    assert (found.columns["temp_dew"] <= found.columns["temp_air"]).all()
    assert "another year" in found.notes[-1]


def greensboro(*left_out):
    """Return the shipped year's arrays without some, its place and start."""
    weather = find_site("greensboro")
    hours = hours_of(weather)
    arrays = {k: v.copy() for k, v in hours.arrays.items() if k not in left_out}
    station = Station("x", weather.latitude, weather.longitude, weather.elevation, -5.0)
    return weather, complete_hours(arrays, station, float(hours.start), hours.n)


def test_global_and_diffuse_give_the_direct_sun_of_the_file():
    weather, (arrays, notes) = greensboro("dni")
    # the file's global sun is not quite the sum of its parts: that gap, over the sun's height, is
    # all that may differ
    high = weather.ghi > 300
    cosine = np.cos(np.radians(sun_position(weather).zenith))
    gap = horizontal_residual(weather)
    expected = weather.dni + gap / np.where(high, cosine, 1.0)
    assert arrays["dni"][high] == pytest.approx(expected[high], abs=1.0)
    assert any("direct sun" in note for note in notes)


def test_global_and_direct_give_the_diffuse_sun_of_the_file():
    weather, (arrays, _) = greensboro("dhi")
    rest = weather.dhi + horizontal_residual(weather)
    assert arrays["dhi"] == pytest.approx(np.maximum(rest, 0.0), abs=1e-6)


def test_direct_and_diffuse_give_the_global_sun_of_the_file():
    weather, (arrays, _) = greensboro("ghi")
    assert arrays["ghi"] == pytest.approx(weather.ghi - horizontal_residual(weather), abs=1e-6)


def test_below_two_degrees_the_suns_disc_counts_as_diffuse():
    weather, (arrays, _) = greensboro("dni")
    sun = sun_position(weather)
    low = (sun.sunlit > 0.0) & (sun.zenith > 88.1) & (sun.zenith < 90.0) & (weather.ghi > 0.0)
    assert low.sum() > 50
    assert arrays["dhi"][low] == pytest.approx(weather.ghi[low])
    assert not arrays["dni"][low].any()


def test_global_alone_is_split_and_adds_up():
    weather, (arrays, notes) = greensboro("dni", "dhi")
    assert any("Erbs" in note for note in notes)
    assert (arrays["dhi"] <= arrays["ghi"] + 1e-9).all()
    # a year's diffuse sun by such a split is good to some tenths (common practice, no source): a
    # swap of the two parts would be off by a third here
    assert arrays["dhi"].sum() == pytest.approx(weather.dhi.sum(), rel=0.15)


def test_cloud_from_the_sun_follows_the_clouds_of_the_file():
    weather, (arrays, notes) = greensboro("cloud_opaque", "cloud_total", "ceiling")
    assert any("cloud is derived" in note for note in notes)
    cover = arrays["cloud_opaque"]
    assert ((cover >= 0.0) & (cover <= 1.0)).all()
    day = np.append(weather.ghi > 300, False)
    assert np.corrcoef(cover[day], weather.cloud_opaque[day])[0, 1] > 0.7


def test_a_dark_month_has_a_cloud_too():
    dark = table()
    dark = replace(dark, columns={**dark.columns, "ghi": np.zeros(72), "dhi": np.zeros(72)})
    hours = lay(without(dark, "cloud_opaque"), "x")
    assert np.isfinite(hours.arrays["cloud_opaque"]).all()
