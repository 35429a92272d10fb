"""What every page on a terminal is made of: headings, sentences, names with what is said of them.

What does not belong here: what is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.measure import Measurement
from rich.padding import Padding
from rich.table import Column, Table
from rich.text import Text

if TYPE_CHECKING:
    from rich.console import Console

INDENT = 2
LONGEST = 24  # letters up to which a word is never cut
ROOMY = 82  # columns from which any table fits
FOLDED = 12  # letters that a column has at least whose words may be cut


def first_line(console: Console, text: str, style: str) -> None:
    """Print a verdict; whole in a pipe, where a reader or a program takes the first line for it."""
    console.print(Text(text, style=style), soft_wrap=not console.is_terminal)


def heading(console: Console, text: str) -> None:
    """Print a heading after an empty line."""
    console.print()
    console.print(Text(text, style="bold"))


def say(console: Console, text: str) -> None:
    """Print a sentence, indented."""
    console.print(Padding(Text(text), (0, 0, 0, 2)))


def put(console: Console, table: Table) -> None:
    """Print a table, indented; where it is too wide in pieces, each with the first column."""
    for i, piece in enumerate(pieces(console, table, console.width - INDENT)):
        if i:
            console.print()
        console.print(Padding(piece, (0, 0, 0, INDENT)))


def pieces(console: Console, table: Table, width: int) -> list[Table]:
    """Return a table as it is where there is room, else pieces in which no word is cut.

    Parameters
    ----------
    console : that it is printed on
    table : each line of it has the first column to go by
    width : columns that are there
    """
    if not table.show_header or width >= ROOMY:
        return [table]  # a grid is no table: none of its columns stands for itself
    ends = [_ends(console, column) for column in table.columns]
    gap = table.padding[1]
    groups: list[list[int]] = []
    room = -1
    for i, (least, _) in enumerate(ends[1:], start=1):
        room -= least + gap
        if room < 0:
            groups.append([0])
            room = width - ends[0][0] - gap - least
        groups[-1].append(i)
    return [
        _of_columns(table, group, shared(width - gap * (len(group) - 1), [ends[i] for i in group]))
        for group in groups
    ]


def shared(width: int, ends: Sequence[tuple[int, int]]) -> list[int]:
    """Return the widths of columns, given the least and the most of each.

    >>> shared(20, [(4, 30), (5, 5), (6, 7)])
    [8, 5, 7]
    """
    found = [least for least, _ in ends]
    left = width - sum(found)
    while left > 0 and (short := [i for i, (_, most) in enumerate(ends) if found[i] < most]):
        for i in short[:left]:
            found[i] += 1
            left -= 1
    return found


def _ends(console: Console, column: Column) -> tuple[int, int]:
    """Return the width with which no word of a column is cut, and that with which none breaks."""
    head, *cells = (
        Measurement.get(console, console.options, cell) for cell in (column.header, *column.cells)
    )
    most = max(cell.maximum for cell in (head, *cells))
    if column.no_wrap:
        return most, most
    if column.overflow == "fold":
        least = FOLDED
    else:  # a figure stays with its unit
        least = max(c.maximum if c.maximum <= FOLDED else c.minimum for c in cells or [head])
        least = min(LONGEST, max(least, head.minimum))
    return min(most, max(column.min_width or 0, least)), most


def _of_columns(table: Table, chosen: Sequence[int], widths: Sequence[int]) -> Table:
    """Return some columns of a table, as wide as is given."""
    part = Table(
        box=table.box, pad_edge=table.pad_edge, padding=table.padding,
        header_style=table.header_style,
    )  # fmt: skip
    for i, width in zip(chosen, widths, strict=True):
        column = table.columns[i]
        part.add_column(
            column.header, justify=column.justify, no_wrap=column.no_wrap, width=width,
            overflow="fold",
        )  # fmt: skip
    rows = zip(*(list(table.columns[i].cells) for i in chosen), strict=True)
    for row, cells in zip(table.rows, rows, strict=True):
        part.add_row(*cells, end_section=row.end_section)
    return part


def facts(console: Console, rows: list[tuple[str, str]]) -> None:
    """Print names and what is said of them, the text hanging beside its name."""
    if not rows:
        return
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column(no_wrap=True)
    grid.add_column()
    for name, text in rows:
        grid.add_row(name, Text(text))
    console.print(Padding(grid, (0, 0, 0, 2)))
