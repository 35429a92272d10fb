"""Results kept on disk between runs, and the place of the files that are shipped.

A cached entry is keyed by what went in *and* by the package's own source, so a changed formula
can never serve an old answer. What does not belong here: anything that knows what is cached.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import zipfile
import zlib
from collections.abc import Callable, Container
from contextlib import suppress
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from threading import Lock
from typing import Any

import numpy as np
from numpy.typing import NDArray

Arrays = dict[str, NDArray[Any]]

BEHIND_RESULTS = ("numpy", "numba", "pvlib", "pythermalcomfort")
PACKAGE = Path(__file__).resolve().parent
ABOVE_THE_LOOP = ("answers", "report", "page", "cli")  # that nothing in the loop may import

# numpy reads a file's head with Python's parser, in which two threads must not be at once: it fails
# where one is switched to in the middle, up to Python 3.12 (cpython issue 106905, from memory)
PARSER = Lock()

# what numpy and zipfile raise on a file that was cut short, overwritten or is no npz at all
_BROKEN = (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile, zlib.error)


def cache_dir() -> Path:
    """Return the folder of cached results; the variable ``VANCLIMATE_CACHE`` overrides it."""
    override = os.environ.get("VANCLIMATE_CACHE")
    if override:
        return Path(override)
    from platformdirs import user_cache_dir

    return Path(user_cache_dir("vanclimate", appauthor=False))


def hash_of_tree(folder: Path, leave_out: Container[str] = ()) -> str:
    """Return 16 hex digits of the sha256 over all ``.py`` files below `folder`.

    Names count as well as contents, so that a moved file changes the hash. Folders directly in it
    may be left out.
    """
    digest = hashlib.sha256()
    for name, path in sorted((p.relative_to(folder).as_posix(), p) for p in folder.rglob("*.py")):
        if name.split("/")[0] in leave_out:
            continue
        content = path.read_bytes()
        digest.update(f"{name}\0{len(content)}\0".encode())
        digest.update(content)
    return digest.hexdigest()[:16]


@lru_cache(maxsize=1)
def source_hash() -> str:
    """Return the hash of this package as installed and of the libraries behind its results."""
    above = (hash_of_tree(PACKAGE / folder) for folder in ABOVE_THE_LOOP)
    return hashlib.sha256(" ".join((loop_hash(), *above)).encode()).hexdigest()[:16]


@lru_cache(maxsize=1)
def loop_hash() -> str:
    """Return the same of what the compiled loop can be made of: imports go one way, see there."""
    return _with_libraries(hash_of_tree(PACKAGE, leave_out=ABOVE_THE_LOOP))


def _with_libraries(source: str) -> str:
    versions = " ".join(installed_version(name) for name in BEHIND_RESULTS)
    return hashlib.sha256((source + versions).encode()).hexdigest()[:16]


def installed_version(name: str) -> str:
    """Return the name of a library's metadata folder, which holds its version, without importing.

    Asking the packaging machinery takes a twentieth of a second; a look into the folder does not.
    """
    spec = find_spec(name)
    if spec is None or spec.origin is None:
        return name
    beside = Path(spec.origin).parent.parent
    return " ".join(sorted(path.name for path in beside.glob(f"{name}-*.dist-info"))) or name


def entry_path(kind: str, key: tuple[object, ...]) -> Path:
    """Return the file that holds the entry of `kind` for `key`."""
    name = hashlib.sha256(repr((key, source_hash())).encode()).hexdigest()[:32]
    return cache_dir() / kind / f"{name}.npz"


def cached_arrays(kind: str, key: tuple[object, ...], build: Callable[[], Arrays]) -> Arrays:
    """Return the arrays of `build`, from disk where they were computed before.

    Parameters
    ----------
    kind : sub-folder, one a sort of result
    key : everything that the result depends on, besides the source; its ``repr`` is hashed
    build : computes the arrays; called only when there is no readable entry

    Notes
    -----
    A broken entry is rebuilt; a folder that cannot be written to only costs the time to compute.
    """
    path = entry_path(kind, key)
    with suppress(*_BROKEN):
        as_it_is = path.stat()
        return _stored(path, as_it_is.st_mtime_ns, as_it_is.st_size).copy()
    arrays = build()
    with suppress(OSError):
        _write(path, arrays)
    return arrays


@lru_cache(maxsize=64)  # a van at several headings, on several grounds, asks for the same ones
def _stored(path: Path, changed: int, size: int) -> Arrays:
    """Return what a file holds, never to be written to; read again where the file has changed."""
    # opened here, for numpy leaves its own handle open when the file is broken
    with PARSER, path.open("rb") as opened, np.load(opened, allow_pickle=False) as stored:
        arrays = {name: stored[name] for name in stored.files}
    for values in arrays.values():
        values.setflags(write=False)
    return arrays


def _write(path: Path, arrays: Arrays) -> None:
    """Write an entry under a temporary name and move it into place, so no reader sees half."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(dir=path.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as out:
            np.savez(out, **arrays)  # type: ignore[arg-type]
        os.replace(temporary, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(temporary)
        raise


def data_path(*parts: str) -> Path:
    """Return the path of a shipped file, such as ``data_path("weather", "sites.json")``.

    An installed wheel carries the files inside the package; a source tree has them beside it.
    """
    installed = PACKAGE / "_data"
    root = installed if installed.is_dir() else PACKAGE.parent
    return root.joinpath(*parts)
