"""The comfort library's table, made in a process of its own while the loop compiles.

On first use the library compiles for about as long as the loop does, and a second core is there.
"""

from __future__ import annotations

import subprocess
import sys
from contextlib import suppress
from typing import TypeAlias

from vanclimate.cache import entry_path
from vanclimate.physics.comfort import cooling_table_key

Ahead: TypeAlias = "subprocess.Popen[bytes] | None"

PATIENCE = 120.0  # s, after which the table is made here after all
_CODE = "import sys; from vanclimate.physics.comfort import cooling_effect_table as table; "
_CODE += "table(float(sys.argv[1]))"


def begin_table(speed: float) -> Ahead:
    """Start making the cooling-effect table of an air speed [m/s], if it is not on disk yet.

    ``-P`` keeps the current folder's files off its import path. Where no process can be started the
    table is made when it is first asked for.
    """
    if entry_path("cooling", cooling_table_key(speed)).is_file() or not sys.executable:
        return None
    quiet = subprocess.DEVNULL
    with suppress(OSError):
        return subprocess.Popen(
            [sys.executable, "-P", "-c", _CODE, repr(speed)],
            stdin=quiet,
            stdout=quiet,
            stderr=quiet,
        )
    return None


def finish_table(process: Ahead) -> None:
    """Wait for what `begin_table` started."""
    if process is None:
        return
    try:
        process.wait(PATIENCE)
    except subprocess.TimeoutExpired:
        process.kill()
