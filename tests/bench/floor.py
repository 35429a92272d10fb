"""What the parts of a step cost when each is looped over alone; the elimination is the floor.

Each loop does its part as often as a run takes steps, with values that change from pass to pass so
that nothing can be computed once for all passes.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tests.bench.cases import Case
from tests.bench.clock import Timed, timed
from vanclimate.network.compile import Array, Network
from vanclimate.simulate import state as at
from vanclimate.simulate.controls import start_state
from vanclimate.simulate.jit import compiled
from vanclimate.simulate.kernel import scratch
from vanclimate.simulate.ledger import account_heat
from vanclimate.simulate.thermal import (
    GAMMA,
    Weather,
    Work,
    factorise,
    set_films,
    solve,
    step,
)

AIR_CAPACITY = 1.0e4  # J/K
STEP = 300.0  # s
LEAK = 5.0  # W/K


@compiled
def sweep(net: Network, work: Work, node: Array, covered: Array, limits: Array, n: int) -> None:
    """Factorise once and substitute twice, ``n`` times: no films, no sources, no books."""
    gh = GAMMA * STEP
    air = 20.0
    for _ in range(n):
        factorise(net, work.films, work.factors, covered, AIR_CAPACITY, LEAK, gh)
        for s in range(2):
            for i in range(len(node)):
                work.rhs[i] = net.capacity[i] * node[i]
            out = work.one if s == 0 else work.two
            solve(net, work.films, work.factors, work.rhs, AIR_CAPACITY * air, 0.0, gh, limits, out)
        for i in range(len(node)):
            node[i] = work.two.node[i]
        air = work.two.zone[0]


@compiled
def factors_only(net: Network, work: Work, covered: Array, n: int) -> None:
    """Factorise, ``n`` times."""
    for i in range(n):
        gh = GAMMA * STEP + 1e-6 * i
        factorise(net, work.films, work.factors, covered, AIR_CAPACITY, LEAK, gh)


@compiled
def films_only(net: Network, work: Work, weather: Weather, node: Array, n: int) -> None:
    """Set the films, ``n`` times."""
    for i in range(n):
        wind = 2.0 + 1e-6 * i
        set_films(
            net,
            work.films,
            node,
            22.0 + 1e-6 * i,
            23.0,
            15.0,
            weather.surroundings[0],
            wind,
            0.0,
            1.0,
        )


@compiled
def steps_only(
    net: Network, work: Work, weather: Weather, node: Array, sun: Array, covered: Array,
    limits: Array, n: int,
) -> None:  # fmt: skip
    """Take the thermal step with films and weather given, ``n`` times."""
    air = 20.0
    for _ in range(n):
        step(
            net, work, node, air, sun, weather, covered, AIR_CAPACITY, LEAK, 0.0, 0.0, limits, STEP
        )
        for i in range(len(node)):
            node[i] = work.two.node[i]
        air = work.two.zone[0]


@compiled
def books_only(
    net: Network, work: Work, weather: Weather, sun: Array, q: Array, acc: Array, faces: Array,
    n: int,
) -> None:  # fmt: skip
    """Add a step's heat to the books, ``n`` times."""
    for i in range(n):
        q[at.H] = STEP + 1e-6 * i
        account_heat(acc, faces, net, work, weather, sun, q)


def parts(case: Case, steps: int, tries: int) -> dict[str, Timed]:
    """Time each part ``steps`` times over on the case's network."""
    net = case.scene.model.network
    chains = len(net.area)
    start = np.linspace(15.0, 35.0, case.nodes)
    own = scratch(case.nodes, chains, start, start_state(20.0, 0.0, 0.0))
    own.limits[:] = np.nan
    own.weather.outdoor[:] = 15.0
    own.weather.surroundings[:] = 10.0
    work, weather, node = own.work, own.weather, own.node
    sun = case.plan.outside.sun[len(case.plan.outside.sun) // 2]
    covered = case.plan.schedule.covered[0]
    films_only(net, work, weather, node, 1)
    loops: dict[str, Callable[[], None]] = {
        "sweep": lambda: sweep(net, work, node, covered, own.limits, steps),
        "factors": lambda: factors_only(net, work, covered, steps),
        "films": lambda: films_only(net, work, weather, start, steps),
        "step": lambda: steps_only(net, work, weather, node, sun, covered, own.limits, steps),
        "books": lambda: books_only(net, work, weather, sun, own.step, own.sums, own.faces, steps),
    }
    return {name: timed(loop, tries) for name, loop in loops.items()}
