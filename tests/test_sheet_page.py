"""docs/sheet.md lists every key of the sheet as the models have it."""

from __future__ import annotations

import re

from tests.sheet_page import PAGE, page
from vanclimate.report.key_meanings import MEANINGS, meaning
from vanclimate.report.sheet_words import key_words, sections, shown_beside
from vanclimate.units import both
from vanclimate.van.battery import Battery
from vanclimate.van.parts import Body, People
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet
from vanclimate.van.windows import Window

TEXT = PAGE.read_text(encoding="utf-8")


def test_the_tables_are_those_of_the_models():
    assert page() == TEXT, "run: python -m tests.sheet_page --write"


def test_every_key_of_every_section_has_its_row():
    for part in sections():
        for name in part.model_fields:
            assert f"| `{name.replace('_', ' ')}` |" in TEXT


def test_every_key_has_a_meaning_and_no_meaning_is_of_no_key():
    known = set()
    for part in sections():
        for name in part.model_fields:
            assert meaning(part, name)
            owner = next(x for x in part.__mro__ if name in MEANINGS.get(x.__name__, {}))
            known.add((owner.__name__, name))
    assert {(owner, name) for owner, rows in MEANINGS.items() for name in rows} == known


def test_a_row_says_limits_default_reason_and_what_settles_it():
    words = key_words(People, "limit")
    assert words.holds == "a temperature, 15 °C to 35 °C (59 °F to 95 °F)"
    assert words.default == "26 °C (78.8 °F)"
    assert words.why.startswith("assumed: the warmest operative temperature")
    assert words.settle == "ask the client"
    shown = shown_beside(People, "limit")
    assert "Such as 75 F, 24 C." in shown
    assert shown.endswith("What settles it: ask the client.")


def test_what_must_be_given_says_so():
    assert key_words(Window, "area").default == ""
    assert "It must be given" in shown_beside(Window, "area")
    assert key_words(Sheet, "month").default == "July"


def test_another_kind_has_its_own_reason():
    assert "of AGM: nominal: six cells of 2 V" in key_words(Battery, "voltage").why
    assert "of a trailer or truck body: assumed: sandwich" in key_words(Body, "rib_share").why


def test_a_default_of_the_page_is_that_of_a_sheet():
    sheet = loads_text("site: miami\nbody: long high van\nstacks: {roof: [plywood 6 mm], "
                       "walls: [plywood 6 mm], floor: [plywood 6 mm]}\n")  # fmt: skip
    bank = sheet.battery
    assert key_words(Battery, "capacity").default == both(bank.capacity, "charge")
    said = key_words(Battery, "discharge_limit").default
    assert both(bank.discharge_limit, "current") in said


def test_no_table_is_broken():
    for line in TEXT.splitlines():
        if line.startswith("| `"):
            cells = len(re.findall(r"(?<!\\)\|", line)) - 1
            assert cells in (3, 4), line
