"""Layers, stacks and the libraries of materials and glass."""

import pytest

from vanclimate.errors import SheetError, UnitError
from vanclimate.van.layers import Layer, read_layer
from vanclimate.van.materials import MATERIALS, find_material
from vanclimate.van.reading import loads_text

VAN = """\
site: miami
body: {{length: 3.6 m, width: 1.78 m, height: 1.88 m}}
stacks:
  roof: [steel 0.9 mm, XPS 1 in, plywood 6 mm]
  walls: {walls}
  floor: [steel 1.2 mm, XPS 1 in, plywood 12 mm]
"""


def walls(text: str):
    return loads_text(VAN.format(walls=text)).stacks.walls


@pytest.mark.parametrize("material", MATERIALS, ids=lambda m: m.name)
def test_each_material_lies_in_its_plausible_range(material):
    assert material.low < material.conductivity < material.high
    assert 5 <= material.density <= 8000
    assert 400 <= material.specific_heat <= 2200
    assert 0.02 <= material.emissivity <= 0.95
    assert material.source
    assert material.insulation == (material.conductivity < 0.055)


# Handbook tables as a general reference library prints them: W/m·K, kg/m3, J/kg·K
@pytest.mark.parametrize(
    ("name", "conductivity", "density", "specific_heat"),
    [
        ("steel", (50, 50), 7800, 450), ("XPS", (0.026, 0.034), 32, 1470),
        ("EPS", (0.036, 0.036), 20, 1470), ("sprayed foam", (0.026, 0.026), 40, 1470),
        ("mineral wool", (0.040, 0.040), 32, 840), ("glass wool", (0.043, 0.047), 11, 840),
        ("plywood", (0.13, 0.13), 500, 1600), ("cork", (0.05, 0.05), 200, 1500),
        ("acrylic", (0.20, 0.20), 1050, 1500), ("PVC", (0.17, 0.17), 1390, 900),
    ],
)  # fmt: skip
def test_materials_against_the_handbook(name, conductivity, density, specific_heat):
    row = find_material(name)
    assert row is not None
    assert conductivity[0] <= row.conductivity <= conductivity[1]
    assert (row.density, row.specific_heat) == (density, specific_heat)


def test_names_are_read_in_any_spelling():
    assert find_material("Spray-Foam") is find_material("sprayed foam")
    assert find_material("nonsense") is None


@pytest.mark.parametrize(
    ("text", "material", "thickness"),
    [
        ("plywood 6 mm", "plywood", 0.006),
        ("1/2 in plywood", "plywood", 0.0127),
        ("20 gauge steel", "steel", 0.0359 * 0.0254),
        ("Sheep Wool 2 in", "sheep wool", 0.0508),
        # R-13 is 13 x 0.17611 m2K/W (US definition); at 0.045 W/m·K that is 103 mm
        ("R-13 glass wool", "glass wool", 13 * 0.176110 * 0.045),
        ("foil-faced polyiso 1 in", "foil-faced polyiso", 0.0254),
    ],
)
def test_the_short_form_of_a_layer(text, material, thickness):
    layer = Layer.model_validate(text)
    assert layer.material == material
    assert layer.thickness == pytest.approx(thickness, rel=1e-5)


def test_an_r_value_with_a_thickness_gives_the_conductivity():
    layer = Layer.model_validate("R-13 glass wool 3-1/2 in")
    # 0.0889 m / (13 x 0.17611 m2K/W)
    assert layer.conductivity == pytest.approx(0.03883, rel=1e-3)
    with pytest.raises(UnitError, match="W/m·K"):
        read_layer("R-13 glass wool 1 in")


def test_a_material_of_ones_own():
    own = (
        "{material: hemp batt, thickness: 2 in, conductivity: R-3.5/in, density: 35 kg/m3, "
        "specific heat: 1600 J/kg·K}"
    )
    layer = walls(f"[steel 1 mm, {own}]")[1]
    assert layer.material == "hemp batt"
    assert layer.conductivity == pytest.approx(0.0412, rel=1e-3)
    assert layer.insulation
    assert layer.source == "given in the sheet"
    with pytest.raises(SheetError, match="density"):
        walls("[steel 1 mm, {material: hemp batt, thickness: 2 in, conductivity: 0.04 W/mK}]")


def test_a_known_material_with_one_figure_of_ones_own():
    layer = walls("[steel 1 mm, {material: XPS, thickness: 1 in, conductivity: 0.034 W/mK}]")[1]
    assert layer.conductivity == 0.034
    assert layer.density == 32
    assert "conductivity given in the sheet" in layer.source


def test_foil_works_on_the_gap_that_it_faces():
    plain = walls("[steel 1 mm, air gap 20 mm, plywood 6 mm]")
    assert (plain[1].emissivity_outer, plain[1].emissivity_inner) == (0.90, 0.90)
    facing = walls("[steel 1 mm, air gap 20 mm, foil, XPS 1 in, plywood 6 mm]")
    assert [x.material for x in facing] == ["steel", "air gap", "XPS", "plywood"]
    assert (facing[1].emissivity_outer, facing[1].emissivity_inner) == (0.90, 0.05)
    named = walls("[steel 1 mm, foil air gap 20 mm, plywood 6 mm]")
    assert sorted((named[1].emissivity_outer, named[1].emissivity_inner)) == [0.05, 0.90]
    board = walls("[steel 1 mm, air gap 20 mm, foil-faced polyiso 1 in]")
    assert board[1].emissivity_inner == 0.05


def test_squeezed_foil_adds_nothing_and_the_sheet_says_so():
    sheet = loads_text(VAN.format(walls="[steel 1 mm, foil, XPS 1 in, plywood 6 mm]"))
    assert [x.material for x in sheet.stacks.walls] == ["steel", "XPS", "plywood"]
    assert all(x.emissivity == 0.90 for x in sheet.stacks.walls)
    assert "adds nothing" in sheet.notes[0]


def test_foil_as_the_lining_makes_the_lining_shiny():
    assert walls("[steel 1 mm, XPS 1 in, foil]")[-1].emissivity == 0.05


@pytest.mark.parametrize(
    "text",
    [
        "[]", "[foil]", "[foil, steel 1 mm]", "[steel 1 mm, air gap 20 mm]",
        "[air gap 20 mm, steel 1 mm]", "[steel 1 mm, air gap 9 mm, air gap 9 mm, plywood 6 mm]",
        "[steel 1 mm, air gap 20 in, plywood 6 mm]", "[foil plywood 6 mm]", "[R-13 steel]",
        "[R-900 glass wool]", "[steel]", "[steel 1 W]", "[6 mm]", "none", "steel 1 mm",
        "[{material: steel, thickness: 0 mm}]", "[{thickness: 1 mm}]",
        "[{material: steel, thickness: 1 mm, conductivity: -5 W/mK}]",
    ],
)  # fmt: skip
def test_stacks_that_cannot_be(text):
    with pytest.raises(SheetError) as error:
        walls(text)
    assert error.value.line == 5
    assert (error.value.key or "").startswith("stacks.walls")
