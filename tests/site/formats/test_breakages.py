"""Every way to break a file meets one clear line, and the page shows just these."""

import pytest

from tests.site.breakages import BREAKAGES, DOC, page, said

WHOLE_FILE = {
    "nothing in it", "a spreadsheet under the name of a CSV", "gzip that ends early",
    "29 February in a typical year", "a typical year that ends in October",
    "two stations in one folder", "the same day twice in one folder", "JSON with an hour twice",
    "no humidity of any kind",
}  # fmt: skip


def test_there_are_at_least_thirty():
    assert len({b.what for b in BREAKAGES}) == len(BREAKAGES) >= 30


@pytest.mark.parametrize("breakage", BREAKAGES, ids=lambda b: b.what)
def test_a_broken_file_meets_one_line_with_its_place(tmp_path, breakage):
    message = said(breakage, tmp_path)
    assert len(message.splitlines()) == 1
    assert message.startswith(breakage.file)
    assert "found '" in message
    assert "; allowed: " in message
    if breakage.what not in WHOLE_FILE:
        assert ", row " in message or ", column " in message


def test_the_page_shows_what_is_said():
    assert DOC.read_text(encoding="utf-8") == page()
