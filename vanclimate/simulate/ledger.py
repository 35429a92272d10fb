"""Book-keeping of the loop: sums over a row, and its end values."""

from __future__ import annotations

from numba.extending import register_jitable

from vanclimate.equipment.air_conditioner import COIL_HOLDS, LATENT_HEAT
from vanclimate.network.compile import OUT_FIXED, Network
from vanclimate.simulate import columns as col
from vanclimate.simulate import state as at
from vanclimate.simulate.inputs import Schedule
from vanclimate.simulate.moisture import Water
from vanclimate.simulate.thermal import GAMMA, Array, Weather, Work


@register_jitable
def account_heat(
    acc: Array, faces: Array, net: Network, work: Work, weather: Weather, sun: Array, q: Array
) -> None:
    """Add the step's heat [J] by path, weighted as the scheme weights its stages."""
    h = q[at.H]
    films = work.films
    for i in range(len(sun)):
        acc[col.SUN] += h * sun[i]
    for j in range(2):
        weight = h * (1.0 - GAMMA if j == 0 else GAMMA)
        stage = work.one if j == 0 else work.two
        air, star = stage.zone[0], stage.zone[1]
        outdoor = weather.outdoor[j]
        for k in range(len(net.area)):
            outer = stage.node[net.first[k]]
            inner = stage.node[net.first[k + 1] - 1]
            beyond = net.fixed_temp[k] if net.outside[k] == OUT_FIXED else outdoor
            acc[col.OUTSIDE] += weight * films.out_convective[k] * (beyond - outer)
            acc[col.OUTSIDE] += weight * films.out_radiant[k] * (weather.surroundings[j, k] - outer)
            faces[k] += weight * films.in_convective[k] * (inner - air)
            faces[k] += weight * films.in_radiant[k] * (inner - star)
        acc[col.AIR] += weight * q[at.VENTILATION] * (outdoor - air)
        acc[col.PLANT] += weight * stage.zone[2]
        acc[col.CABIN_MEAN] += weight * air


@register_jitable
def account_water(acc: Array, water: Water, q: Array, gain: float) -> None:
    """Add the step's water [kg], and move what condensed onto faces and coil."""
    h = q[at.H]
    n = len(water.film) - 1
    faces = 0.0
    for k in range(n):
        faces += water.rate[k]
        water.film[k] = max(0.0, water.film[k] + h * water.rate[k])
    held = max(0.0, water.film[n] + h * water.rate[n])
    drain = max(0.0, held - COIL_HOLDS)
    water.film[n] = held - drain
    acc[col.CONDENSATION] += h * faces * LATENT_HEAT
    acc[col.PEOPLE_WATER] += h * q[at.BREATH]
    acc[col.LOAD_WATER] += h * gain
    acc[col.AIR_WATER] += h * q[at.MASS_FLOW] * (q[at.W_OUT] - q[at.W_MEAN])
    acc[col.COIL_RATE] += h * water.rate[n]
    acc[col.FACE_RATE] += h * faces
    acc[col.DRAIN_RATE] += drain
    acc[col.AC_LATENT] += h * water.rate[n] * LATENT_HEAT


@register_jitable
def account_power(acc: Array, v: Array, q: Array, plan: Schedule, s: int, rate: float) -> None:
    """Add the step's electricity and the heat that goes with it."""
    h, served = q[at.H], q[at.SERVED]
    acc[col.PEOPLE] += h * q[at.PEOPLE]
    acc[col.EQUIPMENT] += h * q[at.EQUIPMENT]
    acc[col.AC_SENSIBLE] += h * q[at.AC_SENSIBLE]
    acc[col.AC_POWER] += h * q[at.POWER]
    acc[col.AC_ON] += h * v[at.ON]
    acc[col.STARTS] += q[at.STARTS]
    acc[col.FLOW] += h * q[at.FLOW]
    acc[col.SOLAR] += h * plan.solar[s]
    acc[col.SOLAR_USED] += h * q[at.SOLAR_USED]
    acc[col.DRAW] += h * q[at.DRAW]
    acc[col.COMPRESSOR] += h * (q[at.POWER] - q[at.BLOWER])
    acc[col.BLOWER] += h * q[at.BLOWER]
    acc[col.FRIDGE] += h * q[at.FRIDGE]
    acc[col.FANS] += h * served * plan.fan_power[s]
    acc[col.LOADS] += h * served * (plan.load_dc[s] + plan.load_ac[s])
    acc[col.INVERTER_LOSS] += h * q[at.INVERTER_LOSS]
    acc[col.BATTERY_LOSS] += h * q[at.BANK_LOSS]
    acc[col.CURRENT] += h * q[at.CURRENT]
    acc[col.CHARGE_RATE] += h * rate
    acc[col.UNSERVED] += h * q[at.UNSERVED]
    if plan.ac_share[s] > 0.0:
        acc[col.AC_CUT] += h * v[at.CUT]


@register_jitable
def close_row(
    row: Array, acc: Array, width: float, net: Network, node: Array, v: Array, water: Water,
    air_capacity: float,
) -> None:  # fmt: skip
    """Write a row: means over ``width`` [s], and the values at its end."""
    for j in range(col.N_END, len(acc)):
        row[j] = acc[j] if j == col.STARTS else acc[j] / width
    n = len(water.film) - 1
    film = 0.0
    for k in range(n):
        film += water.film[k]
    stored = air_capacity * v[at.AIR]
    for i in range(len(node)):
        stored += net.capacity[i] * node[i]
    row[col.CABIN_TEMP], row[col.RADIANT_TEMP] = v[at.AIR], v[at.STAR]
    row[col.HUMIDITY], row[col.CHARGE] = v[at.HUMIDITY], v[at.CHARGE]
    row[col.COIL_WATER], row[col.FACE_WATER] = water.film[n], film
    row[col.STORED_HEAT] = stored
