"""Heaters: fuel and heat close, a coolant follows its equation, what keeps one from starting."""

from __future__ import annotations

from math import inf, isinf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numba import njit
from scipy.integrate import solve_ivp

from vanclimate.equipment.heater import (
    COLD_FUEL,
    EMPTY,
    LOW_VOLTS,
    STARTS,
    FuelHeater,
    can_start,
    coil_conductance,
    coolant_step,
    coolant_time,
    derated,
    electric_heater_of,
    fan_power,
    fuel_rate,
    heater_of,
    outdoor_air,
)
from vanclimate.van.heating import ElectricHeater, Heater

SEA = 101325.0
temps = st.floats(-30.0, 95.0)
stretches = st.floats(1e-3, 7200.0)
firings = st.sampled_from([0.0, 2100.0, 5000.0])


def heater(**said: str) -> FuelHeater:
    return heater_of(Heater.model_validate(said), SEA)


AIR = heater()
HYDRONIC = heater(kind="hydronic", output="5 kW")


@given(st.floats(0.0, 1.0))
def test_fuel_and_fan_stay_within_the_plate(share: float) -> None:
    output = AIR.floor + share * (AIR.full - AIR.floor)
    assert AIR.fan_floor <= fan_power(AIR, output) <= AIR.fan_full
    burnt = fuel_rate(AIR, output) * AIR.heating_value
    assert AIR.efficiency * burnt == pytest.approx(output, rel=1e-12)


def test_a_heater_without_output_draws_and_burns_nothing() -> None:
    assert fan_power(AIR, 0.0) == fuel_rate(AIR, 0.0) == 0.0


def test_a_heater_of_one_output_has_one_fan_speed() -> None:
    one = heater(output="2 kW", floor="2 kW")
    assert one.floor == one.full
    assert fan_power(one, one.full) == one.fan_full


def test_no_heater_never_starts_and_no_electric_heater_draws_nothing() -> None:
    none = heater_of(None, SEA)
    assert not none.there
    assert can_start(none, 14.0, 30.0, none.fuel) == EMPTY
    assert can_start(none, 1e6, 30.0, 5.0) == LOW_VOLTS
    assert electric_heater_of(None).power == 0.0
    assert not electric_heater_of(None).there


def test_what_keeps_it_from_starting() -> None:
    assert can_start(AIR, 12.8, 0.0, 5.0) == STARTS
    assert can_start(AIR, 10.4, 0.0, 5.0) == LOW_VOLTS
    assert can_start(AIR, 12.8, -20.1, 5.0) == COLD_FUEL
    assert can_start(AIR, 12.8, 0.0, 0.0) == EMPTY
    summer = heater(**{"coldest_fuel": "summer diesel"})
    assert can_start(summer, 12.8, -1.0, 5.0) == COLD_FUEL


def test_the_usual_least_voltage_follows_the_bank_and_a_given_one_does_not() -> None:
    assert AIR.least_volts == pytest.approx(10.5)
    part = Heater()
    assert heater_of(part, SEA, 25.6).least_volts == pytest.approx(21.0)
    given_volts = Heater.model_validate({"least_volts": "11.5 V"})
    assert heater_of(given_volts, SEA, 25.6).least_volts == 11.5


def test_thin_air_takes_output_unless_it_is_corrected_for() -> None:
    assert derated(2000.0, 0.8 * SEA, False) == pytest.approx(1600.0)
    assert derated(2000.0, 0.8 * SEA, True) == 2000.0
    assert derated(2000.0, 1.05 * SEA, False) == 2000.0  # below the sea no more than the plate
    high = heater_of(Heater.model_validate({"floor": "1.8 kW"}), 0.8 * SEA)
    assert high.floor == high.full == pytest.approx(1600.0)


def test_outdoor_air_goes_with_the_output_and_only_where_it_is_drawn_in() -> None:
    drawn = heater(air="outdoor", airflow="70 m3/h")
    assert outdoor_air(drawn, 2000.0) == pytest.approx(70 / 3600)
    assert outdoor_air(drawn, 1000.0) == pytest.approx(35 / 3600)
    assert outdoor_air(AIR, 2000.0) == 0.0


@given(temps, temps, firings, st.sampled_from([0.0, 1.0]), stretches)
def test_the_coolants_heat_closes(
    coolant: float, air: float, firing: float, fan: float, h: float
) -> None:
    end, heat = coolant_step(HYDRONIC, coolant, air, firing, fan, h)
    kept = HYDRONIC.coolant_heat * (end - coolant)
    scale = max(abs(firing * h), abs(kept), HYDRONIC.coolant_heat)
    assert abs(firing * h - kept - heat * h) < 1e-11 * scale
    settled = air + firing / coil_conductance(HYDRONIC, fan)
    low, high = sorted((coolant, settled))
    assert low - 1e-9 <= end <= high + 1e-9


@given(temps, temps, firings, st.sampled_from([0.0, 1.0]), stretches)
def test_two_halves_make_the_whole(
    coolant: float, air: float, firing: float, fan: float, h: float
) -> None:
    half = coolant_step(HYDRONIC, coolant, air, firing, fan, 0.5 * h)
    rest = coolant_step(HYDRONIC, half.end, air, firing, fan, 0.5 * h)
    end, heat = coolant_step(HYDRONIC, coolant, air, firing, fan, h)
    assert rest.end == pytest.approx(end, abs=1e-9)
    tolerance = 1e-10 * HYDRONIC.coolant_heat / h + 1e-6
    assert 0.5 * (half.heat + rest.heat) == pytest.approx(heat, abs=tolerance)


@given(temps, temps, firings, st.sampled_from([0.0, 1.0]), temps)
def test_the_coolant_is_at_its_target_when_it_was_said_to_be(
    coolant: float, air: float, firing: float, fan: float, target: float
) -> None:
    wait = coolant_time(HYDRONIC, coolant, air, firing, fan, target)
    if isinf(wait):
        for h in (60.0, 3600.0, 86400.0):
            end = coolant_step(HYDRONIC, coolant, air, firing, fan, h).end
            assert (target - coolant) * (end - target) <= 1e-6
    elif wait > 0.0:
        end = coolant_step(HYDRONIC, coolant, air, firing, fan, wait).end
        assert end == pytest.approx(target, abs=1e-6)


def test_the_coolant_agrees_with_a_general_solver() -> None:
    """Oracle: scipy's Runge-Kutta on C dT/dt = P - U (T - T_air), heat to the air beside it."""
    u, air, firing = HYDRONIC.fan_coil, 12.0, 5000.0

    def change(_: float, y: np.ndarray) -> list[float]:
        return [(firing - u * (y[0] - air)) / HYDRONIC.coolant_heat, u * (y[0] - air)]

    solved = solve_ivp(change, (0.0, 300.0), [30.0, 0.0], rtol=1e-10, atol=1e-8)
    end, heat = coolant_step(HYDRONIC, 30.0, air, firing, 1.0, 300.0)
    assert end == pytest.approx(solved.y[0, -1], rel=1e-7)
    assert heat * 300.0 == pytest.approx(solved.y[1, -1], rel=1e-7)


def test_the_loop_gets_the_same_figures() -> None:
    @njit
    def compiled(unit: FuelHeater) -> tuple[float, ...]:
        end, heat = coolant_step(unit, 20.0, 15.0, 5000.0, 1.0, 120.0)
        output = unit.full
        return (
            end, heat, coolant_time(unit, 20.0, 15.0, 5000.0, 0.0, 60.0),
            coolant_time(unit, 20.0, 15.0, 0.0, 0.0, 60.0), output, fuel_rate(unit, output),
            fan_power(unit, output), outdoor_air(unit, output),
            float(can_start(unit, 12.0, -10.0, 3.0)),
        )  # fmt: skip

    assert compiled(HYDRONIC) == pytest.approx(compiled.py_func(HYDRONIC), rel=1e-14)
    assert compiled(HYDRONIC)[3] == inf


def test_an_electric_heater_as_the_loop_has_it() -> None:
    part = ElectricHeater.model_validate({"power": "750 W", "feed": "battery"})
    unit = electric_heater_of(part)
    assert (unit.there, unit.power, unit.on_inverter) == (True, 750.0, False)
