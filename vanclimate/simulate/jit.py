"""Compiling, and where the compiled code is kept.

numba's own cache does not see a change in a function that a cached one calls, so the compiled code
lies in a folder named by the hash of the package's source, without the folders above ``simulate``:
imports go one way, so the loop cannot hold a line of them.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from pickle import UnpicklingError
from shutil import rmtree
from threading import Lock
from typing import Any, TypeVar, cast

import numba
from numba.extending import register_jitable

from vanclimate.cache import cache_dir, loop_hash

# What loading or saving machine code raises when a file is cut short, empty or the disk is full;
# the loop itself raises nothing.
KEPT_CODE_BROKEN = (OSError, EOFError, UnpicklingError, ValueError, KeyError, TypeError, IndexError,
                    AttributeError, RuntimeError, ImportError, MemoryError)  # fmt: skip
FIRST_CALL = Lock()  # two threads may come first; one compiles
F = TypeVar("F", bound=Callable[..., Any])


def code_dir() -> Path:
    """Return the folder of this source's compiled code."""
    return cache_dir() / "compiled" / loop_hash()


def is_compiled() -> bool:
    """Return whether compiled code for this source is there already."""
    return any(code_dir().rglob("*.nbc"))


def part_of_loop(function: F) -> F:
    """Mark a function as a piece of the loop: compiled where it is called, into its caller.

    A call passes every array of its arguments by value, and the loop's arguments hold a hundred:
    passing them took longer than the arithmetic.
    """
    wrapped: F = register_jitable(forceinline=True, no_cfunc_wrapper=True)(function)
    return wrapped


def load_alone(kept: Any) -> None:
    """Let a function's kept code be loaded without what numba needs only to compile.

    Before it looks on disk numba imports the rules for all that it can compile, and scipy's linear
    algebra with them: a third of a second. Where it does compile it imports them then. A numba that
    is built otherwise goes on as it likes.
    """
    try:
        from numba.core.runtime.nrt import rtsys

        cache, start = kept._cache, rtsys.initialize
        look, guard = cache._load_overload, cache._guard_against_spurious_io_errors
    except (ImportError, AttributeError):
        return

    def load(signature: Any, target: Any) -> Any:
        start(target)  # what code may call while it runs
        with guard():  # on Windows another process may hold the file
            return look(signature, target)
        return None

    cache.load_overload = load


def compiled(function: F) -> F:
    """Compile ``function`` with numba, keeping the machine code under the source's hash.

    Where the kept code is broken or cannot be written, it is removed and the function is compiled
    for this process alone. The code takes no part in numba's reference counting (half of a step's
    time went there), so it may not allocate; it holds no lock, so two runs can go side by side.
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
        kept = numba.njit(cache=True, **options)(function)
    finally:
        config.CACHE_DIR = before
    load_alone(kept)
    ready: list[Any] = []

    @wraps(function)
    def call(*args: Any) -> Any:
        if ready:
            return ready[0](*args)
        with FIRST_CALL:
            if not ready:
                try:
                    result = kept(*args)
                    ready.append(kept)
                    return result
                except KEPT_CODE_BROKEN:
                    rmtree(code_dir(), ignore_errors=True)
                    ready.append(numba.njit(**options)(function))
        return ready[0](*args)

    call.dispatcher = kept  # type: ignore[attr-defined]  # for whoever asks how it was compiled
    return cast(F, call)
