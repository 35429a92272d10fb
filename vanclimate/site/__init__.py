"""The outside world, independent of the van: weather, sun, sky, and a panel in the sun."""

from vanclimate.site.clock import NOMINAL_YEAR
from vanclimate.site.readers import find_site, read_weather, shipped_sites
from vanclimate.site.weather import Weather, window, window_edges

__all__ = [
    "NOMINAL_YEAR",
    "Weather",
    "find_site",
    "read_weather",
    "shipped_sites",
    "window",
    "window_edges",
]
