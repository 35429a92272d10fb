"""A view of the van on paper: its surfaces in their inks, and their numbers where there is room.

What does not belong here: what a view holds (``views``), and how views stand together (``van``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from vanclimate.page.drawings import writing
from vanclimate.page.drawings.canvas import Box, Canvas, Point, shading, width_of
from vanclimate.page.drawings.flows import Face
from vanclimate.page.drawings.views import WHEEL, Shape, View

EDGES = tuple(x * writing.FLUX for x in (1.0, 3.0, 10.0))
"""Where one ink ends and the next begins [W/m²]: 1, 3 and 10 BTU/h·ft²; the same for all vans, so
that two pages can be laid side by side."""
SHADE = 7.0  # px between the lines over what leaves


def ink_of(flux: float) -> str:
    """Return the name of a heat flux's ink [W/m²].

    >>> ink_of(0.4), ink_of(-12.0), ink_of(90.0)
    ('flow0', 'flow-2', 'flow3')
    """
    step = sum(abs(flux) >= edge for edge in EDGES)
    return f"flow{'-' if flux < 0 < step else ''}{step}"


def on_ink(name: str) -> str:
    """Return the ink that can be read on another."""
    return "paper" if name in ("flow3", "flow-3") else "ink"


@dataclass(frozen=True)
class Frame:
    """Where a view lies on the paper: px to the metre, and its lower left corner."""

    scale: float
    x: float
    y: float

    def at(self, points: Sequence[Point]) -> list[Point]:
        """Return points of the view [m] on the paper."""
        return [(self.x + self.scale * a, self.y - self.scale * b) for a, b in points]

    def box(self, points: Sequence[Point]) -> Box:
        """Return the room that points of the view take on the paper."""
        placed = self.at(points)
        xs, ys = [p[0] for p in placed], [p[1] for p in placed]
        return Box(min(xs), min(ys), max(xs), max(ys))


def title_of(view: View) -> str:
    """Return a view's name with the way that the nose points."""
    return {"left": f"◀ {view.name}", "right": f"{view.name} ▶"}.get(view.nose, view.name)


def wheel_of(view: View) -> float:
    """Return the radius of a view's wheels [m]."""
    return min(WHEEL, 0.18 * view.high, 0.12 * view.wide) if view.wheels else 0.0


def draw_view(canvas: Canvas, view: View, frame: Frame) -> list[Face]:
    """Draw a view; return the faces whose number found no room on them."""
    top = frame.y - frame.scale * view.high
    canvas.text(frame.x, top - 4.0, title_of(view), colour="soft")
    for x, y in frame.at(view.wheels):
        canvas.ring(x, y, frame.scale * wheel_of(view), "soft")
    for shape in view.walls:
        _filled(canvas, shape, frame)
    _on_roof(canvas, view, frame)
    for shape in view.panes:
        _filled(canvas, shape, frame, 1.2)
    taken = [frame.box(s.points) for s in view.panes]
    taken += [frame.box(p) for p in (*view.panels, *view.fans, *view.vents)]
    left = [s.face for s in view.panes if not _number_in_pane(canvas, s, frame)]
    left += [s.face for s in view.walls if not _number_on_wall(canvas, s, frame, taken)]
    return left


def _filled(canvas: Canvas, shape: Shape, frame: Frame, width: float = 0.8) -> None:
    """Draw a surface in its ink, shaded where heat leaves through it."""
    name = ink_of(shape.face.flux)
    points = frame.at(shape.points)
    canvas.area(points, fill=name, edge="ink", width=width, told=shape.face.told)
    if name.startswith("flow-"):
        canvas.lines(shading(points, SHADE), on_ink(name), 0.4)


def _on_roof(canvas: Canvas, view: View, frame: Frame) -> None:
    """Draw panels as a grid of lines, fans as crossed squares, vents as small ones."""
    grid: list[list[Point]] = []
    for points in view.panels:
        canvas.area(frame.at(points), edge="ink", width=0.7)
        grid += shading(frame.at(points), 4.0, back=True)
    canvas.lines(grid, "soft", 0.5)
    crosses: list[list[Point]] = []
    for points in (*view.fans, *view.vents):
        corners = frame.at(points)
        canvas.area(corners, fill="paper", edge="ink", width=0.7)
        crosses += [[corners[0], corners[2]], [corners[1], corners[3]]] * (points in view.fans)
    canvas.lines(crosses, "ink", 0.7)


def numbers_of(face: Face) -> tuple[str, str]:
    """Return a face's heat flux in BTU/h·ft² and in W/m², the numbers alone."""
    return writing.flux_number(face.flux / writing.FLUX), writing.flux_number(face.flux)


def _number_in_pane(canvas: Canvas, shape: Shape, frame: Frame) -> bool:
    """Write a pane's two numbers in it, or return that there is no room."""
    box, (us, si) = frame.box(shape.points), numbers_of(shape.face)
    middle, y = (box.left + box.right) / 2.0, (box.top + box.bottom) / 2.0
    wide, tall = box.right - box.left - 2.0, box.bottom - box.top
    if max(width_of(us), width_of(si)) <= wide and tall >= 25.0:
        _write(canvas, middle, y - 2.0, us, shape.face)
        _write(canvas, middle, y + 10.0, si, shape.face)
        return True
    if width_of(f"{us} · {si}") <= wide and tall >= 13.0:
        _write(canvas, middle, y + 4.0, f"{us} · {si}", shape.face)
        return True
    return False


def _write(canvas: Canvas, x: float, y: float, text: str, face: Face) -> None:
    """Write a number on its surface, its shading kept away."""
    name = ink_of(face.flux)
    if name.startswith("flow-"):
        canvas.rectangle(canvas.box_of(x, y, text, ha="center"), fill=name)
    canvas.text(x, y, text, ha="center", colour=on_ink(name))


def _number_on_wall(canvas: Canvas, shape: Shape, frame: Frame, taken: Sequence[Box]) -> bool:
    """Write a wall's numbers where nothing else lies on it."""
    text = " · ".join(numbers_of(shape.face))
    outline, points = frame.box(shape.points), frame.at(shape.points)
    for x, y in _spots(outline, width_of(text)):
        box = canvas.box_of(x, y, text, ha="center")
        roomy = Box(box.left - 2.0, box.top - 1.5, box.right + 2.0, box.bottom)
        if not roomy.within(outline) or not canvas.is_free(roomy, taken):
            continue
        if len(points) == 4 or _within(roomy, points):
            _write(canvas, x, y, text, shape.face)
            return True
    return False


def _spots(outline: Box, wide: float) -> list[Point]:
    """Return places to try for a text on a surface, its middle first."""
    across = [0.5, 0.3, 0.7, 0.15, 0.85, 0.05, 0.95]
    down = [0.5, 0.75, 0.25, 0.88, 0.12]
    left, right = outline.left + wide / 2.0 + 2.5, outline.right - wide / 2.0 - 2.5
    top, bottom = outline.top + 9.0, outline.bottom - 3.0
    if right < left or bottom < top:
        return []
    return [(left + a * (right - left), top + b * (bottom - top)) for b in down for a in across]


def _within(box: Box, points: Sequence[Point]) -> bool:
    """Return whether a box lies inside a polygon of level and upright edges."""
    corners = [(box.left, box.top), (box.right, box.top), (box.left, box.bottom),
               (box.right, box.bottom)]  # fmt: skip
    return all(_holds(corner, points) for corner in corners)


def _holds(point: Point, points: Sequence[Point]) -> bool:
    x, y = point
    inside = False
    for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            inside = not inside
    return inside
