"""Tables as files of comma-separated values, whole or not at all: a run's trace, and figures.

What does not belong here: the trace's columns (answers/trace.py), and how a file is put in its
place (new_file.py).
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from vanclimate.report import new_file

if TYPE_CHECKING:
    from collections.abc import Iterable

    import pandas as pd

OPTION = "--trace"
FIRST_COLUMNS = b"start,step_s,"
ALLOWED = "a file that can be written, such as night.csv"


def check_target(
    path: Path, inputs: Iterable[Path] = (), option: str = OPTION, first: bytes = FIRST_COLUMNS
) -> Path:
    """Return where a table goes: a new file, or in place of an earlier table of the same kind.

    Parameters
    ----------
    path : as given
    inputs : files that must not be overwritten, such as the sheet
    option : that gave it
    first : what an earlier table of the same kind begins with

    Raises
    ------
    OptionError : see `new_file.check_target`
    """
    return new_file.check_target(path, inputs, option, ALLOWED, first)


def write_csv(frame: pd.DataFrame, path: Path, option: str = OPTION, index: bool = True) -> None:
    """Write a table in full precision.

    Raises
    ------
    OptionError : it cannot be written; nothing is left behind
    """
    text = frame.to_csv(lineterminator="\n", index=index)
    new_file.put(text.encode("utf-8"), path, option, ALLOWED)
