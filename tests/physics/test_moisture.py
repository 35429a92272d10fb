import pytest

from vanclimate.physics.air import saturation_pressure
from vanclimate.physics.moisture import (
    mass_transfer_coefficient,
    moisture_depth,
    people_water,
    surface_buffer,
)


def test_mass_transfer_by_hand() -> None:
    # 3 W/m²K / (1006 · 0.865^(2/3) = 0.9079) = 3.285e-3 kg/m²s
    assert mass_transfer_coefficient(3.0) == pytest.approx(3.285e-3, abs=2e-6)


def test_mass_transfer_in_the_other_form() -> None:
    # ISO 13788 takes a vapour permeance by convection of about 7e-9 h kg/m²sPa (Lewis), from
    # memory; at sea level a humidity ratio difference is 0.622/p times a pressure difference
    assert mass_transfer_coefficient(1.0) * 0.622 / 101325.0 == pytest.approx(7e-9, rel=0.07)


def test_water_of_a_watt() -> None:
    assert people_water(0.0) == 0.0
    assert people_water(18.0) * 3.6e6 == pytest.approx(26.8, abs=0.1)  # g/h, 18 / 2.42 MJ/kg


def test_frost_settles_at_a_lower_pressure_than_dew() -> None:
    # over ice 401.8 Pa, over supercooled water 421.8 Pa at -5 °C (tables, from memory)
    assert saturation_pressure(-5.0) == pytest.approx(401.8, abs=0.2)


def test_a_day_reaches_a_millimetre_into_plywood_and_centimetres_into_wool() -> None:
    # by hand: sqrt(2e-10·2339·86400 / (π 120·80)) = 1.158 mm
    assert moisture_depth(120.0, 80.0) == pytest.approx(1.158e-3, rel=2e-3)
    assert 0.03 < moisture_depth(1.5, 4.0) < 0.1


def test_a_thin_lining_is_stored_whole_and_plain_steel_not_at_all() -> None:
    thin = surface_buffer(area=2.0, thickness=0.5e-3, vapour=120.0, moisture=80.0)
    assert thin.capacity == pytest.approx(2.0 * 0.5e-3 * 80.0)
    assert surface_buffer(area=2.0, thickness=1e-3, vapour=1e6, moisture=0.0) == (0.0, 0.0)
