"""Three walls after the matrix method of ISO 13786, 24 h.

The printed figures were derived with the standard's method and agreed with a discretised network.
Where the figures' source does not print a property it is named below.
"""

import numpy as np
import pytest

from vanclimate.physics.conduction import SolidLayer, periodic_transmittance

CONCRETE = SolidLayer(0.200, 1.8, 2400.0, 1000.0)
INSULATION = SolidLayer(0.100, 0.04, 30.0, 1400.0)
# 5 mm outside coat; its properties are those of the standard's own example, from memory
COAT = SolidLayer(0.005, 1.0, 1200.0, 1500.0)
STEEL = SolidLayer(0.0007, 50.0, 7800.0, 450.0)
PLY = SolidLayer(0.006, 0.13, 500.0, 1600.0)
# the printed U 0.653 needs conductivity 0.038; density and heat of mineral wool from a handbook
WOOL = SolidLayer(0.050, 0.038, 32.0, 840.0)


def test_bare_concrete() -> None:
    wall = periodic_transmittance([CONCRETE])
    assert wall.u_value == pytest.approx(3.557, abs=6e-4)
    assert wall.transmittance == pytest.approx(1.827, abs=6e-4)
    assert wall.decrement == pytest.approx(0.514, abs=6e-4)
    assert wall.shift / 3600 == pytest.approx(5.68, abs=0.006)


def test_insulated_concrete() -> None:
    wall = periodic_transmittance([COAT, INSULATION, CONCRETE])
    assert wall.u_value == pytest.approx(0.359, abs=6e-4)
    assert wall.transmittance == pytest.approx(0.0606, abs=6e-5)
    assert wall.decrement == pytest.approx(0.169, abs=6e-4)
    assert wall.shift / 3600 == pytest.approx(8.11, abs=0.006)
    assert wall.inside_capacity / 1000 == pytest.approx(82.3, abs=0.06)
    assert wall.outside_capacity / 1000 == pytest.approx(12.5, abs=0.06)


def test_van_wall() -> None:
    wall = periodic_transmittance([STEEL, WOOL, PLY])
    assert wall.u_value == pytest.approx(0.653, abs=6e-4)
    assert wall.transmittance == pytest.approx(0.652, abs=6e-4)
    assert wall.decrement == pytest.approx(0.9985, abs=6e-5)
    assert wall.shift / 3600 == pytest.approx(0.32, abs=0.006)
    assert wall.inside_capacity / 1000 == pytest.approx(5.0, abs=0.06)


def test_matrix_method_agrees_with_a_discretised_wall() -> None:
    # own oracle: 400 slices of concrete solved for one sine, outside swinging by 1 K
    slices = 400
    resistance = 0.2 / 1.8 / slices
    capacity = 0.2 * 2400.0 * 1000.0 / slices
    omega = 2 * np.pi / 86400.0
    outside, inside = 1 / (0.04 + resistance / 2), 1 / (0.13 + resistance / 2)
    links = np.full(slices - 1, 1 / resistance)
    matrix = np.diag(np.full(slices, 1j * omega * capacity))
    for k, link in enumerate(links):
        matrix[k, k] += link
        matrix[k + 1, k + 1] += link
        matrix[k, k + 1] -= link
        matrix[k + 1, k] -= link
    matrix[0, 0] += outside
    matrix[-1, -1] += inside
    source = np.zeros(slices, dtype=complex)
    source[0] = outside
    flow = np.linalg.solve(matrix, source)[-1] * inside
    wall = periodic_transmittance([CONCRETE])
    assert abs(flow) == pytest.approx(wall.transmittance, rel=1e-4)
    assert -np.angle(flow) / omega == pytest.approx(wall.shift, rel=1e-4)
