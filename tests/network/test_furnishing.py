"""The furnishing's slab, held against the exact one as `resolution` holds the walls'."""

from __future__ import annotations

import numpy as np
import pytest

from vanclimate.network.compile import (
    FURNISHING_CONDUCTIVITY,
    FURNISHING_DENSITY,
    FURNISHING_SPECIFIC_HEAT,
    Row,
    furnishing_nodes,
)
from vanclimate.network.resolution import BOUND, RSI, SWINGS
from vanclimate.network.shell import Zone

AREA = 10.0


def of_nodes(row: Row, omega: float) -> complex:
    """Heat that a chain takes at its face by a sine of 1 K there [W/m2K]."""
    y = 1j * omega * row.capacity[0]
    for link, capacity in zip(row.link, row.capacity[1:], strict=False):
        y = 1.0 / (1.0 / y + 1.0 / link) + 1j * omega * capacity
    return y / AREA


def exact(thickness: float, omega: float) -> complex:
    """The same of a slab insulated behind, λ m tanh(m d), m² = iωρc/λ (textbook)."""
    heat = FURNISHING_DENSITY * FURNISHING_SPECIFIC_HEAT
    m = np.sqrt(1j * omega * heat / FURNISHING_CONDUCTIVITY)
    return complex(FURNISHING_CONDUCTIVITY * m * np.tanh(m * thickness))


@pytest.mark.parametrize("mass", [2.0, 10.0, 20.0, 37.8, 60.0, 93.5, 150.0])  # kg a m2 of face
def test_the_furnishings_face_follows_swings_of_the_room_within_the_walls_own_bound(mass):
    row = furnishing_nodes(Zone("living", 12.0, mass * AREA, AREA))
    assert sum(row.capacity) == pytest.approx(mass * AREA * FURNISHING_SPECIFIC_HEAT)
    for swing in SWINGS:
        omega = 2.0 * np.pi / swing.period
        faces = [
            1.0 / (1.0 + RSI * y)
            for y in (of_nodes(row, omega), exact(mass / FURNISHING_DENSITY, omega))
        ]
        assert swing.inside * abs(faces[0] - faces[1]) < BOUND
