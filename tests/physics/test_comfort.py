from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics import comfort

TABLE = comfort.CoolingTable(
    np.array([20.0, 30.0]), np.array([0.2, 0.8]), np.array([[4.0, 3.0], [2.0, 1.0]])
)


@pytest.mark.parametrize(("speed", "expected"), [(0.1, 25.0), (0.3, 24.0), (0.8, 23.0)])
def test_moving_air_weighs_more(speed: float, expected: float) -> None:
    assert comfort.operative_temperature(20.0, 30.0, speed) == pytest.approx(expected)


def test_table_is_read_at_its_corners_between_and_beyond() -> None:
    assert comfort.cooling_effect(20.0, 0.2, TABLE) == 4.0
    assert comfort.cooling_effect(30.0, 0.8, TABLE) == 1.0
    assert comfort.cooling_effect(25.0, 0.5, TABLE) == pytest.approx(2.5)
    assert comfort.cooling_effect(99.0, 0.0, TABLE) == 2.0
    assert comfort.cooling_effect(np.array([20.0, 25.0]), np.array([0.8, 0.5]), TABLE) == (
        pytest.approx([3.0, 2.5])
    )


def test_cooling_table_of_the_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path))
    still = comfort.cooling_effect_table(0.05)
    assert not still.effect.any()
    table = comfort.cooling_effect_table(0.8)
    assert np.all(table.effect > 0.0)
    # between the grid's points interpolation is good to a tenth of a kelvin
    from pythermalcomfort.models import cooling_effect

    exact = cooling_effect(tdb=25.0, tr=25.0, vr=0.8, rh=60.0, met=1.0, clo=0.5).ce
    assert comfort.cooling_effect(25.0, 0.6, table) == pytest.approx(float(exact), abs=0.1)
    # the more air the cooler
    assert np.all(comfort.cooling_effect_table(0.4).effect < table.effect)


@given(st.floats(-30.0, 120.0), st.floats(0.0, 200.0))
def test_heat_adds_up(temp: float, total: float) -> None:
    for heat in (comfort.sleeping_heat(temp, total), comfort.awake_heat(temp, total)):
        assert sum(heat) == pytest.approx(total)
        assert min(heat) >= 0.0


def test_warmer_air_takes_less_sensible_heat() -> None:
    temps = np.linspace(20.0, 40.0, 7)
    assert np.all(np.diff(comfort.sleeping_heat(temps)[0]) < 0)
    assert np.all(comfort.awake_heat(temps)[0] > comfort.sleeping_heat(temps)[0] - 1.0)


def test_carbon_dioxide_by_hand() -> None:
    # 7.5 L/s for one sleeper of 0.0035 L/s: 467 ppm above outdoors
    assert comfort.carbon_dioxide_rise(comfort.CO2_ASLEEP, 0.0075) == pytest.approx(466.7, abs=0.1)


def test_breath_and_skin_give_water_in_the_cold_too():
    # 20 to 50 g/h asleep, sources differ (building code texts read); 2.42 MJ/kg at the skin
    for temp in (-10.0, 0.0, 10.0):
        latent = float(comfort.sleeping_heat(temp)[1])
        assert 15 < latent / 2.42e6 * 3.6e6 < 50


ordinary = st.tuples(
    st.floats(0.0, 45.0), st.floats(0.0, 50.0), st.floats(0.0, 1.5), st.floats(0.0, 3500.0),
    st.floats(0.7, 4.0), st.floats(0.0, 3.0),
)  # fmt: skip


def vote_of(temp, radiant, speed, vapour, met, clo):
    return comfort.predicted_mean_vote(
        temp, radiant, air_speed=speed, vapour=vapour, met=met, clo=clo
    )


@given(ordinary, st.floats(0.1, 5.0))
def test_a_vote_rises_with_air_walls_and_humidity(state, more) -> None:
    temp, radiant, speed, vapour, met, clo = state
    here = vote_of(*state)
    assert vote_of(temp + more, radiant, speed, vapour, met, clo) > here
    assert vote_of(temp, radiant + more, speed, vapour, met, clo) > here
    assert vote_of(temp, radiant, speed, vapour + 100.0 * more, met, clo) > here


@given(st.floats(0.0, 30.0), st.floats(0.0, 2.9), st.floats(0.05, 1.0))
def test_below_the_skins_temperature_clothes_warm_and_wind_cools(temp, clo, more) -> None:
    here = vote_of(temp, temp, 0.2, 1000.0, 1.0, clo)
    assert vote_of(temp, temp, 0.2 + more, 1000.0, 1.0, clo) <= here + 1e-9
    # from 0.5 clo on: below it, the standard's area of thin clothes grows about as fast as they
    # insulate
    if clo >= 0.5:
        assert vote_of(temp, temp, 0.2, 1000.0, 1.0, clo + more) > here


def test_a_vote_of_arrays_is_that_of_their_elements() -> None:
    temps, clo = np.array([18.0, 26.0, 34.0]), np.array([0.2, 0.5, 2.0])
    together = vote_of(temps, 25.0, 0.1, 1200.0, 1.2, clo)
    apart = [vote_of(t, 25.0, 0.1, 1200.0, 1.2, c) for t, c in zip(temps, clo, strict=True)]
    assert together == pytest.approx(apart)


def test_the_clothes_balance_closes_by_hand() -> None:
    # no clothes: they are as warm as the skin, 35.7 - 0.028 M; then all terms can be summed by hand
    heat = 58.15
    skin = 35.7 - 0.028 * heat
    radiation = 3.96e-8 * ((skin + 273) ** 4 - 303.0**4)
    convection = 2.38 * (skin - 30.0) ** 1.25
    wet = 3.05e-3 * (5733 - 6.99 * heat - 1500) + 1.7e-5 * heat * (5867 - 1500)
    load = heat - wet - 0.0014 * heat * 4.0 - radiation - convection
    expected = (0.303 * np.exp(-0.036 * heat) + 0.028) * load
    assert vote_of(30.0, 30.0, 0.0, 1500.0, 1.0, 0.0) == pytest.approx(expected, abs=1e-6)


@given(st.floats(-20.0, 20.0))
def test_at_least_one_of_twenty_is_dissatisfied(vote: float) -> None:
    share = comfort.predicted_dissatisfied(vote)
    assert 0.05 - 1e-12 <= share <= 1.0
    assert share == pytest.approx(float(comfort.predicted_dissatisfied(-vote)))


def test_heat_index_of_mild_air_is_about_its_temperature() -> None:
    # the line of the service: at 68 °F and 50 % it is 0.5 (68 + 61 + 0 + 4.7) = 66.85 °F
    assert comfort.heat_index(20.0, 0.5) * 1.8 + 32 == pytest.approx(66.85)


@given(st.floats(27.0, 43.0), st.floats(0.4, 0.95))
def test_heat_index_rises_with_temperature_and_humidity(temp: float, humidity: float) -> None:
    here = comfort.heat_index(temp, humidity)
    assert comfort.heat_index(temp + 1.0, humidity) > here
    assert comfort.heat_index(temp, humidity + 0.05) > here


@pytest.mark.parametrize(
    ("fahrenheit", "percent", "adjusted"),
    [(95.0, 9.0, -1.0), (82.0, 95.0, 1.0), (95.0, 50.0, 0.0), (90.0, 90.0, 0.0)],
)
def test_heat_index_is_adjusted_where_it_is_very_dry_or_damp(fahrenheit, percent, adjusted) -> None:
    # by hand: (13 - 9) / 4 × sqrt(17 / 17) = 1 off; (95 - 85) / 10 × (87 - 82) / 5 = 1 on
    t, r = fahrenheit, percent
    plain = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 0.00683783 * t * t
        - 0.05481717 * r * r + 0.00122874 * t * t * r + 0.00085282 * t * r * r
        - 0.00000199 * t * t * r * r
    )  # fmt: skip
    found = comfort.heat_index((t - 32.0) / 1.8, r / 100.0) * 1.8 + 32.0
    assert found - plain == pytest.approx(adjusted, abs=1e-6)
