"""README and docs show what their commands print, and every command that they name is one."""

from __future__ import annotations

import re
import shlex
from typing import Any

import pytest
import typer

from tests.docs_outputs import (
    PAGES,
    PROGRAM,
    ROOT,
    Command,
    commands,
    faults,
    rewritten,
    without_rest,
)
from vanclimate.cli import app

WITH_COMMANDS = [page for page in PAGES if commands(page.read_text(encoding="utf-8"))]
INLINE = re.compile(r"`(vanclimate [^`]+)`")


def of(page):
    return commands(page.read_text(encoding="utf-8"))


@pytest.mark.slow
@pytest.mark.parametrize("page", WITH_COMMANDS, ids=lambda page: page.name)
def test_a_page_shows_what_its_commands_print(page):
    found = faults(page.read_text(encoding="utf-8"))
    assert found == [], "run: python -m tests.docs_outputs --write"


def test_there_are_pages_with_commands():
    assert {"README.md", "night.md", "last.md"} <= {page.name for page in WITH_COMMANDS}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_and_option_is_one(page):
    """Those of a line of text too, which nobody runs."""
    text = page.read_text(encoding="utf-8")
    blocks = [x.text for x in of(page) if x.text.startswith("vanclimate")]
    for command in [*blocks, *(re.sub(r"\s+", " ", x) for x in INLINE.findall(text))]:
        for one in command.split("; "):
            assert_known(one)


def assert_known(command: str) -> None:
    words = [w for w in shlex.split(command.split(">")[0])[1:] if w != "…"]
    found: Any = typer.main.get_command(app)
    while hasattr(found, "commands") and words and not words[0].startswith("-"):
        assert words[0] in found.commands, command
        found = found.commands[words.pop(0)]
    known = {name for option in found.params for name in [*option.opts, *option.secondary_opts]}
    given = {w.split("=")[0] for w in words if re.match(r"--?[a-z]", w)}
    assert given <= known | {"--help", "-h"}, command


@pytest.mark.parametrize("page", WITH_COMMANDS, ids=lambda page: page.name)
def test_what_is_not_run_says_why(page):
    """What the script of CI runs stands there, letter by letter."""
    for command in of(page):
        if not command.text.startswith("vanclimate") and command.language == "sh":
            assert command.not_run, f"{page.name}, line {command.line}"
        match = re.search(r"\.ci/(\w+)", command.not_run)
        assert match is None or (ROOT / match[0]).exists(), command.not_run
        if command.not_run == ".ci/run does":
            assert command.text in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


PAGE = """\
Some text.

<!-- not run: needs the network -->
    vanclimate weather fetch Moab    brings it

Text.

    vanclimate --version             a remark

```
$ vanclimate --version
vanclimate 0.0.0
```

<!-- exits 2 -->
```
$ vanclimate night no-such.yaml
old
lines
…
```

```yaml
vanclimate: no
```
"""


def test_blocks_are_read_as_the_convention_says():
    assert commands(PAGE) == [
        Command(4, "vanclimate weather fetch Moab", not_run="needs the network"),
        Command(8, "vanclimate --version"),
        Command(11, "vanclimate --version", shown=("vanclimate 0.0.0",)),
        Command(17, "vanclimate night no-such.yaml", shown=("old", "lines", "…"), exits=2),
    ]
    assert all(PROGRAM.match(x.text) for x in commands(PAGE))


@pytest.mark.slow
def test_a_difference_is_found_and_written():
    found = faults(PAGE)
    assert len(found) == 3
    assert found[0].startswith("line 11, vanclimate --version: shows 'vanclimate 0.0.0'")
    assert "shows 'old'; printed" in found[1]
    assert "shows 2 lines, 1 were printed" in found[2]
    anew = rewritten(PAGE)
    assert faults(anew) == []
    assert anew.replace("\n", "").endswith("…``````yamlvanclimate: no```")


def test_rounding_is_left_out_of_balances_alone():
    assert without_rest("energy  1 Wh  2e−11 Wh  yes") == without_rest("energy 3 Wh −1e−9 Wh yes")
    assert without_rest("fuel 3 L") != without_rest("fuel 4 L")
