"""Radiation between the faces of a box: the radiant star against exact view factors.

Exact: view factors of parallel and of perpendicular rectangles (Howell's catalogue of radiation
view factors, C-11 and C-14; also Incropera & DeWitt, tables 13.2; formulae from memory, checked
here by reciprocity and by closing to one), grey diffuse faces solved for their radiosities. Band
set before the first run: each face's net heat within 5 % of the greatest in the box, for Carroll's
paper speaks of a few per cent in rooms (from memory).
"""

from __future__ import annotations

from math import atan, log, pi, sqrt

import numpy as np
import pytest

from vanclimate.physics.longwave import KELVIN, STEFAN_BOLTZMANN, carroll_factors

# a van's living space: length, width, height [m]; faces roof, floor, left, right, front, rear
BOXES = {"long van": (4.2, 1.8, 1.9), "short van": (2.5, 1.7, 1.4), "cube": (2.0, 2.0, 2.0)}
CASES = {
    "summer noon": ([42.0, 28.0, 34.0, 36.0, 45.0, 33.0], [0.9] * 6),
    "winter night": ([12.0, 10.0, 14.0, 14.0, 2.0, 13.0], [0.9] * 6),
    "bright roof": ([42.0, 28.0, 34.0, 36.0, 45.0, 33.0], [0.2, 0.9, 0.9, 0.9, 0.84, 0.9]),
}


def parallel(a: float, b: float, c: float) -> float:
    """Return F of two equal rectangles a × b a distance c apart."""
    x, y = a / c, b / c
    found = 0.5 * log((1 + x * x) * (1 + y * y) / (1 + x * x + y * y))
    found += x * sqrt(1 + y * y) * atan(x / sqrt(1 + y * y)) - x * atan(x)
    found += y * sqrt(1 + x * x) * atan(y / sqrt(1 + x * x)) - y * atan(y)
    return 2.0 / (pi * x * y) * found


def perpendicular(common: float, own: float, other: float) -> float:
    """Return F from a rectangle common × own to one common × other at a right angle to it."""
    w, h = own / common, other / common
    s = w * w + h * h
    logs = (1 + w * w) * (1 + h * h) / (1 + s)
    by_w = (w * w * (1 + s) / ((1 + w * w) * s)) ** (w * w)
    by_h = (h * h * (1 + s) / ((1 + h * h) * s)) ** (h * h)
    arcs = w * atan(1 / w) + h * atan(1 / h) - sqrt(s) * atan(1 / sqrt(s))
    return (arcs + 0.25 * log(logs * by_w * by_h)) / (pi * w)


def view_factors(length: float, width: float, height: float) -> tuple[np.ndarray, np.ndarray]:
    """Return areas (6,) and view factors (6, 6) of a box's faces."""
    size = {"x": length, "y": width, "z": height}
    normal = ["z", "z", "y", "y", "x", "x"]
    f = np.zeros((6, 6))
    area = np.array([length * width * height / size[n] for n in normal])
    for i in range(6):
        for j in range(6):
            if i == j:
                continue
            if normal[i] == normal[j]:
                a, b = (size[k] for k in "xyz" if k != normal[i])
                f[i, j] = parallel(a, b, size[normal[i]])
            else:
                common = size[next(k for k in "xyz" if k not in (normal[i], normal[j]))]
                f[i, j] = perpendicular(common, size[normal[j]], size[normal[i]])
    return area, f


def exact_heat(area: np.ndarray, f: np.ndarray, temp: np.ndarray, eps: np.ndarray) -> np.ndarray:
    """Return the net heat [W] that each face gives off, from its radiosity."""
    emitted = STEFAN_BOLTZMANN * (temp + KELVIN) ** 4
    radiosity = np.linalg.solve(np.eye(6) - (1 - eps)[:, None] * f, eps * emitted)
    return area * (radiosity - f @ radiosity)


def star_heat(area: np.ndarray, temp: np.ndarray, eps: np.ndarray) -> np.ndarray:
    """Return the same by the star, as the loop takes it."""
    weight = area * carroll_factors(area, eps)
    emitted = STEFAN_BOLTZMANN * (temp + KELVIN) ** 4
    star = (weight * emitted).sum() / weight.sum()
    return weight * (emitted - star)


@pytest.mark.parametrize("size", BOXES.values(), ids=BOXES)
def test_view_factors_close_and_are_mutual(size):
    area, f = view_factors(*size)
    np.testing.assert_allclose(f.sum(axis=1), 1.0, atol=1e-12)
    np.testing.assert_allclose(area[:, None] * f, (area[:, None] * f).T, atol=1e-12)


def test_view_factors_of_a_cube_are_the_known_ones():
    # 0.1998 to the face across and 0.2000 to each beside it: any table of view factors
    _, f = view_factors(1.0, 1.0, 1.0)
    assert f[0, 1] == pytest.approx(0.1998, abs=5e-5)
    assert f[0, 2] == pytest.approx(0.2000, abs=5e-5)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("size", BOXES.values(), ids=BOXES)
def test_the_star_passes_what_view_factors_say(size, case):
    temp, eps = (np.array(x) for x in CASES[case])
    area, f = view_factors(*size)
    exact, star = exact_heat(area, f, temp, eps), star_heat(area, temp, eps)
    assert exact.sum() == pytest.approx(0.0, abs=1e-9)
    assert star.sum() == pytest.approx(0.0, abs=1e-9)
    error = np.abs(star - exact).max() / np.abs(exact).max()
    print(f"{case}: {error:.1%} of {np.abs(exact).max():.0f} W")
    assert error < 0.05
