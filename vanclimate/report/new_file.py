"""A file that is written: where it may go, and how it gets there whole or not at all.

What does not belong here: what is in it.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from vanclimate.errors import OptionError
from vanclimate.van.write_once import refused, write_whole


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
        raise refused(option, path, allowed, error) from None
    return target


def _may_go(path: Path, own: bytes | None) -> bool:
    """Say whether a file may be replaced: an empty one, and one of the same kind."""
    if own is None:
        return path.stat().st_size == 0
    with path.open("rb") as file:
        return file.read(len(own)) in (own, b"")


def put(content: bytes, path: Path, option: str, allowed: str) -> None:
    """Write a file in the place of what is there, see `write_whole`."""
    write_whole(path, content, lambda temporary: os.replace(temporary, path), option, allowed)
