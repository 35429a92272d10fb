"""A file that is written once, whole or not at all, and never over another.

What does not belong here: what stands in it.
"""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from vanclimate.errors import OptionError

WRITABLE = "a place that can be written to"


def write_to_new(target: Path, text: str) -> None:
    """Write a text to a new file; a file that is there is never overwritten.

    Raises
    ------
    OptionError : something of that name is there, or the folder cannot be written to
    """
    refuse_taken(target)

    def move(temporary: str) -> None:
        try:
            os.link(temporary, target)  # fails where the name is taken, in one step
        except FileExistsError:
            raise _taken(target) from None
        except OSError:  # a file system without hard links
            _write_exclusively(target, text)

    _write(target, text, move)


def refuse_taken(target: Path) -> None:
    """Refuse a file that is there already."""
    with contextlib.suppress(ValueError):  # a NUL byte, told of where it is written
        if os.path.lexists(target):
            raise _taken(target)


def _write(target: Path, text: str, move: Callable[[str], None]) -> None:
    """Write a text whole under a temporary name, and give it its own; nothing else is left."""
    temporary = None
    try:
        # a half-written file never has the real name
        handle, temporary = tempfile.mkstemp(suffix=".tmp", dir=target.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.chmod(temporary, 0o666 & ~_umask())
        move(temporary)
    except (OSError, ValueError) as error:
        raise _refused(target, error) from None
    finally:
        if temporary is not None:
            with contextlib.suppress(FileNotFoundError):
                os.unlink(temporary)


def _write_exclusively(target: Path, text: str) -> None:
    """Write a file that must not be there yet, and leave none that is not whole."""
    try:
        file = open(target, "x", encoding="utf-8", newline="\n")  # noqa: SIM115 - closed below
    except FileExistsError:
        raise _taken(target) from None
    try:
        with file:
            file.write(text)
    except BaseException:
        target.unlink()
        raise


def _taken(target: Path) -> OptionError:
    return OptionError("file", str(target), "a new name: a file there is never overwritten")


def _refused(target: Path, error: Exception) -> OptionError:
    reason = getattr(error, "strerror", None) or str(error)
    return OptionError("file", str(target), WRITABLE, reason)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
