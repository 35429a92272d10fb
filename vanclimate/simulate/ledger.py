"""Book-keeping of the loop: sums over a row, and its end values."""

from __future__ import annotations

from vanclimate.energy import causes
from vanclimate.energy.cells import charge_rate
from vanclimate.equipment.air_conditioner import COIL_HOLDS, LATENT_HEAT
from vanclimate.equipment.heater import fuel_rate
from vanclimate.network.compile import Integers
from vanclimate.simulate import columns as col
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.bank_watch import RESTART
from vanclimate.simulate.dense import sum_of_products
from vanclimate.simulate.films import Array
from vanclimate.simulate.inputs import Cabin, Equipment, Schedule, Trace
from vanclimate.simulate.jit import part_of_loop
from vanclimate.simulate.lanes import Lanes
from vanclimate.simulate.moisture import is_ice
from vanclimate.simulate.switches import BURNER, COOLING, HEAT_PUMP, N_DEVICES, ON
from vanclimate.simulate.thermal import GAMMA, Weather, Work


@part_of_loop
def account_heat(
    acc: Array, faces: Array, by_zone: Array, net: Lanes, work: Work, weather: Weather,
    zones: Array, sun: float, h: float,
) -> float:  # fmt: skip
    """Add the step's heat [J] by path, weighted as the scheme weights its stages.

    ``sun`` [W] is what all nodes together take up. Returns the plant's mean heat [W].
    """
    # films and flows are the same in both stages, so heat goes by the weighted temperatures
    films, n, back = work.films, zones.shape[1], 1.0 - GAMMA
    one, two, mean = work.one, work.two, work.mean
    for j in range(2 * n):
        mean[j] = back * one.core[j] + GAMMA * two.core[j]
    for k in range(len(net.area)):
        inner = back * one.node[k] + GAMMA * two.node[k]
        z = net.zone[k]
        given = films.in_convective[k] * (inner - mean[z])
        given += films.in_radiant[k] * (inner - mean[n + z])
        faces[k] += h * (given - films.exchanged[net.face_of_lane[k]])
    outside = 0.0
    for k in range(len(net.area)):
        i = net.outer[k]
        outer = back * one.node[i] + GAMMA * two.node[i]
        lost = (films.out_convective[k] + films.out_radiant[k]) * outer
        outside += back * work.source[0, k] + GAMMA * work.source[1, k] - lost
    for k in net.between:  # they meet no outdoors
        i = net.outer[k]
        outer = back * one.node[i] + GAMMA * two.node[i]
        outside += (films.out_convective[k] + films.out_radiant[k]) * outer
    acc[col.SUN] += h * sun
    acc[col.OUTSIDE] += h * outside
    outdoor = back * weather.outdoor[0] + GAMMA * weather.outdoor[1]
    for z in range(n):
        air = h * zones[of.VENTILATION, z] * (outdoor - mean[z])
        acc[col.AIR] += air
        if z == 0:
            acc[col.LIVING_AIR] += air
        through = zones[of.BETWEEN, z] * (mean[z] - mean[0])
        through += zones[of.BETWEEN_RADIANT, z] * (mean[n + z] - mean[n])
        acc[col.PASSAGE] += h * through
        by_zone[z, col.ZONE_MEAN] += h * mean[z]
    acc[col.CABIN_MEAN] += h * mean[0]
    return held_heat(work)


@part_of_loop
def held_heat(work: Work) -> float:
    """Return the mean heat [W] over the step of what held a zone's air, see ``plant``."""
    last = len(work.two.core) - 1
    return float((1.0 - GAMMA) * work.one.core[last] + GAMMA * work.two.core[last])


@part_of_loop
def account_water(
    acc: Array, node: Array, water: Array, active: Integers, zones: Array, latent: Array,
    q: Array, breath: float,
) -> None:  # fmt: skip
    """Add the step's water [kg], and move what condensed onto faces and coil.

    ``node`` is of the step's start, at which water met its faces.
    """
    h = q[at.H]
    n = water.shape[1] - 1
    faces, warmth, coil = 0.0, 0.0, 0.0
    for a in range(active[-1]):
        j = active[a]
        held = max(0.0, water[wet.FILM, j] + h * water[wet.RATE, j])
        if j < n:
            faces += water[wet.RATE, j]
            warmth += latent[j]
            ice = water[wet.FROST, j] + h * water[wet.FREEZING, j]
            if is_ice(water, j, node[j]):
                ice += h * water[wet.RATE, j]
            water[wet.FILM, j] = held
            water[wet.FROST, j] = min(max(0.0, ice), held)
        else:
            coil = water[wet.RATE, j]
            drain = max(0.0, held - COIL_HOLDS)
            water[wet.FILM, j] = held - drain
            acc[col.DRAIN_RATE] += drain
    for z in range(zones.shape[1]):
        warmth += zones[of.BUFFER_RATE, z] * LATENT_HEAT
        acc[col.LOAD_WATER] += h * zones[of.WATER_GAIN, z]
        dry = q[at.W_OUT] - zones[of.HUMIDITY_MEAN, z]
        acc[col.AIR_WATER] += h * zones[of.MASS_FLOW, z] * dry
    acc[col.CONDENSATION] += h * warmth
    acc[col.PEOPLE_WATER] += h * breath
    acc[col.LOAD_WATER] -= h * breath
    acc[col.COIL_RATE] += h * coil
    acc[col.FACE_RATE] += h * faces
    acc[col.AC_LATENT] += h * coil * LATENT_HEAT


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
def account_power(
    acc: Array, devices: Array, v: Array, q: Array, shed: Array, plan: Schedule, gear: Equipment,
    s: int,
) -> None:  # fmt: skip
    """Add the step's electricity."""
    h = q[at.H]
    cools, pumps = devices[COOLING, ON], devices[HEAT_PUMP, ON]
    acc[col.AC_SENSIBLE] += h * q[at.AC_SENSIBLE]
    acc[col.AC_POWER] += h * q[at.POWER]
    acc[col.AC_ON] += h * (cools + pumps)
    acc[col.HEAT_PUMP] -= h * pumps * q[at.SENSIBLE]
    acc[col.STARTS] += q[at.STARTS]
    acc[col.ELECTRIC] += h * q[at.ELECTRIC]
    sun = q[at.ROOF_GIVES] + q[at.GROUND_GIVES]
    acc[col.SOLAR] += h * sun
    acc[col.SOLAR_USED] += h * q[at.SOLAR]
    if q[at.SOLAR] >= sun:  # with more there, more would have been used
        acc[col.SOLAR_CLIPPED] += h * (plan.solar[s, 0] + plan.solar[s, 1] - sun)
    acc[col.DRIVE] += h * q[at.DRIVE_GIVES]
    acc[col.DRIVE_USED] += h * q[at.DRIVE]
    acc[col.SHORE] += h * q[at.SHORE_GIVES]
    acc[col.SHORE_USED] += h * q[at.SHORE]
    acc[col.SHORE_PASSED] += h * q[at.ON_SHORE]
    acc[col.HELD_FULL + int(q[at.HELD_CAUSE])] += h * q[at.HELD]
    acc[col.DRAW] += h * q[at.DRAW]
    acc[col.COMPRESSOR] += h * (q[at.POWER] - q[at.BLOWER])
    acc[col.BLOWER] += h * q[at.BLOWER]
    acc[col.FRIDGE] += h * q[at.FRIDGE]
    acc[col.FANS] += h * q[at.DC] * plan.fan_power[s]
    acc[col.LOADS] += h * q[at.LOADS]
    acc[col.HEATER_POWER] += h * q[at.BURNER_POWER]
    acc[col.PAD] += h * q[at.PAD_POWER]
    acc[col.INVERTER_LOSS] += h * q[at.INVERTER_LOSS]
    chargers = q[at.CHARGER_LOSS] + q[at.DRIVE_LOSS]
    acc[col.SOURCE_LOSS] += h * (chargers + q[at.ROOF_LOSS] + q[at.GROUND_LOSS])
    acc[col.BATTERY_LOSS] += h * q[at.BANK_LOSS]
    acc[col.BATTERY_HEAT] += h * q[at.BANK_GIVES]
    acc[col.CURRENT] += h * q[at.CURRENT]
    acc[col.CHARGE_RATE] += h * charge_rate(gear.cells, q[at.CURRENT])
    acc[col.UNSERVED] += h * q[at.UNSERVED]
    acc[col.BANK_OPEN] += h if v[at.DEAD] > 0.0 else 0.0
    acc[col.BATTERY_OFF] += h * (1.0 - q[at.DC])
    acc[col.MAINS_OFF] += h * (1.0 - q[at.MAINS])
    account_stops(acc, v, shed, plan, gear, s, h)


@part_of_loop
def account_stops(
    acc: Array, v: Array, shed: Array, plan: Schedule, gear: Equipment, s: int, h: float
) -> None:
    """Add the time in which each cause stopped something, once whatever it stopped."""
    stopped = acc[col.STOPPED_RESERVE - 1 :]  # by the numbers of energy.causes
    dead = int(v[at.DEAD_CAUSE]) if v[at.DEAD] > 0.0 else causes.NONE
    down, waits = int(v[at.INVERTER_DOWN]), int(v[at.WAITS])
    if dead != causes.NONE:
        stopped[dead] += h
    if down not in (causes.NONE, dead):
        stopped[down] += h
    if waits not in (causes.NONE, dead, down):
        stopped[waits] += h
    by_rule = by_reserve = False
    for d in range(N_DEVICES):
        warm = plan.heat_setpoint[s, d]
        wanted = plan.ac_share[s] > 0.0 if d == COOLING else warm == warm
        if v[at.CUT + d] > 0.0 and wanted:
            beyond = v[at.CHARGE] > gear.kept + RESTART * gear.cells.capacity
            if beyond or d == BURNER:
                by_rule = True
            else:
                by_reserve = True
    if by_reserve:
        stopped[causes.RESERVE] += h
    for g in range(1, len(shed)):
        if shed[g] > 0.0:
            by_rule = True
    if by_rule:
        stopped[causes.RULE] += h


@part_of_loop
def account_fuel(
    acc: Array, v: Array, q: Array, gear: Equipment, cabin: Cabin, held: float
) -> None:
    """Add what the fuel heater gives and burns, and set its output.

    Without a heater ``held`` [W], the heat that held the air, is the ideal plant's.
    """
    h = q[at.H]
    if not gear.burner.there:
        acc[col.PLANT] += h * held
        return
    lit = v[at.FIRING] > 0.0
    output = q[at.FIRED] if gear.burner.hydronic else held
    q[at.OUTPUT_NOW] = output
    into_air = q[at.BURNER_HEAT] if gear.burner.hydronic else held
    acc[col.OUTPUT] += h * output
    acc[col.HEATER] += h * into_air
    if cabin.burner_zone == 0:
        acc[col.LIVING_HEATER] += h * into_air
    acc[col.FUEL_RATE] += h * fuel_rate(gear.burner, output)
    acc[col.HEATER_ON] += h if lit else 0.0
    acc[col.HEATER_STARTS] += q[at.BURNER_STARTS]
    if q[at.BURNER_FAILS] > 0.0:  # by the numbers of equipment.heater.can_start
        acc[col.FAILED_VOLTS - 1 + int(q[at.BURNER_FAILS])] += 1.0


@part_of_loop
def close_row(
    trace: Trace, r: int, acc: Array, faces: Array, by_zone: Array, width: float, net: Lanes,
    node: Array, v: Array, zones: Array, cabin: Cabin, gear: Equipment, water: Array,
    active: Integers, air_capacity: Array,
) -> None:  # fmt: skip
    """Write row ``r``: means over ``width`` [s], and the values at its end.

    The trace's ``water`` holds zeros when it comes, and faces that are dry are left at that.
    """
    row, per_second = trace.rows[r], 1.0 / width
    for j in range(col.N_END, len(acc)):
        row[j] = acc[j] * per_second
    row[col.STARTS] = acc[col.STARTS]
    for j in range(col.HEATER_STARTS, col.FAILED_COLD + 1):
        row[j] = acc[j]
    n = water.shape[1] - 1
    film, frost = 0.0, 0.0
    for k in range(n):
        trace.faces[r, net.chain[k]] = faces[k] * per_second
    for a in range(active[-1]):
        k = active[a]
        if k < n:
            trace.water[r, net.chain[k]] = water[wet.FILM, k]
            film += water[wet.FILM, k]
            frost += water[wet.FROST, k]
    stored, held, buffer = sum_of_products(net.capacity, node), 0.0, 0.0
    for z in range(zones.shape[1]):
        stored += air_capacity[z] * zones[of.AIR, z]
        held += cabin.air_mass[z] * zones[of.HUMIDITY, z]
        buffer += zones[of.BUFFER, z]
        end = trace.zones[r, z]
        end[0], end[1], end[2] = zones[of.AIR, z], zones[of.STAR, z], zones[of.HUMIDITY, z]
        for j in range(col.N_ZONE_END, len(end)):
            end[j] = by_zone[z, j] * per_second
    row[col.CABIN_TEMP], row[col.RADIANT_TEMP] = zones[of.AIR, 0], zones[of.STAR, 0]
    row[col.HUMIDITY], row[col.CHARGE] = zones[of.HUMIDITY, 0], v[at.CHARGE]
    row[col.COIL_WATER], row[col.FACE_WATER], row[col.FROST] = water[wet.FILM, n], film, frost
    row[col.BUFFER_WATER] = buffer
    row[col.STORED_WATER] = held + buffer + film + water[wet.FILM, n]
    stored += gear.cells.heat_capacity * v[at.BANK_TEMP]
    if gear.burner.hydronic:
        stored += gear.burner.coolant_heat * v[at.COOLANT]
    row[col.STORED_HEAT] = stored
    row[col.STORED_CHARGE] = v[at.STORED]
    row[col.BANK_TEMP], row[col.VOLTS] = v[at.BANK_TEMP], v[at.VOLTS]
    row[col.FUEL], row[col.COOLANT] = v[at.FUEL], v[at.COOLANT]
    if len(trace.nodes) > 0:
        for i in range(len(node)):
            trace.nodes[r, net.node_in_network[i]] = node[i]
