"""What moves air in the description: fans, fixed vents, doors.

What does not belong here: how much they move (``physics.opening_flow``, ``equipment.fans``), and
the windows that open (windows.py).
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.errors import UnitError
from vanclimate.units import System, parse, show
from vanclimate.van.bodies import BodyKind
from vanclimate.van.fields import Part, choice, custom, own_kind, quantity, refused, switch, whole

FAN_SWEEP = 0.07
"""Free area [m²] past the still blades of a 14 in roof fan; assumed: a 300 mm hole."""

AXIAL_AIR_POWER = 0.2
"""Best air power of a small axial fan as a share of its watts, the motor's loss included; assumed,
0.1 to 0.4. On a straight curve the best is a quarter of free flow times shut-off pressure."""

SCREEN = 0.80
"""Flow through an opening with an insect screen as a share of that without: a mesh three fifths
open adds one velocity head to the opening's 2.7 (Idelchik's formula for thin wire screens, from
memory, gives 0.86), and dust and low speeds take the rest (assumed)."""

DOOR_AREA, DOOR_HEIGHT = 1.9, 1.7  # m2, m; a sliding door, assumed
OVER_DOOR = 0.1  # m between a guessed door and the roof; assumed

GAS_APPLIANCES = ("none", "room sealed", "open burner")

Curve = tuple[tuple[float, float], ...]  # flow [m3/s] and pressure [Pa], from free flow on


def read_curve(text: str) -> Curve:
    """Read points of a fan curve, '0 Pa at 900 CFM, 0.15 in wg at 450 CFM, 0.25 in wg at 0 CFM'.

    >>> read_curve("0 Pa at 400 L/s, 30 Pa at 0 L/s")
    ((0.4, 0.0), (0.0, 30.0))
    """
    allowed = "pressures and flows such as '0 Pa at 900 CFM, 30 Pa at 500 CFM, 60 Pa at 0 CFM'"
    points = []
    for part in text.split(","):
        match = re.fullmatch(r"\s*(.+?)\s+at\s+(.+?)\s*", part)
        if match is None:
            raise UnitError(text, allowed)
        points.append((parse(match[2], "flow"), parse(match[1], "fan_pressure")))
    curve = tuple(sorted(points, key=lambda point: point[1]))
    _check_curve(curve, text)
    return curve


def _check_curve(curve: Curve, text: str) -> None:
    """Refuse a curve that rises, or lacks an end."""
    (free, least), (last, shut_off) = curve[0], curve[-1]
    if len(curve) < 2 or least != 0.0 or last != 0.0:
        raise UnitError(text, "points from no pressure (free flow) to no flow (shut-off pressure)")
    for (more, low), (less, high) in pairwise(curve):
        if less >= more or high <= low:
            raise UnitError(text, "a fan curve that falls: less flow against more pressure")
    if free > 2.0 or shut_off > 1000.0:
        raise UnitError(text, "up to 2 m3/s (4240 CFM) and 1000 Pa (4 in wg)")


def write_curve(curve: Curve | None, system: System) -> str:
    """Write what `read_curve` reads."""
    if curve is None:
        return "straight"
    return ", ".join(
        f"{show(p, 'fan_pressure', system)} at {show(q, 'flow', system)}" for q, p in curve
    )


def _usual_shut_off(fans: Fans) -> float:
    """Return the shut-off pressure [Pa] of a straight curve with `AXIAL_AIR_POWER`."""
    if fans.flow == 0.0:
        return 1.0  # moves nothing, whatever it is
    return min(1000.0, max(1.0, 4.0 * AXIAL_AIR_POWER * fans.power / fans.flow))


def _some(fans: Any) -> bool:
    """Say whether there is a roof fan at all."""
    return bool(fans.count > 0)


class Fans(Part):
    """Roof fans with what their air must pass, and the fan at the bed."""

    count: int = whole(
        0, 6, 1, why="assumed: one roof fan", at_least=1, at_most=2, settle="look at the roof"
    )
    flow: float = quantity(
        "flow", 0.0, 2.0, 900 * 0.3048**3 / 60,
        why="assumed: free-air flow of a 14 in roof fan", at_least=0.2, at_most=0.5,
        settle="read the fan's data plate", applies=_some,
    )  # fmt: skip
    power: float = quantity(
        "power", 0.0, 500.0, 30.0, why="roof fan 2-40 W, from memory", at_least=10.0, at_most=40.0,
        settle="a clamp meter on the fan's lead", applies=_some,
    )  # fmt: skip
    shut_off_pressure: float = quantity(
        "fan_pressure", 1.0, 1000.0, default_of=_usual_shut_off, spread=(0.5, 2.0),
        why="assumed: a fifth of the fan's watts become air power at its best point",
        settle="the fan's curve, or a tube of water on the shut van while it blows", applies=_some,
    )  # fmt: skip
    curve: Curve | None = custom(read_curve, write_curve, None, joins=True)
    arrangement: Literal["out", "one in one out"] = choice(
        ("out", "one in one out"),
        default_of=lambda fans: "one in one out" if fans.count > 1 else "out",
        why="assumed: one fan blows out; of two or more, half blow in and half out",
        settle="ask the client", applies=_some,
    )  # fmt: skip
    open_window: float = quantity(
        "area", 0.0, 2.0, 0.1,
        why="assumed: a half-open window lets the fan's air in while it runs", at_least=0.05,
        at_most=0.2, settle="measure the opening that is left when it runs", applies=_some,
    )  # fmt: skip
    screens: bool = switch(True, why="assumed: insect screens in windows and vents")
    installed: float | None = quantity("fraction", 0.1, 1.0, None, words={"worked out": None})
    lid: Literal["closed", "open"] = choice(
        ("closed", "open"), "closed", why="assumed: a fan that stands still has its lid shut",
        applies=_some,
    )  # fmt: skip
    by_day: bool = switch(
        True, why="assumed: a fan runs while the sun heats the van", applies=_some
    )
    bed_fan_speed: float = quantity(
        "speed", 0.0, 3.0, 0.8, why="assumed: a small fan at the bed", at_least=0.3, at_most=1.2,
        settle="an anemometer at the pillow",
    )  # fmt: skip
    bed_fan_power: float = quantity(
        "power", 0.0, 100.0, 6.0, why="assumed: a small fan at the bed", at_least=3.0, at_most=15.0
    )
    kind: str | None = own_kind()

    @model_validator(mode="after")
    def _curve_or_ends(self) -> Fans:
        """A typed curve brings free flow and shut-off pressure with it."""
        if self.curve is None:
            return self
        given = {"flow", "shut_off_pressure"} & self.model_fields_set
        if given:
            key = min(given)
            found = f"{key.replace('_', ' ')} beside a curve"
            raise refused(found, "the curve alone: it holds both", key=key)
        self.__dict__["flow"], self.__dict__["shut_off_pressure"] = (
            self.curve[0][0], self.curve[-1][1],
        )  # fmt: skip
        self.__pydantic_fields_set__.update(("flow", "shut_off_pressure"))
        return self

    @model_validator(mode="after")
    def _enough_fans(self) -> Fans:
        if self.arrangement == "one in one out" and self.count < 2:
            found = f"one in one out with count {self.count}"
            raise refused(found, "out, or two fans or more", key="arrangement")
        return self

    @property
    def inward(self) -> int:
        """How many blow in."""
        return self.count // 2 if self.arrangement == "one in one out" else 0


def shut_body(fans: Fans) -> None:
    """Leave no guessed window open in a body where nothing opens; what the sheet says of it stays.

    Leaks and fixed vents feed its roof fans then.

    Parameters
    ----------
    fans : changed in place
    """
    if "open_window" not in fans.model_fields_set:
        fans.__dict__["open_window"] = 0.0
        fans.__pydantic_fields_set__.add("open_window")  # known, so no guess


class Vents(Part):
    """Fixed openings that cannot be shut, by their free area."""

    high: float = quantity(
        "area", 0.0, 0.2, 0.0, why="assumed: no fixed vent in the roof",
        settle="look at the roof",
    )  # fmt: skip
    low: float = quantity(
        "area", 0.0, 0.2, 0.0, why="assumed: no fixed vent in the floor", settle="look at the floor"
    )


def no_vents() -> Vents:
    """Return what the word 'none' stands for."""
    return Vents(high=0.0, low=0.0)


def _opened(doors: Any) -> bool:
    """Say whether the door is ever opened."""
    return bool(doors.openings_per_hour > 0)


def never_opened() -> Doors:
    """Return what the word 'none' stands for: nobody comes and goes."""
    return Doors(openings_per_hour=0.0)


class Doors(Part):
    """The door that people come and go through while they are in the van and awake."""

    area: float = quantity(
        "area", 0.1, 6.0, DOOR_AREA,
        why="assumed: the side door of such a body, 1.1 by 1.7 m where it is of no kind",
        settle="measure the door", applies=_opened,
    )  # fmt: skip
    height: float = quantity(
        "length", 0.5, 3.0, DOOR_HEIGHT,
        why="assumed: the side door of such a body, 1.1 by 1.7 m where it is of no kind",
        settle="measure the door", applies=_opened,
    )  # fmt: skip
    openings_per_hour: float = quantity(
        "none", 0.0, 60.0, 2.0, why="assumed: twice an hour while somebody is in and awake",
        at_least=0.0, at_most=8.0, settle="ask the client",
    )  # fmt: skip
    open_for: float = quantity(
        "duration", 0.0, 1800.0, 20.0, why="assumed: 20 seconds each time",
        settle="ask the client", applies=_opened,
    )  # fmt: skip

    @model_validator(mode="after")
    def _shut_between(self) -> Doors:
        """Refuse a door that is opened again before it is shut."""
        if self.openings_per_hour * self.open_for > 3600.0:
            found = (
                f"{self.openings_per_hour:g} openings an hour of {show(self.open_for, 'duration')}"
            )
            raise refused(found, "an hour of every hour at most", key="open_for")
        return self


def fit_door(doors: Doors, kind: BodyKind | None, length: float, height: float) -> None:
    """Give a door whose size the sheet does not say the usual one of a kind of body.

    Parameters
    ----------
    doors : changed in place
    kind : of the body, None where the sheet names none
    length, height : of the body inside [m], which the door has to fit
    """
    usual = kind.doors[0] if kind is not None else None
    given = doors.model_fields_set
    if "height" not in given:
        tall = usual.height if usual else DOOR_HEIGHT
        doors.__dict__["height"] = min(tall, height - OVER_DOOR)
    if "area" not in given:
        wide = usual.area / usual.height if usual else DOOR_AREA / DOOR_HEIGHT
        doors.__dict__["area"] = min(wide, length) * doors.height


def check_door(doors: Doors, length: float, height: float) -> None:
    """Refuse a door that the sheet gives and a body of that size [m] has no room for."""
    given = doors.model_fields_set
    if "height" in given and doors.height > height:
        most = f"at most the body's {show(height, 'length')}"
        raise refused(show(doors.height, "length"), most, key="doors.height")
    if "area" in given and doors.area > length * min(doors.height, height):
        found = f"{show(doors.area, 'area')} in a door {show(doors.height, 'length')} high"
        most = f"a door no wider than the body is long, {show(length, 'length')}"
        raise refused(found, most, key="doors.area")
