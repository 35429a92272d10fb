from __future__ import annotations

import re
from pathlib import Path

from typer.testing import CliRunner

from vanclimate.cli import app

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")


def unrounded(text: str) -> list[str]:
    """Return the lines whose figures do not hang on the last bits of a sum."""
    return [x.rstrip() for x in text.strip().splitlines() if not re.search(r"\de[−-]\d", x)]


def test_the_demo_in_the_readme_is_what_is_printed(monkeypatch):
    monkeypatch.setattr("vanclimate.answers.night_odds.DRAWS", 64)  # see conftest
    block = re.search(r"```\n(Holds.*?)```", README, re.DOTALL)
    assert block is not None
    done = CliRunner().invoke(app, ["night", "--units", "us"], env={"COLUMNS": "100"})
    assert done.exit_code == 0
    assert unrounded(done.stdout) == unrounded(block[1])


def test_readme_opens_with_the_job_in_one_paragraph():
    title, paragraph = README.split("\n\n")[:2]
    assert title == "# vanclimate"
    assert "air\nconditioner gets through a hot night on the battery" in paragraph
