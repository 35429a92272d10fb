"""The bank as a sheet describes it.

A management, built in or a box of its own, is nothing but its limits here. What does not belong
here: how the bank behaves (energy/cells).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Literal

from pydantic import ValidationInfo, field_validator, model_validator

from vanclimate.units import show
from vanclimate.van.bodies import ZONES
from vanclimate.van.fields import Part, Spec, choice, quantity, refused

Chemistry = Literal["lithium", "AGM"]
CHEMISTRIES: dict[str, Chemistry] = {
    "lithium": "lithium", "lithium iron phosphate": "lithium", "AGM": "AGM", "lead": "AGM",
}  # fmt: skip

CELL: dict[Chemistry, float] = {"lithium": 3.2, "AGM": 2.0}  # V, nominal
MEANT = {12.0: 12.8, 24.0: 25.6, 36.0: 38.4, 48.0: 51.2}
"""Nominal volts that a lithium bank is called by, and those of its 4, 8, 12 or 16 cells."""
ODD_CELL = 0.15  # of a cell by which a label may be off whole cells; assumed

# How a lead bank's defaults differ from what stands at the fields: reason and range.
AGM: dict[str, dict[str, Any]] = {
    "voltage": {"why": "nominal: six cells of 2 V"},
    "cut_off": {
        "why": "common practice, no source: half of a lead bank is used, for its life's sake",
        "low": 0.3, "high": 0.6,
    },
    "resistance": {"why": "assumed: 5 mohm for 100 Ah at 12 V, full; twice that when empty"},
    "charge_efficiency": {
        "why": "assumed: round trip of energy 75-85 %, from memory; the overvoltage of charging "
        "is in it, which falls with the current",
        "low": 0.80, "high": 0.90,
    },
    "charge_limit": {"why": "assumed: a quarter of the capacity in an hour"},
    "discharge_limit": {"why": "assumed: fused for the capacity in an hour"},
    "charge_voltage": {"why": "assumed: 14.4 V at 12 V, 2.4 V a cell at 25 °C, from memory"},
    "tail_current": {"why": "assumed: full when it takes 3 % of its capacity in an hour"},
    "low_voltage": {"why": "10.5 V at 12 V, 1.75 V a cell: the end of the 20 h test, from memory"},
    "cold_charge": {"why": "assumed: the charger stays off below −15 °C"},
    "hot_charge": {"why": "assumed: the charger stays off above 50 °C"},
    "cold_discharge": {"why": "assumed: a discharged bank freezes at about −20 °C"},
    "mass": {"why": "assumed: 38 Wh a kilogram, lead"},
}  # fmt: skip


def _by_kind(lithium: float, lead: float) -> Callable[[Battery], float]:
    return lambda bank: lead if bank.kind == "AGM" else lithium


def _padded(bank: Battery) -> bool:
    return bank.pad > 0.0


class Battery(Part):
    """A lithium iron phosphate bank, or a lead one of the absorbent glass mat kind."""

    kind: Chemistry = choice(
        CHEMISTRIES, "lithium", why="assumed: lithium iron phosphate", settle="read the label"
    )
    capacity: float = quantity(
        "charge", 5.0, 5000.0, 200.0, why="assumed: two 100 Ah batteries", at_least=100.0,
        at_most=600.0, settle="read the label",
    )  # fmt: skip
    voltage: float = quantity(
        "voltage", 10.0, 60.0, default_of=_by_kind(12.8, 12.0),
        why="nominal: four cells of 3.2 V", settle="read the label",
    )  # fmt: skip
    cut_off: float = quantity(
        "fraction", 0.0, 0.9, default_of=_by_kind(0.05, 0.5),
        why="assumed: the protection stops at 5 % of the charge", at_least=0.0, at_most=0.10,
        settle="read the battery's manual",
    )  # fmt: skip
    reserve: float = quantity(
        "fraction", 0.0, 0.9, 0.10, why="assumed: left in the bank at waking", at_least=0.05,
        at_most=0.20, settle="ask the client",
    )  # fmt: skip
    resistance: float = quantity(
        "resistance", 0.0, 1.0,
        default_of=lambda bank: (
            _by_kind(0.4 / 12.8, 0.5 / 12.0)(bank) * bank.voltage / (bank.capacity * bank.health)
        ),
        spread=(0.5, 2.0),
        why="assumed: 4 mohm for 100 Ah at 12.8 V at 25 °C, its links and its management in it; "
        "the inverter's cable counts with the inverter; an aged bank has more as it holds less",
        settle="the voltage's drop at its posts when the air conditioner starts, with the amps",
    )  # fmt: skip
    charge_efficiency: float = quantity(
        "fraction", 0.5, 1.0, default_of=_by_kind(0.995, 0.85),
        why="lithium iron phosphate: more than 99 % of the Ah put in come back, from memory; what "
        "else is lost is volts, counted by themselves", at_least=0.99, at_most=1.0,
        settle="Ah in and out by the battery monitor over one full charge and discharge",
    )  # fmt: skip
    peukert: float = quantity(
        "none", 1.0, 1.5, 1.15, at_least=1.05, at_most=1.25,
        why="Peukert's exponent 1.05-1.25 for glass mat, from memory; the capacity is a 20 h one",
        settle="read the data sheet's capacities at 20 h and at 1 h",
        applies=lambda bank: bank.kind == "AGM",
    )  # fmt: skip
    charge_at_bedtime: float | None = quantity(
        "fraction", 0.05, 1.0, 1.0, words={"full": 1.0, "half": 0.5, "followed": None},
        why="assumed: full at bedtime", at_least=0.8, at_most=1.0,
        settle="the battery monitor at bedtime",
    )  # fmt: skip
    health: float = quantity(
        "fraction", 0.3, 1.1, 1.0, words={"new": 1.0}, why="assumed: a new bank", at_least=0.8,
        at_most=1.0, settle="a full discharge through the battery monitor",
    )  # fmt: skip
    charge_limit: float = quantity(
        "current", 0.5, 5000.0, default_of=lambda bank: _by_kind(0.5, 0.25)(bank) * bank.capacity,
        spread=(0.4, 2.0), why="assumed: half the capacity in an hour",
        settle="read the manual of battery and management",
    )  # fmt: skip
    discharge_limit: float = quantity(
        "current", 0.5, 10000.0, default_of=lambda bank: bank.capacity, spread=(0.5, 2.0),
        why="assumed: the management passes the capacity in an hour",
        settle="read the manual of battery and management",
    )  # fmt: skip
    charge_voltage: float = quantity(
        "voltage", 8.0, 80.0,
        default_of=lambda bank: _by_kind(14.4 / 12.8, 14.4 / 12.0)(bank) * bank.voltage,
        why="assumed: 14.4 V at 12.8 V, 3.6 V a cell, from memory",
        settle="read the chargers' setting",
    )  # fmt: skip
    tail_current: float = quantity(
        "fraction", 0.001, 0.2, default_of=_by_kind(0.05, 0.03),
        why="assumed: full when it takes no more than 5 % of its capacity in an hour",
        settle="read the chargers' setting",
    )  # fmt: skip
    charge_resumes: float = quantity(
        "fraction", 0.5, 0.999, 0.95, why="assumed: a full bank is charged again below 95 %",
        settle="read the chargers' setting",
    )  # fmt: skip
    low_voltage: float = quantity(
        "voltage", 5.0, 60.0,
        default_of=lambda bank: _by_kind(10.0 / 12.8, 10.5 / 12.0)(bank) * bank.voltage,
        why="10 V at 12.8 V, 2.5 V a cell, from memory", settle="read the battery's manual",
    )  # fmt: skip
    cold_charge: float = quantity(
        "temperature", -30.0, 20.0, default_of=_by_kind(0.0, -15.0),
        why="no charging of lithium iron phosphate below 0 °C, from memory",
        settle="read the battery's manual",
    )  # fmt: skip
    cold_charge_resumes: float = quantity(
        "temperature", -30.0, 25.0, default_of=lambda bank: bank.cold_charge + 2.0,
        why="assumed: 2 K above where the cold stopped it", settle="read the battery's manual",
    )  # fmt: skip
    slow_below: float | None = quantity(
        "temperature", -20.0, 30.0, None, words={"none": None},
        why="assumed: above the cold limit it takes its full current",
        settle="read the battery's manual",
    )  # fmt: skip
    slow_charge: float = quantity(
        "current", 0.1, 5000.0, default_of=lambda bank: 0.2 * bank.charge_limit,
        why="assumed: a fifth of the charge limit at the cold limit, all of it where slow ends",
        settle="read the battery's manual", applies=lambda bank: bank.slow_below is not None,
    )  # fmt: skip
    hot_charge: float = quantity(
        "temperature", 25.0, 80.0, default_of=_by_kind(45.0, 50.0),
        why="assumed: 45 °C, the lower of such limits", settle="read the battery's manual",
    )  # fmt: skip
    cold_discharge: float = quantity(
        "temperature", -60.0, 10.0, default_of=_by_kind(-20.0, -20.0),
        why="−20 °C, from memory of data sheets", settle="read the battery's manual",
    )  # fmt: skip
    hot_discharge: float = quantity(
        "temperature", 30.0, 90.0, 60.0, why="60 °C, from memory of data sheets",
        settle="read the battery's manual",
    )  # fmt: skip
    pad: float = quantity(
        "power", 0.0, 1000.0, 0.0, words={"none": 0.0}, why="assumed: no warming pad",
        settle="look under the battery",
    )  # fmt: skip
    pad_on: float = quantity(
        "temperature", -20.0, 25.0, default_of=lambda bank: bank.cold_charge_resumes + 1.0,
        why="assumed: 1 K above where charging may begin again", applies=_padded,
        settle="read the pad's label",
    )  # fmt: skip
    pad_off: float = quantity(
        "temperature", -15.0, 40.0, default_of=lambda bank: bank.pad_on + 4.0,
        why="assumed: 4 K above where it turns on", applies=_padded, settle="read the pad's label",
    )  # fmt: skip
    pad_runs: Literal["charging", "always"] = choice(
        ("charging", "always"), "charging", applies=_padded,
        why="assumed: only while sun, driving or shore could carry it",
        settle="read the pad's manual",
    )  # fmt: skip
    mass: float = quantity(
        "mass", 0.5, 3000.0,
        default_of=lambda bank: bank.capacity * bank.voltage / _by_kind(110.0, 38.0)(bank),
        spread=(0.8, 1.25), why="assumed: 110 Wh a kilogram, case and management in it",
        settle="weigh it",
    )  # fmt: skip
    conductance: float = quantity(
        "conductance", 0.0, 200.0, default_of=lambda bank: 0.25 * bank.mass ** (2.0 / 3.0),
        spread=(0.3, 2.0), settle="its temperature overnight, with the air's beside it",
        why="assumed: 6 W/m²K over all faces of a case of 2 kg a litre, standing free in the air",
    )  # fmt: skip
    zone: Literal["living", "cab", "garage"] = choice(
        ZONES, "living", why="assumed: it stands in the living space", settle="look where it stands"
    )

    @field_validator("voltage", mode="after")
    @classmethod
    def _whole_cells(cls, value: float, info: ValidationInfo) -> float:
        """Read 12 V of lithium as the four cells that are meant; refuse a part of a cell."""
        kind = info.data.get("kind", "lithium")
        if kind == "lithium":
            value = MEANT.get(value, value)
        cells = value / CELL[kind]
        if abs(cells - round(cells)) > ODD_CELL:
            usual = "12.8, 25.6 or 51.2 V" if kind == "lithium" else "12, 24 or 48 V"
            allowed = f"whole cells of {show(CELL[kind], 'voltage')}, such as {usual}"
            raise refused(show(value, "voltage"), allowed)
        return value

    @model_validator(mode="after")
    def _order(self) -> Battery:
        share = self.charge_at_bedtime
        if share is not None and share <= self.cut_off:
            allowed = f"more than the cut-off, {show(self.cut_off, 'fraction')}"
            raise refused(show(share, "fraction"), allowed, key="charge_at_bedtime")
        self._volts("charge_voltage", *_by_cells(self, 3.38, 3.75, 2.25, 2.55))
        self._volts("low_voltage", *_by_cells(self, 1.8, 3.2, 1.5, 2.05))
        self._above("cold_charge_resumes", "cold_charge")
        self._above("hot_charge", "cold_charge_resumes")
        self._above("hot_discharge", "cold_discharge")
        if self.slow_below is not None:
            self._above("slow_below", "cold_charge")
            self._above("hot_charge", "slow_below")
        if self.pad > 0.0:
            self._above("pad_off", "pad_on")
        if self.tail_current * self.capacity >= self.charge_limit:
            found = f"{show(self.tail_current, 'fraction')} of {show(self.capacity, 'charge')}"
            allowed = f"a tail below the charge limit, {show(self.charge_limit, 'current')}"
            raise refused(found, allowed, key="tail_current")
        return self

    def spec_of(self, name: str) -> Spec | None:
        """Return a field's `Spec`; a lead bank has other reasons and ranges."""
        spec = super().spec_of(name)
        other = AGM.get(name) if self.kind == "AGM" else None
        return replace(spec, **other) if spec and other else spec

    def _volts(self, name: str, low: float, high: float) -> None:
        value = getattr(self, name)
        if not low <= value <= high:
            span = f"{show(low, 'voltage')} to {show(high, 'voltage')}"
            allowed = f"{span} for {show(self.voltage, 'voltage')} of {self.kind}"
            raise refused(show(value, "voltage"), allowed, key=name)

    def _above(self, name: str, lower: str) -> None:
        value, least = getattr(self, name), getattr(self, lower)
        if value <= least:
            allowed = f"more than {lower.replace('_', ' ')}, {show(least, 'temperature')}"
            raise refused(show(value, "temperature"), allowed, key=name)


def _by_cells(
    bank: Battery, low: float, high: float, lead_low: float, lead_high: float
) -> tuple[float, float]:
    """Return limits [V] of the whole bank from those of a cell."""
    if bank.kind == "AGM":
        return lead_low * bank.voltage / 2.0, lead_high * bank.voltage / 2.0
    return low * bank.voltage / 3.2, high * bank.voltage / 3.2
