"""U-values of usual stacks, worked by hand from the standard's surface resistances."""

import pytest

from vanclimate.physics.conduction import R_SE, R_SI, u_value

STEEL = 0.0007 / 50.0
GLASS = 0.004 / 1.0

# arithmetic on ISO 6946 resistances (Rsi 0.13 wall, 0.10 roof, Rse 0.04) and handbook
# conductivities
STACKS = [
    ("bare steel wall", [STEEL], "horizontal", 5.88),
    ("bare steel roof", [STEEL], "up", 7.14),
    ("4 mm glass", [GLASS], "horizontal", 5.75),
    ("25 mm sprayed PU, 6 mm ply", [STEEL, 0.025 / 0.026, 0.006 / 0.13], "horizontal", 0.85),
    ("25 mm XPS, 5 mm ply", [STEEL, 0.025 / 0.034, 0.005 / 0.13], "horizontal", 1.06),
    ("50 mm wool, 6 mm ply", [STEEL, 0.050 / 0.040, 0.006 / 0.13], "horizontal", 0.68),
]


@pytest.mark.parametrize(("name", "layers", "direction", "expected"), STACKS)
def test_u_values(name: str, layers: list[float], direction: str, expected: float) -> None:
    assert u_value(layers, R_SI[direction], R_SE) == pytest.approx(expected, abs=0.006), name


@pytest.mark.parametrize(
    ("layers", "expected"),
    [([STEEL], 0.24), ([GLASS], 0.25), ([STEEL, 0.025 / 0.026, 0.006 / 0.13], 0.89)],
)
def test_surface_factor_available(layers: list[float], expected: float) -> None:
    # ISO 13788: fRsi = 1 − U Rsi, with Rsi 0.13; worked by hand, printed to 0.01
    assert 1.0 - 0.13 * u_value(layers, 0.13) == pytest.approx(expected, abs=0.006)
