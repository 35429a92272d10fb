import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics.air import humidity_ratio_from_vapour_pressure, saturation_pressure
from vanclimate.physics.moisture import mass_transfer_coefficient
from vanclimate.physics.wetting import (
    LATENT,
    saturation_humidity_ratio,
    wet_film,
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
def test_convection_and_evaporation_together_are_met_where_the_tangent_touches(
    temp: float, share: float, surface: float
) -> None:
    ratio = humidity(temp, share)
    wet = float(wet_surface_temp(temp, ratio, PRESSURE))
    film = 9.0
    evaporated = float(mass_transfer_coefficient(film)) * (
        float(saturation_humidity_ratio(surface, PRESSURE)) - ratio
    )
    whole = film * (surface - temp) + LATENT * evaporated
    factor, offset = wet_film(surface, wet, PRESSURE)
    assert factor >= 1.0
    # saturation over ice and over water meet within 0.02 W/m2 at 0 °C
    assert film * factor * (surface - wet - offset) == pytest.approx(whole, rel=1e-6, abs=0.02)


def test_a_wet_face_by_hand() -> None:
    # at 30 °C saturation is 4246 Pa and rises by 243.5 Pa/K (steam tables, from memory); dW/de is
    # 0.622 · 101325 / (101325 − 4246)² = 6.687e-6, so 0.001628 kg/kg a kelvin; times
    # 2.45e6 / (1006 · 0.908) = 2682: 1 + 4.37
    factor, offset = wet_film(30.0, 30.0, PRESSURE)
    assert factor == pytest.approx(5.37, abs=0.03)
    assert offset == pytest.approx(0.0, abs=1e-9)
