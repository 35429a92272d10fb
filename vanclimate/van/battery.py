"""The bank as a sheet describes it.

What does not belong here: how it behaves (energy/bank).
"""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from vanclimate.units import show
from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import Part, choice, quantity, refused


class Battery(Part):
    """A lithium iron phosphate bank."""

    capacity: float = quantity(
        "charge", 5.0, 5000.0, 200.0, why="assumed: two 100 Ah batteries", at_least=100.0,
        at_most=600.0, settle="read the label",
    )  # fmt: skip
    voltage: float = quantity(
        "voltage", 10.0, 60.0, 12.8, why="nominal: four cells of 3.2 V", settle="read the label"
    )
    cut_off: float = quantity(
        "fraction", 0.0, 0.5, 0.05, why="assumed: the protection stops at 5 % of the charge",
        at_least=0.0, at_most=0.10, settle="read the battery's manual",
    )  # fmt: skip
    reserve: float = quantity(
        "fraction", 0.0, 0.9, 0.10, why="assumed: left in the bank at waking", at_least=0.05,
        at_most=0.20, settle="ask the client",
    )  # fmt: skip
    resistance: float = quantity(
        "resistance", 0.0, 1.0,
        default_of=lambda bank: 0.4 / bank.capacity * (bank.voltage / 12.8), spread=(0.5, 2.0),
        why="assumed: 4 mohm for 100 Ah at 12.8 V with its cables",
        settle="the voltage's drop when the air conditioner starts, with the amps",
    )  # fmt: skip
    charge_efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.955,
        why="lithium iron phosphate: round trip 92-96 %, from memory, its middle at a 5 h rate",
        at_least=0.935, at_most=0.975,
        settle="the battery monitor over one full charge and discharge",
    )  # fmt: skip
    charge_at_bedtime: float = quantity(
        "fraction", 0.05, 1.0, 1.0, words={"full": 1.0, "half": 0.5},
        why="assumed: full at bedtime", at_least=0.8, at_most=1.0,
        settle="the battery monitor at bedtime",
    )  # fmt: skip
    health: float = quantity(
        "fraction", 0.3, 1.1, 1.0, words={"new": 1.0}, why="assumed: a new bank", at_least=0.8,
        at_most=1.0, settle="a full discharge through the battery monitor",
    )  # fmt: skip
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )

    @model_validator(mode="after")
    def _order(self) -> Battery:
        if self.charge_at_bedtime <= self.cut_off:
            found = show(self.charge_at_bedtime, "fraction")
            allowed = f"more than the cut-off, {show(self.cut_off, 'fraction')}"
            raise refused(found, allowed, key="charge_at_bedtime")
        return self
