"""How a command ends: one message and an exit code, whatever went wrong.

What does not belong here: commands.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

if TYPE_CHECKING:
    from vanclimate.units import System

T = TypeVar("T")

INTERRUPTED = 130  # 128 + SIGINT
NOBODY_READS = 141  # 128 + SIGPIPE

Debug = Annotated[bool, typer.Option("--debug", help="Show a traceback when something fails.")]


@contextmanager
def told(debug: bool) -> Iterator[None]:
    """Turn what may go wrong into one message and an exit code; Ctrl-C is `cli.slips`'s."""
    from vanclimate.errors import VanclimateError

    try:
        yield
        sys.stdout.flush()
    except BrokenPipeError:
        forget_stdout()
        raise typer.Exit(NOBODY_READS) from None
    except (VanclimateError, OSError) as error:
        if debug:
            import traceback

            traceback.print_exc()
        else:
            typer.echo(message(error), err=True)
        if isinstance(error, OSError):
            forget_stdout()
        raise typer.Exit(2) from None


class Stopped(KeyboardInterrupt):
    """Ctrl-C in work of which something is kept; ``str()`` says how to go on."""


def stopped(stop: KeyboardInterrupt) -> str:
    """Return the line that an interrupted command ends in."""
    return str(stop) or "stopped; nothing was answered, and no file is half-written"


MOST_TOLD = 12  # problems of one sheet


def message(error: Exception) -> str:
    """Return what is said of an error: a line, and one for each problem more of a sheet."""
    from vanclimate.errors import SheetError

    if isinstance(error, SheetError):
        return "\n".join(str(e) for e in (error, *error.others)[:MOST_TOLD])
    if not isinstance(error, OSError):
        return str(error)
    where = error.filename or "output"
    return f"{where}: {error.strerror or error}"


def read_option(option: str, reader: Callable[[str], T], text: str) -> T:
    """Return an option read as the sheet reads it.

    Raises
    ------
    OptionError
        naming the option, for what the reader refuses
    """
    from vanclimate.errors import OptionError, UnitError

    try:
        return reader(text.strip())
    except UnitError as error:
        raise OptionError(option, text, error.allowed or "", error.hint) from None


def forget_stdout() -> None:
    """Keep the interpreter from writing on into an output that is gone."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def system_of(units: str | None, own: System) -> System:
    """Return the units to answer in: those asked for, else `own`."""
    known: dict[str, System] = {"us": "us", "si": "si", "metric": "si"}
    if units is None:
        return own
    if units.casefold() not in known:
        from vanclimate.errors import OptionError, near

        raise OptionError("--units", units, "us or si", near(units, known))
    return known[units.casefold()]
