"""The parts of a section on paper: layers, scales, lines, water and the key of layers.

What does not belong here: which stack it is, and between which airs (``section``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor

import numpy as np

from vanclimate.page.drawings import writing
from vanclimate.page.drawings.canvas import Box, Canvas, Point, shading, width_of, wrapped
from vanclimate.page.drawings.layers import Array, Profile, Water
from vanclimate.physics.air import saturation_pressure
from vanclimate.report.numbers import fixed
from vanclimate.van.layers import Layer

AIR = 34.0  # px of air on either side
FILM = 9.0  # px of it in which the temperature falls to the face's
LINE = 14.0
TAG = 14.0  # px that a layer's number takes
CROWDED, STAGGER = 12, 12.0  # layers, beyond which every second number stands so much higher
METAL = 10.0  # W/m·K, from which on a layer is drawn solid
STEPS = (1, 2, 5, 10, 20, 50, 100)  # degrees between marks
MOST_MARKS = 7
DRY = 25.0  # K below all temperatures, from where on a dew point is off the scale
HEAD_ROOM = 1.5  # degrees above and below the lines
LINES: dict[str, tuple[str, tuple[float, ...]]] = {
    "temperature": ("ink", ()), "dew point": ("water", (4.0, 2.5)),
}  # fmt: skip
"""Ink and dashes of what is drawn."""


@dataclass(frozen=True)
class Frame:
    """The plot on the paper: depth across, temperature up."""

    plot: Box
    stack: Box
    thick: float  # m
    low: float  # °C at the bottom
    high: float

    @classmethod
    def of(cls, plot: Box, lines: Profile) -> Frame:
        """Return a frame that holds the lines."""
        stack = Box(plot.left + AIR, plot.top, plot.right - AIR, plot.bottom)
        temps = np.append(lines.temp, [lines.outside.temp, lines.inside.temp])
        dews = np.maximum(lines.dew, temps.min() - DRY)
        low = floor(min(temps.min(), dews.min()) - HEAD_ROOM)
        high = ceil(max(temps.max(), dews.max()) + HEAD_ROOM)
        return cls(plot, stack, float(lines.edges[-1]), low, high)

    def across(self, depth: float) -> float:
        """Return where a depth [m] lies."""
        wide = self.stack.right - self.stack.left
        return self.stack.left + wide * float(depth) / self.thick

    def up(self, temp: float) -> float:
        """Return where a temperature [°C] lies, one below the scale at its foot."""
        tall = self.plot.bottom - self.plot.top
        up = tall * (float(temp) - self.low) / (self.high - self.low)
        return self.plot.bottom - max(0.0, up)


def head(canvas: Canvas, name: str, when: str, lines: Profile, layers: int) -> float:
    """Write which stack it is, between which airs, and what is drawn how; return where it begins.

    The key stands right of the airs, a line each.
    """
    y = 11.0
    for line in wrapped(f"{name[:1].upper()}{name[1:]}, {when}", canvas.width, bold=True):
        canvas.text(0.0, y, line, bold=True)
        y += LINE
    right = canvas.width - max(map(width_of, LINES))
    airs = ("outside", lines.outside), ("inside", lines.inside)
    for (words, air), (drawn, (colour, dashes)) in zip(airs, LINES.items(), strict=True):
        humid = min(1.0, air.pressure / float(saturation_pressure(air.temp)))
        canvas.text(0.0, y, f"{words} {writing.temperature(air.temp)}, {humid:.0%} humid")
        canvas.lines([[(right - 27.0, y - 4.0), (right - 5.0, y - 4.0)]], colour, 1.8, dashes)
        canvas.text(right, y, drawn)
        y += LINE
    return y + 12.0 + (STAGGER if layers > CROWDED else 0.0)


def draw_layers(canvas: Canvas, layers: Sequence[Layer], edges: Array, frame: Frame) -> None:
    """Draw each layer in its own manner, its number above it."""
    xs = [frame.across(x) for x in edges]
    top, bottom = frame.stack.top, frame.stack.bottom
    lines: list[list[Point]] = []
    for layer, (left, right) in zip(layers, pairwise(xs), strict=True):
        box = Box(left, top, right, bottom)
        told = f"{layer.material}, {writing.thickness(layer.thickness)}"
        fill = "paper" if layer.air_gap else "rule" if layer.conductivity > METAL else "wash"
        canvas.rectangle(box, fill=fill, told=told)
        if layer.insulation and right - left > 4.0:
            corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
            lines += shading(corners, 7.0)
    canvas.lines(lines, "rule", 0.7)
    canvas.lines([[(x, top), (x, bottom)] for x in xs], "soft", 0.8)
    middles = [(a + b) / 2.0 for a, b in pairwise(xs)]
    places = spread(middles, TAG, frame.plot.left + TAG / 2.0, frame.plot.right - TAG / 2.0)
    raised = [STAGGER if i % 2 and len(layers) > CROWDED else 0.0 for i in range(len(layers))]
    tags = list(zip(places, middles, raised, strict=True))
    canvas.lines(
        [[(p, top - 7.0 - up), (p, top - 7.0), (x, top)] for p, x, up in tags], "soft", 0.6
    )
    for i, (p, _, up) in enumerate(tags, 1):
        canvas.text(p, top - 10.0 - up, str(i), ha="center")


def spread(wanted: Sequence[float], apart: float, low: float, high: float) -> list[float]:
    """Return places in order, at least so far apart, near those wanted and between two ends.

    >>> spread([5.0, 5.0, 6.0], 2.0, 4.0, 20.0)
    [5.0, 7.0, 9.0]
    """
    places: list[float] = []
    for x in wanted:
        places.append(max(x, low if not places else places[-1] + apart))
    for i in range(len(places) - 1, -1, -1):
        most = high if i == len(places) - 1 else places[i + 1] - apart
        places[i] = min(places[i], most)
    return places


def draw_scales(canvas: Canvas, frame: Frame) -> None:
    """Draw degrees Fahrenheit on the left, Celsius on the right."""
    plot = frame.plot
    ticks: list[list[Point]] = []
    for us in (True, False):
        low, high = (1.8 * t + 32.0 if us else t for t in (frame.low, frame.high))
        step = next(s for s in STEPS if (high - low) / s <= MOST_MARKS)
        for value in range(ceil(low / step) * step, floor(high) + 1, step):
            y = frame.up((value - 32.0) / 1.8 if us else value)
            x, end = (plot.left, plot.left - 3.0) if us else (plot.right, plot.right + 3.0)
            ticks.append([(x, y), (end, y)])
            if plot.top + 8.0 < y < plot.bottom - 1.0:
                label, ha = fixed(value), "right" if us else "left"
                canvas.text(end - 2.0 if us else end + 2.0, y + 4.0, label, ha=ha)
    canvas.lines(ticks, "soft")
    for x in (plot.left, plot.right):
        canvas.lines([[(x, plot.top), (x, plot.bottom)]], "soft")
    canvas.text(plot.left - 5.0, plot.top + 2.0, "°F", ha="right", colour="soft")
    canvas.text(plot.right + 5.0, plot.top + 2.0, "°C", colour="soft")


def draw_lines(canvas: Canvas, lines: Profile, frame: Frame) -> None:
    """Draw temperature and dew point from air to air, and rings where they meet."""
    for values, (colour, dashes) in zip((lines.temp, lines.dew), LINES.values(), strict=True):
        inner = [(frame.across(x), frame.up(v)) for x, v in zip(lines.depth, values, strict=True)]
        ends = (lines.outside.temp, lines.inside.temp)
        if dashes:
            ends = (float(values[0]), float(values[-1]))
        first, last = (frame.up(t) for t in ends)
        line = [(frame.plot.left, first), (frame.stack.left - FILM, first), *inner,
                (frame.stack.right + FILM, last), (frame.plot.right, last)]  # fmt: skip
        canvas.lines([line], colour, 1.8, dashes)
    for depth, temp in lines.crossings:
        canvas.ring(frame.across(depth), frame.up(temp), 3.5, "ink", "paper")


def draw_water(canvas: Canvas, water: Sequence[Water], lines: Profile, frame: Frame) -> float:
    """Draw water where it lies, and the words under the plot; return where to go on."""
    y = frame.plot.bottom
    for place in water:
        x = frame.across(place.depth)
        canvas.lines([[(x, frame.plot.top), (x, y)]], "water", 2.4)
        canvas.area([(x - 5.0, y + 9.0), (x + 5.0, y + 9.0), (x, y + 1.0)], fill="water")
    y += 20.0
    canvas.text(0.0, y, "outside", colour="soft")
    canvas.text(canvas.width, y, "inside", ha="right", colour="soft")
    if water:
        most = max(water, key=lambda w: w.mass)
        text = f"water, up to {writing.water(most.mass)}"
        wide = width_of(text)
        low, high = width_of("outside") + 8.0, canvas.width - width_of("inside") - 8.0
        x = min(max(frame.across(most.depth), low + wide / 2.0), high - wide / 2.0)
        canvas.text(x, y, text, ha="center", colour="water")
    if lines.crossings:
        y += LINE
        canvas.ring(16.0, y - 4.0, 3.5, "ink", "paper")
        canvas.text(27.0, y, "temperature and dew point meet")
    return y + 2.0


def draw_key(canvas: Canvas, layers: Sequence[Layer], y: float) -> float:
    """Write the layers by their numbers, outside first; return where the drawing ends."""
    for i, layer in enumerate(layers):
        size = writing.thickness(layer.thickness)
        canvas.text(14.0, y + LINE, str(i + 1), ha="right")
        room = canvas.width - 20.0 - 8.0 - width_of(size)
        canvas.text(canvas.width, y + LINE, size, ha="right")
        for line in wrapped(layer.material, room):
            y += LINE
            canvas.text(20.0, y, line)
    return y + 4.0
