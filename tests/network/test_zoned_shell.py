"""Rooms of a sheet as zones of the shell: surfaces, partitions, glass, leaks."""

from __future__ import annotations

import pytest

from vanclimate.errors import OptionError, SheetError
from vanclimate.network.compile import OUT_ZONE, compile_shell
from vanclimate.network.shell import Shell, Zone, shell_of
from vanclimate.network.summary import summarise
from vanclimate.van.reading import loads_text

BASE = """\
site: miami
body: {length: 3.6 m, width: 1.8 m, height: 1.9 m}
stacks:
  roof: [steel 0.9 mm, XPS 40 mm, plywood 6 mm]
  walls: [steel 0.9 mm, XPS 40 mm, plywood 6 mm]
  floor: [steel 1.2 mm, plywood 12 mm]
"""
ROOMS = BASE + "cab: thick curtain\ngarage: {length: 1.2 m, height: 0.8 m}\n"


def shell(text: str) -> Shell:
    return shell_of(loads_text(text, "van.yaml"))


def test_without_rooms_every_surface_is_the_living_spaces():
    one = shell(BASE)
    assert [z.name for z in one.zones] == ["living"]
    assert one.passages == ()
    assert {s.zone for s in one.surfaces} == {0}
    assert {s.beyond for s in one.surfaces} == {None}
    assert one.zones[0].leakage_share == 1.0


def test_each_room_has_its_surfaces_and_meets_only_the_living_space():
    three = shell(ROOMS)
    assert [z.name for z in three.zones] == ["living", "cab", "garage"]
    by_zone = {z: {s.side for s in three.surfaces if s.zone == z and s.beyond is None}
               for z in range(3)}  # fmt: skip
    assert by_zone[0] == {"roof", "floor", "left", "right", "front", "rear"}
    assert by_zone[1] == {"roof", "floor", "left", "right", "front"}
    assert by_zone[2] == {"floor", "left", "right", "rear"}
    partitions = {s.name: s for s in three.surfaces if s.beyond is not None}
    assert {name: (s.zone, s.beyond, s.covered) for name, s in partitions.items()} == {
        "thick curtain": (0, 1, "night"),
        "deck": (0, 2, "always"),
        "garage front": (0, 2, "always"),
    }
    assert [(p.zone, p.open) for p in three.passages] == [(1, "day"), (2, "never")]


def test_names_stay_unlike_each_other():
    names = [s.name for s in shell(ROOMS + "pop top: {raised: always}\n").surfaces]
    assert len(set(names)) == len(names)


def test_the_bodys_leaks_are_shared_out_whole():
    assert sum(z.leakage_share for z in shell(ROOMS).zones) == pytest.approx(1.0)


def test_a_lifted_roof_leaks_on_top_and_its_fabric_faces_outdoors():
    top = shell(BASE + "pop top: {raised: night, leakage: 60 cm2}\n")
    assert top.zones[0].leakage_share == pytest.approx(2.0)  # an ordinary body's are 60 cm2 too
    fabric = [s for s in top.surfaces if s.group == "pop top"]
    assert {s.covered for s in fabric} == {"night"}
    assert {s.beyond for s in fabric} == {None}


def test_fabric_that_is_folded_away_passes_nothing():
    model = compile_shell(shell(BASE + "pop top: {raised: night}\n"))
    net = model.network
    for k, c in enumerate(model.chains):
        if c.group == "pop top":
            own = slice(net.first[k], net.first[k + 1] - 1)
            assert (net.link[own] == 0.0).all()
            assert (net.link_covered[own] > 0.0).all()


@pytest.mark.parametrize(("zone", "name"), [(0, "living"), (1, "cab")])
def test_glass_is_taken_off_its_own_rooms_side(zone, name):
    low = BASE + "cab: {height: 1 m}\n"
    glass = f"windows: [{{name: screen, side: front, area: 1 m2, zone: {name}}}]\n"
    cut, bare = shell(low + glass), shell(low + "windows: none\n")
    assert cut.glazings[0].zone == zone
    fronts = [
        sum(s.area for s in of.surfaces if s.side == "front" and (s.zone, s.beyond) == (zone, None))
        for of in (cut, bare)
    ]
    assert fronts[1] - fronts[0] == pytest.approx(1.0)


def test_more_glass_than_a_rooms_side_is_refused_with_the_room():
    glass = "windows: [{name: screen, side: front, area: 3 m2}]\n"
    with pytest.raises(SheetError, match="front of the cab"):
        shell(ROOMS + glass)


def test_a_cab_as_high_as_the_body_leaves_no_front():
    assert not [
        s
        for s in shell(BASE + "cab: {height: 1.9 m}\n").surfaces
        if (s.side, s.zone, s.beyond) == ("front", 0, None)
    ]


def test_zones_add_up_in_figures_and_partitions_stand_apart():
    one, model = summarise(compile_shell(shell(BASE))), compile_shell(shell(ROOMS))
    three = summarise(model)
    assert one.zones == one.partitions == ()
    assert sum(p.ua for p in three.zones) == pytest.approx(three.ua)
    assert sum(p.area for p in three.zones) == pytest.approx(sum(p.area for p in three.groups))
    curtain = next(p for p in three.partitions if p.name == "thick curtain")
    # by hand: 1 and 1 mm of fabric at 0.06, 10 mm of batt at 0.04 W/mK, still air on both sides
    assert curtain.ua == pytest.approx(1.8 * 1.4 / (0.26 + 0.002 / 0.06 + 0.25), rel=1e-6)
    assert (model.network.outside == OUT_ZONE).sum() == 3


def test_a_zone_with_no_path_to_anything_is_refused():
    whole = shell(BASE)
    with pytest.raises(OptionError, match="attic"):
        Shell(whole.surfaces, whole.glazings, (*whole.zones, Zone("attic", 1.0)))
