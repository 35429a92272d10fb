"""A stream that copes with characters its encoding lacks.

What does not belong here: what is written to it.
"""

from __future__ import annotations

import re
from typing import IO

# stand-ins where an encoding lacks a character
SPELT = {
    "°": " deg", "−": "-", "–": "-", "—": "-", "…": "...", "·": ".", "×": "x", "→": "->",
    "²": "2", "³": "3", "Ω": "ohm", "µ": "u", "≥": ">=", "≤": "<=", "’": "'", "±": "+/-",
}  # fmt: skip

# signs that turn the direction of writing: a terminal would obey them in the middle of a table
DIRECTIONS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")


class Carrying:
    """A stream that spells out the characters its encoding lacks."""

    def __init__(self, stream: IO[str]) -> None:
        self._stream = stream
        self.encoding = getattr(stream, "encoding", None) or "utf-8"

    def carries(self, text: str) -> bool:
        """Return whether the stream can write a text as it is."""
        try:
            text.encode(self.encoding)
        except (UnicodeEncodeError, LookupError):
            return False
        return True

    def write(self, text: str) -> int:
        """Write a text, spelt out where need be, without the blanks that end a line."""
        text = re.sub(r" +(?=\n)", "", DIRECTIONS.sub("", text))
        if not self.carries(text):
            text = text.replace("°F", "F").replace("°C", "C").replace("F°", "F deg")
            text = "".join(c if self.carries(c) else SPELT.get(c, "?") for c in text)
        return self._stream.write(text)

    def flush(self) -> None:
        """Hand on what was written."""
        self._stream.flush()

    def isatty(self) -> bool:
        """Return whether somebody reads along."""
        return self._stream.isatty()

    def fileno(self) -> int:
        """Return the stream's number, from which a terminal's width is known."""
        return self._stream.fileno()
