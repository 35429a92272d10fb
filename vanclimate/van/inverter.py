"""The inverter as a sheet describes it, with its cable to the bank.

What does not belong here: how it behaves (energy/inverter).
"""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from vanclimate.units import show
from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import Part, choice, custom, own_kind, quantity, refused
from vanclimate.van.wires import read_wire, write_wire

SQUARE_SHARE = 0.4
"""Of the loss at a third of the rating, less the idle draw, what grows with the square of the
output; assumed: 90 % at a third is then 85 % at full load."""


def _full_load_efficiency(inverter: Inverter) -> float:
    """Return the efficiency at the rating that `SQUARE_SHARE` gives."""
    loss = max(0.0, inverter.loss_at_a_third)
    full = inverter.idle + (3.0 * (1.0 - SQUARE_SHARE) + 9.0 * SQUARE_SHARE) * loss
    return inverter.rating / (inverter.rating + full)


def _by_size(inverter: Inverter) -> bool:
    return inverter.cable_resistance is None


class Inverter(Part):
    """The inverter between the bank and the mains sockets."""

    idle: float = quantity(
        "power", 0.0, 200.0, default_of=lambda inverter: inverter.rating / 150.0,
        spread=(0.25, 1.25), why="20 W for 3000 W, 5-25 W from memory",
        settle="a clamp meter with the inverter on and nothing plugged in",
    )  # fmt: skip
    efficiency: float = quantity(
        "fraction", 0.5, 1.0, 0.90, why="0.85-0.93 at a third of its rating, from memory",
        at_least=0.85, at_most=0.93, settle="watts in and out while the air conditioner runs",
    )  # fmt: skip
    full_load_efficiency: float = quantity(
        "fraction", 0.5, 1.0, default_of=_full_load_efficiency, spread=(0.95, 1.03),
        why="assumed: two fifths of the loss at a third of the rating, idle aside, is resistance",
        settle="watts in and out at its full load",
    )  # fmt: skip
    rating: float = quantity(
        "power", 50.0, 20000.0, 3000.0, why="assumed: a class that starts an air conditioner",
        settle="read the label",
    )  # fmt: skip
    surge: float = quantity(
        "power", 50.0, 60000.0, default_of=lambda inverter: 2.0 * inverter.rating,
        spread=(0.75, 1.25), why="assumed: twice the rating for a second",
        settle="read the manual, at the time it gives",
    )  # fmt: skip
    on: Literal["always", "needed", "search"] = choice(
        ("always", "needed", "search"), "always", why="assumed: left on", settle="ask the client"
    )
    search_power: float = quantity(
        "power", 0.0, 50.0, default_of=lambda inverter: 0.2 * inverter.idle, spread=(0.5, 2.0),
        applies=lambda inverter: inverter.on == "search",
        why="assumed: a fifth of its idle draw while it waits for a load",
        settle="a clamp meter in search mode with nothing plugged in",
    )  # fmt: skip
    mains_voltage: float = quantity(
        "voltage", 90.0, 250.0, 120.0, why="assumed: sockets of the US", settle="read the label"
    )
    derates_from: float = quantity(
        "temperature", 20.0, 70.0, 40.0, why="full output up to 40 °C, from memory", at_least=25.0,
        at_most=50.0, settle="read the manual",
    )  # fmt: skip
    stops_at: float = quantity(
        "temperature", 40.0, 90.0, 60.0, why="assumed: shuts down in air of 60 °C", at_least=55.0,
        at_most=70.0, settle="read the manual",
    )  # fmt: skip
    hot_output: float = quantity(
        "fraction", 0.0, 1.0, 0.7, why="assumed: of the rating just below that, 1.5 % less a K",
        at_least=0.5, at_most=1.0, settle="read the manual",
    )  # fmt: skip
    cut_off: float | None = quantity(
        "voltage", 5.0, 70.0, None, words={"usual": None},
        why="10.5 V for each 12 V of the bank, from memory", settle="read the manual",
    )  # fmt: skip
    restart: float | None = quantity(
        "voltage", 5.0, 75.0, None, words={"usual": None},
        why="assumed: 12 V for each 12 V of the bank", settle="read the manual",
    )  # fmt: skip
    cable_length: float = quantity(
        "length", 0.0, 15.0, 1.0, applies=_by_size, why="assumed: one way from the bank, 1 m",
        at_least=0.5, at_most=3.0, settle="measure the cable",
    )  # fmt: skip
    cable_size: float | None = custom(
        read_wire, write_wire, None, applies=_by_size,
        why="assumed: the thinnest that carries its full load in free air, insulated for 105 °C",
        settle="read the print on the cable",
    )  # fmt: skip
    cable_resistance: float | None = quantity(
        "resistance", 0.0, 0.5, None, words={"by its size": None},
        why="worked out from its length and size, without lugs and fuse",
        settle="the voltage's drop along the cable at full load, with the amps",
    )  # fmt: skip
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )
    kind: str | None = own_kind()

    @property
    def loss_at_a_third(self) -> float:
        """Loss [W] at a third of the rating beyond the idle draw."""
        return self.rating / 3.0 * (1.0 / self.efficiency - 1.0) - self.idle

    @property
    def losses(self) -> tuple[float, float]:
        """Loss beyond idle as shares of the output P: ``a`` of P, and ``b`` of P²/rating."""
        third = self.loss_at_a_third
        full = self.rating * (1.0 / self.full_load_efficiency - 1.0) - self.idle
        square = max(0.0, 1.5 * (full - 3.0 * third) / self.rating)
        return max(0.0, full / self.rating - square), square

    @model_validator(mode="after")
    def _curve(self) -> Inverter:
        """Refuse two efficiencies that no idle draw and losses of its kind give together."""
        third = self.loss_at_a_third
        if third < -1e-9 * self.rating:
            most = self.rating / 3.0 / (self.rating / 3.0 + self.idle)
            found = show(self.efficiency, "fraction")
            allowed = f"up to {show(most, 'fraction', digits=3)}, which its idle draw alone leaves"
            raise refused(found, allowed, "at a third of its rating", key="efficiency")
        best = self.rating / (self.rating + self.idle + 3.0 * max(0.0, third))
        worst = self.rating / (self.rating + self.idle + 9.0 * max(0.0, third))
        if not worst - 1e-9 <= self.full_load_efficiency <= best + 1e-9:
            found = show(self.full_load_efficiency, "fraction")
            low, high = (show(x, "fraction", digits=3) for x in (worst, best))
            allowed = f"{low} to {high} beside {show(self.efficiency, 'fraction')} at a third"
            raise refused(found, allowed, key="full_load_efficiency")
        return self

    @model_validator(mode="after")
    def _order(self) -> Inverter:
        """Refuse limits that stand the wrong way round."""
        if self.surge < self.rating:
            allowed = f"at least its rating, {show(self.rating, 'power')}"
            raise refused(show(self.surge, "power"), allowed, key="surge")
        if self.stops_at <= self.derates_from:
            allowed = f"more than {show(self.derates_from, 'temperature')}, where it derates"
            raise refused(show(self.stops_at, "temperature"), allowed, key="stops_at")
        low, high = self.cut_off, self.restart
        if low is not None and high is not None and high <= low:
            allowed = f"more than the cut-off, {show(low, 'voltage')}"
            raise refused(show(high, "voltage"), allowed, key="restart")
        sized = {"cable_size", "cable_length"} & self.model_fields_set
        if self.cable_resistance is not None and sized:
            raise refused(
                "resistance and size", "one of them: the resistance, or length and size",
                key="cable_resistance",
            )  # fmt: skip
        return self
