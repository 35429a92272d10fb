"""Times of whole processes: imports, the first answer, later ones."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from functools import partial
from pathlib import Path

from tests.bench.clock import Timed, timed_cold

MODULES = (
    "numpy", "scipy.optimize", "pandas", "pvlib", "numba", "pydantic", "pint", "typer", "rich",
    "pythermalcomfort.models", "vanclimate", "vanclimate.cli", "vanclimate.simulate.kernel",
)  # fmt: skip
ROOT = Path(__file__).resolve().parents[2]


def call(*args: str, cache: str | None = None) -> None:
    """Run Python with these arguments from the repository's root, its output thrown away.

    Byte code is kept, as an installed package's is, whatever the shell says.
    """
    env = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    if cache is not None:
        env["VANCLIMATE_CACHE"] = cache
    subprocess.run(
        [sys.executable, *args], cwd=ROOT, env=env, check=True, stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )  # fmt: skip


def imports(tries: int) -> dict[str, Timed]:
    """Time a process that imports one module, and one (``""``) that imports none."""
    return {
        name: timed_cold(partial(call, "-c", f"import {name}" if name else "pass"), tries)
        for name in ("", *MODULES)
        if name == "" or _can_import(name)
    }


def _can_import(name: str) -> bool:
    try:
        call("-c", f"import {name}")  # a trial call too: files are read from disk once
    except subprocess.CalledProcessError:
        return False
    return True


def answers(tries: int) -> dict[str, Timed]:
    """Time the night as a process, with nothing cached and with everything, and the help."""
    with tempfile.TemporaryDirectory() as cache:
        night = ("-m", "vanclimate", "night")
        begin = time.perf_counter()
        call(*night, cache=cache)
        first = time.perf_counter() - begin
        return {
            "first night": Timed(first, first, 1),
            "later night": timed_cold(lambda: call(*night, cache=cache), tries),
            "help": timed_cold(lambda: call("-m", "vanclimate", "--help", cache=cache), tries),
        }
