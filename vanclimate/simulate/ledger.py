"""Book-keeping of the loop: sums over a row, and its end values."""

from __future__ import annotations

from vanclimate.equipment.air_conditioner import COIL_HOLDS, LATENT_HEAT
from vanclimate.network.compile import OUT_ZONE, Network
from vanclimate.simulate import columns as col
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.films import Array, beyond_face
from vanclimate.simulate.inputs import Cabin, Schedule, Trace
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.thermal import GAMMA, Weather, Work


@part_of_loop
def account_heat(
    acc: Array, faces: Array, by_zone: Array, net: Network, work: Work, weather: Weather,
    zones: Array, sun: Array, h: float,
) -> None:  # fmt: skip
    """Add the step's heat [J] by path, weighted as the scheme weights its stages."""
    # films and flows are the same in both stages, so heat goes by the weighted temperatures
    films, n, back = work.films, zones.shape[1], 1.0 - GAMMA
    one, two = work.one, work.two
    for i in range(len(sun)):
        acc[col.SUN] += h * sun[i]
    for j in range(2 * n):
        work.mean[j] = back * one.core[j] + GAMMA * two.core[j]
    mean = work.mean
    outdoor = back * weather.outdoor[0] + GAMMA * weather.outdoor[1]
    wet_bulb = back * weather.wet_bulb[0] + GAMMA * weather.wet_bulb[1]
    outside = 0.0
    for k in range(len(net.area)):
        a, b, z = net.first[k], net.first[k + 1] - 1, net.zone[k]
        inner = back * one.node[b] + GAMMA * two.node[b]
        into = films.in_convective[k] * (inner - mean[z])
        faces[k] += h * (into + films.in_radiant[k] * (inner - mean[n + z]))
        if net.outside[k] != OUT_ZONE:
            outer = back * one.node[a] + GAMMA * two.node[a]
            around = back * weather.surroundings[0, k] + GAMMA * weather.surroundings[1, k]
            beyond = beyond_face(net, films, k, outdoor, wet_bulb)
            outside += films.out_convective[k] * (beyond - outer)
            outside += films.out_radiant[k] * (around - outer)
    acc[col.OUTSIDE] += h * outside
    for z in range(n):
        air = h * zones[of.VENTILATION, z] * (outdoor - mean[z])
        acc[col.AIR] += air
        if z == 0:
            acc[col.LIVING_AIR] += air
        through = zones[of.BETWEEN, z] * (mean[z] - mean[0])
        through += zones[of.BETWEEN_RADIANT, z] * (mean[n + z] - mean[n])
        acc[col.PASSAGE] += h * through
        by_zone[z, col.ZONE_MEAN] += h * mean[z]
    acc[col.PLANT] += h * (back * one.core[2 * n] + GAMMA * two.core[2 * n])
    acc[col.CABIN_MEAN] += h * mean[0]


@part_of_loop
def account_water(
    acc: Array, water: Array, zones: Array, latent: Array, q: Array, breath: float
) -> None:
    """Add the step's water [kg], and move what condensed onto faces and coil."""
    h = q[at.H]
    n = water.shape[1] - 1
    faces = 0.0
    for k in range(n):
        faces += water[wet.RATE, k]
        water[wet.FILM, k] = max(0.0, water[wet.FILM, k] + h * water[wet.RATE, k])
        acc[col.CONDENSATION] += h * latent[k]
    held = max(0.0, water[wet.FILM, n] + h * water[wet.RATE, n])
    drain = max(0.0, held - COIL_HOLDS)
    water[wet.FILM, n] = held - drain
    for z in range(zones.shape[1]):
        acc[col.CONDENSATION] += h * zones[of.BUFFER_RATE, z] * LATENT_HEAT
        acc[col.LOAD_WATER] += h * zones[of.WATER_GAIN, z]
        dry = q[at.W_OUT] - zones[of.HUMIDITY_MEAN, z]
        acc[col.AIR_WATER] += h * zones[of.MASS_FLOW, z] * dry
    acc[col.PEOPLE_WATER] += h * breath
    acc[col.LOAD_WATER] -= h * breath
    acc[col.COIL_RATE] += h * water[wet.RATE, n]
    acc[col.FACE_RATE] += h * faces
    acc[col.DRAIN_RATE] += drain
    acc[col.AC_LATENT] += h * water[wet.RATE, n] * LATENT_HEAT


@part_of_loop
def account_gains(acc: Array, by_zone: Array, zones: Array, h: float) -> None:
    """Add the step's heat of people and equipment, and its air."""
    acc[col.FLOW] += h * zones[of.FLOW, 0]
    acc[col.LIVING_PEOPLE] += h * zones[of.PEOPLE, 0]
    acc[col.LIVING_EQUIPMENT] += h * zones[of.EQUIPMENT, 0]
    acc[col.LIVING_LININGS] += h * zones[of.BUFFER_RATE, 0] * LATENT_HEAT
    for z in range(zones.shape[1]):
        acc[col.PEOPLE] += h * zones[of.PEOPLE, z]
        acc[col.EQUIPMENT] += h * zones[of.EQUIPMENT, z]
        by_zone[z, col.ZONE_FLOW] += h * zones[of.FLOW, z]
        by_zone[z, col.ZONE_PASSAGE] += h * zones[of.BETWEEN_FLOW, z]


@part_of_loop
def account_power(acc: Array, v: Array, q: Array, plan: Schedule, s: int, rate: float) -> None:
    """Add the step's electricity."""
    h, served = q[at.H], q[at.SERVED]
    acc[col.AC_SENSIBLE] += h * q[at.AC_SENSIBLE]
    acc[col.AC_POWER] += h * q[at.POWER]
    acc[col.AC_ON] += h * v[at.ON]
    acc[col.STARTS] += q[at.STARTS]
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


@part_of_loop
def close_row(
    trace: Trace, r: int, acc: Array, faces: Array, by_zone: Array, width: float, net: Network,
    node: Array, v: Array, zones: Array, cabin: Cabin, water: Array, air_capacity: Array,
) -> None:  # fmt: skip
    """Write row ``r``: means over ``width`` [s], and the values at its end."""
    row = trace.rows[r]
    for j in range(col.N_END, len(acc)):
        row[j] = acc[j] if j == col.STARTS else acc[j] / width
    n = water.shape[1] - 1
    film, frost = 0.0, 0.0
    for k in range(n):
        trace.faces[r, k] = faces[k] / width
        trace.water[r, k] = water[wet.FILM, k]
        film += water[wet.FILM, k]
        if node[net.first[k + 1] - 1] < 0.0:
            frost += water[wet.FILM, k]
    stored, held, buffer = 0.0, 0.0, 0.0
    for z in range(zones.shape[1]):
        stored += air_capacity[z] * zones[of.AIR, z]
        held += cabin.air_mass[z] * zones[of.HUMIDITY, z]
        buffer += zones[of.BUFFER, z]
        end = trace.zones[r, z]
        end[0], end[1], end[2] = zones[of.AIR, z], zones[of.STAR, z], zones[of.HUMIDITY, z]
        for j in range(col.N_ZONE_END, len(end)):
            end[j] = by_zone[z, j] / width
    for i in range(len(node)):
        stored += net.capacity[i] * node[i]
    row[col.CABIN_TEMP], row[col.RADIANT_TEMP] = zones[of.AIR, 0], zones[of.STAR, 0]
    row[col.HUMIDITY], row[col.CHARGE] = zones[of.HUMIDITY, 0], v[at.CHARGE]
    row[col.COIL_WATER], row[col.FACE_WATER], row[col.FROST] = water[wet.FILM, n], film, frost
    row[col.BUFFER_WATER] = buffer
    row[col.STORED_WATER] = held + buffer + film + water[wet.FILM, n]
    row[col.STORED_HEAT] = stored
    if len(trace.nodes) > 0:
        for i in range(len(node)):
            trace.nodes[r, i] = node[i]
