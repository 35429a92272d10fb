"""Two-dimensional conduction against the reference cases of ISO 10211 and a closed solution.

Band of each case: the standard's own, 0.1 K at every point and 0.1 W/m of flow.
"""

import numpy as np
import pytest

from vanclimate.physics.plane import Block, Field, Film, grid_lines, halved, solve_plane

# ISO 10211 annex A case 1, half of a square column, one face at 20 °C and the others at 0 °C: the
# 28 printed points, from memory; columns at 1/4 to 4/4 of the half width, rows from the warm face
PRINTED = np.array([
    [9.7, 13.4, 14.7, 15.1],
    [5.3, 8.6, 10.3, 10.8],
    [3.2, 5.6, 7.0, 7.5],
    [2.0, 3.6, 4.7, 5.0],
    [1.3, 2.3, 3.0, 3.2],
    [0.7, 1.4, 1.8, 1.9],
    [0.3, 0.6, 0.8, 0.9],
])  # fmt: skip
HELD = 1e-9  # m²K/W: a face held at a temperature


def square_series(x: float, depth: float) -> float:
    """Temperature in a unit square whose face at depth 0 has 20 °C, the others 0 °C.

    Separation of variables: sum over odd n of 80/(nπ) sin(nπx) sinh(nπ(1 − d)) / sinh(nπ).
    """
    n = np.arange(1, 200, 2) * np.pi
    # sinh(n(1 - d))/sinh(n), written with falling exponentials
    fade = (np.exp(-n * depth) - np.exp(-n * (2 - depth))) / (1 - np.exp(-2 * n))
    return float((80.0 / n * np.sin(n * x) * fade).sum())


def half_column(cells: int) -> Field:
    x, y = np.linspace(0.0, 0.5, cells + 1), np.linspace(0.0, 1.0, 2 * cells + 1)
    cold, warm = Film("cold", 0.0, HELD), Film("warm", 20.0, HELD)
    return solve_plane(x, y, [Block(0, 0.5, 0, 1, 1.0)], left=cold, low=cold, high=warm)


def test_case_1_at_its_28_points() -> None:
    solved = half_column(40)
    ours = np.array([[solved.at(c / 8, 1 - r / 8) for c in range(1, 5)] for r in range(1, 8)])
    assert np.abs(ours - PRINTED).max() <= 0.1


def test_case_1_against_its_series() -> None:
    # 0.02 K: the corner where 20 °C meets 0 °C is singular, so a grid of 1/80 errs there most
    solved = half_column(40)
    for r in range(1, 8):
        for c in range(1, 5):
            exact = square_series(c / 8, r / 8)
            assert solved.at(c / 8, 1 - r / 8) == pytest.approx(exact, abs=0.02)


# ISO 10211 annex A case 2: concrete 6 mm over insulation 40 mm, an aluminium profile with a strip
# of wood on it; dimensions, conductivities, films and results from memory of the standard
ROOF = {
    "A": 7.1, "B": 0.8, "C": 7.9, "D": 6.3, "E": 0.8, "F": 16.4, "G": 16.3, "H": 16.8, "I": 18.3,
}  # fmt: skip
FLOW = 9.5  # W/m
POINTS = {
    "A": (0, 0.0475), "B": (0.5, 0.0475), "C": (0, 0.0415), "D": (0.015, 0.0415),
    "E": (0.5, 0.0415), "F": (0, 0.0365), "G": (0.015, 0.0365), "H": (0, 0), "I": (0.5, 0),
}  # fmt: skip


def roof(finest: float = 0.5e-3, halvings: int = 0) -> Field:
    x = grid_lines([0, 0.0015, 0.015, 0.5], finest, 0.02)
    y = grid_lines([0, 0.0015, 0.035, 0.0365, 0.0415, 0.0475], finest, 0.004)
    for _ in range(halvings):
        x, y = halved(x), halved(y)
    blocks = [
        Block(0, 0.5, 0.0415, 0.0475, 1.15),
        Block(0, 0.5, 0.0015, 0.0415, 0.029),
        Block(0, 0.015, 0.0365, 0.0415, 0.12),
        Block(0, 0.5, 0, 0.0015, 230.0),
        Block(0, 0.0015, 0, 0.0365, 230.0),
        Block(0, 0.015, 0.035, 0.0365, 230.0),
    ]
    return solve_plane(
        x, y, blocks, low=Film("inside", 20.0, 0.11), high=Film("outside", 0.0, 0.06)
    )


@pytest.mark.parametrize("point", ROOF)
def test_case_2_temperatures(point: str) -> None:
    assert roof().at(*POINTS[point]) == pytest.approx(ROOF[point], abs=0.1)


def test_case_2_flow_and_its_balance() -> None:
    solved = roof()
    assert solved.flow["inside"] == pytest.approx(FLOW, abs=0.1)
    # the standard asks 1e-4 of a method
    assert solved.flow["inside"] + solved.flow["outside"] == pytest.approx(0.0, abs=1e-6)


def test_case_2_halving_the_grid_moves_the_flow_by_less_than_one_percent() -> None:
    once, twice = roof().flow["inside"], roof(halvings=1).flow["inside"]
    assert abs(twice / once - 1) < 0.01


def test_timber_lies_between_the_limits_of_the_combined_method() -> None:
    # ISO 6946 combined method, worked by hand in CHECKS: 10 % timber of 0.13 in 50 mm of 0.038
    # under 9 mm of plywood 0.13: upper limit 1.353, lower 1.299 m²K/W, U 0.754
    timber, spacing = 0.040, 0.400
    x = grid_lines([0, timber / 2, spacing / 2], 0.5e-3, 0.01)
    y = grid_lines([0, 0.050, 0.059], 0.5e-3, 0.005)
    blocks = [
        Block(0, spacing / 2, 0, 0.050, 0.038),
        Block(0, timber / 2, 0, 0.050, 0.13),
        Block(0, spacing / 2, 0.050, 0.059, 0.13),
    ]
    solved = solve_plane(
        x, y, blocks, low=Film("outside", 0.0, 0.04), high=Film("inside", 1.0, 0.13)
    )
    u = solved.flow["inside"] / (spacing / 2)
    assert 1.299 <= 1 / u <= 1.353
    assert u == pytest.approx(0.754, rel=0.03)  # the mean of two limits 4 % apart
