"""Clear-sky emissivity against worked values of the published formula."""

import pytest

from vanclimate.physics.longwave import clear_sky_emissivity, sky_temperature


@pytest.mark.parametrize(
    ("temp_air", "temp_dew", "emissivity", "temp_sky"),
    [
        (20.0, 10.0, 0.774, 1.84),
        (30.0, 20.0, 0.852, 18.12),
        (30.0, 5.0, 0.741, 8.10),
        (0.0, -5.0, 0.685, -24.67),
    ],
)
def test_clear_sky(temp_air: float, temp_dew: float, emissivity: float, temp_sky: float) -> None:
    # Berdahl & Martin 1984, formula from memory, figures derived by hand
    found = clear_sky_emissivity(temp_dew)
    assert found == pytest.approx(emissivity, abs=6e-4)
    assert sky_temperature(temp_air, found) == pytest.approx(temp_sky, abs=0.01)


def test_daily_and_pressure_terms() -> None:
    # same paper: +0.013 at midnight, −0.013 at noon; 0.00012 per mbar from 1000 mbar
    plain = clear_sky_emissivity(10.0)
    assert clear_sky_emissivity(10.0, 0.0) - plain == pytest.approx(0.013)
    assert clear_sky_emissivity(10.0, 12.0) - plain == pytest.approx(-0.013)
    assert clear_sky_emissivity(10.0, None, 83000.0) - plain == pytest.approx(-0.0204)
