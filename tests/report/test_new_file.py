from __future__ import annotations

import os
from pathlib import Path

import pytest

from vanclimate.errors import OptionError
from vanclimate.report.new_file import check_target, put


def check(path: Path, own: bytes | None = None) -> Path:
    return check_target(path, (), "--page", "a file", own)


def test_nothing_is_left_behind_and_an_old_file_stays_when_the_disk_is_full(tmp_path, monkeypatch):
    target = tmp_path / "night.html"
    target.write_text("old")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OptionError, match="No space left"):
        put(b"new", target, "--page", "a file")
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]


def test_a_file_is_put_whole_with_the_rights_of_any_new_file(tmp_path):
    put(b"new", tmp_path / "a", "--page", "a file")
    (tmp_path / "b").write_bytes(b"other")
    assert (tmp_path / "a").read_bytes() == b"new"
    assert (tmp_path / "a").stat().st_mode == (tmp_path / "b").stat().st_mode


def test_a_file_that_is_there_goes_only_where_it_may(tmp_path):
    old = tmp_path / "old"
    old.write_bytes(b"question,1")
    with pytest.raises(OptionError, match="another file"):
        check(old)
    with pytest.raises(OptionError, match="another file"):
        check(old, b"start,")
    assert check(old, b"question,") == check(old, b"") == old
    old.write_bytes(b"")
    assert check(old) == old


def test_a_read_only_file_is_kept_even_from_who_may_all(tmp_path):
    old = tmp_path / "old"
    old.write_bytes(b"x")
    old.chmod(0o444)
    with pytest.raises(OptionError, match="read-only"):
        check(old, b"")
