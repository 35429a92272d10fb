"""What is refused of a user's own library, and how it is told.

Every figure in these files is invented; they check that a fault is found, not what a value does.
"""

from __future__ import annotations

import re
from contextlib import suppress
from pathlib import Path

import pytest

from tests.van.test_library import ROWS, VAN, line_in, shop_in
from vanclimate.errors import SheetError
from vanclimate.van.library import library_of
from vanclimate.van.reading import load


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return shop_in(tmp_path)


@pytest.mark.parametrize("path", ["shop/no-such.yaml", "shop", "[a, list]", "''"])
def test_a_library_that_is_not_there_is_told_at_the_sheets_line(folder, path):
    (folder / "van.yaml").write_text(VAN.replace("shop/my-library.yaml", path))
    with pytest.raises(SheetError) as caught:
        load(folder / "van.yaml")
    assert (caught.value.file, caught.value.line) == ("van.yaml", 1)
    assert caught.value.key == "library"


@pytest.mark.parametrize(
    ("raw", "found"),
    [
        (b"\x89PNG\r\n\x1a\n\x00", "byte 0x89"),
        (b"materials:\n\t- x", "a tab"),
        (b"materials: [" + b"x, " * 400_000 + b"]", "over 1 MB"),
        (b"", "an empty"),
        (b"- a\n- b\n", "a list"),
        (b"materials: {name: x\n", "not closed"),
    ],
    ids=["binary", "tab", "too large", "empty", "a list", "broken"],
)
def test_a_file_that_is_no_library_is_one_line(folder, raw, found):
    (folder / "shop" / "my-library.yaml").write_bytes(raw)
    with pytest.raises(SheetError) as caught:
        load(folder / "van.yaml")
    assert found in str(caught.value)
    assert "my-library.yaml" in str(caught.value)
    assert "\n" not in str(caught.value)


BOARD = "conductivity: 0.03 W/m·K, density: 30 kg/m3, specific heat: 1400 J/kg·K"
ROW = f"materials: [{{name: slab, {BOARD}, source: x}}]"
CASES = {
    "unknown section": ("paints: [x]", "paints", "materials, stacks, bodies, equipment, loads"),
    "no list": ("loads: my pump", "no list", "a list of 1 to 200 rows"),
    "no rows": ("loads: []", "0 rows", "a list of 1 to 200 rows"),
    "no row": ("loads: [my pump]", "my pump", "a row of keys"),
    "no name": ("loads: [{power: 3 W, source: x}]", "nothing", "'name:' and its text"),
    "no source": ("loads: [{name: lamp of mine, power: 3 W}]", "nothing", "'source:' and its text"),
    "no value": ("loads: [{name: lamp of mine, source: x}]", "no value", "power, kind, when"),
    "unknown key": (ROW.replace("density", "densty"), "densty", "density"),
    "missing unit": (ROW.replace("0.03 W/m·K", "0.03"), "0.03", "W/m·K"),
    "out of range": (ROW.replace("30 kg/m3", "99999 kg/m3"), "99999 kg/m3", "12000 kg/m3"),
    "a key missing": (ROW.replace("density: 30 kg/m3, ", ""), "nothing", "'density:'"),
    "a shipped material": (ROW.replace("slab", "Foam-Board"), "Foam-Board", "never replaced"),
    "a shipped load": ("loads: [{name: kettle 2, power: 1 kW, source: x}]", "kettle 2", "never"),
    "a shipped stack": ("stacks: [{name: Xps, layers: none, source: x}]", "Xps", "never"),
    "the sheet's own": ("stacks: [{name: your own, layers: none, source: x}]", "your own", "never"),
    "a shipped body": ("bodies: [{name: trailer, length: 3 m, source: x}]", "trailer", "never"),
    "a shipped kind": ("equipment: [{name: agm, what: battery, capacity: 90 Ah, source: x}]",
                       "agm", "never"),
    "a name twice": (f"materials: [{{name: slab, {BOARD}, source: x}}, {{name: Slab, {BOARD}, "
                     "source: x}]", "Slab", "each name once; it stands in line 1 too"),
    "a name with figures": (ROW.replace("slab", "slab 25"), "slab 25", "without figures"),
    "a name with a comma": (ROW.replace("slab", "'slab, thin'"), "slab, thin", "without ,"),
    "a word as name": ("loads: [{name: inverter, power: 3 W, source: x}]", "inverter", "else"),
    "unknown equipment": ("equipment: [{name: my saw, what: saw, source: x}]", "saw", "inverter"),
    "equipment that is not enough": (
        "equipment: [{name: my unit, what: air conditioner, power: 900 W, source: x}]", "nothing",
        "'capacity:'"),
    "a film without sd": (ROW.replace("source", "film: yes, source"), "nothing", "'sd:'"),
    "a stack of nothing": ("stacks: [{name: mine, whole: yes, source: x}]", "nothing", "layers"),
    "an unknown layer": ("stacks: [{name: mine, layers: [plwood 3 mm], source: x}]", "plwood 3 mm",
                         "a layer"),
    "a body without height": ("bodies: [{name: mine, length: 3 m, width: 2 m, source: x}]",
                              "nothing", "'height:'"),
    "a long source": (ROW.replace("source: x", f"source: {'x' * 301}"), "xxx", "300 letters"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "found", "allowed"), CASES.values(), ids=CASES)
def test_a_row_that_cannot_be_is_told_with_its_line(text, found, allowed):
    with pytest.raises(SheetError) as caught:
        library_of(f"# mine\n\n{text}\n".replace("line 1 ", "line 3 "), "mine.yaml")
    error = caught.value
    assert (error.file, error.line) == ("mine.yaml", 3)
    assert found in str(error.found)
    assert allowed.replace("line 1", "line 3") in f"{error.allowed}"
    assert "\n" not in str(error)


def test_a_key_that_is_missing_hides_no_other_fault():
    with pytest.raises(SheetError) as caught:
        library_of("materials: [{name: slab, conductivity: 0.03, density: 5, source: x}]", "mine")
    keys = {error.key for error in (caught.value, *caught.value.others)}
    assert keys == {f"materials (slab).{x}" for x in ("conductivity", "density", "specific heat")}


def test_all_that_is_wrong_is_told_at_once():
    wrong = ROWS.replace("0.022 W/m·K", "0.022").replace("45 W", "45").replace("plate}", "''}", 1)
    with pytest.raises(SheetError) as caught:
        library_of(wrong, "mine.yaml")
    parts = ("conductivity:", "- {name: my quiet unit", "- {name: my pump")
    lines = [error.line for error in (caught.value, *caught.value.others)]
    assert lines == [line_in(wrong, part) for part in parts]
    assert "and 2 more problems in this library" in str(caught.value)


ODD = ["[a, b]", "{x: y}", "''", "-5 kg/m3"]


@pytest.mark.parametrize("odd", ODD)
def test_odd_values_anywhere_are_told_line_by_line(odd):
    lines = ROWS.splitlines()
    for i, line in enumerate(lines):
        for match in re.finditer(r": ([^,}\]]+)", line):
            bent = line[: match.start(1)] + odd + line[match.end(1) :]
            with suppress(SheetError):  # anything else would end the test
                library_of("\n".join([*lines[:i], bent, *lines[i + 1 :]]), "mine.yaml")
