"""``--page`` and ``--csv``: where they may write, and what happens where they may not."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.cache import data_path
from vanclimate.cli import options
from vanclimate.page import printing


def run(*args: str, answer: str = ""):
    return CliRunner().invoke(cli.app, ["night", *args], input=answer)


def own_sheet(path: Path) -> Path:
    path.write_text(data_path("scenarios", "holds.yaml").read_text())
    return path


def refused(*args: str, answer: str = "") -> str:
    """Return the one line with which a command is refused."""
    done = run(*args, answer=answer)
    assert done.exit_code == 2, done.output
    lines = [x for x in done.stderr.strip().splitlines() if not x.startswith("compiling")]
    assert len(lines) == 1
    return lines[0]


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A page that is there already."""
    path = tmp_path / "night.html"
    path.write_text("old")
    return path


def test_a_folder_a_missing_folder_a_device_and_another_kind_of_file_are_refused(tmp_path):
    (tmp_path / "night.html").mkdir()
    assert "it is a folder" in refused("--page", str(tmp_path / "night.html"))
    assert "folder is not there" in refused("--page", str(tmp_path / "no" / "night.html"))
    assert "ends in .html or .pdf" in refused("--page", str(tmp_path / "night.docx"))
    assert "ends in .html or .pdf" in refused("--page", "/dev/null")


def test_a_page_that_is_there_stays_without_force(old):
    assert "--force replaces it" in refused("--page", str(old))
    assert old.read_text() == "old"


def test_a_read_only_page_stays_even_with_force(old):
    old.chmod(0o444)
    assert "read-only" in refused("--page", str(old), "--force")
    assert old.read_text() == "old"


def test_a_sheet_is_never_overwritten(tmp_path):
    sheet = own_sheet(tmp_path / "van.html")
    text = sheet.read_text()
    assert "being read" in refused(str(sheet), "--page", str(sheet), "--force")
    assert sheet.read_text() == text


def test_on_a_terminal_it_asks(old, monkeypatch):
    class Terminal:
        """Stands for the modules whose streams are asked whether they are a terminal."""

        stdin = stderr = type("Stream", (), {"isatty": staticmethod(lambda: True)})

    monkeypatch.setattr(options, "sys", Terminal)
    done = run("--page", str(old), answer="n\n")
    assert done.exit_code == 2
    assert "Replace it?" in done.stderr
    assert old.read_text() == "old"
    assert options.Asked(page=old, force=True)._may_replace()
    assert not options.Asked(page=old.with_name("new.html"))._may_replace()


def test_one_file_is_not_written_twice(tmp_path):
    both = str(tmp_path / "t.csv")
    assert "another file than that of --csv" in refused("--csv", both, "--trace", both)
    assert "another file" in refused("--csv", str(own_sheet(tmp_path / "van.yaml")))


def test_without_a_browser_a_pdf_says_how_to_print(tmp_path, monkeypatch):
    monkeypatch.setattr(printing, "browser", lambda: None)
    line = refused("--page", str(tmp_path / "night.pdf"))
    assert f"open {tmp_path / 'night.html'} in any browser and print it" in line


def test_a_browser_of_ones_own_is_taken(monkeypatch, tmp_path):
    own = tmp_path / "browser"
    own.write_text("#!/bin/sh\nexit 1\n")
    own.chmod(0o755)
    monkeypatch.setenv(printing.OWN, str(own))
    assert printing.browser() == str(own)
    monkeypatch.setenv(printing.OWN, str(tmp_path / "none"))
    assert printing.browser() is None


def test_a_full_disk_leaves_the_old_page_and_nothing_else(old, monkeypatch):
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    assert "No space left" in refused("--page", str(old), "--force")
    assert old.read_text() == "old"
    assert list(old.parent.iterdir()) == [old]


def test_what_was_written_is_said_last_of_all(old):
    done = run("--page", str(old), "--force")
    assert done.exit_code == 0
    last = " ".join(done.stdout.split("Written: ")[1].split())
    assert last == f"page to {old}; open it in a browser, it prints on two sheets."


def test_a_page_and_figures_are_written_beside_json(old):
    table = old.with_name("figures.csv")
    done = run("--page", str(old), "--csv", str(table), "--force", "--json")
    assert done.exit_code == 0
    told = json.loads(done.stdout)
    page = old.read_text(encoding="utf-8")
    assert page.startswith("<!doctype html>")
    assert told["first_line"] in page
    assert table.read_text().count("\n") == 1 + len(told["figures"])
    assert sorted(old.parent.iterdir()) == sorted([old, table])
