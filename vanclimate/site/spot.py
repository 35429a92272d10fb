"""The van's own spot against the weather's: height, terrain, a cool hollow or a paved lot.

Each is a plain change of the series, noted, and off where the sheet does not ask for it or nothing
is known. What does not belong here: the sheet (``van``) and what comes of it (``answers``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from vanclimate.physics import air
from vanclimate.physics.wind import REPORTED_CALM, VAN_HEIGHT, terrain_ratio
from vanclimate.site.clock import FloatArray
from vanclimate.site.sun import sun_position
from vanclimate.site.weather import Weather

LEAST_STEP = 10.0
"""Height [m] that is too little to be worth a note: 0.07 K."""

SETTLING = 3.0
"""Hours after sunset over which a night's own air builds up; it goes twice as fast after sunrise;
assumed."""


@dataclass(frozen=True)
class Spot:
    """What a site adds to its weather.

    Attributes
    ----------
    elevation : of the van [m]; None where it is not known
    height_correction : whether air is moved from the weather's height to the van's
    terrain : a key of `physics.wind.TERRAINS`
    night_air : what the air of a calm night is warmer by than the weather's [K]
    """

    elevation: float | None = None
    height_correction: bool = True
    terrain: str = "open"
    night_air: float = 0.0


def at_spot(weather: Weather, spot: Spot) -> Weather:
    """Return the weather at the van's spot.

    Notes
    -----
    Height: air cools by 6.5 K a kilometre (ISO 2533, the standard atmosphere's lapse rate), its
    pressure changes as the standard atmosphere's, and its humidity ratio stays, as in mixed air, up
    to saturation; measured longwave follows the fourth power of the air's temperature. A valley's
    inversion is not in this; see `night_air`.
    Calm: a wind of exactly 0 is a report of calm, and becomes `physics.wind.REPORTED_CALM`.
    Terrain: the wind becomes that over open ground at which a van meets the same wind at its own
    height, `physics.wind.terrain_ratio`.
    Night air: added in full from `SETTLING` hours after sunset to sunrise; the dew point stays, up
    to saturation.
    """
    weather = _at_height(weather, spot) if spot.height_correction else weather
    weather = _over_terrain(_with_calms(weather), spot.terrain)
    return _with_night_air(weather, spot.night_air)


def _at_height(weather: Weather, spot: Spot) -> Weather:
    if spot.elevation is None or abs(spot.elevation - weather.elevation) < LEAST_STEP:
        return weather
    climb = spot.elevation - weather.elevation
    change = -air.LAPSE_RATE * climb
    ratio = air.humidity_ratio_from_dew_point(weather.temp_dew, weather.pressure)
    share = float(air.standard_pressure(spot.elevation))
    pressure = weather.pressure * share / float(air.standard_pressure(weather.elevation))
    temp_air = weather.temp_air + change
    temp_dew = np.minimum(np.asarray(air.dew_point(ratio, pressure), dtype=float), temp_air)
    longwave = weather.longwave
    if longwave is not None:
        longwave = longwave * ((temp_air + air.KELVIN) / (weather.temp_air + air.KELVIN)) ** 4
    note = (
        f"air moved from {_feet(weather.elevation)}, the weather's height, to the site's "
        f"{_feet(spot.elevation)}: {change:+.1f} K ({1.8 * change:+.1f} F°) at 6.5 K/km (ISO 2533)"
    )
    return replace(
        weather, temp_air=temp_air, temp_dew=temp_dew, pressure=pressure, longwave=longwave,
        elevation=spot.elevation, notes=(*weather.notes, note.replace("-", "−")),
        digest=f"{weather.digest}:height {spot.elevation}",
    )  # fmt: skip


def _feet(metres: float) -> str:
    """Write a height for readers of either system."""
    return f"{metres:,.0f} m ({metres / 0.3048:,.0f} ft)"


def _with_calms(weather: Weather) -> Weather:
    calm = weather.wind_speed == 0.0
    if not calm.any():
        return weather
    wind = np.where(calm, REPORTED_CALM, weather.wind_speed)
    return replace(weather, wind_speed=wind, digest=f"{weather.digest}:calm {REPORTED_CALM}")


def _over_terrain(weather: Weather, terrain: str) -> Weather:
    if terrain == "open":
        return weather
    ratio = terrain_ratio(terrain)
    note = f"wind at {VAN_HEIGHT:.0f} m over {terrain} ground: {ratio:.0%} of that over open ground"
    return replace(
        weather, wind_speed=weather.wind_speed * ratio, notes=(*weather.notes, note),
        digest=f"{weather.digest}:terrain {terrain}",
    )  # fmt: skip


def _with_night_air(weather: Weather, warmer: float) -> Weather:
    if warmer == 0.0:
        return weather
    temp_air = weather.temp_air + warmer * night_share(weather)
    by = f"{warmer:+.1f} K ({1.8 * warmer:+.1f} F°)"
    note = f"nights {by} against the weather, as the sheet says of this spot"
    return replace(
        weather, temp_air=temp_air, temp_dew=np.minimum(weather.temp_dew, temp_air),
        notes=(*weather.notes, note.replace("-", "−")),
        digest=f"{weather.digest}:night air {warmer}",
    )  # fmt: skip


def night_share(weather: Weather) -> FloatArray:
    """Return the share of a night's own air at the edges of the hours, shape (n+1,) [0..1].

    It rises over `SETTLING` hours from sunset, and falls twice as fast from sunrise.
    """
    dark = 1.0 - sun_position(weather).sunlit
    share = np.empty(weather.n + 1)
    share[0] = round(float(dark[-1 if weather.typical or weather.synthetic else 0]))
    for i, part in enumerate(dark):
        rate = part / SETTLING - (1.0 - part) * 2.0 / SETTLING
        share[i + 1] = min(1.0, max(0.0, share[i] + rate))
    return share
