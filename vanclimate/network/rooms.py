"""The body cut into rooms: areas and volumes of living space, cab, garage and lifted roof.

All is geometry, and all is boxes. The living space and the garage share the body's box; the cab is
a box of its own before its front. What does not belong here: what the surfaces are made of
(``shell``), and nodes (``compile``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import sqrt

from vanclimate.van.layers import Stack
from vanclimate.van.sheet import Sheet
from vanclimate.van.windows import When
from vanclimate.van.zones import OPPOSITE

MOST_GARAGE = 0.9  # of the body's length and height: somebody has to live beside it
SIDE_NAMES = ("roof", "floor", "left", "right", "front", "rear")


@dataclass(frozen=True)
class Partition:
    """What stands between another room and the living space; layers from the other room's side."""

    name: str
    side: str  # of the living space
    area: float  # m2
    layers: Stack
    drawn: When = "always"


@dataclass(frozen=True)
class Way:
    """The way for air between another room and the living space."""

    leak: float  # m2, always there
    opening: float = 0.0  # m2, while it is open
    height: float = 1.0  # m
    open: When = "never"


@dataclass(frozen=True)
class Room:
    """One room.

    Parameters
    ----------
    name : as in `Sheet.zones`
    volume : [m3]
    floor : plan area [m2]
    sides : outer area of each side, glass included [m2]; the geometric mean of inside and outside
    furnishing : what stands in it [kg]
    partitions, way : towards the living space; none in the living space itself
    """

    name: str
    volume: float
    floor: float
    sides: dict[str, float]
    furnishing: float
    partitions: tuple[Partition, ...] = ()
    way: Way | None = None

    @property
    def outer(self) -> float:
        """Outer area of all its sides [m2]."""
        return sum(self.sides.values())


@dataclass
class _Box:
    """A box by its inside size [m] and the thickness [m] of each side."""

    length: float
    width: float
    height: float
    thick: dict[str, float] = field(default_factory=dict)

    def sides(self) -> dict[str, float]:
        """Return each side's area [m2]: the geometric mean of its inside and outside area.

        That basis is the one the ATP agreement uses for insulated bodies (from memory).
        """
        t = {side: self.thick.get(side, 0.0) for side in SIDE_NAMES}
        out_l = self.length + t["front"] + t["rear"]
        out_w = self.width + t["left"] + t["right"]
        out_h = self.height + t["roof"] + t["floor"]
        plan = sqrt(self.length * self.width * out_l * out_w)
        flank = sqrt(self.length * self.height * out_l * out_h)
        end = sqrt(self.width * self.height * out_w * out_h)
        return dict(zip(SIDE_NAMES, (plan, plan, flank, flank, end, end), strict=True))


def stack_of(sheet: Sheet, side: str) -> Stack:
    """Return the stack of a side; walls without one of their own share ``walls``."""
    own: Stack | None = getattr(sheet.stacks, side, None)
    return own if own is not None else sheet.stacks.walls


def cab_stack(sheet: Sheet, side: str) -> Stack:
    """Return the stack of a side of the cab."""
    assert sheet.cab is not None
    own: Stack = getattr(sheet.cab, side) if side in ("roof", "floor") else sheet.cab.walls
    return own


def thickness(stack: Stack) -> float:
    """Return a stack's thickness [m]."""
    return sum(layer.thickness for layer in stack)


def side_areas(sheet: Sheet) -> dict[str, float]:
    """Return the areas [m2] of the body's sides as one room, without the cab.

    Raises
    ------
    SheetError
        When the layers of two sides that face each other are thicker than what lies between them.
    """
    thick = {side: thickness(stack_of(sheet, side)) for side in SIDE_NAMES}
    b = sheet.body
    for pair, key in ((("left", "right"), "width"), (("front", "rear"), "length"),
                      (("roof", "floor"), "height")):  # fmt: skip
        both, inside = sum(thick[side] for side in pair), getattr(b, key)
        if both > inside:
            sheet.refuse(
                "stacks",
                found=f"{both:.2f} m of layers {pair[0]} and {pair[1]}",
                allowed=f"less than the body's {key} of {inside:.2f} m",
            )
    return _Box(b.length, b.width, b.height, thick).sides()


def rooms_of(sheet: Sheet) -> tuple[Room, ...]:
    """Return the rooms that a sheet describes, the living space first.

    Raises
    ------
    SheetError
        When a room is larger than the body that holds it.
    """
    b, left = sheet.body, side_areas(sheet)
    cab, garage = _cab(sheet), _garage(sheet, left)
    volume, floor, furnishing = b.length * b.width * b.height, left["floor"], b.furnishing
    if sheet.cab is not None:
        left["front"] *= 1.0 - sheet.cab.height / b.height
    if garage is not None:
        volume, floor = volume - garage.volume, floor - garage.floor
        furnishing -= garage.furnishing
        left = {side: area - garage.sides.get(side, 0.0) for side, area in left.items()}
    living = Room("living", volume + _tent_volume(sheet), floor, left, furnishing)
    return tuple(room for room in (living, cab, garage) if room is not None)


def _cab(sheet: Sheet) -> Room | None:
    """Return the cab: a box before the body, as wide as it, that opens into its whole section."""
    cab, b = sheet.cab, sheet.body
    if cab is None:
        return None
    _refuse_larger(sheet, "cab.height", cab.height, b.height)
    thick = {side: thickness(cab_stack(sheet, side)) for side in SIDE_NAMES if side != "rear"}
    sides = _Box(cab.length, b.width, cab.height, thick).sides()
    del sides["rear"]
    _refuse_thicker(sheet, "cab.walls", 2.0 * thick["left"], b.width, "the cab's width")
    _refuse_thicker(sheet, "cab.roof", thick["roof"] + thick["floor"], cab.height, "its height")
    _refuse_thicker(sheet, "cab.divider_layers", thickness(cab.divider_layers), cab.length,
                    "the cab's length")  # fmt: skip
    section = b.width * cab.height
    if cab.opening > section:
        sheet.refuse(
            "cab.opening",
            found=f"{cab.opening:.2f} m²",
            allowed=f"at most the cab's own section of {section:.2f} m²",
        )
    divider: tuple[Partition, ...] = ()
    if cab.divider != "open":
        divider = (Partition(cab.divider, "front", section, cab.divider_layers, cab.drawn),)
    way = Way(cab.leakage_between, cab.opening, cab.height, OPPOSITE[cab.drawn])
    volume = cab.length * section
    return Room("cab", volume, sides["floor"], sides, cab.furnishing, divider, way)


def _garage(sheet: Sheet, areas: dict[str, float]) -> Room | None:
    """Return the garage: the body's lower rear, from side to side."""
    g, b = sheet.garage, sheet.body
    if g is None:
        return None
    _refuse_larger(sheet, "garage.length", g.length, MOST_GARAGE * b.length)
    _refuse_larger(sheet, "garage.height", g.height, MOST_GARAGE * b.height)
    _refuse_thicker(sheet, "garage.deck", thickness(g.deck), b.height - g.height,
                    "what is left above it")  # fmt: skip
    _refuse_thicker(sheet, "garage.front_layers", thickness(g.front_layers), b.length - g.length,
                    "what is left before it")  # fmt: skip
    long, high = g.length / b.length, g.height / b.height
    sides = {
        "floor": areas["floor"] * long,
        "left": areas["left"] * long * high,
        "right": areas["right"] * long * high,
        "rear": areas["rear"] * high,
    }
    front = b.width * g.height
    partitions = [Partition("deck", "floor", b.width * g.length, g.deck)]
    way = Way(g.leakage_between, front, g.height, "always")
    if g.front == "boarded":
        partitions.append(Partition("garage front", "rear", front, g.front_layers))
        way = Way(g.leakage_between)
    volume = g.length * b.width * g.height
    return Room(
        "garage", volume, sides["floor"], sides, b.furnishing * long, tuple(partitions), way
    )


def _refuse_larger(sheet: Sheet, key: str, value: float, most: float) -> None:
    if value > most + 1e-9:
        allowed = f"at most {most:.2f} m in a body of this size"
        sheet.refuse(key, found=f"{value:.2f} m", allowed=allowed)


def _refuse_thicker(sheet: Sheet, key: str, thick: float, room: float, of: str) -> None:
    """Refuse layers that are thicker than the room [m] they have."""
    if thick > room:
        sheet.refuse(key, found=f"{thick:.2f} m of layers", allowed=f"less than {of}, {room:.2f} m")


def _tent_volume(sheet: Sheet) -> float:
    """Return the air under a lifted roof [m3], counted at all hours, as it weighs so little."""
    top, b = sheet.pop_top, sheet.body
    if top is None or top.raised == "never":
        return 0.0
    _refuse_larger(sheet, "pop_top.length", top.length, b.length)
    _refuse_larger(sheet, "pop_top.width", top.width, b.width)
    return top.length * top.width * top.height


def tent_areas(sheet: Sheet) -> dict[str, float]:
    """Return the areas [m2] of a lifted roof's fabric sides; none where it is never raised."""
    top = sheet.pop_top
    if top is None or top.raised == "never":
        return {}
    along, across = top.length * top.height, top.width * top.height
    return {"left": along, "right": along, "front": across, "rear": across}
