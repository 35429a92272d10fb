"""Kinds of bodies: the table, and a sheet that names one."""

from __future__ import annotations

from itertools import pairwise

import pytest

from vanclimate.errors import SheetError
from vanclimate.van import echo
from vanclimate.van.bodies import KINDS, LENGTHS, ROOFS, find_kind, kind_words
from vanclimate.van.openings import find_glass
from vanclimate.van.reading import loads_text

STACKS = "stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge], floor: [plywood 12 mm]}\n"


def sheet_of(body: str, more: str = ""):
    return loads_text(f"site: miami\nbody: {body}\n{STACKS}{more}", "van.yaml")


def test_every_length_has_every_roof():
    names = {kind.name for kind in KINDS}
    assert {f"{a} {b} van" for a in LENGTHS for b in ROOFS} <= names
    assert {"pop-top van", "box trailer", "small truck body"} <= names


def test_longer_is_longer_and_higher_is_higher():
    assert all(a < b for a, b in pairwise(LENGTHS.values()))
    assert all(a < b for a, b in pairwise(ROOFS.values()))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_glass_and_doors_fit_into_their_sides(kind):
    sides = {
        "left": kind.length * kind.height, "right": kind.length * kind.height,
        "front": kind.width * kind.height, "rear": kind.width * kind.height,
    }  # fmt: skip
    for side, area in sides.items():
        # glass may lie in a door
        assert sum(p.area for p in kind.windows if p.side == side and not p.cab) < area, side
        assert sum(d.area for d in kind.doors if d.side == side) < area, side
    assert all(d.height < kind.height for d in kind.doors)
    assert all(find_glass(p.glass) for p in kind.windows)
    assert not any(p.cab for p in kind.windows) or kind.has_cab
    assert kind.cab_height < kind.height or kind.cab_height == kind.height == 1.4


@pytest.mark.parametrize("words", kind_words())
def test_every_way_to_write_a_kind_is_read(words):
    sheet = sheet_of(words)
    kind = find_kind(kind_words()[words])
    assert (sheet.body.length, sheet.body.width, sheet.body.height) == (
        kind.length, kind.width, kind.height,
    )  # fmt: skip
    assert {w.name for w in sheet.windows} == {p.name for p in kind.windows}


def test_a_size_that_is_given_overrides_the_kinds():
    sheet = sheet_of("{kind: long high van, width: 70 in}")
    assert sheet.body.width == pytest.approx(1.778)
    assert sheet.body.length == find_kind("long high van").length
    guessed = {g.path: g for g in sheet.guessed}
    assert "body.width" not in guessed
    length = guessed["body.length"]
    assert length.low < length.value < length.high
    assert "common practice" in length.why


@pytest.mark.parametrize("name", ["box trailer", "small truck body"])
def test_a_body_of_sandwich_panels_is_bridged_at_its_edges_alone(name):
    sheet = sheet_of(name)
    guessed = {g.path: g for g in sheet.guessed}
    share, bridging = guessed["body.rib_share"], guessed["body.rib_bridging"]
    assert "sandwich" in share.why
    assert (share.low, share.high) == (0.02, 0.10)
    assert (bridging.value, bridging.low, bridging.high) == (1.2, 1.0, 1.5)
    a, b, c = sheet.body.length, sheet.body.width, sheet.body.height
    # the assumption by hand: 40 mm of both panels along all twelve edges
    edges = 4 * (a + b + c) * 2 * 0.040 / (2 * (a * b + b * c + a * c))
    assert share.value == pytest.approx(edges, abs=0.012)
    row = {row.key: row for row in echo(sheet)}["body.rib share"]
    assert (row.si, row.guessed) == ("6 %", True)
    assert "sandwich" in row.why


def test_a_sandwich_body_keeps_the_ribs_that_its_sheet_says():
    share = sheet_of("{kind: box trailer, rib share: 9 %, rib bridging: 1.7}")
    assert (share.body.rib_share, share.body.rib_bridging) == (0.09, 1.7)
    assert not {"body.rib_share", "body.rib_bridging"} & {g.path for g in share.guessed}
    van = {g.path: g for g in sheet_of("long high van").guessed}
    assert (van["body.rib_share"].value, van["body.rib_bridging"].value) == (0.10, 1.5)
    assert (van["body.rib_share"].low, van["body.rib_share"].high) == (0.06, 0.16)


def test_furnishing_follows_the_kinds_floor():
    body = sheet_of("extended high van").body
    assert body.furnishing == pytest.approx(60 * 4.3 * 1.75)


def test_an_unknown_kind_names_those_that_are_known():
    with pytest.raises(SheetError) as error:
        sheet_of("{kind: long hihg van}")
    assert error.value.key == "body.kind"
    assert error.value.line == 2
    assert "medium high van" in str(error.value)
    assert "box trailer" in str(error.value)
    assert "did you mean 'long high van'?" in str(error.value)
    with pytest.raises(SheetError, match="small truck body"):
        sheet_of("submarine")


def test_a_body_of_no_kind_must_say_its_size():
    with pytest.raises(SheetError) as error:
        sheet_of("{length: 3 m, width: 1.8 m}")
    assert error.value.key == "body.height"
    assert error.value.found == "nothing"
    assert "kind" in str(error.value)


def test_a_pop_top_brings_its_lifting_roof():
    top = sheet_of("pop-top van").pop_top
    assert top is not None
    assert top.raised == "night"
    assert sheet_of("pop-top van", "pop top: none\n").pop_top is None
    assert sheet_of("long high van").pop_top is None


def test_the_echo_shows_a_kinds_size_as_guessed():
    rows = {row.key: row for row in echo(sheet_of("medium high van"))}
    assert rows["body.kind"].si == "medium high van"
    assert rows["body.length"].si == "3.2 m"
    assert rows["body.length"].guessed
    assert {r.key: r for r in echo(sheet_of("{length: 3 m, width: 1.8 m, height: 2 m}"))}[
        "body.kind"
    ].si == "none"
