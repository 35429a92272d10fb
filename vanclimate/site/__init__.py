"""The outside world, independent of the van: weather, sun, sky, and a panel in the sun.

The names below are fetched when they are first used, so that importing the package costs nothing.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vanclimate.site.readers import read_record, read_weather
    from vanclimate.site.record import Record
    from vanclimate.site.sites import find_record, find_site, shipped_sites
    from vanclimate.site.weather import Weather, window, window_edges
    from vanclimate.site.years import NOMINAL_YEAR

_HOME = {
    "NOMINAL_YEAR": "years",
    "Record": "record",
    "Weather": "weather",
    "find_record": "sites",
    "find_site": "sites",
    "read_record": "readers",
    "read_weather": "readers",
    "shipped_sites": "sites",
    "window": "weather",
    "window_edges": "weather",
}

__all__ = [
    "NOMINAL_YEAR",
    "Record",
    "Weather",
    "find_record",
    "find_site",
    "read_record",
    "read_weather",
    "shipped_sites",
    "window",
    "window_edges",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOME[name]}"), name)
