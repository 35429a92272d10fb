"""Write the unknowns and the cautions into their pages: ``python -m tests.docs_lists``.

What does not belong here: printed outputs (docs_outputs.py) and the lists of docs/json.md
(json_page.py).
"""

from __future__ import annotations

import re
from pathlib import Path

from vanclimate.answers import cautions as said
from vanclimate.van.unknowns import LINKS, UNKNOWNS

DOCS = Path(__file__).resolve().parents[1] / "docs"
GROUPS = {
    "every answer": "ESTIMATE",
    "cooling": "AC_AND_BANK FRESH_AIR CLOSED",
    "engines": "ENGINE",
    "wiring, gas and roof": "WIRING",
    "heating": "FUEL_HEATER COLD",
    "shore power": "SHORE",
    "water and flames": "COOKING VENTILATE OPEN_FLAME ROOM_SEALED",
    "when cooling or heat stops": "NOT_ALONE NOT_A_PERMISSION LEAVE LEAVE_THE_COLD PIPES",
    "insulation": "INSULATION TIGHTER",
}
"""Which cautions of the code stand under which heading; a test wants all of them."""

PIECES = {"DO_NOT", "NO_LEAVE"}
"""Texts of that module which stand in others, or in a first line."""


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


def cautions() -> str:
    """Return the cautions, by what they are about."""
    blanks = {"room": "room", "loads": "what gives it off"}
    return "\n\n".join(
        f"**{heading.capitalize()}**\n\n"
        + "\n".join(f"- {getattr(said, name).format(**blanks)}" for name in names.split())
        for heading, names in GROUPS.items()
    )


def all_names() -> set[str]:
    """Return the names of all texts of the module of cautions."""
    return {n for n, v in vars(said).items() if n.isupper() and isinstance(v, str)}


LISTS = {"unknowns": ("odds.md", unknowns), "cautions": ("cautions.md", cautions)}
"""The page of each list, and what writes it."""


def page(name: str) -> str:
    """Return the page of a list with the list as the code has it."""
    file, made = LISTS[name]
    text = (DOCS / file).read_text(encoding="utf-8")
    between = re.compile(rf"<!-- {name} -->\n.*?<!-- end -->", re.DOTALL)
    anew, count = between.subn(lambda _: f"<!-- {name} -->\n{made()}\n<!-- end -->", text)
    if count != 1:
        raise ValueError(f"{file}: {count} places for {name}")
    return anew


if __name__ == "__main__":
    for name in LISTS:
        (DOCS / LISTS[name][0]).write_text(page(name), encoding="utf-8")
