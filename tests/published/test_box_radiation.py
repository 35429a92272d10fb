"""Radiation between the faces of a box: what the network exchanges against radiosities.

View factors of parallel and of perpendicular rectangles (Howell's catalogue of radiation view
factors, C-11 and C-14; formulae from memory) are held against rays traced by Lambert's law. Grey
diffuse faces are solved for their radiosities, which is another way to the answer than the exchange
areas of the network: these must agree to rounding. What the radiant star alone would be off by
stands beside it: Carroll's paper speaks of a few per cent in rooms (from memory); the band of 5 %
of the greatest heat was set before the first run.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import qmc

from tests import invented
from vanclimate.network.compile import compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.physics.enclosure import (
    PLANES,
    box_exchange,
    grey_exchange,
    parallel_view,
    perpendicular_view,
    room_exchange,
    with_furniture,
)
from vanclimate.physics.longwave import KELVIN, STEFAN_BOLTZMANN, carroll_factors
from vanclimate.van.reading import loads_text

# a van's living space: length, width, height [m]; faces in the order of PLANES
BOXES = {"long van": (4.2, 1.8, 1.9), "short van": (2.5, 1.7, 1.4), "cube": (2.0, 2.0, 2.0)}
CASES = {
    "summer noon": ([42.0, 28.0, 34.0, 36.0, 45.0, 33.0], [0.9] * 6),
    "winter night": ([12.0, 10.0, 14.0, 14.0, 2.0, 13.0], [0.9] * 6),
    "bright roof": ([42.0, 28.0, 34.0, 36.0, 45.0, 33.0], [0.2, 0.9, 0.9, 0.9, 0.84, 0.9]),
}
SIDES = st.lists(st.floats(0.5, 12.0), min_size=3, max_size=3)


def by_rays(first, second):
    """Return the share of diffuse rays from one rectangle that meet another (origin, two edges)."""
    u, v, tilt, turn = qmc.Sobol(4, rng=6).random_base2(19).T
    origin, a, b = (np.array(x, dtype=float) for x in first)
    start = origin + u[:, None] * a + v[:, None] * b
    # by Lambert's law as many rays leave at each sine squared
    out, along, across = np.cross(a, b), a / np.linalg.norm(a), b / np.linalg.norm(b)
    sine, angle = np.sqrt(tilt)[:, None], 2.0 * np.pi * turn[:, None]
    ray = np.sqrt(1.0 - sine**2) * out / np.linalg.norm(out)
    ray = ray + sine * (np.cos(angle) * along + np.sin(angle) * across)
    origin, a, b = (np.array(x, dtype=float) for x in second)
    normal = np.cross(a, b)
    with np.errstate(divide="ignore", invalid="ignore"):
        far = ((origin - start) @ normal) / (ray @ normal)
        met = start + far[:, None] * ray - origin
        at_a, at_b = met @ a / (a @ a), met @ b / (b @ b)
        hit = (far > 0) & (at_a >= 0) & (at_a <= 1) & (at_b >= 0) & (at_b <= 1)
    return float(hit.mean())


# half a million rays of a Sobol sequence: 131,072 are good to 6e-4
@pytest.mark.parametrize(("a", "b", "apart"), [(1.0, 1.0, 1.0), (4.2, 1.8, 1.9), (1.7, 1.4, 2.5)])
def test_parallel_rectangles_see_what_rays_say(a, b, apart):
    low, high = ([0, 0, 0], [a, 0, 0], [0, b, 0]), ([0, 0, apart], [a, 0, 0], [0, b, 0])
    assert parallel_view(a, b, apart) == pytest.approx(by_rays(low, high), abs=5e-4)


@pytest.mark.parametrize(
    ("common", "own", "other"), [(1.0, 1.0, 1.0), (4.2, 1.8, 1.9), (1.4, 2.5, 1.7)]
)
def test_perpendicular_rectangles_see_what_rays_say(common, own, other):
    floor = ([0, 0, 0], [common, 0, 0], [0, own, 0])
    wall = ([0, 0, 0], [common, 0, 0], [0, 0, other])
    assert perpendicular_view(common, own, other) == pytest.approx(by_rays(floor, wall), abs=5e-4)


def test_view_factors_of_a_cube_are_the_known_ones():
    # 0.1998 to the face across and 0.2000 to each beside it: any table of view factors
    f = box_exchange(1.0, 1.0, 1.0)
    assert f[0, 1] == pytest.approx(0.1998, abs=5e-5)
    assert f[0, 2] == pytest.approx(0.2000, abs=5e-5)


@given(SIDES)
def test_view_factors_close_and_are_mutual(sides):
    length, width, height = sides
    exchange = box_exchange(*sides)
    area = [length * width] * 2 + [length * height] * 2 + [width * height] * 2
    np.testing.assert_allclose(exchange.sum(axis=1), area, rtol=1e-9)
    np.testing.assert_allclose(exchange, exchange.T, rtol=1e-9)


@given(SIDES, st.lists(st.floats(0.8, 1.25), min_size=6, max_size=6), st.floats(0.0, 0.9))
def test_a_room_that_is_nearly_a_box_closes_too(sides, uneven, furniture):
    length, width, height = sides
    area = np.repeat([length * width, length * height, width * height], 2) * uneven
    found = room_exchange(area)
    if found is None:
        assert 2.0 * area.max() > 0.99 * area.sum()
        return
    found = with_furniture(found, furniture * area.sum())
    assert (found >= 0.0).all()
    np.testing.assert_allclose(found, found.T, rtol=1e-12)
    np.testing.assert_allclose(
        found.sum(axis=1), [*area, furniture * area.sum()], rtol=1e-8, atol=1e-12
    )


def test_a_room_of_the_boxs_own_areas_is_the_box():
    exchange = box_exchange(4.2, 1.8, 1.9)
    np.testing.assert_allclose(room_exchange(exchange.sum(axis=1)), exchange, rtol=1e-9)


def test_two_planes_alone_are_no_box():
    assert room_exchange(np.array([7.0, 7.0, 0.0, 0.0, 0.0, 0.0])) is None


def radiosity_heat(exchange, temp, eps):
    """Return the net heat [W] that each face gives off: J = ε σT⁴ + (1 − ε) Σ F J."""
    area = exchange.sum(axis=1)
    view = exchange / area[:, None]
    emitted = STEFAN_BOLTZMANN * (temp + KELVIN) ** 4
    back = np.eye(len(area)) - (1 - eps)[:, None] * view
    radiosity = np.linalg.solve(back, eps * emitted)
    return area * (radiosity - view @ radiosity)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("size", BOXES.values(), ids=BOXES)
def test_grey_faces_exchange_what_their_radiosities_say(size, case):
    temp, eps = (np.array(x) for x in CASES[case])
    exchange = box_exchange(*size)
    emitted = STEFAN_BOLTZMANN * (temp + KELVIN) ** 4
    grey = grey_exchange(exchange, eps)
    found = grey.sum(axis=1) * emitted - grey @ emitted
    np.testing.assert_allclose(found, radiosity_heat(exchange, temp, eps), atol=1e-9)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("size", BOXES.values(), ids=BOXES)
def test_the_star_alone_is_a_few_per_cent_off(size, case):
    temp, eps = (np.array(x) for x in CASES[case])
    exchange = box_exchange(*size)
    weight = exchange.sum(axis=1) * carroll_factors(exchange.sum(axis=1), eps)
    emitted = STEFAN_BOLTZMANN * (temp + KELVIN) ** 4
    star = weight * (emitted - (weight * emitted).sum() / weight.sum())
    exact = radiosity_heat(exchange, temp, eps)
    error = np.abs(star - exact).max() / np.abs(exact).max()
    print(f"{case}: {error:.1%} of {np.abs(exact).max():.0f} W")
    assert error < 0.05


def test_a_vans_faces_exchange_what_their_radiosities_say():
    """Every patch of a plane is seen as evenly spread over it; furniture takes its share."""
    model = compile_shell(shell_of(invented.sheet()))
    net, n = model.network, len(model.chains)
    area = np.array([c.area for c in model.chains])
    eps = np.array([
        c.glazing.glass.emissivity if c.glazing else 0.9 for c in model.chains
    ])  # fmt: skip
    plane = [c.side for c in model.chains]
    whole = {side: area[[p == side for p in plane]].sum() for side in (*PLANES, "furnishing")}
    share = whole["furnishing"] / sum(whole[side] for side in PLANES)
    rooms = room_exchange(np.array([whole[side] for side in PLANES]))
    black = np.zeros((n, n))
    for i in range(n):
        for j in range(n):
            p, q = plane[i], plane[j]
            if "furnishing" not in (p, q):
                between = (1 - share) * rooms[PLANES.index(p), PLANES.index(q)]
                black[i, j] = between * area[i] * area[j] / whole[p] / whole[q]
            elif p != q:
                furniture, face = (i, j) if p == "furnishing" else (j, i)
                black[i, j] = share * area[face] * area[furniture] / whole["furnishing"]
    temp = 15.0 + 20.0 * np.random.default_rng(6).random(n)
    emitted = STEFAN_BOLTZMANN * (temp + KELVIN) ** 4
    star = net.radiant_area * (emitted - (net.radiant_area @ emitted) / net.radiant_area.sum())
    np.testing.assert_allclose(
        star - net.exchange @ emitted, radiosity_heat(black, temp, eps), atol=1e-8
    )


@pytest.mark.parametrize("cab", ["", "cab: curtain\n"])
@pytest.mark.parametrize("kind", ["short standard van", "long high van", "box trailer"])
def test_what_the_star_leaves_out_sums_to_nothing_in_any_body(kind, cab):
    if cab and "van" not in kind:
        pytest.skip("no cab opens into a trailer")
    stacks = "stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}\n"
    sheet = loads_text(f"site: greensboro\nbody: {kind}\n{stacks}{cab}")
    exchange = compile_shell(shell_of(sheet)).network.exchange
    assert np.abs(exchange).max() > 0.01
    np.testing.assert_allclose(exchange.sum(axis=1), 0.0, atol=1e-10)
    np.testing.assert_allclose(exchange, exchange.T, atol=1e-12)
