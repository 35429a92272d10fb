import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics import convection as cv


def test_inside_by_hand() -> None:
    # 8 K: cube root 2; stable: 0.59 (8/2)^(1/4) = 0.8344
    assert cv.inside_film(8.0, cv.VERTICAL) == pytest.approx(2.62)
    assert cv.inside_film(-8.0, cv.VERTICAL) == pytest.approx(2.62)
    assert cv.inside_film(8.0, cv.FLOOR) == pytest.approx(3.04)
    assert cv.inside_film(-8.0, cv.FLOOR) == pytest.approx(0.8344, abs=1e-4)
    assert cv.inside_film(-8.0, cv.CEILING) == pytest.approx(3.04)
    assert cv.inside_film(8.0, cv.CEILING) == pytest.approx(0.8344, abs=1e-4)


@pytest.mark.parametrize("kind", [cv.VERTICAL, cv.FLOOR, cv.CEILING])
def test_never_without_exchange(kind: int) -> None:
    assert cv.inside_film(0.0, kind) == 0.1


def test_ordinary_inside_film_is_near_the_standard() -> None:
    # ISO 6946 convective coefficients inside: 5.0 up, 2.5 horizontal, 0.7 W/m²K down (from memory),
    # rounded design values: the same order and ranking at 5 K is all that can be asked
    assert cv.inside_film(-5.0, cv.VERTICAL) == pytest.approx(2.5, rel=0.15)
    assert cv.inside_film(-5.0, cv.FLOOR) == pytest.approx(0.7, rel=0.15)
    assert cv.inside_film(-5.0, cv.VERTICAL) < cv.inside_film(-5.0, cv.CEILING) < 5.0


def test_outside_by_hand() -> None:
    # 8 K and 3 m/s: natural 1.68; windward 3.26·3^0.89 = 8.667 → 8.828; leeward 3.55·3^0.617 =
    # 6.992 → 7.191; the mean 8.010
    assert cv.outside_film(8.0, 3.0, cv.VERTICAL) == pytest.approx(8.01, abs=0.01)
    assert cv.outside_film(8.0, 3.0, cv.ROOF) == cv.outside_film(8.0, 3.0, cv.VERTICAL)
    assert cv.outside_film(8.0, 3.0, cv.UNDERSIDE) == cv.outside_film(8.0, 1.5, cv.VERTICAL)


def test_calm_is_natural_convection() -> None:
    assert cv.outside_film(8.0, 0.0, cv.ROOF) == pytest.approx(1.68)


def test_smooth_paint_takes_less_than_a_rough_wall() -> None:
    # ISO 6946's 4 + 4 v is for the speed beside a wall of ordinary roughness
    assert cv.outside_film(10.0, 4.0, cv.VERTICAL) < cv.outside_film_iso6946(4.0) == 20.0


@given(st.floats(-40, 40), st.floats(0, 15), st.floats(0.1, 3))
def test_more_wind_more_exchange(difference: float, wind: float, more: float) -> None:
    calm = cv.outside_film(difference, wind, cv.VERTICAL)
    assert cv.outside_film(difference, wind + more, cv.VERTICAL) > calm


def test_array_equals_scalar() -> None:
    difference = np.array([-20.0, -1.0, 0.0, 1.0, 20.0, 5.0])
    kind = np.array([0, 1, 2, 2, 1, 0])
    each = [cv.inside_film(d, k) for d, k in zip(difference, kind, strict=True)]
    assert cv.inside_film(difference, kind) == pytest.approx(each, rel=1e-14)
    each = [cv.outside_film(d, 2.0, k) for d, k in zip(difference, kind, strict=True)]
    assert cv.outside_film(difference, 2.0, kind) == pytest.approx(each, rel=1e-14)
