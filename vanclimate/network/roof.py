"""What lies on the roof, rain or snow, laid over a dry shell.

Here: the change of the roof's surfaces. Not here: the shell (``shell``), evaporation in the loop
(``simulate.thermal``), panels' power (``simulate.plan``).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vanclimate.physics.ground import GROUNDS, snow_conductivity
from vanclimate.van.layers import Layer
from vanclimate.van.roof import RoofState

if TYPE_CHECKING:  # the shell itself is laid over at its end
    from vanclimate.network.shell import Shell, Surface

WATER_EMISSIVITY = 0.96
"""Longwave emissivity of a film of water; handbook value, from memory."""

SNOW_DENSITY = 200.0
"""Density of snow on a roof [kg/m3], settled for a day or two (100 to 300); assumed."""

ICE_HEAT = 2100.0  # J/(kg K)


def with_roof(shell: Shell, state: RoofState) -> Shell:
    """Return the shell with its roof as the sheet says.

    A wet roof stays wet, sends out longwave as water does and takes up as much sun as when it is
    dry (assumed: a film of clear water changes that by a few hundredths). Snow covers paint and
    panels but not the roof's glass, whose warmth keeps it clear (assumed), and keeps its depth:
    melting is not counted.
    """
    if state.kind == "dry":
        return shell
    roof = [s for s in shell.surfaces if s.side == "roof" and s.beyond is None]
    if state.kind == "wet":
        changed = {id(s): replace(s, emissivity=WATER_EMISSIVITY, wet=True) for s in roof}
        surfaces = tuple(changed.get(id(s), s) for s in shell.surfaces)
        return replace(shell, surfaces=surfaces)
    changed = {id(s): _under_snow(s, state.depth) for s in roof}
    surfaces = tuple(changed.get(id(s), s) for s in shell.surfaces)
    said = (
        f"{state.depth * 100:.0f} cm of snow on the roof: no sun on paint and panels below it; its "
        "melting is not counted"
    )
    return replace(shell, surfaces=surfaces, panel_share=0.0, notes=(*shell.notes, said))


def _under_snow(surface: Surface, depth: float) -> Surface:
    snow = GROUNDS["snow"]
    layer = Layer(
        material="snow", thickness=depth,
        conductivity=snow_conductivity(SNOW_DENSITY), density=SNOW_DENSITY,
        specific_heat=ICE_HEAT, emissivity=snow.emissivity,
        source="conductivity by density after Yen 1981, from memory",
    )  # fmt: skip
    absorbed = 1.0 - snow.albedo
    return replace(surface, absorptance=absorbed, emissivity=snow.emissivity, lying=layer)
