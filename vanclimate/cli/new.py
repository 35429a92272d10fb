"""``vanclimate new``: a sheet to start from, for a place, a class of van and what it is for.

On a terminal it asks for what is not given; in a pipe it takes what is usual. Only typer is
imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Annotated, TypeVar

import typer

from vanclimate.cli.outcome import Debug, Stopped, told

T = TypeVar("T")


def new(
    file: Annotated[Path, typer.Argument(help="The sheet to start; never overwritten.")],
    place: Annotated[
        str | None, typer.Option(help="A shipped place, a weather file, a town or coordinates.")
    ] = None,
    van: Annotated[
        str | None, typer.Option(help="Class of van, such as 'long high', pop-top or box trailer.")
    ] = None,
    use: Annotated[
        str | None,
        typer.Option("--for", help="What for: summer, winter, full-time, shore or trip."),
    ] = None,
    debug: Debug = False,
) -> None:
    """Start a sheet of your own, ready to edit and to run.

    Asked on a terminal: place, class of van, what for. Enter takes what stands in brackets.
    """
    with told(debug):
        from vanclimate.report.new_words import QUESTIONS, next_steps
        from vanclimate.report.stream import Carrying
        from vanclimate.van.new_sheet import (
            USUAL_PLACE,
            USUAL_USE,
            USUAL_VAN,
            Start,
            find_spot,
            find_use,
            find_van,
            write_new,
        )
        from vanclimate.van.write_once import refuse_taken

        refuse_taken(file)

        spot_of = partial(find_spot, folder=file.parent)
        # what is given is looked at before anything is asked
        where = None if place is None else spot_of(place)
        kind = None if van is None else find_van(van)
        purpose = None if use is None else find_use(use)
        ask = _asked if sys.stdin.isatty() and sys.stdout.isatty() else _usual
        spot = where or ask(QUESTIONS["place"], USUAL_PLACE, spot_of)
        kind = kind or ask(QUESTIONS["van"], USUAL_VAN, find_van)
        purpose = purpose or ask(QUESTIONS["for"], USUAL_USE, find_use)
        made = write_new(file, Start(spot, kind, purpose))
        Carrying(sys.stdout).write(f"{next_steps(made, spot, purpose)}\n")


def _usual(question: str, usual: str, read: Callable[[str], T]) -> T:
    """Return what is taken where nobody can be asked."""
    return read(usual)


def _asked(question: str, usual: str, read: Callable[[str], T]) -> T:
    """Return the answer to a question, which is asked again until it is one."""
    from vanclimate.errors import OptionError, VanclimateError
    from vanclimate.report.stream import Carrying

    Carrying(sys.stdout).write(f"{question}\n")
    while True:
        sys.stdout.flush()
        try:
            text = input(f"  [{usual}] ").strip()
        except (EOFError, KeyboardInterrupt):
            sys.stdout.write("\n")
            raise Stopped("stopped; no sheet was written") from None
        try:
            return read(text or usual)
        except OptionError as error:  # there is no option to name
            error = OptionError(None, error.found, error.allowed, error.hint)
            Carrying(sys.stdout).write(f"  {error}\n")
        except VanclimateError as error:
            Carrying(sys.stdout).write(f"  {error}\n")
