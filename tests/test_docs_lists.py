"""Pages list what the code says."""

from __future__ import annotations

import pytest

from tests.docs_lists import DOCS, GROUPS, LISTS, PIECES, all_names, page


@pytest.mark.parametrize("name", LISTS)
def test_a_list_is_the_code_s(name):
    shown = (DOCS / LISTS[name][0]).read_text(encoding="utf-8")
    assert shown == page(name), "run: python -m tests.docs_lists"


def test_every_caution_stands_under_a_heading_once():
    placed = [name for names in GROUPS.values() for name in names.split()]
    assert sorted([*placed, *PIECES]) == sorted(all_names())
