"""Between the points of a table, against scipy's interpolator of regular grids."""

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from vanclimate.physics.bilinear import bilinear


@pytest.mark.parametrize("shape", [(2, 2), (3, 2), (5, 4)])
def test_it_is_scipy_s_linear_interpolation_held_at_the_ends(shape):
    rng = np.random.default_rng(sum(shape))
    xs, ys = (np.cumsum(rng.uniform(0.5, 4.0, n)) for n in shape)
    values = rng.uniform(-5.0, 5.0, shape)
    theirs = RegularGridInterpolator((xs, ys), values)
    for x, y in rng.uniform(-3.0, 25.0, (200, 2)):
        inside = (np.clip(x, xs[0], xs[-1]), np.clip(y, ys[0], ys[-1]))
        expected = float(theirs(inside))
        assert bilinear(x, y, xs, ys, values) == pytest.approx(expected, abs=1e-12)


def test_the_points_themselves_come_back():
    xs, ys, values = np.array([0.0, 1.0, 4.0]), np.array([2.0, 3.0]), np.arange(6.0).reshape(3, 2)
    for i, x in enumerate(xs):
        for j, y in enumerate(ys):
            assert bilinear(x, y, xs, ys, values) == values[i, j]


def test_one_value_in_a_direction_holds_all_along_it():
    one, ys, values = np.array([7.0]), np.array([0.0, 2.0]), np.array([[1.0, 5.0]])
    assert bilinear(-30.0, 1.0, one, ys, values) == bilinear(90.0, 1.0, one, ys, values) == 3.0
    assert bilinear(1.0, 9.0, ys, one, values.T) == 3.0
