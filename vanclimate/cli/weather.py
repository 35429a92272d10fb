"""``vanclimate weather``: look at a place's weather, check a file, fetch a series.

Only typer is imported here at the top, see `vanclimate.cli`. What does not belong here: arithmetic
and wording.
"""

from __future__ import annotations

import typer

app = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="Weather of a place: show, check, list; fetch is the only command that uses the network.",
)


@app.callback()
def _whole() -> None:
    """Carry what holds for all of these commands."""
