"""The charting library as the page needs it: its look, and a figure as SVG inside HTML.

matplotlib draws all charts: it is kept by many, needs no browser and no script, writes vector text,
and is what people already plot with in a notebook. Colours are drawn as those of the light page and
leave as CSS variables, so that one drawing serves light, dark and paper.
What does not belong here: any particular chart.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable
from contextlib import AbstractContextManager
from functools import lru_cache
from html import escape
from io import StringIO
from typing import TYPE_CHECKING, Any, NamedTuple

import matplotlib as mpl
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.ft2font import FT2Font

from vanclimate.report.stream import DIRECTIONS
from vanclimate.report.words import plain

if TYPE_CHECKING:
    from matplotlib.axes import Axes


class Ink(NamedTuple):
    """A colour of the page: in the light, and in the dark."""

    light: str
    dark: str


INKS = {
    "paper": Ink("#fefdfb", "#191c1f"),
    "ink": Ink("#20262b", "#e8e6e1"),
    "soft": Ink("#59636b", "#a9b1b7"),  # words beside the main ones
    "rule": Ink("#d3d5d1", "#434a50"),
    "wash": Ink("#f1efe9", "#24292d"),  # behind blocks
    "yes": Ink("#1d6a3e", "#7fcf9b"),
    "no": Ink("#a02a1f", "#ff9a8c"),
    "inside": Ink("#0f5576", "#6fc1e6"),
    "outside": Ink("#9a5714", "#e5a561"),
    "bank": Ink("#4a6b2f", "#a7cf83"),
    "device": Ink("#6d4a8e", "#c4a6e2"),
    "water": Ink("#1b6f72", "#67c9cb"),
    "sun": Ink("#826300", "#e6c64d"),
    # heat through a surface, from much that leaves to much that comes in
    "flow-3": Ink("#2b6da6", "#4b95d1"),
    "flow-2": Ink("#79aad0", "#336791"),
    "flow-1": Ink("#c3d8e8", "#2c4a61"),
    "flow0": Ink("#ebe9e4", "#3a3f43"),
    "flow1": Ink("#f3d2bd", "#5e4032"),
    "flow2": Ink("#e09c76", "#93532f"),
    "flow3": Ink("#b9542b", "#e0814f"),
}
"""By name; text on paper has at least 4.5 to 1 in both (WCAG 2.1, 1.4.3), tested."""

SMALL, NORMAL = 10.5, 12.0  # px of type in a chart as drawn
LOOK: Any = {
    "text.parse_math": False,  # a dollar sign is a dollar sign
    "svg.fonttype": "none",  # text stays text: it is read aloud, found and selected
    "font.size": NORMAL,
    "font.family": ["DejaVu Sans"],  # wide, shipped with the library: what fits in it fits
    "axes.edgecolor": INKS["soft"].light,
    "axes.labelcolor": INKS["ink"].light,
    "axes.linewidth": 0.8,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.titlesize": NORMAL,
    "axes.titlelocation": "left",
    "axes.labelsize": SMALL,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "xtick.color": INKS["soft"].light,
    "ytick.color": INKS["soft"].light,
    "xtick.labelcolor": INKS["ink"].light,
    "ytick.labelcolor": INKS["ink"].light,
    "text.color": INKS["ink"].light,
    "axes.facecolor": "none",
    "figure.facecolor": "none",
    "grid.color": INKS["rule"].light,
    "grid.linewidth": 0.7,
    "hatch.color": INKS["soft"].light,
    "hatch.linewidth": 0.6,
    "legend.frameon": False,
    "lines.linewidth": 1.8,
    "axes.unicode_minus": True,
}
PIXELS = 72  # to the inch: the library's points are the page's pixels
HOVER = "hover-"
LONG = 4000  # letters that anybody measures
LACKED = 1.25  # of the type's size: a sign that the face lacks, as wide as an emoji
EM = 100.0 * 65536.0  # of the face at 100 px, in the font library's parts of a pixel


def light(name: str) -> str:
    """Return a colour to draw with."""
    return INKS[name].light


class Chart(Figure):
    """A figure that a notebook shows as it is, in the light page's colours."""

    def _repr_svg_(self) -> str:
        return "".join(f"{part}" for part in _drawn(self, "chart"))


def figure(width: float, height: float, layout: Any = "constrained") -> Figure:
    """Return an empty figure of a size in px; draw within `looks`.

    Laying it out takes time: a figure whose axes are placed by hand needs ``layout=None``.
    """
    return Chart((width / PIXELS, height / PIXELS), dpi=PIXELS, layout=layout)


def looks() -> AbstractContextManager[None]:
    """Return the context in which charts of this look are drawn."""
    return mpl.rc_context(LOOK)


def hover(axes: Axes, left: float, right: float, text: str) -> None:
    """Let a text show where the pointer rests between two values of a chart's horizontal axis."""
    told = axes.figure.__dict__.setdefault("_told", [])
    axes.axvspan(left, right, color=light("ink"), alpha=0.0, lw=0, gid=f"{HOVER}{len(told)}")
    told.append(text)


def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return about how wide a text is [px], as the charts' own face has it."""
    return size * sum(_advance(sign, bold) for sign in text)


@lru_cache(maxsize=4096)
def _advance(sign: str, bold: bool) -> float:
    """Return the width of a sign in parts of the type's size."""
    font = _face(bold)
    if not font.get_char_index(ord(sign)):
        return LACKED
    return float(font.load_char(ord(sign)).linearHoriAdvance) / EM


@lru_cache(maxsize=2)
def _face(bold: bool) -> FT2Font:
    look = FontProperties(family="DejaVu Sans", weight="bold" if bold else "normal")
    font = FT2Font(findfont(look))  # its own: others set the size of the library's
    font.set_size(100.0, PIXELS)
    return font


def fitted(text: str, room: float, size: float, bold: bool = False) -> str:
    """Return a text that is no wider than so many px, its end left out for an ellipsis."""
    text = plain(text)[:LONG]
    if text_width(text, size, bold) <= room:
        return text
    kept, room = "", room - text_width(" …", size, bold)
    for sign in text:
        room -= text_width(sign, size, bold)
        if room < 0.0:
            break
        kept += sign
    return f"{kept.rstrip()} …"


def svg(figure: Figure, name: str, says: str) -> str:
    """Return a figure as an SVG element to stand in HTML.

    Parameters
    ----------
    figure : drawn within `looks`
    name : unlike every other picture's of the page, so that their inner marks do not meet
    says : what it shows, in words, for who cannot see it
    """
    head, inner = _drawn(figure, name)
    box = re.search(r'viewBox="([^"]+)"', head)
    assert box, "the library gives every figure a box"
    inner = _with_hovers(inner, figure.__dict__.get("_told", ()))
    inner = re.sub(r' id="[\w.]+_\d+"', "", inner)  # of groups, that nothing refers to
    inner = re.sub(r"<defs>\s*<style.*?</style>\s*</defs>", "", inner, flags=re.S)
    inner = re.sub(r'style="[^"]*"', lambda m: _as_variables(m[0]), inner)
    inner = re.sub(r"\n\s*", "\n", DIRECTIONS.sub("", inner))
    label = escape(plain(says), quote=True)
    return f'<svg class="chart" role="img" viewBox="{box[1]}" aria-label="{label}">{inner}'


def _drawn(figure: Figure, name: str) -> tuple[str, str]:
    """Return the head of a figure's SVG element, and the rest of it."""
    out = StringIO()
    nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
    with mpl.rc_context({**LOOK, "svg.hashsalt": name}), warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Glyph .* missing")  # the reader's own face may have it
        canvas: Any = FigureCanvasSVG(figure)
        canvas.print_svg(out, metadata=nothing)  # `savefig` would draw it twice
    text = out.getvalue()
    text = re.sub(r"<metadata>.*?</metadata>", "", text[text.index("<svg") :], flags=re.S)
    end = text.index(">") + 1
    return text[:end], text[end:]


_BY_LIGHT = {ink.light: f"var(--{name})" for name, ink in INKS.items()}


def _as_variables(style: str) -> str:
    """Return a style with the page's colours and face in place of fixed ones."""
    style = re.sub(r"#[0-9a-f]{6}", lambda m: _BY_LIGHT.get(m[0], m[0]), style)
    return style.replace("'DejaVu Sans'", "var(--face)")


def _with_hovers(inner: str, told: Iterable[str]) -> str:
    """Return an SVG's inside with each hover's text as the title of its group."""
    for i, text in enumerate(told):
        title = f"<title>{escape(plain(text))}</title>"
        inner = inner.replace(f'<g id="{HOVER}{i}">', f"<g>{title}", 1)
    return inner


def colours(dark: bool) -> str:
    """Return the inks as CSS variables."""
    return "".join(f"--{name}:{ink[dark]};" for name, ink in INKS.items())


def variables() -> str:
    """Return the inks as CSS: those of the light, and of the dark where the reader's is dark."""
    return (
        f":root{{color-scheme:light dark;{colours(dark=False)}}}"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{colours(dark=True)}}}}}"
    )
