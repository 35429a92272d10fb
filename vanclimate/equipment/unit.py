"""From a sheet's air conditioner to the unit that the loop runs.

What does not belong here: what a sheet may say (``van.cooling``), and what the unit does
(`air_conditioner`, `heat_pump`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from vanclimate.equipment.air_conditioner import (
    CAPACITY_PER_K_OUTDOOR,
    CAPACITY_PER_K_WET_BULB,
    OUTDOOR_RANGE,
    POWER_PER_K_OUTDOOR,
    POWER_PER_K_WET_BULB,
    RATED_OUTDOOR,
    RATED_WET_BULB,
    STANDARD_DENSITY,
    WET_BULB_RANGE,
    AirConditioner,
)
from vanclimate.equipment.heat_pump import RATED_BOTH, heating
from vanclimate.physics.air import STANDARD_PRESSURE
from vanclimate.van.maker_table import Grid, grid_of

if TYPE_CHECKING:
    from vanclimate.van.cooling import AirConditioner as Part

Array = NDArray[np.float64]

NO_UNIT = AirConditioner(1.0, 1.0, 0.0, 1.0, False, 1.0, 300.0, 180.0, True, 1.0)
"""A unit that never runs, where a sheet has none."""


def unit_of(part: Part | None, pressure: float) -> AirConditioner:
    """Return the air conditioner as the loop uses it; one that never runs where there is none.

    Its blower moves the same volume at every ``pressure`` [Pa], so less air in thin air.
    """
    if part is None:
        return NO_UNIT
    varies, on_roof = part.speed == "variable", part.condenser == "roof"
    unit = AirConditioner(
        capacity=part.capacity * part.fit_factor,
        power=part.power,
        blower=part.blower_power,
        mass_flow=part.airflow * STANDARD_DENSITY * pressure / STANDARD_PRESSURE,
        continuous_blower=part.blower == "continuous",
        differential=part.differential,
        minimum_run=part.minimum_run,
        minimum_off=part.minimum_off,
        on_inverter=part.feed == "inverter",
        stirring=part.stirring,
        variable=varies,
        floor=part.floor if varies else 1.0,
        half_power=part.half_speed_power if varies else 0.5,
        surge_factor=part.starting_surge,
        heats=part.heats,
        heating_capacity=part.heating_capacity * part.fit_factor,
        heating_power=part.heating_power,
        heating_setpoint=part.heating_setpoint,
        heats_down_to=part.heats_down_to,
        defrost_loss=part.defrost_loss,
        induced_air=part.condenser_airflow if part.hose == "one" else 0.0,
        roof_share=part.roof_warmth if on_roof and part.hose == "none" else 0.0,
        condenser_excess=part.condenser_excess if part.hose == "none" else 0.0,
    )
    if part.heats and part.hose == "one":
        unit = rated_inside(unit)
    if part.table is None:
        return unit
    grid = filled(grid_of(part.table), part.blower_power)
    return unit._replace(
        tabled=True,
        table_outdoor=grid.outdoor,
        table_wet_bulb=grid.wet_bulb,
        table_capacity=grid.capacity * part.fit_factor,
        table_power=grid.power,
    )


def rated_inside(unit: AirConditioner) -> AirConditioner:
    """Return a unit whose heating plate is of 20 °C at both coils, its values at the usual rating.

    With a single hose both coils breathe the cabin's air, and such units are tested so.
    """
    there = heating(unit, RATED_BOTH, RATED_BOTH, 1.0)
    compressor = unit.heating_power - unit.blower
    return unit._replace(
        heating_capacity=unit.heating_capacity**2 / there.heat,
        heating_power=unit.blower + compressor**2 / (there.power - unit.blower),
    )


def filled(grid: Grid, blower: float) -> Grid:
    """Return a table in both directions; in one that it leaves out, the general slopes stand in.

    Makers often print one wet bulb alone. The slopes of the watts are the compressor's, so the
    ``blower`` [W] is taken off before.
    """
    if len(grid.wet_bulb) == 1:
        ends, here = np.array(WET_BULB_RANGE), grid.wet_bulb[0] - RATED_WET_BULB
        capacity = _along(ends - RATED_WET_BULB, here, CAPACITY_PER_K_WET_BULB)
        power = _along(ends - RATED_WET_BULB, here, POWER_PER_K_WET_BULB)
        outdoor, wet_bulb = grid.outdoor, ends
    elif len(grid.outdoor) == 1:
        ends, here = np.array(OUTDOOR_RANGE), grid.outdoor[0] - RATED_OUTDOOR
        capacity = _along(ends - RATED_OUTDOOR, here, CAPACITY_PER_K_OUTDOOR)[:, None]
        power = _along(ends - RATED_OUTDOOR, here, POWER_PER_K_OUTDOOR)[:, None]
        outdoor, wet_bulb = ends, grid.wet_bulb
    else:
        return grid
    watts = blower + (grid.power - blower) * power
    return Grid(outdoor, wet_bulb, grid.capacity * capacity, watts)


def _along(away: Array, here: float, slope: float) -> Array:
    """Return the factors of a slope at ``away`` [K] from rating, over that at the table's own."""
    factors: Array = (1.0 + slope * away) / (1.0 + slope * here)
    return factors
