"""docs/json.md lists what the code tells."""

from __future__ import annotations

import re

import pytest

from tests.json_page import ANSWERS, PAGE, page
from vanclimate.report.json_text import FORMS, unit_of
from vanclimate.units import KINDS

UNIT = re.compile(
    r"(?:^|_)(?:c|k|ah|wh|w|v|h|hours|s|min|minutes|l|m|m2|m3|kg|g|deg|ppm|share|pmv|clo)(?:_|$)"
)


def test_the_lists_are_those_of_the_code():
    assert page() == PAGE.read_text(encoding="utf-8"), "run: python -m tests.json_page"


def test_every_question_that_has_a_form_is_listed():
    assert set(FORMS) == set(ANSWERS)


@pytest.mark.parametrize("question", ANSWERS)
def test_a_list_has_every_kind_of_row(question):
    text = PAGE.read_text(encoding="utf-8").split(f"<!-- fields of {question} -->")[1]
    rows = re.findall(r"^\| `\w+` \| .+ \|$", text.split("<!-- end -->")[0], re.MULTILINE)
    assert len(rows) > 5


@pytest.mark.parametrize("question", ANSWERS)
def test_a_number_says_its_unit_or_what_it_is(question):
    text = PAGE.read_text(encoding="utf-8").split(f"<!-- fields of {question} -->")[1]
    number = r"(?:list of (?:\d: )?|by name: )?number(?: or null)?"
    row = re.compile(rf"^\| `(\w+)` \| {number} \| (.*) \|$", re.MULTILINE)
    rows = row.findall(text.split("<!-- end -->")[0])
    assert [key for key, note in rows if not UNIT.search(key) and not note] == []


def test_every_kind_of_figure_has_a_unit():
    assert all(unit_of(kind) for kind in [*KINDS, "share", "count", "hours"])
