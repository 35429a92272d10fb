"""The words of a chart: where they stand, and whether one lies on another."""

from __future__ import annotations

from itertools import combinations

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Bbox

CLOSE = 1.0  # px that the letters' boxes may share: they reach farther than the letters


def boxes(figure: Figure) -> list[tuple[str, Bbox]]:
    """Return a chart's words, each with its box [px]."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    texts = [x for x in figure.findobj(Text) if x.get_visible() and x.get_text().strip()]
    return [(x.get_text(), x.get_window_extent(canvas.get_renderer())) for x in texts]


def overlaps(figure: Figure) -> list[tuple[str, str]]:
    """Return words that lie on others."""
    return [
        (one, other)
        for (one, a), (other, b) in combinations(boxes(figure), 2)
        if min(a.x1, b.x1) - max(a.x0, b.x0) > CLOSE and min(a.y1, b.y1) - max(a.y0, b.y0) > CLOSE
    ]


def outside(figure: Figure) -> list[str]:
    """Return words that reach beyond the chart's sides."""
    width = figure.get_figwidth() * figure.dpi
    return [text for text, box in boxes(figure) if box.x0 < -CLOSE or box.x1 > width + CLOSE]
