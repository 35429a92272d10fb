import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics.air import humidity_ratio_from_vapour_pressure, saturation_pressure
from vanclimate.physics.moisture import mass_transfer_coefficient
from vanclimate.physics.wetting import (
    LATENT,
    saturation_humidity_ratio,
    wet_film_factor,
    wet_surface_temp,
)

PRESSURE = 101325.0


def humidity(temp: float, share: float) -> float:
    return float(
        humidity_ratio_from_vapour_pressure(share * float(saturation_pressure(temp)), PRESSURE)
    )


@pytest.mark.parametrize(("temp", "share", "wet_bulb"), [(30.0, 0.5, 22.0), (20.0, 0.5, 13.8)])
def test_a_wet_surface_is_near_the_wet_bulb(temp: float, share: float, wet_bulb: float) -> None:
    # psychrometric chart, from memory; the thermodynamic wet bulb has a Lewis number of one, with
    # 0.865 a wetted face is a few tenths lower or higher
    found = wet_surface_temp(temp, humidity(temp, share), PRESSURE)
    assert found == pytest.approx(wet_bulb, abs=0.7)


def test_in_saturated_air_it_is_the_air() -> None:
    assert wet_surface_temp(15.0, humidity(15.0, 1.0), PRESSURE) == pytest.approx(15.0, abs=1e-6)


@given(st.floats(-20, 45), st.floats(0.1, 1.0), st.floats(-25, 70))
def test_the_factor_is_convection_and_evaporation_together(
    temp: float, share: float, surface: float
) -> None:
    ratio = humidity(temp, share)
    wet = float(wet_surface_temp(temp, ratio, PRESSURE))
    film = 9.0
    evaporated = float(mass_transfer_coefficient(film)) * (
        float(saturation_humidity_ratio(surface, PRESSURE)) - ratio
    )
    whole = film * (surface - temp) + LATENT * evaporated
    ours = film * float(wet_film_factor(surface, wet, PRESSURE)) * (surface - wet)
    # within NEAR of the wet surface the slope stands in for the secant
    assert ours == pytest.approx(whole, rel=1e-6, abs=0.05)


def test_a_wet_face_by_hand() -> None:
    # between 20 and 30 °C saturated air gains 0.02724 − 0.01470 = 0.01254 kg/kg; over 10 K, times
    # 2.45e6 / (1006 · 0.908): 1 + 2682 · 0.001254 = 4.36
    assert wet_film_factor(30.0, 20.0, PRESSURE) == pytest.approx(4.36, abs=0.03)
