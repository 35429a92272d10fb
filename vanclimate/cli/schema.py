"""``vanclimate schema``: the JSON schema of a sheet, for editors that complete and check it.

Only typer is imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from vanclimate.cli.outcome import Debug, told


def schema(
    file: Annotated[
        Path | None,
        typer.Argument(help="Where to write it, beside your sheets; without, it is printed."),
    ] = None,
    debug: Debug = False,
) -> None:
    """Give the JSON schema of a sheet, by which an editor completes and checks one.

    A sheet that `vanclimate new` started points to it already.
    """
    with told(debug):
        from vanclimate.report.new_words import schema_written
        from vanclimate.report.stream import Carrying
        from vanclimate.van.new_file import SCHEMA, write_schema

        if file is None:
            Carrying(sys.stdout).write(SCHEMA.read_text(encoding="utf-8"))
        else:
            Carrying(sys.stdout).write(f"{schema_written(write_schema(file))}\n")
