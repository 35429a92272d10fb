"""Air between zones and outdoors over one step, and what the people give off in each.

Flows are frozen over a step at temperatures extrapolated to its middle. Not here: the formulae
(``physics/airflow``) and what the fans move (``plan``).
"""

from __future__ import annotations

from vanclimate.physics.air import CP_AIR, CP_VAPOUR, density
from vanclimate.physics.airflow import combine_flows, driven_flow, leakage_flow
from vanclimate.physics.comfort import awake_heat, sleeping_heat
from vanclimate.physics.longwave import radiative_coefficient
from vanclimate.physics.moisture import people_water
from vanclimate.physics.opening_flow import TWO_WAY_DISCHARGE, door_flow, two_way_flow
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate.films import Array
from vanclimate.simulate.inputs import Cabin, Outside, Schedule
from vanclimate.simulate.jit import part_of_loop


@part_of_loop
def exchange_air(
    zones: Array, cabin: Cabin, outside: Outside, plan: Schedule, air: Array, q: Array,
    wind: float, served: float, s: int,
) -> None:  # fmt: skip
    """Set each zone's exchange with outdoors and with the living space.

    ``air`` [°C] is taken ahead, ``served`` is 1 while the fans have power.
    """
    outdoor = q[at.T_OUT]
    heat = CP_AIR + CP_VAPOUR * q[at.W_OUT]
    outdoor_density = density(outdoor, q[at.W_OUT], outside.pressure)
    for z in range(len(air)):
        difference = air[z] - outdoor
        leak = leakage_flow(cabin.leakage[z], difference, wind, cabin.stack, cabin.shelter)
        opened = driven_flow(
            difference, wind, plan.by_stack[s, z], plan.by_wind[s, z], plan.in_calm[s, z]
        )
        zones[of.FLOW, z] = combine_flows(
            leak + opened,
            served * plan.fan_flow[s, z] + zones[of.INDUCED, z],
            served * plan.fan_balanced[s, z],
        )
        if z == 0 and plan.door_rate[s] > 0.0:
            door = cabin.door
            through = driven_flow(difference, wind, door.by_stack, door.by_wind, door.in_calm)
            volume = cabin.air_mass[0] / outdoor_density
            zones[of.FLOW, z] += door_flow(through, plan.door_rate[s], cabin.door_seconds, volume)
        zones[of.MASS_FLOW, z] = zones[of.FLOW, z] * outdoor_density
        zones[of.VENTILATION, z] = zones[of.MASS_FLOW, z] * heat
        zones[of.BETWEEN_RADIANT, z] = 0.0
        if z > 0:
            passage(zones, cabin, plan, s, z)
        zones[of.BETWEEN_MASS, z] = zones[of.BETWEEN_FLOW, z] * outdoor_density
        zones[of.BETWEEN, z] = zones[of.BETWEEN_MASS, z] * heat


@part_of_loop
def passage(zones: Array, cabin: Cabin, plan: Schedule, s: int, z: int) -> None:
    """Set the two-way flow through a passage, and the radiation through it while it is open.

    It follows the temperatures at the step's start: a strong flow that followed their trend would
    even them out and overshoot, step after step. Where the rooms settle within a step, heat fixes
    flow times difference, while the flow goes by the difference's root: one that is too small by a
    tenth makes the next one too large by a twentieth. So an open passage takes a third of the last
    step's flow: 1/3 of a tenth less 2/3 of a twentieth is nothing.
    """
    air, star = zones[of.AIR], zones[of.STAR]
    flow = leakage_flow(cabin.passage_leak[z], air[z] - air[0], 0.0, cabin.stack, cabin.shelter)
    if plan.passage_open[s, z] > 0.0:
        opening = cabin.passage_opening[z]
        flow += two_way_flow(TWO_WAY_DISCHARGE * opening, cabin.passage_height[z], air[z], air[0])
        flow = (2.0 * flow + zones[of.BETWEEN_FLOW, z]) / 3.0
        zones[of.BETWEEN_RADIANT, z] = opening * radiative_coefficient(star[0], star[z], 1.0)
    zones[of.BETWEEN_FLOW, z] = flow


@part_of_loop
def people(zones: Array, plan: Schedule, cabin: Cabin, s: int) -> None:
    """Set the people's sensible heat [W] and water [kg/s] in each zone."""
    for z in range(zones.shape[1]):
        zones[of.PEOPLE, z], zones[of.BREATH, z] = 0.0, 0.0
        if plan.asleep[s, z] + plan.awake[s, z] > 0.0:
            asleep, asleep_latent = sleeping_heat(zones[of.AIR, z], cabin.sleeping)
            awake, awake_latent = awake_heat(zones[of.AIR, z], cabin.awake)
            zones[of.PEOPLE, z] = plan.asleep[s, z] * asleep + plan.awake[s, z] * awake
            latent = plan.asleep[s, z] * asleep_latent + plan.awake[s, z] * awake_latent
            zones[of.BREATH, z] = people_water(latent)
