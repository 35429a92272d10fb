from __future__ import annotations

from math import inf, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from vanclimate.equipment.fans import FanCurve, opening_flow, operating_point, straight

FAN = straight(0.4, 50.0)
flows = st.floats(0.01, 1.0)
pressures = st.floats(1.0, 300.0)
areas = st.floats(0.0, 1.0)


def test_one_fan_and_a_window_by_hand() -> None:
    # 0.4 (1 − p / 50) = 0.05 sqrt(2 p / 1.2); with x = sqrt p: 0.008 x² + 0.06455 x − 0.4 = 0,
    # x = 4.106, p = 16.86 Pa, Q = 0.2651 m3/s
    moved = operating_point(FAN, 0, 1, 0.05)
    assert moved.pressure == pytest.approx(-16.86, abs=0.01)
    assert moved.total == pytest.approx(0.2651, abs=1e-4)
    assert moved.balanced == 0.0


def test_the_operating_point_agrees_with_a_root_finder() -> None:
    expected = brentq(lambda p: FAN.flow_at(p) - 0.03 * sqrt(2 * p / 1.2), 0.0, 50.0, xtol=1e-12)
    assert operating_point(FAN, 1, 0, 0.03).pressure == pytest.approx(expected, abs=1e-9)


def test_two_in_series_through_the_van_move_the_free_flow_of_one() -> None:
    moved = operating_point(FAN, 1, 1, 0.0)
    assert moved.total == pytest.approx(0.4)
    assert moved.pressure == pytest.approx(0.0, abs=1e-9)
    assert operating_point(FAN, 1, 1, 0.1).total == pytest.approx(0.4)


def test_a_fan_in_a_tight_body_moves_nothing() -> None:
    assert operating_point(FAN, 0, 1, 0.0).total == pytest.approx(0.0, abs=1e-12)
    # vents of 75 cm2 alone: 0.4 (1 − p / 50) = 0.61 · 0.0075 sqrt(2 p / 1.2), x = sqrt p:
    # 0.008 x² + 0.005906 x − 0.4 = 0, x = 6.712, Q = 0.0396 m3/s: a tenth of the free flow
    assert operating_point(FAN, 0, 1, 0.61 * 75e-4).total == pytest.approx(0.0396, abs=1e-4)


def test_points_typed_in_are_joined_by_straight_lines() -> None:
    curve = FanCurve((0.4, 0.1, 0.0), (0.0, 20.0, 60.0))
    assert curve.flow_at(10.0) == pytest.approx(0.25)
    assert curve.flow_at(40.0) == pytest.approx(0.05)
    assert (curve.flow_at(-5.0), curve.flow_at(60.0), curve.flow_at(inf)) == (0.4, 0.0, 0.0)


@pytest.mark.parametrize(
    ("flow", "pressure"),
    [
        ((0.3, 0.4, 0.0), (0.0, 10.0, 20.0)),
        ((0.4, 0.2, 0.0), (0.0, 20.0, 10.0)),
        ((0.4, 0.1), (0.0, 20.0)),
        ((0.4, 0.0), (5.0, 20.0)),
        ((0.4,), (0.0,)),
    ],
)
def test_a_curve_that_rises_or_lacks_an_end_is_refused(
    flow: tuple[float, ...], pressure: tuple[float, ...]
) -> None:
    with pytest.raises(ValueError, match="falls from the free flow"):
        FanCurve(flow, pressure)


@given(flows, pressures, areas, st.floats(0.2, 1.0))
def test_fan_laws(free: float, shut_off: float, area: float, speed: float) -> None:
    # through openings whose loss goes with the square of the flow, a fan at half the speed moves
    # half the air at a quarter of the pressure
    full = operating_point(straight(free, shut_off), 0, 1, area)
    slow = operating_point(straight(free * speed, shut_off * speed**2), 0, 1, area)
    assert slow.total == pytest.approx(speed * full.total, rel=1e-6, abs=1e-9)
    assert slow.pressure == pytest.approx(speed**2 * full.pressure, rel=1e-6, abs=1e-9)


@given(flows, pressures, areas, areas, st.integers(0, 3), st.integers(0, 3))
def test_more_opening_never_lowers_the_flow(
    free: float, shut_off: float, area: float, more: float, blow_in: int, blow_out: int
) -> None:
    curve = straight(free, shut_off)
    before = operating_point(curve, blow_in, blow_out, area)
    after = operating_point(curve, blow_in, blow_out, area + more)
    assert after.total >= before.total * (1 - 1e-9) - 1e-12


@given(flows, pressures, areas, st.integers(0, 3), st.integers(0, 3))
def test_the_operating_point_lies_between_nothing_and_free_flow(
    free: float, shut_off: float, area: float, blow_in: int, blow_out: int
) -> None:
    moved = operating_point(straight(free, shut_off), blow_in, blow_out, area)
    assert moved.balanced >= 0.0
    assert moved.unbalanced >= 0.0
    assert moved.total <= max(blow_in, blow_out) * free * (1 + 1e-9)
    assert abs(moved.pressure) <= shut_off
    if blow_in == blow_out == 1:
        assert moved.total <= free * (1 + 1e-9)


def test_flow_out_of_an_opening_has_the_pressures_sign() -> None:
    assert opening_flow(0.1, -5.0) == -opening_flow(0.1, 5.0)
    assert opening_flow(0.1, 0.0) == 0.0
