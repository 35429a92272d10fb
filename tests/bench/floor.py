"""What the parts of a step cost when each is looped over alone; the elimination is the floor.

Each loop does its part as often as a run takes steps, with values that change from pass to pass so
that nothing can be computed once for all passes.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from tests.bench.cases import Case
from tests.bench.clock import Timed, timed
from tests.invented import cabin, scratch_of
from vanclimate.network.compile import Array
from vanclimate.simulate import of_zone as of
from vanclimate.simulate.films import set_covers, set_films, set_links
from vanclimate.simulate.jit import compiled
from vanclimate.simulate.lanes import Lanes, lanes_of
from vanclimate.simulate.ledger import account_heat
from vanclimate.simulate.plant import COOL_ABOVE, HEAT_BELOW
from vanclimate.simulate.start import start_zones
from vanclimate.simulate.thermal import GAMMA, Weather, Work, factorise, solve, take_stages

AIR_CAPACITY = np.array([1.0e4])  # J/K
STEP = 300.0  # s
LEAK = 5.0  # W/K


@compiled
def sweep(
    net: Lanes, work: Work, zones: Array, node: Array, capacity: Array, plant: Array, n: int
) -> None:
    """Factorise once and substitute twice, ``n`` times: no films, no sources, no books."""
    gh = GAMMA * STEP
    air = 20.0
    for _ in range(n):
        factorise(net, work.films, work.factors, zones, capacity, gh)
        for s in range(2):
            for i in range(len(node)):
                work.rhs[i] = net.capacity[i] * node[i]
            work.rhs_core[0], work.rhs_core[1] = capacity[0] * air, 0.0
            out = work.one if s == 0 else work.two
            solve(net, work.films, work.factors, work.rhs, work.rhs_core, gh, plant, out)
        for i in range(len(node)):
            node[i] = work.two.node[i]
        air = work.two.core[0]


@compiled
def factors_only(net: Lanes, work: Work, zones: Array, capacity: Array, n: int) -> None:
    """Factorise, ``n`` times."""
    for i in range(n):
        gh = GAMMA * STEP + 1e-6 * i
        factorise(net, work.films, work.factors, zones, capacity, gh)


@compiled
def films_only(
    net: Lanes,
    work: Work,
    weather: Weather,
    node: Array,
    still: Array,
    n: int,
) -> None:
    """Set the links and films, ``n`` times."""
    for i in range(n):
        wind = 2.0 + 1e-6 * i
        work.ahead[0, 0], work.ahead[1, 0] = 22.0 + 1e-6 * i, 23.0
        set_links(net, work.films, node)
        set_films(net, work.films, node, work.ahead, 15.0, weather.surroundings,
                  weather.windward, wind, 15.0, 101325.0, still, 0.0, 1.0)  # fmt: skip


@compiled
def steps_only(
    net: Lanes, work: Work, zones: Array, weather: Weather, node: Array, sun: Array,
    capacity: Array, plant: Array, n: int,
) -> None:  # fmt: skip
    """Take the thermal step with films and weather given, ``n`` times."""
    for _ in range(n):
        factorise(net, work.films, work.factors, zones, capacity, GAMMA * STEP)
        take_stages(net, work, node, zones, sun, weather, capacity, plant, STEP)
        for i in range(len(node)):
            node[i] = work.two.node[i]
        zones[of.AIR, 0] = work.two.core[0]


@compiled
def books_only(
    net: Lanes, work: Work, weather: Weather, zones: Array, acc: Array, faces: Array,
    by_zone: Array, n: int,
) -> None:  # fmt: skip
    """Add a step's heat to the books, ``n`` times."""
    for i in range(n):
        account_heat(acc, faces, by_zone, net, work, weather, zones, 1.0, STEP + 1e-6 * i)


def parts(case: Case, steps: int, tries: int) -> dict[str, Timed]:
    """Time each part ``steps`` times over on the case's network."""
    net = lanes_of(case.scene.model.network)
    start = np.linspace(15.0, 35.0, case.nodes)
    zones = start_zones(1, 20.0, 0.0, np.zeros(1), 0.5)
    zones[of.VENTILATION, 0] = LEAK
    own = scratch_of(net, cabin(12.0), zones, start)
    own.plant[HEAT_BELOW] = own.plant[COOL_ABOVE] = np.nan
    own.weather.outdoor[:] = own.weather.wet_bulb[:] = 15.0
    own.weather.surroundings[:] = 10.0
    work, weather, node = own.work, own.weather, own.node
    sun = case.plan.outside.sun[len(case.plan.outside.sun) // 2][net.node_in_network]
    weather.windward[:] = case.plan.outside.windward[0][net.chain]
    still = np.zeros(1)
    set_covers(net, work.films, case.plan.schedule.covered[0])
    films_only(net, work, weather, node, still, 1)
    heat = AIR_CAPACITY
    loops: dict[str, Callable[[], None]] = {
        "sweep": lambda: sweep(net, work, zones, node, heat, own.plant, steps),
        "factors": lambda: factors_only(net, work, zones, heat, steps),
        "films": lambda: films_only(net, work, weather, start, still, steps),
        "step": lambda: steps_only(net, work, zones, weather, node, sun, heat, own.plant, steps),
        "books": lambda: books_only(
            net, work, weather, zones, own.sums, own.faces, own.zone_sums, steps
        ),
    }
    return {name: timed(loop, tries) for name, loop in loops.items()}
