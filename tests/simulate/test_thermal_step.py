"""One step of the network against what can be solved by hand: a decay, a slab, a steady state.

The step runs here as plain Python, its films given; the whole loop as it is compiled.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy.linalg import expm
from scipy.optimize import brentq

from tests import invented
from vanclimate.network.compile import (
    IN_VERTICAL,
    OUT_FIXED,
    OUT_NONE,
    OUT_ROOF,
    OUT_UNDER,
    OUT_WALL,
    Model,
    Network,
    chain_nodes,
    compile_shell,
    layer_parts,
)
from vanclimate.network.shell import Surface, shell_of
from vanclimate.network.surroundings import radiant_surroundings
from vanclimate.physics.air import density
from vanclimate.physics.conduction import air_layer_resistance
from vanclimate.physics.convection import (
    ROOF,
    UNDERSIDE,
    VERTICAL,
    inside_film,
    outside_film,
)
from vanclimate.physics.longwave import radiative_coefficient
from vanclimate.simulate import of_zone as of
from vanclimate.simulate.lanes import Lanes, lanes_of
from vanclimate.simulate.plant import N_PLANT
from vanclimate.simulate.start import start_zones
from vanclimate.simulate.thermal import GAMMA, Weather, Work, factorise, take_stages
from vanclimate.van.layers import Layer

Array = np.ndarray[Any, np.dtype[np.float64]]


def ideal(low: float, high: float) -> Array:
    """Return the ideal plant that holds the air between two temperatures [°C]."""
    return np.array([low, high] + [0.0] * (N_PLANT - 2))


FREE = ideal(np.nan, np.nan)


def network(chains: list[tuple[list[float], list[float]]], area: float, kind: int) -> Network:
    """Return a network of chains alike in area and kind."""
    n = len(chains)
    return Network(
        first=np.cumsum([0, *(len(c[0]) for c in chains)]).astype(np.int64),
        capacity=np.concatenate([c[0] for c in chains]),
        link=np.concatenate([c[1] for c in chains]),
        link_covered=np.concatenate([c[1] for c in chains]),
        area=np.full(n, area),
        radiant_area=np.full(n, area),
        emissivity=np.full(n, 0.9),
        roughness=np.ones(n),
        outside=np.full(n, kind, dtype=np.int64),
        inside=np.full(n, IN_VERTICAL, dtype=np.int64),
        fixed_temp=np.zeros(n),
        zone=np.zeros(n, dtype=np.int64),
        beyond=np.full(n, -1, dtype=np.int64),
        radiant_beyond=np.zeros(n),
        exchange=np.zeros((n, n)),
        inside_beyond=np.full(n, IN_VERTICAL, dtype=np.int64),
        vary=np.zeros(0, dtype=np.int64),
        vary_slope=np.zeros(0),
        gap=np.zeros(0),
        gap_exchange=np.zeros(0),
        gap_area=np.zeros(0),
        gap_up=np.zeros(0),
        size=np.full(n, 2.0),
        length_factor=np.ones(n),
        volume=np.array([10.0]),
    )


def work_for(net: Network, *, outer: float, inner: float, radiant: float) -> Work:
    """Return scratch arrays in which the films [W/K] are set."""
    idle, lanes = invented.cabin(12.0), lanes_of(net)
    begin = start_zones(1, 0.0, 0.0, idle.buffer, 0.5)
    work = invented.scratch_of(lanes, idle, begin, np.zeros(len(net.capacity))).work
    for film, value in zip(work.films[:4], (outer, 0.0, inner, radiant), strict=True):
        film[:] = value
    work.films.link[:] = lanes.link
    return work


def constant(net: Lanes, temp: float) -> Weather:
    lanes, at, none = len(net.area), np.full(2, temp), np.zeros(2)
    around, still = np.full(lanes, temp), np.zeros(lanes)
    return Weather(at, at, none, around, still, still, around)


def march(net: Network, work: Work, node: Array, air: float, h: float, n: int, *, outdoor: float,
          air_capacity: float, ventilation: float = 0.0, air_gain: float = 0.0,
          plant: Array = FREE) -> tuple[Array, float]:  # fmt: skip
    """Return the nodes, from outside to inside, and the air after ``n`` steps."""
    lanes, capacity = lanes_of(net), np.array([air_capacity])
    sun, weather = np.zeros(len(node)), constant(lanes, outdoor)
    node = node[lanes.node_in_network]
    zones = start_zones(1, air, 0.0, np.zeros(1), 0.5)
    zones[of.VENTILATION, 0], zones[of.AIR_GAIN, 0] = ventilation, air_gain
    for _ in range(n):
        factorise(lanes, work.films, work.factors, zones, capacity, GAMMA * h)
        take_stages(lanes, work, node, zones, sun, weather, capacity, plant, h)
        node = work.two.node.copy()
        zones[of.AIR, 0] = work.two.core[0]
    return node[np.argsort(lanes.node_in_network)], float(zones[of.AIR, 0])


# ---- one node ------------------------------------------------------------------------------------


@pytest.mark.parametrize("base", [300.0, 60.0])
def test_aired_cabin_decays_by_the_exponential(base: float) -> None:
    """Nothing but a constant flow of outdoor air at 0 °C takes the heat of air at 30 °C."""
    net = network([([1.0], [0.0])], 1e-9, OUT_NONE)  # the loop needs a chain; this one is a speck
    flow, air_mass, humidity, hours = 0.01, 12.0, 0.001, 3
    out = invented.outside(1, 1, hours, temp=0.0, humidity=humidity)
    plan = invented.idle(hours, 1, fan_flow=flow)
    cabin = invented.cabin(air_mass)
    rows, _ = invented.run_bare(net, out, plan, cabin, start=30.0, base=base)
    heat = flow * float(density(0.0, humidity, 101325.0)) * (1006.0 + 1860.0 * humidity)
    tau = air_mass * (1006.0 + 0.01 * 1860.0) / heat
    assert 600 < tau < 1800
    t = base * (1.0 + np.arange(len(rows["cabin_temp_c"])))
    exact = 30.0 * np.exp(-t / tau)
    # second order: per step (h/tau)^3 x 0.04, the scheme's own error constant, so 0.1 % at 5 min
    most = 30.0 * (base / tau) ** 2 * 0.06
    assert np.abs(rows["cabin_temp_c"] - exact).max() < most


@pytest.mark.parametrize("radiant", [1.0, 40.0])
def test_two_nodes_decay_as_the_matrix_exponential_says(radiant: float) -> None:
    """One furnishing node and the air; a radiant star with one face can pass nothing on."""
    net = network([([5e5], [0.0])], 10.0, OUT_NONE)
    inner, vent, c_air = 25.0, 20.0, 1.5e4
    work = work_for(net, outer=0.0, inner=inner, radiant=radiant)
    node, air = march(net, work, np.array([30.0]), 10.0, 30.0, 240, outdoor=0.0,
                      air_capacity=c_air, ventilation=vent)  # fmt: skip
    rates = np.array([[-inner / 5e5, inner / 5e5], [inner / c_air, -(inner + vent) / c_air]])
    exact = expm(rates * 7200.0) @ np.array([30.0, 10.0])
    np.testing.assert_allclose([node[0], air], exact, atol=2e-3)


def error_after(h: float) -> float:
    """Return the error after 4 h of a chain of four nodes and the air, from a smooth start."""
    net = network([([4e4, 6e4, 5e4, 3e4], [60.0, 40.0, 50.0, 0.0])], 8.0, OUT_WALL)
    work = work_for(net, outer=80.0, inner=30.0, radiant=0.0)
    c = np.array([4e4, 6e4, 5e4, 3e4, 2e4])
    ties = [60.0, 40.0, 50.0, 30.0]
    k = np.diag([80.0, 0.0, 0.0, 0.0, 15.0])  # to outdoors at 0 °C; the last is ventilation
    for i, g in enumerate(ties):
        k[i : i + 2, i : i + 2] += np.array([[g, -g], [-g, g]])
    # the slowest mode and a little of the next: the start holds nothing quicker than the steps
    _, vectors = np.linalg.eigh(k / np.sqrt(np.outer(c, c)))
    start = (vectors[:, 0] + 0.3 * vectors[:, 1]) / np.sqrt(c)
    start = 20.0 * start / np.abs(start).max()
    exact = expm(-k / c[:, None] * 4 * 3600.0) @ start
    work.films.in_radiant[:] = 1e-12  # no star: its equation must still have a solution
    node, air = march(net, work, start[:4].copy(), float(start[4]), h, round(14400 / h),
                      outdoor=0.0, air_capacity=2e4, ventilation=15.0)  # fmt: skip
    return float(np.abs(np.append(node, air) - exact).max())


def test_halving_the_step_quarters_the_error() -> None:
    errors = [error_after(h) for h in (600.0, 300.0, 150.0)]
    assert errors[0] > errors[1] > errors[2] > 1e-9
    for coarse, fine in pairwise(errors):
        assert coarse / fine == pytest.approx(4.0, abs=0.5)


def test_a_step_of_any_length_stays_stable() -> None:
    net = network([([1e3, 1e5, 1e3], [1e4, 5.0, 0.0])], 10.0, OUT_WALL)  # stiff: 0.1 s to 6 h
    work = work_for(net, outer=150.0, inner=30.0, radiant=50.0)
    node, air = march(net, work, np.array([70.0, -10.0, 30.0]), 30.0, 3.6e5, 12, outdoor=0.0,
                      air_capacity=1e4)  # fmt: skip
    assert np.abs(node).max() < 1e-3
    assert abs(air) < 1e-3


def test_an_ideal_plant_holds_its_limit_and_no_more() -> None:
    net = network([([5e5], [0.0])], 10.0, OUT_NONE)
    work = work_for(net, outer=0.0, inner=25.0, radiant=1e-12)
    plant = ideal(20.0, 26.0)
    _, air = march(net, work, np.array([20.0]), 20.0, 300.0, 5, outdoor=0.0, air_capacity=1e4,
                   ventilation=30.0, plant=plant)  # fmt: skip
    assert air == 20.0
    assert work.two.core[2] == pytest.approx(30.0 * 20.0)  # all that the draught takes
    _, air = march(net, work, np.array([23.0]), 23.0, 300.0, 1, outdoor=23.0, air_capacity=1e4,
                   plant=plant)  # fmt: skip
    assert work.two.core[2] == 0.0


# ---- a slab --------------------------------------------------------------------------------------

CONCRETE = {"thickness": 0.2, "conductivity": 1.8, "density": 2400.0, "specific_heat": 1000.0}


def slab_series(time: float, film: float, parts: int = 200) -> tuple[float, float]:
    """Return mean and face temperature of a slab at 1 that is plunged into 0 on both sides.

    Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, plane wall with convection
    (equation 5.42; textbook, from memory): sum of C exp(−ζ² Fo) cos(ζ x/L), ζ tan ζ = Bi.
    """
    half = CONCRETE["thickness"] / 2
    alpha = CONCRETE["conductivity"] / (CONCRETE["density"] * CONCRETE["specific_heat"])
    biot, fourier = film * half / CONCRETE["conductivity"], alpha * time / half**2
    mean = face = 0.0
    for n in range(parts):
        z = brentq(lambda x: x * np.sin(x) - biot * np.cos(x), n * np.pi + 1e-9,
                   n * np.pi + np.pi / 2)  # fmt: skip
        term = 4 * np.sin(z) / (2 * z + np.sin(2 * z)) * np.exp(-(z**2) * fourier)
        mean += term * np.sin(z) / z
        face += term * np.cos(z)
    return mean, face


@pytest.mark.parametrize("hours", [1.0, 3.0, 8.0])
def test_slab_cools_as_the_series_says(hours: float) -> None:
    layer = Layer(material="concrete", **CONCRETE)
    wall = Surface("slab", "walls", "left", 1.0, (layer,), 0.0, 0.9, 0.0)
    chain = chain_nodes(layer_parts(wall), 1.0)
    assert len(chain.capacity) == 9  # eight parts of 25 mm
    net = network([(chain.capacity, chain.link)], 1.0, OUT_WALL)
    work = work_for(net, outer=10.0, inner=10.0, radiant=1e-12)
    # the air is held at 0 °C; the series is for a slab whose two sides are alike
    node, _ = march(net, work, np.ones(9), 0.0, 300.0, round(hours * 12), outdoor=0.0,
                    air_capacity=1e3, plant=ideal(0.0, 0.0))  # fmt: skip
    mean, face = slab_series(3600.0 * hours, 10.0)
    stored = float(node @ net.capacity) / net.capacity.sum()
    assert stored == pytest.approx(mean, rel=0.01)
    assert node[0] == pytest.approx(face, rel=0.015)
    assert node[-1] == pytest.approx(node[0], rel=1e-9)


# ---- steady state --------------------------------------------------------------------------------


def steady_heat(model: Model, *, inside: float, outdoor: float, sky: float, wind: float,
                vent: float) -> float:  # fmt: skip
    """Return the heat [W] that holds ``inside``, by repetition over the films alone.

    Each chain is a resistance from its outer to its inner face, and every two inner faces are tied
    by radiation; they are found with dense linear algebra, the films from the last pass. Nothing of
    the loop is used.
    """
    net, n = model.network, len(model.chains)
    at, above = np.array([outdoor]), np.array([sky])
    around = radiant_surroundings(model, at, above, at, at, at)[0]
    last = [range(net.first[k], net.first[k + 1] - 1) for k in range(n)]
    core = np.array([sum(1.0 / net.link[i] for i in nodes) for nodes in last])
    outer, inner = np.full(n, outdoor + 1.0), np.full(n, inside - 1.0)
    star = net.radiant_area
    between = net.exchange + np.outer(star, star) / star.sum()  # m2 of every two faces
    for _ in range(400):
        a, b = np.zeros((2 * n, 2 * n)), np.zeros(2 * n)
        ties = between * radiative_coefficient(inner[:, None], inner[None, :], 1.0)
        a[n:, n:] = np.diag(ties.sum(axis=1)) - ties
        for k in range(n):
            o, i = k, n + k
            if net.outside[k] != OUT_NONE:
                kind = {OUT_ROOF: ROOF, OUT_UNDER: UNDERSIDE}.get(int(net.outside[k]), VERTICAL)
                film = net.area[k] * float(outside_film(outer[k] - outdoor, wind, kind))
                rad = net.area[k] * float(
                    radiative_coefficient(outer[k], around[k], net.emissivity[k])
                )
                a[o, o] += film + rad
                b[o] += film * outdoor + rad * around[k]
            tie = 1.0 / core[k] if core[k] > 0 else 1e9
            a[np.ix_([o, i], [o, i])] += tie * np.array([[1, -1], [-1, 1]])
            film = net.area[k] * float(inside_film(inner[k] - inside, net.inside[k], net.size[k]))
            a[i, i] += film
            b[i] += film * inside
        x = np.linalg.solve(a, b)
        outer, inner = x[:n], x[n:]
    films = np.array([
        net.area[k] * float(inside_film(inner[k] - inside, net.inside[k], net.size[k]))
        for k in range(n)
    ])  # fmt: skip
    return float((films * (inside - inner)).sum()) + vent * (inside - outdoor)


@pytest.mark.parametrize("stacks", [invented.FOAMED, invented.BARE], ids=["foamed", "bare"])
@pytest.mark.parametrize("sky", [-10.0, -28.0])
def test_held_at_20_in_minus_10(stacks: str, sky: float) -> None:
    model = compile_shell(shell_of(invented.sheet(stacks=stacks)))
    # conductivities as at 24 °C, for the films alone are repeated by hand
    flat = model.network._replace(vary_slope=np.zeros_like(model.network.vary_slope))
    model = replace(model, network=flat)
    net, hours, wind, flow = model.network, 24 * 20, 3.0, 0.005
    chains, nodes = len(net.area), len(net.capacity)
    at = np.full(hours + 1, -10.0)
    around = radiant_surroundings(model, at, np.full(hours + 1, sky), at, at, at)
    out = invented.outside(chains, nodes, hours, temp=-10.0, wind=wind, surroundings=around)
    plan = invented.idle(hours, chains, heat_below=20.0, cool_above=20.0, fan_flow=flow)
    cabin = invented.cabin(12.0)
    rows, _ = invented.run_bare(net, out, plan, cabin, start=0.0)
    vent = flow * float(density(-10.0, 0.001, 101325.0)) * (1006.0 + 1.860)
    found = float(rows["plant_w"][-1])
    expected = steady_heat(model, inside=20.0, outdoor=-10.0, sky=sky, wind=wind, vent=vent)
    assert rows["cabin_temp_c"][-1] == pytest.approx(20.0, abs=1e-12)
    assert found == pytest.approx(expected, rel=2e-4)
    # A hand sheet with ISO 6946's films says more, for half of its 0.13 is radiation from faces at
    # room temperature, and here all faces are cold alike; with convection alone (2.5 W/m2K of the
    # same standard, 0.40) it says less.
    assert by_hand(model, 0.40) + vent * 30.0 < found < by_hand(model, 0.13) + vent * 30.0


def test_a_sloping_conductivity_passes_its_mean_over_the_layer() -> None:
    """λ linear in temperature, faces held: the heat is that of λ at the mean of both faces.

    Kirchhoff's transformation; any textbook on conduction.
    """
    layer = Layer(material="polyiso", thickness=0.1, conductivity=0.026, density=32.0,
                  specific_heat=1470.0, slope=-0.004)  # fmt: skip
    wall = Surface("wall", "walls", "left", 1.0, (layer,), 0.0, 0.9, 0.0, boundary_temp=-10.0)
    row = chain_nodes(layer_parts(wall, 8), 1.0)
    assert len(row.varying) > 5
    net = network([(row.capacity, row.link)], 1.0, OUT_FIXED)._replace(
        fixed_temp=np.array([-10.0]), vary=np.array([v.place for v in row.varying]),
        vary_slope=np.array([v.slope for v in row.varying]), gap=np.zeros(len(row.varying)),
        gap_exchange=np.zeros(len(row.varying)), gap_area=np.ones(len(row.varying)),
        gap_up=np.zeros(len(row.varying)),
    )  # fmt: skip
    hours = 48
    out = invented.outside(1, len(row.capacity), hours, temp=-10.0)
    plan = invented.idle(hours, 1, heat_below=20.0, cool_above=20.0)
    rows, trace = invented.run_bare(net, out, plan, invented.cabin(12.0), start=0.0)
    outer, inner = trace.nodes[-1, 0], trace.nodes[-1, -1]
    mean = 0.026 * (1.0 - 0.004 * (0.5 * (outer + inner) - 24.0))
    assert rows["plant_w"][-1] == pytest.approx(mean / 0.1 * (inner - outer), rel=1e-6)
    assert mean > 0.0275  # polyiso on a cold day, within the range in which its slope counts


def test_a_foiled_gap_in_a_roof_insulates_more_by_day_than_by_night() -> None:
    """Heat down in the day, up in the night; each the ISO 6946 value of its direction."""
    gap = Layer(material="air gap", thickness=0.05, conductivity=0.025, density=1.2,
                specific_heat=1006.0, air_gap=True, emissivity_outer=0.05)  # fmt: skip
    ply = Layer(material="ply", thickness=0.012, conductivity=0.13, density=500.0,
                specific_heat=1600.0)  # fmt: skip
    roof = Surface("roof", "roof", "roof", 1.0, (ply, gap, ply), 0.0, 0.9, 0.0, boundary_temp=0.0)
    found = {}
    for outdoor, inside, way in ((40.0, 20.0, "down"), (0.0, 20.0, "up")):
        row = chain_nodes(layer_parts(roof), 1.0)
        (link,) = row.varying
        net = network([(row.capacity, row.link)], 1.0, OUT_FIXED)._replace(
            fixed_temp=np.array([outdoor]), vary=np.array([link.place]), vary_slope=np.zeros(1),
            gap=np.array([link.gap]), gap_exchange=np.array([link.exchange]), gap_area=np.ones(1),
            gap_up=np.ones(1),
        )  # fmt: skip
        out = invented.outside(1, len(row.capacity), 48, temp=outdoor)
        plan = invented.idle(48, 1, heat_below=inside, cool_above=inside)
        rows, trace = invented.run_bare(net, out, plan, invented.cabin(12.0), start=20.0)
        a, b = trace.nodes[-1, link.place], trace.nodes[-1, link.place + 1]
        resistance = (b - a) / float(rows["plant_w"][-1])
        expected = air_layer_resistance(
            0.05, 0.05, 0.9, way, mean_temp=float(a + b) / 2, difference=abs(float(b - a))
        )
        assert resistance == pytest.approx(expected, rel=1e-6)
        found[way] = resistance
    assert found["down"] > 2.0 * found["up"]


def by_hand(model: Model, rsi: float) -> float:
    """Return UA times 30 K with one inside resistance and 0.04 m2K/W outside."""
    net, heat = model.network, 0.0
    for k, area in enumerate(net.area):
        if net.outside[k] != OUT_NONE:
            links = net.link[net.first[k] : net.first[k + 1] - 1]
            heat += 30.0 / ((rsi + 0.04) / area + (1.0 / links).sum())
    return heat
