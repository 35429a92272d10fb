"""The sun's sunlit part, light on planes, panels, design days, the sky: limits and balances."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from vanclimate.errors import OptionError
from vanclimate.site import find_site
from vanclimate.site.designday import design_day, weekly_temperature
from vanclimate.site.panel import panel
from vanclimate.site.sky import sky
from vanclimate.site.sun import (
    _sunlit_part,
    horizontal_residual,
    irradiance,
    solar_position,
    sun_position,
    zenith_at,
)

SITES = ("miami", "greensboro", "sand point")
FACES = [(0, 0), (20, 180), (90, 0), (90, 90), (90, 180), (90, 270), (135, 200), (180, 0)]


def cosine(weather):
    sun = sun_position(weather)
    up = (sun.sunlit > 0.0) & (sun.zenith < 90.0)
    return np.where(up, np.cos(np.radians(sun.zenith)), 0.0)


def june(**changed):
    given = {
        "low": 20.0,
        "high": 35.0,
        "latitude": 35.0,
        "date": dt.date(2025, 6, 21),
        "relative_humidity": 0.7,
    }
    return design_day(**(given | changed))


@pytest.mark.parametrize("site", SITES)
def test_level_plane_gets_what_the_file_holds(site):
    weather = find_site(site)
    light = irradiance(weather, 0.0, 123.0)
    expected = weather.dni * cosine(weather) + weather.dhi
    assert np.allclose(light.beam + light.sky_diffuse, expected, atol=1e-9)
    assert not light.ground.any()


@pytest.mark.parametrize("site", SITES)
@pytest.mark.parametrize(("tilt", "azimuth"), FACES)
def test_light_is_finite_and_never_negative(site, tilt, azimuth):
    weather = find_site(site)
    light = irradiance(weather, tilt, azimuth)
    for part in (light.beam, light.sky_diffuse, light.ground, light.cos_aoi):
        assert part.shape == (weather.n,)
        assert np.isfinite(part).all()
        assert (part >= 0.0).all()
    assert (light.cos_aoi <= 1.0).all()
    assert not light.beam[sun_position(weather).sunlit == 0.0].any()


def test_facing_down_sees_the_ground_alone():
    weather = find_site("miami")
    light = irradiance(weather, 180.0, 0.0, albedo=0.3)
    assert np.allclose(light.ground, 0.3 * weather.ghi)
    assert np.allclose(light.sky_diffuse, 0.0, atol=1e-9)
    assert not light.beam.any()


def test_azimuth_runs_clockwise_from_north():
    weather = find_site("greensboro")
    morning, noon, evening = (
        irradiance(weather, 90.0, azimuth).beam.reshape(365, 24).sum(axis=0)
        for azimuth in (90.0, 180.0, 270.0)
    )
    assert np.argmax(morning) < 11
    assert 11 <= np.argmax(noon) <= 13
    assert np.argmax(evening) > 13
    same = irradiance(weather, 90.0, -90.0).beam
    assert np.array_equal(same, irradiance(weather, 90.0, 270.0).beam)


@pytest.mark.parametrize("site", ["greensboro", "sand point"])
def test_the_files_three_radiations_fit_the_sun(site):
    # not forced: TMY3 components are printed to 1 W/m2 and modelled together, so the mean gap is
    # about that; a sun half an hour off makes it many times as large
    weather = find_site(site)
    day = weather.ghi > 0
    gap = np.abs(horizontal_residual(weather)[day]).mean()
    assert gap < 1.5
    late = replace(weather, start=weather.start + dt.timedelta(minutes=30))
    assert np.abs(horizontal_residual(late)[day]).mean() > 5.0 * gap


def test_sunlit_part_by_hand():
    # the sun climbs from 95.8333 to 85.8333 deg: it rises half way, and the lit half's middle is
    # at three quarters of the hour
    first, mid, last = (np.array([z]) for z in (95.8333, 90.8333, 85.8333))
    share, centre = _sunlit_part(first, mid, last)
    assert share[0] == pytest.approx(0.5, abs=1 / 60)
    assert centre[0] == pytest.approx(0.75, abs=1 / 60)
    share, centre = _sunlit_part(last, mid, first)
    assert centre[0] == pytest.approx(0.25, abs=1 / 60)
    share, _ = _sunlit_part(last, last, last)
    assert share[0] == 1.0
    share, centre = _sunlit_part(first, first, first)
    assert (share[0], centre[0]) == (0.0, 0.5)


def test_length_of_the_day():
    # latitude 35: 14 h 31 min on 21 June, 9 h 48 min on 21 December (almanac, from memory, to
    # some minutes); beyond the polar circle 24 h and none
    assert sun_position(june()).sunlit[:24].sum() == pytest.approx(14.52, abs=0.1)
    december = june(date=dt.date(2025, 12, 21))
    assert sun_position(december).sunlit[:24].sum() == pytest.approx(9.8, abs=0.1)
    polar = june(latitude=75.0)
    assert sun_position(polar).sunlit.min() == 1.0
    night = june(latitude=75.0, date=dt.date(2025, 12, 21))
    assert sun_position(night).sunlit.max() == 0.0
    assert not irradiance(night, 0.0, 0.0).beam.any()
    assert not panel(night).power_ratio.any()


def test_southern_noon_sun_is_in_the_north():
    day = june(latitude=-35.0)
    sun = sun_position(day)
    azimuth = sun.azimuth[int(np.argmin(sun.zenith))]
    assert min(azimuth, 360.0 - azimuth) < 20.0


def test_radiation_of_every_sunlit_hour_has_a_sun_above_the_horizon():
    weather = find_site("greensboro")
    sun = sun_position(weather)
    lit = (weather.dni > 0.0) & (sun.sunlit > 1 / 30)
    assert (sun.zenith[lit] < 90.0).all()
    assert weather.dni[sun.sunlit == 0.0].max() == 0.0


def test_design_day_is_what_was_asked():
    day = june()
    assert day.synthetic
    assert not day.typical
    assert "synthetic" in day.name
    assert (day.temp_air.min(), day.temp_air.max()) == (20.0, 35.0)
    assert int(np.argmax(day.temp_air)) == 15
    assert int(np.argmin(day.temp_air)) == 5
    assert np.array_equal(day.temp_air[:24], day.temp_air[24:48])
    assert np.array_equal(day.ghi[:24], day.ghi[-24:])
    assert day.n == 144
    assert day.pressure[0] == pytest.approx(101325.0)
    # dew point of 20 °C at 70 %: 14.4 °C (psychrometric chart, from memory)
    assert day.temp_dew[0] == pytest.approx(14.4, abs=0.1)
    assert june(relative_humidity=1.0).temp_dew[0] <= 20.0


def test_design_day_runs_on_solar_time():
    # 97.5 W in the zone of 90 W: the sun is half an hour late, so is the noon light
    east, late = june(longitude=-90.0), june(longitude=-97.5, utc_offset_h=-6.0)
    assert east.utc_offset_h == -6.0
    clock = np.arange(24) + 0.5
    shift = (late.ghi[:24] @ clock) / late.ghi[:24].sum() - (east.ghi[:24] @ clock) / east.ghi[
        :24
    ].sum()
    assert shift == pytest.approx(0.5, abs=0.02)
    assert np.allclose(
        late.temp_air[:24],
        weekly_temperature(np.arange(24) - 0.5, np.array([20.0]), np.array([35.0])),
    )


def test_design_day_closes_on_the_horizontal():
    # the mean of a product is not the product of means: within an hour cos(zenith) moves by 0.2
    # and the beam of a low sun by up to 500 W/m2, so 0.2 * 500 / 12 = 8 W/m2 at the most
    day = june()
    residual = horizontal_residual(day)
    assert np.abs(residual).max() < 8.0
    assert abs(residual.sum()) < 0.005 * day.ghi.sum()


@pytest.mark.parametrize(
    ("changed", "word"),
    [
        ({"low": 35.0}, "low"),
        ({"low": 40.0}, "less than the high"),
        ({"low": float("nan")}, "low"),
        ({"high": 80.0}, "high"),
        ({"latitude": 91.0}, "latitude"),
        ({"longitude": 181.0}, "longitude"),
        ({"relative_humidity": 70.0}, "relative_humidity"),
        ({"relative_humidity": 0.0}, "relative_humidity"),
        ({"elevation": 9000.0}, "elevation"),
        ({"utc_offset_h": 20.0}, "utc_offset_h"),
        ({"days": 0}, "days"),
    ],
)
def test_an_absurd_design_day_is_refused(changed, word):
    with pytest.raises(OptionError, match=word):
        june(**changed)


@pytest.mark.parametrize(("tilt", "albedo"), [(-1.0, 0.2), (181.0, 0.2), (0.0, 1.1)])
def test_an_absurd_plane_is_refused(tilt, albedo):
    with pytest.raises(OptionError):
        irradiance(june(), tilt, 0.0, albedo)


def test_panel_in_shade_and_in_sun():
    day = june()
    full, dark = panel(day), panel(day, beam_transmission=0.0, diffuse_transmission=0.0)
    assert not dark.power_ratio.any()
    noon = int(np.argmax(day.ghi[:24]))
    assert 0.7 < full.power_ratio[noon] < 0.9
    half = panel(day, beam_transmission=0.5, diffuse_transmission=0.5)
    # half the light, cooler cells: a little more than half the power
    assert 0.5 < half.power_ratio[noon] / full.power_ratio[noon] < 0.6
    assert half.temp[noon + 1] < full.temp[noon + 1]
    assert np.array_equal(dark.temp, day.temp_air)
    assert full.temp.shape == (day.n + 1,)


@pytest.mark.parametrize("site", SITES)
def test_sky_is_colder_than_air_and_humidity_positive(site):
    weather = find_site(site)
    found = sky(weather)
    assert found.temp_sky.shape == found.humidity_ratio.shape == (weather.n + 1,)
    drop = weather.temp_air - found.temp_sky
    assert np.isfinite(drop).all()
    assert drop.min() > -1e-9
    assert drop.max() < 40.0
    assert found.humidity_ratio.min() > 0.0
    clear = weather.cloud_total == 0.0
    overcast = weather.cloud_opaque == 1.0
    assert drop[clear].mean() > drop[overcast].mean() + 5.0


def test_sky_of_a_clear_hour_by_hand():
    # Berdahl & Martin at air 30 °C, dew point 20 °C: emissivity .852, 18.12 °C; the daily term
    # is nil at 6 and 18 h and the pressure term at 1000 mbar
    weather = june()
    points = np.ones(weather.n + 1)
    fixed = replace(
        weather,
        temp_air=30.0 * points,
        temp_dew=20.0 * points,
        pressure=1e5 * points,
        digest="made up for this test",
    )
    assert sky(fixed).temp_sky[18] == pytest.approx(18.12, abs=0.05)
    assert sky(fixed).temp_sky[0] > sky(fixed).temp_sky[18] > sky(fixed).temp_sky[12]


@pytest.mark.parametrize("year", [1961, 2005, 2024, 2050])
def test_the_short_ephemeris_is_as_good_as_said(year):
    # the long algorithm (Reda & Andreas 2004) as the oracle
    import pandas as pd

    moments = pd.Timestamp(f"{year}-01-01", tz="UTC").timestamp() + 7200.0 * np.arange(4380)
    for latitude, longitude in ((38.6, -109.6), (-33.9, 151.2), (69.6, 19.0)):
        long = solar_position(
            pd.to_datetime(moments, unit="s", utc=True), latitude=latitude, longitude=longitude,
            elevation=0.0, pressure=101325.0, temp_air=12.0,
        )["apparent_zenith"].to_numpy()  # fmt: skip
        short = zenith_at(moments, latitude, longitude)
        assert np.abs(short - long)[long < 90.0].max() < 0.015
