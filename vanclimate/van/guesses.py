"""What a sheet does not say, and is therefore guessed.

What does not belong here: the defaults themselves, which stand at their fields.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from vanclimate.units import System
from vanclimate.van.fields import Part, in_use
from vanclimate.van.panels import RoofPanels

APART = frozenset({"trip", "water"})
"""Sections of the sheet that move one answer alone, which tells of their guesses itself."""


@dataclass(frozen=True)
class Guess:
    """A value that the sheet did not give.

    Parameters
    ----------
    path : such as 'body.leakage'; `Sheet.with_value` takes it
    value : the default used, SI
    text : the same as shown to a reader
    why : its source, or 'assumed: …'
    low, high : the range it may lie in, SI (words for a field of words), or None
    settle : the one measurement that would settle it, or None
    """

    path: str
    value: Any
    text: str
    why: str
    low: Any = None
    high: Any = None
    settle: str | None = None

    @property
    def label(self) -> str:
        """The path as it stands in a sheet."""
        return self.path.replace("_", " ")


def guesses_of(part: Part, prefix: str, system: System) -> Iterator[Guess]:
    """Yield the guesses of a section and of the sections in it, in the order of the fields."""
    if isinstance(part, RoofPanels) and not part.power:
        return  # no panels, so nothing is guessed about them
    for name in type(part).model_fields:
        if not in_use(part, name) or (not prefix and name in APART):
            continue
        value, spec = getattr(part, name), part.spec_of(name)
        if spec is not None and part.is_guess(name):
            low, high = spec.low, spec.high
            if spec.spread is not None:
                low, high = value * spec.spread[0], value * spec.spread[1]
            text = spec.write(value, system)
            yield Guess(prefix + name, value, text, spec.why, low, high, spec.settle)
        elif isinstance(value, Part):
            yield from guesses_of(value, f"{prefix}{name}.", system)
        elif isinstance(value, tuple):
            for i, item in enumerate(value):
                if isinstance(item, Part):
                    yield from guesses_of(item, f"{prefix}{name}.{i}.", system)
