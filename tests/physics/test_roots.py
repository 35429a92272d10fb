from __future__ import annotations

import math

import numba
import numpy as np
import pytest

from vanclimate.physics.roots import cube_root


@pytest.fixture(scope="module")
def compiled():
    return numba.njit(lambda x: cube_root(x))


@pytest.mark.parametrize("x", [1e-12, 1e-6, 0.001, 0.5, 1.0, 8.0, 27.0, 123.456, 1e6])
def test_compiled_root_is_the_librarys(compiled, x):
    assert compiled(x) == pytest.approx(
        math.cbrt(x) if hasattr(math, "cbrt") else np.cbrt(x), rel=2e-15
    )


def test_root_of_nothing_is_next_to_nothing(compiled):
    assert 0.0 <= compiled(0.0) < 1e-19


def test_arrays_and_scalars_agree():
    x = np.array([0.0, 1.0, 8.0])
    assert cube_root(x).tolist() == [float(cube_root(v)) for v in x] == [0.0, 1.0, 2.0]
