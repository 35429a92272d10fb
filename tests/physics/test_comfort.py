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
