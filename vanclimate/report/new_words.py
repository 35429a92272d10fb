"""What ``vanclimate new`` asks and says.

What does not belong here: the sheet (van/new_sheet.py), and the asking (cli/new.py).
"""

from __future__ import annotations

import re
from pathlib import Path

from vanclimate.report.words import plain
from vanclimate.van.new_sheet import KINDS_SAID, PLACE_SAID, USES, Spot, Use

QUESTIONS = {
    "place": f"Where does it stand? {PLACE_SAID[0].upper()}{PLACE_SAID[1:]}.",
    "van": f"Which class of van? {KINDS_SAID[0].upper()}{KINDS_SAID[1:]}.",
    "for": "What for?\n" + "\n".join(f"  {use.name:<10} {use.said}" for use in USES),
}


def next_steps(file: Path, spot: Spot, use: Use) -> str:
    """Return what is said once the sheet is written: what to type next."""
    name = as_typed(str(file))
    page = as_typed(str(file.with_suffix(".html")))
    ask = f"vanclimate {use.question} {name}"
    lines = [
        (f"vanclimate check {name}", "what was understood, and what is guessed"),
        (ask, "the answer"),
        (f"{ask} --page {page}", "the same as a page for the client, or as .pdf"),
    ]
    first = ""
    if spot.fetch:
        first = (
            f"No weather of {plain(spot.site)} is on this machine yet. With a network, once:\n"
            f"  {plain(spot.fetch)}\n"
        )
    wide = max(len(command) for command, _ in lines)
    told = "\n".join(f"  {command:<{wide}}  {what}" for command, what in lines)
    return f"{plain(str(file))}: a sheet for {use.said}; edit it.\n{first}Then:\n{told}"


def schema_written(file: Path) -> str:
    """Return what is said once the schema is written beside a sheet."""
    name = plain(file.name)
    return (
        f"{plain(str(file))}: the schema of a sheet. An editor takes it for a sheet in the same "
        f"folder whose first line is:\n  # yaml-language-server: $schema={name}"
    )


def as_typed(name: str) -> str:
    """Return a file's name as it is typed: in double quotes where a shell would part it."""
    return plain(name) if re.fullmatch(r"[\w./\\:+,@%-]+", name) else f'"{plain(name)}"'
