"""Loads as a sheet describes them.

What does not belong here: ordinary loads by name (load_library.py), how a fridge behaves
(equipment/loads), and fans (air.py).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Literal

from pydantic import model_validator

from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import (
    Part,
    Period,
    Spec,
    choice,
    custom,
    quantity,
    read_periods,
    refused,
    words_of,
    write_periods,
)
from vanclimate.van.load_library import gives, near_load, usual_load
from vanclimate.van.water import WATER

LOAD_FEEDS = ("battery", "inverter", "gas")


def _usual(field: str, otherwise: Any) -> Callable[[Load], Any]:
    """Return what a load's field is by its name, or else ``otherwise``."""

    def default(load: Load) -> Any:
        row = usual_load(load.name)
        return otherwise if row is None else getattr(row, field)

    return default


class Load(Part):
    """Something that draws power, and when; on gas, an open burner by its heating value.

    An ordinary load's name, such as kettle, brings what the sheet does not give.
    """

    name: str = words_of(longest=60)
    power: float = quantity("power", 0.0, 10000.0, default_of=_usual("power", 0.0))
    kind: Literal["plain", "fridge"] = choice(
        ("plain", "fridge"), default_of=_usual("kind", "plain")
    )
    when: tuple[Period, ...] = custom(
        read_periods, write_periods, default_of=_usual("when", ()), joins=True
    )
    feed: Literal["battery", "inverter", "gas"] = choice(
        LOAD_FEEDS, default_of=_usual("feed", "battery"),
        why="assumed: on the battery's own voltage", settle="look at its plug",
    )  # fmt: skip
    heat_inside: float = quantity(
        "fraction", 0.0, 1.0, default_of=_usual("heat_inside", 1.0),
        why="assumed: all of its power ends as heat in the van",
    )  # fmt: skip
    water: float = quantity("water", 0.0, 3.0 / 3600, default_of=_usual("water", 0.0), words=WATER)
    duty: float = quantity("fraction", 0.0, 1.0, default_of=_usual("duty", 1.0))
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )

    @model_validator(mode="before")
    @classmethod
    def _by_name(cls, value: Any) -> Any:
        """A name alone stands for an ordinary load."""
        return {"name": value} if isinstance(value, str) else value

    @model_validator(mode="after")
    def _burns(self) -> Load:
        if self.feed == "gas" and self.kind == "fridge":
            raise refused("gas for a fridge", "battery or inverter", key="feed")
        if self.feed == "gas" and not self.when:
            raise refused("an open burner that always burns", "its times", key="when")
        return self

    @model_validator(mode="after")
    def _does_something(self) -> Load:
        if not {"power", "water"} & self.model_fields_set and usual_load(self.name) is None:
            allowed = "its power, the water it gives off, or the name of an ordinary load"
            hint = near_load(self.name) or f"as in {{name: {self.name}, power: 300 W}}"
            raise refused("nothing", allowed, hint, key="power")
        return self

    @model_validator(mode="after")
    def _apart(self) -> Load:
        spans = sorted((a, b if b > a else b + 1440) for a, b in self.when)
        later = [*spans[1:], (spans[0][0] + 1440, 0)] if spans else []
        for (_, end), (start, _) in zip(spans, later, strict=True):
            if end > start:
                raise refused("times that overlap", "times that follow each other", key="when")
        return self

    def spec_of(self, name: str) -> Spec | None:
        """Return a field's `Spec`, that of an ordinary load by its name."""
        spec, row = super().spec_of(name), usual_load(self.name)
        if spec is None or row is None or not gives(row, name):
            return spec
        if name == "power":
            settle = "read its label" if self.feed == "gas" else "a watt meter while it runs"
            return replace(spec, why=row.source, low=row.at_least, high=row.at_most, settle=settle)
        settled = "ask the client" if name == "when" else spec.settle
        return replace(spec, why=f"assumed: usual for '{row.name}'", settle=settled)


def usual_loads() -> tuple[Load, ...]:
    """Return the loads of a sheet that lists none: a fridge and lights (assumed)."""
    rows: list[dict[str, Any]] = [
        {"name": "fridge", "kind": "fridge", "power": 55.0, "feed": "battery", "heat_inside": 1.0},
        {"name": "lights", "power": 15.0, "when": ((19 * 60, 22 * 60 + 30),), "feed": "battery",
         "heat_inside": 1.0},
    ]  # fmt: skip
    return tuple(Load.model_validate(row) for row in rows)
