"""The van drawn to scale from its sheet, each surface coloured by the heat through it.

What does not belong here: which hour it is (``flows``), and what a view holds (``views``).
"""

from __future__ import annotations

from collections.abc import Sequence

from vanclimate.page import ink
from vanclimate.page.drawings import writing
from vanclimate.page.drawings.canvas import Box, Canvas, Drawing, cut, shading, width_of
from vanclimate.page.drawings.flows import Face, Hour, faces_of
from vanclimate.page.drawings.surfaces import (
    EDGES,
    SHADE,
    Frame,
    draw_view,
    numbers_of,
    on_ink,
    title_of,
    wheel_of,
)
from vanclimate.page.drawings.views import View, views_of
from vanclimate.report.numbers import clock, fixed
from vanclimate.simulate.runs import Run
from vanclimate.units import FT
from vanclimate.van.sheet import Sheet

WIDTH = 340.0
TALLEST, GAP, HEAD = 68.0, 10.0, 15.0  # px: of a side, between views, of the line above each
LINE = 14.0


def van(sheet: Sheet, run: Run, hour: Hour, *, width: float = WIDTH) -> Drawing:
    """Return the van at an hour of a run.

    Parameters
    ----------
    sheet, run : the run's own sheet
    hour : of the run, see `flows.worst_hour`
    width : of the drawing [px]
    """
    faces = faces_of(run, hour.rows)
    views = views_of(sheet, run.model.shell, faces)
    with ink.looks():
        canvas = Canvas(width)
        y = _head(canvas, hour)
        scale, rows = _arranged(views, width)
        unwritten: list[Face] = []
        low = 0.0
        for row in rows:
            tall = max(scale * view.high for view in row)
            x = 0.0
            for view in row:
                unwritten += draw_view(canvas, view, Frame(scale, x, y + HEAD + tall))
                x += max(scale * view.wide, width_of(title_of(view))) + GAP
            if row is rows[-1]:
                unwritten, low = _beside(
                    canvas, sheet, unwritten, Box(x, y, width, y + HEAD + tall)
                )
            y = max(low, y + HEAD + tall) + scale * wheel_of(row[0]) + 6.0
        y = _scale_bars(canvas, scale, y)
        y = _signs(canvas, sheet, views, y)
        y = _left_over(canvas, unwritten, y)
        y = _key(canvas, y)
        return Drawing(canvas.close(y), _says(sheet, hour, faces))


def _head(canvas: Canvas, hour: Hour) -> float:
    """Write which hour it is, and return where the drawing goes on."""
    canvas.text(0.0, 11.0, f"{clock(hour.begins)} to {clock(hour.ends)}, when", bold=True)
    canvas.text(0.0, 11.0 + LINE, cut(hour.why, canvas.width))
    return 11.0 + LINE + 5.0


def _arranged(views: Sequence[View], width: float) -> tuple[float, list[list[View]]]:
    """Return px to the metre and the views row by row: two a row, or one where a van is long."""
    left, right, roof, floor, front, rear = views
    pairs = [[left, right], [roof, floor], [front, rear]]
    singly = [[left], [right], [roof], [floor], [front, rear]]
    two, one = _widest(pairs, width), _widest(singly, width)
    cap = TALLEST / left.high
    if min(two, cap) >= 0.62 * min(one, cap) or two * left.high > 40.0:
        return min(two, cap), pairs
    return min(one, cap), singly


def _widest(rows: Sequence[Sequence[View]], width: float) -> float:
    """Return px to the metre at which the widest row fills the width; a van can be wide as long."""
    return min((width - GAP * (len(row) - 1)) / sum(view.wide for view in row) for row in rows)


def _beside(canvas: Canvas, sheet: Sheet, faces: list[Face], room: Box) -> tuple[list[Face], float]:
    """Write the van's size, and numbers that found no room, beside the ends.

    Returns the others, and how low it comes.
    """
    b, y = sheet.body, room.top + 11.0
    sizes = {"long": b.length, "wide": b.width, "high": b.height}
    lines = [f"{name} {writing.length(value)}" for name, value in sizes.items()]
    if room.right - room.left < max(map(width_of, lines)):
        return faces, room.top
    canvas.text(room.left, y, "inside", colour="soft")
    for line in lines:
        y += LINE
        canvas.text(room.left, y, line)
    rest = _ordered(faces)
    y += 0.5 * LINE if rest and y + 2.0 * LINE < room.bottom else 0.0
    while rest and y + LINE < room.bottom:
        y += LINE
        numbers = _numbered(rest[0])
        wide = room.right - room.left
        name = cut(rest[0].name, wide - width_of(numbers) - 8.0)
        canvas.text(room.left, y, name, colour="soft")
        canvas.text(room.right, y, numbers, ha="right")
        rest = rest[1:]
    return rest, y + 4.0


def _ordered(faces: Sequence[Face]) -> list[Face]:
    return sorted(faces, key=lambda f: -abs(f.flux))


def _numbered(face: Face) -> str:
    return " · ".join(numbers_of(face))


def _scale_bars(canvas: Canvas, scale: float, y: float) -> float:
    """Draw a bar of some metres and one of about as many feet, and return where to go on."""
    metres = next((n for n in (1, 2, 3, 5) if n * scale >= 40.0), 5)
    bars = ((3 * metres, FT, "ft", 0.0), (metres, 1.0, "m", canvas.width / 2.0))
    for count, unit, name, x in bars:
        end = x + count * unit * scale
        canvas.lines([[(x, y + 4.0), (x, y + 10.0)], [(end, y + 4.0), (end, y + 10.0)],
                      [(x, y + 7.0), (end, y + 7.0)]], "ink")  # fmt: skip
        canvas.text(end + 5.0, y + 11.0, f"{count} {name}")
    return y + 18.0


def _signs(canvas: Canvas, sheet: Sheet, views: Sequence[View], y: float) -> float:
    """Say what is drawn besides surfaces; return where to go on."""
    there = {
        f"▦ panels, {writing.area(sheet.roof_panels.area)}": any(v.panels for v in views),
        "⊠ fan": any(v.fans for v in views),
        "□ vent": any(v.vents for v in views),
    }
    words = [word for word, shown in there.items() if shown]
    if not words:
        return y
    canvas.text(0.0, y + 11.0, ", ".join(words), colour="soft")
    return y + LINE


def _left_over(canvas: Canvas, faces: Sequence[Face], y: float) -> float:
    """Write the numbers that found no room at all, as many as two lines hold."""
    rest = _ordered(faces)
    for _ in range(2):
        line = ""
        while rest:
            word = f"{cut(rest[0].name, 0.6 * canvas.width)} {_numbered(rest[0])}"
            longer = f"{line}; {word}" if line else word
            if width_of(longer) > canvas.width:
                break
            line, rest = longer, rest[1:]
        if line:
            canvas.text(0.0, y + 11.0, line)
            y += LINE
    if rest:
        ends = min(rest, key=lambda f: f.flux), max(rest, key=lambda f: f.flux)
        span = " to ".join(_numbered(face) for face in ends)
        canvas.text(0.0, y + 11.0, f"and {len(rest)} more: {span}")
        y += LINE
    return y + 2.0


def _key(canvas: Canvas, y: float) -> float:
    """Draw the inks with the numbers between them, and return where to go on."""
    names = ["flow-3", "flow-2", "flow-1", "flow0", "flow1", "flow2", "flow3"]
    edges = [*(-e for e in reversed(EDGES)), *EDGES]
    left, wide, tall = 30.0, 27.0, 11.0
    canvas.text(left + 7 * wide + 6.0, y + 10.0, "BTU/h·ft²")
    canvas.text(left + 7 * wide + 6.0, y + 14.0 + tall + 13.0, "W/m²")
    for i, edge in enumerate(edges):
        x = left + wide * (i + 1)
        canvas.text(x, y + 10.0, fixed(edge / writing.FLUX), ha="center", colour="soft")
        canvas.text(x, y + 14.0 + tall + 13.0, fixed(edge), ha="center", colour="soft")
    for i, name in enumerate(names):
        box = Box(left + i * wide, y + 14.0, left + (i + 1) * wide, y + 14.0 + tall)
        canvas.rectangle(box, fill=name, edge="ink", width=0.6)
        if name.startswith("flow-"):
            corners = [(box.left, box.top), (box.right, box.top), (box.right, box.bottom),
                       (box.left, box.bottom)]  # fmt: skip
            canvas.lines(shading(corners, SHADE), on_ink(name), 0.4)
    canvas.text(0.0, y + 14.0 + tall - 1.5, "out", colour="soft")
    canvas.text(left + 7 * wide + 6.0, y + 14.0 + tall - 1.5, "in", colour="soft")
    return y + 14.0 + tall + 17.0


def _says(sheet: Sheet, hour: Hour, faces: Sequence[Face]) -> str:
    """Return the drawing in words: the hour, and the faces through which most heat goes."""
    drawn = [f for f in faces if f.key in ("wall", "pane", "top")]
    most = sorted(drawn, key=lambda f: -abs(f.watts))[:3]
    told = "; ".join(
        f"{f.name} {writing.heat_rate(f.watts)} ({writing.flux(f.flux)})" for f in most
    )
    return (
        f"The van to scale, {writing.length(sheet.body.length)} long, "
        f"{writing.length(sheet.body.width)} wide and {writing.length(sheet.body.height)} high "
        f"inside, from {clock(hour.begins)} to {clock(hour.ends)}, when {hour.why}. Most heat into "
        f"the room, negative where it leaves: {told}."
    )
