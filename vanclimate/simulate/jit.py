"""Compiling, and where the compiled code is kept.

numba's own cache does not see a change in a function that a cached one calls, so the compiled code
lies in a folder named by the hash of the whole package's source.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

from vanclimate.cache import cache_dir, source_hash

F = TypeVar("F", bound=Callable[..., Any])


def code_dir() -> Path:
    """Return the folder of this source's compiled code."""
    return cache_dir() / "compiled" / source_hash()


def is_compiled() -> bool:
    """Return whether compiled code for this source is there already."""
    return any(code_dir().rglob("*.nbc"))


def compiled(function: F) -> F:
    """Compile ``function`` with numba, keeping the machine code under the source's hash.

    Where the folder cannot be written the code is compiled anew in each process. The code takes no
    part in numba's reference counting (half of a step's time went there), so it may not allocate;
    it holds no lock, so two runs can go side by side.
    """
    options: dict[str, Any] = {"nogil": True, "error_model": "numpy", "_nrt": False}
    try:
        code_dir().mkdir(parents=True, exist_ok=True)
    except OSError:
        return cast(F, numba.njit(**options)(function))
    config: Any = numba.config
    before = config.CACHE_DIR
    config.CACHE_DIR = str(code_dir())  # read while decorating; other packages keep their own
    try:
        return cast(F, numba.njit(cache=True, **options)(function))
    finally:
        config.CACHE_DIR = before
