"""Tables on narrow pages: no line too wide, no word cut, whatever names a sheet has."""

from __future__ import annotations

import io

import pytest
from rich.cells import cell_len

from vanclimate.report.layout import facts, pieces, put
from vanclimate.report.tables import plain_table
from vanclimate.report.terminal import console_for

NAMES = [
    "roof",
    "露营车的天窗" * 8,
    "🚐🔋" * 20,
    "x" * 120,
    "\u202eلاحقة\u200f",
    "a name of a few words " * 4,
]


def printed(width: int, show) -> list[str]:
    out = io.StringIO()
    show(console_for(out, width))
    return out.getvalue().splitlines()


def table_of(names, columns):
    table = plain_table("name", *columns)
    table.columns[0].no_wrap = False
    for name in names:
        table.add_row(name, *(f"{1000 + i:,} Wh" for i, _ in enumerate(columns)))
    return table


@pytest.mark.parametrize("width", [40, 60, 80, 100])
@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_wider_than_the_page(width, name):
    table = table_of([name, "walls"], [f"column {i}" for i in range(5)])
    lines = printed(width, lambda console: put(console, table))
    lines += printed(width, lambda console: facts(console, [("night", name), ("way", "with AC")]))
    assert max(map(cell_len, lines)) <= width
    assert not {"\u202e", "\u200f"} & set("".join(lines))


@pytest.mark.parametrize("width", [40, 60, 80])
def test_columns_stand_below_each_other_beside_wide_letters(width):
    names = ["roof", "天窗", "🚐 van"]
    lines = printed(width, lambda console: put(console, table_of(names, ["heat"])))
    ends = {cell_len(line) for line in lines if line.endswith("Wh")}
    assert len(ends) == 1


def test_a_table_too_wide_is_printed_in_pieces_and_no_figure_is_lost():
    columns = [f"watts at {i:02d}:00" for i in range(12)]
    table = table_of(["heat", "cold"], columns)
    console = console_for(io.StringIO(), 60)
    parts = pieces(console, table, 58)
    assert len(parts) > 1
    assert [c.header for part in parts for c in part.columns[1:]] == columns
    lines = printed(60, lambda console: put(console, table))
    assert max(map(len, lines)) <= 60
    for i in range(12):
        assert sum(f"{1000 + i:,} Wh" in line for line in lines) == 2
    roomy = printed(100, lambda console: put(console, table_of(["heat"], columns[:3])))
    assert len(roomy) == 2  # a heading and a row


def test_no_word_is_cut_where_there_is_room_for_it():
    table = table_of(["air conditioner.capacity", "windows (left door).cover"], ["one", "two"])
    lines = printed(60, lambda console: put(console, table))
    text = "\n".join(lines)
    assert "conditioner.capacity" in text
    assert "door).cover" in text
