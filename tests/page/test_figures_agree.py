"""The same figures on the page, in JSON, in the CSV file and on the terminal, each of them."""

from __future__ import annotations

import pytest

from tests.page.made import QUESTIONS, made, read_page
from vanclimate.report.figure_words import figure_text

pytestmark = pytest.mark.slow
ALONE = [name for name in QUESTIONS if name != "compare"]


@pytest.mark.parametrize("name", ALONE)
def test_each_figure_is_the_same_everywhere(name):
    asked = made(name)
    told = asked.told["figures"]
    page = read_page(asked.page.read_text(encoding="utf-8"), "us").tables["Figures"]
    assert page[0] == ["", "US", "metric"]
    assert len(told) == len(asked.rows) == len(page) - 1
    for figure, row, shown in zip(told, asked.rows, page[1:], strict=True):
        value = float("nan") if figure["value"] is None else figure["value"]
        texts = [figure_text(value, figure["kind"], units) for units in ("us", "si")]
        if figure["value"] is None:  # without an end or without a value: JSON has no word for it
            assert row["value"] == ""
            assert shown[0] == row["figure"] == figure["name"]
            assert shown[1:] == [row["us"], row["si"]]
            continue
        assert float(row["value"]) == value
        assert [row["figure"], row["unit"]] == [figure["name"], figure["unit"]]
        assert [row["us"], row["si"]] == texts
        assert shown == [figure["name"], *texts]


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_first_line_is_the_same_everywhere(name):
    asked = made(name)
    verdict = read_page(asked.page.read_text(encoding="utf-8"), "us").texts["line"][0]
    assert verdict == " ".join(asked.told["first_line"].split())
    assert verdict == " ".join(asked.printed.splitlines()[0].split())


@pytest.mark.parametrize("name", QUESTIONS)
def test_each_row_of_a_table_of_the_page_is_printed_too(name):
    asked = made(name)
    printed = " ".join(asked.printed.replace("*", "").split())
    tables = read_page(asked.page.read_text(encoding="utf-8"), "us").tables
    tables.pop("Figures", None)
    rows = [row for table in tables.values() for row in table[1:]]
    assert rows
    assert [row for row in rows if not _printed(row, printed)] == []


def _printed(row: list[str], printed: str) -> bool:
    """Whether a row is printed: in one table, or in two that the page has joined."""
    cells = [cell.replace("*", "").strip() for cell in row]
    parts = [(cells, cells), *((cells[:i], [cells[0], *cells[i:]]) for i in range(2, len(cells)))]
    return any(all(" ".join(" ".join(part).split()) in printed for part in two) for two in parts)


@pytest.mark.parametrize("name", QUESTIONS)
def test_all_cautions_and_what_was_understood_are_on_the_page(name):
    asked = made(name)
    read = read_page(asked.page.read_text(encoding="utf-8"), "us")
    first = asked.told["answer"].get("first", asked.told["answer"])
    for caution in first.get("cautions", asked.told["answer"].get("cautions", [])):
        assert " ".join(caution.split()) in read.texts["li"]
    assert any("not a guarantee" in text for text in read.texts["p"])
