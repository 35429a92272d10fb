"""What a shell completes: asked as bash asks, and by the functions themselves."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys

import pytest

from vanclimate.cli import complete


def asked(words: list[str], cwd=None) -> list[str]:
    """Ask by the protocol of bash: the words so far, and which of them is being typed."""
    env = os.environ | {
        complete.ASKED_BY: "complete_bash",
        "COMP_WORDS": " ".join(["vanclimate", *words]),
        "COMP_CWORD": str(len(words)),
    }
    command = [sys.executable, "-m", "vanclimate"]
    done = subprocess.run(
        command, env=env, capture_output=True, text=True, check=True, timeout=60, cwd=cwd
    )
    assert not done.stderr
    return done.stdout.splitlines()


def test_commands_and_values_are_completed_for_bash():
    assert asked(["n"]) == ["night", "new"]
    assert asked(["night", "--night", "h"]) == ["hottest"]
    assert asked(["library", "st"]) == ["stacks"]


@pytest.mark.slow
@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_itself_takes_what_is_shown_for_it(tmp_path):
    (tmp_path / "my van.yaml").touch()
    (tmp_path / "notes.txt").touch()
    (tmp_path / "vans").mkdir()
    program = tmp_path / "bin" / "vanclimate"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m vanclimate "$@"\n')
    program.chmod(0o755)
    script = """
    eval "$(vanclimate --show-completion)"
    try() { COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _vanclimate_completion "$1"; printf '%s|' "${COMPREPLY[@]}"; echo; }
    try vanclimate night --nig
    try vanclimate weather show sand
    try vanclimate night --units ''
    try vanclimate check my
    try vanclimate night --set battery.cap
    complete -p vanclimate
    """  # noqa: E501
    env = os.environ | {"PATH": f"{program.parent}:{os.environ['PATH']}"}
    bash = subprocess.run(
        ["bash", "--norc", "-c", script],
        capture_output=True, text=True, check=True, timeout=120, cwd=tmp_path, env=env,
    )  # fmt: skip
    option, place, units, sheets, keys, told = bash.stdout.splitlines()
    assert option == "--night|"
    assert place == r"sand\ point|"
    assert units == "us|si|"
    assert sheets == r"my\ van.yaml|"
    assert keys == "battery.capacity=|"
    assert "-F _vanclimate_completion vanclimate" in told


def test_sheets_and_folders_are_offered_and_nothing_else(tmp_path, monkeypatch):
    for name in ("a.yaml", "b.yml", "c.txt", ".hidden.yaml"):
        (tmp_path / name).touch()
    (tmp_path / "vans").mkdir()
    (tmp_path / "vans" / "d.yaml").touch()
    monkeypatch.chdir(tmp_path)
    assert complete.sheets("") == ["a.yaml", "b.yml", "vans/"]
    assert complete.sheets("vans/") == ["vans/d.yaml"]
    assert complete.sheets(".h") == [".hidden.yaml"]
    assert complete.sheets("no such/") == []


def test_every_key_that_is_offered_is_one_that_a_sheet_knows():
    from vanclimate.van.paths import steps_of
    from vanclimate.van.schema import keys_at, near_key

    offered = [key.removesuffix("=") for key in complete.keys("")]
    assert {"month", "battery.capacity", "people.settle_in"} <= set(offered)
    assert not any(key.startswith("windows") for key in offered)  # a list's items are counted
    for key in offered:
        *section, last = steps_of(key)
        assert last in keys_at(section), near_key(steps_of(key))
    assert complete.keys("people.settle i") == ["people.settle_in="]


def test_every_load_and_place_that_is_offered_is_one(tmp_path, monkeypatch):
    from vanclimate.site.sites import shipped_sites
    from vanclimate.van.load_library import usual_load

    monkeypatch.setenv("VANCLIMATE_CACHE", str(tmp_path))
    assert {"kettle", "fridge"} <= set(complete.loads(""))
    assert all(usual_load(name) for name in complete.loads(""))
    assert complete.places("MI") == ["miami"]
    assert complete.places("") == list(shipped_sites())


def test_only_bash_is_given_words_that_are_quoted_already(monkeypatch):
    assert complete.places("sand") == ["sand point"]
    monkeypatch.setenv(complete.ASKED_BY, "complete_zsh")
    assert complete.places("sand") == ["sand point"]
    monkeypatch.setenv(complete.ASKED_BY, "complete_bash")
    assert complete.places("sand") == [r"sand\ point"]
