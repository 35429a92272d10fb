import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics import longwave as lw

shares = st.floats(0.0, 1.0)


@given(st.floats(0.6, 0.95), shares, shares, st.floats(0.0, 12000.0))
def test_clouds_warm_the_sky(clear: float, one: float, two: float, ceiling: float) -> None:
    opaque, total = min(one, two), max(one, two)
    found = lw.cloudy_sky_emissivity(clear, opaque, total, ceiling)
    assert clear <= found <= 1.0


def test_fog_is_black_and_no_cloud_is_clear() -> None:
    assert lw.cloudy_sky_emissivity(0.75, 1.0, 1.0, 0.0) == pytest.approx(1.0)
    assert lw.cloudy_sky_emissivity(0.75, 0.0, 0.0, np.inf) == 0.75


def test_unknown_ceiling_is_two_kilometres() -> None:
    known = lw.cloudy_sky_emissivity(0.75, 0.8, 0.9, 2000.0)
    assert lw.cloudy_sky_emissivity(0.75, 0.8, 0.9, np.inf) == known
    assert lw.cloudy_sky_emissivity(0.75, 0.8, 0.9, np.nan) == known
    # by hand: 0.8 e^(−2/8.2) + 0.1·0.4 e^(−8/8.2) = 0.6269 + 0.0151
    assert known == pytest.approx(0.75 + 0.25 * 0.6419, abs=1e-4)


def test_black_sky_is_as_warm_as_the_air() -> None:
    assert lw.sky_temperature(12.0, 1.0) == pytest.approx(12.0)


@given(st.floats(0.0, 180.0))
def test_a_surface_sees_one_whole(tilt: float) -> None:
    views = lw.view_shares(tilt)
    assert sum(views) == pytest.approx(1.0)
    assert all(-1e-12 <= view <= 1.0 for view in views)


def test_views_of_roof_wall_and_floor() -> None:
    assert lw.view_shares(0.0) == pytest.approx((1.0, 0.0, 0.0))
    assert lw.view_shares(90.0) == pytest.approx((0.5 * 0.5**0.5, 0.5 * (1 - 0.5**0.5), 0.5))
    assert lw.view_shares(180.0) == pytest.approx((0.0, 0.0, 1.0), abs=1e-12)


@given(st.floats(-40, 90), st.floats(-40, 90), st.floats(0.02, 1.0))
def test_coefficient_is_the_exact_exchange(one: float, two: float, emissivity: float) -> None:
    flux = lw.radiative_coefficient(one, two, emissivity) * (one - two)
    exact = emissivity * lw.STEFAN_BOLTZMANN * ((one + 273.15) ** 4 - (two + 273.15) ** 4)
    assert flux == pytest.approx(exact, abs=1e-9)


def test_coefficient_at_10_degrees() -> None:
    # ISO 6946 table of the black-body coefficient: 5.1 W/m²K at 10 °C, from memory
    assert lw.radiative_coefficient(10.0, 10.0, 1.0) == pytest.approx(5.1, abs=0.06)


def _radiosity(areas: np.ndarray, views: np.ndarray, eps: np.ndarray) -> np.ndarray:
    """Exact net loss of each grey surface when the first emits 1 W/m² and the others are cold."""
    emitted = np.zeros(areas.size)
    emitted[0] = 1.0
    leaving = np.linalg.solve(np.eye(areas.size) - (1 - eps)[:, None] * views, eps * emitted)
    net: np.ndarray = areas * (leaving - views @ leaving)
    return net


def _star(areas: np.ndarray, eps: np.ndarray) -> np.ndarray:
    factors = lw.carroll_factors(areas, eps)
    emitted = np.zeros(areas.size)
    emitted[0] = 1.0
    mean = np.sum(areas * factors * emitted) / np.sum(areas * factors)
    net: np.ndarray = areas * factors * (emitted - mean)
    return net


def test_cube_against_radiosity() -> None:
    # view factor between opposite faces of a cube 0.1998, textbook; 0.2 to all others is near
    # enough
    areas, eps = np.ones(6), np.full(6, 0.9)
    views = (np.ones((6, 6)) - np.eye(6)) / 5
    assert _star(areas, eps) == pytest.approx(_radiosity(areas, views, eps), abs=2e-3)


def test_parallel_plates_are_exact() -> None:
    areas, eps = np.ones(2), np.array([0.9, 0.3])
    exact = 1 / (1 / 0.9 + 1 / 0.3 - 1)
    assert _star(areas, eps)[0] == pytest.approx(exact, rel=2e-3)


@given(st.lists(st.floats(1.0, 2.0), min_size=4, max_size=8), st.floats(0.05, 1.0))
def test_star_loses_nothing(areas: list[float], emissivity: float) -> None:
    array = np.array(areas)
    net = _star(array, np.full(array.size, emissivity))
    assert net.sum() == pytest.approx(0.0, abs=1e-12)
    assert net[0] > 0.0


@pytest.mark.parametrize("areas", [[1.0], [3.0, 1.0, 1.0]])
def test_impossible_rooms_are_refused(areas: list[float]) -> None:
    with pytest.raises(ValueError, match="none larger than all the others"):
        lw.carroll_factors(np.array(areas), np.full(len(areas), 0.9))


def test_brutsaerts_clear_sky_by_hand() -> None:
    # Brutsaert 1975, from memory: 1.24 (e/T)^(1/7) with e in mbar; saturation at 10 °C is 12.28
    # mbar and at 0 °C 6.11, both from steam tables, from memory
    assert lw.clear_sky_emissivity_brutsaert(20.0, 10.0) == pytest.approx(
        1.24 * (12.28 / 293.15) ** (1 / 7), abs=5e-4
    )
    assert lw.clear_sky_emissivity_brutsaert(0.0, 0.0) == pytest.approx(
        1.24 * (6.11 / 273.15) ** (1 / 7), abs=5e-4
    )


def test_a_black_bodys_temperature_is_that_of_its_radiation() -> None:
    # 300 K radiates 459.3 W/m2 (Stefan-Boltzmann, by hand)
    assert lw.black_temperature(459.3) == pytest.approx(26.85, abs=0.01)
