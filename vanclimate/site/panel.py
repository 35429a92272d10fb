"""A photovoltaic panel on the roof: watts per watt of nameplate, and the cells' temperature.

pvlib's models behind two arrays. What does not belong here: soiling, wiring, the controller and
the battery (`energy`); the shade's own shape (`van`).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.cache import Arrays, cached_arrays
from vanclimate.site.clock import FloatArray
from vanclimate.site.sun import ALBEDO, irradiance
from vanclimate.site.weather import Weather

GAMMA = -0.0037
"""Change of power with cell temperature [1/K]: crystalline silicon, -0.003 to -0.0045 by data
sheet; common practice, no source."""

MOUNTING = "close_mount_glass_glass"
"""pvlib's name of the set of coefficients of a glazed module close above a roof (King, Boyson &
Kratochvil 2004, SAND2004-3535, table 2, as pvlib carries it): hotter than a rack."""

OPEN_RACK = "open_rack_glass_glass"
"""The same table's set of a module with air on both sides, such as one propped on the ground."""


@dataclass(frozen=True)
class Panel:
    """A panel over n hours.

    Attributes
    ----------
    power_ratio : direct current power at the maximum power point per nameplate power, before
        soiling and controller, after glass reflection and cell temperature, shape (n,)
    temp : temperature of the cells [°C], shape (n+1,)
    light : what reaches the cells behind the glass, per 1000 W/m2, shape (n,)
    cells : mean temperature of the cells over the hour [°C], shape (n,)
    """

    power_ratio: FloatArray
    temp: FloatArray
    light: FloatArray
    cells: FloatArray


def panel(
    weather: Weather,
    *,
    tilt: float = 0.0,
    azimuth: float = 180.0,
    beam_transmission: float = 1.0,
    diffuse_transmission: float = 1.0,
    gamma: float = GAMMA,
    albedo: float = ALBEDO,
    mounting: str = MOUNTING,
) -> Panel:
    """Return what a panel gives in each hour.

    Parameters
    ----------
    tilt, azimuth : of the panel, as in `sun.irradiance` [deg]
    beam_transmission, diffuse_transmission : shares of beam and sky light that a shade lets
        through [0..1]
    gamma : change of power with cell temperature [1/K]
    albedo : reflectance of the ground [0..1]
    mounting : pvlib's name of a set of coefficients of the cells' temperature

    Notes
    -----
    ``power_ratio = G_eff / 1000 (1 + gamma (T_cell - 25))``, the data plate's own linear
    model (common practice, no source). G_eff is the light behind the glass after Martin
    & Ruiz 2001, Solar Energy Materials 70:25, for beam and diffuse. The cell's temperature comes
    from all the light, the air and the 10 m wind (King et al. 2004, equations 11 and 12).
    """
    # which way a level plane faces is all one
    azimuth = 0.0 if tilt == 0.0 else azimuth % 360.0
    key = (
        *weather.key,
        *map(float, (tilt, azimuth, beam_transmission, diffuse_transmission, gamma, albedo)),
        mounting,
    )

    def build() -> Arrays:
        light = irradiance(weather, tilt, azimuth, albedo)
        beam = light.beam * beam_transmission
        diffuse = light.sky_diffuse * diffuse_transmission
        ground = light.ground * diffuse_transmission
        return _behind_glass(weather, tilt, beam, diffuse, ground, light.cos_aoi, gamma, mounting)

    return Panel(**cached_arrays("panel", key, build))


def _behind_glass(
    weather: Weather,
    tilt: float,
    beam: FloatArray,
    diffuse: FloatArray,
    ground: FloatArray,
    cos_aoi: FloatArray,
    gamma: float,
    mounting: str,
) -> Arrays:
    from pvlib.iam import martin_ruiz, martin_ruiz_diffuse
    from pvlib.temperature import TEMPERATURE_MODEL_PARAMETERS, sapm_cell

    through = martin_ruiz(np.degrees(np.arccos(cos_aoi)))
    spread = martin_ruiz_diffuse(tilt)
    effective = beam * through + diffuse * spread["sky"] + ground * spread["ground"]
    mounted = TEMPERATURE_MODEL_PARAMETERS["sapm"][mounting]
    wind = 0.5 * (weather.wind_speed[:-1] + weather.wind_speed[1:])
    # from 0 °C the model gives the rise above the air alone
    rise = sapm_cell(beam + diffuse + ground, 0.0, wind, **mounted)
    air = 0.5 * (weather.temp_air[:-1] + weather.temp_air[1:])
    ratio = effective / 1000.0 * (1.0 + gamma * (air + rise - 25.0))
    at_edges = 0.5 * (np.append(rise, rise[0]) + np.append(rise[-1], rise))
    return {
        "power_ratio": np.maximum(ratio, 0.0),
        "temp": weather.temp_air + at_edges,
        "light": np.maximum(effective / 1000.0, 0.0),
        "cells": air + rise,
    }
