"""People: comfort indices of the library that the answers lean on, and a sleeper's heat."""

import numpy as np
import pytest

from vanclimate.physics import comfort, moisture

# air = radiant °C, air m/s, RH %, met, clo, PMV, PPD: ISO 7730 table D.1 through an open
# validation set
PMV = [
    (22.0, 0.10, 60, 1.2, 0.5, -0.75, 17),
    (27.0, 0.10, 60, 1.2, 0.5, 0.77, 17),
    (27.0, 0.30, 60, 1.2, 0.5, 0.43, 9),
    (19.0, 0.10, 40, 1.2, 1.0, -0.60, 13),
    (23.5, 0.30, 40, 1.2, 1.0, 0.12, 5),
    (22.0, 0.10, 60, 1.6, 0.5, 0.05, 5),
    (27.0, 0.10, 60, 1.6, 0.5, 1.17, 34),
    (27.0, 0.30, 60, 1.6, 0.5, 0.95, 24),
]
# rows of the same table with air and radiant temperature apart
PMV_APART = [
    (23.5, 25.5, 0.10, 60, 1.2, 0.5, -0.01, 5),
    (23.5, 25.5, 0.30, 60, 1.2, 0.5, -0.56, 11),
    (23.0, 21.0, 0.10, 40, 1.2, 1.0, 0.05, 5),
    (23.0, 21.0, 0.30, 40, 1.2, 1.0, -0.17, 6),
]

# air °F, RH %, heat index °F: chart of the US weather service, read
HEAT_INDEX = [
    (80, 40, 80),
    (90, 50, 95),
    (90, 70, 106),
    (96, 65, 121),
    (100, 40, 109),
    (100, 60, 129),
    (104, 55, 137),
    (86, 90, 105),
    (94, 85, 135),
]


def test_pmv_rows() -> None:
    from pythermalcomfort.models import pmv_ppd_iso

    rows = np.array([(r[0], *r) for r in PMV] + PMV_APART, dtype=float)
    air, radiant, speed, humidity, met, clo, vote, dissatisfied = rows.T
    found = pmv_ppd_iso(
        tdb=air, tr=radiant, vr=speed, rh=humidity, met=met, clo=clo, limit_inputs=False
    )
    # printed to 0.01 and to whole percent
    assert np.max(np.abs(found.pmv - vote)) <= 0.011
    assert np.max(np.abs(found.ppd - dissatisfied)) <= 0.6


def test_heat_index_chart() -> None:
    from pythermalcomfort.models import heat_index_rothfusz

    fahrenheit, humidity, expected = np.array(HEAT_INDEX, dtype=float).T
    found = heat_index_rothfusz(
        tdb=(fahrenheit - 32) / 1.8, rh=humidity, limit_inputs=False, round_output=False
    )
    assert np.max(np.abs(found.hi * 1.8 + 32 - expected)) <= 1.0


@pytest.mark.parametrize(("temp", "sensible", "latent"), [(20.0, 59.0, 14.0), (28.0, 53.0, 18.0)])
def test_heat_of_a_sleeper(temp: float, sensible: float, latent: float) -> None:
    # ASHRAE table (read in a copy) and an open library: 'about 72 W', 59+14 and 53+18, whose sums
    # are 73 and 71; ours keeps the total at 72, so the latent part is 1 W off each
    found = comfort.sleeping_heat(temp)
    assert found[0] == pytest.approx(sensible, abs=0.5)
    assert found[1] == pytest.approx(latent, abs=1.0 + 1e-9)


def test_water_from_people() -> None:
    # building code texts (read): asleep 20–50 g/h, sedentary 40–60 g/h; sources differ
    asleep = moisture.people_water(comfort.sleeping_heat(24.0)[1]) * 3.6e6
    awake = moisture.people_water(comfort.awake_heat(24.0)[1]) * 3.6e6
    assert 20.0 <= asleep <= 50.0
    assert 40.0 <= awake <= 60.0


def test_carbon_dioxide_of_two_sleepers() -> None:
    # ASTM D6245, Persily 2017 (from memory): 0.003–0.004 L/s asleep; 12 m³, one air change an hour:
    # +2160 ppm at 0.0036 L/s each; the range is 17 % wide, our constant lies in its middle
    rise = comfort.carbon_dioxide_rise(2 * comfort.CO2_ASLEEP, 12.0 / 3600.0)
    assert rise == pytest.approx(2160.0, rel=0.05)
