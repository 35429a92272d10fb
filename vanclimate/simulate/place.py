"""What a site brings to one van: sky, ground, the light on each side, the panels.

What does not belong here: time spans and schedules (``plan``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import Array
from vanclimate.network.shell import SIDES, facing
from vanclimate.physics.wetting import wet_surface_temp
from vanclimate.simulate.panels import SunOnPanels, sun_on_panels
from vanclimate.site.ground import GroundTemps, albedo_of, ground_temps
from vanclimate.site.sky import Sky, sky
from vanclimate.site.sun import ALBEDO, Irradiance, irradiance
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet

WALLS = {side: azimuth for side, (azimuth, tilt) in SIDES.items() if tilt == 90.0}


@dataclass(frozen=True)
class Place:
    """A site's year as one van at one heading meets it; arrays over the whole weather."""

    weather: Weather
    sky: Sky
    ground: GroundTemps
    heading: float
    sides: dict[str, Irradiance]
    panels: SunOnPanels


def place_at(sheet: Sheet, weather: Weather, heading: float) -> Place:
    """Return what the site brings to each side of the van at a heading [deg]."""
    return places_at(sheet, weather, (heading,))[0]


def places_at(sheet: Sheet, weather: Weather, headings: Sequence[float]) -> list[Place]:
    """Return the same at several headings, the sky, the roof and each wall's direction once."""
    above, roof = sky(weather, sheet.site.sky), irradiance(weather, 0.0, 0.0)
    ground = ground_of(sheet, weather, above)
    planes = planes_of(sheet)
    directions = {(tilt, (h + turn) % 360.0) for h in headings for turn, tilt in planes.values()}
    walls = {plane: on_plane(sheet, weather, *plane) for plane in directions}
    places = []
    for heading in headings:
        sides = {key: walls[tilt, (heading + turn) % 360.0] for key, (turn, tilt) in planes.items()}
        pv = sun_on_panels(sheet, weather, heading)
        places.append(Place(weather, above, ground, heading, {**sides, "roof": roof}, pv))
    return places


def ground_of(sheet: Sheet, weather: Weather, above: Sky) -> GroundTemps:
    """Return the ground's temperatures under a sky, in the sheet's shade."""
    shade = sheet.shade
    return ground_temps(
        weather, above, sheet.site.ground, shade.beam_transmission, shade.diffuse_transmission
    )


def on_plane(sheet: Sheet, weather: Weather, tilt: float, azimuth: float) -> Irradiance:
    """Return the light on a plane above the sheet's ground.

    Ground light goes with the albedo, so that another ground needs no transposition of its own.
    """
    light = irradiance(weather, tilt, azimuth)
    return replace(light, ground=light.ground * (albedo_of(sheet.site.ground) / ALBEDO))


def planes_of(sheet: Sheet) -> dict[str, tuple[float, float]]:
    """Return azimuth from the nose and tilt [deg] of each wall and of each leaning window.

    The keys are those of `network.shell.facing`.
    """
    planes = {side: (azimuth, 90.0) for side, azimuth in WALLS.items()}
    for w in sheet.windows:
        if w.side != "roof":
            planes[facing(w.side, w.slope)] = (WALLS[w.side], w.slope)
    return planes


def wet_roof_temp(sheet: Sheet, place: Place, edge: NDArray[np.int64]) -> Array:
    """Return what a wet roof's evaporation works against [°C]; the air's where it is dry."""
    air = place.weather.temp_air[edge]
    if sheet.body.roof_state.kind != "wet":
        return air
    humidity, pressure = place.sky.humidity_ratio[edge], place.weather.pressure[edge]
    return np.asarray(wet_surface_temp(air, humidity, pressure), dtype=float)
