"""What every page on a terminal is made of: headings, sentences, names with what is said of them.

What does not belong here: what is said.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

if TYPE_CHECKING:
    from rich.console import Console


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
