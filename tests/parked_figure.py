"""The figure of a parked car's and van's rise beside measured ones, for `tests.figures`.

Curves differ by their dashes and carry their names, so that it reads without colour. What does not
belong here: the vehicles (published/cars.py) and the checks (published/test_parked_vehicle.py).
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tests.published.cars import CARRIER, DARK, VAN, rise

WIDE, HIGH = 560, 330
LEFT, TOP, RIGHT, BOTTOM = 44, 16, 128, 54
HOURS, MOST = 3, 35  # of the axes: h, K

STYLE = """
text{font:12px system-ui,sans-serif;fill:#333}
.axis{stroke:#666;stroke-width:1;fill:none}.grid{stroke:#666;stroke-width:.5;stroke-dasharray:1 4}
.curve{fill:none;stroke:#111;stroke-width:2}
.measured{stroke:#111;stroke-width:1.2;fill:none}.mean{fill:#fff;stroke:#111;stroke-width:1.5}
@media(prefers-color-scheme:dark){text{fill:#ccc}.curve,.measured{stroke:#eee}
.mean{fill:#111;stroke:#eee}.axis,.grid{stroke:#999}}
"""
CURVES = (("saloon", DARK, ""), ("people carrier", CARRIER, "7 4"), ("insulated van", VAN, "2 3"))


def x(minute: float) -> float:
    """Return the place of a time [min] across the figure."""
    return LEFT + minute / (60.0 * HOURS) * (WIDE - LEFT - RIGHT)


def y(kelvin: float) -> float:
    """Return the place of a rise [K] down the figure."""
    return TOP + (1.0 - kelvin / MOST) * (HIGH - TOP - BOTTOM)


def parked(measured: Mapping[int, tuple[float, float]]) -> str:
    """Return the figure, with the measured mean and deviation [K] of the rise at minutes."""
    curves = "".join(_curve(name, rise(text), dashes) for name, text, dashes in CURVES)
    points = "".join(_measured(m, *figures) for m, figures in measured.items())
    title = "Rise of a parked car's air over three hours, ours and measured"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" '
        f'width="{WIDE}" height="{HIGH}" role="img"><title>{title}</title>'
        f"<style>{STYLE}</style>{_axes()}{curves}{points}{_foot()}</svg>\n"
    )


def _axes() -> str:
    across = "".join(
        f'<text x="{x(m):.1f}" y="{y(0) + 16:.1f}" text-anchor="middle">{m}</text>'
        for m in range(0, 60 * HOURS + 1, 30)
    )
    up = "".join(
        f'<path class="grid" d="M{LEFT} {y(k):.1f}H{WIDE - RIGHT}"/>'
        f'<text x="{LEFT - 6}" y="{y(k) + 4:.1f}" text-anchor="end">{k}</text>'
        for k in range(0, MOST + 1, 5)
    )
    frame = f'<path class="axis" d="M{LEFT} {TOP}V{y(0):.1f}H{WIDE - RIGHT}"/>'
    return up + across + frame


def _curve(name: str, kelvin: np.ndarray, dashes: str) -> str:
    minutes = 5.0 * np.arange(len(kelvin) + 1)
    points = zip(minutes, [0.0, *kelvin], strict=True)
    line = " ".join(f"{x(m):.1f},{y(k):.1f}" for m, k in points)
    return (
        f'<polyline class="curve" stroke-dasharray="{dashes or "none"}" points="{line}"/>'
        f'<text x="{WIDE - RIGHT + 6}" y="{y(float(kelvin[-1])) + 4:.1f}">{name}</text>'
    )


def _measured(minute: int, mean: float, sd: float) -> str:
    at, low, high = x(minute), y(mean - 2.0 * sd), y(mean + 2.0 * sd)
    ends = "".join(f"M{at - 4:.1f} {end:.1f}h8" for end in (low, high))
    return (
        f'<path class="measured" d="M{at:.1f} {low:.1f}V{high:.1f}{ends}"/>'
        f'<circle class="mean" cx="{at:.1f}" cy="{y(mean):.1f}" r="3.5"/>'
    )


def _foot() -> str:
    return (
        f'<text x="{LEFT}" y="{HIGH - 20}">minutes since parked in full sun, closed; rise of the '
        f"air over outdoors in K</text>"
        f'<text x="{LEFT}" y="{HIGH - 4}">circles: mean of 12 measured trials, dark saloon (Null '
        f"2003), ± 2 deviations</text>"
    )
