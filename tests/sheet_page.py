"""Write the tables of docs/sheet.md from the models: ``python -m tests.sheet_page --write``.

What does not belong here: what is said of a key (report/sheet_words.py), and checks.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from pydantic import BaseModel

from vanclimate.report.sheet_words import KeyWords, key_words, sections
from vanclimate.van.layers import Layer
from vanclimate.van.new_sheet import USES
from vanclimate.van.own_texts import PARTS
from vanclimate.van.schema import section_type
from vanclimate.van.sheet import Sheet

PAGE = Path(__file__).resolve().parent.parent / "docs" / "sheet.md"
KEYS, USED = ("<!-- keys -->\n", "<!-- end -->"), ("<!-- uses -->\n", "<!-- end of uses -->")
TITLES: dict[type[BaseModel], str] = {Sheet: "The sheet itself", Layer: "A layer"}


def page() -> str:
    """Return the page with its tables as the models have them."""
    text = PAGE.read_text(encoding="utf-8")
    text = _between(text, *KEYS, "\n" + "".join(_section(part) for part in sections()))
    return _between(text, *USED, _uses())


def _between(text: str, begin: str, end: str, new: str) -> str:
    """Return a text with something else between two marks."""
    before, rest = text.split(begin)
    return f"{before}{begin}{new}{rest[rest.index(end) :]}"


def _uses() -> str:
    """Return what a van may be for, and the sections that its sheet then has."""
    rows = "".join(f"| `{u.name}` | {u.said} | {', '.join(u.sections)} |\n" for u in USES)
    return f"| `--for` | | sections that are no comments |\n|---|---|---|\n{rows}"


def _section(part: type[BaseModel]) -> str:
    """Return the heading, the text and the table of one section."""
    places = list(dict.fromkeys(_places(part)))
    title = TITLES.get(part) or f"`{places[0]}`"
    said = (part.__doc__ or "").strip().split("\n")[0]
    if part in PARTS:
        said += f" In one line: {PARTS[part].said}."
    if len(places) > 1:
        said += f" Stands at {', '.join(f'`{place}`' for place in places)}."
    rows = "".join(_row(name, key_words(part, name)) for name in part.model_fields)
    head = "| key | what it is, and what it may hold | left out | why; what settles it |\n"
    return f"### {title}\n\n{said}\n\n{head}|---|---|---|---|\n{rows}\n"


def _row(name: str, words: KeyWords) -> str:
    settle = f"settle it: {words.settle}" if words.settle else ""
    why = "; ".join(text for text in (words.why, settle) if text)
    cells = (
        f"`{name.replace('_', ' ')}`", f"{words.means}: {words.holds}",
        words.default or "must be given", why,
    )  # fmt: skip
    return f"| {' | '.join(_cell(text) for text in cells)} |\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("<", "&lt;")


def _places(part: type[BaseModel]) -> Iterator[str]:
    """Yield where a section stands in a sheet: its keys from the top."""
    for holder in sections():
        for name, info in holder.model_fields.items():
            if section_type(info.annotation) is part and holder is not part:
                above = next(_places(holder), "") if holder is not Sheet else ""
                yield f"{above}.{name}".removeprefix(".").replace("_", " ")


if __name__ == "__main__":
    if "--write" in sys.argv:
        PAGE.write_text(page(), encoding="utf-8", newline="\n")
    else:
        print(page(), end="")
