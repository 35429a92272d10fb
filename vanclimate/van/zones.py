"""The rooms besides the living space: cab, garage under the bed, and a roof that lifts on fabric.

Each is an optional section of the sheet; without one, all is one zone. What does not belong here:
their areas and volumes (network/rooms.py).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Literal

from pydantic import field_validator, model_validator

from vanclimate.van.bodies import CAB_HEIGHT, CAB_LENGTH, find_kind
from vanclimate.van.fields import Part, choice, quantity, refused, section
from vanclimate.van.layers import Layer, Stack, finish_stack
from vanclimate.van.openings import COVERED
from vanclimate.van.parts import COLOURS, Body
from vanclimate.van.windows import When, Window, zone_of

# What divides cab and living space: layers from the cab's side; all assumed.
DIVIDERS = {
    "curtain": ("curtain fabric 1 mm",),
    "thick curtain": ("curtain fabric 1 mm", "polyester batt 10 mm", "curtain fabric 1 mm"),
    "bulkhead": ("steel 1 mm",),
    "open": (),
}
# Leakage area that a closed divider leaves, and what is free while it is open [m2]; both assumed.
_GAPS = {"curtain": 0.05, "thick curtain": 0.05, "bulkhead": 0.004, "open": 0.05}
_FREE = {"curtain": 1.0, "thick curtain": 1.0, "bulkhead": 0.0, "open": 1.5}
OPPOSITE: dict[str, When] = {"never": "always", "always": "never", "night": "day", "day": "night"}
_DRAWN = {"curtain": "night", "thick curtain": "night", "bulkhead": "always", "open": "never"}


def layers_of(*texts: str) -> Stack:
    """Return a finished stack from layers as they are written in a sheet."""
    return finish_stack(tuple(Layer.model_validate(text) for text in texts)) if texts else ()


def _stack(why: str, *texts: str, applies: Any = None) -> Any:
    """Declare a stack that is guessed where it is left out."""
    return section(
        lambda: layers_of(*texts), what="a list of layers, outside first", why=why,
        settle="look behind the trim", applies=applies,
    )  # fmt: skip


def _finished(stack: Iterable[Layer]) -> Stack:
    return finish_stack(tuple(stack))


def read_cab(text: str) -> dict[str, Any] | None:
    """Read 'none', or a divider in place of the cab's section."""
    return None if text.casefold() == "none" else {"divider": text}


def _divided(cab: Any) -> bool:
    """Say whether anything stands between cab and living space."""
    return bool(cab.divider != "open")


class Cab(Part):
    """The driver's cab in front of the living space, a zone of its own."""

    divider: Literal["curtain", "thick curtain", "bulkhead", "open"] = choice(
        tuple(DIVIDERS), "curtain", why="assumed: a curtain behind the seats",
        settle="look behind the seats",
    )  # fmt: skip
    drawn: Literal["never", "night", "day", "always"] = choice(
        COVERED, default_of=lambda cab: _DRAWN[cab.divider], applies=_divided,
        why="assumed: a curtain is drawn for the night; a bulkhead's door stays shut",
        settle="ask the client",
    )  # fmt: skip
    opening: float = quantity(
        "area", 0.0, 4.0, default_of=lambda cab: _FREE[cab.divider], spread=(0.6, 1.4),
        why="assumed: what the seats leave free while no curtain is drawn; a bulkhead has no door",
        settle="measure the free way between the seats",
    )  # fmt: skip
    leakage_between: float = quantity(
        "area", 1e-4, 0.5, default_of=lambda cab: _GAPS[cab.divider], spread=(0.4, 2.5),
        why="assumed: a centimetre along a curtain's edges; a few holes in a bulkhead",
        settle="look at its edges with a lamp behind it",
    )  # fmt: skip
    divider_layers: Stack = section(
        default_of=lambda cab: layers_of(*DIVIDERS[cab.divider]),
        what="a list of layers, the cab's side first", applies=_divided,
        why="assumed: what such a divider is made of", settle="look at the divider",
    )  # fmt: skip
    length: float = quantity(
        "length", 0.6, 3.0, CAB_LENGTH, at_least=1.0, at_most=1.5,
        why="assumed: from the seats' backs to the middle of the raked windscreen",
        settle="a tape measure",
    )  # fmt: skip
    height: float = quantity(
        "length", 0.7, 2.5, CAB_HEIGHT, at_least=1.2, at_most=1.6,
        why="assumed: from the cab's floor to its headliner", settle="a tape measure",
    )  # fmt: skip
    roof: Stack = _stack(
        "assumed: a bare roof over a headliner", "steel 0.8 mm", "air gap 10 mm", "carpet 4 mm"
    )
    walls: Stack = _stack(
        "assumed: bare doors and firewall behind plastic trim",
        "steel 0.8 mm", "air gap 20 mm", "ABS 3 mm",
    )  # fmt: skip
    floor: Stack = _stack("assumed: carpet on the floor pan", "steel 1.2 mm", "carpet 10 mm")
    furnishing: float = quantity(
        "mass", 0.0, 500.0, 60.0, at_least=30.0, at_most=100.0,
        why="assumed: the outer centimetres of seats and dashboard, and what lies about",
        settle="weigh a seat's cover and the dashboard's plastic",
    )  # fmt: skip

    _finish = field_validator("divider_layers", "roof", "walls", "floor", mode="after")(_finished)

    @model_validator(mode="after")
    def _sensible(self) -> Cab:
        given = self.model_fields_set
        if self.divider == "open":
            for key in ("drawn", "divider_layers"):
                if key in given:
                    allowed = "nothing beside 'divider: open', or a curtain or bulkhead"
                    raise refused(key.replace("_", " "), allowed, key=key)
            if self.opening == 0:
                raise refused(
                    "an open cab with no opening", "an opening of some size", key="opening"
                )
        elif self.opening == 0 and self.drawn != "always":
            allowed = "drawn: always, or the 'opening' that its door leaves"
            raise refused(f"drawn {self.drawn} on a closed {self.divider}", allowed, key="drawn")
        return self


class Garage(Part):
    """The hold under the bed at the rear, a zone of its own."""

    length: float = quantity(
        "length", 0.3, 6.0, 1.3, why="assumed: a bed across the van", at_least=1.0, at_most=2.0,
        settle="a tape measure",
    )  # fmt: skip
    height: float = quantity(
        "length", 0.2, 2.0, 0.8, why="assumed: from the floor to the underside of the bed",
        at_least=0.5, at_most=1.1, settle="a tape measure",
    )  # fmt: skip
    deck: Stack = _stack(
        "assumed: a plywood deck under a mattress", "plywood 15 mm", "polyester batt 80 mm"
    )
    front: Literal["boarded", "open"] = choice(
        ("boarded", "open"), "boarded", why="assumed: a board between hold and living space",
        settle="look under the bed",
    )  # fmt: skip
    front_layers: Stack = _stack(
        "assumed: plywood", "plywood 12 mm", applies=lambda garage: garage.front == "boarded"
    )
    leakage_between: float = quantity(
        "area", 1e-4, 2.0, 0.02, why="assumed: gaps along the edges and cut-outs for cables",
        at_least=0.005, at_most=0.05, settle="look at its edges with a lamp behind them",
    )  # fmt: skip

    _finish = field_validator("deck", "front_layers", mode="after")(_finished)

    @model_validator(mode="after")
    def _sensible(self) -> Garage:
        if self.front == "open" and "front_layers" in self.model_fields_set:
            raise refused("front layers", "nothing beside 'front: open'", key="front_layers")
        return self


def _raised(top: Any) -> bool:
    """Say whether a lifting roof is ever up."""
    return bool(top.raised != "never")


class PopTop(Part):
    """A roof that lifts on fabric sides; the lid goes on counting as the roof."""

    raised: Literal["never", "night", "day", "always"] = choice(
        COVERED, "night", why="assumed: raised for the night", settle="ask the client"
    )
    height: float = quantity(
        "length", 0.1, 2.0, 0.5, at_least=0.35, at_most=0.7, settle="a tape measure",
        applies=_raised,
        why="assumed: mean height of the fabric; a lid hinged at one end has half of its greatest",
    )  # fmt: skip
    length: float = quantity(
        "length", 0.5, 6.0, 2.0, why="assumed: the length of a bed", at_least=1.8, at_most=2.3,
        settle="a tape measure", applies=_raised,
    )  # fmt: skip
    width: float = quantity(
        "length", 0.4, 3.0, 1.2, why="assumed: a bed for two", at_least=1.0, at_most=1.4,
        settle="a tape measure", applies=_raised,
    )  # fmt: skip
    sides: Stack = _stack("assumed: one coated fabric, opaque", "canvas 0.6 mm", applies=_raised)
    colour: float = quantity(
        "fraction", 0.05, 1.0, COLOURS["grey"], words=COLOURS, why="assumed: grey fabric",
        at_least=0.4, at_most=0.9, settle="look at the fabric", applies=_raised,
    )  # fmt: skip
    leakage: float = quantity(
        "area", 0.0, 0.2, 80e-4, why="assumed: seams, zips and the fabric's edges",
        at_least=30e-4, at_most=200e-4, settle="smoke along the seams on a windy night",
        applies=_raised,
    )  # fmt: skip

    _finish = field_validator("sides", mode="after")(_finished)


def usual_pop_top(body: Body) -> PopTop | None:
    """Return the lifting roof of a kind of body that has one."""
    if body.kind is None or not find_kind(body.kind).pop_top:
        return None
    top = PopTop()
    fit_rooms(body, None, top)
    return top


def fit_rooms(body: Body, cab: Cab | None, pop_top: PopTop | None) -> None:
    """Give rooms whose size the sheet does not say a size that fits the body."""
    kind = find_kind(body.kind) if body.kind else None
    if cab is not None:
        if kind is not None and not kind.has_cab:
            raise refused("a cab", f"none: no cab opens into a {kind.name}", key="cab")
        length, height = (kind.cab_length, kind.cab_height) if kind else (CAB_LENGTH, CAB_HEIGHT)
        _fit(cab, length=length, height=min(height, body.height))
    if pop_top is not None:
        _fit(pop_top, length=min(2.0, body.length), width=min(1.2, body.width))


def _fit(room: Part, **sizes: float) -> None:
    for key, value in sizes.items():
        if key not in room.model_fields_set:
            room.__dict__[key] = value


def window_zone(window: Window, index: int, zones: Sequence[str]) -> str:
    """Return the zone that a window lights.

    Parameters
    ----------
    window : Window
    index : its place in the sheet's list
    zones : those of the sheet
    """
    zone, key = zone_of(window, zones), f"windows.{index}"
    if zone is None:
        allowed = "'zone: cab' or 'zone: living' beside it, since the sheet describes a cab"
        raise refused(f"{window.name} on the {window.side}, in no zone", allowed, key=key)
    refuse_unknown(zone, zones, key)
    if zone == "cab" and window.side == "rear":
        raise refused("rear", "front, left, right or roof for glass of the cab", key=f"{key}.side")
    if zone == "garage" and window.side in ("front", "roof"):
        raise refused(window.side, "rear, left or right for glass of the garage", key=f"{key}.side")
    return zone


def refuse_unknown(zone: str, zones: Sequence[str], key: str) -> None:
    """Refuse a zone that the sheet does not describe."""
    if zone not in zones:
        hint = f"a '{zone}:' section would describe one"
        raise refused(zone, f"{', '.join(zones)}", hint, key=f"{key}.zone")


def refuse_apart(fridges: Sequence[str]) -> None:
    """Refuse fridges in several zones: what they draw is followed by the air of one."""
    if len(set(fridges)) > 1:
        raise refused(f"fridges in {' and '.join(fridges)}", "all fridges in one zone", key="loads")
