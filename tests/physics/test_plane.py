"""A plane section: limit cases, balance, grids, and what is refused."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.physics.plane import Block, Film, grid_lines, halved, solve_plane

INSIDE, OUTSIDE = Film("inside", 20.0, 0.13), Film("outside", 0.0, 0.04)


def test_a_plain_stack_passes_what_its_resistances_say():
    x, y = np.linspace(0, 0.3, 4), grid_lines([0, 0.001, 0.04, 0.046], 1e-3, 0.01)
    blocks = [
        Block(0, 1, 0, 0.001, 50.0),
        Block(0, 1, 0.001, 0.04, 0.026),
        Block(0, 1, 0.04, 1, 0.13),
    ]
    solved = solve_plane(x, y, blocks, low=OUTSIDE, high=INSIDE)
    r = 0.04 + 0.001 / 50 + 0.039 / 0.026 + 0.006 / 0.13 + 0.13
    assert solved.flow["inside"] == pytest.approx(0.3 * 20.0 / r, rel=1e-9)
    assert solved.temp[-1] == pytest.approx(20.0 * (1 - 0.13 / r), rel=1e-9)


def test_two_materials_side_by_side_conduct_in_parallel():
    x, y = np.array([0, 0.1, 0.4]), np.linspace(0, 0.2, 5)
    blocks = [Block(0, 0.1, 0, 0.2, 2.0), Block(0.1, 0.4, 0, 0.2, 0.5)]
    held = [Film("cold", 0.0, 1e-9), Film("warm", 1.0, 1e-9)]
    solved = solve_plane(x, y, blocks, low=held[0], high=held[1])
    assert solved.flow["warm"] == pytest.approx((0.1 * 2.0 + 0.3 * 0.5) / 0.2, rel=1e-6)


def test_a_fin_into_the_air_follows_its_textbook_solution():
    # a thin fin with an insulated tip passes sqrt(2 h k t) tanh(m L) per metre and kelvin, with
    # m = sqrt(2 h / (k t)); 1 %: the textbook takes no drop across its thickness (Biot 1e-4)
    k, t, length, r = 50.0, 0.002, 0.06, 0.13
    air = Film("air", 0.0, r)
    x = grid_lines([0, t, 0.02], 0.5e-3, 2e-3)
    y = grid_lines([0, length], 1e-3, 2e-3)
    blocks = [Block(0, t, 0, length, k), Block(t, 0.02, 0, length, air)]
    # symmetric about x = 0: half of a fin twice as thick
    solved = solve_plane(x, y, blocks, low=Film("root", 1.0, 1e-9))
    m = np.sqrt(1 / (r * k * t))
    # the root's film touches only the fin's end
    assert solved.flow["root"] == pytest.approx(k * t * m * np.tanh(m * length), rel=0.01)
    assert solved.flow["root"] == pytest.approx(-solved.flow["air"], rel=1e-9)


def test_air_inside_the_rectangle_has_its_own_temperature():
    x, y = np.linspace(0, 0.1, 11), np.linspace(0, 0.1, 11)
    blocks = [Block(0, 0.1, 0, 0.1, 1.0), Block(0.03, 0.1, 0.05, 0.1, INSIDE)]
    solved = solve_plane(x, y, blocks, low=OUTSIDE, high=INSIDE)
    assert np.isfinite(solved.temp).all()
    assert solved.temp[-1, -1] == 20.0
    assert solved.conductivity[-1, -1] == 0.0
    assert not solved.faces["inside"][-1, -1]
    assert solved.faces["inside"][5, 5]
    assert sum(solved.flow.values()) == pytest.approx(0.0, abs=1e-9)


def test_a_grid_holds_every_mark_and_is_finest_there():
    marks = [0.0, 0.001, 0.041, 0.2]
    lines = grid_lines([*marks, 0.041], 1e-3, 0.01)
    assert all(np.abs(lines - m).min() == 0.0 for m in marks)
    sizes = np.diff(lines)
    assert sizes.min() > 0
    assert sizes.max() <= 0.01
    assert np.diff(halved(lines)).max() == pytest.approx(sizes.max() / 2)
    assert len(halved(lines)) == 2 * len(lines) - 1


@settings(max_examples=25, deadline=None)
@given(
    k=st.lists(st.floats(0.02, 200.0), min_size=6, max_size=6),
    rsi=st.floats(0.01, 1.0),
    rse=st.floats(0.01, 1.0),
)
def test_any_section_balances_and_stays_between_its_airs(k, rsi, rse):
    x, y = grid_lines([0, 0.02, 0.1], 2e-3, 0.02), grid_lines([0, 0.01, 0.03, 0.05], 2e-3, 0.01)
    edges_x, edges_y = [0, 0.02, 0.1], [0, 0.01, 0.03, 0.05]
    blocks = [
        Block(edges_x[i], edges_x[i + 1], edges_y[j], edges_y[j + 1], k[2 * j + i])
        for i in range(2)
        for j in range(3)
    ]
    low, high = Film("outside", -10.0, rse), Film("inside", 20.0, rsi)
    solved = solve_plane(x, y, blocks, low=low, high=high)
    assert solved.flow["inside"] == pytest.approx(-solved.flow["outside"], rel=1e-7)
    assert -10.0 <= solved.temp.min() <= solved.temp.max() <= 20.0
    # between the series of parallels and the parallel of series (isotherms and adiabats)
    width, u = 0.1, solved.flow["inside"] / 30.0
    parts = np.array(k).reshape(3, 2)
    share, depth = np.array([0.02, 0.08]) / width, np.array([0.01, 0.02, 0.02])
    isotherms = rsi + rse + (depth / (parts @ share)).sum()
    adiabats = 1 / (share / (rsi + rse + (depth[:, None] / parts).sum(axis=0))).sum()
    assert isotherms * (1 - 1e-9) <= width / u <= adiabats * (1 + 1e-9)


def test_what_makes_no_section_is_refused():
    x = y = np.linspace(0, 1, 5)
    with pytest.raises(ValueError, match="no block covers"):
        solve_plane(x, y, [Block(0, 0.5, 0, 1, 1.0)], low=OUTSIDE)
    with pytest.raises(ValueError, match="no film touches"):
        solve_plane(x, y, [Block(0, 1, 0, 1, 1.0)])
    with pytest.raises(ValueError, match="above zero"):
        solve_plane(x, y, [Block(0, 1, 0, 1, 1.0)], low=Film("cold", 0.0, 0.0))
