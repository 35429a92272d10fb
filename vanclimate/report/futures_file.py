"""A table of all futures as comma-separated values, whole or not at all.

What does not belong here: its columns (answers/futures/stays.py), and any table (trace_file.py).
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from vanclimate.report.trace_file import check_target, write_csv

if TYPE_CHECKING:
    from vanclimate.answers.futures.worlds import Columns

OPTION = "--table"
FIRST_COLUMNS = b"future,draw,"


def check_futures(path: Path, inputs: tuple[Path, ...]) -> Path:
    """Return where the table goes, see `check_target`."""
    return check_target(path, inputs, OPTION, FIRST_COLUMNS)


def write_futures(columns: Columns, path: Path) -> None:
    """Write a row for each future; what a stay fails on is a word.

    Raises
    ------
    OptionError : it cannot be written; nothing is left behind
    """
    import pandas as pd

    from vanclimate.answers.futures.stays import CAUSES

    frame = pd.DataFrame(dict(columns))
    frame["draw"], frame["spell"] = frame["draw"].astype(int), frame["spell"].astype(int)
    frame["failed"] = [CAUSES[int(number)] or "no" for number in columns["failed"]]
    write_csv(frame.rename_axis("future"), path, OPTION)
