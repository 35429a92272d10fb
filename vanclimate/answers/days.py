"""Where the charge came from and went, day by day, and what each limit cost.

A day here runs from one bedtime to the next. What does not belong here: the night's own ledgers
(``ledgers``).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.figures import AH
from vanclimate.energy.alternator import kept_amps
from vanclimate.energy.array import kept_from_bank
from vanclimate.energy.bank_limits import accepted_current
from vanclimate.network.compile import Array
from vanclimate.simulate.runs import Run

CAME = {
    "sun": "solar_used_w", "driving": "drive_used_w", "shore": "shore_used_w",
    "shore, direct": "shore_passed_w",
}  # fmt: skip
"""What shore gives directly is what the inlet carries past the bank, counted at its volts."""
WENT = {
    "AC": ("compressor_w", "blower_w"), "heat pump": ("compressor_w", "blower_w"),
    "heating": ("heater_power_w", "pad_w"),
    "electric heat": ("electric_heat_w",), "fridge": ("fridge_w",), "fans": ("fans_w",),
    "loads": ("loads_w",), "inverter": ("inverter_loss_w",),
}  # fmt: skip
HELD = {
    "held_back_full_w": "a bank that was full, or nearly",
    "held_back_current_w": "the bank's charging current",
    "held_back_cold_w": "a bank too cold to charge",
    "held_back_hot_w": "a bank too hot to charge",
}
DRIVE_LIMITS = {
    "to_heat": "the alternator's heat", "to_speed": "the engine's speed",
    "to_vehicle": "the vehicle's own draw", "to_share": "the share of the alternator allowed",
    "to_fuse": "the fuse of the power post",
}  # fmt: skip
LEAST = 0.5  # Ah; less is not told
HELD_NONE = 1e-6  # W; less held back is none


@dataclass(frozen=True)
class Cost:
    """What a limit cost [Ah]: of which source, and what held it back."""

    source: str
    limit: str
    ah: float


@dataclass(frozen=True)
class Day:
    """The bank's day from one bedtime to the next; Ah at the bank's terminals.

    ``came`` and ``went`` by name: start and what came, less what went and losses, are the end.
    """

    begins: datetime
    start_ah: float
    end_ah: float
    came: dict[str, float] = field(metadata=AH)
    went: dict[str, float] = field(metadata=AH)
    losses_ah: float  # of the amp-hours put into the bank, what it did not keep
    costs: tuple[Cost, ...]


def days_of(run: Run, bedtime: datetime) -> tuple[Day, ...]:
    """Return the days of a run in which the bank was followed, whole ones alone."""
    live = run.plan.schedule.bank_live[run.segment] > 0
    first = float(run.seconds[int(np.argmax(live))]) if live.any() else np.inf
    out = []
    since = (bedtime - run.start).total_seconds()
    begin = since - 86400.0 * int((since - first + 1.0) // 86400.0)
    while begin + 86400.0 <= run.seconds[-1] + 1.0:
        out.append(_day(run, begin))
        begin += 86400.0
    return tuple(out)


def _day(run: Run, begin: float) -> Day:
    part = run.between(begin, begin + 86400.0)
    every = slice(None)
    charge = part.column("battery_charge_ah")
    before = charge[0] - part.column("battery_charge_rate_ah_s")[0] * part.width[0]
    return Day(
        begins=run.start + timedelta(seconds=begin),
        start_ah=float(before),
        end_ah=float(charge[-1]),
        came={name: part.amp_hours(column, every) for name, column in CAME.items()},
        went=_went(part),
        losses_ah=part.kept_back(every),
        costs=tuple(cost for cost in _costs(part) if cost.ah >= LEAST),
    )


def _went(part: Run) -> dict[str, float]:
    """Return what each took [Ah]; a row in which the unit heats at all is the heat pump's."""
    rows = {"AC": ~part.heats, "heat pump": part.heats}

    def drawn(name: str, column: str) -> float:
        return part.charge_of(part.column(column) * rows.get(name, True), slice(None))

    return {name: sum(drawn(name, x) for x in columns) for name, columns in WENT.items()}


def _costs(part: Run) -> Iterator[Cost]:
    """Yield what each limit cost: those of the bank from the trace, those of sources before it."""
    for column, limit in HELD.items():
        charge = part.amp_hours(column, slice(None))
        if column == "held_back_full_w":  # a mains charger with nothing to charge loses nothing
            charge = _wasted(part, column)
        yield Cost(_brings(part, column), limit, charge)
    kept = _kept(part)
    asked = np.asarray(sum(kept.values()))
    room = _room(part, asked > 0.0)
    taken = np.divide(room, asked, out=np.ones_like(room), where=asked > room)
    for (source, limit), amps in kept.items():
        yield Cost(source, limit, float((amps * taken * part.width).sum()) / 3600.0)


def _kept(part: Run) -> dict[tuple[str, str], Array]:
    """Return what the limits of each source kept from the bank in each row [A], at its volts."""
    power, gear, volts = part.plan.power, part.gear, part.volts
    drive = kept_amps(power.drive, gear.cells.charge_voltage, volts, part.segment)
    shadow, few = kept_from_bank(power.solar, gear.controllers, volts, part.segment)
    return {("driving", DRIVE_LIMITS[name]): amps for name, amps in drive.items()} | {
        ("the panels", "their controller's amps"): part.column("solar_clipped_w") / volts,
        ("the panels", "shadow on their strings"): shadow / volts,
        ("the panels", "too few volts above the bank"): few / volts,
    }


def _room(part: Run, where: NDArray[np.bool_]) -> Array:
    """Return the amps that loads and bank would have taken beyond what came, in some rows.

    None where anything that was offered was held back. A bank still full takes no more than what
    is drawn from it; any other what its cells and its management accept.
    """
    cells, out = part.gear.cells, np.zeros(len(where))
    held = sum((part.column(column) for column in HELD), start=np.zeros(len(where)))
    current, temp = part.column("battery_current_a"), part.column("battery_temp_c")
    charge = part.column("battery_charge_ah")
    begins = charge - part.column("battery_charge_rate_ah_s") * part.width
    full = (charge >= cells.resumes) & (current <= 0.0)
    for i in np.flatnonzero(where & (held <= HELD_NONE)):
        accepted = 0.0
        if not full[i]:
            accepted = accepted_current(cells, begins[i], temp[i], part.width[i]).amps
        out[i] = max(0.0, accepted - current[i])
    return out


def _wasted(part: Run, column: str) -> float:
    """Return what a limit kept of sun and driving [Ah]."""
    free = _left(part, "solar") + _left(part, "drive")
    kept = np.minimum(part.column(column), np.maximum(free, 0.0))
    return part.charge_of(kept, slice(None))


def _left(part: Run, source: str) -> Array:
    """Return what of a source was not used [W]."""
    return part.column(f"{source}_available_w") - part.column(f"{source}_used_w")


def _brings(part: Run, column: str) -> str:
    """Return the sources that could have given more while a limit held."""
    while_held = part.column(column) > 1e-6
    names = {"the sun": "solar", "driving": "drive", "shore": "shore"}
    if column == "held_back_full_w":
        del names["shore"]
    could = [n for n, key in names.items() if (_left(part, key)[while_held] > 1.0).any()]
    return " and ".join(could) or "the sun"
