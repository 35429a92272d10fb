from __future__ import annotations

import CoolProp.CoolProp as cp
import numpy as np
import pytest
from scipy.integrate import solve_ivp

from vanclimate.physics.freezing import (
    FUSION,
    ICE_HEAT,
    WATER_HEAT,
    after,
    heat_of,
    ice_share,
    temp_of,
)

K = 0.11  # W/kgK, of a tank of 60 L


def test_the_specific_heat_of_water():
    heats = [cp.PropsSI("C", "T", 273.16 + t, "P", 101325.0, "Water") for t in range(21)]
    assert pytest.approx(np.mean(heats), rel=0.005) == WATER_HEAT


def test_the_latent_heat_of_fusion():
    # 333.6 kJ/kg, handbook value, from memory
    assert pytest.approx(333.6e3, rel=0.003) == FUSION


def test_water_cools_as_the_exponential():
    t = 3600.0 * np.arange(0, 30)
    held = after(heat_of(20.0), 5.0, K, t)
    assert temp_of(held) == pytest.approx(5.0 + 15.0 * np.exp(-K * t / WATER_HEAT), abs=1e-9)


def test_the_latent_time_is_the_heat_over_the_flow():
    # Q = m L / (UA ΔT): 60 kg at UA 6.6 W/K, 8 K below freezing
    seconds = 60.0 * FUSION / (60.0 * K * 8.0)
    assert ice_share(after(0.0, -8.0, K, seconds / 2)) == pytest.approx(0.5)
    assert after(0.0, -8.0, K, seconds * 1.001) < -FUSION < after(0.0, -8.0, K, seconds * 0.999)


def test_first_ice_comes_when_the_exponential_is_at_nothing():
    seconds = WATER_HEAT / K * np.log(1.0 + 15.0 / 5.0)
    assert ice_share(after(heat_of(15.0), -5.0, K, seconds - 1.0)) == 0.0
    assert ice_share(after(heat_of(15.0), -5.0, K, seconds + 60.0)) > 0.0


@pytest.mark.parametrize(("start", "air"), [(20.0, -15.0), (-20.0, 15.0), (3.0, -40.0)])
def test_one_long_step_is_many_short_ones(start, air):
    held = heat_of(start)
    for _ in range(400):
        held = after(held, air, K, 3600.0)
    assert after(heat_of(start), air, K, 400 * 3600.0) == pytest.approx(held, rel=1e-9, abs=1e-3)


@pytest.mark.parametrize(("start", "air"), [(8.0, -20.0), (-8.0, 20.0)])
def test_it_follows_the_differential_equation(start, air):
    def flow(_t, h):
        return [K * (air - temp_of(h[0]))]

    seconds = np.linspace(0.0, 80 * 3600.0, 41)
    found = solve_ivp(flow, (0, seconds[-1]), [heat_of(start)], t_eval=seconds, max_step=300.0)
    assert after(heat_of(start), air, K, seconds) == pytest.approx(found.y[0], abs=150.0)


def test_it_thaws_as_it_froze():
    frozen = after(0.0, -4.0, K, 3600.0)
    assert after(frozen, 4.0, K, 3600.0) == pytest.approx(0.0, abs=1e-6)


def test_it_rests_where_the_air_is_as_warm_and_where_nothing_passes():
    for temp in (10.0, -10.0):
        assert after(heat_of(temp), temp, K, 1e6) == pytest.approx(heat_of(temp))
        assert after(heat_of(temp), -5.0, 0.0, 1e6) == heat_of(temp)
    assert after(-0.3 * FUSION, 0.0, K, 1e6) == -0.3 * FUSION
    assert after(-0.3 * FUSION, -5.0, 0.0, 1e6) == -0.3 * FUSION


def test_arrays_are_as_scalars():
    air = np.array([-20.0, 0.0, 7.0])
    start = heat_of(np.array([5.0, -3.0, 0.0]))
    both = after(start, air, K, 7200.0)
    alone = [after(s, a, K, 7200.0) for s, a in zip(start, air, strict=True)]
    assert both == pytest.approx(alone, rel=1e-12)
    assert temp_of(start) == pytest.approx([5.0, -3.0, 0.0])
    assert heat_of(-3.0) == pytest.approx(-FUSION - 3.0 * ICE_HEAT)
