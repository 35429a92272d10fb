"""Heat through each surface of a van over an hour of a run, and which hour is the worst.

What does not belong here: how it is drawn (``van``).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import NamedTuple

import numpy as np

from vanclimate.answers.judge import felt_temperature
from vanclimate.network.compile import Chain
from vanclimate.page.drawings import writing
from vanclimate.simulate.runs import Run
from vanclimate.van.sheet import Sheet

HOUR = 3600.0  # s
IDLE = 1.0  # W; a device that moves less does nothing


class Hour(NamedTuple):
    """An hour of a run: its rows, its ends, and why it is the one."""

    rows: slice
    begins: datetime
    ends: datetime
    why: str


@dataclass(frozen=True)
class Face:
    """A surface with the heat that its inside face gives to its room, mean of an hour.

    Parameters
    ----------
    key : 'wall', 'pane', 'top' of a lifting roof's fabric, 'partition' or 'furnishing'
    name : in words
    zone, side : as of a `Chain`
    area : [m²]
    watts : [W], negative where heat leaves the room
    """

    key: str
    name: str
    zone: int
    side: str
    area: float
    watts: float

    @property
    def flux(self) -> float:
        """Heat by area [W/m²]."""
        return self.watts / self.area

    @property
    def told(self) -> str:
        """Name, heat and area in words."""
        return f"{self.name}: {writing.flux(self.flux)}, {writing.area(self.area)}"


def worst_hour(run: Run, part: slice, sheet: Sheet, way: str) -> Hour:
    """Return the hour of some rows in which cooling or heating is hardest.

    Where no device moves heat it is the warmest as felt; the coldest where a heater failed.

    Parameters
    ----------
    run : with the rows
    part : of them, from bedtime to waking or any other
    sheet, way : as of `judge.felt_temperature`
    """

    def column(name: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return run.column(name)[part]

    cooled = column("ac_sensible_w") + column("heat_pump_w") + column("ac_latent_w")
    heated = column("heater_output_w") + column("heat_pump_w") + column("electric_heat_w")
    load = cooled + heated
    if load.max() >= IDLE:
        rows = _most(run, part, load)
        cools = cooled[_in(rows, part)].mean() > heated[_in(rows, part)].mean()
        mean = _mean(run, rows, load[_in(rows, part)])
        who = "the air conditioner takes most" if cools else "heating gives most"
        return _hour(run, rows, f"{who}: {writing.heat_rate(mean)}")
    felt = felt_temperature(run, sheet, way)[part]
    rows = _most(run, part, -felt if way == "heat" else felt)
    mean = _mean(run, rows, felt[_in(rows, part)])
    kind = "coldest" if way == "heat" else "warmest"
    return _hour(run, rows, f"it feels {kind}: {writing.temperature(mean)}")


def _in(rows: slice, part: slice) -> slice:
    return slice(rows.start - part.start, rows.stop - part.start)


def _mean(run: Run, rows: slice, values: np.ndarray[tuple[int], np.dtype[np.float64]]) -> float:
    width = run.width[rows]
    return float((values * width).sum() / width.sum())


def _most(run: Run, part: slice, values: np.ndarray[tuple[int], np.dtype[np.float64]]) -> slice:
    """Return the rows of the hour with the greatest mean; all where they are less than one."""
    edges = run.seconds[part.start : part.stop + 1]
    sums = np.concatenate([[0.0], np.cumsum(values * np.diff(edges))])
    stop = np.searchsorted(edges, edges[:-1] + HOUR - 1.0)
    first = np.flatnonzero(stop < len(edges))
    if not len(first):
        return part
    last = stop[first]
    mean = (sums[last] - sums[first]) / (edges[last] - edges[first])
    best = int(mean.argmax())
    return slice(part.start + int(first[best]), part.start + int(last[best]))


def _hour(run: Run, rows: slice, why: str) -> Hour:
    begins, ends = (
        run.start + timedelta(seconds=float(run.seconds[i])) for i in (rows.start, rows.stop)
    )
    return Hour(rows, begins, ends, why)


def faces_of(run: Run, rows: slice) -> tuple[Face, ...]:
    """Return the surfaces of a run with their mean heat over some rows.

    Ribs count with the side that they stand in. All watts together are those of the run's faces.
    """
    width = run.width[rows]
    watts = (run.faces[rows] * width[:, np.newaxis]).sum(axis=0) / width.sum()
    found: dict[tuple[object, ...], list[int]] = {}
    for k, chain in enumerate(run.model.chains):
        found.setdefault(_group(k, chain), []).append(k)
    names = [zone.name for zone in run.model.zones]
    out = []
    for group, own in found.items():
        chain = run.model.chains[own[0]]
        out.append(
            Face(
                str(group[0]), _name(str(group[0]), chain, names), chain.zone, chain.side,
                sum(run.model.chains[k].area for k in own), float(watts[own].sum()),
            )
        )  # fmt: skip
    return tuple(out)


def _group(k: int, chain: Chain) -> tuple[object, ...]:
    if chain.glazing is not None:
        return "pane", k
    if chain.group == "pop top":
        return "top", chain.side
    if chain.beyond is not None:
        return "partition", k
    if chain.group == "furnishing":
        return "furnishing", k
    return "wall", chain.zone, chain.side


def _name(key: str, chain: Chain, zones: list[str]) -> str:
    if key != "wall":
        return chain.name
    return chain.side if chain.zone == 0 else f"{zones[chain.zone]} {chain.side}"
