"""A compiled shell in a few figures: areas, UA, heat capacity and how slowly it follows.

What does not belong here: how they are printed (report/).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.network.compile import OUT_NONE, OUT_ZONE, Array, Model
from vanclimate.network.section import Section
from vanclimate.network.shell import RSE, RSI

AIR_HEAT = 1.2 * 1006.0  # J/(m3 K) of room air; handbook value
INSIDE_CONVECTION = 2.5  # W/m2K; ISO 6946 for horizontal heat flow
INSIDE_RADIATION = 5.0  # W/m2K; about 4 ε σ T³ at room temperature
OUTSIDE_FILM = 20.0  # W/m2K: 15 by wind and 5 by radiation, assumed; with RSE it would be 25
LEAKAGE_DIFFERENCE = 10.0  # K, and
LEAKAGE_WIND = 3.0  # m/s: the conditions at which leakage is counted here; assumed


@dataclass(frozen=True)
class Part:
    """One group of a shell: its area [m2] and steady UA [W/K], covers open and closed."""

    name: str
    area: float
    ua: float
    ua_covered: float


@dataclass(frozen=True)
class RibLine:
    """The sides whose ribs are alike, and their solved section."""

    sides: str
    section: Section


@dataclass(frozen=True)
class ShellSummary:
    """The whole shell.

    Parameters
    ----------
    groups : by kind of path, such as 'roof' or 'ribs'
    sides : by side, ribs and glass included
    zones : by zone, towards outdoors; empty where there is but one
    partitions : between a zone and the living space, with still air on both sides
    leakage : heat carried by leaking air [W/K] at 10 K and 3 m/s; not part of ``ua``
    capacity : of all nodes and the air [J/K]
    slowest : the longest time constant [h], covers closed, leakage included
    ribs : what the sheet's ribs do to each side that has them
    notes : what of the description could not be had, or needs a word
    """

    groups: tuple[Part, ...]
    sides: tuple[Part, ...]
    zones: tuple[Part, ...]
    partitions: tuple[Part, ...]
    leakage: float
    capacity: float
    slowest: float
    ribs: tuple[RibLine, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def ua(self) -> float:
        """Steady heat loss of all groups with open covers [W/K], leakage aside."""
        return sum(g.ua for g in self.groups)

    @property
    def ua_covered(self) -> float:
        """The same with covers closed."""
        return sum(g.ua_covered for g in self.groups)


def summarise(model: Model, leakage: float = 0.0) -> ShellSummary:
    """Return the figures of a compiled shell.

    Parameters
    ----------
    model : Model
    leakage : heat carried by leaking air [W/K]; see `leakage_ua`

    Notes
    -----
    UA is that of ISO 6946: films of 0.13 inside and 0.04 m2K/W outside in series with each path.
    """
    net = model.network
    chains = range(len(model.chains))
    outer = [k for k in chains if net.outside[k] not in (OUT_NONE, OUT_ZONE)]
    between = [k for k in chains if net.outside[k] == OUT_ZONE]
    open_ua, covered = _chain_ua(model, net.link), _chain_ua(model, net.link_covered)
    # a curtain counts as drawn and a lifting roof as raised
    opaque = np.array([c.glazing is None for c in model.chains])
    open_ua = np.where(opaque, covered, open_ua)

    def parts(of: list[int], names: list[str]) -> tuple[Part, ...]:
        found = []
        for name in dict.fromkeys(names):
            own = [k for k, other in zip(of, names, strict=True) if other == name]
            area = float(net.area[own].sum())
            found.append(Part(name, area, float(open_ua[own].sum()), float(covered[own].sum())))
        return tuple(found)

    several = len(model.zones) > 1
    zone_names = [model.zones[model.chains[k].zone].name for k in outer]
    return ShellSummary(
        groups=parts(outer, [model.chains[k].group for k in outer]),
        sides=parts(outer, [model.chains[k].side for k in outer]),
        zones=parts(outer, zone_names) if several else (),
        partitions=parts(between, [model.chains[k].name for k in between]),
        leakage=leakage,
        capacity=float(net.capacity.sum() + AIR_HEAT * net.volume.sum()),
        slowest=slowest_hours(model, leakage),
        ribs=_rib_lines(model),
        notes=model.shell.notes,
    )


def _rib_lines(model: Model) -> tuple[RibLine, ...]:
    """Return the ribs of each side, sides that are built alike together."""
    alike: dict[tuple[str, float], tuple[list[str], Section]] = {}
    for s in model.shell.surfaces:
        if s.section is not None:
            key = (s.section.name, round(s.section.u_mean, 9))
            alike.setdefault(key, ([], s.section))[0].append(s.name.removesuffix(" cavity"))
    return tuple(RibLine(", ".join(sides), section) for sides, section in alike.values())


def leakage_ua(area: float, shelter: str, height: float) -> float:
    """Return the heat that leaks carry [W/K] at 10 K and 3 m/s.

    Parameters
    ----------
    area : effective leakage area [m2]
    shelter : a key of `physics.airflow.SHELTER`
    height : of the space inside [m]
    """
    from vanclimate.physics.airflow import leakage_flow, stack_coefficient, wind_coefficient

    stack, wind = stack_coefficient(height), wind_coefficient(shelter, height)
    flow = leakage_flow(area, LEAKAGE_DIFFERENCE, LEAKAGE_WIND, stack, wind)
    return AIR_HEAT * float(flow)


def _chain_ua(model: Model, link: Array) -> Array:
    """Return each chain's UA [W/K] with ISO 6946's films; 0 where a link is folded away."""
    net = model.network
    out = np.zeros(len(model.chains))
    for k, area in enumerate(net.area):
        inner = link[net.first[k] : net.first[k + 1] - 1]
        films = RSI + (RSI if net.outside[k] == OUT_ZONE else RSE)
        if (inner > 0.0).all():
            out[k] = 1.0 / (films / area + float((1.0 / inner).sum()))
    return out


def slowest_hours(model: Model, leakage: float) -> float:
    """Return the longest time constant [h] of the shell with nominal films, covers closed.

    With conductances K and capacities C, C dT/dt = −K T; the longest time constant is the greatest
    eigenvalue of C x = τ K x, which stands for nodes without capacity too.
    """
    from scipy.linalg import eigh

    net = model.network
    n, zones = len(net.capacity), len(net.volume)
    k = np.zeros((n + 2 * zones, n + 2 * zones))

    def tie(a: int, b: int, conductance: float) -> None:
        k[[a, b], [a, b]] += conductance
        k[[a, b], [b, a]] -= conductance

    def face(node: int, zone: int, area: float, radiant: float) -> None:
        tie(node, n + zone, INSIDE_CONVECTION * area)
        tie(node, n + zones + zone, INSIDE_RADIATION * radiant)

    for c, area in enumerate(net.area):
        first, last = int(net.first[c]), int(net.first[c + 1]) - 1
        for node in range(first, last):
            tie(node, node + 1, float(net.link_covered[node]))
        if net.outside[c] == OUT_ZONE:
            face(first, int(net.beyond[c]), float(area), float(net.radiant_beyond[c]))
        elif net.outside[c] != OUT_NONE:
            k[first, first] += OUTSIDE_FILM * area
        face(last, int(net.zone[c]), float(area), float(net.radiant_area[c]))
    for z, zone in enumerate(model.zones):
        k[n + z, n + z] += leakage * zone.leakage_share
    heat = np.diag([*net.capacity, *(AIR_HEAT * net.volume), *np.zeros(zones)])
    size = len(k)
    longest = eigh(heat, k, eigvals_only=True, subset_by_index=[size - 1, size - 1])
    return float(longest[0]) / 3600.0
