"""The segments of a plan: where a span is cut, and when each of them is.

A span is cut at every hour and at every clock time of the sheet, so that within a segment nothing
scheduled changes. Clock times are local standard time of the weather data.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.array import marks_of
from vanclimate.network.compile import Array
from vanclimate.simulate.air import home_at
from vanclimate.simulate.sources import source_marks
from vanclimate.simulate.thermostats import ac_start
from vanclimate.simulate.times import within
from vanclimate.site.weather import Weather, hour_start, window, window_edges
from vanclimate.van.fields import DAY
from vanclimate.van.rules import rule_marks
from vanclimate.van.sheet import Sheet


class When(NamedTuple):
    """The segments of a plan; (segments,) each unless said otherwise."""

    base: datetime
    edges: Array  # (segments + 1,) s after it
    mid: Array  # s
    minute: Array  # of the day, of its middle
    night: NDArray[np.bool_]
    home: NDArray[np.bool_]
    row: NDArray[np.int64]  # the hour of the weather
    edge: NDArray[np.int64]  # (hours + 1,) of the weather, at the span's hours
    outdoor: Array  # °C at its middle

    @property
    def ordinal(self) -> NDArray[np.int_]:
        """Number of each segment's date."""
        since_midnight = 3600.0 * self.base.hour + 60.0 * self.base.minute + self.mid
        return np.asarray(self.base.toordinal() + since_midnight // 86400.0, dtype=np.int_)


def segments(
    sheet: Sheet, weather: Weather, start: datetime, end: datetime,
    moments: Iterable[datetime] = (),
) -> When:  # fmt: skip
    """Return the segments of a span, cut at some moments more."""
    base = hour_start(weather, start)
    edges = cut_times(sheet, base, start, end, moments)
    mid = 0.5 * (edges[:-1] + edges[1:])
    minute = np.mod(base.hour * 60 + base.minute + mid / 60.0, DAY)
    night = within(minute, sheet.people.bedtime, sheet.people.waking)
    hours = int(np.ceil(edges[-1] / 3600.0))
    row = window(weather, base, hours)[(mid // 3600.0).astype(int)]
    edge = window_edges(weather, base, hours)
    outdoor = np.interp(mid, 3600.0 * np.arange(hours + 1), weather.temp_air[edge])
    return When(base, edges, mid, minute, night, home_at(sheet, minute, night), row, edge, outdoor)


def heater_marks(sheet: Sheet) -> set[int]:
    """Return the minutes of the day at which heaters are switched by the clock."""
    unit = sheet.air_conditioner
    found = [part.when for part in (sheet.heater, sheet.electric_heater) if part is not None]
    found += [] if unit is None else [unit.heating_when]
    periods = (period for when in found if not isinstance(when, str) for period in when)
    return {mark for period in periods for mark in period}


def cut_times(
    sheet: Sheet, base: datetime, start: datetime, end: datetime, moments: Iterable[datetime] = ()
) -> Array:
    """Return the segment edges [s] after ``base``: hours, the sheet's clock times, moments."""
    people = sheet.people
    marks = {people.bedtime, people.waking, people.home_from, people.home_until, ac_start(sheet)}
    for load in sheet.loads:
        for period in load.when:
            marks |= set(period)
    for w in sheet.windows:
        for when in (w.covered if w.cover != "none" else "never", w.open):
            if not isinstance(when, str):
                marks |= {mark for period in when for mark in period}
    first, last = (start - base).total_seconds(), (end - base).total_seconds()
    marks |= (
        marks_of(sheet.roof_panels, sheet.ground_panel)
        | source_marks(sheet)
        | rule_marks(sheet.rules)
        | heater_marks(sheet)
    )
    edges = {first, last, *((moment - base).total_seconds() for moment in moments)}
    edges |= {3600.0 * i for i in range(int(last // 3600) + 2)}
    midnight = -3600.0 * base.hour - 60.0 * base.minute
    for day in range(int((last - midnight) // 86400) + 1):
        edges |= {midnight + 86400.0 * day + 60.0 * m for m in marks}
    return np.array(sorted(e for e in edges if first <= e <= last))
