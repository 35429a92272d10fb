"""People: comfort indices of the library that the answers lean on, and a sleeper's heat."""

import numpy as np
import pytest

from vanclimate.answers import thresholds
from vanclimate.physics import air, bedding, comfort, moisture

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


ROWS = np.array([(r[0], *r) for r in PMV] + PMV_APART, dtype=float)


def ours(rows: np.ndarray) -> np.ndarray:
    air_temp, radiant, speed, humidity, met, clo = rows.T[:6]
    vapour = humidity / 100.0 * air.saturation_pressure(air_temp)
    vote: np.ndarray = comfort.predicted_mean_vote(
        air_temp, radiant, air_speed=speed, vapour=vapour, met=met, clo=clo
    )
    return vote


def of_library(rows: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    from pythermalcomfort.models import pmv_ppd_iso

    air_temp, radiant, speed, humidity, met, clo = rows.T[:6]
    found = pmv_ppd_iso(
        tdb=air_temp, tr=radiant, vr=speed, rh=humidity, met=met, clo=clo, limit_inputs=False
    )
    return found.pmv, found.ppd


def test_pmv_table_by_our_equations_and_by_the_library() -> None:
    vote, dissatisfied = ROWS.T[6:]
    # printed to 0.01 and to whole percent
    assert np.max(np.abs(ours(ROWS) - vote)) <= 0.011
    assert np.max(np.abs(100.0 * comfort.predicted_dissatisfied(ours(ROWS)) - dissatisfied)) <= 0.6
    theirs = of_library(ROWS)
    assert np.max(np.abs(theirs[0] - vote)) <= 0.011
    assert np.max(np.abs(theirs[1] - dissatisfied)) <= 0.6


def test_pmv_agrees_with_the_library_over_the_standards_range() -> None:
    # the library rounds to 0.01 and stops its iteration at 0.015 K of the clothes' surface
    some = np.random.default_rng(7730).uniform(
        [10.0, 10.0, 0.0, 0.0, 0.8, 0.0], [30.0, 40.0, 1.0, 60.0, 4.0, 2.0], (500, 6)
    )
    assert np.max(np.abs(ours(some) - of_library(some)[0])) <= 0.02


def test_heat_index_chart() -> None:
    from pythermalcomfort.models import heat_index_rothfusz

    fahrenheit, humidity, expected = np.array(HEAT_INDEX, dtype=float).T
    celsius = (fahrenheit - 32) / 1.8
    # whole degrees: half of one, and a tenth for the chart's own rounding
    found = comfort.heat_index(celsius, humidity / 100.0) * 1.8 + 32
    assert np.max(np.abs(found - expected)) <= 0.6
    # the library's coefficients are the same, rounded for °C
    theirs = heat_index_rothfusz(tdb=celsius, rh=humidity, limit_inputs=False, round_output=False)
    assert np.max(np.abs(theirs.hi * 1.8 + 32 - expected)) <= 1.0


def test_thresholds_for_people_and_animals() -> None:
    # WHO, from memory; dogs and cats in vehicles: 9 CFR 3.16(e), read; bands: US weather service,
    # read, in °F
    assert thresholds.WHO_LEAST == 18.0
    assert (thresholds.ANIMALS_WARMEST, thresholds.ANIMALS_COLDEST) == (29.5, 7.2)
    assert thresholds.ANIMALS_HOURS == 4.0
    for fahrenheit, name in (
        (79.9, ""), (80, "caution"), (89.9, "caution"), (90, "extreme caution"),
        (102.9, "extreme caution"), (103, "danger"), (124.9, "danger"), (125, "extreme danger"),
    ):  # fmt: skip
        assert thresholds.heat_band((fahrenheit - 32) / 1.8 + 1e-9) == name


def test_a_bare_sleeper_is_neutral_near_thirty_degrees() -> None:
    # sleep laboratories: 28 to 32 °C for semi-nude sleepers without a cover (Haskell 1981 29 °C and
    # others, from memory)
    temps = np.linspace(20.0, 36.0, 161)
    votes = bedding.sleeper_vote(
        temps, temps, air_speed=0.1, vapour=0.5 * air.saturation_pressure(temps),
        clo=bedding.BEDS[0].clo,
    )  # fmt: skip
    assert 28.0 <= np.interp(0.0, votes, temps) <= 32.0


def test_coefficients_of_the_sleepers_equation() -> None:
    # as printed by Lin & Deng 2008, from memory: 0.0998, 34.6 °C, 0.3762 K/kPa, 0.056, 0.692
    assert comfort.vote_per_load(40.0) == pytest.approx(0.0998, abs=5e-5)
    assert abs(bedding._SKIN - 34.6) < 1e-9
    assert abs(bedding._EVAPORATION - 0.3762) < 5e-5
    assert 0.001 * air.saturation_pressure(34.6) == pytest.approx(5.52, abs=0.03)


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
