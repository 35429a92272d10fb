import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics import conduction as cd

PLY = cd.SolidLayer(0.006, 0.13, 500.0, 1600.0)
FOAM = cd.SolidLayer(0.05, 0.03, 32.0, 1470.0)


def test_u_value_of_nothing_is_the_films() -> None:
    assert cd.u_value([], 0.13) == pytest.approx(1 / 0.17)


def test_penetration_depth_by_hand() -> None:
    # sqrt(1.8 · 86400 / (π · 2400 · 1000)) = 0.1436 m
    assert cd.penetration_depth(1.8, 2400.0, 1000.0) == pytest.approx(0.1436, abs=1e-4)


def test_depth_goes_with_the_root_of_the_period() -> None:
    day = cd.penetration_depth(0.1, 500.0, 1600.0)
    assert cd.penetration_depth(0.1, 500.0, 1600.0, 4 * 86400.0) == pytest.approx(2 * day)


def test_matrix_has_unit_determinant() -> None:
    # no heat is made or lost inside: det Z = 1
    matrix = cd.heat_transfer_matrix([FOAM, cd.PureResistance(0.18), PLY])
    assert np.linalg.det(matrix) == pytest.approx(1.0, abs=1e-9)


def test_very_slow_sine_is_steady() -> None:
    found = cd.periodic_transmittance([FOAM, PLY], period=1e9)
    assert found.transmittance == pytest.approx(found.u_value, rel=1e-6)
    assert found.decrement == pytest.approx(1.0, abs=1e-6)


def test_turning_a_wall_swaps_its_sides() -> None:
    one = cd.periodic_transmittance([FOAM, PLY], rsi=0.1, rse=0.1)
    other = cd.periodic_transmittance([PLY, FOAM], rsi=0.1, rse=0.1)
    assert one.transmittance == pytest.approx(other.transmittance)
    assert one.inside_capacity == pytest.approx(other.outside_capacity)
    assert one.inside_capacity > one.outside_capacity  # the ply is inside


def test_resistance_alone_neither_damps_nor_delays() -> None:
    found = cd.periodic_transmittance([cd.PureResistance(1.0)])
    assert found.decrement == pytest.approx(1.0)
    assert found.shift == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("direction", ["up", "horizontal", "down"])
def test_squeezed_foil_gains_nothing(direction: cd.Direction) -> None:
    assert cd.air_layer_resistance(0.0, 0.05, 0.9, direction) == 0.0


@given(st.floats(0.003, 0.3), st.floats(0.03, 0.95), st.floats(0.03, 0.95))
def test_air_layer_bounds(thickness: float, one: float, two: float) -> None:
    up, across, down = (
        cd.air_layer_resistance(thickness, one, two, direction)
        for direction in ("up", "horizontal", "down")
    )
    assert up <= across <= down  # warm air rises
    assert across == pytest.approx(cd.air_layer_resistance(thickness, two, one, "horizontal"))
    assert across <= thickness / 0.025 + 1e-12  # never better than still air
    assert across >= cd.air_layer_resistance(thickness, 1.0, 1.0, "horizontal")


def test_greater_difference_convects_more() -> None:
    calm = cd.air_layer_resistance(0.05, 0.05, 0.9, "horizontal", 10.0, 5.0)
    assert cd.air_layer_resistance(0.05, 0.05, 0.9, "horizontal", 10.0, 20.0) < calm


@given(st.floats(0.3, 3.0), st.floats(1.0, 2.0), st.floats(0.02, 0.4))
def test_ribs_raise_the_mean_by_the_factor(u: float, factor: float, share: float) -> None:
    rib = cd.bridged_rib_transmittance(u, factor, share)
    assert share * rib + (1 - share) * u == pytest.approx(factor * u)


def test_no_ribs() -> None:
    assert cd.bridged_rib_transmittance(0.85, 1.5, 0.0) == 0.85


@pytest.mark.parametrize(
    ("slope", "temp", "expected"),
    [
        (0.0055, 24.0, 1.0), (0.0055, 4.0, 0.89), (0.0, -40.0, 1.0),
        # polyiso's is held where the boards neither lose nor gain more
        (-0.0119, -15.0, 1.4641), (-0.0119, -30.0, 1.4641), (-0.0119, 60.0, 1.0),
    ],
)  # fmt: skip
def test_conductivity_by_temperature(slope: float, temp: float, expected: float) -> None:
    assert cd.conductivity_factor(slope, temp) == pytest.approx(expected)


def test_a_straight_slope_is_near_the_standards_exponential() -> None:
    # ISO 10456 converts by exp(f (T2 − T1)), from memory; 20 K from 24 °C they differ by 1 %
    for slope in (0.0027, 0.0045, 0.0062):
        for temp in (4.0, 44.0):
            exact = np.exp(slope * (temp - 24.0))
            assert cd.conductivity_factor(slope, temp) == pytest.approx(exact, rel=0.01)
