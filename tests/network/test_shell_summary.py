"""The shell in figures, against steady conduction and one-node decay worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from vanclimate.network.compile import FURNISHING_SPECIFIC_HEAT, compile_shell
from vanclimate.network.shell import Shell, Surface, Zone
from vanclimate.network.summary import AIR_HEAT, leakage_ua, summarise
from vanclimate.van.layers import Layer

SIDES = ("roof", "floor", "left", "right", "front", "rear")


def foam(thickness: float, density: float = 30.0) -> Layer:
    return Layer(
        material="foam", thickness=thickness, conductivity=0.04, density=density,
        specific_heat=1400.0,
    )  # fmt: skip


def cube(layers: tuple[Layer, ...]) -> Shell:
    surfaces = tuple(
        Surface(side, "walls", side, 4.0, layers, absorptance=0.5, emissivity=0.9,
                lining_absorptance=0.5)
        for side in SIDES
    )  # fmt: skip
    return Shell(surfaces, (), (Zone("living", 8.0),))


def test_ua_is_area_over_the_sum_of_resistances():
    # ISO 6946: films of 0.13 and 0.04 m2K/W, and 0.04 m / 0.04 W/mK = 1 m2K/W between
    summary = summarise(compile_shell(cube((foam(0.04),))))
    assert summary.ua == pytest.approx(24.0 / 1.17, rel=1e-12)
    assert summary.ua_covered == summary.ua
    assert sum(p.area for p in summary.sides) == pytest.approx(24.0)


def test_heat_capacity_is_that_of_the_layers_and_the_air():
    summary = summarise(compile_shell(cube((foam(0.04),))))
    layers = 24.0 * 0.04 * 30.0 * 1400.0
    assert summary.capacity == pytest.approx(layers + 1.2 * 1006.0 * 8.0, rel=1e-12)


def furnished(insulation: float, mass: float, area: float) -> Shell:
    bare = cube((foam(insulation, density=0.5),))
    living = replace(bare.zones[0], furnishing_mass=mass, furnishing_area=area)
    return replace(bare, zones=(living,))


def test_furnishing_behind_well_insulated_walls_decays_as_one_node():
    # tau = C / UA of one node. Two paths lead from furnishing to walls, by the air with 2.5 and by
    # the radiant star with 5 W/m2K on each side; then 10 m2K/W of foam and a film of 20 W/m2K.
    area = 24.0
    model = compile_shell(furnished(0.4, 240.0, area))  # a slab of 20 mm, itself 0.15 m2K/W
    own, walls = model.network.radiant_area[-1], model.network.radiant_area[:-1].sum()
    inside = 2.5 * area / 2 + 5.0 / (1 / own + 1 / walls)
    ua = 1 / (1 / inside + (10.0 + 1 / 20.0) / area)
    heat = 240.0 * FURNISHING_SPECIFIC_HEAT + 1.2 * 1006.0 * 8.0
    # the foam's own heat, 1.7 %, lies between in and out: a third of it counts
    heat += 24.0 * 0.4 * 0.5 * 1400.0 / 3
    assert summarise(model).slowest == pytest.approx(heat / ua / 3600.0, rel=0.01)


def test_leaks_shorten_the_slowest_time():
    model = compile_shell(furnished(0.04, 600.0, 10.0))
    assert summarise(model, 10.0).slowest < summarise(model).slowest


def test_leakage_is_flow_times_the_airs_heat():
    # A sqrt(Cs ΔT + Cw U2) = 60 cm2 sqrt(0.0001104·10 + 0.000174·9) L/s, Sherman and Grimsrud's
    # form; Cs of 1.9 m is 0.01 (1.25/3)² 9.80665 · 1.9 / 293.15 = 0.00011035
    flow = 60.0 * (0.00110347 + 0.000174 * 9.0) ** 0.5 / 1000.0
    assert leakage_ua(0.006, "some", 1.9) == pytest.approx(AIR_HEAT * flow, rel=1e-5)
