"""The figure of Standard 140's cases beside their published bands, for `tests.figures`.

Every band is drawn equally wide and our figure stands where it lies within, or beside, that width.
Inside is a full circle, outside an open diamond, so that it reads without colour. Our figures come
from years of runs, so they are kept in ``standard_figures.json``, which a slow test holds against
the code. What does not belong here: cases and bands (published/test_standard_140.py).
"""

from __future__ import annotations

import json
from pathlib import Path

from tests.published.test_standard_140 import BANDS, FIGURES

KEPT = Path(__file__).with_name("standard_figures.json")
Figures = dict[str, dict[str, float]]
UNITS = {"heating": "MWh", "cooling": "MWh", "max": "°C", "min": "°C"}
WORDS = {"max": "warmest", "min": "coldest"}
CASES = {
    "600": "light", "620": "light, windows east and west", "600FF": "light, no plant",
    "900": "heavy", "900FF": "heavy, no plant", "195": "solid conduction",
}  # fmt: skip

WIDE, ROW, HEAD, TOP, FOOT = 660, 17, 24, 8, 40
LABEL, LEFT, RIGHT = 14, 150, 400  # px: names; ends of what is drawn
LEAST, MOST = -1.05, 1.45  # of a band's width, from its lower end
FIGURE = 450  # px, right end of our figures; the bands' follow

STYLE = """
text{font:12px system-ui,sans-serif;fill:#333}.head{font-weight:600}.out{font-weight:700}
.right{text-anchor:end}.band{fill:#ddd;stroke:#666}.line{stroke:#999;stroke-width:.7}
.in{fill:#111;stroke:#111}.miss{fill:#fff;stroke:#111;stroke-width:2}
@media(prefers-color-scheme:dark){text{fill:#ccc}.band{fill:#444;stroke:#999}
.in{fill:#eee;stroke:#eee}.miss{fill:#111;stroke:#eee}}
"""


def measured() -> Figures:
    """Return all figures by running every case's year."""
    found: Figures = {case: {} for case in CASES}
    for case, figure in BANDS:
        found[case][figure] = round(float(FIGURES(case)[figure]), 3)
    return found


def kept() -> Figures:
    """Return the figures as they were kept."""
    found: Figures = json.loads(KEPT.read_text(encoding="utf-8"))
    return found


def keep(figures: Figures) -> None:
    """Write figures to be kept."""
    KEPT.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")


def standard(ours: Figures) -> str:
    """Return the figure: a row for each figure of each case."""
    body, y = "", TOP
    for case, words in CASES.items():
        y += HEAD
        body += f'<text class="head" x="{LABEL}" y="{y - 6}">{case}, {words}</text>'
        for key, band in BANDS.items():
            if key[0] == case:
                body += _row(key[1], band, ours[case][key[1]], y)
                y += ROW
    high = y + FOOT
    title = "Our figures of ANSI/ASHRAE Standard 140 beside the published bands"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {high}" width="{WIDE}" '
        f'height="{high}" role="img"><title>{title}</title><style>{STYLE}</style>{body}'
        f"{_legend(y + 24)}</svg>\n"
    )


def x(share: float) -> float:
    """Return where a figure stands [px] that lies this share of its band above the lower end."""
    return LEFT + (share - LEAST) / (MOST - LEAST) * (RIGHT - LEFT)


def _row(figure: str, band: tuple[float, float], value: float, y: int) -> str:
    low, high = band
    digits = 1 if figure in WORDS else 3
    inside, middle = low <= value <= high, y + ROW // 2
    share = (value - low) / (high - low)
    assert LEAST < share < MOST, f"{figure}: {value} is off the figure"
    limits = f"{_number(low, digits)} to {_number(high, digits)} {UNITS.get(figure, 'kW')}"
    weight = "right" if inside else "right out"
    return (
        f'<text x="{LABEL + 12}" y="{middle + 4}">{WORDS.get(figure, figure)}</text>'
        f'<path class="line" d="M{LEFT} {middle}H{RIGHT}"/>'
        f'<rect class="band" x="{x(0):.1f}" y="{middle - 5}" width="{x(1) - x(0):.1f}" '
        f'height="10"/>{_mark(x(share), middle, inside)}'
        f'<text class="{weight}" x="{FIGURE}" y="{middle + 4}">{_number(value, digits)}</text>'
        f'<text x="{FIGURE + 12}" y="{middle + 4}">{limits}</text>'
    )


def _mark(at: float, y: int, inside: bool) -> str:
    if inside:
        return f'<circle class="in" cx="{at:.1f}" cy="{y}" r="4"/>'
    return f'<path class="miss" d="M{at:.1f} {y - 6}l6 6l-6 6l-6 -6z"/>'


def _number(value: float, digits: int) -> str:
    return f"{value:.{digits}f}".replace("-", "−")


def _legend(y: int) -> str:
    return (
        f'<rect class="band" x="{LABEL}" y="{y - 5}" width="40" height="10"/>'
        f'<text x="{LABEL + 48}" y="{y + 4}">published band</text>{_mark(190, y, True)}'
        f'<text x="200" y="{y + 4}">ours, inside</text>{_mark(300, y, False)}'
        f'<text x="312" y="{y + 4}">ours, outside</text>'
        f'<text x="{FIGURE - 30}" y="{y + 4}">ours, and the band</text>'
    )
