"""What every answer has: its figures by name, and the first of them its headline.

An answer is a frozen dataclass with the `sheet` it is about, its `figures`, and the `trace` of the
run that its verdict is about. What does not belong here: any particular answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from vanclimate.units import KINDS

if TYPE_CHECKING:
    import pandas as pd

    from vanclimate.van.sheet import Sheet

# units of fields whose names lack one, for `dataclasses.field(metadata=…)`; JSON puts them there
SHARE, KELVIN, DEG, HOURS, AH = ({"unit": u} for u in ("share", "k", "deg", "h", "ah"))

UNTOLD = {"told": False}  # of a field that is no part of the answer

FIGURE_KINDS = frozenset(KINDS) | {"share", "count", "hours"}
"""Kinds of quantity, and besides: a share of one, a number of things, hours."""


@dataclass(frozen=True)
class Figure:
    """One number of an answer.

    Attributes
    ----------
    name : as a reader says it, such as 'margin of charge'
    value : SI by its kind; infinite where there is no end to it, NaN where there is none
    kind : a key of `units.KINDS`, or 'share', 'count' or 'hours'
    better : 1 where more is better, -1 where less is, 0 where neither
    """

    name: str
    value: float
    kind: str
    better: int = 0

    def __post_init__(self) -> None:
        if self.kind not in FIGURE_KINDS or self.better not in (-1, 0, 1):
            raise ValueError(f"{self.name}: no figure of kind {self.kind!r}, better {self.better}")


class Answer(Protocol):
    """What the command line needs of an answer to any question."""

    @property
    def sheet(self) -> Sheet:
        """The sheet that the answer is about."""

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The answer's numbers, its headline first."""

    @property
    def trace(self) -> pd.DataFrame:
        """The run that the verdict is about, step by step."""
