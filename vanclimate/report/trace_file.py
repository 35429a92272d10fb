"""The trace as a file of comma-separated values, whole or not at all.

What does not belong here: the trace's columns (answers/trace.py).
"""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

from vanclimate.errors import OptionError

if TYPE_CHECKING:
    import pandas as pd

OPTION = "--trace"
FIRST_COLUMNS = b"start,step_s,"
ALLOWED = "a file that can be written, such as night.csv"


def check_target(
    path: Path, inputs: tuple[Path, ...] = (), option: str = OPTION, first: bytes = FIRST_COLUMNS
) -> Path:
    """Return where a table goes, links followed, before anything is computed.

    Parameters
    ----------
    path : as given
    inputs : files that must not be overwritten, such as the sheet
    option : that gave it
    first : what a file begins with that may be replaced: an earlier one of the same kind

    Raises
    ------
    OptionError : a folder, a device, one of the inputs, or a folder that is not there
    """
    try:
        target = path.resolve()
        taken = any(target.exists() and p.exists() and target.samefile(p) for p in inputs)
        if taken:
            raise OptionError(option, str(path), ALLOWED, "this file is being read")
        if target.is_dir():
            raise OptionError(option, str(path), ALLOWED, "it is a folder")
        if target.exists() and not target.is_file():
            raise OptionError(option, str(path), ALLOWED, "it is no ordinary file")
        if target.exists() and not _is_earlier(target, first):
            raise OptionError(option, str(path), ALLOWED, "there is another file of that name")
        if not target.parent.is_dir():
            raise OptionError(option, str(path), ALLOWED, "its folder is not there")
        if not os.access(target.parent, os.W_OK):
            raise OptionError(option, str(path), ALLOWED, "its folder cannot be written to")
    except (OSError, ValueError, RuntimeError) as error:  # a loop of links, a name too long
        raise _refused(path, error, option) from None
    return target


def _is_earlier(path: Path, first: bytes) -> bool:
    """Say whether a file is an earlier one of its kind, which alone may be replaced, or empty."""
    with path.open("rb") as file:
        return file.read(len(first)) in (first, b"")


def write_trace(frame: pd.DataFrame, path: Path, option: str = OPTION) -> None:
    """Write a table in full precision under a temporary name, and move it into place.

    Raises
    ------
    OptionError : it cannot be written; nothing is left behind
    """
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(suffix=".tmp", dir=path.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
            frame.to_csv(out, lineterminator="\n")
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(temporary, 0o666 & ~mask)
        os.replace(temporary, path)
        temporary = None
    except OSError as error:
        raise _refused(path, error, option) from None
    finally:
        if temporary is not None:
            with suppress(OSError):
                os.unlink(temporary)


def _refused(path: Path, error: Exception, option: str) -> OptionError:
    reason = getattr(error, "strerror", None) or str(error)
    return OptionError(option, str(path), ALLOWED, reason)
