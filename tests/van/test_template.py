"""The starting sheet: every commented section and key of it works as it is written."""

from __future__ import annotations

import re

import pytest

from vanclimate.answers.checks import check_sheet
from vanclimate.van import new_sheet_text
from vanclimate.van.reading import loads_text
from vanclimate.van.sheet import Sheet

TEXT = new_sheet_text()
SECTIONS = (
    "heater", "electric heater", "ground panel", "alternator", "second alternator", "dc charger",
    "driving", "shore", "rules", "spare circuits", "doors", "appliances",
    "stacks to try", "prices",
)  # fmt: skip
ELSEWHERE = {"fresh_air_fan", "shade", "stay", "windows"}  # said in another line, or in passing


def opened(text: str, name: str) -> str:
    """Return the sheet with one commented section of its own taken in, and what belongs to it."""
    lines, inside = [], False
    for line in text.split("\n"):
        if line.startswith(f"# {name}:"):
            inside = True
        elif not re.match(r"#   ", line):
            inside = False
        lines.append(line[2:] if inside else line)
    return "\n".join(lines)


@pytest.mark.parametrize("name", SECTIONS)
def test_each_commented_section_stands_once_and_works_as_written(name):
    assert len(re.findall(rf"^#? ?{name}:", TEXT, re.MULTILINE)) == 1
    text = opened(TEXT, name)
    if name == "dc charger":
        text = opened(text, "alternator")
    sheet = loads_text(text)
    check_sheet(sheet)
    assert sheet.value_of(name) not in (None, (), "none") or name == "appliances"


def test_all_of_them_work_together():
    text = TEXT
    for name in SECTIONS:
        text = opened(text, name)
    sheet = loads_text(text)
    check_sheet(sheet)
    assert sheet.dc_charger is not None
    assert len(sheet.rules) == 4
    assert len(sheet.spare_circuits) == 1


POWER = TEXT[TEXT.index("\nbattery:") : TEXT.index("\n# ground panel:")]
KEYS = re.findall(r"^  # ([a-z][a-z ]*): [^#\n]+#", POWER, re.MULTILINE)


@pytest.mark.parametrize("key", KEYS)
def test_each_commented_key_of_bank_inverter_and_panels_works_as_written(key):
    taken = POWER.replace(f"  # {key}:", f"  {key}:", 1)
    assert taken != POWER
    sheet = loads_text(opened(TEXT, "garage").replace(POWER, taken))
    check_sheet(sheet)
    assert key in _keys(sheet)


def _keys(sheet: Sheet) -> set[str]:
    """Return every key of the sheet's sections that was given."""
    found: set[str] = set()
    stack = [sheet]
    while stack:
        part = stack.pop()
        for name in part.model_fields_set:
            found.add(name.replace("_", " "))
            value = getattr(part, name)
            values = value if isinstance(value, tuple) else (value,)
            stack += [v for v in values if hasattr(v, "model_fields_set")]
    return found


def test_every_section_of_a_sheet_is_in_it():
    named = {k.replace(" ", "_") for k in re.findall(r"^#? ?([a-z][a-z ]*):", TEXT, re.MULTILINE)}
    assert set(Sheet.model_fields) - named <= ELSEWHERE
