"""Run the commands that README and docs show: ``python -m tests.docs_outputs --write``.

Every line of a code block that begins with a program is a command. A page's commands run one after
the other in a scratch folder of the page, where ``scenarios`` is the repository's.

- After ``$ `` in a fenced block stands what the command prints at 100 columns, compared line by
  line; where the last line is ``…``, the page shows the beginning alone.
- Any other command, and a block of Python, is run for its exit code; two spaces or more begin a
  remark. Its odds are of few draws, for nobody reads them.
- ``<!-- not run: WHY -->`` above a block leaves it out, ``<!-- exits 2 -->`` allows that code and
  shows what went to stderr.

What does not belong here: parts of a page that are written from the code (docs_lists.py).
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from markdown_it import MarkdownIt
from markdown_it.token import Token

from tests.site.invented_files import as_mapped_csv, invented_days

ROOT = Path(__file__).resolve().parents[1]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
PROGRAM = re.compile(r"(?:vanclimate|python3?|py|pip|bash|\.venv\S*)(?=\s|$)")


def _write_station(path: Path) -> None:
    path.write_text(as_mapped_csv(invented_days(10)), encoding="utf-8")


NOT_RUN = re.compile(r"<!-- not run: (.+?) -->")
EXITS = re.compile(r"<!-- exits (\d) -->")
MADE = {"my-van.yaml": None, "other.yaml": None, "my-station.csv": _write_station}
"""Files that pages take as there: made where a command names one that an earlier did not make; a
sheet by ``vanclimate new``."""

MORE = "…"
WIDTH = "100"
SHIM = """\
#!{python}
import os, sys
if os.environ.get("FEW_DRAWS"):
    import vanclimate.answers.night_odds
    vanclimate.answers.night_odds.DRAWS = 8
    if sys.argv[1] in ("last", "size") and "--futures" not in sys.argv:
        sys.argv += ["--futures", "20"]
from vanclimate.cli import main
main()
"""
NUMBER = re.compile(r"[−-]?[\d,]+(?:\.\d+)?(?:e[−-]\d+)?")


@dataclass(frozen=True)
class Command:
    """A command of a page, and what the page shows of its output."""

    line: int  # of the page, from 1
    text: str
    language: str = "sh"  # or python
    shown: tuple[str, ...] | None = None  # None: run for its exit code
    exits: int = 0
    not_run: str = ""  # why

    @property
    def compared(self) -> tuple[str, ...]:
        """Return the lines that stand for the output's, without the sign that more follows."""
        shown = self.shown or ()
        return shown[:-1] if shown and shown[-1] == MORE else shown


def commands(text: str) -> list[Command]:
    """Return the commands of a page, in order."""
    out, above = [], ""
    for token in MarkdownIt("commonmark").parse(text):
        if token.type in ("fence", "code_block"):
            out += _of_block(token, above)
        if token.type in ("fence", "code_block", "html_block", "paragraph_open", "heading_open"):
            above = token.content if token.type == "html_block" else ""
    return out


def _of_block(token: Token, above: str) -> Iterator[Command]:
    """Yield the commands of a code block, which ``above`` is a comment over."""
    assert token.map is not None
    first = token.map[0] + (2 if token.type == "fence" else 1)
    why, code = NOT_RUN.search(above), EXITS.search(above)
    not_run, exits = why[1] if why else "", int(code[1]) if code else 0
    lines = token.content.splitlines()
    if token.info == "python":
        yield Command(first, token.content, "python", not_run=not_run)
    elif token.info not in ("", "sh", "console", "powershell"):
        return
    starts = [n for n, line in enumerate(lines) if line.startswith("$ ")]
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=False):
        shown = tuple(x.rstrip() for x in lines[start + 1 : end])
        yield Command(first + start, lines[start][2:], "sh", shown, exits, not_run)
    if not starts and token.info != "python":
        for n, line in enumerate(lines):
            if PROGRAM.match(line):
                text = re.split(r"\s{2,}", line.rstrip())[0]
                yield Command(first + n, text, exits=exits, not_run=not_run)


def run(found: list[Command]) -> Iterator[tuple[Command, list[str], int]]:
    """Run a page's commands in a scratch folder; yield each, what it printed, and its exit code."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        bin_dir = folder / ".bin"
        bin_dir.mkdir()
        shim = bin_dir / "vanclimate"
        shim.write_text(SHIM.format(python=sys.executable))
        shim.chmod(0o755)
        (folder / "scenarios").symlink_to(ROOT / "scenarios")
        path = os.pathsep.join([str(bin_dir), str(Path(sys.executable).parent), os.environ["PATH"]])
        env = os.environ | {"COLUMNS": WIDTH, "PYTHONIOENCODING": "utf-8", "PYTHONPATH": str(ROOT),
                            "PATH": path, "MPLBACKEND": "agg"}  # fmt: skip
        for command in found:
            if not command.not_run:
                yield command, *_run_one(command, folder, env)


def _run_one(command: Command, folder: Path, env: dict[str, str]) -> tuple[list[str], int]:
    for made, make in MADE.items():
        named = made in command.text and not command.text.startswith("vanclimate new")
        if named and not (folder / made).exists():
            if make is not None:
                make(folder / made)
            else:
                new = ["bash", "-c", f"vanclimate new {made}"]
                subprocess.run(new, cwd=folder, env=env, check=True, capture_output=True)
    shell = ["bash", "-c", command.text]
    done = subprocess.run(
        [sys.executable, "-c", command.text] if command.language == "python" else shell,
        cwd=folder, env=env if command.shown is not None else env | {"FEW_DRAWS": "1"},
        capture_output=True, text=True, encoding="utf-8", stdin=subprocess.DEVNULL, check=False,
    )  # fmt: skip
    told = done.stdout + (done.stderr if done.returncode else "")
    return [line.rstrip() for line in told.splitlines()], done.returncode


def faults(text: str) -> list[str]:
    """Return what differs between a page and what its commands do, a line each."""
    out = []
    for command, printed, code in run(commands(text)):
        where = f"line {command.line}, {command.text.splitlines()[0]}"
        if code != command.exits:
            out += [f"{where}: exit code {code}", *printed[-5:]]
        elif command.shown is not None:
            asked = [without_rest(x) for x in command.compared]
            there = [without_rest(x) for x in _as_shown(printed, command)]
            pairs = zip(asked, there, strict=False)
            out += [f"{where}: shows {a!r}; printed {b!r}" for a, b in pairs if a != b][:3]
            if len(asked) != len(there):
                out.append(f"{where}: shows {len(asked)} lines, {len(there)} were printed")
    return out


def _as_shown(printed: list[str], command: Command) -> list[str]:
    """Return as much of an output as the page shows."""
    shown = command.shown or ()
    return printed[: len(command.compared)] if shown and shown[-1] == MORE else printed


def without_rest(line: str) -> str:
    """Return a line; of a balance without its figures, and without how far a sign moves them."""
    return " ".join(NUMBER.sub("0", line).split()) if " yes" in line else line


def rewritten(text: str) -> str:
    """Return a page with all its outputs anew."""
    lines = text.splitlines()
    for command, printed, code in reversed(list(run(commands(text)))):
        if code != command.exits:
            raise SystemExit(f"{command.text}: exit code {code}\n" + "\n".join(printed))
        if command.shown is None:
            continue
        more = [MORE] if command.shown[-1:] == (MORE,) else []
        end = command.line + len(command.shown)
        lines[command.line : end] = [*_as_shown(printed, command), *more]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    if "--write" not in sys.argv:
        raise SystemExit("python -m tests.docs_outputs --write [page …]")
    named = [Path(name).resolve() for name in sys.argv if name.endswith(".md")]
    for page in named or PAGES:
        page.write_text(rewritten(page.read_text(encoding="utf-8")), encoding="utf-8")
