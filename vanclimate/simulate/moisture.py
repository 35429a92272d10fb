"""One step of the cabin's water: air, coil and the films on the inside faces.

The air's humidity obeys dW/dt = a − bW with coefficients frozen over the step; its exact solution
never goes below zero and its mean closes the balance. A wet face or coil gives back no more than
it holds.
"""

from __future__ import annotations

from math import exp, expm1
from typing import NamedTuple

from numba.extending import register_jitable

from vanclimate.network.compile import Network
from vanclimate.physics.air import saturation_humidity_ratio
from vanclimate.physics.moisture import mass_transfer_coefficient
from vanclimate.simulate.thermal import Array, Films


class Water(NamedTuple):
    """Scratch arrays of the water balance; the coil is the last of the wet places."""

    film: Array  # (chains + 1,) kg held; the coil's share is what lies on it
    contact: Array  # (chains + 1,) kg/s of air in contact, 0 where a place takes no part
    saturation: Array  # (chains + 1,) kg/kg at the place
    rate: Array  # (chains + 1,) kg/s from the air to the place, mean over the step
    drying: Array  # (chains + 1,) 1 where the place gives up all it holds within the step


@register_jitable
def wet_places(
    net: Network, films: Films, node: Array, water: Water, humidity: float, pressure: float
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
    if not wet and humidity <= saturation_humidity_ratio(coldest, pressure):
        return
    for k in range(n):
        sat = saturation_humidity_ratio(node[net.first[k + 1] - 1], pressure)
        if humidity > sat or water.film[k] > 0.0:
            water.saturation[k] = sat
            water.contact[k] = mass_transfer_coefficient(films.in_convective[k])


@register_jitable
def humidity_step(
    water: Water, humidity: float, air_mass: float, ventilation: float, outdoor: float,
    gain: float, h: float,
) -> tuple[float, float]:  # fmt: skip
    """Return the humidity ratio at the step's end and its mean; set ``water.rate``.

    Parameters
    ----------
    humidity, outdoor : float
        [kg/kg] at the start, and of the air brought in.
    air_mass, ventilation, gain : float
        Dry air [kg], its exchange [kg/s], water from people and loads [kg/s].
    h : float
        [s].
    """
    n = len(water.film)
    for j in range(n):
        water.drying[j] = 0.0
    end = humidity
    mean = humidity
    for _ in range(n + 1):  # each pass can only move places to 'drying', so this ends
        a = ventilation * outdoor + gain
        b = ventilation
        for j in range(n):
            if water.contact[j] > 0.0:
                if water.drying[j] > 0.0:
                    a += water.film[j] / h
                else:
                    a += water.contact[j] * water.saturation[j]
                    b += water.contact[j]
        x = b * h / air_mass
        if x < 1e-12:
            end = humidity + a * h / air_mass
            mean = 0.5 * (humidity + end)
        else:
            rest = a / b
            end = rest + (humidity - rest) * exp(-x)
            mean = rest - (humidity - rest) * expm1(-x) / x
        again = False
        for j in range(n):
            water.rate[j] = 0.0
            if water.contact[j] > 0.0:
                if water.drying[j] > 0.0:
                    water.rate[j] = -water.film[j] / h
                else:
                    water.rate[j] = water.contact[j] * (mean - water.saturation[j])
                    if water.film[j] + water.rate[j] * h < 0.0:
                        water.drying[j] = 1.0
                        again = True
        if not again:
            break
    return end, mean
