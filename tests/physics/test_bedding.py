from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics import bedding

temps = st.floats(-10.0, 30.0)
vapours = st.floats(100.0, 3500.0)


def vote(temp, clo=2.0, speed=0.1, vapour=1200.0, radiant=None):
    return bedding.sleeper_vote(
        temp, temp if radiant is None else radiant, air_speed=speed, vapour=vapour, clo=clo
    )


def test_bedding_runs_from_least_to_most_within_what_was_measured():
    least, most = bedding.INSULATION_RANGE
    clo = [bed.clo for bed in bedding.BEDS]
    assert clo == sorted(clo)
    assert len({bed.name for bed in bedding.BEDS}) == len(bedding.BEDS)
    for bed in bedding.BEDS:
        assert least <= bed.low < bed.clo < bed.high <= most + 0.02


@pytest.mark.parametrize(("speed", "film"), [(0.0, 5.1), (0.1, 5.1), (0.8, 10.19), (1.5, 14.12)])
def test_film_of_a_lying_body_by_hand(speed, film):
    # 0.8 ** 0.67 = 0.8611, 1.5 ** 0.67 = 1.3122
    assert bedding.lying_film(speed) == pytest.approx(film, abs=0.01)
    assert bedding.lying_film(9.0) == bedding.lying_film(1.5)


def test_still_air_leaves_a_bed_its_insulation_and_moving_air_takes_of_the_air_layer_only():
    assert bedding.bed_insulation(2.0, 0.1) == pytest.approx(0.31)
    # 1 / 9.8 - 1 / 14.89 = 0.0349 m2K/W
    for clo in (1.0, 4.0):
        lost = clo * 0.155 - bedding.bed_insulation(clo, 0.8)
        assert lost == pytest.approx(0.0349, abs=2e-4)


def test_a_sleepers_vote_by_hand():
    # 25 °C, 1.5 kPa, 2 clo: skin (9.6 + 0.3762 × 4.02) / 0.31 = 35.85 W/m2;
    # breath 0.056 × 9 + 0.692 × 4.37 = 3.53; 0.0998 × (40 - 35.85 - 3.53) = 0.062
    assert vote(25.0, vapour=1500.0) == pytest.approx(0.062, abs=0.005)


@given(temps, vapours, st.floats(0.1, 8.0))
def test_a_sleepers_vote_rises_with_air_walls_and_humidity(temp, vapour, more):
    here = vote(temp, vapour=vapour)
    assert vote(temp + more, vapour=vapour, radiant=temp) > here
    assert vote(temp, vapour=vapour, radiant=temp + more) > here
    assert vote(temp, vapour=vapour + 50.0 * more) > here


@given(temps, vapours, st.floats(0.9, 4.5), st.floats(0.05, 0.4))
def test_more_bedding_warms_below_the_skins_temperature(temp, vapour, clo, more):
    assert vote(temp, clo + more, vapour=vapour) > vote(temp, clo, vapour=vapour)


@given(temps, vapours, st.floats(0.9, 4.9), st.floats(0.0, 1.5), st.floats(0.0, 1.0))
def test_faster_air_cools_below_the_skins_temperature(temp, vapour, clo, speed, more):
    slow, fast = vote(temp, clo, speed, vapour), vote(temp, clo, speed + more, vapour)
    assert fast <= slow + 1e-12
    if speed > 0.2 and more > 0.01 and speed + more <= 1.5:
        assert fast < slow


def test_moving_air_warms_who_lies_in_damp_air_hotter_than_skin():
    assert vote(42.0, 1.0, 1.0, 5000.0) > vote(42.0, 1.0, 0.1, 5000.0)


def test_arrays_are_their_elements():
    several = np.array([12.0, 20.0, 28.0])
    assert vote(several) == pytest.approx([vote(t) for t in several])
