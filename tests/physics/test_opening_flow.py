from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics.airflow import driven_flow
from vanclimate.physics.opening_flow import (
    CLOSED,
    PAIR_SPEED,
    Drive,
    Opening,
    door_drive,
    door_flow,
    openings_drive,
    single_sided,
    two_way_flow,
)

WINDOW = Opening(0.2, "left", 1.0, 0.4)
area = st.floats(0.0, 1.0)
kelvin = st.floats(-30.0, 30.0)
metres_a_second = st.floats(0.0, 12.0)


def flow(drive: Drive, difference: float, wind: float) -> float:
    return float(driven_flow(difference, wind, *drive))


def test_a_window_by_hand() -> None:
    # 0.2 m2, 0.4 m high, 5 K, 2 m/s: 0.1 sqrt(0.004 + 0.007 + 0.01) = 14.49 L/s
    assert single_sided(0.2, 0.4, 5.0, 2.0) * 1000 == pytest.approx(14.49, abs=0.01)


def test_one_open_window_alone_is_single_sided() -> None:
    drive = openings_drive([WINDOW], "some")
    assert flow(drive, 5.0, 2.0) == pytest.approx(single_sided(0.2, 0.4, 5.0, 2.0), rel=1e-12)


def test_two_levels_by_hand() -> None:
    # 60 and 20 cm2, 1.9 m apart, 10 K about 20 °C, no wind. One behind the other they are worth
    # 60 · 20 / sqrt(60² + 20²) = 18.97 cm2: 0.61 · 0.001897 · sqrt(2 · 9.807 · 1.9 · 10 / 293.15)
    # = 1.305 L/s; the turbulence of the wind, 0.5 · 0.008 · 0.1 = 0.4 L/s, adds in quadrature
    drive = openings_drive([Opening(60e-4, "roof", 1.9), Opening(20e-4, "floor", 0.0)], "some")
    assert flow(drive, 10.0, 0.0) * 1000 == pytest.approx(np.hypot(1.305, 0.4), abs=0.002)


def test_two_sides_by_hand() -> None:
    # 0.1 m2 each on both sides, open ground, 5 m/s at 10 m is 3.99 m/s at 2 m: one behind the
    # other 0.0707 m2, 0.61 · 0.0707 · 0.7 · 3.99 = 0.1205 m3/s, and 0.1 · 0.1 by turbulence
    both = [Opening(0.1, "left", 1.0, 0.3), Opening(0.1, "right", 1.0, 0.3)]
    expected = np.hypot(0.1205, 0.01)
    assert flow(openings_drive(both, "open"), 0.0, 5.0) == pytest.approx(expected, abs=0.0005)


def test_the_winds_share_is_the_mean_over_directions_of_a_blocks_pressures() -> None:
    # Swami and Chandra 1988, low-rise buildings, from memory; sides of 1 : 2
    degrees = np.arange(0.0, 360.0)

    def pressure(turn: float, ratio: float) -> np.ndarray:
        angle = np.radians(np.abs((degrees + turn + 180.0) % 360.0 - 180.0))
        g = np.log(ratio)
        half = angle / 2.0
        return 0.6 * np.log(
            1.248 - 0.703 * np.sin(half) - 1.175 * np.sin(angle) ** 2
            + 0.131 * np.sin(2.0 * angle * g) ** 3 + 0.769 * np.cos(half)
            + 0.07 * (g * np.sin(half)) ** 2 + 0.717 * np.cos(half) ** 2
        )  # fmt: skip

    opposite = np.sqrt(np.abs(pressure(0.0, 2.0) - pressure(180.0, 2.0))).mean()
    neighbours = np.sqrt(np.abs(pressure(0.0, 2.0) - pressure(90.0, 0.5))).mean()
    assert neighbours < PAIR_SPEED < opposite


def test_a_door_by_hand() -> None:
    # 0.9 by 2 m, 20 and 10 °C: 0.6 · 0.9 · 2^1.5 / 3 · sqrt(9.807 · 10 / 288.15) = 0.2970 m3/s
    assert two_way_flow(0.6 * 1.8, 2.0, 20.0, 10.0) == pytest.approx(0.2970, abs=1e-4)


def test_a_door_to_outdoors_moves_the_same_and_what_the_wind_adds() -> None:
    # the reference of 20 °C stands for the mean of 25 and 15
    calm = flow(door_drive(1.8, 2.0), 10.0, 0.0) ** 2
    assert calm - 0.09**2 == pytest.approx(two_way_flow(0.6 * 1.8, 2.0, 25.0, 15.0) ** 2)


def test_a_windows_and_a_doors_stack_terms_agree_within_a_fifth() -> None:
    # two published formulae of one thing: 1/2 sqrt(0.0035) against 0.6/3 sqrt(g / T)
    assert pytest.approx(0.2 * (9.807 / 293.15) ** 0.5, rel=0.2) == 0.5 * 0.0035**0.5


def test_an_opening_renews_the_air_once_at_most() -> None:
    assert door_flow(1.0, 1.0 / 3600.0, 3600.0, 12.0) == pytest.approx(12.0 / 3600.0)
    assert door_flow(0.1, 6.0 / 3600.0, 20.0, 12.0) == pytest.approx(12.0 / 3600.0)
    assert door_flow(0.3, 0.0, 20.0, 12.0) == 0.0


@given(area, st.floats(0.01, 2.5), st.floats(-20.0, 60.0), st.floats(-20.0, 60.0))
def test_two_way_flow_has_no_side(free: float, height: float, one: float, other: float) -> None:
    assert two_way_flow(free, height, one, other) == two_way_flow(free, height, other, one)
    assert two_way_flow(free, height, one, one) == 0.0
    assert two_way_flow(0.0, height, one, other) == 0.0


@given(
    st.lists(
        st.tuples(area, st.sampled_from(["left", "right", "rear", "roof", "floor"]),
                  st.sampled_from([0.0, 1.0, 1.9]), st.floats(0.0, 0.8)),
        min_size=1, max_size=5,
    ),
    area, kelvin, metres_a_second,
)  # fmt: skip
def test_more_opening_never_lowers_the_flow(
    given_openings: list[tuple[float, str, float, float]],
    more: float,
    difference: float,
    wind: float,
) -> None:
    openings = [Opening(*o) for o in given_openings]
    larger = [openings[0]._replace(area=openings[0].area + more), *openings[1:]]
    another = [*openings, Opening(more, "left", 1.0, 0.3)]
    before = flow(openings_drive(openings, "some"), difference, wind)
    for wider in (larger, another):
        after = flow(openings_drive(wider, "some"), difference, wind)
        assert after >= before * (1 - 1e-12)


def test_nothing_open_is_closed() -> None:
    assert openings_drive([], "open") == CLOSED
    assert openings_drive([Opening(0.0, "left", 1.0, 0.3)], "open") == CLOSED
