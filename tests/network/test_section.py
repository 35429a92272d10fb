"""A stack's section across its ribs: limits, grids, the path it becomes, and six walls of vans.

Every section here is invented; none is a measurement of a real van.
"""

import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.network.profile import as_built, profile_of, split_stack
from vanclimate.network.resistance import core_resistance
from vanclimate.network.section import LEAST_CORE, section_of
from vanclimate.network.vented import without_vents
from vanclimate.physics.conduction import R_SE, air_layer_resistance, u_value
from vanclimate.physics.plane import Film
from vanclimate.van.layers import Layer, finish_stack
from vanclimate.van.ribs import Ribs


@pytest.fixture(autouse=True, scope="module")
def _own_cache(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("VANCLIMATE_CACHE", str(tmp_path_factory.mktemp("sections")))
        yield


def stack(*layers):
    return finish_stack(tuple(Layer.model_validate(x) for x in layers))


def ribs(**keys):
    usual = {"kind": "hat", "depth": "30 mm", "width": "40 mm", "spacing": "400 mm"}
    return Ribs.model_validate(usual | keys)


FOAMED = stack("steel 0.8 mm", "sprayed foam 30 mm", "plywood 6 mm")
OVER = stack("steel 0.8 mm", "sprayed foam 42 mm", "plywood 6 mm")

# (stack, ribs, direction of the heat flow)
WALLS = {
    "bare hat, lining on it": (FOAMED, ribs(), "horizontal"),
    "hat under 12 mm of foam": (OVER, ribs(cover="12 mm"), "horizontal"),
    "filled hat, wool over it": (
        stack("steel 0.8 mm", "sheep wool 60 mm", "plywood 6 mm"),
        ribs(depth="40 mm", width="50 mm", spacing="450 mm", filled="yes"), "horizontal"),
    "C of 1.2 mm, boards between": (
        stack("steel 0.8 mm", "XPS 40 mm", "plywood 6 mm"),
        ribs(kind="C", depth="40 mm", width="25 mm", sheet="1.2 mm"), "horizontal"),
    "roof bow on mastic": (
        stack("steel 0.9 mm", "sprayed foam 40 mm", "plywood 4 mm"),
        ribs(depth="25 mm", width="60 mm", spacing="700 mm", mastic="3 mm"), "up"),
    "timber battens": (
        stack("steel 0.8 mm", "XPS 40 mm", "plywood 6 mm"),
        ribs(kind="timber", depth="40 mm"), "horizontal"),
}  # fmt: skip
MORE = {
    "Z": (FOAMED, ribs(kind="Z", width="25 mm"), "horizontal"),
    "air behind the lining": (FOAMED, ribs(depth="50 mm"), "horizontal"),
    "stands into the room": (
        stack("steel 0.8 mm", "sprayed foam 25 mm"), ribs(depth="50 mm"), "horizontal"),
    "its face shows": (FOAMED, ribs(lined="no"), "horizontal"),
    "aluminium box on rubber": (
        stack("aluminium 1.2 mm", "XPS 25 mm", "plywood 6 mm"),
        ribs(kind="box", depth="25 mm", width="25 mm", metal="aluminium", sheet="2 mm",
             strip="rubber 3 mm"), "horizontal"),
}  # fmt: skip


@pytest.mark.parametrize("name", [*WALLS, *MORE])
def test_halving_the_grid_moves_the_ribs_heat_by_less_than_one_percent(name):
    layers, rib, direction = (WALLS | MORE)[name]
    once, twice = section_of(layers, rib, direction), section_of(layers, rib, direction, halvings=1)
    assert once.psi == pytest.approx(twice.psi, rel=0.01)
    assert once.factor == pytest.approx(twice.factor, abs=0.005)


# inside the range of 1.2 to 2 that a sheet without ribs assumes?
INSIDE = {
    "bare hat, lining on it": True,
    "hat under 12 mm of foam": True,
    "filled hat, wool over it": True,
    "C of 1.2 mm, boards between": True,
    "roof bow on mastic": False,  # few of them, on rubber, and the foam runs over
    "timber battens": True,
}


@pytest.mark.parametrize("name", WALLS)
def test_six_walls_against_the_range_that_stands_in_for_them(name):
    layers, rib, direction = WALLS[name]
    assert (1.2 <= section_of(layers, rib, direction).bridging <= 2.0) == INSIDE[name]


@pytest.mark.parametrize("name", [*WALLS, *MORE])
def test_the_path_has_the_sections_heat_and_its_coldest_face(name):
    layers, rib, direction = (WALLS | MORE)[name]
    s = section_of(layers, rib, direction, rsi=0.13)
    assert s.path is not None
    u_rib = 1 / (0.13 + s.path.outer + s.path.inner + R_SE)
    mean = s.path.share * u_rib + (1 - s.path.share) * s.u_plain
    assert mean == pytest.approx(s.u_mean, rel=1e-9)
    # a rib that shows may be colder than bare steel: its skin gathers cold from beside it
    bare = 1 - 0.13 / (0.13 + R_SE + LEAST_CORE)
    assert 1 - 0.13 * u_rib == pytest.approx(max(s.factor, bare), abs=1e-6)
    assert s.path.share * rib.spacing > 0.5 * rib.width
    assert s.u_plain == pytest.approx(u_value([core_resistance(s.stack)], 0.13))


@settings(max_examples=8, deadline=None)
@given(
    kind=st.sampled_from(["hat", "C", "Z", "box", "timber"]),
    depth=st.floats(0.01, 0.09),
    width=st.floats(0.015, 0.08),
    spacing=st.floats(0.2, 1.0),
    foam=st.floats(0.005, 0.08),
    cover=st.sampled_from([None, 0.0, 0.003, 0.02]),
    lined=st.booleans(),
)
def test_any_rib_gives_a_section_that_can_be(kind, depth, width, spacing, foam, cover, lined):
    layers = stack("steel 0.8 mm", f"sprayed foam {foam * 1e3:.3f} mm", "plywood 6 mm")
    cover = cover if lined else None
    rib = Ribs(kind=kind, depth=depth, width=width, spacing=spacing, cover=cover, lined=lined)
    once, twice = section_of(layers, rib), section_of(layers, rib, halvings=1)
    assert 0.0 < once.factor <= once.factor_plain + 0.01
    assert once.u_mean == pytest.approx(twice.u_mean, rel=0.01)  # ISO 10211's rule, on the flow
    if once.path is not None:
        u_rib = 1 / (0.13 + once.path.outer + once.path.inner + R_SE)
        mean = once.path.share * u_rib + (1 - once.path.share) * once.u_plain
        assert mean == pytest.approx(once.u_mean, rel=1e-9)
        assert once.path.rib > 0


def test_a_rib_of_the_insulations_own_conductivity_adds_nothing():
    layers = stack(
        "steel 0.8 mm",
        {"material": "odd foam", "thickness": "30 mm", "conductivity": "0.12 W/m·K",
         "density": 500, "specific_heat": 1600, "insulation": "yes"},
        "plywood 6 mm",
    )  # fmt: skip
    s = section_of(layers, ribs(kind="timber"))
    assert s.psi == pytest.approx(0.0, abs=1e-6)
    assert s.path is None
    assert s.factor == pytest.approx(s.factor_plain, abs=1e-6)


def test_a_thick_cover_makes_a_rib_matter_little():
    covers = [section_of(OVER, ribs(cover=f"{mm} mm")).bridging for mm in (3, 12, 40, 90)]
    assert covers == sorted(covers, reverse=True)
    assert covers[-1] - 1 < (covers[0] - 1) / 2


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        ({"strip": "elastomeric foam 3 mm"}, {}),
        ({"sheet": "0.7 mm"}, {"sheet": "2 mm"}),
        ({"metal": "stainless steel"}, {"metal": "steel"}),
        ({"metal": "steel"}, {"metal": "aluminium"}),
        ({"mastic": "3 mm"}, {}),
        ({}, {"lined": "no"}),
        ({"cover": "12 mm"}, {"cover": "12 mm", "screws": {"spacing": 0.15, "diameter": 0.004}}),
    ],
)
def test_what_breaks_the_bridge_loses_less(better, worse):
    # heat with ribs, not psi: a strip also holds the lining off and adds air beside the rib
    good, bad = section_of(FOAMED, ribs(**better)), section_of(FOAMED, ribs(**worse))
    assert good.u_mean < bad.u_mean


def test_a_symmetric_rib_gives_the_same_by_halves_as_whole():
    from dataclasses import replace

    from vanclimate.network.section import _solve

    shape = profile_of(FOAMED, ribs(), "horizontal", Film("inside", 1.0, 0.13))
    half = _solve(shape, 0.13, 0).flow["inside"]
    whole = _solve(replace(shape, start=-0.2, width=0.4, whole=True), 0.13, 0).flow["inside"]
    # the whole section's grid is coarse in the middle of the hat, where the half one's is fine
    assert whole == pytest.approx(2 * half, rel=1e-3)


def test_deep_ribs_hold_the_lining_off_over_a_layer_of_air():
    built = as_built(FOAMED, ribs(depth="50 mm"))
    assert [x.material for x in built] == ["steel", "sprayed foam", "air gap", "plywood"]
    assert built[2].thickness == pytest.approx(0.020)
    s = section_of(FOAMED, ribs(depth="50 mm"))
    air = air_layer_resistance(0.020, 0.9, 0.9, "horizontal", mean_temp=20.0)
    plain = 1 / u_value([core_resistance(FOAMED)], 0.13)
    assert 1 / s.u_plain == pytest.approx(plain + air, rel=1e-6)
    assert any("20 mm of air" in w for w in s.warnings)


def test_a_gap_that_is_there_already_grows():
    foiled = stack("steel 0.8 mm", "XPS 20 mm", "foil", "air gap 10 mm", "plywood 6 mm")
    built = as_built(foiled, ribs(depth="50 mm"))
    assert [x.material for x in built] == [x.material for x in foiled]
    assert built[2].thickness == pytest.approx(0.030)
    assert built[2].emissivity_outer == foiled[2].emissivity_outer


def test_insulation_thicker_than_the_ribs_runs_on_over_them_or_leaves_air():
    runs_on, air = section_of(OVER, ribs()), section_of(OVER, ribs(cover="none"))
    assert as_built(OVER, ribs()) == OVER
    assert runs_on.warnings == ()
    assert runs_on.u_mean < air.u_mean  # 12 mm of foam against 12 mm of air
    assert any("12 mm thicker" in w for w in air.warnings)


def test_a_rib_that_no_insulation_or_lining_covers_shows_in_the_room():
    foam = stack("steel 0.8 mm", "sprayed foam 42 mm")
    shape = profile_of(foam, ribs(cover="none"), "horizontal", Film("inside", 1.0, 0.13))
    assert any(isinstance(b.fill, Film) and b.low == shape.face for b in shape.blocks)
    shows, under = section_of(foam, ribs(cover="none")), section_of(foam, ribs())
    assert shows.u_mean > 1.3 * under.u_mean
    assert shows.factor < 0.4


def test_a_stack_is_split_into_skin_insulation_and_lining():
    split = split_stack(stack("steel 0.8 mm", "sound deadener 2 mm", "XPS 1 in", "plywood 6 mm",
                              "carpet 3 mm"))  # fmt: skip
    assert [x.material for x in split.between] == ["sound deadener", "XPS"]
    assert [x.material for x in split.lining] == ["plywood", "carpet"]
    assert split_stack(stack("steel 0.8 mm")).lining == ()
    vented = {"material": "air gap", "thickness": "20 mm", "ventilated": "slightly"}
    still = without_vents(stack("steel 0.8 mm", "XPS 1 in", vented, "plywood 6 mm"))
    assert [x.material for x in split_stack(still).lining] == ["plywood"]


def test_a_screw_is_colder_than_the_lining_round_it():
    screws = {"spacing": 0.15, "diameter": 0.0042}
    plain, held = (
        section_of(OVER, ribs(cover="12 mm", **more)) for more in ({}, {"screws": screws})
    )
    assert held.psi == pytest.approx(plain.psi + held.psi_screws)
    # no more than the whole shank between a lining at room temperature and a rib as cold as outside
    shank = 50 * np.pi * 0.0042**2 / 4 / 0.018 / 0.15
    assert 0 < held.psi_screws < shank
    assert held.factor_screw < held.factor


def test_the_film_for_mould_makes_a_colder_face():
    s = section_of(FOAMED, ribs())
    assert s.factor_mould < s.factor < s.factor_plain


def test_the_field_is_there_to_draw():
    s = section_of(FOAMED, ribs())
    assert s.temp.shape == (len(s.y), len(s.x))
    assert s.conductivity.shape == (len(s.y) - 1, len(s.x) - 1)
    assert s.temp.min() >= 0.0
    assert s.temp.max() <= 1.0
    assert s.temp[-1].min() == pytest.approx(s.factor)


def test_a_section_is_solved_once_and_kept(monkeypatch):
    from vanclimate.network import section

    odd = ribs(depth="27 mm")
    fresh = section_of(FOAMED, odd)
    monkeypatch.setattr(section, "solve_plane", None)
    again = section_of(FOAMED, odd)
    assert again.psi == fresh.psi
    assert np.array_equal(again.temp, fresh.temp)


def test_a_section_takes_less_than_a_third_of_a_second():
    section_of(FOAMED, ribs())  # the sparse solver is loaded
    took = []
    for depth in ("29 mm", "28 mm", "26 mm"):  # each solved afresh; the best, on a busy machine
        start = time.perf_counter()
        section_of(FOAMED, ribs(depth=depth))
        took.append(time.perf_counter() - start)
    assert min(took) < 0.3
