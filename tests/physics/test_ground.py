"""The heat balance of thick ground: limits worked by hand, and a fine grid of our own."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.physics.ground import (
    GROUNDS,
    Ground,
    ground_film,
    snow_conductivity,
    surface_temperature,
)
from vanclimate.physics.longwave import STEFAN_BOLTZMANN, sol_air_rise

DARK = Ground(0.0, 1e-12, 1e-9, 1.0, 1.0)  # no longwave and no heat capacity to speak of
HOURS = np.arange(24.0)


def test_film_by_hand() -> None:
    # 5.6 + 4·2 = 13.6; 7.2·8^0.78 = 36.45; both meet at 5 m/s within 1.5 %
    assert ground_film(2.0) == pytest.approx(13.6)
    assert ground_film(8.0) == pytest.approx(36.45, abs=0.01)
    assert ground_film(5.0) == pytest.approx(ground_film(5.0001), rel=0.015)


def test_ground_that_takes_up_nothing_is_at_sol_air() -> None:
    # ASHRAE Fundamentals (constants partly read): 950 W/m², α/h 0.052, −3.9 K for the sky: +45.5 K
    film = 17.0
    absorbed = 0.052 * film * 950.0 - 3.9 * film
    flat = np.ones(24)
    found = surface_temperature(
        DARK, absorbed=absorbed * flat, film=film * flat, temp_air=30.0 * flat, temp_above=0 * flat
    )
    assert found - 30.0 == pytest.approx(sol_air_rise(absorbed, film, 0.0) * flat, abs=0.01)
    assert found[0] - 30.0 == pytest.approx(45.5, abs=0.06)


def test_steady_balance_closes() -> None:
    ground = GROUNDS["concrete"]
    flat = np.ones(48)
    temp = surface_temperature(
        ground, absorbed=400.0 * flat, film=12.0 * flat, temp_air=25.0 * flat, temp_above=5.0 * flat
    )[0]
    sent = ground.emissivity * STEFAN_BOLTZMANN * ((temp + 273.15) ** 4 - 278.15**4)
    assert sent + 12.0 * (temp - 25.0) == pytest.approx(400.0, abs=0.1)


def test_a_daily_swing_equals_a_fine_grid() -> None:
    # our own fine grid: 50 cells of 10 mm, implicit steps of five minutes, forty days from 38 °C
    from scipy.linalg import solve_banded

    ground = GROUNDS["asphalt"]

    def weather(hour: Any) -> tuple[Any, Any, Any]:
        turn = 2 * np.pi / 24
        sun = 450.0 * (1.0 + np.cos(turn * (hour - 12)))
        return sun, 25.0 + 6.0 * np.cos(turn * (hour - 15)), 13.0 + 3.0 * np.sin(turn * hour)

    above = 10.0
    n, dx, dt = 50, 0.010, 300.0
    heat = ground.density * ground.specific_heat * dx / dt
    link = ground.conductivity / dx
    temp = np.full(n, 38.0)
    banded = np.zeros((3, n))
    banded[0, 1:] = banded[2, :-1] = -link
    means = np.zeros(24)
    for step in range(288 * 40):
        sun, air, film = weather((step + 0.5) / 12 % 24)
        k = temp[0] + 273.15  # longwave about the last temperature
        slope = 4 * ground.emissivity * STEFAN_BOLTZMANN * k**3
        gain = sun + film * air + slope * temp[0]
        gain += ground.emissivity * STEFAN_BOLTZMANN * ((above + 273.15) ** 4 - k**4)
        banded[1] = heat + 2 * link
        banded[1, 0] = heat / 2 + link + film + slope  # half a cell, its node on the surface
        banded[1, -1] = heat + link
        right = heat * temp
        right[0] /= 2
        right[0] += gain
        temp = solve_banded((1, 1), banded, right)
        if step >= 288 * 39:
            means[step // 12 % 24] += temp[0] / 12
    sun, air, film = weather(HOURS + 0.5)
    ours = surface_temperature(
        ground, absorbed=sun, film=film, temp_air=air, temp_above=np.full(24, above)
    )
    assert np.abs(ours - means).max() < 0.2


@settings(max_examples=40)
@given(
    st.lists(st.floats(-20, 40), min_size=24, max_size=24),
    st.lists(st.floats(3, 40), min_size=24, max_size=24),
    st.sampled_from(sorted(GROUNDS)),
)
def test_without_sun_never_beyond_air_and_sky(
    air: list[float], film: list[float], kind: str
) -> None:
    temp_air, temp_above = np.array(air), np.array(air) - 15.0
    found = surface_temperature(
        GROUNDS[kind], absorbed=np.zeros(24), film=np.array(film), temp_air=temp_air,
        temp_above=temp_above,
    )  # fmt: skip
    slack = 0.12 * (temp_air.max() - temp_air.min()) + 0.05  # ripples of a sampled series
    assert found.max() <= temp_air.max() + slack
    assert found.min() >= temp_above.min() - slack


def test_watered_grass_is_cooler_than_gravel() -> None:
    sun = np.maximum(0.0, 900.0 * np.cos(2 * np.pi * (HOURS - 12) / 24))
    flat = np.ones(24)

    def hottest(kind: str) -> float:
        ground = GROUNDS[kind]
        return float(
            surface_temperature(
                ground, absorbed=(1 - ground.albedo) * sun, film=13.0 * flat, temp_air=25.0 * flat,
                temp_above=12.0 * flat,
            ).max()
        )  # fmt: skip

    assert hottest("grass") < hottest("concrete") < hottest("gravel")
    assert hottest("concrete") < hottest("asphalt")


def test_figures_of_every_ground_are_possible() -> None:
    for ground in GROUNDS.values():
        assert 0.05 <= ground.albedo <= 0.9
        assert 0.8 <= ground.emissivity <= 1.0
        assert 0.1 <= ground.conductivity <= 3.0
        assert 0.0 <= ground.evaporating <= 1.0
    # Yen 1981 by hand: 2.22362·0.3^1.885 = 0.2298
    assert GROUNDS["snow"].conductivity == pytest.approx(snow_conductivity(300.0), abs=0.005)
