"""The compiled loop: shell, water, heating, cooling and the electric bus stepped together.

A run is cut into segments in which everything scheduled is constant. A segment is stepped at the
base step; within one, the step shrinks to land on events: a thermostat crossing, the end of a
minimum run or off time, of a start or a purge, a charge or a temperature of the bank that stops or
frees something. After an event it starts small and doubles.
"""

from __future__ import annotations

import numpy as np
from numba.extending import register_jitable

from vanclimate.equipment.air_conditioner import LATENT_HEAT
from vanclimate.equipment.heater import outdoor_air
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.bank_watch import end_at_temperatures, watch_bank
from vanclimate.simulate.controls import (
    FIRST_STEP,
    air_ahead,
    air_conditioner,
    between,
    fraction_of_hour,
    longest_coil_step,
    mid_step,
    thermostat,
)
from vanclimate.simulate.electricity import (
    accept_bus,
    electricity,
    know_bank,
    mains_up,
    settle_bus,
)
from vanclimate.simulate.exchange import exchange_air, people
from vanclimate.simulate.films import Array, set_covers, set_films, set_links
from vanclimate.simulate.heating import (
    accept_heat,
    follow_flame,
    heaters,
    set_plant,
    settle_coolant,
)
from vanclimate.simulate.inputs import Cabin, Equipment, Outside, Schedule, Trace
from vanclimate.simulate.jit import compiled, part_of_loop
from vanclimate.simulate.lanes import Lanes
from vanclimate.simulate.ledger import (
    account_fuel,
    account_gains,
    account_heat,
    account_power,
    account_water,
    close_row,
    held_heat,
)
from vanclimate.simulate.moisture import (
    buffers,
    damp_places,
    freeze_places,
    humidity_step,
    latent_heats,
    wet_places,
)
from vanclimate.simulate.scratch import Scratch
from vanclimate.simulate.switches import (
    ALLOWED,
    COOLING,
    CROSSING,
    HEAT_PUMP,
    LEAST_STEP,
    ON,
    SOON,
    farthest,
)
from vanclimate.simulate.thermal import GAMMA, factorise, take_stages

RADIANT_PEOPLE = 0.5  # of people's sensible heat, to the faces by radiation; assumed
TRIES = 12  # at locating one crossing


@part_of_loop
def enter_segment(
    net: Lanes, outside: Outside, plan: Schedule, own: Scratch, s: int, hour: int
) -> float:
    """Set what a segment holds constant, in the lanes' order; return the sun on all nodes [W]."""
    set_covers(net, own.work.films, plan.covered[s])
    around, weather = outside.surroundings, own.weather
    for k in range(len(net.area)):
        c = net.chain[k]
        weather.surroundings[k] = around[hour, c]
        weather.change[k] = around[hour + 1, c] - around[hour, c]
        weather.windward[k] = outside.windward[hour, c]
    sunlight = 0.0
    for i in range(len(own.sun)):
        own.sun[i] = outside.sun[s, net.node_in_network[i]]
        sunlight += own.sun[i]
    return sunlight


@part_of_loop
def look_outside(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, gear: Equipment,
    own: Scratch, s: int, hour: int, t: float,
) -> None:  # fmt: skip
    """Set mid-step weather, links, films and air exchange.

    Films are taken at temperatures extrapolated to mid-step.
    """
    work, zones, node, before, v, q = (
        own.work, own.zones, own.node, own.before, own.state, own.step
    )  # fmt: skip
    weather = own.weather
    f = fraction_of_hour(t + 0.5 * q[at.H], hour)
    q[at.T_OUT] = between(outside.temp, hour, f)
    q[at.W_OUT] = between(outside.humidity, hour, f)
    wind = between(outside.wind, hour, f)
    for k in range(len(net.area)):
        weather.around[k] = weather.surroundings[k] + weather.change[k] * f
    ahead = mid_step(v, q)
    for i in range(len(node)):
        work.rhs[i] = node[i] + ahead * (node[i] - before[i])
    for z in range(zones.shape[1]):
        work.ahead[0, z] = air_ahead(zones, z, ahead)
        work.ahead[1, z] = zones[of.STAR, z] + ahead * (
            zones[of.STAR, z] - zones[of.STAR_BEFORE, z]
        )
    unit, compressor = gear.unit, own.devices[COOLING, ON] + own.devices[HEAT_PUMP, ON]
    blows = compressor > 0.0 or (unit.continuous_blower and own.devices[COOLING, ALLOWED] > 0.0)
    blown = unit.mass_flow / cabin.air_mass[0] * 3600.0 if blows else 0.0
    set_links(net, work.films, work.rhs)
    set_films(
        net, work.films, work.rhs, work.ahead, q[at.T_OUT], weather.around,
        weather.windward, wind, between(outside.wet_bulb, hour, f), outside.pressure,
        plan.stirred[s], blown, unit.stirring,
    )  # fmt: skip
    for z in range(zones.shape[1]):
        zones[of.INDUCED, z] = 0.0
    zones[of.INDUCED, 0] = unit.induced_air if compressor > 0.0 else 0.0
    if v[at.FIRING] > 0.0 and not gear.burner.hydronic:
        zones[of.INDUCED, cabin.burner_zone] += outdoor_air(gear.burner, v[at.OUTPUT])
    exchange_air(zones, cabin, outside, plan, work.ahead[0], q, wind, q[at.DC], s)


@part_of_loop
def gains(own: Scratch, plan: Schedule, cabin: Cabin, s: int) -> None:
    """Set each zone's heat to air and faces, and its water, from people, loads and losses."""
    zones, q = own.zones, own.step
    served = q[at.DC]
    for z in range(zones.shape[1]):
        star = served * plan.star_gain[s, z]
        heat = zones[of.LOAD_HEAT, z] + served * plan.air_gain[s, z] + plan.free_gain[s, z] + star
        zones[of.HEATER, z] = 0.0
        if z == cabin.fridge_zone:
            heat += q[at.FRIDGE_HEAT]
        if z == cabin.inverter_zone:
            heat += q[at.INVERTER_LOSS]
        if z == cabin.bank_zone:
            heat += q[at.BANK_GIVES]
        if z == cabin.roof_controller_zone:
            heat += q[at.ROOF_LOSS]
        if z == cabin.ground_controller_zone:
            heat += q[at.GROUND_LOSS]
        if z == cabin.charger_zone:
            heat += q[at.CHARGER_LOSS]
        if z == cabin.drive_zone:
            heat += q[at.DRIVE_LOSS]
        if z == cabin.electric_zone:
            heat += q[at.ELECTRIC]
        if z == cabin.burner_zone:
            heat += q[at.BURNER_POWER]
            zones[of.HEATER, z] = q[at.BURNER_HEAT]
        zones[of.EQUIPMENT, z] = heat
        body = zones[of.PEOPLE, z]
        zones[of.AIR_GAIN, z] = (
            (1.0 - RADIANT_PEOPLE) * body + heat - star + zones[of.HEATER, z]
        )  # fmt: skip
        zones[of.STAR_GAIN, z] = RADIANT_PEOPLE * body + star
        given = zones[of.LOAD_WATER, z] + plan.free_water[s, z]
        zones[of.WATER_GAIN, z] = zones[of.BREATH, z] + given


@part_of_loop
def try_step(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, gear: Equipment, own: Scratch,
    s: int, hour: int, t: float, live: bool,
) -> None:  # fmt: skip
    """Take one step of q[H] from the present state: the bus, water, then heat."""
    work, water, zones, weather, v, q = (
        own.work, own.water, own.zones, own.weather, own.state, own.step
    )  # fmt: skip
    h, n = q[at.H], len(net.area)
    settle_bus(v, q, zones, plan, gear, cabin, s, live)
    settle_coolant(own.devices, v, q, gear, zones[of.AIR, cabin.burner_zone], t)
    gains(own, plan, cabin, s)
    factorise(net, work.films, work.factors, zones, own.air_capacity, GAMMA * h)
    damp_places(net, work.factors.inverse, own.node, water, own.active, GAMMA * h)
    humidity_step(zones, cabin, water, own.active, q[at.W_OUT], h)
    freeze_places(net, work.factors.inverse, own.node, water, own.active, h, GAMMA * h)
    latent_heats(net, own.node, water, own.active, work.latent)
    q[at.AC_SENSIBLE] = q[at.SENSIBLE]
    if q[at.COOLS] == 0.0 or own.devices[COOLING, ON] == 0.0:
        # a coil that dries takes the heat from the air
        q[at.AC_SENSIBLE] -= water[wet.RATE, n] * LATENT_HEAT
    zones[of.AIR_GAIN, 0] -= q[at.AC_SENSIBLE]
    for z in range(zones.shape[1]):  # water that linings take up leaves its heat in them
        zones[of.STAR_GAIN, z] += zones[of.BUFFER_RATE, z] * LATENT_HEAT
    for j in range(2):
        f = fraction_of_hour(t + (GAMMA * h if j == 0 else h), hour)
        weather.outdoor[j] = between(outside.temp, hour, f)
        weather.wet_bulb[j] = between(outside.wet_bulb, hour, f)
        weather.fraction[j] = f
    take_stages(net, work, own.node, zones, own.sun, weather, own.air_capacity, own.plant, h)


@register_jitable
def next_try(before: float, end: float, q: Array, bracket: Array) -> bool:
    """Judge a step against the thermostats; return whether to try again with the new q[H].

    ``before`` and ``end`` [K] are how far the air is past a device's switching temperature at the
    step's start and end, the farthest device's. ``bracket`` holds the longest step known not to
    cross, the shortest known to, and the two gaps; false position between them, kept off the ends.
    """
    crossed = end > CROSSING
    if bracket[1] < 0.0:  # the first try
        if not crossed:
            return False
        bracket[0], bracket[2] = 0.0, before
    elif abs(end) <= CROSSING:
        return False
    if crossed:
        bracket[1], bracket[3] = q[at.H], end
    else:
        bracket[0], bracket[2] = q[at.H], end
    share = bracket[2] / (bracket[2] - bracket[3])
    share = min(0.95, max(0.05, share))
    q[at.H] = max(LEAST_STEP, bracket[0] + (bracket[1] - bracket[0]) * share)
    return True


@part_of_loop
def accept(own: Scratch, gear: Equipment, base: float, live: bool) -> None:
    """Make the tried step the present state."""
    two, zones, node, v, q = own.work.two, own.zones, own.node, own.state, own.step
    for i in range(len(node)):
        own.before[i], node[i] = node[i], two.node[i]
    for z in range(zones.shape[1]):
        zones[of.AIR_BEFORE, z], zones[of.AIR, z] = zones[of.AIR, z], two.core[z]
        zones[of.STAR_BEFORE, z], zones[of.STAR, z] = (
            zones[of.STAR, z],
            two.core[zones.shape[1] + z],
        )
        zones[of.HUMIDITY_BEFORE, z] = zones[of.HUMIDITY, z]
        zones[of.HUMIDITY, z] = zones[of.HUMIDITY_END, z]
        zones[of.BUFFER, z] += q[at.H] * zones[of.BUFFER_RATE, z]
    v[at.LAST_H] = q[at.H]
    accept_bus(v, q, gear, live)
    accept_heat(v, q, gear)
    v[at.CAP] = min(base, 2.0 * v[at.CAP])


@part_of_loop
def settle_step(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, gear: Equipment, own: Scratch,
    s: int, hour: int, t: float, live: bool,
) -> None:  # fmt: skip
    """Take the step, shortened until it lands on a thermostat's crossing if there is one."""
    q = own.step
    before = farthest(own.devices, own.zones[of.AIR])
    own.bracket[1] = -1.0
    h = q[at.H]
    for _ in range(TRIES):
        h = q[at.H]
        for again in range(2):
            try_step(net, outside, plan, cabin, gear, own, s, hour, t, live)
            if again or not follow_flame(own.plant, q, gear, held_heat(own.work)):
                break
        if before == -np.inf:
            break
        if not next_try(before, farthest(own.devices, own.work.two.core), q, own.bracket):
            break
    q[at.H] = h  # the step that was taken, not one proposed after the last try


@part_of_loop
def account(net: Lanes, plan: Schedule, gear: Equipment, cabin: Cabin, own: Scratch, s: int,
            sunlight: float) -> None:  # fmt: skip
    """Add the step to the row's sums."""
    v, q, zones = own.state, own.step, own.zones
    breath = 0.0
    for z in range(zones.shape[1]):
        breath += zones[of.BREATH, z]
    acc = own.sums
    held = account_heat(acc, own.faces, own.zone_sums, net, own.work, own.weather, zones, sunlight,
                        q[at.H])  # fmt: skip
    account_water(acc, own.node, own.water, own.active, zones, own.work.latent, q, breath)
    account_gains(acc, own.zone_sums, zones, q[at.H])
    account_power(acc, own.devices, v, q, own.shed, plan, gear, s)
    account_fuel(acc, v, q, gear, cabin, held)


@part_of_loop
def begin_step(own: Scratch, plan: Schedule, cabin: Cabin, gear: Equipment, s: int, t: float,
               coil_step: float, live: bool) -> None:  # fmt: skip
    """Switch what the bank and the thermostats switch, and bound the step by what comes next."""
    v, q, zones = own.state, own.step, own.zones
    watch_bank(v, own.shed, plan, gear, s, live)
    q[at.MAINS] = mains_up(v, plan, s)
    if v[at.DEAD] == 0.0:
        q[at.DC] = 1.0
    thermostat(own.devices, v, q, zones[of.AIR, 0], plan, gear.unit, s, t, coil_step)
    heaters(own.devices, v, q, zones, plan, gear, cabin, s, t)
    end_at_temperatures(v, q, gear, zones[of.AIR, cabin.bank_zone])


@compiled
def run(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, gear: Equipment, own: Scratch,
    base: float, trace: Trace,
) -> int:  # fmt: skip
    """Step a whole plan from the state in ``own`` and write the trace; return its rows."""
    v, q, zones = own.state, own.step, own.zones
    coil_step = longest_coil_step(cabin, gear.unit)
    skin = net.outer[cabin.roof_lane]
    q[at.T_OUT] = outside.temp[0]  # a heat pump goes by it before the first step has its own
    row = 0
    for s in range(len(plan.start)):
        if plan.abrupt[s] > 0.0:
            v[at.CAP] = min(v[at.CAP], FIRST_STEP)
        if plan.bank_set[s] >= 0.0:
            v[at.CHARGE], v[at.DEAD] = plan.bank_set[s], 0.0
            v[at.CUT : at.CUT_ELECTRIC + 1] = 0.0
        know_bank(v, gear)
        if plan.tank_set[s] >= 0.0:
            v[at.FUEL] = plan.tank_set[s]
        live = plan.bank_live[s] > 0.0
        length = plan.end[s] - plan.start[s]
        hour = int((plan.start[s] + 0.5 * length) // 3600.0)
        sunlight = enter_segment(net, outside, plan, own, s, hour)
        rows = int(np.ceil(length / base - 1e-9))
        width = length / rows
        for r in range(rows):
            t, end = plan.start[s] + r * width, plan.start[s] + (r + 1) * width
            own.sums[:] = 0.0
            own.zone_sums[:, :] = 0.0
            own.faces[:] = 0.0
            while t < end - SOON:
                q[at.H] = end - t
                begin_step(own, plan, cabin, gear, s, t, coil_step, live)
                look_outside(net, outside, plan, cabin, gear, own, s, hour, t)
                air_conditioner(own.devices, v, q, zones, outside, plan, gear.unit, own.water,
                                own.node[skin], s)  # fmt: skip
                people(zones, plan, cabin, s)
                electricity(own.devices, zones, v, q, own.shed, own.water, plan, gear, cabin, s,
                            t, live)  # fmt: skip
                wet_places(net, own.work.films, own.node, own.water, own.active, zones,
                           outside.pressure)  # fmt: skip
                buffers(zones, cabin, outside.pressure)
                set_plant(own.devices, own.plant, v, plan, gear, cabin, s, t)
                settle_step(net, outside, plan, cabin, gear, own, s, hour, t, live)
                account(net, plan, gear, cabin, own, s, sunlight)
                accept(own, gear, base, live)
                t += q[at.H]
            close_row(trace, row, own.sums, own.faces, own.zone_sums, width, net, own.node, v,
                      zones, cabin, gear, own.water, own.active, own.air_capacity)  # fmt: skip
            row += 1
    return row
