from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.mark.slow
def test_the_benchmarks_run():
    # it also asserts that our loop and scipy's Radau solve the same year alike; no time is judged
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench", "--smoke"], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    for said in ("A smoke run", "bare elimination sweep", "BDF", "latent, Wh"):
        assert said in done.stdout


@pytest.mark.slow
def test_a_smoke_run_is_never_written_down(tmp_path):
    target = tmp_path / "performance.md"
    done = subprocess.run(
        [sys.executable, "-m", "tests.bench", "--smoke", "--write", str(target)],
        cwd=ROOT, capture_output=True, text=True,
    )  # fmt: skip
    assert done.returncode == 2
    assert not target.exists()
