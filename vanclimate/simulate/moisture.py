"""One step of the water: each zone's air, its linings, the coil and the films on the inside faces.

A zone's humidity obeys dW/dt = a − bW with coefficients frozen over the step; its exact solution
never goes below zero. What zones and linings give each other is taken at their means over the
step, found by repetition, and the ends follow from the means: so the balance closes. A wet face or
coil gives back no more than it holds. Below freezing the same film is frost.
"""

from __future__ import annotations

from math import expm1

from numba.extending import register_jitable

from vanclimate.network.compile import Network
from vanclimate.physics.air import saturation_humidity_ratio
from vanclimate.physics.moisture import mass_transfer_coefficient
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.films import Array, Films
from vanclimate.simulate.inputs import Cabin
from vanclimate.simulate.jit import part_of_loop

SETTLED = 1e-9  # kg/kg between two repetitions: a millionth of what air holds; the books close
# whatever it is, for the ends follow from the means
MOST_REPEATS = 60


@part_of_loop
def wet_places(
    net: Network, films: Films, node: Array, water: Array, zones: Array, pressure: float
) -> None:
    """Set contact and saturation of every inside face that is wet or below the dew point.

    The coldest face alone is tried first: while it stays dry and nothing is wet, all stay dry.
    """
    n = len(net.area)
    coldest = 1e9
    any_wet = False
    for k in range(n):
        water[wet.CONTACT, k] = 0.0
        coldest = min(coldest, node[net.first[k + 1] - 1])
        any_wet = any_wet or water[wet.FILM, k] > 0.0
    wettest = 0.0
    for z in range(zones.shape[1]):
        wettest = max(wettest, zones[of.HUMIDITY, z])
    if not any_wet and wettest <= saturation_humidity_ratio(coldest, pressure):
        return
    for k in range(n):
        sat = saturation_humidity_ratio(node[net.first[k + 1] - 1], pressure)
        if zones[of.HUMIDITY, net.zone[k]] > sat or water[wet.FILM, k] > 0.0:
            water[wet.SATURATION, k] = sat
            water[wet.CONTACT, k] = mass_transfer_coefficient(films.in_convective[k])


@part_of_loop
def buffers(zones: Array, cabin: Cabin, pressure: float) -> None:
    """Set what each zone's linings are in equilibrium with: their own temperature is the star's."""
    for z in range(zones.shape[1]):
        if cabin.buffer[z] > 0.0:
            zones[of.BUFFER_SLOPE, z] = (
                saturation_humidity_ratio(zones[of.STAR, z], pressure) / cabin.buffer[z]
            )


@part_of_loop
def sum_places(net: Network, zones: Array, water: Array, h: float) -> None:
    """Sum by zone what the wet places bring in and take."""
    n = len(net.area)
    for z in range(zones.shape[1]):
        zones[of.PLACE_GAIN, z] = 0.0
        zones[of.PLACE_EXCHANGE, z] = 0.0
    for j in range(n + 1):
        if water[wet.CONTACT, j] > 0.0:
            z = net.zone[j] if j < n else 0
            if water[wet.DRYING, j] > 0.0:
                zones[of.PLACE_GAIN, z] += water[wet.FILM, j] / h
            else:
                zones[of.PLACE_GAIN, z] += water[wet.CONTACT, j] * water[wet.SATURATION, j]
                zones[of.PLACE_EXCHANGE, z] += water[wet.CONTACT, j]


@register_jitable
def decay(start: float, a: float, b: float, mass: float, h: float) -> float:
    """Return the mean over ``h`` of the solution of mass dW/dt = a − bW."""
    x = b * h / mass
    if x < 1e-9:
        return start + 0.5 * (a - b * start) * h / mass
    rest = a / b
    return rest - (start - rest) * expm1(-x) / x


@part_of_loop
def zone_means(zones: Array, cabin: Cabin, water: Array, outdoor: float, h: float) -> float:
    """Take every zone's mean humidity once more from the others'; return the largest change."""
    change = 0.0
    for z in range(zones.shape[1]):
        a = zones[of.MASS_FLOW, z] * outdoor + zones[of.WATER_GAIN, z] + zones[of.PLACE_GAIN, z]
        b = zones[of.MASS_FLOW, z] + zones[of.PLACE_EXCHANGE, z]
        if cabin.buffer[z] > 0.0:
            g = cabin.buffer_exchange[z]
            slope = zones[of.BUFFER_SLOPE, z]
            zones[of.BUFFER_MEAN, z] = decay(
                slope * zones[of.BUFFER, z], g * zones[of.HUMIDITY_MEAN, z], g, 1.0 / slope, h
            )
            a += g * zones[of.BUFFER_MEAN, z]
            b += g
        if z == 0:
            for y in range(1, zones.shape[1]):
                a += zones[of.BETWEEN_MASS, y] * zones[of.HUMIDITY_MEAN, y]
                b += zones[of.BETWEEN_MASS, y]
        else:
            a += zones[of.BETWEEN_MASS, z] * zones[of.HUMIDITY_MEAN, 0]
            b += zones[of.BETWEEN_MASS, z]
        mean = decay(zones[of.HUMIDITY, z], a, b, cabin.air_mass[z], h)
        change = max(change, abs(mean - zones[of.HUMIDITY_MEAN, z]))
        zones[of.HUMIDITY_MEAN, z] = mean
    return change


@part_of_loop
def place_rates(net: Network, zones: Array, water: Array, h: float) -> bool:
    """Set the wet places' rates from the means; return whether one of them runs dry."""
    n = len(net.area)
    again = False
    for j in range(n + 1):
        water[wet.RATE, j] = 0.0
        if water[wet.CONTACT, j] > 0.0:
            if water[wet.DRYING, j] > 0.0:
                water[wet.RATE, j] = -water[wet.FILM, j] / h
            else:
                z = net.zone[j] if j < n else 0
                wetter = zones[of.HUMIDITY_MEAN, z] - water[wet.SATURATION, j]
                water[wet.RATE, j] = water[wet.CONTACT, j] * wetter
                if water[wet.FILM, j] + water[wet.RATE, j] * h < 0.0:
                    water[wet.DRYING, j] = 1.0
                    again = True
    return again


@part_of_loop
def close_zones(
    net: Network, zones: Array, cabin: Cabin, water: Array, outdoor: float, h: float
) -> None:
    """Set each zone's humidity at the end, and its buffer's rate, from the means."""
    n = len(net.area)
    for z in range(zones.shape[1]):
        mean = zones[of.HUMIDITY_MEAN, z]
        zones[of.BUFFER_RATE, z] = 0.0
        if cabin.buffer[z] > 0.0:
            zones[of.BUFFER_RATE, z] = cabin.buffer_exchange[z] * (mean - zones[of.BUFFER_MEAN, z])
        flow = zones[of.MASS_FLOW, z] * (outdoor - mean)
        flow += zones[of.WATER_GAIN, z] - zones[of.BUFFER_RATE, z]
        if z == 0:
            for y in range(1, zones.shape[1]):
                flow += zones[of.BETWEEN_MASS, y] * (zones[of.HUMIDITY_MEAN, y] - mean)
        else:
            flow += zones[of.BETWEEN_MASS, z] * (zones[of.HUMIDITY_MEAN, 0] - mean)
        for j in range(n + 1):
            if water[wet.CONTACT, j] > 0.0 and (net.zone[j] if j < n else 0) == z:
                flow -= water[wet.RATE, j]
        zones[of.HUMIDITY_END, z] = zones[of.HUMIDITY, z] + h * flow / cabin.air_mass[z]


@part_of_loop
def humidity_step(
    net: Network, zones: Array, cabin: Cabin, water: Array, outdoor: float, h: float
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
    coupled = zones.shape[1] > 1
    for z in range(zones.shape[1]):
        zones[of.HUMIDITY_MEAN, z] = zones[of.HUMIDITY, z]
        coupled = coupled or cabin.buffer[z] > 0.0
    for j in range(water.shape[1]):
        water[wet.DRYING, j] = 0.0
    for _ in range(water.shape[1] + 1):  # a pass can only move places to 'drying', so this ends
        sum_places(net, zones, water, h)
        for _ in range(MOST_REPEATS):
            if zone_means(zones, cabin, water, outdoor, h) < SETTLED or not coupled:
                break
        if not place_rates(net, zones, water, h):
            break
    close_zones(net, zones, cabin, water, outdoor, h)
