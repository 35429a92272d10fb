"""``vanclimate library``: what is known by name, its figures and where they come from."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from vanclimate.cli import complete
from vanclimate.cli.outcome import Debug, system_of, told

if TYPE_CHECKING:
    from vanclimate.van.shelf import ShelfRow

NAMES = f"{', '.join(complete.LISTS[:-1])} or {complete.LISTS[-1]}"


def library(
    which: Annotated[
        str | None,
        typer.Argument(metavar="list", help=f"{NAMES}.", autocompletion=complete.lists),
    ] = None,
    word: Annotated[
        str | None, typer.Argument(metavar="word", help="Only rows with it in their name.")
    ] = None,
    file: Annotated[
        Path | None, typer.Option(help="A library of your own, its rows among the shipped.")
    ] = None,
    units: Annotated[
        str | None,
        typer.Option(help="us or si, which stands first.", autocompletion=complete.units),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Rows in JSON, and nothing else.")] = False,
    debug: Debug = False,
) -> None:
    """List what is known by name, with its figures, their units and their source."""
    with told(debug):
        from vanclimate.answers.shelf import shelf
        from vanclimate.report.library import print_overview, print_rows, rows_text
        from vanclimate.report.terminal import console_for
        from vanclimate.van.library import read_library
        from vanclimate.van.own_layers import NO_LIBRARY
        from vanclimate.van.shelf import LISTS

        system = system_of(units, "us")
        own = NO_LIBRARY if file is None else read_library(file)
        if which is None and not json:
            rows = {name: shelf(name, own) for name in LISTS}
            counts = {name: (len(x), sum(bool(row.place) for row in x)) for name, x in rows.items()}
            print_overview(counts, console_for(), system, str(file or ""))
            return
        lists = LISTS if which is None else (_list(which),)
        found = tuple(row for name in lists for row in shelf(name, own))
        if word is not None:
            found = _with_word(found, word, lists[0])
        if json:
            print(rows_text((which and lists[0]) or "all", found))  # all in ASCII
        else:
            print_rows(lists[0], found, system, console_for())


def _list(which: str) -> str:
    """Return the list of a name; anything else is refused."""
    from vanclimate.errors import OptionError, near
    from vanclimate.van.shelf import LISTS

    name = which.casefold()
    known = {x.removesuffix("s"): x for x in LISTS} | {"body": "bodies"} | {x: x for x in LISTS}
    if name not in known:
        hint = near(name, LISTS) or f"for a word: vanclimate library materials {which}"
        raise OptionError("list", which, ", ".join(LISTS), hint)
    return known[name]


def _with_word(rows: tuple[ShelfRow, ...], word: str, which: str) -> tuple[ShelfRow, ...]:
    """Return the rows with a word in their name; where there is none, that is refused."""
    from vanclimate.errors import OptionError, near

    found = tuple(row for row in rows if row.says(word))
    if not found:
        names = [name for row in rows for name in (row.name, *row.also)]
        hint = near(word, [part for name in names for part in (name, *name.split())])
        raise OptionError("word", word, f"a word in the name of one of the {which}", hint)
    return found
