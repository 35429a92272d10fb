"""What a page is made of: two sheets of texts, tables and pictures, before they are HTML.

A question's module builds its `Page` once a unit system, `both` lays the two together. What does
not belong here: any particular answer, and markup (sheets.html.jinja).
"""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, TypeVar

from markupsafe import Markup, escape

from vanclimate.report.words import plain

T = TypeVar("T")

LONGEST = 400  # letters of one text: more than any sentence of ours, less than breaks a sheet


@dataclass(frozen=True)
class Picture:
    """A drawing: SVG for wide and for narrow pages (the same, where it is small), and its caption.

    The SVG is markup of our own making, see `ink.svg`; the caption is text.
    """

    wide: Markup
    narrow: Markup | None = None
    caption: str = ""


@dataclass(frozen=True)
class Table:
    """Rows of texts under heads; the first column to the left, the others to the right."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""


@dataclass(frozen=True)
class Block:
    """A part of the technical sheet: a heading, and what stands under it."""

    heading: str
    picture: Picture | None = None
    table: Table | None = None
    facts: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()  # smaller, below
    pair: tuple[Picture, ...] = ()  # two drawings, side by side where there is room
    wide: bool = False  # over both columns


@dataclass(frozen=True)
class Assumption:
    """One thing that the answer rests on: what, how much it matters, what settles it."""

    what: str
    matters: str
    settle: str


@dataclass(frozen=True)
class Page:
    """An answer on two sheets.

    Attributes
    ----------
    question : in the client's words
    answer : 'yes', 'no', or '' where the question is not one of yes and no
    verdict : the answer's first line
    says : two or three sentences that explain it, the odds among them
    picture : that explains it
    assumptions : the three that matter most
    changes_title, changes : what would change a 'no', or keep a 'yes'
    warnings : cautions that must stand before any figure
    cautions : all others
    place : where the van stands, and the data's source
    van, prepared : the van's name; by whom and for whom the page is made
    blocks : of the technical sheet
    """

    question: str
    answer: str
    verdict: str
    says: tuple[str, ...]
    picture: Picture
    assumptions: tuple[Assumption, ...]
    changes_title: str
    changes: tuple[str, ...]
    cautions: tuple[str, ...]
    place: str
    van: str
    prepared: tuple[str, ...]
    blocks: tuple[Block, ...]
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class Both:
    """A text in both unit systems; the page shows one of them."""

    us: str
    si: str

    def __len__(self) -> int:
        """Return how many letters the longer has."""
        return max(len(self.us), len(self.si))

    def __html__(self) -> str:
        """Return both, each marked for the switch."""
        return f'<span class="us">{escape(self.us)}</span><span class="si">{escape(self.si)}</span>'


def both(us: T, si: T) -> T:
    """Return two pages as one, with `Both` where their texts differ.

    Raises
    ------
    ValueError : they are not built alike
    """
    laid: T = _laid(us, si)
    return laid


def _laid(us: Any, si: Any) -> Any:
    if isinstance(us, Markup) or us is si:
        return clean(us)
    if isinstance(us, str):
        return clean(us) if us == si else Both(clean(us), clean(si))
    if isinstance(us, tuple):
        if len(us) != len(si):
            raise ValueError(f"{len(us)} and {len(si)} parts: {us!r:.200} and {si!r:.200}")
        return tuple(_laid(a, b) for a, b in zip(us, si, strict=True))
    if is_dataclass(us) and not isinstance(us, type):
        names = [own.name for own in fields(us)]
        return replace(us, **{n: _laid(getattr(us, n), getattr(si, n)) for n in names})
    return us


def clean(value: Any) -> Any:
    """Return a text without signs that a reader's program obeys, cut where nobody reads on."""
    if isinstance(value, str) and not isinstance(value, Markup):
        text = plain(value)
        return text if len(text) <= LONGEST else f"{text[: LONGEST - 2].rstrip()} …"
    if isinstance(value, tuple):
        return tuple(clean(v) for v in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: clean(getattr(value, f.name)) for f in fields(value)})
    return value
