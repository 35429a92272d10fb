"""A sheet's van as plane views in metres: sides, roof, floor and ends, with what is on them.

Every side has the area that the network takes for it, the mean of its inside and outside; a leaning
pane shows its upright part. What does not belong here: scale, colours and texts (``van``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from vanclimate.network.shell import LEAST_AREA, MOST_PANELS, Shell
from vanclimate.page.drawings.flows import Face
from vanclimate.page.drawings.packing import Point, Room, laid, packed
from vanclimate.page.drawings.sizes import Sizes, sizes_of
from vanclimate.van.sheet import Sheet

WHEEL = 0.34  # m, its radius; assumed, for the eye only
MARGIN = 0.86  # of the roof's width that a row of panels takes, where there is room
FAN, VENT = 0.38, 0.22  # m, sides of the squares that stand for a roof fan and a vent


@dataclass(frozen=True)
class Shape:
    """A surface, and its outline [m], y up."""

    face: Face
    points: list[Point]


@dataclass
class View:
    """One view of the van, its lower left corner at the origin [m]."""

    name: str
    wide: float
    high: float
    nose: str = ""  # to which hand it points
    walls: list[Shape] = field(default_factory=list)
    panes: list[Shape] = field(default_factory=list)
    panels: list[list[Point]] = field(default_factory=list)
    fans: list[list[Point]] = field(default_factory=list)
    vents: list[list[Point]] = field(default_factory=list)
    wheels: list[Point] = field(default_factory=list)

    def mirrored(self) -> None:
        """Turn left and right about."""

        def turned(points: list[Point]) -> list[Point]:
            return [(self.wide - x, y) for x, y in points]

        self.walls = [Shape(s.face, turned(s.points)) for s in self.walls]
        self.panes = [Shape(s.face, turned(s.points)) for s in self.panes]
        self.wheels = turned(self.wheels)


class _Faces:
    """The faces of a run by where they are, and the panes' areas as their sides show them."""

    def __init__(self, faces: Sequence[Face], shell: Shell) -> None:
        self.walls = {(f.zone, f.side): f for f in faces if f.key == "wall"}
        self.tops = {f.side: f for f in faces if f.key == "top"}
        glass = [f for f in faces if f.key == "pane"]
        self.panes = [(f, g.covers) for f, g in zip(glass, shell.glazings, strict=True)]

    def glass(self, zone: int, side: str) -> list[tuple[Face, float]]:
        """Return the panes of a zone's side with their upright areas."""
        return [(f, area) for f, area in self.panes if (f.zone, f.side) == (zone, side)]

    def add(
        self, view: View, zone: int, side: str, points: list[Point], rooms: Sequence[Room],
        outlines: list[list[Point]] | None = None,
    ) -> None:  # fmt: skip
        """Put a zone's side and its panes into a view; rooms stand side by side, tops level."""
        mine = self.glass(zone, side)
        wall = self.walls.get((zone, side))
        if wall is not None and wall.area >= LEAST_AREA:
            view.walls.append(Shape(wall, points))
        if outlines is None:
            outlines = laid([area for _, area in mine], rooms)
        view.panes += [Shape(f, o) for (f, _), o in zip(mine, outlines, strict=True)]

    def lift(self, view: View, side: str, room: Room) -> None:
        """Put the fabric of a lifting roof into a view."""
        if side in self.tops:
            view.walls.append(Shape(self.tops[side], room.points))


def views_of(sheet: Sheet, shell: Shell, faces: Sequence[Face]) -> list[View]:
    """Return the views: left and right side, roof, floor, front, rear."""
    s, by = sizes_of(sheet), _Faces(faces, shell)
    zones = {zone.name: i for i, zone in enumerate(shell.zones)}
    sides = [_flank(s, by, zones, side) for side in ("left", "right")]
    sides[1].mirrored()
    roof = _roof(s, by, zones, sheet)
    return [*sides, roof, _floor(s, by, zones, sheet), _front(s, by, zones), _rear(s, by, zones)]


def _flank(s: Sizes, by: _Faces, zones: dict[str, int], side: str) -> View:
    """Return a side, the nose to the left."""
    wide, high = s.cab_long + s.long, max(s.high, s.cab_high)
    view = View(f"{side} side", wide, high + (s.top[2] if s.top else 0.0), side)
    x, end = s.cab_long, s.cab_long + s.long
    if "cab" in zones:
        cab = Room(0.0, 0.0, s.cab_long, s.cab_high)
        by.add(view, zones["cab"], side, cab.points, [cab])
    if "garage" in zones:
        hold = Room(end - s.hold_long, 0.0, s.hold_long, s.hold_high)
        rooms = [
            Room(x, 0.0, s.long - s.hold_long, s.high),
            Room(hold.x, s.hold_high, s.hold_long, s.high - s.hold_high),
        ]
        outline = [(x, 0.0), (hold.x, 0.0), (hold.x, s.hold_high), (end, s.hold_high),
                   (end, s.high), (x, s.high)]  # fmt: skip
        by.add(view, 0, side, outline, rooms)
        by.add(view, zones["garage"], side, hold.points, [hold])
    else:
        body = Room(x, 0.0, s.long, s.high)
        by.add(view, 0, side, body.points, [body])
    if s.top:
        by.lift(view, side, Room(x + (s.long - s.top[0]) / 2.0, s.high, s.top[0], s.top[2]))
    front = s.cab_long * 0.45 if s.cab_long else s.long * 0.2
    view.wheels = [(front, 0.0), (end - s.long * 0.22, 0.0)]
    return view


def _front(s: Sizes, by: _Faces, zones: dict[str, int]) -> View:
    """Return the front: the cab's, and what of the body stands above it."""
    foot = max(s.cab_high, s.high - s.front_high) if "cab" in zones else 0.0
    wide, high = max(s.wide, s.cab_wide), foot + s.front_high
    view = View("front", wide, high + (s.top[2] if s.top else 0.0))
    if "cab" in zones:
        cab = Room((wide - s.cab_wide) / 2.0, 0.0, s.cab_wide, s.cab_high)
        by.add(view, zones["cab"], "front", cab.points, [cab])
    body = Room((wide - s.wide) / 2.0, foot, s.wide, s.front_high)
    if body.area >= LEAST_AREA:
        by.add(view, 0, "front", body.points, [body])
    if s.top:
        by.lift(view, "front", Room((wide - s.top[1]) / 2.0, high, s.top[1], s.top[2]))
    return view


def _rear(s: Sizes, by: _Faces, zones: dict[str, int]) -> View:
    """Return the rear, the garage below."""
    view = View("rear", s.wide, s.high + (s.top[2] if s.top else 0.0))
    if "garage" in zones:
        hold = Room(0.0, 0.0, s.wide, s.hold_high)
        by.add(view, zones["garage"], "rear", hold.points, [hold])
    body = Room(0.0, s.hold_high, s.wide, s.high - s.hold_high)
    by.add(view, 0, "rear", body.points, [body])
    if s.top:
        by.lift(view, "rear", Room((s.wide - s.top[1]) / 2.0, s.high, s.top[1], s.top[2]))
    return view


def _plan(s: Sizes, name: str) -> tuple[View, Room]:
    """Return an empty plan, the nose to the left, and the body in it."""
    wide = max(s.wide, s.cab_wide)
    view = View(name, s.cab_long + s.long, wide, "left")
    return view, Room(s.cab_long, (wide - s.wide) / 2.0, s.long, s.wide)


def _of_cab(s: Sizes, by: _Faces, zones: dict[str, int], view: View, side: str) -> None:
    if "cab" in zones:
        cab = Room(0.0, (view.high - s.cab_wide) / 2.0, s.cab_long, s.cab_wide)
        by.add(view, zones["cab"], side, cab.points, [cab])


def _roof(s: Sizes, by: _Faces, zones: dict[str, int], sheet: Sheet) -> View:
    """Return the roof from above: glass, fans and vents before, panels behind."""
    view, body = _plan(s, "roof")
    _of_cab(s, by, zones, view, "roof")
    glass, fans = [area for _, area in by.glass(0, "roof")], sheet.fans.count
    panels, free = _panels(sheet, body, sum(glass))
    view.panels = [p.points for p in panels]
    holes = [FAN**2] * fans + [VENT**2] * (sheet.vents.high > 0.0)
    found = packed([*glass, *holes], free)
    if found is None:  # a full roof shows its glass alone
        found = laid(glass, [free])
    by.add(view, 0, "roof", body.points, [free], found[: len(glass)])
    view.fans = found[len(glass) : len(glass) + fans]
    view.vents = found[len(glass) + fans :]
    return view


def _panels(sheet: Sheet, body: Room, glass: float) -> tuple[list[Room], Room]:
    """Return the panels as one block of modules at the rear, and what they leave of the roof."""
    area = min(sheet.roof_panels.area, MOST_PANELS * (body.area - glass))
    if area <= 0.0:
        return [], body
    roomy = area < 0.6 * MARGIN * body.area and glass < 0.2 * body.area
    share = MARGIN if roomy else 1.0
    high = share * body.high
    long = area / high
    gap = (1.0 - share) * body.high / 2.0
    x, y = body.x + body.wide - long - gap * (share < 1.0), body.y + (body.high - high) / 2.0
    count = sheet.roof_panels.count
    rows = 2 if count % 2 == 0 and count > 2 else 1
    across = max(1, count // rows)
    wide, tall = long / across, high / rows
    if count > 60:
        across = rows = 1
        wide, tall = long, high
    places = [(i, j) for i in range(across) for j in range(rows)]
    blocks = [Room(x + i * wide, y + j * tall, wide, tall) for i, j in places]
    return blocks, Room(body.x, body.y, x - body.x, body.high)


def _floor(s: Sizes, by: _Faces, zones: dict[str, int], sheet: Sheet) -> View:
    """Return the floor from above."""
    view, body = _plan(s, "floor")
    _of_cab(s, by, zones, view, "floor")
    living = Room(body.x, body.y, s.long - s.hold_long, body.high)
    by.add(view, 0, "floor", living.points, [living])
    if "garage" in zones:
        hold = Room(living.x + living.wide, body.y, s.hold_long, body.high)
        by.add(view, zones["garage"], "floor", hold.points, [hold])
    if sheet.vents.low > 0.0:
        vents = packed([VENT**2], living)
        view.vents = vents or []
    return view
