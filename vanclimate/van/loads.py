"""Loads as a sheet describes them.

What does not belong here: how a fridge behaves (equipment/loads), and fans (air.py).
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import model_validator

from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import (
    Part,
    Period,
    choice,
    custom,
    quantity,
    read_periods,
    refused,
    words_of,
    write_periods,
)
from vanclimate.van.water import WATER

LOAD_FEEDS = ("battery", "inverter", "gas")


class Load(Part):
    """Something that draws power, and when; on gas, an open burner by its heating value."""

    name: str = words_of(longest=60)
    power: float = quantity("power", 0.0, 10000.0, 0.0)
    kind: Literal["plain", "fridge"] = choice(("plain", "fridge"), "plain")
    when: tuple[Period, ...] = custom(read_periods, write_periods, (), joins=True)
    feed: Literal["battery", "inverter", "gas"] = choice(
        LOAD_FEEDS, "battery", why="assumed: on the battery's own voltage",
        settle="look at its plug",
    )  # fmt: skip
    heat_inside: float = quantity(
        "fraction", 0.0, 1.0, 1.0, why="assumed: all of its power ends as heat in the van"
    )
    water: float = quantity("water", 0.0, 3.0 / 3600, 0.0, words=WATER)
    duty: float = quantity("fraction", 0.0, 1.0, 1.0)
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )

    @model_validator(mode="after")
    def _burns(self) -> Load:
        if self.feed == "gas" and self.kind == "fridge":
            raise refused("gas for a fridge", "battery or inverter", key="feed")
        if self.feed == "gas" and not self.when:
            raise refused("an open burner that always burns", "its times", key="when")
        return self

    @model_validator(mode="after")
    def _does_something(self) -> Load:
        if not {"power", "water"} & self.model_fields_set:
            raise refused("nothing", "its power, or the water it gives off", key="power")
        return self

    @model_validator(mode="after")
    def _apart(self) -> Load:
        spans = sorted((a, b if b > a else b + 1440) for a, b in self.when)
        later = [*spans[1:], (spans[0][0] + 1440, 0)] if spans else []
        for (_, end), (start, _) in zip(spans, later, strict=True):
            if end > start:
                raise refused("times that overlap", "times that follow each other", key="when")
        return self


def usual_loads() -> tuple[Load, ...]:
    """Return the loads of a sheet that lists none: a fridge and lights (assumed)."""
    rows: list[dict[str, Any]] = [
        {"name": "fridge", "kind": "fridge", "power": 55.0, "feed": "battery", "heat_inside": 1.0},
        {"name": "lights", "power": 15.0, "when": ((19 * 60, 22 * 60 + 30),), "feed": "battery",
         "heat_inside": 1.0},
    ]  # fmt: skip
    return tuple(Load.model_validate(row) for row in rows)
