"""The engine that runs many: the same rows however it is stopped, resumed and shared out.

What is run here is invented and quick; no figure is a check.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import numpy as np
import pytest

from vanclimate.answers.futures.ensemble import CHUNK, run_units
from vanclimate.cache import entry_path

COLUMNS = ("unit", "value")
UNITS = 42  # no whole number of chunks
KEY = ("a toy", 1)
HERE = Path(__file__).parents[2]

# run in a process of its own, to be killed: each unit leaves a mark and takes its time
SLOW = """
import sys, time
from pathlib import Path
from tests.answers.test_ensemble import COLUMNS, KEY, UNITS, rows
from vanclimate.answers.futures.ensemble import run_units

marks = Path(sys.argv[1])

def work(unit):
    with (marks / f"{unit}-{time.time_ns()}").open("w"):
        pass
    time.sleep(0.04)
    return rows(unit)

print("begins", flush=True)
run_units(range(UNITS), work, COLUMNS, key=KEY)
"""
MEMORY = """
import resource, sys
import numpy as np
from vanclimate.answers.futures.ensemble import run_units

def work(unit):
    run = np.full(1 << 18, float(unit))  # 2 MB of a run, of which two numbers are kept
    return np.array([[unit, run.mean()]])

run_units(range(40), work, ("unit", "mean"))  # what is loaded on the way
before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
run_units(range(int(sys.argv[1])), work, ("unit", "mean"))
print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)
"""


def rows(unit: int) -> np.ndarray:
    """Return one to three rows of a unit, none of them round."""
    rng = np.random.default_rng(unit)
    return np.column_stack([np.full(1 + unit % 3, unit), rng.normal(size=1 + unit % 3) / 3.0])


def expected() -> dict[str, np.ndarray]:
    whole = np.concatenate([rows(unit) for unit in range(UNITS)])
    return {name: whole[:, i] for i, name in enumerate(COLUMNS)}


def alike(found: dict[str, np.ndarray]) -> None:
    """Compare to the last bit."""
    assert list(found) == list(COLUMNS)
    for name, values in expected().items():
        assert found[name].tobytes() == values.tobytes(), name


@pytest.fixture
def kept(tmp_path, monkeypatch) -> Path:
    """Return the folder of an empty cache's chunks."""
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path))
    return tmp_path / "futures"


@pytest.mark.parametrize("workers", [1, 2, 4])
def test_any_number_of_workers_gives_the_same_rows(workers):
    def work(unit: int) -> np.ndarray:
        time.sleep(0.002 * (unit % 4))  # so that they end in another order
        return rows(unit)

    alike(run_units(range(UNITS), work, COLUMNS, workers=workers))


def test_progress_only_grows_and_ends_at_all():
    told: list[tuple[int, int]] = []
    run_units(range(UNITS), rows, COLUMNS, tick=lambda done, of: told.append((done, of)))
    done = [x for x, _ in told]
    assert done == sorted(done)
    assert told[-1] == (UNITS, UNITS)
    assert {of for _, of in told} == {UNITS}


def test_nothing_is_kept_without_a_key(kept):
    run_units(range(UNITS), rows, COLUMNS)
    assert not kept.parent.exists() or not list(kept.parent.rglob("*"))


def test_what_is_kept_is_not_run_again(kept):
    alike(run_units(range(UNITS), rows, COLUMNS, key=KEY))
    assert len(list(kept.glob("*.npz"))) == -(-UNITS // CHUNK)

    def never(unit: int) -> np.ndarray:
        raise AssertionError(unit)

    alike(run_units(range(UNITS), never, COLUMNS, key=KEY, workers=1))
    with pytest.raises(AssertionError):
        run_units(range(UNITS), never, COLUMNS, key=("a toy", 2))
    with pytest.raises(AssertionError):  # other units under the same key
        run_units(range(UNITS - 1), never, COLUMNS, key=KEY)


@pytest.mark.parametrize("spoilt", ["cut short", "overwritten", "empty"])
def test_a_broken_chunk_is_made_anew(kept, spoilt):
    run_units(range(UNITS), rows, COLUMNS, key=KEY)
    path = entry_path("futures", (*KEY, UNITS, 2))
    whole = path.read_bytes()
    path.write_bytes({"cut short": whole[: len(whole) // 2], "overwritten": b"no chunk at all",
                      "empty": b""}[spoilt])  # fmt: skip
    worked: list[int] = []

    def work(unit: int) -> np.ndarray:
        worked.append(unit)
        return rows(unit)

    alike(run_units(range(UNITS), work, COLUMNS, key=KEY))
    assert sorted(worked) == list(range(2 * CHUNK, 3 * CHUNK))
    assert path.stat().st_size == len(whole)


def begin(marks: Path) -> subprocess.Popen[bytes]:
    """Start the slow run in a process of its own, and wait until it is at work."""
    environ = os.environ | {"PYTHONPATH": str(HERE)}
    process = subprocess.Popen([sys.executable, "-c", SLOW, str(marks)], env=environ,
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE)  # fmt: skip
    assert process.stdout is not None
    assert process.stdout.readline() == b"begins\n"
    return process


def stop(process: subprocess.Popen[bytes], kept: Path, how: int) -> None:
    """Stop the run by a signal once three of its chunks are kept."""
    until = time.monotonic() + 30.0
    while len(list(kept.glob("*.npz"))) < 3:
        assert time.monotonic() < until
        assert process.poll() is None
        time.sleep(0.005)
    process.send_signal(how)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
def test_a_run_that_was_stopped_goes_on_where_it_was(kept, tmp_path, how):
    marks = tmp_path / "marks"
    marks.mkdir()
    process = begin(marks)
    stop(process, kept, how)
    stopped = time.monotonic()
    _, said = process.communicate(timeout=30.0)
    assert process.returncode != 0
    if how == signal.SIGINT:  # what runs ends, the rest never begins
        assert time.monotonic() - stopped < 2.0
        assert b"KeyboardInterrupt" in said
    finished = len(list(kept.glob("*.npz")))
    assert 3 <= finished < UNITS // CHUNK
    for path in kept.glob("*.npz"):
        with np.load(path) as chunk:
            assert set(chunk.files) == set(COLUMNS)
    worked: list[int] = []

    def work(unit: int) -> np.ndarray:
        worked.append(unit)
        return rows(unit)

    alike(run_units(range(UNITS), work, COLUMNS, key=KEY))
    assert len(worked) == len(set(worked)) == UNITS - finished * CHUNK
    begun = {int(path.name.split("-")[0]) for path in marks.iterdir()}
    assert begun < set(range(UNITS))


def test_a_unit_that_fails_ends_the_rest():
    begun: list[int] = []
    lock = threading.Lock()

    def work(unit: int) -> np.ndarray:
        with lock:
            begun.append(unit)
        if unit == 5:
            raise ValueError("unit 5")
        time.sleep(0.01)
        return rows(unit)

    with pytest.raises(ValueError, match="unit 5"):
        run_units(range(400), work, COLUMNS)
    assert len(begun) < 100


@pytest.mark.slow
def test_memory_is_flat_in_futures():
    grown = []
    for count in (200, 2000):
        environ = os.environ | {"PYTHONPATH": str(HERE)}
        told = subprocess.check_output([sys.executable, "-c", MEMORY, str(count)], env=environ)
        grown.append(int(told))  # kB
    print(f"grown by {grown[0]} and {grown[1]} kB over 200 and 2000 futures")
    # a chunk of two rows of 16 B and what Python keeps of a task, some kB each; a run is 2 MB
    assert grown[1] < grown[0] + 8_000
