"""Described ribs in the network: their heat, their mass, their coldest face, and what is told."""

import numpy as np
import pytest

from vanclimate.network.compile import compile_shell
from vanclimate.network.resistance import RSE, RSI
from vanclimate.network.shell import shell_of
from vanclimate.network.summary import summarise
from vanclimate.van.reading import loads_text

TEXT = """\
site: miami
heading: S
units: si
body: {{length: 3.6 m, width: 1.78 m, height: 1.88 m{more}}}
stacks:
  roof: [steel 0.9 mm, sprayed foam 50 mm, plywood 6 mm]
  walls: [steel 0.8 mm, sprayed foam 38 mm, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 1 in, plywood 1/2 in]
windows: none
"""
HAT = "{kind: hat, depth: 30 mm, width: 40 mm, spacing: 400 mm, sheet: 1 mm, foot: 15 mm}"
BARE = HAT.replace("}", ", cover: none}")


def model_of(more=""):
    return compile_shell(shell_of(loads_text(TEXT.format(more=more))))


def surfaces(model, side):
    return [s for s in model.shell.surfaces if s.side == side]


@pytest.mark.parametrize("ribs", [HAT, BARE])
@pytest.mark.parametrize("side", ["left", "roof"])
def test_a_side_passes_what_its_section_passes(ribs, side):
    model = model_of(f", ribs: {ribs}")
    cavity, across = surfaces(model, side)
    area = cavity.area + across.area
    assert across.across_ribs
    assert not cavity.across_ribs
    (part,) = [p for p in summarise(model).sides if p.name == side]
    # 1e-4: the network takes the skin as one node without a resistance
    assert part.ua == pytest.approx(cavity.section.u_mean * area, rel=1e-4)
    assert part.ua > cavity.section.u_plain * area


def test_the_ribs_face_is_as_cold_as_the_sections_coldest_point():
    model = model_of(f", ribs: {HAT}")
    net, cavity = model.network, surfaces(model, "left")[0]
    k = next(i for i, c in enumerate(model.chains) if c.name == "left ribs")
    links = net.link[net.first[k] : net.first[k + 1] - 1]
    u = 1 / (RSI + RSE + float((net.area[k] / links).sum()))
    assert 1 - RSI * u == pytest.approx(cavity.section.factor, abs=1e-6)


def test_a_side_weighs_its_layers_and_its_ribs():
    model = model_of(f", ribs: {BARE}")
    net = model.network
    own = [i for i, c in enumerate(model.chains) if c.side == "left"]
    heat = sum(net.capacity[net.first[k] : net.first[k + 1]].sum() for k in own)
    area = float(net.area[own].sum())
    ribs = loads_text(TEXT.format(more=f", ribs: {BARE}")).body.ribs
    layers = (0.0008 * 7800 * 450, 0.038 * 40 * 1470, 0.006 * 500 * 1600)
    steel = ribs.mass * 450 / ribs.spacing
    # the rib takes the insulation's place, on its footprint or on the path's narrower strip
    share = surfaces(model, "left")[0].section.path.share
    taken = layers[1] * min(ribs.footprint / ribs.spacing, share)
    assert heat / area == pytest.approx(sum(layers) + steel - taken, rel=1e-6)


def test_each_side_has_its_own_ribs_and_the_floor_none_unless_said():
    model = model_of(f", ribs: {HAT}, roof ribs: none")
    assert [s.name for s in surfaces(model, "roof")] == ["roof"]
    assert [s.name for s in surfaces(model, "floor")] == ["floor"]
    assert [s.name for s in surfaces(model, "rear")] == ["rear cavity", "rear ribs"]
    battens = "{kind: timber, depth: 1 in, width: 40 mm, spacing: 400 mm}"
    floor = surfaces(model_of(f", floor ribs: {battens}"), "floor")
    assert [s.name for s in floor] == ["floor cavity", "floor ribs"]


def test_without_a_description_the_guess_stands_in():
    cavity, across = surfaces(model_of(), "left")
    assert cavity.section is None
    assert across.rib is None
    assert across.rib_u == pytest.approx(
        (1.5 - 1 + 0.1) / 0.1 / (RSI + RSE + 0.0008 / 50 + 0.038 / 0.026 + 0.006 / 0.13)
    )


def test_deep_ribs_give_the_path_between_them_its_air():
    model = model_of(f", ribs: {HAT.replace('30 mm', '60 mm')}")
    cavity, _ = surfaces(model, "left")
    assert [x.material for x in cavity.layers] == ["steel", "sprayed foam", "air gap", "plywood"]
    assert len(model.network.gap[model.network.gap > 0]) >= 4
    assert any("22 mm of air" in note for note in model.shell.notes)


def test_the_summary_tells_sides_that_are_built_alike_together():
    lines = summarise(model_of(f", ribs: {HAT}, roof ribs: {BARE}")).ribs
    assert {line.sides for line in lines} == {"roof", "left, right, front, rear"}
    for section in (line.section for line in lines):
        assert section.u_mean == pytest.approx(section.u_plain + section.psi / 0.4)
        assert section.factor_mould < section.factor < section.factor_plain
        assert section.factor_screw is None
    assert summarise(model_of()).ribs == ()


def test_insulation_as_installed_reaches_the_section():
    good = model_of(f", ribs: {HAT}")
    poor = model_of(f", ribs: {HAT}, installed conductivity: 1.25")
    a, b = (surfaces(m, "left")[0].section for m in (good, poor))
    assert b.u_plain > a.u_plain
    assert np.isfinite(b.psi)
