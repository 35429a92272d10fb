"""The ground where a van stands: its temperature beside the van and under it, and its albedo.

What does not belong here: the heat balance (physics.ground), and what each face of a van sees of
the ground (network.surroundings).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from vanclimate.cache import Arrays, cached_arrays
from vanclimate.physics import ground as balance
from vanclimate.physics.air import KELVIN
from vanclimate.physics.convection import UNDER_WIND
from vanclimate.physics.longwave import view_shares
from vanclimate.site.clock import FloatArray
from vanclimate.site.sky import Sky
from vanclimate.site.sun import ALBEDO
from vanclimate.site.weather import Weather

AS_AIR = "as air"
"""A ground that has the air's temperature; for comparison, and where nothing is to be assumed."""


@dataclass(frozen=True)
class GroundTemps:
    """The ground over n hours, at their edges, each of shape (n+1,).

    Attributes
    ----------
    beside : surface in the open, under the sheet's shade where there is one [°C]
    under : surface below the van, which no sun and no sky reaches [°C]
    """

    beside: FloatArray
    under: FloatArray


def albedo_of(kind: str) -> float:
    """Return the share of the sun that a ground reflects [0..1].

    >>> albedo_of("snow"), albedo_of("as air")
    (0.7, 0.2)
    """
    return ALBEDO if kind == AS_AIR else balance.GROUNDS[kind].albedo


def ground_temps(
    weather: Weather, above: Sky, kind: str,
    beam_transmission: float = 1.0, diffuse_transmission: float = 1.0,
) -> GroundTemps:  # fmt: skip
    """Return the ground's surface temperatures.

    Parameters
    ----------
    above : the sky that the weather is used with
    kind : a key of `physics.ground.GROUNDS`, or 'as air'
    beam_transmission, diffuse_transmission : what a shade lets through of the sun and of the sky
        [0..1]; it hides the sky's cold by as much as its light

    Notes
    -----
    The weather is taken to come back after its last hour, as a typical year does; of a spell of
    real years the first days follow on the last ones, whose warmth the ground forgets within days.
    Hours without data are bridged by straight lines for the ground's sake, and have none.
    The ground under a van has no sun, sees the van's underside at air temperature (assumed), has
    the underfloor's share of the wind, and has been shaded for long: a van that came from the sun
    an hour ago stands on warmer ground. Deep down each has the mean temperature of its surface,
    which under the van is about that of the air.
    """
    if kind == AS_AIR:
        return GroundTemps(weather.temp_air, weather.temp_air)
    shade = (float(beam_transmission), float(diffuse_transmission))
    key = (*weather.key, kind, *shade, float(above.temp_sky.sum()))
    return GroundTemps(**cached_arrays("ground", key, lambda: _temps(weather, above, kind, *shade)))


def _temps(weather: Weather, above: Sky, kind: str, beam: float, diffuse: float) -> Arrays:
    ground = balance.GROUNDS[kind]
    missing = np.isnan(weather.temp_air + above.temp_sky + weather.wind_speed)
    weather = replace(
        weather,
        temp_air=_bridged(weather.temp_air), wind_speed=_bridged(weather.wind_speed),
        ghi=_bridged(weather.ghi), dhi=_bridged(weather.dhi),
    )  # fmt: skip
    above = replace(above, temp_sky=_bridged(above.temp_sky))
    air, wind = _middle(weather.temp_air), _middle(weather.wind_speed)
    sky = float(view_shares(0.0)[0]) * diffuse
    seen = sky * (_middle(above.temp_sky) + KELVIN) ** 4 + (1.0 - sky) * (air + KELVIN) ** 4
    light = np.maximum(weather.ghi - weather.dhi, 0.0) * beam + weather.dhi * diffuse
    beside = balance.surface_temperature(
        ground,
        absorbed=(1.0 - ground.albedo) * light,
        film=balance.ground_film(wind),
        temp_air=air,
        temp_above=seen**0.25 - KELVIN,
    )
    under = balance.surface_temperature(
        ground._replace(evaporating=0.0),
        absorbed=np.zeros(weather.n),
        film=balance.ground_film(UNDER_WIND * wind),
        temp_air=air,
        temp_above=air,
    )
    wraps = weather.typical or weather.synthetic
    edges = {"beside": _edges(beside, wraps), "under": _edges(under, wraps)}
    return {name: np.where(missing, np.nan, values) for name, values in edges.items()}


def _bridged(values: FloatArray) -> FloatArray:
    """Return a series with its gaps, not-a-numbers, bridged by straight lines."""
    there = ~np.isnan(values)
    if there.all() or not there.any():
        return values
    at = np.arange(len(values))
    return np.interp(at, at[there], values[there])


def _middle(edges: FloatArray) -> FloatArray:
    """Return the means of the hours of straight lines between edges."""
    return 0.5 * (edges[:-1] + edges[1:])


def _edges(means: FloatArray, wraps: bool) -> FloatArray:
    """Return edges between which straight lines have the hours' means, as `site.hours` makes them.

    ``e = (5 (m₀ + m₁) − (m₋₁ + m₂)) / 8``; at the ends of a series that does not come back after
    them, the nearest mean stands in for what lies beyond.
    """
    m = np.pad(means, 2, mode="wrap" if wraps else "edge")
    edges: FloatArray = (5.0 * (m[1:-2] + m[2:-1]) - (m[:-3] + m[3:])) / 8.0
    return edges
