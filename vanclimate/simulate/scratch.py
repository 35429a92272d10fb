"""Every array the loop works in, made before it starts: the loop allocates nothing.

What does not belong here: what stands in them at a run's start (``start``).
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from vanclimate.network.compile import Integers
from vanclimate.physics.air import CP_AIR, CP_VAPOUR
from vanclimate.simulate import columns as col
from vanclimate.simulate import state as at
from vanclimate.simulate import wet_place as wet
from vanclimate.simulate.films import Array, Films
from vanclimate.simulate.inputs import Cabin
from vanclimate.simulate.lanes import Lanes
from vanclimate.simulate.plant import N_PLANT
from vanclimate.simulate.thermal import Factors, Stage, Weather, Work

MEAN_HUMIDITY = 0.01  # kg/kg, at which the cabin air's heat capacity is taken


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
    devices: Array  # see ``switches``
    shed: Array  # (groups,) 1 while a group of loads is shed
    plant: Array  # see ``plant``
    sums: Array  # over a row, see ``columns``
    zone_sums: Array
    faces: Array
    air_capacity: Array  # (zones,) J/K
    bracket: Array  # of a crossing


def scratch(
    net: Lanes, cabin: Cabin, zones: Array, node: Array, state: Array, devices: Array, groups: int
) -> Scratch:
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
        *(zeros(*size) for size in ((2 * n, 2 * n), (2 * n, 2 * n), (2 * n,))),
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
        devices=devices.copy(),
        shed=zeros(groups),
        plant=zeros(N_PLANT),
        sums=zeros(len(col.NAMES)),
        zone_sums=zeros(n, len(col.ZONE_NAMES)),
        faces=zeros(lanes),
        air_capacity=cabin.air_mass * (CP_AIR + MEAN_HUMIDITY * CP_VAPOUR),
        bracket=zeros(4),
    )
