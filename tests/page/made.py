"""Every question's answer as a new user gets it: page, figures, JSON and what is printed."""

from __future__ import annotations

import csv
import json
import tempfile
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from vanclimate import cli
from vanclimate.cache import data_path

QUESTIONS: dict[str, list[str]] = {
    "night": ["night", "holds"],
    "night, no": ["night", "fails-on-heat"],
    "night, winter": ["night", "winter-work-van"],
    "stacks": ["stacks", "holds"],
    "trip": ["trip", "winter-trip"],
    "last": ["last", "holds", "--futures", "64"],
    "size": ["size", "winter-work-van", "--futures", "40"],
    "coast": ["coast", "holds"],
    "compare": ["night", "holds", "--compare", "fails-on-charge"],
}
"""By what it is called here: the command, its scenario and its options."""


@dataclass(frozen=True)
class Made:
    """What one question gave."""

    page: Path
    told: dict[str, Any]  # of JSON
    rows: list[dict[str, str]]  # of CSV
    printed: str


@cache
def made(name: str) -> Made:
    """Ask a question twice: for programs, and for people."""
    folder = Path(tempfile.mkdtemp(prefix="pages-"))
    page, table = folder / "page.html", folder / "figures.csv"
    options = [
        str(data_path("scenarios", f"{x}.yaml")) if data_path("scenarios", f"{x}.yaml").is_file()
        else x for x in QUESTIONS[name]
    ]  # fmt: skip
    told = _run(*options, "--json", "--page", str(page), "--csv", str(table))
    printed = _run(*options)
    with table.open(newline="", encoding="utf-8") as text:
        rows = list(csv.DictReader(text))
    return Made(page, json.loads(told), rows, printed)


def _run(*args: str) -> str:
    done = CliRunner().invoke(cli.app, list(args))
    assert done.exit_code == 0, done.output
    return done.stdout


@dataclass
class Read:
    """A page as it is read: its texts by element's class, its tables by their heading."""

    tables: dict[str, list[list[str]]] = field(default_factory=dict)
    texts: dict[str, list[str]] = field(default_factory=dict)


class _Reader(HTMLParser):
    """Reads what is shown in one unit system."""

    def __init__(self, units: str) -> None:
        super().__init__(convert_charrefs=True)
        self.units, self.read = units, Read()
        self.heading, self.open, self.hidden = "", [("", "")], 0
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        kind = dict(attrs).get("class") or ""
        if tag in ("meta", "input", "br", "path", "use"):
            return
        self.open.append((tag, kind))
        if self.hidden or kind == ("si" if self.units == "us" else "us"):
            self.hidden += 1
        if tag == "tr" and not self.hidden:
            self.read.tables.setdefault(self.heading, []).append([])
        if tag in ("h1", "h2", "h3", "th", "td", "p", "li", "dt", "dd"):
            self.text = ""

    def handle_data(self, data: str) -> None:
        if not self.hidden:
            self.text += data

    def handle_endtag(self, tag: str) -> None:
        if tag in ("path", "use"):
            return
        _, kind = self.open.pop()
        if self.hidden:
            self.hidden -= 1
            return
        text = " ".join(self.text.split())
        if tag in ("h2", "h3"):
            self.heading = text
        if tag in ("th", "td"):
            self.read.tables[self.heading][-1].append(text)
        if tag in ("h1", "p", "li", "dt", "dd"):
            self.read.texts.setdefault(kind or tag, []).append(text)


def read_page(page: str, units: str) -> Read:
    """Read a page's texts and tables as one unit system shows them."""
    reader = _Reader(units)
    reader.feed(page)
    return reader.read
