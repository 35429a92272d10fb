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
from scipy.integrate import solve_ivp
from scipy.sparse import csc_matrix

from tests.bench.cases import HOUR, Case
from vanclimate.network.compile import OUT_FIXED, Array, Network
from vanclimate.physics.air import CP_AIR, CP_VAPOUR, KELVIN, density
from vanclimate.physics.airflow import leakage_flow
from vanclimate.simulate.films import Films, set_films, set_links
from vanclimate.simulate.jit import compiled
from vanclimate.simulate.kernel import MEAN_HUMIDITY
from vanclimate.simulate.plan import cabin_of


class Numbers(NamedTuple):
    """Scalars of the problem."""

    air_capacity: float  # J/K
    leakage: float  # of the one zone
    stack: float
    shelter: float
    pressure: float


@dataclass(frozen=True)
class Problem:
    """The bare span: the network, the outside at hour edges, the sun by the hour."""

    net: Network
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
    net = case.scene.model.network
    covered = np.repeat(schedule.covered[0], np.diff(net.first)) > 0
    net = net._replace(link=np.where(covered, net.link_covered, net.link))
    cabin = cabin_of(case.scene.sheet, case.scene.model, outside.pressure)
    hour = ((schedule.start + schedule.end) / 2 // HOUR).astype(int)
    sun = np.zeros((case.hours, case.nodes))
    keep = hour < case.hours
    sun[hour[keep]] = outside.sun[keep]
    capacity = float(cabin.air_mass[0]) * (CP_AIR + MEAN_HUMIDITY * CP_VAPOUR)
    return Problem(
        net,
        Films(*(np.zeros(len(net.area)) for _ in range(5)), net.link.copy()),  # type: ignore[call-arg]
        Numbers(capacity, float(cabin.leakage[0]), cabin.stack, cabin.shelter, outside.pressure),
        outside.temp,
        outside.wind,
        outside.surroundings,
        outside.windward,
        sun,
        float(schedule.start[0]),
        case.hours,
    )


@compiled
def slopes(
    net: Network, films: Films, x: Numbers, temp: Array, wind: Array, surroundings: Array,
    windward: Array, sun: Array, hour: int, t: float, y: Array, around: Array, covered: Array,
    ahead: Array, still: Array, out: Array,
) -> None:  # fmt: skip
    """Write dy/dt [K/s] into ``out``; films are left as they are at the moment."""
    f = t / HOUR - hour
    outdoor = temp[hour] + (temp[hour + 1] - temp[hour]) * f
    speed = wind[hour] + (wind[hour + 1] - wind[hour]) * f
    for k in range(len(net.area)):
        a, b = surroundings[hour, k], surroundings[hour + 1, k]
        around[k] = a + (b - a) * f
    n = len(net.capacity)
    air = y[n]
    fourth, weight = 0.0, 0.0
    for k in range(len(net.area)):
        kelvin = y[net.first[k + 1] - 1] + KELVIN
        fourth += net.radiant_area[k] * kelvin**4
        weight += net.radiant_area[k]
    star = (fourth / weight) ** 0.25 - KELVIN
    ahead[0, 0], ahead[1, 0] = air, star
    set_links(net, films, covered, y)
    set_films(net, films, y, ahead, outdoor, around, windward[hour], speed, outdoor, x.pressure,
              still, 0.0, 1.0)  # fmt: skip
    flow = leakage_flow(x.leakage, air - outdoor, speed, x.stack, x.shelter)
    into_air = flow * density(outdoor, 0.0, x.pressure) * CP_AIR * (outdoor - air)
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        beyond = net.fixed_temp[k] if net.outside[k] == OUT_FIXED else outdoor
        into = films.out_convective[k] * (beyond - y[a])
        into += films.out_radiant[k] * (around[k] - y[a])
        for i in range(a, b - 1):
            through = films.link[i] * (y[i] - y[i + 1])
            out[i] = (into + sun[hour, i] - through) / net.capacity[i]
            into = through
        convected = films.in_convective[k] * (y[b - 1] - air)
        radiated = films.in_radiant[k] * (y[b - 1] - star)
        out[b - 1] = (into + sun[hour, b - 1] - convected - radiated) / net.capacity[b - 1]
        into_air += convected
    out[n] = into_air / x.air_capacity


@compiled
def frozen_jacobian(
    net: Network, films: Films, x: Numbers, y: Array, leak: float, out: Array
) -> None:
    """Write d(dy/dt)/dy with convective films and leakage frozen, radiation exact inside.

    The star moves with the faces: dT*/dT_j = A_j F_j T_j³ / (Σ A F T*³).
    """
    n = len(net.capacity)
    out[:, :] = 0.0
    fourth, weight = 0.0, 0.0
    for k in range(len(net.area)):
        fourth += net.radiant_area[k] * (y[net.first[k + 1] - 1] + KELVIN) ** 4
        weight += net.radiant_area[k]
    star = (fourth / weight) ** 0.25
    out[n, n] = -leak / x.air_capacity
    for k in range(len(net.area)):
        a, b = net.first[k], net.first[k + 1]
        out[a, a] -= (films.out_convective[k] + films.out_radiant[k]) / net.capacity[a]
        for i in range(a, b - 1):
            out[i, i] -= films.link[i] / net.capacity[i]
            out[i, i + 1] += films.link[i] / net.capacity[i]
            out[i + 1, i + 1] -= films.link[i] / net.capacity[i + 1]
            out[i + 1, i] += films.link[i] / net.capacity[i + 1]
        i = b - 1
        c, r = films.in_convective[k], films.in_radiant[k]
        out[i, i] -= (c + r) / net.capacity[i]
        out[i, n] += c / net.capacity[i]
        out[n, i] += c / x.air_capacity
        out[n, n] -= c / x.air_capacity
        for m in range(len(net.area)):
            j = net.first[m + 1] - 1
            kelvin = y[j] + KELVIN
            out[i, j] += r * net.radiant_area[m] * (kelvin / star) ** 3 / weight / net.capacity[i]


class Counted:
    """The problem's functions as ``solve_ivp`` wants them, with the hour set from outside."""

    def __init__(self, problem: Problem, *, sparse: bool) -> None:
        self.problem, self.sparse = problem, sparse
        self.hour = -1  # -1: the hour of the time asked for
        self.around = np.zeros(len(problem.net.area))
        self.covered = np.zeros(len(problem.net.area))  # covers that are shut are in the links
        self.ahead = np.zeros((2, 1))  # air and star
        self.still = np.zeros(1)  # no fan that stirs
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
               self._hour(t), t, y, self.around, self.covered, self.ahead,
               self.still, out)  # fmt: skip
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
