"""An answer's figures as a table of comma-separated values: those of JSON and of the page.

What does not belong here: which figures there are (answers/).
"""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING

from vanclimate.report.figure_words import figure_text
from vanclimate.report.json_text import unit_of
from vanclimate.report.trace_file import check_target, write_csv

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path

    from vanclimate.answers.figures import Figure

OPTION = "--csv"
FIRST_COLUMNS = b"question,sheet,figure,"


def check_figures(path: Path, inputs: Iterable[Path]) -> Path:
    """Return where the table goes, see `trace_file.check_target`."""
    return check_target(path, inputs, OPTION, FIRST_COLUMNS)


def write_figures(
    question: str, answers: Iterable[tuple[str, Iterable[Figure]]], path: Path
) -> None:
    """Write a row for each figure: its value in the unit beside it, and as a reader sees it.

    Parameters
    ----------
    question : name of the command
    answers : of one sheet or of two, the hash of its text and its figures
    path : where to, see `check_figures`

    Raises
    ------
    OptionError : it cannot be written; nothing is left behind
    """
    import pandas as pd

    rows = [
        {
            "question": question, "sheet": digest[:16], "figure": f.name,
            "value": f.value if isfinite(f.value) else None, "unit": unit_of(f.kind),
            "us": figure_text(f.value, f.kind, "us"), "si": figure_text(f.value, f.kind, "si"),
            "better": f.better,
        }
        for digest, figures in answers
        for f in figures
    ]  # fmt: skip
    write_csv(pd.DataFrame(rows), path, OPTION, index=False)
