"""Which season sizes what: the warm one the AC, the cold one the heater.

What does not belong here: which nights a season has (``season``).
"""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from vanclimate.answers.facing import colder_than_wanted
from vanclimate.answers.season import Season, season_of
from vanclimate.site.clock import fixed_zone
from vanclimate.site.record import HOUR, Record, hours_of
from vanclimate.site.table import Hours
from vanclimate.van.sheet import Sheet

Seasons = dict[str, tuple[Sheet, Season]]


def seasons_for(sheet: Sheet, record: Record, after: timedelta) -> Seasons:
    """Return 'warm' and 'cold' as far as the sheet has something for them, else its own as 'own'.

    The sheet's own month or stay is the one that it is: cold where its nights' mean outdoors is
    below the coldest that sleepers want. The other is the hottest or coldest month of the record.
    Made-up days have no other month, and stand for both.
    """
    own = season_of(sheet, record, after)
    mine = "cold" if colder_than_wanted(sheet, own) else "warm"
    wanted = {"warm": sheet.air_conditioner is not None, "cold": sheet.heater is not None}
    found: Seasons = {}
    for name in (name for name, there in wanted.items() if there):
        if name == mine or record.synthetic is not None:
            found[name] = sheet, own
        else:
            found[name] = _other(sheet, record, name == "cold", after)
    return found or {"own": (sheet, own)}


def _other(sheet: Sheet, record: Record, cold: bool, after: timedelta) -> tuple[Sheet, Season]:
    means = month_means(record)
    month = int(np.nanargmin(means) if cold else np.nanargmax(means)) + 1
    other = sheet.model_copy(update={"month": month, "stay": None})
    return other, season_of(other, record, after)


def month_means(record: Record) -> NDArray[np.float64]:
    """Return the mean outdoor temperature [°C] of each month of a record, January first."""
    total, count = np.zeros(12), np.zeros(12)
    zone = fixed_zone(record.utc_offset_h)
    parts: list[Hours] = [record.load(year) for year in record.asked or record.years]
    for part in parts or [hours_of(record.whole())]:
        first = datetime.fromtimestamp(part.start, zone)
        begins = np.datetime64(first.replace(tzinfo=None), "s")
        temps = part.arrays["temp_air"][: part.n]
        hours = begins + np.arange(len(temps)) * np.timedelta64(HOUR, "s")
        month = hours.astype("datetime64[M]").astype(int) % 12
        there = np.isfinite(temps)
        total += np.bincount(month[there], temps[there], 12)
        count += np.bincount(month[there], minlength=12)
    with np.errstate(invalid="ignore"):
        return total / count
