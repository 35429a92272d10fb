"""The lists of what is known by name on a terminal or in a pipe, and as JSON.

Figures stand in columns where these fit, in both systems of units or in the first alone; where they
do not, each row is a name and an indented text. What does not belong here: which rows there are
(answers/shelf.py).
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from rich.cells import cell_len
from rich.padding import Padding
from rich.text import Text

from vanclimate.report.json_text import unit_of
from vanclimate.report.layout import facts, say
from vanclimate.report.words import plain

if TYPE_CHECKING:
    from rich.console import Console

    from vanclimate.units import System
    from vanclimate.van.shelf import Cell, ShelfRow

FORM = "vanclimate.library/1"
INDENT, APART = 2, 2  # columns
MARK = "*"  # before an own row
MOST_COLUMNS = 6  # of a row's figures; own equipment has as many as it likes
ABOUT = {
    "materials": "layers of a stack, window glass and covers",
    "stacks": "insulation that `vanclimate stacks` tries",
    "bodies": "kinds of body with their sizes",
    "equipment": "what is taken of AC, heater, bank and so on where a sheet does not say it",
    "loads": "what draws power, by a name alone",
}
NOTES = {
    "materials": (
        "Ranges are the plausible ones. Conductivity at 24 °C; µ and metres: how much better "
        "still air lets vapour through, by thickness or of a film. By temperature: ISO 10456 "
        "conversion factors, from memory; water from dry to damp air: ISO 10456 contents and "
        "handbook isotherms, from memory, good to 30 %; emissivity of ordinary surfaces 0.9 and of "
        "bright foil 0.05: ISO 6946 practice, partly from memory."
    ),
    "stacks": (
        "Tried where a sheet has no `stacks to try:`, on roof and walls. They fill the depth that "
        "your own insulation has, 50.8 mm (2 in) where there is next to none; half an inch is 12.7 "
        "mm."
    ),
    "bodies": "A van's own tape measure wins.",
    "equipment": (
        "A range is where it may lie; a sheet's own value wins. Of a further class only what "
        "differs from the first is listed."
    ),
    "loads": "A range is that of such loads. A sheet's own value wins.",
}


def print_overview(
    counts: dict[str, tuple[int, int]], console: Console, system: System, file: str = ""
) -> None:
    """Print which lists there are.

    Parameters
    ----------
    counts : rows of each list, and how many of them are of a library of one's own
    console, system : where to, and which units the commands are to show first
    file : that library's file as it was typed, or ''
    """
    console.print(Text("What is known by name, with its figures and their source", style="bold"))
    rows = []
    for name, (count, own) in counts.items():
        yours = f", {own} of them yours" if own else ""
        rows.append((name, f"{count} rows{yours}: {ABOUT[name]}"))
    facts(console, rows)
    console.print()
    option = f" --file {plain(file)}" if file else ""
    say(console, f"`vanclimate library materials{option}` lists the rows of one,")
    say(console, f"`vanclimate library materials wool{option}` those with a word in their name,")
    other = "si" if system == "us" else "us"
    say(console, f"`--units {other}` the other units first.")
    if not file:
        say(console, "Rows of your own: `library: my-library.yaml` in a sheet, docs/library.md.")


def print_rows(which: str, rows: Sequence[ShelfRow], system: System, console: Console) -> None:
    """Print rows group by group; own ones are marked."""
    first = True
    for name, own in _groups(rows):
        if not first:
            console.print()
        first = False
        console.print(Text(f"{plain(name)} ({len(own)})", style="bold"))
        _print_group(own, system, console)
    console.print()
    say(console, NOTES[which])
    places = [row.place for row in rows if row.place]
    if places:
        file = places[0].rpartition(", line ")[0]
        say(console, f"{MARK} a row of your own, of {plain(file)}")


def _groups(rows: Iterable[ShelfRow]) -> list[tuple[str, list[ShelfRow]]]:
    """Return rows by their group, in the order in which groups are met."""
    found: dict[str, list[ShelfRow]] = {}
    for row in rows:
        found.setdefault(row.group, []).append(row)
    return list(found.items())


def _print_group(rows: list[ShelfRow], system: System, console: Console) -> None:
    """Print the rows of a group, a source that all share once."""
    shipped = [row for row in rows if not row.place]
    sources = {row.source for row in shipped}
    shared = sources.pop() if len(sources) == 1 and len(shipped) > 1 else ""
    if shared:
        say(console, f"source: {plain(shared)}")
    layout = _columns(rows, system, console.width - INDENT)
    if layout is not None:
        head = Text(layout.lines[0], style="underline", no_wrap=True)
        console.print(Padding(head, (0, 0, 0, INDENT)))
    for i, row in enumerate(rows):
        line = _name(row) if layout is None else layout.lines[i + 1]
        console.print(Padding(Text(line, no_wrap=layout is not None), (0, 0, 0, INDENT)))
        below = _below(row, system, layout)
        if row.place or not shared:
            below.append(f"source: {row.source}" + (f" ({row.place})" if row.place else ""))
        for text in below:
            console.print(Padding(Text(plain(text)), (0, 0, 0, 2 * INDENT)))


def _name(row: ShelfRow) -> str:
    return plain(f"{MARK} {row.name}" if row.place else row.name)


def _texts(cell: Cell, system: System) -> tuple[str, str]:
    """Return a figure with its range in both systems, the reader's first."""
    si, us = (
        f"{text} ({span})" if span else text
        for text, span in ((cell.si, cell.range_si), (cell.us, cell.range_us))
    )
    return (us, si) if system == "us" else (si, us)


def _both(cell: Cell, system: System) -> str:
    """Return a figure in both systems, the reader's first."""
    one, other = _texts(cell, system)
    return one if one == other else f"{one} = {other}"


def _below(row: ShelfRow, system: System, layout: _Layout | None) -> list[str]:
    """Return what stands below a row besides its source: all that stands in no column."""
    shown = [cell for cell in row.cells if not cell.aside]
    lines = []
    if layout is None:
        lines.append("; ".join(f"{c.key} {_both(c, system)}" for c in shown))
    elif not layout.ranges:
        spans = [(c.key, c.range_us if system == "us" else c.range_si) for c in shown]
        lines.append("; ".join(f"{key} {span}" for key, span in spans if span))
        lines[-1] = f"range: {lines[-1]}" if lines[-1] else ""
    lines.append(f"also: {', '.join(row.also)}" if row.also else "")
    lines.append("; ".join(f"{c.key}: {_both(c, system)}" for c in row.cells if c.aside))
    return [line for line in lines if line]


class _Layout(NamedTuple):
    """A head and a line for each row, and whether ranges stand in them."""

    lines: list[str]
    ranges: bool


def _columns(rows: list[ShelfRow], system: System, width: int) -> _Layout | None:
    """Return rows in columns, None where they do not fit.

    With both systems of units and all ranges where these fit, else with less.
    """
    tables = [{cell.key: cell for cell in row.cells if not cell.aside} for row in rows]
    keys = list(dict.fromkeys(key for cells in tables for key in cells))
    if len(keys) > MOST_COLUMNS:
        return None
    for both, ranges in ((True, True), (False, True), (True, False), (False, False)):
        columns = [["", *map(_name, rows)]]
        for key in keys:
            pairs = [_pair(cells.get(key), system, ranges) for cells in tables]
            columns.append([key, *(plain(one) for one, _ in pairs)])
            if both and any(other for _, other in pairs):
                columns.append(["", *(plain(other) for _, other in pairs)])
        widths = [max(map(cell_len, column)) for column in columns]
        if sum(widths) + APART * (len(widths) - 1) <= width:
            lines = [_aligned(line, widths) for line in zip(*columns, strict=True)]
            return _Layout(lines, ranges)
    return None


def _pair(cell: Cell | None, system: System, ranges: bool) -> tuple[str, str]:
    """Return a figure in the reader's units and in the others, '' where these are the same."""
    if cell is None:
        return "", ""
    si_us = (cell.us, cell.si) if system == "us" else (cell.si, cell.us)
    one, other = _texts(cell, system) if ranges else si_us
    return one, other if other != one else ""


def _aligned(texts: Sequence[str], widths: Sequence[int]) -> str:
    """Return texts in columns, all to the left."""
    wide = (text + " " * (w - cell_len(text)) for text, w in zip(texts, widths, strict=True))
    return (" " * APART).join(wide).rstrip()


def rows_text(which: str, rows: Iterable[ShelfRow]) -> str:
    """Return rows as a JSON text; values are SI, each with its unit."""
    from vanclimate import __version__

    whole = {
        "schema": FORM, "version": __version__, "list": which, "rows": [_row(row) for row in rows],
    }  # fmt: skip
    return json.dumps(whole, allow_nan=False, indent=1)


def _row(row: ShelfRow) -> dict[str, Any]:
    values = [
        {"key": c.key, "value": c.value, "unit": unit_of(c.kind) if c.kind else None,
         "low": c.low, "high": c.high}
        for c in row.cells
    ]  # fmt: skip
    return {
        "list": row.list, "group": row.group, "name": row.name, "also": list(row.also),
        "values": values, "source": row.source, "own": row.place or None,
    }  # fmt: skip
