"""docs/answers.md shows what the commands print."""

from __future__ import annotations

import re

import pytest

from tests.answers_page import PAGE, TABLE, commands, output, shown, unknowns

NUMBER = re.compile(r"[−-]?[\d,]+(?:\.\d+)?(?:e[−-]\d+)?")


@pytest.mark.slow
@pytest.mark.parametrize("command", commands())
def test_the_page_shows_what_is_printed(command):
    """Line by line; what is left over of a balance is rounding, and differs by the machine."""
    now, then = output(command).splitlines(), shown(command).splitlines()
    assert now[0] == then[0]
    assert [without_rest(line) for line in now] == [without_rest(line) for line in then]


def without_rest(line: str) -> str:
    """Return a line; of a balance without its figures, and without how far a sign moves them."""
    return " ".join(NUMBER.sub("0", line).split()) if " yes" in line else line


def test_the_unknowns_are_those_of_the_code():
    (table,) = TABLE.findall(PAGE.read_text(encoding="utf-8"))
    assert unknowns() in table, "run: python -m tests.answers_page"
