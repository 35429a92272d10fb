"""Layers to nodes: what the cut of a wall into nodes costs against the exact wall.

The exact wall is the matrix method of ISO 13786, which published/test_periodic checks by itself.
"""

from __future__ import annotations

import cmath

import numpy as np
import pytest

from vanclimate.network.compile import chain_nodes, layer_parts
from vanclimate.network.shell import Surface
from vanclimate.physics.conduction import SolidLayer, periodic_transmittance
from vanclimate.van.layers import Layer

DAY = 86400.0
# outside to inside: thickness, conductivity, density, specific heat; as in published/test_periodic
WALLS = {
    "concrete": [(0.200, 1.8, 2400.0, 1000.0)],
    "insulated concrete": [
        (0.005, 1.0, 1200.0, 1500.0), (0.100, 0.04, 30.0, 1400.0), (0.200, 1.8, 2400.0, 1000.0),
    ],
    "van": [
        (0.0007, 50.0, 7800.0, 450.0), (0.050, 0.038, 32.0, 840.0), (0.006, 0.13, 500.0, 1600.0),
    ],
}  # fmt: skip


def surface(rows: list[tuple[float, float, float, float]], side: str = "left") -> Surface:
    layers = tuple(
        Layer(material=f"m{i}", thickness=d, conductivity=k, density=rho, specific_heat=c)
        for i, (d, k, rho, c) in enumerate(rows)
    )
    return Surface("wall", "walls", side, 1.0, layers, 0.5, 0.9, 0.5)


def chain_response(capacity: list[float], link: list[float], period: float) -> complex:
    """Return the heat into a room held still [W/m2K] per kelvin of a sine outdoors."""
    n, omega = len(capacity), 2 * np.pi / period
    a = np.diag(1j * omega * np.array(capacity)).astype(complex)
    for i, g in enumerate(link[:-1]):
        a[i : i + 2, i : i + 2] += g * np.array([[1, -1], [-1, 1]])
    rse, rsi = 0.04, 0.13  # m2K/W, ISO 6946
    a[0, 0] += 1 / rse
    a[n - 1, n - 1] += 1 / rsi
    b = np.zeros(n, dtype=complex)
    b[0] = 1 / rse
    return complex(np.linalg.solve(a, b)[-1] / rsi)


# A layer cut at its faces is a transmission line of lumps: its error is of the order (part/depth)²,
# at most 1/16 for parts of a quarter of the depth, over 12 for a lump's own shape: 0.5 % a layer,
# of amplitude and (in radians) of phase. Seen: 0.004 %, 0.03 %, 0.0004 % and 0.001, 0.007, 0.004 h
# of a wall four times as fine as it is run with; the wall it is run with follows within 0.1 K (see
# test_resolution), which for the lag of a light wall is less strict.
@pytest.mark.parametrize("name", WALLS)
def test_daily_swing_of_the_cut_wall(name: str) -> None:
    rows = WALLS[name]
    capacity, link, *_ = chain_nodes(layer_parts(surface(rows), 4), 1.0)
    found = chain_response(capacity, link, DAY)
    exact = periodic_transmittance([SolidLayer(*row) for row in rows])
    assert abs(found) == pytest.approx(exact.transmittance, rel=0.005 * len(rows))
    shift = (-cmath.phase(found)) % (2 * np.pi) / (2 * np.pi) * 24
    assert shift == pytest.approx(
        exact.shift / 3600, abs=0.005 * len(rows) * 24 / (2 * np.pi) + 0.01
    )
    steady = chain_response(capacity, link, 1e12)
    assert steady.real == pytest.approx(exact.u_value, rel=2e-4)  # the steel's 14 µK/W left out


@pytest.mark.parametrize("hours", [1.0, 3.0, 6.0])
def test_quick_swings_of_a_van_s_wall(hours: float) -> None:
    """Clouds and covers act within hours: a light wall cut at its faces must follow those too."""
    rows = WALLS["van"]
    capacity, link, *_ = chain_nodes(layer_parts(surface(rows)), 1.0)
    found = chain_response(capacity, link, 3600 * hours)
    exact = periodic_transmittance([SolidLayer(*row) for row in rows], 3600 * hours)
    assert abs(found) == pytest.approx(exact.transmittance, rel=0.05)


@pytest.mark.parametrize("name", WALLS)
def test_no_mass_and_no_resistance_is_lost(name: str) -> None:
    rows = WALLS[name]
    area = 3.7
    capacity, link, *_ = chain_nodes(layer_parts(surface(rows)), area)
    assert sum(capacity) == pytest.approx(area * sum(d * rho * c for d, _, rho, c in rows))
    resistance = sum(area / g for g in link[:-1])
    kept = sum(d / k for d, k, _, _ in rows if d / k > 1e-3)
    assert resistance == pytest.approx(kept)
    assert len(link) == len(capacity)
    assert link[-1] == 0.0


def test_metal_is_one_node_with_what_touches_it() -> None:
    skin = 0.0007 * 7800 * 450
    wool = 0.050 * 32 * 840
    ply = 0.006 * 500 * 1600
    capacity, *_ = chain_nodes(layer_parts(surface(WALLS["van"])), 1.0)
    expected = [skin + wool / 2, wool / 2 + ply / 2, ply / 2]
    np.testing.assert_allclose(capacity, expected)


def test_a_thick_layer_is_cut_and_a_thin_one_is_not() -> None:
    thick = layer_parts(surface(WALLS["concrete"]))
    assert len(thick) == 8
    assert len({round(part.resistance, 12) for part in thick}) == 1
    assert len(layer_parts(surface([(0.03, 1.8, 2400.0, 1000.0)]))) == 1


def test_an_air_gap_has_no_mass() -> None:
    gap = Layer(material="air gap", thickness=0.02, conductivity=0.025, density=1.2,
                specific_heat=1006.0, air_gap=True)  # fmt: skip
    wall = Surface("gap", "walls", "left", 1.0, (gap,), 0.5, 0.9, 0.5)
    (part,) = layer_parts(wall)
    assert part.heat == 0.0
    # ISO 6946 at 20 °C: 1/(1.25 + 0.818 x 4 σ T³)
    by_hand = 1 / (1.25 + 1 / (2 / 0.9 - 1) * 4 * 5.6704e-8 * 293.15**3)
    assert part.resistance == pytest.approx(by_hand, rel=1e-4)
