"""The cache: kept, keyed by the source, rebuilt when broken, never in the way."""

import gc
import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from vanclimate import cache


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def counting():
    calls = []

    def build():
        calls.append(1)
        return {"a": np.arange(3.0), "text": np.array("näme")}

    return calls, build


def test_second_call_reads_the_entry_and_gives_the_same(folder):
    calls, build = counting()
    first = cache.cached_arrays("kind", ("key", 1.5), build)
    second = cache.cached_arrays("kind", ("key", 1.5), build)
    assert calls == [1]
    assert second["a"].tolist() == first["a"].tolist() == [0.0, 1.0, 2.0]
    assert str(second["text"]) == "näme"
    assert [p.suffix for p in (folder / "kind").iterdir()] == [".npz"]


def test_two_threads_read_at_once(folder):
    arrays = {f"a{i}": np.full(3, float(i)) for i in range(30)}

    def read(i):
        cache._stored.cache_clear()
        return cache.cached_arrays("kind", (i % 4,), lambda: arrays)["a7"][0]

    def switch(phase, info):  # to the other thread, wherever the first one is
        time.sleep(0)

    assert [read(i) for i in range(4)] == [7.0] * 4
    before = gc.get_threshold()
    gc.callbacks.append(switch)
    gc.set_threshold(20)
    try:
        with ThreadPoolExecutor(4) as pool:
            assert list(pool.map(read, range(80))) == [7.0] * 80
    finally:
        gc.set_threshold(*before)
        gc.callbacks.remove(switch)


def test_another_key_or_kind_is_another_entry(folder):
    calls, build = counting()
    cache.cached_arrays("kind", ("key",), build)
    cache.cached_arrays("kind", ("other",), build)
    cache.cached_arrays("sort", ("key",), build)
    assert len(calls) == 3


@pytest.mark.parametrize("damage", [b"", b"not an npz", b"PK\x03\x04half"])
def test_a_broken_entry_is_rebuilt(folder, damage):
    calls, build = counting()
    cache.cached_arrays("kind", ("key",), build)
    (entry,) = (folder / "kind").iterdir()
    entry.write_bytes(damage)
    assert cache.cached_arrays("kind", ("key",), build)["a"].size == 3
    assert len(calls) == 2
    cache.cached_arrays("kind", ("key",), build)
    assert len(calls) == 2


def test_an_entry_cut_short_is_rebuilt(folder):
    calls, build = counting()
    cache.cached_arrays("kind", ("key",), build)
    (entry,) = (folder / "kind").iterdir()
    entry.write_bytes(entry.read_bytes()[:-40])
    cache.cached_arrays("kind", ("key",), build)
    assert len(calls) == 2


def test_a_folder_that_cannot_be_written_only_computes(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path / "file"))
    calls, build = counting()
    for _ in range(2):
        assert cache.cached_arrays("kind", ("key",), build)["a"].size == 3
    assert len(calls) == 2


def test_a_fault_of_build_is_passed_on_and_nothing_is_kept(folder):
    def build():
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        cache.cached_arrays("kind", ("key",), build)
    assert not folder.exists()


def test_hash_follows_content_and_name_of_every_source_file(tmp_path):
    (tmp_path / "deep").mkdir()
    source = tmp_path / "deep" / "a.py"
    source.write_text("x = 1\n")
    first = cache.hash_of_tree(tmp_path)
    source.write_text("x = 2\n")
    second = cache.hash_of_tree(tmp_path)
    source.rename(tmp_path / "a.py")
    third = cache.hash_of_tree(tmp_path)
    assert len({first, second, third}) == 3
    assert len(cache.source_hash()) == 16


def test_only_what_the_loop_can_hold_counts_for_its_compiled_code(tmp_path):
    from tests.test_imports import ORDER

    above = ORDER[ORDER.index("simulate") + 1 : -1]  # __main__ is no folder
    assert sorted(cache.ABOVE_THE_LOOP) == sorted(above)
    for name in ("answers", "simulate"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "a.py").write_text("x = 1\n")
    first = cache.hash_of_tree(tmp_path, leave_out=cache.ABOVE_THE_LOOP)
    (tmp_path / "answers" / "a.py").write_text("x = 2\n")
    assert cache.hash_of_tree(tmp_path, leave_out=cache.ABOVE_THE_LOOP) == first
    (tmp_path / "simulate" / "a.py").write_text("x = 2\n")
    assert cache.hash_of_tree(tmp_path, leave_out=cache.ABOVE_THE_LOOP) != first


def test_a_changed_source_never_serves_an_old_entry(folder, monkeypatch):
    calls, build = counting()
    cache.cached_arrays("kind", ("key",), build)
    monkeypatch.setattr(cache, "source_hash", lambda: "another")
    cache.cached_arrays("kind", ("key",), build)
    assert len(calls) == 2


def test_shipped_files_are_found():
    assert cache.data_path("weather", "sites.json").is_file()


def test_a_librarys_version_is_part_of_the_key():
    from importlib.metadata import version

    from vanclimate.cache import installed_version

    for name in ("numpy", "numba", "pvlib", "pythermalcomfort"):
        assert version(name) in installed_version(name)
    assert installed_version("no-such-library") == "no-such-library"
