"""An invented van and its trips, which several tests share. No figure here is a check."""

from __future__ import annotations

from functools import cache

from vanclimate.answers.trip.answer import Trip, trip
from vanclimate.answers.trip.places import with_stops
from vanclimate.cache import data_path
from vanclimate.van.reading import load
from vanclimate.van.sheet import Sheet
from vanclimate.van.trip import stops_of_option

VAN = data_path("scenarios", "winter-trip.yaml")


@cache
def van(*changes: str) -> Sheet:
    """Return the invented van, its nose to the south, some values set."""
    return load(VAN, ("heading=S", *changes))


def going(of: Sheet, *stops: str) -> Sheet:
    """Return a van with the stops of some lines."""
    return with_stops(of, stops_of_option(stops))


@cache
def taken(*stops: str, changes: tuple[str, ...] = (), draws: int = 1) -> Trip:
    """Return the trip of the invented van to some stops; its own without one."""
    of = van(*changes)
    return trip(going(of, *stops) if stops else of, draws=draws)
