"""Several zones: two vans for one where nothing passes between, and books that close where it does.

The boxes are invented; what is checked are invariants and hand-worked steady states.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tests import invented
from vanclimate.network.compile import Model, compile_shell
from vanclimate.network.shell import Passage, Shell, Surface, Zone
from vanclimate.physics.air import CP_AIR, CP_VAPOUR
from vanclimate.simulate.columns import ZONE_NAMES
from vanclimate.van.layers import Layer

SIDES = ("roof", "floor", "left", "right", "front", "rear")
FOAM = Layer(
    material="foam", thickness=0.05, conductivity=0.035, density=30.0, specific_heat=1400.0
)
PLY = Layer(material="ply", thickness=0.012, conductivity=0.13, density=500.0, specific_heat=1600.0)
HOURS = 48
OUT_HUMIDITY = 0.004


def box(zone: int, area: float, layers: tuple[Layer, ...], without: str = "") -> list[Surface]:
    return [
        Surface(f"{zone} {side}", "walls", side, area, layers, 0.5, 0.9, 0.5, zone=zone)
        for side in SIDES
        if side != without
    ]


def living() -> Zone:
    return Zone("living", 12.0, 200.0, 10.0, 0.7, buffer_capacity=0.6, buffer_conductance=2e-3)


def cab() -> Zone:
    return Zone("cab", 5.0, 60.0, 4.0, 0.3)


def model_of(surfaces: list[Surface], zones: tuple[Zone, ...], *passages: Passage) -> Model:
    return compile_shell(Shell(tuple(surfaces), (), zones, passages))


def run(model: Model, *, passage_open: float = 0.0, gains: Any = 0.0, water: Any = 0.0,
        start: float = 5.0, temp: float = 5.0, leakage: Any = 0.003, hours: int = HOURS,
        **more: Any) -> Any:  # fmt: skip
    net = model.network
    chains, nodes, zones = len(net.area), len(net.capacity), len(net.volume)
    out = invented.outside(chains, nodes, hours, temp=temp, humidity=OUT_HUMIDITY, wind=2.0)
    plan = invented.idle(hours, chains, zones, air_gain=gains, free_water=water, **more)
    plan.passage_open[:, 1:] = passage_open
    plan.covered[:, :] = 1.0
    leak, opening, height = (np.zeros(zones) for _ in range(3))
    for p in model.passages:
        leak[p.zone], opening[p.zone], height[p.zone] = p.leak, p.opening, p.height
    cabin = invented.cabin(
        1.2 * net.volume, leakage=leakage * np.array([z.leakage_share for z in model.zones]),
        passage_leak=leak, passage_opening=opening, passage_height=height, stack=0.000145,
        shelter=0.000174, buffer=np.array([z.buffer_capacity for z in model.zones]),
        buffer_exchange=np.array([z.buffer_conductance for z in model.zones]),
    )  # fmt: skip
    rows, trace = invented.run_bare(net, out, plan, cabin, start=start)
    return rows, trace, cabin


def two(*passages: Passage, partition: bool = False) -> Model:
    surfaces = box(0, 6.0, (FOAM, PLY)) + box(1, 3.0, (PLY,))
    if partition:
        wall = Surface("bulkhead", "partition", "front", 3.0, (PLY,), 0.0, 0.9, 0.5, beyond=1)
        surfaces.append(wall)
    return model_of(surfaces, (living(), cab()), *passages)


GAINS, WATER = np.array([300.0, 150.0]), np.array([2e-5, 1e-5])


def test_a_closed_opening_makes_two_vans_of_two_zones() -> None:
    together, both, _ = run(two(Passage(1, 0.0, 1.2, 1.5, "never")), gains=GAINS, water=WATER)
    alone, first, _ = run(
        model_of(box(0, 6.0, (FOAM, PLY)), (living(),)), gains=GAINS[0], water=WATER[0]
    )
    other = model_of([replace(s, zone=0) for s in box(1, 3.0, (PLY,))], (cab(),))
    _, second, _ = run(other, gains=GAINS[1], water=WATER[1])
    np.testing.assert_allclose(both.zones[:, 0], first.zones[:, 0], rtol=1e-10, atol=1e-12)
    np.testing.assert_allclose(both.zones[:, 1], second.zones[:, 0], rtol=1e-10, atol=1e-12)
    np.testing.assert_allclose(together["cabin_temp_c"], alone["cabin_temp_c"], rtol=1e-10)
    assert np.ptp(together["cabin_temp_c"]) > 5


@pytest.mark.parametrize("opened", [0.0, 1.0], ids=["closed", "open"])
@pytest.mark.parametrize("partition", [False, True])
def test_books_of_heat_and_water_close_over_both_zones(opened: float, partition: bool) -> None:
    model = two(Passage(1, 0.002, 1.2, 1.5, "always"), partition=partition)
    rows, trace, cabin = run(model, passage_open=opened, gains=GAINS, water=WATER, temp=-8.0)
    air = cabin.air_mass * (CP_AIR + 0.01 * CP_VAPOUR)
    held = trace.nodes @ model.network.capacity + trace.zones[:, :, 0] @ air
    flows = sum(rows[n] for n in ("outside_w", "air_w", "equipment_w", "condensation_w"))
    gap = np.diff(held) - 300.0 * flows[1:]
    assert np.abs(gap).max() < 1e-9 * 300.0 * np.abs(flows).sum()
    water = trace.zones[:, :, 2] @ cabin.air_mass + trace.water.sum(axis=1)
    water = water + rows["buffer_water_kg"]
    brought = rows["load_water_kg_s"] + rows["air_water_kg_s"]
    through = 300.0 * np.abs(rows["air_water_kg_s"]).sum()
    assert np.abs(np.diff(water) - 300.0 * brought[1:]).max() < 1e-9 * through
    np.testing.assert_allclose(water, rows["stored_water_kg"], rtol=1e-12)


def test_an_open_passage_brings_the_zones_together() -> None:
    gaps = []
    for opened in (0.0, 1.0):
        passage = Passage(1, 0.002, 1.2, 1.5, "always")
        _, trace, _ = run(two(passage), passage_open=opened, gains=np.array([400.0, 0.0]))
        gaps.append(trace.zones[-1, 0, 0] - trace.zones[-1, 1, 0])
    assert gaps[0] > 5.0
    assert 0.0 < gaps[1] < 0.3 * gaps[0]


def test_a_strong_passage_flow_settles_without_swinging_from_step_to_step() -> None:
    # 2 m3 behind an opening of 2.4 m2: air is renewed within seconds, the step is five minutes.
    # The source turns every three hours; half an hour later the flow has settled, to the formula's.
    small = Zone("cab", 2.0, leakage_share=0.3)
    surfaces = box(0, 6.0, (FOAM, PLY)) + box(1, 1.0, (PLY,))
    model = model_of(surfaces, (living(), small), Passage(1, 0.0, 2.4, 1.4, "always"))
    gains = np.zeros((HOURS, 2))
    gains[:, 1] = np.where(np.arange(HOURS) % 6 < 3, 60.0, -60.0)
    _, trace, _ = run(model, passage_open=1.0, gains=gains)
    flow = trace.zones[:, 1, ZONE_NAMES.index("passage_air_m3_s")].reshape(-1, 36)[1:, 6:]
    assert np.abs(np.diff(flow, axis=1)).max() < 0.02 * flow.min()
    end = trace.zones[-1, :, 0]
    root = np.sqrt(9.80665 * 1.4 * abs(end[1] - end[0]) / (end.mean() + 273.15))
    assert flow[-1, -1] == pytest.approx(0.6 * 2.4 / 3.0 * root, rel=0.01)


def test_a_partition_passes_what_its_layers_and_films_let_through() -> None:
    """Steady: the garage, closed to all but one wall, takes the living space's temperature."""
    shut = [Surface("bulkhead", "partition", "rear", 3.0, (PLY,), 0.0, 0.9, 0.5, beyond=1)]
    inner = [replace(s, boundary_temp=20.0) for s in box(0, 3.0, (PLY,))]
    buried = [replace(s, layers=(replace_thick(FOAM, 0.5),)) for s in box(1, 3.0, (FOAM,))]
    zones = (Zone("living", 12.0), Zone("garage", 3.0, leakage_share=0.0))
    model = model_of(inner + buried + shut, zones)
    _, trace, _ = run(model, temp=0.0, start=18.0, leakage=0.0)
    temps = trace.zones[-1, :, 0]
    assert temps[0] == pytest.approx(20.0, abs=0.5)
    assert 14.0 < temps[1] < temps[0]  # 18 m2 of half a metre of foam, against 3 m2 of plywood


def replace_thick(layer: Layer, thickness: float) -> Layer:
    return layer.model_copy(update={"thickness": thickness})


def test_a_body_at_one_temperature_without_sources_stays_there() -> None:
    model = two(Passage(1, 0.002, 1.2, 1.5, "always"), partition=True)
    # dry linings: water that they take up or give would be a source of heat
    dry = tuple(replace(z, buffer_capacity=0.0) for z in model.zones)
    model = compile_shell(replace(model.shell, zones=dry))
    _, trace, _ = run(model, passage_open=1.0, start=12.0, temp=12.0)
    np.testing.assert_allclose(trace.nodes, 12.0, atol=1e-9)
    np.testing.assert_allclose(trace.zones[:, :, :2], 12.0, atol=1e-9)


def test_linings_hold_water_back_and_give_it_again() -> None:
    swings = []
    for capacity in (0.0, 1.5):
        zone = replace(living(), buffer_capacity=capacity, buffer_conductance=1e-2)
        model = model_of(box(0, 6.0, (FOAM, PLY)), (zone,))
        hours = 240  # until what the linings held at the start is gone
        water = np.where(np.arange(hours) % 24 < 8, 1e-5, 0.0)[:, None]
        rows, _, _ = run(model, water=water, temp=18.0, start=18.0, hours=hours)
        swings.append(np.ptp(rows["cabin_humidity_kg_kg"][-288:]))
    assert swings[1] < 0.8 * swings[0]
