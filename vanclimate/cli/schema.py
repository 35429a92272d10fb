"""``vanclimate schema``: the JSON schema of a sheet, for editors that complete and check it.

Only typer is imported here at the top, see `vanclimate.cli`.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from vanclimate.cli.outcome import Debug, told

FIRST = 80  # bytes, by which an earlier schema is known


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
        from vanclimate.report.new_file import check_target, put
        from vanclimate.report.new_words import schema_written
        from vanclimate.report.stream import Carrying
        from vanclimate.van.new_sheet import SCHEMA

        text = SCHEMA.read_bytes()
        if file is None:
            Carrying(sys.stdout).write(text.decode())
            return
        allowed = "a file that can be written, such as sheet.schema.json"
        put(text, check_target(file, (), "file", allowed, text[:FIRST]), "file", allowed)
        Carrying(sys.stdout).write(f"{schema_written(file)}\n")
