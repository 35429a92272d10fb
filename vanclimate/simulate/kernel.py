"""The compiled loop: shell, water, air conditioner and bank stepped together.

A run is cut into segments in which everything scheduled is constant. A segment is stepped at the
base step; within one, the step shrinks to land on events: a thermostat crossing, the end of a
minimum run or off time, the kept charge or the cut-off reached. After an event it starts small and
doubles.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable

from vanclimate.energy.bank import Bank, bank_heat, charge_rate
from vanclimate.equipment.air_conditioner import LATENT_HEAT, AirConditioner
from vanclimate.network.compile import Integers
from vanclimate.physics.air import CP_AIR, CP_VAPOUR
from vanclimate.simulate import columns as col
from vanclimate.simulate import of_zone as of
from vanclimate.simulate import state as at
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.controls import (
    CROSSING,
    FIRST_STEP,
    LEAST_STEP,
    SOON,
    air_conditioner,
    between,
    electricity,
    fraction_of_hour,
    limit_charging,
    longest_coil_step,
    mid_step,
    thermostat,
    watch_bank,
)
from vanclimate.simulate.exchange import exchange_air, people
from vanclimate.simulate.films import Array, Films, set_covers, set_films, set_links
from vanclimate.simulate.inputs import Cabin, Outside, Schedule, Trace
from vanclimate.simulate.jit import compiled, part_of_loop
from vanclimate.simulate.lanes import Lanes
from vanclimate.simulate.ledger import (
    account_gains,
    account_heat,
    account_power,
    account_water,
    close_row,
)
from vanclimate.simulate.moisture import (
    buffers,
    damp_places,
    freeze_places,
    humidity_step,
    latent_heats,
    wet_places,
)
from vanclimate.simulate.thermal import GAMMA, Factors, Stage, Weather, Work, factorise, take_stages

RADIANT_PEOPLE = 0.5  # of people's sensible heat, to the faces by radiation; assumed
MEAN_HUMIDITY = 0.01  # kg/kg, at which the cabin air's heat capacity is taken
TRIES = 12  # at locating one crossing


class Scratch(NamedTuple):
    """Every array the loop works in, made before it starts: the loop allocates nothing."""

    work: Work
    water: Array  # see ``wet_place``
    active: Integers  # the same
    sun: Array  # (nodes,) W over a segment
    weather: Weather
    zones: Array  # see ``of_zone``
    node: Array  # °C now
    before: Array  # °C at the last step's start
    state: Array  # see ``state``
    step: Array
    sums: Array  # over a row, see ``columns``
    zone_sums: Array
    faces: Array
    air_capacity: Array  # (zones,) J/K
    limits: Array  # °C of the ideal plant
    bracket: Array  # of a crossing


def scratch(net: Lanes, cabin: Cabin, zones: Array, node: Array, state: Array) -> Scratch:
    """Return a run's scratch arrays, the node temperatures and the state set to its start."""
    nodes, lanes, n = len(net.capacity), len(net.area), len(net.volume)

    def zeros(*shape: int) -> Array:
        return np.zeros(shape)

    films = Films(
        *(zeros(lanes) for _ in range(5)), *(zeros(nodes) for _ in range(2)),
        *(zeros(lanes) for _ in range(3)), *(zeros(len(net.exchange)) for _ in range(2)),
    )  # fmt: skip
    factors = Factors(
        *(zeros(nodes) for _ in range(2)), *(zeros(lanes) for _ in range(2)),
        *(zeros(2 * n, 2 * n) for _ in range(2)),
    )  # fmt: skip
    one, two = (Stage(zeros(nodes), zeros(2 * n + 1)) for _ in range(2))
    work = Work(
        films=films,
        factors=factors,
        one=one,
        two=two,
        rhs=zeros(nodes),
        given=zeros(nodes),
        source=zeros(2, lanes),
        latent=zeros(lanes),
        ahead=zeros(2, n),
        rhs_core=zeros(2 * n),
        mean=zeros(2 * n),
    )
    return Scratch(
        work=work,
        water=zeros(wet.N_PLACE, lanes + 1),
        active=np.zeros(lanes + 2, dtype=np.int64),
        sun=zeros(nodes),
        weather=Weather(*(zeros(2) for _ in range(3)), *(zeros(lanes) for _ in range(4))),
        zones=zones,
        node=node[net.node_in_network],
        before=node[net.node_in_network],
        state=state.copy(),
        step=zeros(at.N_STEP),
        sums=zeros(len(col.NAMES)),
        zone_sums=zeros(n, len(col.ZONE_NAMES)),
        faces=zeros(lanes),
        air_capacity=cabin.air_mass * (CP_AIR + MEAN_HUMIDITY * CP_VAPOUR),
        limits=zeros(2),
        bracket=zeros(4),
    )


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
    own.limits[0], own.limits[1] = plan.heat_below[s], plan.cool_above[s]
    return sunlight


@part_of_loop
def look_outside(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, unit: AirConditioner,
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
        work.ahead[0, z] = zones[of.AIR, z] + ahead * (zones[of.AIR, z] - zones[of.AIR_BEFORE, z])
        work.ahead[1, z] = zones[of.STAR, z] + ahead * (
            zones[of.STAR, z] - zones[of.STAR_BEFORE, z]
        )
    blows = v[at.ON] > 0.0 or (unit.continuous_blower and q[at.ALLOWED] > 0.0)
    blown = unit.mass_flow / cabin.air_mass[0] * 3600.0 if blows else 0.0
    set_links(net, work.films, work.rhs)
    set_films(
        net, work.films, work.rhs, work.ahead, q[at.T_OUT], weather.around,
        weather.windward, wind, between(outside.wet_bulb, hour, f), outside.pressure,
        plan.stirred[s], blown, unit.stirring,
    )  # fmt: skip
    served = 1.0 - v[at.DEAD]
    exchange_air(zones, cabin, outside, plan, work.ahead[0], q, wind, served, s)


@part_of_loop
def gains(own: Scratch, plan: Schedule, cabin: Cabin, s: int) -> None:
    """Set each zone's heat to air and faces, and its water, from people, loads and losses."""
    zones, q = own.zones, own.step
    served = q[at.SERVED]
    for z in range(zones.shape[1]):
        star = served * plan.star_gain[s, z]
        zones[of.EQUIPMENT, z] = served * plan.air_gain[s, z] + plan.free_gain[s, z] + star
        if z == cabin.fridge_zone:
            zones[of.EQUIPMENT, z] += q[at.FRIDGE_HEAT]
        if z == cabin.inverter_zone:
            zones[of.EQUIPMENT, z] += q[at.INVERTER_LOSS]
        if z == cabin.bank_zone:
            zones[of.EQUIPMENT, z] += q[at.BANK_LOSS]
        body = zones[of.PEOPLE, z]
        zones[of.AIR_GAIN, z] = (1.0 - RADIANT_PEOPLE) * body + zones[of.EQUIPMENT, z] - star
        zones[of.STAR_GAIN, z] = RADIANT_PEOPLE * body + star
        given = served * plan.water_gain[s, z] + plan.free_water[s, z]
        zones[of.WATER_GAIN, z] = zones[of.BREATH, z] + given


@part_of_loop
def try_step(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, bank: Bank, own: Scratch, s: int,
    hour: int, t: float, live: bool,
) -> None:  # fmt: skip
    """Take one step of q[H] from the present state: charge limit, water, then heat."""
    work, water, zones, weather, v, q = (
        own.work, own.water, own.zones, own.weather, own.state, own.step
    )  # fmt: skip
    h, n = q[at.H], len(net.area)
    if live and q[at.CURRENT] > 0.0:
        limit_charging(v, q, plan, bank, s)
    q[at.BANK_LOSS] = bank_heat(bank, q[at.CURRENT]) if live else 0.0
    gains(own, plan, cabin, s)
    factorise(net, work.films, work.factors, zones, own.air_capacity, GAMMA * h)
    damp_places(net, work.factors.inverse, own.node, water, own.active, GAMMA * h)
    humidity_step(zones, cabin, water, own.active, q[at.W_OUT], h)
    freeze_places(net, work.factors.inverse, own.node, water, own.active, h, GAMMA * h)
    latent_heats(net, own.node, water, own.active, work.latent)
    q[at.AC_SENSIBLE] = q[at.SENSIBLE]
    if q[at.COOLING] == 0.0:  # a coil that dries takes the heat from the air
        q[at.AC_SENSIBLE] -= water[wet.RATE, n] * LATENT_HEAT
    zones[of.AIR_GAIN, 0] -= q[at.AC_SENSIBLE]
    for z in range(zones.shape[1]):  # water that linings take up leaves its heat in them
        zones[of.STAR_GAIN, z] += zones[of.BUFFER_RATE, z] * LATENT_HEAT
    for j in range(2):
        f = fraction_of_hour(t + (GAMMA * h if j == 0 else h), hour)
        weather.outdoor[j] = between(outside.temp, hour, f)
        weather.wet_bulb[j] = between(outside.wet_bulb, hour, f)
        weather.fraction[j] = f
    take_stages(net, work, own.node, zones, own.sun, weather, own.air_capacity, own.limits, h)


@register_jitable
def next_try(air: float, end: float, q: Array, bracket: Array, on: bool) -> bool:
    """Judge a step against the thermostat; return whether to try again with the new q[H].

    ``bracket`` holds the longest step known not to cross, the shortest known to, and the two
    gaps [K]; false position between them, kept off the ends.
    """
    threshold = q[at.LOW] if on else q[at.HIGH]
    gap = end - threshold
    crossed = gap < -CROSSING if on else gap > CROSSING
    if bracket[1] < 0.0:  # the first try
        if not crossed:
            return False
        bracket[0], bracket[2] = 0.0, air - threshold
    elif abs(gap) <= CROSSING:
        return False
    if crossed:
        bracket[1], bracket[3] = q[at.H], gap
    else:
        bracket[0], bracket[2] = q[at.H], gap
    share = bracket[2] / (bracket[2] - bracket[3])
    share = min(0.95, max(0.05, share))
    q[at.H] = max(LEAST_STEP, bracket[0] + (bracket[1] - bracket[0]) * share)
    return True


@part_of_loop
def accept(own: Scratch, rate: float, base: float) -> None:
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
    v[at.CHARGE] += q[at.H] * rate
    v[at.CAP] = min(base, 2.0 * v[at.CAP])


@part_of_loop
def settle_step(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, bank: Bank, own: Scratch, s: int,
    hour: int, t: float, live: bool,
) -> None:  # fmt: skip
    """Take the step, shortened until it lands on the thermostat's crossing if there is one."""
    v, q = own.state, own.step
    watched = q[at.ALLOWED] > 0.0 and t >= v[at.LOCK_UNTIL] - SOON
    own.bracket[1] = -1.0
    h = q[at.H]
    for _ in range(TRIES):
        h = q[at.H]
        try_step(net, outside, plan, cabin, bank, own, s, hour, t, live)
        if not watched:
            break
        if not next_try(own.zones[of.AIR, 0], own.work.two.core[0], q, own.bracket, v[at.ON] > 0.0):
            break
    q[at.H] = h  # the step that was taken, not one proposed after the last try


@part_of_loop
def account(
    net: Lanes, plan: Schedule, bank: Bank, own: Scratch, s: int, live: bool, sunlight: float
) -> float:
    """Add the step to the row's sums; return the charge's rate [Ah/s]."""
    v, q, zones = own.state, own.step, own.zones
    rate = charge_rate(bank, q[at.CURRENT]) if live else 0.0
    breath = 0.0
    for z in range(zones.shape[1]):
        breath += zones[of.BREATH, z]
    acc = own.sums
    account_heat(acc, own.faces, own.zone_sums, net, own.work, own.weather, zones, sunlight,
                 q[at.H])  # fmt: skip
    account_water(acc, own.node, own.water, own.active, zones, own.work.latent, q, breath)
    account_gains(acc, own.zone_sums, zones, q[at.H])
    account_power(acc, v, q, plan, s, rate)
    return rate


@compiled
def run(
    net: Lanes, outside: Outside, plan: Schedule, cabin: Cabin, unit: AirConditioner, bank: Bank,
    own: Scratch, base: float, trace: Trace,
) -> int:  # fmt: skip
    """Step a whole plan from the state in ``own`` and write the trace; return its rows."""
    v, q, zones = own.state, own.step, own.zones
    coil_step = longest_coil_step(cabin, unit)
    row = 0
    for s in range(len(plan.start)):
        if plan.abrupt[s] > 0.0:
            v[at.CAP] = min(v[at.CAP], FIRST_STEP)
        if plan.bank_set[s] >= 0.0:
            v[at.CHARGE], v[at.CUT], v[at.DEAD] = plan.bank_set[s], 0.0, 0.0
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
                watch_bank(v, bank, live)
                thermostat(v, q, zones[of.AIR, 0], plan, unit, s, t, coil_step)
                look_outside(net, outside, plan, cabin, unit, own, s, hour, t)
                air_conditioner(v, q, zones, outside, plan, unit, own.water, s)
                wet_places(net, own.work.films, own.node, own.water, own.active, zones,
                           outside.pressure)  # fmt: skip
                buffers(zones, cabin, outside.pressure)
                people(zones, plan, cabin, s)
                electricity(v, q, zones[of.AIR, cabin.fridge_zone], plan, unit, bank, s, live)
                settle_step(net, outside, plan, cabin, bank, own, s, hour, t, live)
                rate = account(net, plan, bank, own, s, live, sunlight)
                accept(own, rate, base)
                t += q[at.H]
            close_row(trace, row, own.sums, own.faces, own.zone_sums, width, net, own.node, v,
                      zones, cabin, own.water, own.active, own.air_capacity)  # fmt: skip
            row += 1
    return row
