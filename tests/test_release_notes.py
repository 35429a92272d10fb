"""The version stands in one place, and notes of changes are as they are asked for."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
import yaml

from vanclimate import __version__

ROOT = Path(__file__).parents[1]
NOTES = [p for p in (ROOT / "docs" / "changes").iterdir() if p.name != "README.md"]
CITATION = yaml.safe_load((ROOT / "CITATION.cff").read_text(encoding="utf-8"))


def test_the_version_is_the_package_s():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert "version" not in project
    assert CITATION["version"] == __version__
    assert re.fullmatch(r"\d+\.\d+\.\d+(rc\d+)?", __version__)


def test_a_citation_names_no_person():
    """Keys that the Citation File Format 1.2.0 wants of every file, and an entity as the author."""
    assert {"cff-version", "message", "title", "authors"} <= set(CITATION)
    assert CITATION["cff-version"] == "1.2.0"
    assert CITATION["authors"] == [{"name": "The vanclimate authors"}]


@pytest.mark.parametrize("note", NOTES, ids=lambda note: note.name)
def test_a_note_of_a_change_is_a_sentence_or_two(note):
    assert re.fullmatch(r"\+[a-z0-9-]+\.(new|changed|fixed)\.md", note.name), "see its README.md"
    text = note.read_text(encoding="utf-8").strip()
    assert text.endswith(".")
    assert "\n\n" not in text


def test_the_newest_release_is_in_the_changelog_unless_its_notes_wait():
    text = (ROOT / "docs" / "changelog.md").read_text(encoding="utf-8")
    assert f"## {__version__} (" in text or NOTES
