"""A maker's table of an air conditioner, as a sheet gives it: points of cooling and watts.

What does not belong here: what lies between its points (physics/bilinear), and what stands in for
a direction that it leaves out (equipment/unit).
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, NamedTuple

from vanclimate.errors import UnitError
from vanclimate.units import System, parse, show

if TYPE_CHECKING:
    from vanclimate.physics.bilinear import Array

RATING = (35.0, 19.4)
"""Outdoor air and indoor wet bulb [°C] of a data plate, as in equipment/air_conditioner."""
OUTDOORS, WET_BULBS = (-10.0, 65.0), (0.0, 40.0)  # °C that a table may hold
EXAMPLE = "'13.5 kBTU/h and 1300 W at 95 F and 67 F', cooling and watts at outdoor and wet bulb"


class Point(NamedTuple):
    """One point: at full speed, net cooling and watts with the blower."""

    outdoor: float  # °C
    wet_bulb: float  # °C, of the air that enters indoors
    capacity: float  # W
    power: float  # W


Points = tuple[Point, ...]


class Grid(NamedTuple):
    """The points as arrays."""

    outdoor: Array  # °C, rising
    wet_bulb: Array  # °C, rising
    capacity: Array  # (outdoor, wet bulb) W
    power: Array  # W


def read_table(text: str) -> Points:
    """Read points such as '13.5 kBTU/h and 1300 W at 95 F and 67 F', commas between them.

    >>> read_table("4 kW and 1300 W at 35 C and 19 C, 3.7 kW and 1500 W at 45 C and 19 C")[1][2:]
    (3700.0, 1500.0)
    """
    points = []
    for part in re.split(r",(?!\d{3}(?!\d))", text):  # not the comma of 13,500
        match = re.fullmatch(r"\s*(.+?)\s+and\s+(.+?)\s+at\s+(.+?)\s+and\s+(.+?)\s*", part)
        if match is None:
            raise UnitError(part.strip() or "nothing", f"points such as {EXAMPLE}")
        points.append(_point(match, part.strip()))
    _check_grid(points)
    return tuple(sorted(points))


def _point(match: re.Match[str], text: str) -> Point:
    """Return one point, its values within their limits."""
    point = Point(
        parse(match[3], "temperature"), parse(match[4], "temperature"),
        parse(match[1], "heat_rate"), parse(match[2], "power"),
    )  # fmt: skip
    for value, (low, high), what in (
        (point.outdoor, OUTDOORS, "outdoors"), (point.wet_bulb, WET_BULBS, "of wet bulb"),
    ):  # fmt: skip
        if not low <= value <= high:
            raise UnitError(text, f"{low:g} to {high:g} °C {what}")
    if not 100.0 <= point.capacity <= 20000.0 or not 20.0 <= point.power <= 8000.0:
        raise UnitError(text, "100 W to 20 kW of cooling for 20 W to 8 kW")
    if not 0.5 <= point.capacity / point.power <= 12.0:
        raise UnitError(text, "0.5 to 12 W of cooling a watt: check the order of the two")
    return point


def _check_grid(points: list[Point]) -> None:
    """Refuse a table with a point twice or with one missing, and one of a single point."""
    at = [(p.outdoor, p.wet_bulb) for p in points]
    for where in at:
        if at.count(where) > 1:
            raise UnitError(f"two points at {_where(*where)}", "one point each")
    if len(at) < 2:
        raise UnitError("one point", "two points or more; for one, capacity and power")
    for outdoor in {x for x, _ in at}:
        for wet_bulb in {y for _, y in at}:
            if (outdoor, wet_bulb) not in at:
                found = f"no point at {_where(outdoor, wet_bulb)}"
                raise UnitError(found, "every wet bulb at every outdoor temperature")


def _where(outdoor: float, wet_bulb: float) -> str:
    return f"{outdoor:.1f} °C outdoors and {wet_bulb:.1f} °C of wet bulb"


def write_table(points: Points | None, system: System) -> str:
    """Write what `read_table` reads."""
    if points is None:
        return "none"
    shown = [
        (show(p.capacity, "heat_rate", system), show(p.power, "power", system),
         show(p.outdoor, "temperature", system), show(p.wet_bulb, "temperature", system))
        for p in points
    ]  # fmt: skip
    return ", ".join(f"{q} and {w} at {out} and {wet}" for q, w, out, wet in shown)


def grid_of(points: Points) -> Grid:
    """Return the points as arrays, both directions rising."""
    import numpy as np

    by_place = {(p.outdoor, p.wet_bulb): p for p in points}
    xs, ys = sorted({x for x, _ in by_place}), sorted({y for _, y in by_place})
    rows = [[by_place[x, y] for y in ys] for x in xs]
    return Grid(
        np.array(xs), np.array(ys),
        np.array([[p.capacity for p in row] for row in rows]),
        np.array([[p.power for p in row] for row in rows]),
    )  # fmt: skip


def at_rating(points: Points, outdoor: float, wet_bulb: float) -> tuple[float, float]:
    """Return cooling and watts [W] at a point [°C], held beyond the table's ends."""
    from vanclimate.physics.bilinear import bilinear

    grid = grid_of(points)
    place = (outdoor, wet_bulb, grid.outdoor, grid.wet_bulb)
    return bilinear(*place, grid.capacity), bilinear(*place, grid.power)
