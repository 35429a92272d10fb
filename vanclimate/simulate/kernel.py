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
from vanclimate.network.compile import Network
from vanclimate.physics.air import CP_AIR, CP_VAPOUR, density
from vanclimate.physics.airflow import combine_flows, leakage_flow
from vanclimate.physics.comfort import awake_heat, sleeping_heat
from vanclimate.physics.moisture import people_water
from vanclimate.simulate import columns as col
from vanclimate.simulate import state as at
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
from vanclimate.simulate.inputs import Cabin, Outside, Schedule, Trace
from vanclimate.simulate.jit import compiled
from vanclimate.simulate.ledger import account_heat, account_power, account_water, close_row
from vanclimate.simulate.moisture import Water, humidity_step, wet_places
from vanclimate.simulate.thermal import (
    GAMMA,
    Array,
    Factors,
    Films,
    Stage,
    Weather,
    Work,
    set_films,
    step,
)

RADIANT_PEOPLE = 0.5  # of people's sensible heat, to the faces by radiation; assumed
MEAN_HUMIDITY = 0.01  # kg/kg, at which the cabin air's heat capacity is taken
TRIES = 12  # at locating one crossing


class Scratch(NamedTuple):
    """Every array the loop works in, made before it starts: the loop allocates nothing."""

    work: Work
    water: Water
    weather: Weather
    node: Array  # °C now
    before: Array  # °C at the last step's start
    state: Array  # see ``state``
    step: Array
    sums: Array  # over a row, see ``columns``
    faces: Array
    limits: Array  # °C of the ideal plant
    bracket: Array  # of a crossing


def scratch(nodes: int, chains: int, node: Array, state: Array) -> Scratch:
    """Return a run's scratch arrays, the node temperatures and the state set to its start."""
    films = Films(*(np.zeros(chains) for _ in range(4)))
    factors = Factors(np.zeros(nodes), np.zeros(nodes), np.zeros(3))
    one, two = (Stage(np.zeros(nodes), np.zeros(3)) for _ in range(2))
    return Scratch(
        Work(films, factors, one, two, np.zeros(nodes), np.zeros(chains)),
        Water(*(np.zeros(chains + 1) for _ in range(5))),
        Weather(np.zeros(2), np.zeros((2, chains))),
        node.copy(),
        node.copy(),
        state.copy(),
        np.zeros(at.N_STEP),
        np.zeros(len(col.NAMES)),
        np.zeros(chains),
        np.zeros(2),
        np.zeros(4),
    )


@register_jitable
def look_outside(
    net: Network, outside: Outside, plan: Schedule, cabin: Cabin, unit: AirConditioner, work: Work,
    weather: Weather, node: Array, before: Array, v: Array, q: Array, s: int, hour: int, t: float,
) -> None:  # fmt: skip
    """Set mid-step weather, films and air exchange.

    Films are taken at temperatures extrapolated to mid-step.
    """
    h = q[at.H]
    f = fraction_of_hour(t + 0.5 * h, hour)
    q[at.T_OUT] = between(outside.temp, hour, f)
    q[at.W_OUT] = between(outside.humidity, hour, f)
    wind = between(outside.wind, hour, f)
    for k in range(len(net.area)):
        a, b = outside.surroundings[hour, k], outside.surroundings[hour + 1, k]
        weather.surroundings[0, k] = a + (b - a) * f
    ahead = mid_step(v, q)
    for i in range(len(node)):
        work.rhs[i] = node[i] + ahead * (node[i] - before[i])
    air = v[at.AIR] + ahead * (v[at.AIR] - v[at.AIR_BEFORE])
    star = v[at.STAR] + ahead * (v[at.STAR] - v[at.STAR_BEFORE])
    blows = v[at.ON] > 0.0 or (unit.continuous_blower and q[at.ALLOWED] > 0.0)
    blown = unit.mass_flow / cabin.air_mass * 3600.0 if blows else 0.0
    set_films(
        net, work.films, work.rhs, air, star, q[at.T_OUT], weather.surroundings[0], wind, blown,
        unit.stirring,
    )  # fmt: skip
    leak = leakage_flow(cabin.leakage, air - q[at.T_OUT], wind, cabin.stack, cabin.shelter)
    q[at.FLOW] = combine_flows(leak, (1.0 - v[at.DEAD]) * plan.fan_flow[s])
    q[at.MASS_FLOW] = q[at.FLOW] * density(q[at.T_OUT], q[at.W_OUT], outside.pressure)
    q[at.VENTILATION] = q[at.MASS_FLOW] * (CP_AIR + CP_VAPOUR * q[at.W_OUT])


@register_jitable
def people(v: Array, q: Array, plan: Schedule, cabin: Cabin, s: int) -> None:
    """Set the people's sensible heat [W] and water [kg/s]."""
    q[at.PEOPLE], q[at.BREATH] = 0.0, 0.0
    if plan.asleep[s] + plan.awake[s] == 0.0:
        return
    asleep, asleep_latent = sleeping_heat(v[at.AIR], cabin.sleeping)
    awake, awake_latent = awake_heat(v[at.AIR], cabin.awake)
    q[at.PEOPLE] = plan.asleep[s] * asleep + plan.awake[s] * awake
    latent = plan.asleep[s] * asleep_latent + plan.awake[s] * awake_latent
    q[at.BREATH] = people_water(latent)


@register_jitable
def try_step(
    net: Network, outside: Outside, plan: Schedule, cabin: Cabin, bank: Bank, work: Work,
    water: Water, weather: Weather, node: Array, v: Array, q: Array, limits: Array,
    air_capacity: float, s: int, hour: int, t: float, live: bool,
) -> None:  # fmt: skip
    """Take one step of q[H] from the present state: charge limit, water, then heat."""
    h = q[at.H]
    if live and q[at.CURRENT] > 0.0:
        limit_charging(v, q, plan, bank, s)
    q[at.BANK_LOSS] = bank_heat(bank, q[at.CURRENT]) if live else 0.0
    gain = q[at.BREATH] + q[at.SERVED] * plan.water_gain[s]
    q[at.W_END], q[at.W_MEAN] = humidity_step(
        water, v[at.HUMIDITY], cabin.air_mass, q[at.MASS_FLOW], q[at.W_OUT], gain, h
    )
    n = len(net.area)
    for k in range(n):
        work.latent[k] = water.rate[k] * LATENT_HEAT
    q[at.AC_SENSIBLE] = q[at.SENSIBLE]
    if q[at.COOLING] == 0.0:  # a coil that dries takes the heat from the air
        q[at.AC_SENSIBLE] -= water.rate[n] * LATENT_HEAT
    star = q[at.SERVED] * plan.star_gain[s]
    q[at.EQUIPMENT] = (
        q[at.SERVED] * plan.air_gain[s] + star
        + q[at.FRIDGE_HEAT] + q[at.INVERTER_LOSS] + q[at.BANK_LOSS]
    )  # fmt: skip
    air_gain = (1.0 - RADIANT_PEOPLE) * q[at.PEOPLE] + q[at.EQUIPMENT] - star - q[at.AC_SENSIBLE]
    star_gain = RADIANT_PEOPLE * q[at.PEOPLE] + star
    for j in range(2):
        f = fraction_of_hour(t + (GAMMA * h if j == 0 else h), hour)
        weather.outdoor[j] = between(outside.temp, hour, f)
        for k in range(n):
            a, b = outside.surroundings[hour, k], outside.surroundings[hour + 1, k]
            weather.surroundings[j, k] = a + (b - a) * f
    step(
        net, work, node, v[at.AIR], outside.sun[s], weather, plan.covered[s], air_capacity,
        q[at.VENTILATION], air_gain, star_gain, limits, h,
    )  # fmt: skip


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


@register_jitable
def accept(
    v: Array, q: Array, work: Work, node: Array, before: Array, rate: float, base: float
) -> None:
    """Make the tried step the present state."""
    for i in range(len(node)):
        before[i], node[i] = node[i], work.two.node[i]
    v[at.AIR_BEFORE], v[at.STAR_BEFORE] = v[at.AIR], v[at.STAR]
    v[at.AIR], v[at.STAR] = work.two.zone[0], work.two.zone[1]
    v[at.LAST_H] = q[at.H]
    v[at.HUMIDITY_BEFORE], v[at.HUMIDITY] = v[at.HUMIDITY], q[at.W_END]
    v[at.CHARGE] += q[at.H] * rate
    v[at.CAP] = min(base, 2.0 * v[at.CAP])


@compiled
def run(
    net: Network, outside: Outside, plan: Schedule, cabin: Cabin, unit: AirConditioner, bank: Bank,
    own: Scratch, base: float, trace: Trace,
) -> int:  # fmt: skip
    """Step a whole plan from the state in ``own`` and write the trace; return its rows."""
    work, water, weather, node, before = own.work, own.water, own.weather, own.node, own.before
    v, q, acc, faces, limits, bracket = (
        own.state, own.step, own.sums, own.faces, own.limits, own.bracket
    )  # fmt: skip
    air_capacity = cabin.air_mass * (CP_AIR + MEAN_HUMIDITY * CP_VAPOUR)
    coil_step = longest_coil_step(cabin, unit)
    row = 0
    for s in range(len(plan.start)):
        if plan.abrupt[s] > 0.0:
            v[at.CAP] = min(v[at.CAP], FIRST_STEP)
        if plan.bank_set[s] >= 0.0:
            v[at.CHARGE], v[at.CUT], v[at.DEAD] = plan.bank_set[s], 0.0, 0.0
        live = plan.bank_live[s] > 0.0
        limits[0], limits[1] = plan.heat_below[s], plan.cool_above[s]
        length = plan.end[s] - plan.start[s]
        hour = int((plan.start[s] + 0.5 * length) // 3600.0)
        rows = int(np.ceil(length / base - 1e-9))
        width = length / rows
        for r in range(rows):
            t, end = plan.start[s] + r * width, plan.start[s] + (r + 1) * width
            for j in range(len(acc)):
                acc[j] = 0.0
            for k in range(len(faces)):
                faces[k] = 0.0
            while t < end - SOON:
                q[at.H] = end - t
                watch_bank(v, bank, live)
                thermostat(v, q, plan, unit, s, t, coil_step)
                look_outside(net, outside, plan, cabin, unit, work, weather, node, before, v, q,
                             s, hour, t)  # fmt: skip
                wet_places(net, work.films, node, water, v[at.HUMIDITY], outside.pressure)
                air_conditioner(v, q, outside, plan, unit, water, s)
                people(v, q, plan, cabin, s)
                electricity(v, q, plan, unit, bank, s, live)
                watched = q[at.ALLOWED] > 0.0 and t >= v[at.LOCK_UNTIL] - SOON
                bracket[1] = -1.0
                for _ in range(TRIES):
                    h = q[at.H]
                    try_step(net, outside, plan, cabin, bank, work, water, weather, node, v, q,
                             limits, air_capacity, s, hour, t, live)  # fmt: skip
                    if not watched:
                        break
                    if not next_try(v[at.AIR], work.two.zone[0], q, bracket, v[at.ON] > 0.0):
                        break
                q[at.H] = h  # the step that was taken, not one proposed after the last try
                rate = charge_rate(bank, q[at.CURRENT]) if live else 0.0
                account_heat(acc, faces, net, work, weather, outside.sun[s], q)
                account_water(acc, water, q, q[at.SERVED] * plan.water_gain[s])
                account_power(acc, v, q, plan, s, rate)
                accept(v, q, work, node, before, rate, base)
                t += h
            close_row(trace.rows[row], acc, width, net, node, v, water, air_capacity)
            for k in range(len(faces)):
                trace.faces[row, k] = faces[k] / width
            if len(trace.nodes) > 0:
                for i in range(len(node)):
                    trace.nodes[row, i] = node[i]
            row += 1
    return row
