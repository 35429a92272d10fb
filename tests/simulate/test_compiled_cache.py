"""Compiled code is kept between runs, and an edit to a function it calls takes effect."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from contextlib import nullcontext
from pathlib import Path
from types import SimpleNamespace

import pytest

import vanclimate
from vanclimate.simulate.jit import load_alone

PROBE = '''
"""A caller whose own source does not change."""
from vanclimate.physics.air import density
from vanclimate.simulate.jit import compiled

@compiled
def probe(temp: float) -> float:
    return density(temp, 0.0, 101325.0)
'''
ASK = """
from vanclimate.simulate.probe import probe
print(probe(0.0), sum(probe.dispatcher.stats.cache_hits.values()))
"""


@pytest.mark.slow
def test_an_edit_to_a_callee_takes_effect(tmp_path: Path) -> None:
    package = tmp_path / "vanclimate"
    shutil.copytree(Path(vanclimate.__file__).parent, package,
                    ignore=shutil.ignore_patterns("__pycache__", "_data"))  # fmt: skip
    (package / "simulate" / "probe.py").write_text(PROBE)
    env = os.environ | {"PYTHONPATH": str(tmp_path), "VANCLIMATE_CACHE": str(tmp_path / "cache"),
                        "PYTHONDONTWRITEBYTECODE": "1"}  # fmt: skip

    def ask() -> tuple[float, int]:
        done = subprocess.run([sys.executable, "-c", ASK], capture_output=True, text=True,
                              check=True, env=env, cwd=tmp_path)  # fmt: skip
        value, hits = done.stdout.split()
        return float(value), int(hits)

    first, hits = ask()
    assert hits == 0
    assert first == pytest.approx(1.292, abs=0.001)  # kg/m3 of dry air at 0 °C, textbook
    again, hits = ask()
    assert (again, hits) == (first, 1)  # from the kept code
    air = package / "physics" / "air.py"
    text = air.read_text(encoding="utf-8")
    assert text.count("R_AIR = 287.042") == 1
    air.write_text(text.replace("R_AIR = 287.042", "R_AIR = 574.084"), encoding="utf-8")
    halved, hits = ask()
    assert hits == 0
    assert halved == pytest.approx(first / 2)
    air.write_text(text, encoding="utf-8")
    assert ask() == (first, 1)  # the old source finds its old code
    for kept in (tmp_path / "cache").rglob("*.nb[ci]"):  # a full disk, a kill in the middle
        kept.write_bytes(kept.read_bytes()[:100])
    assert ask()[0] == first  # broken code is removed and made anew


@pytest.mark.parametrize("lacks", ["_cache", "_load_overload", "_guard_against_spurious_io_errors"])
def test_a_numba_that_is_built_otherwise_goes_on_as_it_likes(lacks: str) -> None:
    cache = SimpleNamespace(
        load_overload="its own", _load_overload=lambda signature, target: "kept",
        _guard_against_spurious_io_errors=nullcontext,
    )  # fmt: skip
    kept = SimpleNamespace(_cache=cache)
    delattr(kept if lacks == "_cache" else cache, lacks)
    load_alone(kept)
    assert cache.load_overload == "its own"


def test_numba_itself_is_built_as_it_is_taken_to_be() -> None:
    """Else each answer starts a third of a second later."""
    from vanclimate.simulate.kernel import run

    dispatcher = run.dispatcher  # type: ignore[attr-defined]
    assert "load_overload" in vars(dispatcher._cache)
