"""A guess at the three lines that a table of one's own needs at its top, for the user to complete.

What does not belong here: reading those lines (`mapping`).
"""

from __future__ import annotations

import re

from vanclimate.site.formats.mapping import BRACKETS, delimiter_of
from vanclimate.site.formats.rows import printable, split

_GUESSES = (
    ("dew point", r"dew"), ("humidity", r"\brh\b|humid"), ("direct sun", r"dni|direct|beam"),
    ("diffuse sun", r"dhi|diffuse"), ("sun", r"ghi|solar|global|sun|irradiance|radiation"),
    ("pressure", r"press|baro"), ("wind direction", r"wind.?dir|wdir|\bwd\b|\bdir\b|direction"),
    ("wind", r"wind|wspd|\bws\b"), ("cloud", r"cloud"), ("air", r"temp|air|\bta?\b|dry.?bulb"),
)  # fmt: skip
_OPEN = "…"


def suggest(text: str) -> str:
    """Return three lines guessed from a table's header, for the user to complete.

    >>> print(suggest("Time,Temp (F),RH (%)").splitlines()[0])
    # columns: time = "Time", air = "Temp (F)" in F, humidity = "RH (%)" in %
    """
    lines = [line for line in text[:20_000].splitlines() if line.strip()]
    head = next((line for line in lines if not line.lstrip('"').startswith("#")), "")
    header = [printable(field).strip('"') for field in split(head, delimiter_of(head))]
    entries, taken = [], set()
    times = [f for f in header if re.search(r"time|date|stamp|\bday\b|hour", f, re.IGNORECASE)]
    joined = " + ".join(f'"{f}"' for f in times[:2])
    entries.append(f"time = {joined or _OPEN}")
    for field in header:
        if field in times:
            continue
        lower = field.casefold().replace("_", " ")
        for what, pattern in _GUESSES:
            if what not in taken and re.search(pattern, lower):
                match = BRACKETS.fullmatch(field)
                unit = (match[2] or match[3]) if match else None
                entries.append(f'{what} = "{field}" in {unit or _OPEN}')
                taken.add(what)
                break
    return "\n".join(
        (
            f"# columns: {', '.join(entries)}",
            f"# clock: UTC{_OPEN}, stamp at {_OPEN}",
            f"# place: {_OPEN}, {_OPEN} N, {_OPEN} W, {_OPEN} m",
        )
    )
