"""The bare shell as differential equations for scipy's ``solve_ivp``, right-hand side compiled.

Films, longwave and leakage come from the package's own formulae at the temperatures of the moment.
The radiant star holds no heat, so it is solved for: T*⁴ is the mean of the faces' T⁴ weighted with
area times Carroll factor. State: the shell's nodes from outside to inside, then the air.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from numba.extending import register_jitable
from scipy.integrate import solve_ivp
from scipy.sparse import csc_matrix

from tests.bench.cases import HOUR, Case
from tests.invented import scratch_of
from vanclimate.network.compile import Array
from vanclimate.physics.air import CP_AIR, CP_VAPOUR, KELVIN, density
from vanclimate.physics.airflow import leakage_flow
from vanclimate.physics.longwave import STEFAN_BOLTZMANN
from vanclimate.simulate.films import Films, set_covers, set_films, set_links, set_outside_sources
from vanclimate.simulate.gear import cabin_of
from vanclimate.simulate.jit import compiled
from vanclimate.simulate.lanes import Lanes, lanes_of
from vanclimate.simulate.scratch import MEAN_HUMIDITY
from vanclimate.simulate.start import start_zones


class Numbers(NamedTuple):
    """Scalars of the problem."""

    air_capacity: float  # J/K
    leakage: float  # of the one zone
    stack: float
    shelter: float
    pressure: float


class Own(NamedTuple):
    """Scratch arrays of the right-hand side."""

    around: Array  # (lanes,) °C
    none: Array  # (lanes,) K that the surroundings change: taken into ``around`` already
    source: Array  # (lanes,) W
    ahead: Array  # (2, 1) air and star
    still: Array  # (1,) no fan that stirs


@dataclass(frozen=True)
class Problem:
    """The bare span: the network, the outside at hour edges, the sun by the hour."""

    net: Lanes
    films: Films
    numbers: Numbers
    temp: Array
    wind: Array
    surroundings: Array
    windward: Array
    sun: Array  # (hours, nodes) W
    begin: float  # s, within the first hour
    hours: int

    @property
    def size(self) -> int:
        """Unknowns: nodes and air."""
        return len(self.net.capacity) + 1


def problem_of(case: Case) -> Problem:
    """Return the differential equations of a bare span whose covers never move."""
    outside, schedule = case.plan.outside, case.plan.schedule
    assert not outside.humidity.any()
    assert (schedule.covered == schedule.covered[0]).all()
    net = lanes_of(case.scene.model.network)
    cabin = cabin_of(case.scene.sheet, case.scene.model, outside.pressure)
    hour = ((schedule.start + schedule.end) / 2 // HOUR).astype(int)
    sun = np.zeros((case.hours, case.nodes))
    keep = hour < case.hours
    sun[hour[keep]] = outside.sun[keep][:, net.node_in_network]
    capacity = float(cabin.air_mass[0]) * (CP_AIR + MEAN_HUMIDITY * CP_VAPOUR)
    start = start_zones(1, 0.0, 0.0, cabin.buffer, 0.0)
    films = scratch_of(net, cabin, start, np.zeros(case.nodes)).work.films
    set_covers(net, films, schedule.covered[0])
    return Problem(
        net,
        films,
        Numbers(capacity, float(cabin.leakage[0]), cabin.stack, cabin.shelter, outside.pressure),
        outside.temp,
        outside.wind,
        outside.surroundings[:, net.chain],
        outside.windward[:, net.chain],
        sun,
        float(schedule.start[0]),
        case.hours,
    )


@compiled
def slopes(
    net: Lanes, films: Films, x: Numbers, temp: Array, wind: Array, surroundings: Array,
    windward: Array, sun: Array, hour: int, t: float, y: Array, own: Own, out: Array,
) -> None:  # fmt: skip
    """Write dy/dt [K/s] into ``out``; films are left as they are at the moment."""
    f = t / HOUR - hour
    outdoor = temp[hour] + (temp[hour + 1] - temp[hour]) * f
    speed = wind[hour] + (wind[hour + 1] - wind[hour]) * f
    lanes, n = len(net.area), len(net.capacity)
    for k in range(lanes):
        a, b = surroundings[hour, k], surroundings[hour + 1, k]
        own.around[k] = a + (b - a) * f
    air = y[n]
    fourth, weight = 0.0, 0.0
    for k in range(lanes):
        kelvin = y[k] + KELVIN
        fourth += net.radiant_area[k] * kelvin**4
        weight += net.radiant_area[k]
    star = (fourth / weight) ** 0.25 - KELVIN
    own.ahead[0, 0], own.ahead[1, 0] = air, star
    set_links(net, films, y)
    set_films(net, films, y, own.ahead, outdoor, own.around, windward[hour], speed, outdoor,
              x.pressure, own.still, 0.0, 1.0)  # fmt: skip
    set_outside_sources(net, films, outdoor, outdoor, own.around, own.none, 0.0, own.source)
    flow = leakage_flow(x.leakage, air - outdoor, speed, x.stack, x.shelter)
    into_air = flow * density(outdoor, 0.0, x.pressure) * CP_AIR * (outdoor - air)
    for i in range(n):
        out[i] = sun[hour, i]
    for k in range(lanes):
        i = net.outer[k]
        out[i] += own.source[k] - (films.out_convective[k] + films.out_radiant[k]) * y[i]
        convected = films.in_convective[k] * (y[k] - air)
        out[k] -= convected + films.in_radiant[k] * (y[k] - star)
        into_air += convected
    for i in range(len(net.face)):
        out[net.face[i]] += films.exchanged[i]
    for i in range(lanes, n):
        m = inward(net, i)
        through = films.link[i] * (y[i] - y[m])
        out[i] -= through
        out[m] += through
    for i in range(n):
        out[i] /= net.capacity[i]
    out[n] = into_air / x.air_capacity


@register_jitable
def inward(net: Lanes, i: int) -> int:
    """Return the next node inwards of node ``i``, which is not an inside face."""
    k = net.lane_of_node[i]
    m = i - 1
    while net.lane_of_node[m] != k:
        m -= 1
    return m


@compiled
def frozen_jacobian(
    net: Lanes, films: Films, x: Numbers, y: Array, leak: float, out: Array
) -> None:
    """Write d(dy/dt)/dy with convective films and leakage frozen, radiation exact inside.

    The star moves with the faces: dT*/dT_j = A_j F_j T_j³ / (Σ A F T*³).
    """
    n = len(net.capacity)
    out[:, :] = 0.0
    fourth, weight = 0.0, 0.0
    for k in range(len(net.area)):
        fourth += net.radiant_area[k] * (y[k] + KELVIN) ** 4
        weight += net.radiant_area[k]
    star = (fourth / weight) ** 0.25
    out[n, n] = -leak / x.air_capacity
    for i in range(len(net.area), n):
        m = inward(net, i)
        out[i, i] -= films.link[i] / net.capacity[i]
        out[i, m] += films.link[i] / net.capacity[i]
        out[m, m] -= films.link[i] / net.capacity[m]
        out[m, i] += films.link[i] / net.capacity[m]
    for k in range(len(net.area)):
        a = net.outer[k]
        out[a, a] -= (films.out_convective[k] + films.out_radiant[k]) / net.capacity[a]
        c, r = films.in_convective[k], films.in_radiant[k]
        out[k, k] -= (c + r) / net.capacity[k]
        out[k, n] += c / net.capacity[k]
        out[n, k] += c / x.air_capacity
        out[n, n] -= c / x.air_capacity
        for j in range(len(net.area)):
            kelvin = y[j] + KELVIN
            out[k, j] += r * net.radiant_area[j] * (kelvin / star) ** 3 / weight / net.capacity[k]
    for i in range(len(net.face)):
        for j in range(len(net.face)):
            a, b = net.face[i], net.face[j]
            more = net.exchange[i, j] * 4.0 * STEFAN_BOLTZMANN * (y[b] + KELVIN) ** 3
            out[a, b] += more / net.capacity[a]


class Counted:
    """The problem's functions as ``solve_ivp`` wants them, with the hour set from outside."""

    def __init__(self, problem: Problem, *, sparse: bool) -> None:
        self.problem, self.sparse = problem, sparse
        self.hour = -1  # -1: the hour of the time asked for
        lanes = len(problem.net.area)
        self.own = Own(*(np.zeros(lanes) for _ in range(3)), np.zeros((2, 1)), np.zeros(1))
        self.matrix = np.zeros((problem.size, problem.size))
        frozen_jacobian(problem.net, Films(*(np.ones_like(f) for f in problem.films)),
                        problem.numbers, np.zeros(problem.size), 1.0, self.matrix)  # fmt: skip
        pattern = csc_matrix(self.matrix != 0)
        self.filled = (pattern.indices, pattern.indptr)
        self.rows = pattern.indices
        self.columns = np.repeat(np.arange(problem.size), np.diff(pattern.indptr))

    def _hour(self, t: float) -> int:
        return self.hour if self.hour >= 0 else min(int(t // HOUR), self.problem.hours - 1)

    def slope(self, t: float, y: Array) -> Array:
        """Return dy/dt."""
        p = self.problem
        out = np.empty(p.size)
        slopes(p.net, p.films, p.numbers, p.temp, p.wind, p.surroundings, p.windward, p.sun,
               self._hour(t), t, y, self.own, out)  # fmt: skip
        return out

    def jacobian(self, t: float, y: Array) -> Any:
        """Return the Jacobian, sparse or dense."""
        p = self.problem
        self.slope(t, y)  # sets the films
        hour = self._hour(t)
        flow = leakage_flow(p.numbers.leakage, y[-1] - p.temp[hour], p.wind[hour],
                            p.numbers.stack, p.numbers.shelter)  # fmt: skip
        leak = flow * density(p.temp[hour], 0.0, p.numbers.pressure) * CP_AIR
        frozen_jacobian(p.net, p.films, p.numbers, y, leak, self.matrix)
        if not self.sparse:
            return self.matrix.copy()
        return csc_matrix((self.matrix[self.rows, self.columns], *self.filled),
                          shape=self.matrix.shape)  # fmt: skip


class Solved(NamedTuple):
    """What a solver left."""

    air: Array  # °C at the marks
    slopes: int  # calls
    factorisations: int


def solve(
    problem: Problem, start: float, tolerance: float, *, restart: bool, sparse: bool,
    every: float = HOUR, method: str = "BDF",
) -> Solved:  # fmt: skip
    """Solve a bare span from one temperature [°C] everywhere; the air is left ``every`` so often.

    With ``restart`` each hour is a problem of its own, so that no step spans a jump of the sun or
    a kink of the weather; without, the solver finds them by rejecting steps.
    """
    f = Counted(problem, sparse=sparse)
    y = np.full(problem.size, start)
    options: dict[str, Any] = {
        "method": method, "jac": f.jacobian, "rtol": tolerance, "atol": tolerance * 10.0,
    }  # fmt: skip
    edges = [problem.begin, *(HOUR * h for h in range(1, problem.hours + 1))]
    spans = list(pairwise(edges)) if restart else [(edges[0], edges[-1])]
    air, calls, factorisations = [], 0, 0
    for hour, (begin, end) in enumerate(spans):
        f.hour = hour if restart else -1
        first = np.floor(begin / every + 1e-9) + 1
        marks = every * np.arange(first, np.round(end / every) + 1)
        done = solve_ivp(f.slope, (begin, end), y, t_eval=marks, **options)
        y = done.y[:, -1]
        air.append(done.y[-1])
        calls, factorisations = calls + done.nfev, factorisations + done.nlu
    return Solved(np.concatenate(air), calls, factorisations)
