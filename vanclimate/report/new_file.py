"""A file that is written: where it may go, and how it gets there whole or not at all.

What does not belong here: what is in it.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from vanclimate.errors import OptionError


def check_target(
    path: Path, inputs: Iterable[Path], option: str, allowed: str, own: bytes | None,
    hint: str = "there is another file of that name",
) -> Path:  # fmt: skip
    """Return where a file goes, links followed, before anything is computed.

    Parameters
    ----------
    path : as given
    inputs : files that must not be overwritten, such as the sheet
    option, allowed : that gave it, and what it may give
    own : what a file begins with that may be replaced; b'' where any may be, None where none may
    hint : what is said where a file stands in the way

    Raises
    ------
    OptionError : a folder, a device, one of the inputs, a file that may not be replaced, or a
        folder that is not there
    """
    try:
        target = path.resolve()
        if target.exists() and any(p.exists() and target.samefile(p) for p in inputs):
            raise OptionError(option, str(path), allowed, "this file is being read")
        if target.is_dir():
            raise OptionError(option, str(path), allowed, "it is a folder")
        if target.exists() and not target.is_file():
            raise OptionError(option, str(path), allowed, "it is no ordinary file")
        if target.exists() and not target.stat().st_mode & 0o222:  # who may all, is kept from it
            raise OptionError(option, str(path), allowed, "it is there already, and read-only")
        if target.exists() and not _may_go(target, own):
            raise OptionError(option, str(path), allowed, hint)
        if not target.parent.is_dir():
            raise OptionError(option, str(path), allowed, "its folder is not there")
        if not os.access(target.parent, os.W_OK):
            raise OptionError(option, str(path), allowed, "its folder cannot be written to")
    except (OSError, ValueError, RuntimeError) as error:  # a loop of links, a name too long
        raise _refused(path, error, option, allowed) from None
    return target


def _may_go(path: Path, own: bytes | None) -> bool:
    """Say whether a file may be replaced: an empty one, and one of the same kind."""
    if own is None:
        return path.stat().st_size == 0
    with path.open("rb") as file:
        return file.read(len(own)) in (own, b"")


def put(content: bytes, path: Path, option: str, allowed: str) -> None:
    """Write a file under a temporary name beside its place, and move it there.

    Raises
    ------
    OptionError : it cannot be written; what was there is as it was, nothing is left behind
    """
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(suffix=".tmp", dir=path.parent)
        with os.fdopen(handle, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(temporary, 0o666 & ~mask)
        os.replace(temporary, path)
        temporary = None
    except OSError as error:
        raise _refused(path, error, option, allowed) from None
    finally:
        if temporary is not None:
            with suppress(OSError):
                os.unlink(temporary)


def _refused(path: Path, error: Exception, option: str, allowed: str) -> OptionError:
    reason = getattr(error, "strerror", None) or str(error)
    return OptionError(option, str(path), allowed, reason)
