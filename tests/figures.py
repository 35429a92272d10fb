"""Draw the figures of the docs: ``python -m tests.figures`` writes them to ``docs/figures``.

Stamps are drawn from files made by us, see `tests.site.invented_files`, and from those that are
shipped; the standard's cases from kept figures, which ``--measure`` finds anew. Plain SVG that
reads on light and on dark paper. What does not belong here: checks.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from tests.parked_figure import parked
from tests.published.test_parked_vehicle import RISE
from tests.site.test_suncheck import EVERY_FORMAT, surfrad
from tests.standard_figure import keep, kept, measured, standard
from vanclimate.site import formats
from vanclimate.site.clock import FloatArray
from vanclimate.site.readers import read_table, whole_station
from vanclimate.site.sites import shipped_sites
from vanclimate.site.suncheck import for_shift
from vanclimate.site.sunshift import ClearCourse, sun_shift
from vanclimate.site.table import Table

FOLDER = Path(__file__).resolve().parent.parent / "docs" / "figures"
MINUTES = np.arange(-150.0, 151.0, 10.0)
ACROSS, WIDE, HIGH = 4, 186, 118
LEFT, TOP, RIGHT, BOTTOM = 30, 24, 10, 22  # margins of a panel
LEAST = 0.6  # correlation at the foot of a panel

STYLE = """
text{font:11px system-ui,sans-serif;fill:#555}
.name{font-weight:600}.axis{stroke:#999;stroke-width:1;fill:none}
.zero{stroke:#999;stroke-dasharray:3 3}.curve{fill:none;stroke:#0b6fb8;stroke-width:2}
.peak{fill:#c2410c}
@media(prefers-color-scheme:dark){text{fill:#bbb}.curve{stroke:#5db3f0}.peak{fill:#fb923c}}
"""


def shift_curve(
    begin: FloatArray,
    width: float,
    ghi: FloatArray,
    place: tuple[float, float],
    minutes: FloatArray,
) -> FloatArray:
    """Return the correlation of `sun_shift` at given shifts [min], for a figure."""
    there = ~np.isnan(ghi)
    clear = ClearCourse(begin[there], width, *place)
    sun = np.cbrt(np.clip(ghi[there], 0.0, None))
    return np.array([clear.fit(sun, 60.0 * m) for m in minutes])


def tables() -> Iterator[tuple[str, Table]]:
    """Yield a table of every format, invented, and the shipped ones, measured."""
    for name, text in EVERY_FORMAT.items():
        yield name, formats.read(text(), name)
    yield "SURFRAD", surfrad()
    for site, path in shipped_sites().items():
        yield f"{site} (measured)", read_table(path)


def stamps() -> str:
    """Return the figure of the correlation with a clear sky over shifts, a panel a format."""
    panels = []
    for i, (name, table) in enumerate(tables()):
        table = replace(table, station=whole_station(table.station)[0])
        begin, width, ghi = for_shift(table)
        place = (table.station.latitude, table.station.longitude)
        curve = shift_curve(begin, width, ghi, place, MINUTES)
        found = sun_shift(begin, width, ghi, *place)
        assert found is not None, name
        at = (i % ACROSS * WIDE, i // ACROSS * HIGH)
        panels.append(_panel(name, curve, found.minutes, found.correlation, at))
    rows = -(-len(panels) // ACROSS)
    size = (ACROSS * WIDE, rows * HIGH + 20)
    foot = (
        f'<text x="{LEFT}" y="{size[1] - 5}">shift of the file\'s sun in minutes; correlation of '
        "its cube root with a clear sky's; the dot is the peak</text>"
    )
    return _svg(size, "".join(panels) + foot, "Correlation of each format's sun with a clear sky")


def _panel(name: str, curve: np.ndarray, minutes: float, top: float, at: tuple[int, int]) -> str:
    def x(value: float) -> float:
        return LEFT + (value - MINUTES[0]) / np.ptp(MINUTES) * (WIDE - LEFT - RIGHT)

    def y(value: float) -> float:
        return TOP + (1.0 - value) / (1.0 - LEAST) * (HIGH - TOP - BOTTOM)

    foot = HIGH - BOTTOM
    shown = [(m, c) for m, c in zip(MINUTES, curve, strict=True) if c >= LEAST]
    line = " ".join(f"{x(m):.1f},{y(c):.1f}" for m, c in shown)
    ticks = "".join(
        f'<text x="{x(m):.1f}" y="{foot + 13}" text-anchor="middle">{words}</text>'
        for m, words in ((-120, "−120"), (0, _signed(minutes)), (120, "+120"))
    )
    return (
        f'<g transform="translate({at[0]},{at[1]})">'
        f'<text class="name" x="{LEFT}" y="15">{name}</text>'
        f'<path class="axis" d="M{LEFT} {TOP}V{foot}H{WIDE - RIGHT}"/>'
        f'<text x="{LEFT - 4}" y="{TOP + 8}" text-anchor="end">1</text>'
        f'<text x="{LEFT - 4}" y="{foot}" text-anchor="end">{LEAST}</text>{ticks}'
        f'<path class="zero" d="M{x(0):.1f} {TOP}V{foot}"/>'
        f'<polyline class="curve" points="{line}"/>'
        f'<circle class="peak" cx="{x(minutes):.1f}" cy="{y(top):.1f}" r="3.5"/></g>'
    )


def _signed(minutes: float) -> str:
    whole = round(minutes)
    return "0 min" if whole == 0 else f"{whole:+d} min".replace("-", "−")


def _svg(size: tuple[int, int], body: str, title: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size[0]} {size[1]}" '
        f'width="{size[0]}" height="{size[1]}" role="img"><title>{title}</title>'
        f"<style>{STYLE}</style>{body}</svg>\n"
    )


def main() -> None:
    """Write every figure."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / "stamps.svg").write_text(stamps(), encoding="utf-8")
    (FOLDER / "parked.svg").write_text(parked(RISE), encoding="utf-8")
    if "--measure" in sys.argv:
        keep(measured())
    (FOLDER / "standard.svg").write_text(standard(kept()), encoding="utf-8")


if __name__ == "__main__":
    main()
