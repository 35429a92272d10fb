"""One step of the water: each zone's air, its linings, the coil and the films on the inside faces.

A zone's humidity obeys dW/dt = a − bW with coefficients frozen over the step; its exact solution
never goes below zero. What zones and linings give each other is taken at their means over the
step, solved for together, and the ends follow from the means: so the balance closes. A wet face or
coil gives back no more than it holds. A film freezes and melts as its face passes 0 °C.
"""

from __future__ import annotations

from math import expm1

from numba.extending import register_jitable

from vanclimate.equipment.air_conditioner import LATENT_HEAT
from vanclimate.network.compile import Integers
from vanclimate.physics.air import HFG0, HSG0, saturation_humidity_ratio, saturation_slope
from vanclimate.physics.moisture import mass_transfer_coefficient
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.films import Array, Films
from vanclimate.simulate.inputs import Cabin
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.lanes import Lanes

MELTING_HEAT = HSG0 - HFG0  # J/kg


@part_of_loop
def wet_places(
    net: Lanes, films: Films, node: Array, water: Array, active: Integers, zones: Array,
    pressure: float,
) -> None:  # fmt: skip
    """List the places that take part: inside faces wet or below the dew point, and a cold coil.

    The coldest face alone is tried first: while it stays dry and nothing is wet, all stay dry.
    """
    n = len(net.area)
    any_wet = False
    coldest = node[0]
    for k in range(n):
        coldest = min(coldest, node[k])
    wettest = 0.0
    for z in range(zones.shape[1]):
        wettest = max(wettest, zones[of.HUMIDITY, z])
    was = active[-1]
    for a in range(was):
        any_wet = any_wet or (active[a] < n and water[wet.FILM, active[a]] > 0.0)
        water[wet.BEFORE, active[a]] = water[wet.RATE, active[a]]
        water[wet.FROZE_BEFORE, active[a]] = water[wet.FREEZING, active[a]]
        water[wet.RATE, active[a]] = 0.0
    active[-1] = 0
    if any_wet or wettest > saturation_humidity_ratio(coldest, pressure):
        for k in range(n):
            saturation = saturation_humidity_ratio(node[k], pressure)
            if zones[of.HUMIDITY, net.zone[k]] > saturation or water[wet.FILM, k] > 0.0:
                water[wet.SATURATION, k] = saturation
                water[wet.CONTACT, k] = mass_transfer_coefficient(films.in_convective[k])
                water[wet.ZONE, k] = net.zone[k]
                active[active[-1]] = k
                active[-1] += 1
            else:
                water[wet.BEFORE, k], water[wet.FROZE_BEFORE, k] = 0.0, 0.0
    elif was > 0:
        for k in range(n):
            water[wet.BEFORE, k], water[wet.FROZE_BEFORE, k] = 0.0, 0.0
    if water[wet.CONTACT, n] > 0.0:
        active[active[-1]] = n
        active[-1] += 1


@part_of_loop
def damp_places(
    net: Lanes, inverse: Array, node: Array, water: Array, active: Integers, gh: float
) -> None:
    """Take into the rates that a face's own latent heat moves its saturation.

    A light face behind insulation follows its latent heat at once. Were that of one step to fix the
    next one's rate, the two would swing further from step to step. So with r the face's answer
    [K/W] to heat, L latent heat, s the slope of saturation and β the air in contact:
    rate = β (W − W_sat − s r L (rate − rate before)), which is solved for the rate. At rest the two
    rates are one, and nothing is changed.

    Parameters
    ----------
    inverse : (nodes,) of the factorised step; times ``gh`` [s] it is r over one stage, air and star
        held: less than over the step where the face's own heat capacity leads, which still damps
    node : (nodes,) °C at the step's start
    water, active : see ``wet_place``; what the place would be at is held at dry air, so that no
        humidity can fall below nothing
    """
    for a in range(active[-1]):
        j = active[a]
        water[wet.DAMPED, j], water[wet.MET, j] = water[wet.CONTACT, j], water[wet.SATURATION, j]
        if j < len(net.area):
            moved = vapour_heat(water, j, node[j]) * gh * inverse[j]
            moved *= saturation_slope(node[j], water[wet.SATURATION, j])
            water[wet.DAMPED, j] /= 1.0 + water[wet.CONTACT, j] * moved
            met = water[wet.SATURATION, j] - moved * water[wet.BEFORE, j]
            water[wet.MET, j] = max(0.0, met)


@part_of_loop
def freeze_places(
    net: Lanes, inverse: Array, node: Array, water: Array, active: Integers, h: float, gh: float
) -> None:
    """Set how much of each face's film freezes or melts: what brings the face to 0 °C, at the most.

    Over the step a face of heat capacity C, tied to its surroundings by G, answers heat with
    h / (C + hG) [K/W]; ``inverse`` holds 1 / (C + γhG). It is where it is by what froze before.
    """
    for a in range(active[-1]):
        j = active[a]
        if j < len(net.area):
            tied = (1.0 / inverse[j] - net.capacity[j]) / gh
            more = -node[j] * (net.capacity[j] / h + tied) / MELTING_HEAT
            ice, film = water[wet.FROST, j], water[wet.FILM, j]
            rate = max(-ice / h, water[wet.FROZE_BEFORE, j] + more)
            water[wet.FREEZING, j] = min((film - ice) / h, rate)


@register_jitable
def is_ice(water: Array, j: int, temp: float) -> bool:
    """Whether vapour meets ice at place ``j``: it is below 0 °C, or nothing there has melted."""
    ice = water[wet.FROST, j]
    return temp < 0.0 or (ice > 0.0 and ice >= water[wet.FILM, j])


@register_jitable
def vapour_heat(water: Array, j: int, temp: float) -> float:
    """Return the heat [J/kg] that vapour gives place ``j`` where it settles."""
    return HSG0 if is_ice(water, j, temp) else LATENT_HEAT


@part_of_loop
def latent_heats(net: Lanes, node: Array, water: Array, active: Integers, latent: Array) -> None:
    """Write the heat [W] that water brings each face as it condenses, dries, freezes and melts."""
    for k in range(len(latent)):
        latent[k] = 0.0
    for a in range(active[-1]):
        j = active[a]
        if j < len(net.area):
            latent[j] = water[wet.RATE, j] * vapour_heat(water, j, node[j])
            latent[j] += water[wet.FREEZING, j] * MELTING_HEAT


@part_of_loop
def buffers(zones: Array, cabin: Cabin, pressure: float) -> None:
    """Set what each zone's linings are in equilibrium with: their own temperature is the star's."""
    for z in range(zones.shape[1]):
        if cabin.buffer[z] > 0.0:
            zones[of.BUFFER_SLOPE, z] = (
                saturation_humidity_ratio(zones[of.STAR, z], pressure) / cabin.buffer[z]
            )


@part_of_loop
def sum_places(zones: Array, water: Array, active: Integers, h: float) -> None:
    """Sum by zone what the wet places bring in and take."""
    for z in range(zones.shape[1]):
        zones[of.PLACE_GAIN, z] = 0.0
        zones[of.PLACE_EXCHANGE, z] = 0.0
    for a in range(active[-1]):
        j = active[a]
        z = int(water[wet.ZONE, j])
        if water[wet.DRYING, j] > 0.0:
            zones[of.PLACE_GAIN, z] += water[wet.FILM, j] / h
        else:
            zones[of.PLACE_GAIN, z] += water[wet.DAMPED, j] * water[wet.MET, j]
            zones[of.PLACE_EXCHANGE, z] += water[wet.DAMPED, j]


@register_jitable
def share_of_mean(b: float, mass: float, h: float) -> float:
    """Return κ [s/kg] of a mean over ``h`` seconds.

    The solution of mass dW/dt = a − bW has the mean W₀ + (a − b W₀) κ, with
    κ = (1 − (1 − e⁻ˣ)/x) / b and x = bh/mass.
    """
    x = b * h / mass
    if x < 1e-5:  # where the difference would be lost in rounding
        return 0.5 * h / mass * (1.0 - x / 3.0)
    return (1.0 + expm1(-x) / x) / b


@part_of_loop
def zone_means(zones: Array, cabin: Cabin, outdoor: float, h: float) -> None:
    """Solve for the zones' mean humidities and their linings'.

    The means of air, linings and the living space stand in each other's right-hand sides, all
    linear: linings are taken into their zone, zones into the living space.
    """
    brought, returned = 0.0, 0.0  # by the other zones: of their own, and of the living space's
    for z in range(zones.shape[1] - 1, -1, -1):
        start, between = zones[of.HUMIDITY, z], zones[of.BETWEEN_MASS, z]
        a = zones[of.MASS_FLOW, z] * outdoor + zones[of.WATER_GAIN, z] + zones[of.PLACE_GAIN, z]
        b = zones[of.MASS_FLOW, z] + zones[of.PLACE_EXCHANGE, z] + between
        own = 0.0
        if cabin.buffer[z] > 0.0:
            g, slope = cabin.buffer_exchange[z], zones[of.BUFFER_SLOPE, z]
            held = slope * zones[of.BUFFER, z]
            share = g * share_of_mean(g, 1.0 / slope, h)
            zones[of.BUFFER_SHARE, z] = share
            a += g * (1.0 - share) * held
            b += g
            own = g * share
        if z == 0:
            for y in range(1, zones.shape[1]):
                b += zones[of.BETWEEN_MASS, y]
            a += brought
            own += returned
        kappa = share_of_mean(b, cabin.air_mass[z], h)
        rest = 1.0 - kappa * own
        zones[of.HUMIDITY_MEAN, z] = (start + (a - b * start) * kappa) / rest
        zones[of.FROM_LIVING, z] = kappa * between / rest
        brought += between * zones[of.HUMIDITY_MEAN, z]
        returned += between * zones[of.FROM_LIVING, z]
    for z in range(1, zones.shape[1]):
        zones[of.HUMIDITY_MEAN, z] += zones[of.FROM_LIVING, z] * zones[of.HUMIDITY_MEAN, 0]


@part_of_loop
def place_rates(zones: Array, water: Array, active: Integers, h: float) -> bool:
    """Set the wet places' rates from the means; return whether one of them runs dry."""
    again = False
    for a in range(active[-1]):
        j = active[a]
        if water[wet.DRYING, j] > 0.0:
            water[wet.RATE, j] = -water[wet.FILM, j] / h
        else:
            wetter = zones[of.HUMIDITY_MEAN, int(water[wet.ZONE, j])] - water[wet.MET, j]
            water[wet.RATE, j] = water[wet.DAMPED, j] * wetter
            if water[wet.FILM, j] + water[wet.RATE, j] * h < 0.0:
                water[wet.DRYING, j] = 1.0
                again = True
    return again


@part_of_loop
def close_zones(
    zones: Array, cabin: Cabin, water: Array, active: Integers, outdoor: float, h: float
) -> None:
    """Set each zone's humidity at the end, and its buffer's rate, from the means."""
    for z in range(zones.shape[1]):
        mean = zones[of.HUMIDITY_MEAN, z]
        zones[of.BUFFER_RATE, z] = 0.0
        if cabin.buffer[z] > 0.0:
            held = zones[of.BUFFER_SLOPE, z] * zones[of.BUFFER, z]
            buffered = held + zones[of.BUFFER_SHARE, z] * (mean - held)
            zones[of.BUFFER_RATE, z] = cabin.buffer_exchange[z] * (mean - buffered)
        flow = zones[of.MASS_FLOW, z] * (outdoor - mean)
        flow += zones[of.WATER_GAIN, z] - zones[of.BUFFER_RATE, z]
        if z == 0:
            for y in range(1, zones.shape[1]):
                flow += zones[of.BETWEEN_MASS, y] * (zones[of.HUMIDITY_MEAN, y] - mean)
        else:
            flow += zones[of.BETWEEN_MASS, z] * (zones[of.HUMIDITY_MEAN, 0] - mean)
        zones[of.HUMIDITY_END, z] = zones[of.HUMIDITY, z] + h * flow / cabin.air_mass[z]
    for a in range(active[-1]):
        z = int(water[wet.ZONE, active[a]])
        zones[of.HUMIDITY_END, z] -= h * water[wet.RATE, active[a]] / cabin.air_mass[z]


@part_of_loop
def humidity_step(
    zones: Array, cabin: Cabin, water: Array, active: Integers, outdoor: float, h: float
) -> None:
    """Set each zone's humidity at the step's end and its mean, and all rates.

    Parameters
    ----------
    zones : Array
        With the step's flows and water, see ``of_zone``.
    outdoor : float
        [kg/kg] of the air brought in.
    h : float
        [s].
    """
    for a in range(active[-1]):
        water[wet.DRYING, active[a]] = 0.0
    for _ in range(active[-1] + 1):  # a pass can only move places to 'drying', so this ends
        sum_places(zones, water, active, h)
        zone_means(zones, cabin, outdoor, h)
        if not place_rates(zones, water, active, h):
            break
    close_zones(zones, cabin, water, active, outdoor, h)
