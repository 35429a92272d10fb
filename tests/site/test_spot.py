"""The van's own spot: height, terrain, night air, each by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from vanclimate.physics import air
from vanclimate.physics.wind import TERRAINS, terrain_ratio, wind_at_height
from vanclimate.site import find_site
from vanclimate.site.sky import (
    BY_DEW_POINT,
    BY_VAPOUR_PRESSURE,
    MEASURED,
    SKY_MODELS,
    alternative_to,
    model_of,
    sky,
)
from vanclimate.site.spot import Spot, at_spot, night_share
from vanclimate.site.sun import sun_position
from vanclimate.van.place import SKIES
from vanclimate.van.place import TERRAINS as WORDS


@pytest.fixture(scope="module")
def weather():
    return at_spot(find_site("greensboro"), Spot())  # its reports of calm are winds now


def test_a_report_of_calm_is_half_a_metre_a_second():
    # 2 knots and less are reported as 0; the middle is 1 knot, 0.51 m/s
    bare = find_site("greensboro")
    wind = at_spot(bare, Spot()).wind_speed
    calm = bare.wind_speed == 0.0
    assert 0.01 < calm.mean() < 0.3
    assert (wind[calm] == 0.5).all()
    assert np.array_equal(wind[~calm], bare.wind_speed[~calm])


def test_a_thousand_metres_up_is_six_and_a_half_kelvin_colder(weather):
    up = at_spot(weather, Spot(elevation=weather.elevation + 1000.0))
    # ISO 2533: 6.5 K/km; pressure at 1273 m against 273 m 0.8859, by its formula from memory
    assert up.temp_air == pytest.approx(weather.temp_air - 6.5)
    assert up.pressure / weather.pressure == pytest.approx(np.full(8761, 0.886), abs=1e-3)
    assert (up.temp_dew <= up.temp_air).all()
    ratio = air.humidity_ratio_from_dew_point
    before, after = ratio(weather.temp_dew, weather.pressure), ratio(up.temp_dew, up.pressure)
    dry = up.temp_dew < up.temp_air - 1e-9
    assert after[dry] == pytest.approx(before[dry], rel=1e-4)
    assert any("6.5 K/km" in note for note in up.notes)
    assert up.elevation == weather.elevation + 1000.0


def test_the_correction_can_be_switched_off_and_needs_a_height(weather):
    up = Spot(elevation=2000.0, height_correction=False)
    assert at_spot(weather, up) is weather
    assert at_spot(weather, Spot()) is weather
    assert at_spot(weather, Spot(elevation=weather.elevation + 5.0)) is weather


def test_measured_longwave_goes_with_the_air(weather):
    measured = replace(weather, longwave=np.full(8761, 350.0), digest="measured")
    up = at_spot(measured, Spot(elevation=weather.elevation + 1000.0))
    kelvin = weather.temp_air + 273.15
    assert up.longwave == pytest.approx(350.0 * ((kelvin - 6.5) / kelvin) ** 4)


def test_terrains_are_those_of_the_sheet_and_woods_break_the_wind(weather):
    assert tuple(TERRAINS) == WORDS
    assert tuple(SKY_MODELS) == SKIES
    ratios = [terrain_ratio(name) for name in TERRAINS]
    assert ratios == sorted(ratios, reverse=True)
    assert terrain_ratio("open") == 1.0
    # ASHRAE Fundamentals, from memory: 5 m/s at an airport, 2 m up in suburbs
    by_hand = 5.0 * (270.0 / 10.0) ** 0.14 * (2.0 / 370.0) ** 0.22
    assert wind_at_height(5.0, 2.0, "wooded") == pytest.approx(by_hand)
    wooded = at_spot(weather, Spot(terrain="wooded"))
    assert wooded.wind_speed == pytest.approx(weather.wind_speed * terrain_ratio("wooded"))


def test_a_hollow_is_colder_in_the_dark_only(weather):
    cold = at_spot(weather, Spot(night_air=-3.0))
    change = cold.temp_air - weather.temp_air
    assert change.min() == pytest.approx(-3.0)
    share = night_share(weather)
    assert ((share >= 0.0) & (share <= 1.0)).all()
    high = np.flatnonzero(sun_position(weather).zenith < 60.0)
    assert np.abs(change[high]).max() < 1e-12
    assert (cold.temp_dew <= cold.temp_air).all()
    assert at_spot(weather, Spot(night_air=0.0)) is weather


def test_each_choice_changes_the_digest_so_that_nothing_old_is_served(weather):
    spots = [Spot(), Spot(1500.0), Spot(terrain="town"), Spot(night_air=1.0), Spot(night_air=2.0)]
    assert len({at_spot(weather, spot).digest for spot in spots}) == 5


def test_measured_longwave_is_the_skys_temperature_where_there_is_any(weather):
    kelvin = 280.0
    measured = replace(weather, longwave=np.full(8761, 5.670374e-8 * kelvin**4), digest="black")
    assert sky(measured).temp_sky == pytest.approx(kelvin - 273.15)
    assert model_of(measured) == MEASURED
    assert model_of(weather) == BY_DEW_POINT
    assert alternative_to(measured) == BY_DEW_POINT
    assert alternative_to(weather) == BY_VAPOUR_PRESSURE
    assert alternative_to(measured, BY_VAPOUR_PRESSURE) == BY_DEW_POINT


def test_two_skies_differ_by_kelvins_and_not_by_tens(weather):
    gap = sky(weather, BY_DEW_POINT).temp_sky - sky(weather, BY_VAPOUR_PRESSURE).temp_sky
    assert 0.5 < np.abs(gap).mean() < 6.0
