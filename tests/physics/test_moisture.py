import pytest

from vanclimate.physics.moisture import mass_transfer_coefficient, people_water


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
