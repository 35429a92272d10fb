"""The store of water of a zone."""

import pytest

from vanclimate.network.buffer import Face, buffer_of
from vanclimate.network.shell import shell_of
from vanclimate.physics.air import saturation_humidity_ratio
from vanclimate.van.layers import Layer, finish_stack
from vanclimate.van.reading import loads_text

VAN = """\
site: miami
body: {length: 3.6 m, width: 1.78 m, height: 1.88 m}
stacks:
  roof: [steel 0.9 mm, XPS 1 in, plywood 6 mm]
  walls: [steel 1 mm, glass wool 50 mm, plywood 6 mm]
  floor: [steel 1.2 mm, XPS 1 in, plywood 12 mm]
"""


def face(area: float, *texts: str) -> Face:
    return Face(area, finish_stack(tuple(Layer.model_validate(t) for t in texts)))


def test_a_plywood_lining_by_hand() -> None:
    # ξ 80 kg/m³, μ 120, 2339 Pa at 20 °C: d = sqrt(2e-10·2339·86400 / (π·120·80)) = 1.158 mm;
    # store 0.0926 kg/m². Inner: 2e-10/(120·0.579e-3) 101325/0.621945 = 4.69e-4 kg/m²s;
    # film 3/907.9 = 3.304e-3; together 4.107e-4
    got = buffer_of([face(10.0, "steel 1 mm", "XPS 1 in", "plywood 6 mm")], 0.0, 0.0)
    assert got.capacity == pytest.approx(0.926, abs=0.002)
    assert got.conductance == pytest.approx(4.107e-3, rel=0.005)


def test_foam_steel_and_plastic_hold_no_water() -> None:
    got = buffer_of([face(10.0, "steel 1 mm", "XPS 1 in", "ABS 3 mm")], 0.0, 0.0)
    assert got == (0.0, 0.0)


def test_paint_slows_and_a_film_shuts_the_store() -> None:
    stack = ("steel 1 mm", "XPS 1 in", "plywood 6 mm")
    bare, painted, shut = (
        buffer_of([face(10.0, *stack, *coat)], 0.0, 0.0).conductance
        for coat in ((), ("paint",), ("vapour barrier film",))
    )
    assert bare > painted > 50 * shut > 0.0


def test_wool_behind_a_tight_lining_takes_no_part() -> None:
    behind = ("steel 1 mm", "sheep wool 50 mm")
    open_ = buffer_of([face(10.0, *behind)], 0.0, 0.0)
    shut = buffer_of([face(10.0, *behind, "PVC 3 mm")], 0.0, 0.0)
    assert open_.capacity > 0.5
    assert shut.capacity == 0.0


def test_furnishing_adds_wood_and_textiles() -> None:
    none, some = buffer_of([], 0.0, 10.0), buffer_of([], 400.0, 10.0)
    assert none == (0.0, 0.0)
    # textiles 8 % of 400 kg at 0.10, and 10 m² of wood
    assert some.capacity == pytest.approx(3.2 + 0.926, abs=0.01)
    # textiles alone follow in six hours
    full = float(saturation_humidity_ratio(20.0, 101325.0))
    assert some.conductance > 3.2 / full / (6 * 3600.0)


def test_a_sheets_linings_and_furnishing_are_its_zones_store() -> None:
    shell = shell_of(loads_text(VAN))
    (living,) = shell.zones
    faces = [Face(s.area, s.layers) for s in shell.surfaces]
    whole = buffer_of(faces, living.furnishing_mass, living.furnishing_area)
    assert living.buffer_capacity == pytest.approx(whole.capacity)
    assert living.buffer_conductance == pytest.approx(whole.conductance)
    # more than ten times what its air holds from dry to damp: 12 m3 at 20 °C about 0.21 kg
    assert living.buffer_capacity > 10 * living.volume * 1.2 * 0.0147
