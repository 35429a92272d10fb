"""The schema of a sheet takes what the reader takes, and marks what is commonly mistyped."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.van.core_yaml import core, scalar
from vanclimate.errors import SheetError, UnitError
from vanclimate.report.sheet_words import schema_text
from vanclimate.units import KINDS, parse, show
from vanclimate.van.bodies import KINDS as BODIES
from vanclimate.van.fields import specs
from vanclimate.van.json_schema import needed_keys, sections
from vanclimate.van.layers import Layer
from vanclimate.van.new_sheet import SCHEMA, USES, Spot, Start, new_sheet_text
from vanclimate.van.own_texts import PARTS, READERS
from vanclimate.van.reading import loads_text
from vanclimate.van.text_patterns import quantity_pattern, whole_text
from vanclimate.van.textfile import read_tree

ROOT = Path(__file__).parents[2]
SHIPPED = json.loads(SCHEMA.read_text(encoding="utf-8"))
VALIDATOR = jsonschema.Draft7Validator(SHIPPED)
SHEETS = [*sorted((ROOT / "scenarios").glob("*.yaml")), ROOT / "tests" / "van" / "good.yaml"]
SMALL = """\
site: miami
body: {length: 12 ft, width: 70 in, height: 74 in}
stacks: {roof: [steel 1 mm, XPS 1 in], walls: [steel 1 mm, XPS 1 in], floor: [plywood 1/2 in]}
"""


def faults(tree: Any) -> list[str]:
    """Return what an editor would mark, each with the way to it."""
    found = []
    for error in VALIDATOR.iter_errors(tree):
        best = jsonschema.exceptions.best_match([error])
        found.append(f"{'.'.join(map(str, best.absolute_path))}: {best.message[:200]}")
    return found


def texts_alone(text: str) -> Any:
    """Return a sheet with every scalar a text, as one that quotes them all would have it."""
    return read_tree(text, "sheet").plain()


def test_it_is_a_schema_of_its_draft():
    jsonschema.Draft7Validator.check_schema(SHIPPED)


def test_the_file_that_is_shipped_is_that_of_the_models():
    assert schema_text() == SCHEMA.read_text(encoding="utf-8"), (
        "run: python -m tests.schema_file --write"
    )


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_it_takes_a_sheet_that_is_shipped(path):
    text = path.read_text(encoding="utf-8")
    assert faults(core(text)) == []
    assert faults(texts_alone(text)) == []


@pytest.mark.slow
@pytest.mark.parametrize("kind", BODIES, ids=lambda kind: kind.name)
def test_it_takes_every_new_sheet(kind):
    for use in USES:
        text = new_sheet_text(Start(Spot("miami"), kind.name, use))
        assert faults(core(text)) == []
        assert faults(texts_alone(text)) == []


TAKEN = [  # spellings that the reader takes
    "Heading: sw", "FRESH-AIR: 10 CFM", "fresh_air: 10 cfm", "stay: 12 July to 26 July",
    "month: 7", "month: jul", "night: 07-15", "night: July 15, 2019", "heading: 210°",
    "site: {place: miami, years: typical}", "people: {sleepers: 3, bedtime: 10:30 pm}",
    "people: {bedtime: 7 a.m., waking: 3 pm}", "body: long high-roof van",
    "battery: {capacity: 2.5 kWh at 12.8 V, reserve: 0.1}", "battery: {charge at bedtime: full}",
    "heater: none", "heater: {output: 2 kW, floor: 3000 BTU/h, when: night}",
    "alternator: 220 amps", "alternator: none", "water: 20 gal", "shade: 40 %", "shade: 0.4",
    "shade: Heavy-Tree", "doors: none", "fans: {by day: no, flow: 900 CFM}",
    "fans: {curve: [0 Pa at 900 CFM, 60 Pa at 0 CFM]}", "loads: [kettle, lights 2]",
    "loads: [{name: 12, power: 4 A at 12 V, when: [18:30 to 19:00, 7:00 to 7:20]}]",
    "rules: [lights only above 40 %]", "remedies: [roof panels, battery 50 Ah up to 200 Ah]",
    "prices: {XPS: 14 EUR per m2, sheep's wool: 600/m3}", "note: 2024",
    "roof panels: {power: 2 x 200 W}", "name: null", "name: true",
    "windows: [{name: dome, side: roof, area: 16 in x 16 in, glass: smoked dome}]",
    "windows: [{name: a, side: left, area: 30 x 18 in}]", "windows: none", "vents: {high: 4 sq in}",
    "inverter: {cable size: 1/0 AWG, cable length: 3'}", "inverter: {cable size: 00}",
    "roof panels: {power: 400 W, shaded: '1 of 4, 15:00 to 18:00'}",
    "ground panel: {power: 120 W, facing: noon}", "appliances: room-sealed",
    "trip: ['12 July, 3 nights']", "dc charger: 2 x 30 A\nalternator: 220 A",
    "driving: 2 h every 2nd day from 16:00", "shore: night", "shore: {inlet: 30 A, hours: always}",
    "spare circuits: [{name: x, planned: 40 W, fuse: 10 A, wire: 35 mm², length: 12 ft}]",
    "site: {design day: {low: 70 F, high: 92 °F, humidity: 0.6, latitude: 38, date: 15 July}}",
    "site: {design week: {lows: [70, 71 F], highs: [90, 92 F], humidity: 60 %, latitude: 38, "
    "date: 07-15}}",
    "stacks: {roof: [{material: plywood, thickness: 6 mm}], walls: [20 gauge steel, kraft facing],"
    " floor: [R-13 glass wool in 2 in]}",
    "stacks to try: [sheep wool 2 in, {name: bare, layers: none}]",
    "cab: thick curtain", "cab: {divider: open, length: 1-1/2 yd}", "units: metric",
]  # fmt: skip


@pytest.mark.parametrize("line", TAKEN)
def test_it_takes_a_spelling_that_the_reader_takes(line):
    text = with_line(line)
    loads_text(text)
    assert faults(core(text)) == []
    assert faults(texts_alone(text)) == []


def with_line(line: str) -> str:
    """Return the small sheet with a line more, or in place of its own."""
    key = line.split(":")[0].casefold()
    return "".join(x for x in SMALL.splitlines(True) if x.split(":")[0] != key) + line + "\n"


SLIPS = [  # what is commonly mistyped, each refused by the reader too
    "batery: {capacity: 200 Ah}", "ac: {capacity: 4 kW}", "month: Juli", "month: 13", "night: warm",
    "units: imperial", "heading: sou", "body: {length: 12, width: 70 in, height: 74 in}",
    "body: {length: 12 kg, width: 70 in, height: 74 in}", "body: long tall van",
    "body: {length: 12 ft, width: 70 in, hight: 74 in}", "stacks: {roof: [steel 1 mm]}",
    "stacks: {roof: [plywood], walls: [plywood 6 mm], floor: [plywood 6 mm]}",
    "stacks: {roof: [plywood 6], walls: [plywood 6 mm], floor: [plywood 6 mm]}",
    "stacks: {roof: steel 1 mm, walls: [plywood 6 mm], floor: [plywood 6 mm]}",
    "people: {bedtime: 22}", "people: {sleepers: two}", "people: {sleepers: 9}",
    "people: {limit: 79}", "people: two", "fresh air: 7.5", "fresh air: 7.5 m",
    "air conditioner: {capacity: 13.5, setpoint: 75 F}", "air conditioner: rooftop",
    "air conditioner: {capacity: 4 kW, blower: auto}",
    "air conditioner: {capacity: 4 kW, by day: hold 80}", "battery: 200 Ah",
    "battery: {capacity: 200}", "battery: {capacity: 200 A}", "battery: {reserve: 10}",
    "battery: {kind: LFP}", "heater: {fuel: kerosene}", "heater: {when: evenings}",
    "heater: {tank: 2.5}", "windows: [{side: left, area: 0.4 m2}]",
    "windows: [{name: a, side: top, area: 0.4 m2}]", "windows: [left]", "windows: left",
    "windows: [{name: a, side: left, area: 30 x 18}]",
    "windows: [{name: a, side: left, area: 0.4 m2, glass: tripel}]",
    "windows: [{name: a, side: left, area: 0.4 m2, cover: insulated, covered: nights}]",
    "loads: {fridge: 55 W}", "loads: [{power: 55 W}]", "loads: [{name: a, power: 55}]",
    "loads: [{name: a, power: 5 A}]", "loads: [{name: a, power: 5 W, when: 18:00}]",
    "loads: [{name: a, power: 5 W, feed: mains}]", "remedies: [bigger bank]", "fans: {count: one}",
    "fans: {by day: maybe}", "inverter: {cable size: 12}", "alternator: 220", "driving: 3",
    "shore: mains", "water: 20", "roof panels: 400 W", "roof panels: {power: 400}",
    "site: {place: miami, terrain: forest}", "site: {years: 2019-7, plac: miami}", "shade: tree",
    "prices: {XPS: 14}", "prices: {XPS: [14 per m2]}", "doors: {open for: 20}",
    "trip: [{nights: three}]", "spare circuits: [{name: x, fuse: 10, wire: 14 AWG, length: 1 m}]",
    "vents: {high: 4}", "cab: {divider: wall}", "appliances: gas",
]  # fmt: skip


@pytest.mark.parametrize("line", SLIPS)
def test_it_marks_a_slip_that_the_reader_refuses(line):
    text = with_line(line)
    assert faults(core(text)) != []
    with pytest.raises(SheetError):
        loads_text(text)


OWN_ROWS = [  # what names a row of the user's own library
    "battery: my bank", "battery: {kind: my bank}", "dc charger: my charger",
    "dc charger: {kind: my charger, zone: living}", "body: my box", "body: {kind: my box}",
    "air conditioner: my unit", "heater: {kind: my heater, tank: 5 L}", "shore: my inlet",
]  # fmt: skip


@pytest.mark.parametrize("line", OWN_ROWS)
def test_a_row_of_ones_own_is_taken_beside_a_library_alone(line):
    text = with_line(line)
    assert faults(core(f"{text}library: mine.yaml\n")) == []
    assert faults(core(f"{text}Library: mine.yaml\n")) == []
    if line not in ("dc charger: {kind: my charger, zone: living}", "shore: my inlet"):
        assert faults(core(text)) != []


@pytest.mark.parametrize("key", ["site", "body", "stacks"])
def test_it_marks_what_is_missing(key):
    text = "".join(x for x in SMALL.splitlines(True) if not x.startswith(f"{key}:"))
    said = [e.message for error in VALIDATOR.iter_errors(core(text)) for e in inner(error)]
    assert f"'{key}' is a required property" in said


def inner(error: jsonschema.ValidationError) -> Iterator[jsonschema.ValidationError]:
    """Yield an error and all that it is made of."""
    yield error
    for part in error.context or ():
        yield from inner(part)


def test_what_it_says_of_a_slip_says_what_is_allowed():
    said = SHIPPED["definitions"]["length"]["patternErrorMessage"]
    assert said.startswith("allowed: a length with its unit: m, mm, in")
    beside = SHIPPED["definitions"]["Body.width"]["description"]
    assert "0.8" in beside or "800 mm to 3 m (31.5 in to 9.843 ft)" in beside
    assert "a tape measure" in beside


FIELDS = [(part, name, spec) for part in sections() for name, spec in specs(part).items()]


def test_every_reader_of_its_own_has_its_words():
    plain = {spec.read.__qualname__.split(".")[0] for _, _, spec in FIELDS}
    assert plain >= {"quantity", "choice", "whole", "words_of", "clock"}
    own = {
        spec.read for _, _, spec in FIELDS
        if "<locals>" not in spec.read.__qualname__ and "<lambda>" not in spec.read.__qualname__
    }  # fmt: skip
    assert own <= set(READERS)


def test_every_part_that_takes_a_text_has_its_words():
    takes = {
        part for part in sections()
        for found in part.__pydantic_decorators__.model_validators.values()
        if found.info.mode == "before"
    }  # fmt: skip
    assert {part.__name__ for part in takes} - {part.__name__ for part in PARTS} == {"Prices"}


def test_a_key_that_must_be_given_is_one_that_the_reader_misses():
    assert needed_keys(Layer) == ("material",)
    for part in sections():
        for name in needed_keys(part):
            assert part.model_fields[name].is_required()


def _definition(part: type, name: str) -> jsonschema.Draft7Validator:
    ref = {"$ref": f"#/definitions/{part.__name__}.{name}"}
    return jsonschema.Draft7Validator({**ref, "definitions": SHIPPED["definitions"]})


QUANTITIES = [(p, n, s) for p, n, s in FIELDS if s.kind is not None and s.bounds is not None]


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(QUANTITIES), st.floats(0, 1), st.sampled_from(["si", "us"]))
def test_it_takes_any_value_within_its_limits_as_it_is_written(field, share, system):
    part, name, spec = field
    low, high = spec.bounds
    written = spec.write(low + share * (high - low), system)
    found = _definition(part, name)
    assert found.is_valid(written)
    if KINDS[spec.kind].bare:
        value = scalar(written.rstrip(" %"))
        assert found.is_valid(value if "%" not in written else low + share * (high - low))


CHOICES = [(p, n, w) for p, n, s in FIELDS for w, _ in s.words]


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(CHOICES), st.sampled_from([str, str.upper, str.title]), st.booleans())
def test_it_takes_any_word_in_any_case(choice, case, hyphens):
    part, name, word = choice
    spelt = case(word).replace(" ", "-" if hyphens else " ")
    assert _definition(part, name).is_valid(spelt)
    assert _definition(part, name).is_valid(scalar(word))


UNITS = sorted({unit for kind in KINDS.values() for unit in (*kind.si, *kind.us)} | {
    "", "yd", "mil", "gauge", "ga.", "deg F", "°C", "celsius", "x 18 in", "by 2 ft", "at 12 V",
    "ft 6 in", "ft 6", "' 6\"", "mi/h", "perm", "/in", "MPa", "dm", "kohm", "R", "SW",
})  # fmt: skip
NUMBERS = [
    "3",
    "-3",
    "1.5",
    ".5",
    "1,200",
    "1/2",
    "1-1/2",
    "1 1/2",
    "1e3",
    "2.",
    "R-13",
    "R6",
    "−2",
]
MATCHERS = {kind: re.compile(whole_text(quantity_pattern(kind))) for kind in KINDS}


@pytest.mark.slow
@settings(max_examples=3000, deadline=None)
@given(
    st.sampled_from(sorted(KINDS)), st.sampled_from(NUMBERS), st.sampled_from(["", " ", "-"]),
    st.sampled_from(UNITS), st.sampled_from([str, str.upper, str.lower]),
)  # fmt: skip
def test_a_pattern_takes_whatever_is_read_as_a_quantity(kind, number, between, unit, case):
    text = f"{number}{between}{case(unit)}"
    try:
        parse(text, kind)
    except UnitError:
        return
    assert MATCHERS[kind].search(text), text


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_pattern_wants_a_unit_of_its_kind(kind):
    for text in ("3", "3 parsnips%", "three", ""):
        if not (KINDS[kind].bare and text == "3"):
            assert not MATCHERS[kind].search(text) or KINDS[kind].pint_unit, text
    other = "3 kg" if kind != "mass" else "3 Ah"
    assert not MATCHERS[kind].search(other)
    assert MATCHERS[kind].search(show(3.0, kind, "us"))
