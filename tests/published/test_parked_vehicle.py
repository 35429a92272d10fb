"""A parked vehicle in the sun: a glazed uninsulated shell against measured cars.

The vehicles are in cars.py. The bands below were written before the first run of each check and
kept. Our car starts at ambient at noon of a clear 21 June, the wind 2 m/s, its nose to the south,
where a source says no more.

Sources and bands. The only spread that a source gives is that of Null's trials; two deviations
after an hour, 7 K, are therefore the band of every temperature of cars which are not ours.

- Null 2003, table 1 (rows read; mean and sd of 12 trials derived from them): rise of the air of a
  closed dark saloon in full sun that starts at ambient, 22 to 31 °C. Two deviations.
- McLaren, Null and Quinn 2005, Pediatrics 116 e109 (abstract read), 16 clear days, 22 to 36 °C:
  about 22 K in an hour on average, 7 K either way; the rise does not depend on ambient, within one
  deviation; four fifths of it come within half an hour, 0.1 either way; 1.9 K per 5 min closed,
  within a deviation of the measured rises (3.5 K in an hour), 1.7 with windows open 38 mm: the
  ratio 0.89, from 0.85 to 0.95 by the digits printed, and 0.05 beyond either way.
- Grundstein et al. 2010, BAMS 91:1183 (read): greatest heating 4, 7, 16, 26 K in 5, 10, 30, 60 min
  of 14 clear days in Georgia, so an upper end: from half of it to one of Null's deviations above
  it (for 5 min that of 10). Null's mean after 10 min lies above this source's greatest.
- Grundstein et al. 2009, Int. J. Biometeorology (abstract read), Athens, Georgia, April to August:
  daily maximum 41 to 76 °C; clear days 68 °C in summer and 61 in spring on average, 7 K either
  way, and the 7 K between them 4 either way; cloudy days about 10 K lower, 5 either way. Our days:
  21 July from 20.5 to 32 °C, 21 April from 11 to 24 °C (normals of Athens, from memory), and the
  same with nine tenths of cloud (`cars.weather_of`), 0.8 to 1 being 'cloudy' to its weather
  service (from memory). The source's cloudy days were also cooler outdoors; ours are not. Paint is
  not said in what was read: the dark saloon.
- Selover et al. 2016 (abstract read), Arizona, three matched pairs, after an hour: air 47 °C in the
  sun, 39 in shade, dashboard 72 and 51; rise 23 and 13 K; vans the slowest. The abstract does not
  settle over what it rose. Over ambient would mean 24 to 26 °C outdoors, and 25 one of our days is.
  Or the cars had been cooled to that while driven, outdoors being above 37.8 °C (the authors' later
  paper, from memory): the other, 38 °C at noon, the cars at 24 and 26 °C throughout. Air and rise
  7 K either way, the 10 K between sun and shade 5 either way. The shade is the sheet's heavy tree
  (assumed).
- Its dashboard: our furnishing is one slab, seats and trim with it, and its skin is a mean of what
  the sun reaches and what it does not: so between the air and the measured dashboard. The
  dashboard itself is stated by a balance of its own in our cabin, see `dashboard`: over the air it
  was 25 K in the sun and 12 K in shade, 10 either way for each.
- Levinson et al. 2011 (abstract read): 0.5 more solar reflectance of the paint lowers the soak air
  temperature by 5 to 6 K, 1.5 either way.
- Time constant of a first-order rise 15 to 55 min, derived: to 63 % of the three-hour rise.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.published.cars import (
    CAR,
    CARRIER,
    CRACKED,
    DARK,
    SHADED,
    VAN,
    at,
    cooled_run,
    hottest,
    noon_run,
    rise,
    scene_of,
    weather_of,
)
from vanclimate.physics.convection import FLOOR, inside_film
from vanclimate.physics.glass import diffuse_optics, stack_optics
from vanclimate.physics.longwave import radiative_coefficient

# minutes: (mean, sd) of the rise [K], Null 2003
RISE = {10: (10.5, 2.4), 20: (15.8, 2.7), 30: (18.1, 2.9), 60: (23.7, 3.5)}
# minutes: greatest rise [K], Grundstein 2010; Null's deviation
GREATEST = {5: (4.0, 2.4), 10: (7.0, 2.4), 30: (16.0, 2.9), 60: (26.0, 3.5)}
SUMMER, SPRING = (20.5, 32.0, 7), (11.0, 24.0, 4)
CLOUDY = 0.9
ARIZONA = (27.5, "arizona")  # its high: 25 °C at noon


@pytest.mark.parametrize("minute", RISE)
def test_rise_lies_within_two_deviations_of_the_measured_mean(minute):
    mean, sd = RISE[minute]
    assert at(rise(DARK), minute) == pytest.approx(mean, abs=2 * sd)


def test_it_rises_by_some_22_k_in_an_hour():
    assert at(rise(DARK), 60) == pytest.approx(22.0, abs=7.0)


@pytest.mark.parametrize("high", [22.0, 36.0])
def test_rise_hardly_depends_on_ambient(high):
    assert at(rise(DARK, high), 60) == pytest.approx(at(rise(DARK, 29.0), 60), abs=3.5)


def test_four_fifths_of_the_rise_come_within_half_an_hour():
    share = at(rise(DARK), 30) / at(rise(DARK), 60)
    assert 0.70 <= share <= 0.90


def test_closed_it_warms_at_the_measured_rate():
    assert at(rise(DARK), 60) / 12.0 == pytest.approx(1.9, abs=0.3)


@pytest.mark.xfail(
    strict=True,
    reason="0.65: wind from side to side through slots carries more than was measured. Which "
    "windows were open is not said: two front ones give 0.78, those of one side alone 0.88",
)
def test_windows_open_a_crack_help_little():
    assert 0.80 <= at(rise(CRACKED), 60) / at(rise(DARK), 60) <= 1.0


@pytest.mark.parametrize("minute", GREATEST)
def test_rise_keeps_to_the_greatest_of_fourteen_clear_days(minute):
    greatest, sd = GREATEST[minute]
    assert 0.5 * greatest <= at(rise(DARK), minute) <= greatest + sd


@pytest.mark.parametrize(("day", "mean"), [(SUMMER, 68.0), (SPRING, 61.0)])
def test_a_clear_days_maximum(day, mean):
    assert hottest(DARK, *day) == pytest.approx(mean, abs=7.0)


def test_a_clear_summer_day_is_hotter_than_one_in_spring():
    assert hottest(DARK, *SUMMER) - hottest(DARK, *SPRING) == pytest.approx(7.0, abs=4.0)


@pytest.mark.xfail(
    strict=True,
    reason="15.3 and 15.9 K: misses by 0.3 and 0.9. It is steep in the cloud, which we chose: "
    "under 0.8 it is 9.0 and 9.4, under 1.0 24; the measured days' cloud is not in what was read",
)
@pytest.mark.parametrize("day", [SUMMER, SPRING])
def test_a_cloudy_day_is_about_ten_degrees_lower(day):
    lower = hottest(DARK, *day) - hottest(DARK, *day, CLOUDY)
    assert lower == pytest.approx(10.0, abs=5.0)


@pytest.mark.parametrize(
    ("day", "cover"),
    [
        (SUMMER, 0.0),
        (SPRING, 0.0),
        (SUMMER, CLOUDY),
        pytest.param(
            SPRING,
            CLOUDY,
            marks=pytest.mark.xfail(
                strict=True,
                reason="40.4 °C, misses by 0.6: nine tenths of cloud on an ordinary day of April, "
                "where 41 was the lowest of all days from April on",
            ),
        ),
    ],
)
def test_daily_maxima_lie_where_all_measured_ones_do(day, cover):
    assert 41.0 <= hottest(DARK, *day, cover) <= 76.0


SUN, SHADE = (DARK, 47.0, 23.0), (SHADED, 39.0, 13.0)


@pytest.mark.parametrize(
    ("car", "air", "over"),
    [
        SUN,
        pytest.param(
            *SHADE,
            marks=pytest.mark.xfail(
                strict=True,
                reason="rise 3.7 K, air 29.4 °C: below by 2.3 and 2.6 K. Read as after cooling, "
                "below, it is within 0.4 K; a lighter tree has 10 K",
            ),
        ),
    ],
)
def test_air_after_an_hour_in_sun_and_shade(car, air, over):
    run = noon_run(car, *ARIZONA)
    assert at(run.column("cabin_temp_c"), 60) == pytest.approx(air, abs=7.0)
    assert at(rise(car, *ARIZONA), 60) == pytest.approx(over, abs=7.0)


@pytest.mark.parametrize(
    ("car", "air", "over"),
    [
        pytest.param(
            *SUN,
            marks=pytest.mark.xfail(
                strict=True,
                reason="55.0 °C: above by 1.0 K. The abstract's hours are not only noon's",
            ),
        ),
        SHADE,
    ],
)
def test_air_an_hour_after_a_cooled_car_is_parked(car, air, over):
    after = float(cooled_run(car, air - over).column("cabin_temp_c")[-1])
    assert after == pytest.approx(air, abs=7.0)


@pytest.mark.xfail(
    strict=True,
    reason="16.7 K: misses by 1.7. A heavy tree (a fifth of the beam) was assumed; a light one, "
    "half of the beam, takes off 10.2",
)
def test_shade_takes_ten_degrees_off():
    taken = at(rise(DARK, *ARIZONA), 60) - at(rise(SHADED, *ARIZONA), 60)
    assert taken == pytest.approx(10.0, abs=5.0)


@pytest.mark.parametrize(("car", "dash"), [(DARK, 72.0), (SHADED, 51.0)])
def test_the_furnishings_skin_lies_between_air_and_dashboard(car, dash):
    run = noon_run(car, *ARIZONA)
    names = [c.name for c in run.model.chains]
    skin = run.nodes[:, run.model.network.first[names.index("furnishing") + 1] - 1]
    assert at(run.column("cabin_temp_c"), 60) < at(skin, 60) < dash


def dashboard(text: str, minute: int) -> float:
    """Return a dashboard's temperature [°C] in our cabin, by a balance of its skin.

    It lies under the windscreen and is as large; takes what light comes through that, with an
    absorptance of 0.9; gives it to the cabin's air as a warm floor does and to the cabin's faces
    by radiation, emissivity 0.9; is insulated below and holds no heat (3 mm of plastic over foam
    follows in some minutes). All assumed but the films, which are the model's.
    """
    run = noon_run(text, *ARIZONA)
    scene = scene_of(text, weather_of(ARIZONA[1], ARIZONA[0] - 11.0, ARIZONA[0], 6))
    pane = next(g for g in scene.model.shell.glazings if g.name == "windscreen")
    sun, hour = scene.place.sides["front 30"], 12  # the hour from noon on
    beam = sun.beam[hour] * scene.sheet.shade.beam_transmission
    diffuse = (sun.sky_diffuse + sun.ground)[hour] * scene.sheet.shade.diffuse_transmission
    straight = float(stack_optics(pane.glass.panes, sun.cos_aoi[hour]).transmittance)
    scattered = float(diffuse_optics(pane.glass.panes).transmittance)
    taken = 0.9 * (beam * straight + diffuse * scattered)
    air, faces = (at(run.column(x), minute) for x in ("cabin_temp_c", "radiant_temp_c"))

    def surplus(temp: float) -> float:
        by_air = float(inside_film(temp - air, FLOOR)) * (temp - air)
        return taken - by_air - float(radiative_coefficient(temp, faces, 0.9)) * (temp - faces)

    return float(brentq(surplus, air, air + 150.0))


@pytest.mark.parametrize(
    ("car", "over"),
    [
        pytest.param(
            DARK,
            72.0 - 47.0,
            marks=pytest.mark.xfail(
                strict=True,
                reason="47 K: above by 12. It takes 660 W/m2, at noon of June through a windscreen "
                "that passes 0.76 of the beam; tinted ones pass 0.45 and up, which would be 390",
            ),
        ),
        (SHADED, 51.0 - 39.0),
    ],
)
def test_the_dashboard_over_the_air(car, over):
    air = at(noon_run(car, *ARIZONA).column("cabin_temp_c"), 60)
    assert dashboard(car, 60) - air == pytest.approx(over, abs=10.0)


def test_lighter_paint_lowers_the_soak_temperature():
    soak = [float(rise(CAR.format(colour=c, shade="none"), 38.0).max()) for c in ("90 %", "40 %")]
    assert 3.5 <= soak[0] - soak[1] <= 7.5


def test_a_first_order_time_constant_of_15_to_55_minutes():
    series = rise(DARK)
    minutes = 5 * (1 + int(np.argmax(series >= 0.632 * series.max())))
    assert 15 <= minutes <= 55


@pytest.mark.parametrize("slow", [CARRIER, VAN])
def test_vans_are_slower(slow):
    # Selover 2016 of cars' kin; an insulated van with little glass the more so
    assert at(rise(slow), 30) < at(rise(DARK), 30)
    assert at(rise(slow), 60) < at(rise(DARK), 60)
