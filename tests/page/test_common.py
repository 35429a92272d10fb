"""What the pages share: tables cut, joined and read from the terminal's, long texts in pieces."""

from __future__ import annotations

from rich.table import Table as RichTable

from vanclimate.page import common
from vanclimate.page.parts import LONGEST, Table


def table(count: int) -> Table:
    return Table(("", "a"), tuple((str(i), f"{i}.0") for i in range(count)))


def test_a_table_is_cut_but_for_rows_that_must_stay_and_says_so():
    found = common.cut(table(40), 12, {25})
    assert [row[0] for row in found.rows] == [*map(str, range(11)), "25"]
    assert found.note == "and 28 more: the terminal and --json list all"
    assert common.cut(table(12), 12, {3}) == table(12)


def test_tables_of_the_same_things_join():
    other = Table(("", "b", "c"), (("0", "x", "y"), ("1", "z", "w")))
    found = common.joined(table(2), other)
    assert found.heads == ("", "a", "b", "c")
    assert found.rows == (("0", "0.0", "x", "y"), ("1", "1.0", "z", "w"))


def test_a_cell_of_several_words_is_read_as_one():
    cell = RichTable.grid()
    cell.add_column()
    cell.add_column()
    cell.add_row("7", "sheep wool")
    rich = RichTable("stack", "Wh")
    rich.add_row(cell, "1,200")
    assert common.as_table(rich).rows == (("7 sheep wool", "1,200"),)


def test_long_texts_break_between_sentences():
    text = " ".join(f"Sentence {i} is about so long as this one is." for i in range(20))
    parts = common.sentences([text, "Another."])
    assert " ".join(parts) == f"{text} Another."
    assert all(len(part) <= LONGEST for part in parts)
    assert parts[-1] == "Another."
