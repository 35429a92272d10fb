"""Ribs as a builder describes them: what is read, guessed, echoed and refused."""

import pytest

from vanclimate.errors import SheetError
from vanclimate.van import echo
from vanclimate.van.reading import loads_text
from vanclimate.van.ribs import Ribs

TEXT = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m%s}
stacks: {roof: [steel 0.9 mm], walls: [steel 20 gauge, XPS 1 in], floor: [plywood 12 mm]}
"""
HAT = "kind: top hat, depth: 1-1/4 in, width: 40 mm, spacing: 16 in"


def body(ribs: str, key: str = "ribs"):
    return loads_text(TEXT % f", {key}: {{{ribs}}}").body


def test_ribs_are_read_in_both_systems():
    ribs = body(f"{HAT}, sheet: 18 gauge, cover: 1/2 in, strip: rubber 3 mm").ribs
    assert isinstance(ribs, Ribs)
    assert ribs.kind == "hat"
    assert ribs.depth == pytest.approx(0.03175)
    assert ribs.sheet == pytest.approx(0.001214, abs=1e-6)
    assert ribs.over == pytest.approx(0.0157)
    assert ribs.footprint == pytest.approx(0.070)
    assert ribs.screws is None


def test_the_roof_has_the_walls_ribs_unless_the_sheet_says_otherwise():
    with_walls = body(HAT)
    assert with_walls.ribs_of("roof") == with_walls.ribs_of("left") == with_walls.ribs
    assert with_walls.ribs_of("floor") is None
    bare_roof = loads_text(TEXT % f", ribs: {{{HAT}}}, roof ribs: none").body
    assert bare_roof.ribs_of("roof") is None
    battens = body("kind: batten, depth: 1 in, width: 2 in, spacing: 2 ft", "floor ribs")
    assert battens.ribs_of("floor").kind == "timber"
    assert battens.ribs_of("left") is None


def test_ribs_that_are_described_leave_no_guess_of_their_share():
    plain, known = loads_text(TEXT % ""), loads_text(TEXT % f", ribs: {{{HAT}}}")
    assert {"body.rib_share", "body.rib_bridging"} <= {g.path for g in plain.guessed}
    paths = {g.path for g in known.guessed}
    assert not paths & {"body.rib_share", "body.rib_bridging"}
    assert {"body.ribs.sheet", "body.ribs.foot", "body.ribs.cover"} <= paths
    rows = {row.key: row for row in echo(known)}
    assert rows["body.ribs.foot"].guessed
    assert "body.rib share" not in rows
    assert "body.floor ribs" not in rows


def test_a_guess_that_its_kind_has_no_use_for_is_not_made():
    timber = loads_text(TEXT % ", ribs: {kind: timber, depth: 2 in, width: 2 in, spacing: 2 ft}")
    assert not {g.path for g in timber.guessed} & {
        "body.ribs.sheet", "body.ribs.metal", "body.ribs.foot", "body.ribs.filled",
    }  # fmt: skip


def test_the_inside_of_a_c_is_filled_and_that_of_a_hat_is_not_unless_said():
    assert body("kind: C, depth: 30 mm, width: 25 mm, spacing: 400 mm").ribs.filled
    assert not body(HAT).ribs.filled
    assert body(f"{HAT}, filled: yes").ribs.filled


def test_a_metre_of_rib_weighs_what_its_strip_of_sheet_weighs():
    # worked by hand: 0.9 mm steel of 7800 kg/m3, a strip of 40 + 2 (30 - 0.9) + 2 x 15 mm
    hat = body("kind: hat, depth: 30 mm, width: 40 mm, spacing: 400 mm, foot: 15 mm").ribs
    assert hat.mass == pytest.approx(0.0009 * 0.1282 * 7800)
    timber = body("kind: timber, depth: 30 mm, width: 40 mm, spacing: 400 mm").ribs
    assert timber.mass == pytest.approx(0.03 * 0.04 * 500)


SIZE = "depth: 30 mm, width: 40 mm, spacing: 400 mm"
BAD = {
    "no such kind": ("kind: hatt, " + SIZE, "did you mean 'hat'"),
    "no depth": ("kind: hat, width: 40 mm, spacing: 400 mm", "key is missing"),
    "closer than they are wide": (
        "kind: hat, depth: 30 mm, width: 40 mm, spacing: 60 mm", "whole width"),
    "deeper than the body allows": (
        "kind: C, depth: 200 mm, width: 40 mm, spacing: 400 mm, cover: 150 mm", "at most"),
    "thick metal": (f"kind: hat, {SIZE.replace('30', '8')}, sheet: 5 mm", "less than half"),
    "sheet of timber": (f"kind: timber, {SIZE}, sheet: 1 mm", "timber rib"),
    "cover on a bare face": (f"kind: hat, {SIZE}, lined: no, cover: 1/2 in", "face shows"),
    "screws in a bare face": (
        f"kind: hat, {SIZE}, lined: no, screws: {{spacing: 6 in, diameter: 4 mm}}", "face shows"),
    "feet of a C": (f"kind: C, {SIZE}, foot: 15 mm", "feet of a hat only"),
    "strip of air": (f"kind: hat, {SIZE}, strip: air gap 10 mm", "solid strip"),
    "strip of foil": (f"kind: hat, {SIZE}, strip: foil", "solid strip"),
    "strip of nonsense": (f"kind: hat, {SIZE}, strip: rubbr 3 mm", "rubber"),
    "no unit": (f"kind: hat, {SIZE.replace('30 mm', '30')}", "mm"),
    "negative": (f"kind: hat, {SIZE}, cover: -3 mm", "0 mm to 150 mm"),
    "a word": ("hat", "a section"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_ribs_that_cannot_be_are_refused_by_name(name):
    text, said = BAD[name]
    written = text if text == "hat" else f"{{{text}}}"
    with pytest.raises(SheetError) as error:
        loads_text(TEXT % f", ribs: {written}", "x.yaml")
    message = str(error.value)
    assert message.startswith("x.yaml, line 2, body.ribs")
    assert said in message
    assert "\n" not in message


@pytest.mark.parametrize("guess", ["rib share: 10 %", "rib bridging: 1.5"])
def test_a_share_beside_ribs_is_refused(guess):
    with pytest.raises(SheetError, match="not known"):
        loads_text(TEXT % f", {guess}, ribs: {{{HAT}}}")
