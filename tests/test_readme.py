from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_readme_opens_with_the_job_in_one_paragraph():
    title, paragraph = README.split("\n\n")[:2]
    assert title == "# vanclimate"
    assert "air\nconditioner gets through a hot night on the battery" in paragraph


def test_links_to_files_of_the_repository_lead_somewhere():
    found = re.findall(r"\]\(([^):#]+)(?:#[^)]*)?\)", README)
    assert len(found) > 5
    assert [name for name in found if not (ROOT / name).exists()] == []
