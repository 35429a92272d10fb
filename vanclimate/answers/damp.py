"""Where water condenses inside a van's stacks over a year at its place.

Here: the climate on both sides, and which surfaces are asked about. Not here: what a stack does
(network/damp) and the wording (report).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from vanclimate.answers.season import spot_of
from vanclimate.answers.stops import listed
from vanclimate.errors import NoHoursError
from vanclimate.network.damp import Climate, Damp, damp_of
from vanclimate.network.shell import Shell, Surface
from vanclimate.physics.air import saturation_pressure
from vanclimate.physics.vapour import class_pressure
from vanclimate.site.clock import FloatArray, fixed_zone
from vanclimate.site.record import Record
from vanclimate.site.spot import at_spot
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet

LIVED_IN, STORED = 4, 2
"""Humidity classes (ISO 13788 annex A) of a van with sleepers, a small dwelling with many people,
and of one without; assumed. Two sleepers behind shut vents go beyond any class."""
HEATED = 20.0
"""Temperature [°C] that a van is heated to, day and night; assumed. It is never below outdoors."""
LEAST_HOURS = 400
"""Hours of data from which a month has a mean; common practice, no source."""


@dataclass(frozen=True)
class Dampness:
    """The findings of a sheet.

    Attributes
    ----------
    sides : names of the sides built and facing alike, in words, and what a year does to them
    humidity_class : of the air inside
    climate : on both sides, by the month
    missing : why nothing was found out, or ''
    """

    sides: tuple[tuple[str, Damp], ...]
    humidity_class: int
    climate: Climate | None
    missing: str = ""


def dampness(sheet: Sheet, shell: Shell, record: Record) -> Dampness:
    """Return where water condenses in a sheet's stacks over a mean year of a record.

    Parameters
    ----------
    sheet, shell : the sheet and the shell it describes
    record : weather of its place

    Returns
    -------
    Dampness : without sides where the record does not hold every month
    """
    humidity_class = LIVED_IN if sheet.people.sleepers else STORED
    climate = climate_of(sheet, record)
    if climate is None:
        why = "no year of weather: water inside the stacks is not worked out"
        return Dampness((), humidity_class, None, why)
    return Dampness(damp_sides(shell.surfaces, climate), humidity_class, climate)


def climate_of(sheet: Sheet, record: Record) -> Climate | None:
    """Return the months on both sides of a van's stacks, None where a month has no data."""
    outside = _outside(sheet, record)
    if outside is None:
        return None
    temp, pressure = outside
    humidity_class = LIVED_IN if sheet.people.sleepers else STORED
    inside = class_pressure(temp, pressure, humidity_class)
    return Climate(np.maximum(HEATED, temp), inside, temp, pressure)


def damp_sides(surfaces: Iterable[Surface], climate: Climate) -> tuple[tuple[str, Damp], ...]:
    """Return the living space's sides, those built alike together, and what a year does to them."""
    alike: dict[tuple[object, ...], list[Surface]] = {}
    for s in surfaces:
        if _asked_about(s):
            turned = s.side if s.side in ("roof", "floor") else "walls"
            alike.setdefault((turned, s.layers), []).append(s)
    return tuple(
        (_names(same), damp_of(same[0].layers, same[0].side, climate)) for same in alike.values()
    )


def _asked_about(s: Surface) -> bool:
    """Whether a surface parts the living space from outdoors, away from its ribs."""
    outdoors = s.beyond is None and s.boundary_temp is None
    return s.zone == 0 and outdoors and not s.across_ribs


def _names(same: list[Surface]) -> str:
    """Name surfaces that are built alike: 'walls' for four of them."""
    names = [s.name.removesuffix(" cavity") for s in same]
    if {"front", "rear", "left", "right"} <= set(names):
        return "walls"
    if len(names) > 1 and all(name.startswith("pop top ") for name in names):
        names = [f"pop top's {names[0].removeprefix('pop top ')}"] + [
            name.removeprefix("pop top ") for name in names[1:]
        ]
    return listed(names)


def _outside(sheet: Sheet, record: Record) -> tuple[FloatArray, FloatArray] | None:
    """Return monthly means of temperature [°C] and vapour pressure [Pa], shape (12,)."""
    if record.synthetic is not None:
        return None
    total, count = np.zeros((2, 12)), np.zeros(12)
    for weather in _years(record):
        spot = at_spot(weather, spot_of(sheet, record))
        air, dew = spot.temp_air[:-1], spot.temp_dew[:-1]
        start = np.datetime64(spot.start.replace(tzinfo=None), "h")
        month = (start + np.arange(spot.n)).astype("datetime64[M]").astype(int) % 12
        there = np.isfinite(air) & np.isfinite(dew)
        vapour = np.asarray(saturation_pressure(dew[there]))
        count += np.bincount(month[there], minlength=12)
        total[0] += np.bincount(month[there], weights=air[there], minlength=12)
        total[1] += np.bincount(month[there], weights=vapour, minlength=12)
    if (count < LEAST_HOURS).any():
        return None
    return total[0] / count, total[1] / count


def _years(record: Record) -> Iterator[Weather]:
    """Yield a typical year, or the years asked about one at a time."""
    if not record.real:
        yield record.whole()
        return
    for year in record.asked or record.years:
        first = datetime(year, 1, 1, tzinfo=fixed_zone(record.utc_offset_h))
        try:
            yield record.span(first, first.replace(year=year + 1))
        except NoHoursError:
            continue
