"""Runs: a plan through the compiled loop, and the trace that comes back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.causes import STOPS
from vanclimate.errors import VanclimateError
from vanclimate.network.compile import Array, Model
from vanclimate.physics.air import relative_humidity
from vanclimate.simulate.columns import INDEX, NAMES, ZONE_NAMES
from vanclimate.simulate.inputs import Cabin, Equipment, Schedule, Trace
from vanclimate.simulate.plan import Plan

if TYPE_CHECKING:
    import pandas as pd

BASE_STEP = 300.0  # s
MOVES = 0.1  # how far a row's mean volts may lie beyond those of its ends, as a share; assumed


@dataclass(frozen=True)
class Run:
    """A finished run: rows of a base step or less, each labelled by its start.

    ``seconds`` (rows + 1,) are the rows' edges after ``start``; ``segment`` (rows,) the plan's
    segment of each row.
    """

    start: datetime
    seconds: Array
    segment: np.ndarray[tuple[int], np.dtype[np.int64]]
    rows: Array
    faces: Array
    water: Array
    zones: Array
    nodes: Array
    plan: Plan
    model: Model
    cabin: Cabin
    gear: Equipment

    def column(self, name: str) -> Array:
        """Return a column by its name (see ``columns``)."""
        values: Array = self.rows[:, INDEX[name]]
        return values

    @property
    def width(self) -> Array:
        """Length of each row [s]."""
        return np.diff(self.seconds)

    @property
    def outdoor(self) -> Array:
        """Outdoor temperature [°C] at each row's end."""
        hours = np.arange(len(self.plan.outside.temp)) * 3600.0
        return np.interp(self.seconds[1:], hours, self.plan.outside.temp)

    def total(self, name: str, part: slice | None = None) -> float:
        """Return the time integral of a mean column over a part of the rows [unit times s]."""
        at = part or slice(None)
        return float((self.column(name)[at] * self.width[at]).sum())

    @cached_property
    def volts(self) -> Array:
        """Each row's volts at the bank's terminals: its watts in or out over its amps.

        So what came and went in amp-hours is the current's integral, however the volts moved within
        the row. Where charge and discharge within it leave no such mean, its end's volts stand in.
        """
        gave = self.column("solar_used_w") + self.column("drive_used_w")
        net = gave + self.column("shore_used_w") - self.column("draw_w")
        ends = self.column("battery_voltage_v")
        before = np.append(ends[:1], ends[:-1])
        low, high = np.minimum(ends, before), np.maximum(ends, before)
        with np.errstate(divide="ignore", invalid="ignore"):
            mean = net / self.column("battery_current_a")
        within = (mean > (1.0 - MOVES) * low) & (mean < (1.0 + MOVES) * high)
        return np.where(within, mean, ends)

    def amp_hours(self, name: str, part: slice) -> float:
        """Return a column of watts as charge [Ah] at each row's `volts`."""
        return self.charge_of(self.column(name)[part], part)

    def charge_of(self, watts: Array, part: slice) -> float:
        """Return watts of a part of the rows, (rows,), as charge [Ah] at each row's `volts`."""
        return float((watts / self.volts[part] * self.width[part]).sum()) / 3600.0

    def kept_back(self, part: slice) -> float:
        """Return what the bank lost of the amp-hours put into it over a part of the rows [Ah].

        What it loses in volts is no charge: it shows in the amps that a watt takes.
        """
        amps, rate = self.column("battery_current_a"), self.column("battery_charge_rate_ah_s")
        return float(((amps / 3600.0 - rate)[part] * self.width[part]).sum())

    def charge_at(self, moments: Sequence[datetime]) -> list[float]:
        """Return the bank's charge [Ah] at each of some moments, straight between rows."""
        seconds = [(moment - self.start).total_seconds() for moment in moments]
        found = np.interp(seconds, self.seconds[1:], self.column("battery_charge_ah"))
        return [float(x) for x in found]

    def between(self, first: float, last: float) -> Run:
        """Return the rows that start from ``first`` to before ``last`` [s after the start]."""
        a, b = np.searchsorted(self.seconds[:-1], [first - 1e-3, last - 1e-3])
        rows = slice(int(a), int(b))
        return replace(
            self,
            seconds=self.seconds[a : b + 1],
            segment=self.segment[rows],
            rows=self.rows[rows],
            faces=self.faces[rows],
            water=self.water[rows],
            zones=self.zones[rows],
            nodes=self.nodes[rows] if len(self.nodes) else self.nodes,
        )

    @property
    def heats(self) -> NDArray[np.bool_]:
        """Whether the air conditioner heats at any time in each row."""
        return self.column("heat_pump_w") > 0.0

    @property
    def ever_stopped(self) -> bool:
        """Whether something was stopped at any time, for whatever cause."""
        return any(self.column(f"stopped_{cause}_share").any() for cause in STOPS[1:])

    @property
    def stopped_by(self) -> list[str]:
        """For each row the cause that stopped something for most of it, '' where nothing was.

        Of several alike, one that stops all comes before one that holds a part off.
        """
        parts = ("rule", "reserve")
        names = [cause for cause in STOPS[1:] if cause not in parts] + list(parts)
        shares = np.stack([self.column(f"stopped_{cause}_share") for cause in names])
        most = shares.argmax(axis=0)
        return [names[k] if shares[k, i] > 0 else "" for i, k in enumerate(most)]

    def frame(self) -> pd.DataFrame:
        """Return all columns as a DataFrame with a time-zone-aware index of row starts.

        The last, ``stopped_by``, is a word, see ``energy.causes``; all others are numbers.
        """
        import pandas as pd

        frame = pd.DataFrame(self.rows, index=self.starts, columns=list(NAMES))
        frame["stopped_by"] = self.stopped_by
        return frame

    @property
    def starts(self) -> pd.DatetimeIndex:
        """The moment at which each row begins, in the site's zone."""
        import pandas as pd

        moments = [self.start + timedelta(seconds=float(x)) for x in self.seconds[:-1]]
        return pd.DatetimeIndex(moments, name="start")


def row_edges(plan: Plan, base: float) -> tuple[Array, np.ndarray[tuple[int], np.dtype[np.int64]]]:
    """Return the rows' edges [s] and each row's segment."""
    start, end = plan.schedule.start, plan.schedule.end
    count = np.ceil((end - start) / base - 1e-9).astype(np.int64)
    segment = np.repeat(np.arange(len(start)), count)
    within = np.arange(len(segment)) - np.repeat(np.cumsum(count) - count, count)
    left = start[segment] + within * ((end - start) / count)[segment]
    return np.append(left, end[-1]), segment


def heated_to(schedule: Schedule) -> float:
    """Return the temperature [°C] that a plan's heaters hold at its start; -inf for none."""
    return float(np.nan_to_num(schedule.heat_setpoint[0], nan=-np.inf).max())


def execute(
    model: Model, plan: Plan, cabin: Cabin, gear: Equipment, *,
    base: float = BASE_STEP, keep_nodes: bool = False,
) -> Run:  # fmt: skip
    """Run a plan from the outdoor temperature at its start, and return the trace.

    ``keep_nodes`` keeps every node's temperature at every row's end.
    """
    from vanclimate.simulate.kernel import run
    from vanclimate.simulate.lanes import order_of
    from vanclimate.simulate.scratch import scratch
    from vanclimate.simulate.start import start_devices, start_state, start_zones

    seconds, segment = row_edges(plan, base)
    n, nodes, chains = len(segment), len(model.network.capacity), len(model.chains)
    count = len(model.zones)
    trace = Trace(
        np.empty((n, len(NAMES))),
        np.empty((n, chains)),
        np.zeros((n, chains)),
        np.empty((n, count, len(ZONE_NAMES))),
        np.empty((n if keep_nodes else 0, nodes)),
    )
    outside = plan.outside
    air, humidity = outside.temp[0], outside.humidity[0]
    held = float(np.clip(relative_humidity(air, humidity, outside.pressure), 0.0, 1.0))
    zones = start_zones(count, air, humidity, cabin.buffer, held)
    net = order_of(model)
    own = scratch(
        net, cabin, zones, np.full(nodes, air),
        start_state(gear, gear.cells.capacity, air, heated_to(plan.schedule)),
        start_devices(gear, cabin), plan.schedule.group_floor.shape[1],
    )  # fmt: skip
    run(net, outside, plan.schedule, cabin, gear, own, base, trace)
    if not np.isfinite(trace.rows[-1]).all():  # what is not finite never leaves the state again
        raise VanclimateError("the run left all bounds: a figure in the sheet is beyond the model")
    return Run(
        plan.start, seconds, segment, trace.rows, trace.faces, trace.water, trace.zones,
        trace.nodes, plan, model, cabin, gear,
    )  # fmt: skip
