"""Panes laid out on a side: a sheet says how large they are, not where they sit.

All in metres, y up, each area exact. What does not belong here: which panes a side has (``views``).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import NamedTuple

Point = tuple[float, float]
ASPECT = 1.4  # width over height of a pane of its own shape
LOOSE, TIGHT = 0.5, 0.94  # of a side's height or width that rows of panes may take
MOST_ROWS = 8
LEAST_CUT = 1e-9  # m2


class Room(NamedTuple):
    """A rectangle [m], y up."""

    x: float
    y: float
    wide: float
    high: float

    @property
    def area(self) -> float:
        """Its area [m²]."""
        return self.wide * self.high

    @property
    def points(self) -> list[Point]:
        """Its corners."""
        right, top = self.x + self.wide, self.y + self.high
        return [(self.x, self.y), (right, self.y), (right, top), (self.x, top)]


def packed(areas: Sequence[float], room: Room) -> list[list[Point]] | None:
    """Return rectangles of those areas in rows in a room, or None where no rows hold them."""
    if not areas:
        return []
    for rows in range(1, MOST_ROWS + 1):
        tallest = room.high * (LOOSE if rows == 1 else TIGHT / rows)
        for high in (tallest, room.high * TIGHT / rows):
            found = _in_rows(areas, room, rows, high)
            if found is not None:
                return found
    return None


def _in_rows(
    areas: Sequence[float], room: Room, rows: int, tallest: float
) -> list[list[Point]] | None:
    """Return the rectangles in so many rows, none taller than that."""
    sizes = []
    for area in areas:
        high = min(tallest, sqrt(area / ASPECT))
        sizes.append((area / high, high))
    lines: list[list[int]] = [[]]
    used = 0.0
    for i, (wide, _) in enumerate(sizes):
        if lines[-1] and used + wide > TIGHT * room.wide:
            lines.append([])
            used = 0.0
        lines[-1].append(i)
        used += wide
    if len(lines) > rows or any(
        sum(sizes[i][0] for i in line) > TIGHT * room.wide for line in lines
    ):
        return None
    band = room.high / len(lines)
    found: list[list[Point]] = [[] for _ in areas]
    for row, line in enumerate(lines):
        gap = (room.wide - sum(sizes[i][0] for i in line)) / (len(line) + 1)
        x, middle = room.x + gap, room.y + room.high - band * (row + 0.5)
        if len(lines) == 1:  # glass sits above the middle of a side
            middle = room.y + room.high * 0.5 + min(0.1 * room.high, (room.high - tallest) / 2.0)
        for i in line:
            wide, high = sizes[i]
            found[i] = Room(x, middle - high / 2.0, wide, high).points
            x += wide + gap
    return found


def sliced(areas: Sequence[float], rooms: Sequence[Room]) -> list[list[Point]]:
    """Return polygons of those areas, cut one beside the other from rooms that stand side by side.

    The rooms' tops are level. It always works where the areas are no more than the rooms' own.
    """
    out: list[list[Point]] = []
    k, x = 0, rooms[0].x
    for area in areas:
        parts: list[Room] = []
        left = area
        while left > LEAST_CUT and k < len(rooms):
            room = rooms[k]
            wide = min(left / room.high, room.x + room.wide - x)
            parts.append(Room(x, room.y, wide, room.high))
            left -= wide * room.high
            x += wide
            if x >= room.x + room.wide - 1e-12:
                k += 1
                x = rooms[k].x if k < len(rooms) else x
        lower = [p for part in parts for p in part.points[:2]]
        upper = [p for part in reversed(parts) for p in part.points[2:]]
        out.append(lower + upper)
    return out


def laid(areas: Sequence[float], rooms: Sequence[Room]) -> list[list[Point]]:
    """Return panes of those areas on rooms that stand side by side with level tops."""
    for room in sorted(rooms, key=lambda room: -room.area):
        found = packed(areas, room)
        if found is not None:
            return found
    return sliced(areas, rooms)


def area_of(points: Sequence[Point]) -> float:
    """Return a polygon's area [m²].

    >>> area_of([(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)])
    2.0
    """
    turned = [*points[1:], points[0]]
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, turned, strict=True))) / 2.0
