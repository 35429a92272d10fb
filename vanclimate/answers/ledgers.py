"""Where the heat came from, where the charge went, and whether the books close."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.network.compile import Array
from vanclimate.simulate.runs import Run

GROUPS = ("roof", "walls", "ribs", "floor", "glass", "pop top")
GROUP_NAMES = {
    "roof": "through the roof", "walls": "through the walls", "ribs": "through the ribs",
    "floor": "through the floor", "glass": "through the glass",
    "pop top": "through the pop top",
}  # fmt: skip
WET_NAMES = {
    "glass": "the glass", "ribs": "the ribs", "roof": "the roof's lining", "walls": "the walls",
    "floor": "the floor", "pop top": "the pop top", "partitions": "partitions",
    "furnishing": "furniture",
}  # fmt: skip
LEAST_WATER = 1.0  # g; less is not told
NOTHING = 1e-3
"""Throughput of a book, in its unit, below which nothing passed through and rounding is all."""
SIDE_NAMES = {
    "roof": "roof", "front": "front", "rear": "rear", "left": "left side", "right": "right side",
}  # fmt: skip


@dataclass(frozen=True)
class HeatRow:
    """Heat into the cabin over the night [Wh]; negative where it left.

    ``latent`` heat went with water and is no part of the sum of the others.
    """

    name: str
    wh: float
    latent: bool = False


@dataclass(frozen=True)
class WetRow:
    """Water on one kind of inside face [g], frost included, and when there was most of it."""

    name: str
    waking_g: float
    most_g: float


@dataclass(frozen=True)
class SunRow:
    """Sun taken up by a side's paint, or let in and held by its glass [Wh], two spans."""

    name: str
    day_wh: float  # the 24 h before bedtime
    night_wh: float  # bedtime to waking


@dataclass(frozen=True)
class ChargeRow:
    """Where the charge went over the night: watt-hours, and amp-hours at each row's voltage."""

    name: str
    wh: float
    ah: float


@dataclass(frozen=True)
class Balance:
    """One book: what passed through, what does not add up, and their ratio."""

    name: str
    throughput: float  # in `unit`, as the next
    residual: float  # what does not add up
    unit: str

    @property
    def ratio(self) -> float:
        """Residual over throughput; a book that nothing passed through has its rounding alone."""
        return abs(self.residual) / max(self.throughput, NOTHING)


def heat_rows(run: Run, part: slice) -> tuple[HeatRow, ...]:
    """Return the heat that reached the living space's air, by path, and what took it."""
    hours = run.width[part] / 3600.0
    faces = run.faces[part]

    def wh(name: str) -> float:
        return run.total(name, part) / 3600.0

    def through(group: str) -> float:
        chains = [k for k, c in enumerate(run.model.chains) if c.group == group and c.zone == 0]
        return float((faces[:, chains].sum(axis=1) * hours).sum())

    there = {c.group for c in run.model.chains}
    rows = [HeatRow(GROUP_NAMES[g], through(g)) for g in GROUPS if g in there or g != "pop top"]
    if len(run.model.zones) > 1:
        names = " and ".join(zone.name for zone in run.model.zones[1:])
        rows.append(HeatRow(f"from the {names}", through("partitions") + wh("passage_w")))
    rows.append(HeatRow("given back by furniture", through("furnishing")))
    if run.cabin.buffer[0] > 0:
        rows.append(HeatRow("water taken up by linings", wh("living_linings_w")))
    rows += [
        HeatRow("with outdoor air", wh("living_air_w")),
        HeatRow("people", wh("living_people_w")),
        HeatRow("equipment", wh("living_equipment_w")),
        HeatRow("given by the heater", wh("living_heater_w")),
        HeatRow("taken by the air conditioner", -wh("ac_sensible_w") - wh("heat_pump_w")),
        HeatRow("given by the heat pump", wh("heat_pump_w")),
        HeatRow("taken by it as water", -wh("ac_latent_w"), latent=True),
    ]
    return tuple(rows)


def wet_rows(run: Run, part: slice) -> tuple[WetRow, ...]:
    """Return the water on the inside faces of all rooms, the kinds of face that stay dry left out.

    The last row, of frost, is part of the others.
    """
    grams = 1000.0 * run.water[part]
    out = []
    for group, name in WET_NAMES.items():
        own = [k for k, c in enumerate(run.model.chains) if c.group == group]
        held = grams[:, own].sum(axis=1)
        if len(own) and held.max() >= LEAST_WATER:
            out.append(WetRow(name, float(held[-1]), float(held.max())))
    frost = 1000.0 * run.column("frost_kg")[part]
    if frost.max() >= LEAST_WATER:
        out.append(WetRow("frost", float(frost[-1]), float(frost.max())))
    return tuple(out)


def sun_rows(run: Run, part: slice) -> tuple[SunRow, ...]:
    """Return the sun on each side's paint and through the glass."""
    chains = run.plan.sun.chains[run.segment]
    before = int(np.searchsorted(run.seconds, run.seconds[part.start] - 86400.0 - 1))
    day = slice(before, part.start)
    hours = run.width / 3600.0

    def wh(columns: list[int], rows: slice) -> float:
        return float((chains[rows][:, columns].sum(axis=1) * hours[rows]).sum())

    out = []
    for side, name in SIDE_NAMES.items():
        own = [k for k, c in enumerate(run.model.chains) if c.side == side and c.glazing is None]
        if own:
            out.append(SunRow(name, wh(own, day), wh(own, part)))
    glass = [k for k, c in enumerate(run.model.chains) if c.glazing is not None]
    if glass:
        out.append(SunRow("glass", wh(glass, day), wh(glass, part)))
    return tuple(out)


def charge_rows(run: Run, part: slice) -> tuple[ChargeRow, ...]:
    """Return where the night's charge went; what shore carries past the bank is taken off last.

    Of the bank's losses in watt-hours little is lost in amp-hours, see `Run.kept_back`.
    """
    names = {
        "compressor": "compressor_w", "blower": "blower_w", "heating": "heater_power_w",
        "electric heat": "electric_heat_w", "warming pad": "pad_w", "fridge": "fridge_w",
        "fans": "fans_w", "other loads": "loads_w", "inverter": "inverter_loss_w",
    }  # fmt: skip
    rows = []
    for name, column in names.items():
        wh = run.total(column, part) / 3600.0
        rows.append(ChargeRow(name, wh, run.amp_hours(column, part)))
    lost = run.total("battery_loss_w", part) / 3600.0
    rows.append(ChargeRow("battery losses", lost, run.kept_back(part)))
    passed = run.total("shore_passed_w", part) / 3600.0
    rows.append(ChargeRow("shore, direct", -passed, -run.amp_hours("shore_passed_w", part)))
    return tuple(rows)


def balances(run: Run) -> tuple[Balance, ...]:
    """Return the run's books, from the rows as they stand in the trace."""
    books = (energy_balance(run), water_balance(run), charge_balance(run), power_balance(run))
    return (*books, fuel_balance(run)) if run.gear.burner.there else books


def _book(name: str, flows: Array, width: Array, change: Array, unit: str, per: float) -> Balance:
    moved = flows * width
    residual = float((change - moved.sum(axis=0)[1:]).sum())
    return Balance(name, float(np.abs(moved).sum()) / per, residual / per, unit)


def energy_balance(run: Run) -> Balance:
    """Return the heat book: what all nodes and the air hold against what came in."""
    signs = {
        "sun_w": 1, "outside_w": 1, "air_w": 1, "people_w": 1, "equipment_w": 1,
        "ac_sensible_w": -1, "heater_output_w": 1, "plant_w": 1, "condensation_w": 1,
        "battery_loss_w": 1, "pad_w": 1,
        "battery_heat_w": -1,
    }  # fmt: skip
    flows = np.stack([sign * run.column(name) for name, sign in signs.items()])
    change = np.diff(run.column("stored_heat_j"))
    return _book("energy", flows, run.width, change, "Wh", 3600.0)


def water_balance(run: Run) -> Balance:
    """Return the water book: what air, linings, coil and films hold against what came in."""
    held = run.column("stored_water_kg")
    signs = {"people_water_kg_s": 1, "load_water_kg_s": 1, "air_water_kg_s": 1,
             "drain_water_kg_s": -1}  # fmt: skip
    flows = np.stack([sign * run.column(name) for name, sign in signs.items()])
    return _book("water", flows, run.width, np.diff(held), "g", 1e-3)


def charge_balance(run: Run) -> Balance:
    """Return the charge book from when the bank is followed: amp-hours in and out against it."""
    first = _followed(run)
    flows = run.column("battery_charge_rate_ah_s")[np.newaxis, first:]
    charge = run.column("battery_charge_ah")[first:]
    if len(charge) < 2:
        return Balance("charge", 0.0, 0.0, "Ah")
    return _book("charge", flows, run.width[first:], np.diff(charge), "Ah", 1.0)


def power_balance(run: Run) -> Balance:
    """Return the book of the bus: what sources bring, less what is drawn and lost, is stored."""
    names = {"solar_used_w": 1, "drive_used_w": 1, "shore_used_w": 1, "draw_w": -1,
             "battery_loss_w": -1}  # fmt: skip
    first = _followed(run)
    flows = np.stack([sign * run.column(name)[first:] for name, sign in names.items()])
    stored = run.column("battery_stored_wh")[first:] * 3600.0
    if len(stored) < 2:
        return Balance("power", 0.0, 0.0, "Wh")
    return _book("power", flows, run.width[first:], np.diff(stored), "Wh", 3600.0)


def fuel_balance(run: Run) -> Balance:
    """Return the fuel book: litres burnt against what left the tank."""
    first = _followed(run)
    flows = -run.column("heater_fuel_l_s")[np.newaxis, first:]
    change = np.diff(run.column("heater_fuel_l")[first:])
    return _book("fuel", flows, run.width[first:], change, "L", 1.0)


def _followed(run: Run) -> int:
    """Return the first row from which the bank is followed."""
    live = run.plan.schedule.bank_live[run.segment] > 0
    return int(np.argmax(live)) if live.any() else len(live)
