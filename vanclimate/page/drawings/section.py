"""A section through a stack: layers to scale, temperature and dew point through them, and water.

What does not belong here: the lines themselves (``layers``), and what a year does (network/damp).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from vanclimate.answers.damp import Dampness
from vanclimate.network.damp import MOULD, Damp
from vanclimate.network.shell import Shell, Surface
from vanclimate.page import ink
from vanclimate.page.drawings import writing
from vanclimate.page.drawings.canvas import Box, Canvas, Drawing
from vanclimate.page.drawings.flows import Hour, faces_of
from vanclimate.page.drawings.layers import Air, Profile, Water, profile_of, water_in
from vanclimate.page.drawings.section_marks import (
    Frame,
    draw_key,
    draw_layers,
    draw_lines,
    draw_scales,
    draw_water,
    head,
)
from vanclimate.physics.air import vapour_pressure
from vanclimate.report.numbers import clock
from vanclimate.simulate.runs import Run
from vanclimate.site.years import MONTHS
from vanclimate.van.layers import Layer

WIDTH = 340.0
LEFT, RIGHT = 30.0, 30.0  # px of the scales
TALL = 112.0  # px of the plot


def worst_section(found: Dampness, run: Run, hour: Hour) -> Drawing | None:
    """Return the section with most at stake: of a year where water settles or mould may grow.

    Else, and where no year is known, that of the hour through the side that gives or takes most.
    """
    if any(d.peak > 0.0 or d.face_humidity > MOULD for _, d in found.sides):
        return damp_section(found, run.model.shell)
    walls = [f for f in faces_of(run, hour.rows) if f.key == "wall" and f.zone == 0]
    for face in sorted(walls, key=lambda f: -abs(f.watts)):
        drawing = hour_section(run, hour, face.side)
        if drawing is not None:
            return drawing
    return None


def damp_section(found: Dampness, shell: Shell, side: str | None = None) -> Drawing | None:
    """Return the section through the stack with most at stake in a mean year, None without a year.

    It shows the month in which most water settles, else the coldest.

    Parameters
    ----------
    found : what a year does to the sheet's sides
    shell : of the same sheet
    side : 'roof', 'floor' or a wall in place of the worst
    """
    if found.climate is None or not found.sides:
        return None
    mine = [(name, d) for name, d in found.sides if side in (None, d.side)] or list(found.sides)
    name, damp = max(mine, key=lambda pair: _stake(pair[1]))
    surface = _surface_of(shell, name, damp)
    c = found.climate
    coldest = int(np.argmin(c.outside_temp))
    month = coldest if damp.worst_month is None else damp.worst_month
    outside = Air(float(c.outside_temp[month]), float(c.outside_pressure[month]))
    inside = Air(float(c.inside_temp[month]), float(c.inside_pressure[month]))
    water = water_in(surface.layers, damp.side, c)
    when = f"a mean {MONTHS[month]}"
    return section(name, surface.layers, damp.side, outside, inside, when=when, water=water)


def _stake(damp: Damp) -> tuple[float, float, float]:
    return damp.left, damp.peak, damp.face_humidity


def _surface_of(shell: Shell, name: str, damp: Damp) -> Surface:
    """Return the surface that a finding is about."""
    fabric = name.startswith("pop top")
    return next(
        s for s in shell.surfaces
        if s.side == damp.side and s.zone == 0 and s.beyond is None and s.boundary_temp is None
        and not s.across_ribs and (s.group == "pop top") == fabric
    )  # fmt: skip


def hour_section(run: Run, hour: Hour, side: str) -> Drawing | None:
    """Return the section of a side of the living space as if an hour of a run lasted for ever.

    None where nothing but glass is there.
    """
    own = [
        s for s in run.model.shell.surfaces
        if s.side == side and s.zone == 0 and s.beyond is None and not s.across_ribs
        and s.group != "pop top"
    ]  # fmt: skip
    if not own:
        return None
    outside, rows, pressure = run.plan.outside, hour.rows, run.plan.outside.pressure
    middle = hour.begins + (hour.ends - hour.begins) / 2
    at = (middle - run.start).total_seconds() / 3600.0
    hours = np.arange(len(outside.temp))
    temp, ratio = (float(np.interp(at, hours, x)) for x in (outside.temp, outside.humidity))
    cabin = float(run.column("cabin_temp_mean_c")[rows].mean())
    vapour = float(run.column("cabin_humidity_kg_kg")[rows].mean())
    airs = (
        Air(temp, float(vapour_pressure(ratio, pressure))),
        Air(cabin, float(vapour_pressure(vapour, pressure))),
    )
    when = f"{clock(hour.begins)} to {clock(hour.ends)}, as if it lasted"
    return section(side, own[0].layers, side, *airs, when=when)


def section(
    name: str, layers: tuple[Layer, ...], side: str, outside: Air, inside: Air, *, when: str,
    water: Sequence[Water] = (), width: float = WIDTH,
) -> Drawing:  # fmt: skip
    """Return the section through a stack between two airs.

    Parameters
    ----------
    name : of the side, in words
    layers : outside first
    side : 'roof', 'floor' or a wall
    outside, inside : the airs
    when : what they are of, in words
    water : that lies in it
    width : of the drawing [px]
    """
    lines = profile_of(layers, side, outside, inside)
    with ink.looks():
        canvas = Canvas(width)
        y = head(canvas, name, when, lines, len(layers))
        frame = Frame.of(Box(LEFT, y, width - RIGHT, y + TALL), lines)
        draw_layers(canvas, layers, lines.edges, frame)
        draw_scales(canvas, frame)
        draw_lines(canvas, lines, frame)
        y = draw_water(canvas, water, lines, frame)
        y = draw_key(canvas, layers, y)
        return Drawing(canvas.close(y), _says(name, when, layers, lines, water))


def _says(
    name: str, when: str, layers: tuple[Layer, ...], lines: Profile, water: Sequence[Water]
) -> str:
    """Return the drawing in words."""
    thick = float(lines.edges[-1])
    outer, inner = (writing.temperature(float(t)) for t in (lines.temp[0], lines.temp[-1]))
    text = (
        f"Section through the {name}, {when}: {len(layers)} layers, "
        f"{writing.thickness(thick)} together, {outer} at the outer face and {inner} at the inner "
        f"one, between {writing.temperature(lines.outside.temp)} outside and "
        f"{writing.temperature(lines.inside.temp)} inside; the air's dew point inside is "
        f"{writing.temperature(float(lines.dew[-1]))}. "
    )
    if water:
        most = max(water, key=lambda w: w.mass)
        return (
            f"{text}Up to {writing.water(most.mass)} of water lie "
            f"{writing.thickness(most.depth)} below the outer face."
        )
    if lines.crossings:
        return f"{text}The dew point stands above the temperature in a part of it."
    return f"{text}The dew point stays below the temperature throughout."
