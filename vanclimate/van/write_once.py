"""A file that is written whole or not at all; a new one never over another.

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
    content = text.encode()

    def move(temporary: str) -> None:
        try:
            os.link(temporary, target)  # fails where the name is taken, in one step
        except FileExistsError:
            raise _taken(target) from None
        except OSError:  # a file system without hard links
            _write_exclusively(target, content)

    write_whole(target, content, move)


def refuse_taken(target: Path) -> None:
    """Refuse a file that is there already."""
    with contextlib.suppress(ValueError):  # a NUL byte, told of where it is written
        if os.path.lexists(target):
            raise _taken(target)


def write_whole(
    target: Path, content: bytes, move: Callable[[str], None], option: str = "file",
    allowed: str = WRITABLE,
) -> None:  # fmt: skip
    """Write a file under a temporary name beside its place, and move it there.

    Parameters
    ----------
    target, content : where it goes, and what is in it
    move : gives the temporary file its name
    option, allowed : that named the file, and what it may name

    Raises
    ------
    OptionError : it cannot be written; what was there is as it was, nothing is left behind
    """
    temporary = None
    try:
        # a half-written file never has the real name
        handle, temporary = tempfile.mkstemp(suffix=".tmp", dir=target.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, 0o666 & ~_umask())
        move(temporary)
    except (OSError, ValueError) as error:
        raise refused(option, target, allowed, error) from None
    finally:
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)


def _write_exclusively(target: Path, content: bytes) -> None:
    """Write a file that must not be there yet, and leave none that is not whole."""
    try:
        file = open(target, "xb")  # noqa: SIM115 - closed below
    except FileExistsError:
        raise _taken(target) from None
    try:
        with file:
            file.write(content)
    except BaseException:
        target.unlink()
        raise


def _taken(target: Path) -> OptionError:
    return OptionError("file", str(target), "a new name: a file there is never overwritten")


def refused(option: str, target: Path, allowed: str, error: Exception) -> OptionError:
    """Return the error for a file that the system will not have."""
    reason = getattr(error, "strerror", None) or str(error)
    return OptionError(option, str(target), allowed, reason)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
