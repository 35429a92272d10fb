"""A sheet of drawing paper measured in px: marks and texts on a figure, without axes.

Axes and their layout cost more than all that these drawings hold. The width of every text is known
before it is drawn, so one is only put where there is room. What does not belong here: any
particular drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from matplotlib.patches import Circle, Patch, PathPatch, Polygon
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

from vanclimate.page import ink
from vanclimate.report.words import plain

if TYPE_CHECKING:
    from matplotlib.figure import Figure

Point = tuple[float, float]
SMALL = ink.SMALL
ABOVE, BELOW = 0.82, 0.26  # of the type's size: how far letters reach from their baseline
LINE = 1.3  # of the type's size, from baseline to baseline


class Drawing(NamedTuple):
    """A figure, and what it shows in words for who cannot see it."""

    figure: Figure
    says: str


class Box(NamedTuple):
    """A rectangle on the paper [px], y down."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Return whether they have any area in common."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def within(self, other: Box) -> bool:
        """Return whether it lies inside the other."""
        across = other.left <= self.left and self.right <= other.right
        return across and other.top <= self.top and self.bottom <= other.bottom


def width_of(text: str, size: float = SMALL, bold: bool = False) -> float:
    """Return the width of a text [px]."""
    return ink.text_width(text[: ink.LONG], size, bold)


def cut(text: str, width: float, bold: bool = False) -> str:
    """Return a text that is no wider than so many px, its end left out for an ellipsis."""
    return ink.fitted(text, width, SMALL, bold)


def wrapped(text: str, width: float, lines: int = 2, bold: bool = False) -> list[str]:
    """Return a text as lines no wider than so many px; what does not fit them is cut."""
    found: list[str] = []
    rest = plain(text)[: ink.LONG].split()
    while rest and len(found) < lines - 1:
        line, taken = rest[0], 1
        while taken < len(rest) and width_of(f"{line} {rest[taken]}", SMALL, bold) <= width:
            line, taken = f"{line} {rest[taken]}", taken + 1
        found.append(cut(line, width, bold))
        rest = rest[taken:]
    return [*found, cut(" ".join(rest), width, bold)] if rest else found or [""]


class Canvas:
    """Drawing paper of a width; its height is said when all is drawn."""

    def __init__(self, width: float) -> None:
        self.width = width
        self.figure = ink.figure(width, width, None)
        self.boxes: list[Box] = []
        self._flat = Affine2D()
        self._told: list[str] = []
        self.figure.__dict__["_told"] = self._told

    def close(self, height: float) -> Figure:
        """Return the figure, so many px high."""
        self._flat.clear().scale(1.0, -1.0).translate(0.0, height)
        self.figure.set_size_inches(self.width / ink.PIXELS, height / ink.PIXELS)
        return self.figure

    def box_of(self, x: float, y: float, text: str, ha: str = "left", bold: bool = False) -> Box:
        """Return the room that a text takes; y is its baseline."""
        wide = width_of(text, SMALL, bold)
        left = x - {"left": 0.0, "center": wide / 2, "right": wide}[ha]
        return Box(left, y - ABOVE * SMALL, left + wide, y + BELOW * SMALL)

    def text(
        self, x: float, y: float, text: str, *, colour: str = "ink", ha: str = "left",
        bold: bool = False,
    ) -> None:  # fmt: skip
        """Write a text, y its baseline."""
        self.boxes.append(self.box_of(x, y, text, ha, bold))
        self.figure.text(
            x, y, text, size=SMALL, color=ink.light(colour), ha=ha, va="baseline",
            transform=self._flat, weight="bold" if bold else "normal",
        )  # fmt: skip

    def is_free(self, box: Box, among: Iterable[Box] = ()) -> bool:
        """Return whether a box lies on the paper, away from all texts and some other boxes."""
        on_paper = box.left >= 0.0 and box.right <= self.width and box.top >= 0.0
        return on_paper and not any(box.meets(other) for other in (*self.boxes, *among))

    def keep(self, box: Box) -> None:
        """Keep texts that are put where there is room away from a box."""
        self.boxes.append(box)

    def area(
        self, points: Sequence[Point], *, fill: str | None = None, edge: str | None = None,
        width: float = 0.8, told: str = "", dashed: bool = False,
    ) -> Patch:  # fmt: skip
        """Draw a polygon; its text shows where the pointer rests on it."""
        patch = Polygon(
            points, closed=True, facecolor=ink.light(fill) if fill else "none",
            edgecolor=ink.light(edge) if edge else "none", lw=width if edge else 0.0,
            ls=(0, (3, 2)) if dashed else "-", transform=self._flat, joinstyle="miter",
        )  # fmt: skip
        if told:
            patch.set_gid(f"{ink.HOVER}{len(self._told)}")
            self._told.append(told)
        self.figure.add_artist(patch)
        return patch

    def rectangle(self, box: Box, **look: Any) -> Patch:
        """Draw a rectangle, see `area`."""
        left, top, right, bottom = box
        return self.area([(left, top), (right, top), (right, bottom), (left, bottom)], **look)

    def ring(self, x: float, y: float, radius: float, edge: str, fill: str | None = None) -> None:
        """Draw a circle."""
        self.figure.add_artist(
            Circle(
                (x, y), radius, facecolor=ink.light(fill) if fill else "none",
                edgecolor=ink.light(edge), lw=0.9, transform=self._flat,
            )
        )  # fmt: skip

    def dots(self, points: Sequence[Point], size: float, colour: str) -> None:
        """Draw full circles of a diameter as one mark."""
        short = [
            [(x, y), (x + 0.01, y)] for x, y in points
        ]  # the shortest of lines, its ends round
        self.lines(short, colour, size, round_ends=True)

    def lines(
        self, lines: Sequence[Sequence[Point]], colour: str = "soft", width: float = 0.8,
        dashes: tuple[float, ...] = (), round_ends: bool = False,
    ) -> None:  # fmt: skip
        """Draw lines, each through its points, as one mark."""
        if not lines:
            return
        codes = [Path.LINETO if i else Path.MOVETO for line in lines for i in range(len(line))]
        path = Path([point for line in lines for point in line], codes)
        self.figure.add_artist(
            PathPatch(
                path, fill=False, edgecolor=ink.light(colour), lw=width,
                ls=(0, dashes) if dashes else "-", transform=self._flat,
                capstyle="round" if round_ends else "butt",
            )
        )  # fmt: skip


def shading(points: Sequence[Point], step: float, back: bool = False) -> list[list[Point]]:
    """Return the lines that shade a polygon, rising to the right; falling with ``back``.

    >>> square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    >>> len(shading(square, 5.0))
    3
    """
    turn = -1.0 if back else 1.0
    turned = [(x + turn * y, x - turn * y) for x, y in points]
    edges = list(zip(turned, [*turned[1:], turned[0]], strict=True))
    low, high = min(u for u, _ in turned), max(u for u, _ in turned)
    out: list[list[Point]] = []
    for k in range(1, int((high - low) / step) + 1):
        u = low + k * step
        met = sorted(
            a[1] + (b[1] - a[1]) * (u - a[0]) / (b[0] - a[0])
            for a, b in edges
            if (a[0] > u) != (b[0] > u)
        )
        out += [
            [((u + v) / 2.0, turn * (u - v) / 2.0) for v in pair]
            for pair in zip(met[::2], met[1::2], strict=False)
        ]
    return out
