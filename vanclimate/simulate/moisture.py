"""One step of the water: each zone's air, its linings, the coil and the films on the inside faces.

A zone's humidity obeys dW/dt = a − bW with coefficients frozen over the step; its exact solution
never goes below zero. What zones and linings give each other is taken at their means over the
step, found by repetition, and the ends follow from the means: so the balance closes. A wet face or
coil gives back no more than it holds. Below freezing the same film is frost.
"""

from __future__ import annotations

from math import expm1
from typing import NamedTuple

from numba.extending import register_jitable

from vanclimate.network.compile import Network
from vanclimate.physics.air import saturation_humidity_ratio
from vanclimate.physics.moisture import mass_transfer_coefficient
from vanclimate.simulate.inputs import Cabin
from vanclimate.simulate.state import Zones
from vanclimate.simulate.thermal import Array, Films

SETTLED = 1e-13  # kg/kg between two repetitions
MOST_REPEATS = 60


class Water(NamedTuple):
    """Scratch arrays of the water balance; the coil is the last of the wet places."""

    film: Array  # (chains + 1,) kg held; the coil's share is what lies on it
    contact: Array  # (chains + 1,) kg/s of air in contact, 0 where a place takes no part
    saturation: Array  # (chains + 1,) kg/kg at the place
    rate: Array  # (chains + 1,) kg/s from the air to the place, mean over the step
    drying: Array  # (chains + 1,) 1 where the place gives up all it holds within the step
    gain: Array  # (zones,) kg/s that wet places bring in whatever the humidity
    exchange: Array  # (zones,) kg/s of air in contact with wet places


@register_jitable
def wet_places(
    net: Network, films: Films, node: Array, water: Water, humidity: Array, pressure: float
) -> None:
    """Set contact and saturation of every inside face that is wet or below the dew point.

    The coldest face alone is tried first: while it stays dry and nothing is wet, all stay dry.
    """
    n = len(net.area)
    coldest = 1e9
    wet = False
    for k in range(n):
        water.contact[k] = 0.0
        coldest = min(coldest, node[net.first[k + 1] - 1])
        wet = wet or water.film[k] > 0.0
    wettest = 0.0
    for z in range(len(humidity)):
        wettest = max(wettest, humidity[z])
    if not wet and wettest <= saturation_humidity_ratio(coldest, pressure):
        return
    for k in range(n):
        sat = saturation_humidity_ratio(node[net.first[k + 1] - 1], pressure)
        if humidity[net.zone[k]] > sat or water.film[k] > 0.0:
            water.saturation[k] = sat
            water.contact[k] = mass_transfer_coefficient(films.in_convective[k])


@register_jitable
def buffers(zones: Zones, cabin: Cabin, pressure: float) -> None:
    """Set what each zone's linings are in equilibrium with: their own temperature is the star's."""
    for z in range(len(zones.buffer)):
        if cabin.buffer[z] > 0.0:
            zones.buffer_slope[z] = (
                saturation_humidity_ratio(zones.star[z], pressure) / cabin.buffer[z]
            )


@register_jitable
def sum_places(net: Network, water: Water, h: float) -> None:
    """Sum by zone what the wet places bring in and take."""
    n = len(net.area)
    for z in range(len(water.gain)):
        water.gain[z] = 0.0
        water.exchange[z] = 0.0
    for j in range(n + 1):
        if water.contact[j] > 0.0:
            z = net.zone[j] if j < n else 0
            if water.drying[j] > 0.0:
                water.gain[z] += water.film[j] / h
            else:
                water.gain[z] += water.contact[j] * water.saturation[j]
                water.exchange[z] += water.contact[j]


@register_jitable
def decay(start: float, a: float, b: float, mass: float, h: float) -> float:
    """Return the mean over ``h`` of the solution of mass dW/dt = a − bW."""
    x = b * h / mass
    if x < 1e-9:
        return start + 0.5 * (a - b * start) * h / mass
    rest = a / b
    return rest - (start - rest) * expm1(-x) / x


@register_jitable
def zone_means(zones: Zones, cabin: Cabin, water: Water, outdoor: float, h: float) -> float:
    """Take every zone's mean humidity once more from the others'; return the largest change."""
    change = 0.0
    for z in range(len(zones.humidity)):
        a = zones.mass_flow[z] * outdoor + zones.water_gain[z] + water.gain[z]
        b = zones.mass_flow[z] + water.exchange[z]
        if cabin.buffer[z] > 0.0:
            g = cabin.buffer_exchange[z]
            slope = zones.buffer_slope[z]
            zones.buffer_mean[z] = decay(
                slope * zones.buffer[z], g * zones.humidity_mean[z], g, 1.0 / slope, h
            )
            a += g * zones.buffer_mean[z]
            b += g
        if z == 0:
            for y in range(1, len(zones.humidity)):
                a += zones.between_mass[y] * zones.humidity_mean[y]
                b += zones.between_mass[y]
        else:
            a += zones.between_mass[z] * zones.humidity_mean[0]
            b += zones.between_mass[z]
        mean = decay(zones.humidity[z], a, b, cabin.air_mass[z], h)
        change = max(change, abs(mean - zones.humidity_mean[z]))
        zones.humidity_mean[z] = mean
    return change


@register_jitable
def place_rates(net: Network, zones: Zones, water: Water, h: float) -> bool:
    """Set the wet places' rates from the means; return whether one of them runs dry."""
    n = len(net.area)
    again = False
    for j in range(n + 1):
        water.rate[j] = 0.0
        if water.contact[j] > 0.0:
            if water.drying[j] > 0.0:
                water.rate[j] = -water.film[j] / h
            else:
                z = net.zone[j] if j < n else 0
                water.rate[j] = water.contact[j] * (zones.humidity_mean[z] - water.saturation[j])
                if water.film[j] + water.rate[j] * h < 0.0:
                    water.drying[j] = 1.0
                    again = True
    return again


@register_jitable
def close_zones(
    net: Network, zones: Zones, cabin: Cabin, water: Water, outdoor: float, h: float
) -> None:
    """Set each zone's humidity at the end, and its buffer's rate, from the means."""
    n = len(net.area)
    for z in range(len(zones.humidity)):
        mean = zones.humidity_mean[z]
        zones.buffer_rate[z] = 0.0
        if cabin.buffer[z] > 0.0:
            zones.buffer_rate[z] = cabin.buffer_exchange[z] * (mean - zones.buffer_mean[z])
        flow = zones.mass_flow[z] * (outdoor - mean) + zones.water_gain[z] - zones.buffer_rate[z]
        if z == 0:
            for y in range(1, len(zones.humidity)):
                flow += zones.between_mass[y] * (zones.humidity_mean[y] - mean)
        else:
            flow += zones.between_mass[z] * (zones.humidity_mean[0] - mean)
        for j in range(n + 1):
            if water.contact[j] > 0.0 and (net.zone[j] if j < n else 0) == z:
                flow -= water.rate[j]
        zones.humidity_end[z] = zones.humidity[z] + h * flow / cabin.air_mass[z]


@register_jitable
def humidity_step(
    net: Network, zones: Zones, cabin: Cabin, water: Water, outdoor: float, h: float
) -> None:
    """Set each zone's humidity at the step's end and its mean, and all rates.

    Parameters
    ----------
    zones : Zones
        With ``mass_flow`` of outdoor air, ``between_mass`` and ``water_gain`` of the step.
    outdoor : float
        [kg/kg] of the air brought in.
    h : float
        [s].
    """
    coupled = len(zones.humidity) > 1
    for z in range(len(zones.humidity)):
        zones.humidity_mean[z] = zones.humidity[z]
        coupled = coupled or cabin.buffer[z] > 0.0
    for j in range(len(water.film)):
        water.drying[j] = 0.0
    for _ in range(len(water.film) + 1):  # a pass can only move places to 'drying', so this ends
        sum_places(net, water, h)
        for _ in range(MOST_REPEATS):
            if zone_means(zones, cabin, water, outdoor, h) < SETTLED or not coupled:
                break
        if not place_rates(net, zones, water, h):
            break
    close_zones(net, zones, cabin, water, outdoor, h)
