"""Air layers against the standard's table and the table of the foil trade."""

import pytest

from vanclimate.physics.conduction import Direction, air_layer_resistance

# ISO 6946, table of unventilated layers with ordinary surfaces at 10 °C; from memory of the
# standard
LAYERS: list[tuple[float, Direction, float]] = [
    (0.005, "up", 0.11),
    (0.005, "horizontal", 0.11),
    (0.005, "down", 0.11),
    (0.010, "up", 0.15),
    (0.010, "horizontal", 0.15),
    (0.010, "down", 0.15),
    (0.025, "up", 0.16),
    (0.025, "horizontal", 0.18),
    (0.025, "down", 0.19),
    (0.050, "up", 0.16),
    (0.050, "horizontal", 0.18),
    (0.050, "down", 0.21),
    (0.300, "up", 0.16),
    (0.300, "horizontal", 0.18),
    (0.300, "down", 0.23),
]


@pytest.mark.parametrize(("thickness", "direction", "expected"), LAYERS)
def test_unventilated_layers(thickness: float, direction: Direction, expected: float) -> None:
    found = air_layer_resistance(thickness, 0.9, 0.9, direction)
    assert found == pytest.approx(expected, abs=0.005)  # printed to 0.01


@pytest.mark.parametrize(
    ("emissivity", "expected"),
    [(0.9, 0.147), (0.2, 0.321), (0.1, 0.393), (0.05, 0.444), (0.03, 0.468)],
)
def test_foil_facing_a_gap(emissivity: float, expected: float) -> None:
    # foil industry table (read): 13 mm vertical gap, 5 K, 23 °C, the other face ordinary. The
    # table is measured, the standard's formula is a simplification: 2 % between them
    found = air_layer_resistance(0.013, emissivity, 0.9, "horizontal", 23.0, 5.0)
    assert found == pytest.approx(expected, rel=0.02)
