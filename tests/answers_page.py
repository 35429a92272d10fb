"""``python -m tests.answers_page``: write real outputs and the unknowns into docs/answers.md."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

from vanclimate.van.unknowns import LINKS, UNKNOWNS

ROOT = Path(__file__).resolve().parents[1]
PAGE = ROOT / "docs" / "answers.md"
BLOCK = re.compile(r"```\n\$ vanclimate ([^\n]+)\n(.*?)```", re.DOTALL)
TABLE = re.compile(r"<!-- unknowns -->\n.*?<!-- end -->", re.DOTALL)
WIDTH = "100"


def output(command: str) -> str:
    """Return what a command prints at `WIDTH` columns."""
    env = os.environ | {"COLUMNS": WIDTH, "PYTHONIOENCODING": "utf-8"}
    done = subprocess.run(
        [sys.executable, "-m", "vanclimate", *shlex.split(command)],
        cwd=ROOT, env=env, capture_output=True, text=True, check=True, encoding="utf-8",
    )  # fmt: skip
    return "\n".join(line.rstrip() for line in done.stdout.splitlines())


def unknowns() -> str:
    """Return the table of unknowns."""
    rows = [f"| {u.name} | {u.source} | {u.settle} |" for u in UNKNOWNS]
    links = "; ".join(f"{a} with {b} {value:g}" for (a, b), value in LINKS.items())
    head = "| unknown | spread: its source | what settles it |\n|---|---|---|\n"
    return (
        f"{head}"
        + "\n".join(rows)
        + f"\n\nThey hang together (rank correlation, assumed): {links}."
    )


def commands() -> list[str]:
    """Return the commands of the page, in order."""
    return [match[1] for match in BLOCK.finditer(PAGE.read_text(encoding="utf-8"))]


def shown(command: str) -> str:
    """Return the output that the page shows for a command."""
    text = PAGE.read_text(encoding="utf-8")
    return next(m[2].rstrip("\n") for m in BLOCK.finditer(text) if m[1] == command)


def page() -> str:
    """Return the page with all outputs and the table anew."""
    text = PAGE.read_text(encoding="utf-8")
    text = BLOCK.sub(lambda m: f"```\n$ vanclimate {m[1]}\n{output(m[1])}\n```", text)
    return TABLE.sub(lambda m: f"<!-- unknowns -->\n{unknowns()}\n<!-- end -->", text)


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
