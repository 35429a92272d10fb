"""The sun on a van's panels, and what it brings to the bank in the rows of a plan.

What does not belong here: strings and controllers (``energy.array``).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from vanclimate.energy.array import Light, Solar, array_power
from vanclimate.network.compile import Array
from vanclimate.site.ground import albedo_of
from vanclimate.site.panel import OPEN_RACK, Panel, panel
from vanclimate.site.sun import ALBEDO
from vanclimate.site.weather import Weather
from vanclimate.van.sheet import Sheet


@dataclass(frozen=True)
class SunOnPanels:
    """The roof's panels over the whole weather, and a panel on the ground where there is one."""

    roof: Panel
    ground: Panel | None


def sun_on_panels(sheet: Sheet, weather: Weather, heading: float) -> SunOnPanels:
    """Return the sun on panels; those on the roof face the heading [deg], the ground's its own."""
    roof, shade = sheet.roof_panels, sheet.shade
    above = panel(
        weather,
        tilt=roof.tilt,
        azimuth=heading,
        beam_transmission=shade.beam_transmission,
        diffuse_transmission=shade.diffuse_transmission,
        gamma=roof.power_coefficient,
        albedo=albedo_of(sheet.site.ground) if roof.tilt else ALBEDO,
    )
    return SunOnPanels(above, _on_ground(sheet, weather))


def _on_ground(sheet: Sheet, weather: Weather) -> Panel | None:
    stood = sheet.ground_panel
    if stood is None:
        return None
    noon = 180.0 if weather.latitude >= 0 else 0.0
    shade = sheet.shade
    return panel(
        weather,
        tilt=stood.tilt,
        azimuth=noon if stood.facing is None else stood.facing,
        beam_transmission=shade.beam_transmission if stood.in_shade else 1.0,
        diffuse_transmission=shade.diffuse_transmission if stood.in_shade else 1.0,
        gamma=stood.power_coefficient,
        albedo=albedo_of(sheet.site.ground),
        mounting=OPEN_RACK,
    )


def solar_of(
    sheet: Sheet, sun: SunOnPanels, row: NDArray[np.int64], minute: Array, bus_voltage: float
) -> Solar:
    """Return what panels bring to the bank in each segment.

    Parameters
    ----------
    sheet : whose roof under snow gives nothing; the ground's panel is kept clear (assumed)
    sun : over the whole weather
    row : (segments,) the hour of each
    minute : (segments,) of the day
    bus_voltage : at which the bank is charged [V]
    """
    above = _rows(sun.roof, row, minute)
    if sheet.body.roof_state.kind == "snow":
        above = above._replace(ratio=np.zeros(len(row)), light=np.zeros(len(row)))
    below = None if sun.ground is None else _rows(sun.ground, row, minute)
    return array_power(
        sheet.roof_panels, above, bus_voltage, sheet.ground_panel, below,
        nominal=sheet.battery.voltage,
    )  # fmt: skip


def _rows(sun: Panel, row: NDArray[np.int64], minute: Array) -> Light:
    return Light(sun.power_ratio[row], sun.light[row], sun.cells[row], minute)
