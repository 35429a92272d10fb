"""The outside world, independent of the van: weather, sun, sky, and a panel in the sun."""

from vanclimate.site.clock import NOMINAL_YEAR
from vanclimate.site.readers import read_record, read_weather
from vanclimate.site.record import Record
from vanclimate.site.sites import find_record, find_site, shipped_sites
from vanclimate.site.weather import Weather, window, window_edges

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
