"""Windows as chains, and the sun through them: what covers, slopes and milky panes may do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from vanclimate.network.compile import Model, compile_shell
from vanclimate.network.glazing import cover_path, glazing_nodes
from vanclimate.network.shell import Glazing, Shell, Surface, Zone
from vanclimate.network.solar import absorbed_sun
from vanclimate.site.sun import Irradiance
from vanclimate.van.covers import COVERS, Cover
from vanclimate.van.layers import Layer
from vanclimate.van.openings import GLASSES, Glass, find_glass

SIDES = ("roof", "floor", "left", "right", "front", "rear")
FOAM = (Layer(material="foam", thickness=0.04, conductivity=0.04, density=30.0,
              specific_heat=1400.0),)  # fmt: skip
inside_covers = st.sampled_from([c for c in COVERS.values() if not c.outside])
outside_covers = st.sampled_from([c for c in COVERS.values() if c.outside])
glasses = st.sampled_from(GLASSES)


def cube(*glazings: Glazing) -> Model:
    surfaces = tuple(
        Surface(side, "walls", side, 4.0, FOAM, absorptance=0.0, emissivity=0.9,
                lining_absorptance=0.5)
        for side in SIDES
    )  # fmt: skip
    return compile_shell(Shell(surfaces, glazings, (Zone("living", 8.0, 60.0, 3.0),)))


def light(beam: float, diffuse: float, cosine: float) -> dict[str, Irradiance]:
    one = Irradiance(
        np.array([beam]), np.array([cosine]), np.array([diffuse]), np.array([diffuse / 3])
    )
    return dict.fromkeys(("roof", "left", "right", "front", "rear", "front 45"), one)


def sun_of(model: Model, sides: dict[str, Irradiance], shut: bool) -> np.ndarray:
    """Return each node's sun [W] with every cover shut or open."""
    covered = np.full((1, len(model.chains)), shut)
    return absorbed_sun(model, sides, covered).nodes[0]


def let_in(model: Model, sides: dict[str, Irradiance], shut: bool) -> float:
    """Return the heat [W] that the sun brings the room, held at outdoor temperature.

    Own oracle: each chain's steady state with films of 0.04 and 0.13 m2K/W.
    """
    net, nodes = model.network, sun_of(model, sides, shut)
    link = net.link_covered if shut else net.link
    total = 0.0
    for k, area in enumerate(net.area):
        a, b = int(net.first[k]), int(net.first[k + 1])
        matrix = np.zeros((b - a, b - a))
        for i in range(b - a - 1):
            matrix[i : i + 2, i : i + 2] += link[a + i] * np.array([[1, -1], [-1, 1]])
        if net.outside[k] != 3:  # furnishing has no outside
            matrix[0, 0] += area / 0.04
        matrix[-1, -1] += area / 0.13
        total += area / 0.13 * np.linalg.solve(matrix, nodes[a:b])[-1]
    return float(total)


def test_panes_are_cut_at_their_faces_and_gaps_lie_between():
    double = glazing_nodes(Glazing("w", "left", 2.0, find_glass("double acrylic")))
    assert double.capacity == pytest.approx([2.0 * 0.003 * 1050 * 1500 / 2] * 4)
    assert double.link == double.covered
    assert double.link == pytest.approx([2.0 * 0.20 / 0.003, 2.0 / 0.17, 2.0 * 0.20 / 0.003, 0.0])
    ((place, thickness, exchange),) = double.gaps
    assert (place, thickness) == (1, 0.020)
    assert exchange == pytest.approx(0.9 / 1.1)


def test_four_millimetre_glass_has_its_u_value_in_the_network_too():
    # U 5.75 W/m2K with films of 0.13 and 0.04: derived from ISO 6946
    _, link, _, _ = glazing_nodes(Glazing("w", "left", 1.0, find_glass("clear")))
    assert 1 / (0.13 + 1 / link[0] + 0.04) == pytest.approx(5.75, abs=0.005)


def test_a_cover_s_node_stands_on_its_own_side():
    for name, where in (("insulated", -1), ("outside mat", 0)):
        g = Glazing("w", "left", 1.0, find_glass("clear"), COVERS[name], "night")
        capacity, link, covered, _ = glazing_nodes(g)
        assert capacity[where] == pytest.approx(COVERS[name].mass * 1500.0)
        at = 0 if where == 0 else 1
        assert link[at] == pytest.approx(1000.0)
        assert covered[at] == pytest.approx(1.0 / cover_path(g, COVERS[name]).resistance)
        assert link[1 - at] == covered[1 - at] == pytest.approx(1.0 / 0.004)
        assert len(glazing_nodes(replace(g, covered="never")).capacity) == 2


def test_a_dome_meets_the_wind_with_more_than_its_opening():
    model = cube(Glazing("vent", "roof", 0.16, find_glass("clear dome")))
    k = next(i for i, c in enumerate(model.chains) if c.name == "vent")
    assert model.network.area[k] == pytest.approx(0.16 * 1.3)
    assert model.chains[k].area == 0.16
    assert model.network.radiant_area[k] < 0.16
    assert model.network.emissivity[k] == 0.90


@given(glasses, st.floats(0, 800), st.floats(0, 400), st.floats(0.02, 1.0))
def test_sun_let_in_is_all_found_again(glass: Glass, beam, diffuse, cosine):
    model = cube(Glazing("w", "left", 1.0, glass))
    found = absorbed_sun(model, light(beam, diffuse, cosine), np.zeros((1, 8), dtype=bool))
    assert found.nodes.sum() == pytest.approx(found.chains.sum())
    assert found.nodes.sum() <= beam + diffuse * 4 / 3 + 1e-9
    assert (found.nodes >= 0).all()


@given(glasses, st.sampled_from(list(COVERS.values())), st.floats(0, 800), st.floats(0, 400),
       st.floats(0.02, 1.0))  # fmt: skip
def test_a_closed_cover_never_lets_more_sun_in(glass, cover, beam, diffuse, cosine):
    # at grazing angles a mesh outside does: it scatters light that the bare pane would reflect
    assume(cosine >= 0.5 or not cover.outside)
    model = cube(Glazing("w", "left", 1.0, glass, cover, "night"))
    sides = light(beam, diffuse, cosine)
    assert let_in(model, sides, True) <= let_in(model, sides, False) * (1 + 1e-9) + 1e-9
    covered = np.ones((1, 8), dtype=bool)
    found = absorbed_sun(model, sides, covered)
    assert found.nodes.sum() == pytest.approx(found.chains.sum())
    assert (found.nodes >= -1e-12).all()


@given(glasses, inside_covers, st.floats(1, 800), st.floats(1, 400), st.floats(0.02, 1.0))
def test_a_cover_outside_lets_in_no_more_than_the_same_inside(glass, cover: Cover, beam, diffuse,
                                                             cosine):  # fmt: skip
    assume(cosine >= 0.5)  # as above: the same light is reflected by a pane and caught by a cover
    sides = light(beam, diffuse, cosine)
    at = [
        let_in(cube(Glazing("w", "left", 1.0, glass, c, "always")), sides, True)
        for c in (cover, replace(cover, outside=True))
    ]
    assert at[1] <= at[0]


def test_an_opaque_cover_outside_lets_no_light_in():
    model = cube(Glazing("w", "left", 1.0, find_glass("clear"), COVERS["outside mat"], "always"))
    nodes = sun_of(model, light(600, 100, 0.8), True)
    k = next(i for i, c in enumerate(model.chains) if c.name == "w")
    first = int(model.network.first[k])
    assert nodes[first] > 0
    assert nodes.sum() == nodes[first]


def test_a_milky_dome_leaves_no_beam_for_the_floor():
    shares = {}
    for name in ("clear dome", "white dome"):
        model = cube(Glazing("vent", "roof", 1.0, find_glass(name)))
        nodes = sun_of(model, light(800, 0, 0.9), False)
        inner = model.network.first[1:] - 1
        sun = {c.name: float(nodes[inner[i]]) for i, c in enumerate(model.chains)}
        shares[name] = sun["floor"] / sun["left"]
    assert shares["white dome"] == pytest.approx(1.0)
    assert shares["clear dome"] > 2.0


def test_a_leaning_window_takes_the_light_of_its_slope():
    g = Glazing("screen", "front", 1.0, find_glass("laminated"), slope=45.0)
    model = cube(g)
    k = next(i for i, c in enumerate(model.chains) if c.name == "screen")
    assert model.chains[k].facing == "front 45"
    assert model.chains[k].tilt == 45.0
    assert g.covers == pytest.approx(0.5**0.5)
    dark = {key: v for key, v in light(0, 0, 0.5).items() if key != "front 45"}
    lit = {**dark, "front 45": light(500, 0, 0.9)["roof"]}
    assert sun_of(model, lit, False).sum() > 300


def test_sun_behind_a_loose_curtain_warms_the_room_more_than_behind_a_mat():
    warm = {
        name: let_in(cube(Glazing("w", "left", 1.0, find_glass("clear"), cover, "always")),
                     light(600, 100, 0.8), True)
        for name, cover in COVERS.items()
    }  # fmt: skip
    assert warm["curtain"] > warm["thick curtain"] > warm["insulated"] > warm["foam board"]
    assert warm["insulated"] > 2 * warm["outside mat"] > 2 * warm["outside reflective"]


def two_rooms(cover: Cover | None = None) -> Model:
    """A cab with a window before a living space without, a curtain between them."""
    surfaces = [
        Surface(f"{zone} {side}", "walls", side, 4.0, FOAM, absorptance=0.0, emissivity=0.9,
                lining_absorptance=0.5, zone=zone)
        for zone in (0, 1)
        for side in SIDES
        if (zone, side) not in ((0, "front"), (1, "rear"))
    ]  # fmt: skip
    surfaces.append(
        Surface("curtain", "walls", "front", 4.0, FOAM, absorptance=0.4, emissivity=0.9,
                lining_absorptance=0.6, beyond=1, covered="night")
    )  # fmt: skip
    window = Glazing("w", "left", 1.0, find_glass("clear"), cover, "always", zone=1)
    zones = (Zone("living", 8.0, 60.0, 3.0), Zone("cab", 8.0, 60.0, 3.0))
    return compile_shell(Shell(tuple(surfaces), (window,), zones))


@pytest.mark.parametrize("cover", [None, COVERS["curtain"]])
@pytest.mark.parametrize("drawn", [True, False])
def test_light_stays_in_the_room_into_which_it_is_let(drawn, cover):
    model = two_rooms(cover)
    count = len(model.chains)
    covered = np.zeros((1, count), dtype=bool)
    by_name = {c.name: k for k, c in enumerate(model.chains)}
    covered[0, by_name["curtain"]], covered[0, by_name["w"]] = drawn, cover is not None
    found = absorbed_sun(model, light(500, 100, 0.7), covered)
    assert found.nodes.sum() == pytest.approx(found.chains.sum())
    first = model.network.first
    for k, c in enumerate(model.chains):
        sun = found.nodes[0, first[k] : first[k + 1]].sum()
        if c.name == "curtain":
            assert found.nodes[0, first[k + 1] - 1] == 0.0
            assert (sun > 0) == drawn
        else:
            assert (sun > 0) == (c.zone == 1)


def test_a_curtain_s_far_face_takes_light_as_a_wall_of_that_room_does():
    model = two_rooms()
    by_name = {c.name: k for k, c in enumerate(model.chains)}
    covered = np.zeros((1, len(model.chains)), dtype=bool)
    covered[0, by_name["curtain"]] = True
    nodes = absorbed_sun(model, light(500, 100, 0.7), covered).nodes[0]
    first = model.network.first
    curtain = nodes[first[by_name["curtain"]]]
    wall = nodes[first[by_name["1 left"] + 1] - 1]
    assert curtain / wall == pytest.approx(0.4 / 0.5)
