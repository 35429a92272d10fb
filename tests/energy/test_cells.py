"""The bank's cells: voltage and its integral, current, resistance, temperature."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from typing import Any

import numba
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numba.extending import register_jitable
from scipy.integrate import quad, solve_ivp
from scipy.interpolate import interp1d

from vanclimate.energy.bank_limits import accepted_current, discharge_floor, is_full
from vanclimate.energy.cells import (
    CHARGE,
    ENERGY,
    RISE,
    VOLTS,
    Cells,
    Chemistry,
    back_voltage,
    bank_temperature,
    cells_of,
    charge_rate,
    current_of,
    internal_resistance,
    open_circuit_voltage,
    stored_energy,
    terminal_voltage,
    time_to_temperature,
)
from vanclimate.energy.cells import LEAD as LEAD_CELLS
from vanclimate.energy.cells import LITHIUM as LITHIUM_CELLS
from vanclimate.van.battery import Battery


@register_jitable
def bank_current(bank: Cells, charge: float, temp: float, power: float) -> float:
    """Return the current [A] that brings ``power`` [W] to (+) or from (-) the terminals."""
    volts = back_voltage(bank, open_circuit_voltage(bank, charge), power)
    return current_of(volts, internal_resistance(bank, charge, temp), power)


LITHIUM = cells_of(Battery(capacity=200.0))
LEAD = cells_of(Battery(kind="AGM", capacity=200.0))
BANKS = st.sampled_from([LITHIUM, LEAD, cells_of(Battery(capacity=630.0, voltage=25.6))])
QUICK = settings(max_examples=60, deadline=None, derandomize=True, database=None)
temps = st.floats(-40, 70)
shares = st.floats(-3, 4)


@QUICK
@given(bank=BANKS, share=shares)
def test_the_energy_is_the_integral_of_the_voltage(bank: Cells, share: float) -> None:
    charge = share * bank.capacity
    low, high = sorted((0.0, charge))
    knots = bank.table[CHARGE]
    inside = knots[(knots > low) & (knots < high)]
    edges = [low, *inside, high]
    expected = sum(
        quad(lambda q: open_circuit_voltage(bank, q), a, b)[0] for a, b in pairwise(edges)
    )
    if charge < 0:
        expected = -expected
    assert stored_energy(bank, charge) == pytest.approx(expected, rel=1e-9, abs=1e-9)


@QUICK
@given(bank=BANKS, a=shares, b=shares)
def test_energy_and_voltage_rise_with_the_charge_and_stay_finite(
    bank: Cells, a: float, b: float
) -> None:
    low, high = sorted((a * bank.capacity, b * bank.capacity))
    assert np.isfinite(stored_energy(bank, low))
    assert open_circuit_voltage(bank, low) <= open_circuit_voltage(bank, high)
    if high - low > 1e-6:
        assert stored_energy(bank, low) < stored_energy(bank, high)


def test_far_beyond_its_ends_the_table_is_held() -> None:
    for bank in (LITHIUM, LEAD):
        assert open_circuit_voltage(bank, -1e6) == bank.table[VOLTS, 0]
        assert open_circuit_voltage(bank, 1e6) == bank.table[VOLTS, -1]
        assert stored_energy(bank, 0.0) == 0.0
        at_full = stored_energy(bank, bank.capacity)
        assert at_full == pytest.approx(bank.table[ENERGY, -1], rel=1e-12)


@QUICK
@given(bank=BANKS, share=shares, temp=temps, power=st.floats(-30000, 30000))
def test_volts_times_amps_is_the_power(
    bank: Cells, share: float, temp: float, power: float
) -> None:
    charge = share * bank.capacity
    volts = open_circuit_voltage(bank, charge)
    ohm = internal_resistance(bank, charge, temp)
    least = -(volts**2) / (4 * ohm)  # of a draw, below the gap
    current = bank_current(bank, charge, temp, power)
    brought = current * terminal_voltage(bank, charge, temp, current)
    assert brought == pytest.approx(max(power, least), rel=1e-9, abs=1e-6)
    assert current * power >= 0


def test_charging_stands_above_discharging_at_the_smallest_current() -> None:
    # four cells; what a rested bank shows, and what is drawn from it, are on the lower branch
    rest = open_circuit_voltage(LITHIUM, 100.0)
    up, still, down = (terminal_voltage(LITHIUM, 100.0, 25.0, i) for i in (1e-9, 0.0, -1e-9))
    assert up == pytest.approx(rest + 4 * LITHIUM_CELLS.gap)
    assert still == rest
    assert down == pytest.approx(rest)
    assert terminal_voltage(LEAD, 100.0, 25.0, 1e-9) == pytest.approx(
        open_circuit_voltage(LEAD, 100.0)
    )


def test_a_small_power_loses_no_digits_and_no_resistance_is_no_trouble() -> None:
    volts = open_circuit_voltage(LITHIUM, 100.0)
    for power, against in ((-1e-6, volts), (1e-6, volts + LITHIUM.gap)):
        current = bank_current(LITHIUM, 100.0, 25.0, power)
        assert current == pytest.approx(power / against, rel=1e-9)
    ideal = LITHIUM._replace(resistance=0.0)
    assert bank_current(ideal, 100.0, 25.0, -2000.0) == pytest.approx(-2000.0 / volts)


@QUICK
@given(bank=BANKS, share=shares, a=temps, b=temps)
def test_cold_and_emptiness_raise_the_resistance(
    bank: Cells, share: float, a: float, b: float
) -> None:
    charge = share * bank.capacity
    cold, warm = sorted((a, b))
    assert internal_resistance(bank, charge, cold) >= internal_resistance(bank, charge, warm) > 0
    empty = internal_resistance(bank, 0.0, a)
    full = internal_resistance(bank, bank.capacity, a)
    assert empty >= internal_resistance(bank, charge, a) >= full
    assert internal_resistance(bank, bank.capacity, 25.0) == pytest.approx(bank.resistance)


@pytest.mark.parametrize("bank", [LITHIUM, LEAD])
@pytest.mark.parametrize("temp", [25.0, -5.0])
def test_a_discharge_at_constant_power_agrees_with_scipy(bank: Cells, temp: float) -> None:
    """Against `scipy.integrate.solve_ivp`, volts and ohms read from the table by scipy too."""
    volts = interp1d(bank.table[CHARGE], bank.table[VOLTS])
    rise = interp1d(bank.table[CHARGE], bank.table[RISE])
    ohm = bank.resistance * np.exp(bank.activation * (1 / (temp + 273.15) - 1 / 298.15))
    power, stop = 500.0, 0.3 * bank.capacity

    def drain(_: float, y: Any) -> list[float]:
        v, r = float(volts(y[0])), float(rise(y[0])) * ohm
        roots = np.roots([r, -v, power])  # I (V − I R) = P
        return [-float(min(roots.real)) / 3600.0]

    def reached(_: float, y: Any) -> float:
        return float(y[0] - stop)

    reached.terminal = True  # type: ignore[attr-defined]
    exact = solve_ivp(
        drain, (0.0, 1e5), [bank.capacity], events=reached, rtol=1e-8, atol=1e-8, max_step=600.0
    )
    charge, step, t, heat = bank.capacity, 60.0, 0.0, 0.0
    while charge > stop:
        current = bank_current(bank, charge, temp, -power)
        after = charge + charge_rate(bank, current) * step
        heat += (stored_energy(bank, charge) - stored_energy(bank, after)) * 3600 - power * step
        charge, t = after, t + step
    t += (stop - charge) / charge_rate(bank, current)
    assert t == pytest.approx(exact.t_events[0][0], rel=2e-3)
    ohmic = np.trapezoid(
        [drain(0, [q])[0] ** 2 * 3600**2 * float(rise(q)) * ohm for q in exact.y[0]], exact.t
    )
    assert heat == pytest.approx(ohmic, rel=0.03)  # what the books leave over is I² R


@pytest.mark.parametrize("bank", [LITHIUM, LEAD])
def test_what_goes_in_is_kept_or_warms_the_bank(bank: Cells) -> None:
    current = 0.2 * bank.capacity
    charge = 0.55 * bank.capacity
    h = 60.0
    into = current * terminal_voltage(bank, charge, 25.0, current) * h / 3600.0
    after = charge + charge_rate(bank, current) * h
    kept = stored_energy(bank, after) - stored_energy(bank, charge)
    lost = (1.0 - bank.charge_efficiency) * current * h / 3600.0
    ohmic = current**2 * internal_resistance(bank, charge, 25.0) * h / 3600.0
    volts = open_circuit_voltage(bank, charge)
    gap = bank.gap * current * h / 3600.0
    assert into - kept == pytest.approx(lost * volts + ohmic + gap, rel=0.02)
    assert into > kept


@QUICK
@given(
    temp=st.floats(-30, 60), air=st.floats(-30, 60), heat=st.floats(0, 500),
    h=st.floats(0, 1e5), loss=st.sampled_from([0.0, 1e-9, 0.3, 2.0, 50.0]),
)  # fmt: skip
def test_warming_agrees_with_the_exponential_and_closes(
    temp: float, air: float, heat: float, h: float, loss: float
) -> None:
    bank = LITHIUM._replace(conductance=loss)
    warmed = bank_temperature(bank, temp, air, heat, h)
    stored = bank.heat_capacity * (warmed.end - temp)
    assert stored + warmed.to_air * h == pytest.approx(heat * h, rel=1e-9, abs=1e-4)
    if loss >= 0.3:  # textbook: the first-order response to a constant input
        rest = air + heat / loss
        exact = rest + (temp - rest) * np.exp(-loss * h / bank.heat_capacity)
        assert warmed.end == pytest.approx(exact, rel=1e-9, abs=1e-9)
    else:
        assert warmed.end == pytest.approx(temp + heat * h / bank.heat_capacity, abs=1e-3)


@QUICK
@given(
    temp=st.floats(-30, 60), air=st.floats(-30, 60), heat=st.floats(0, 500),
    target=st.floats(-30, 60), loss=st.sampled_from([0.0, 0.3, 2.0, 50.0]),
)  # fmt: skip
def test_the_time_to_a_temperature_is_when_it_is_there(
    temp: float, air: float, heat: float, target: float, loss: float
) -> None:
    bank = LITHIUM._replace(conductance=loss)
    wait = time_to_temperature(bank, temp, air, heat, target)
    if np.isfinite(wait):
        assert wait >= 0.0
        assert bank_temperature(bank, temp, air, heat, wait).end == pytest.approx(target, abs=1e-6)
    else:
        later = bank_temperature(bank, temp, air, heat, 1e7).end
        between = min(temp, later) + 1e-6 < target < max(temp, later) - 1e-6
        assert not between


def test_a_bank_of_24_volts_is_two_of_12() -> None:
    single, double = (cells_of(Battery(capacity=100.0, voltage=v)) for v in (12.8, 25.6))
    for share in (0.1, 0.5, 1.0):
        one, two = (open_circuit_voltage(b, share * 100.0) for b in (single, double))
        assert two == pytest.approx(2 * one)
    assert double.resistance == pytest.approx(2 * single.resistance)
    assert double.charge_voltage == pytest.approx(28.8)
    assert double.low_voltage == pytest.approx(20.0)


def test_age_takes_capacity_and_adds_resistance() -> None:
    new, aged = (cells_of(Battery(capacity=100.0, health=h)) for h in (1.0, 0.8))
    assert aged.capacity == pytest.approx(80.0)
    assert aged.cut_off == pytest.approx(0.8 * new.cut_off)
    assert aged.resistance == pytest.approx(new.resistance / 0.8)
    assert stored_energy(aged, aged.capacity) == pytest.approx(0.8 * stored_energy(new, 100.0))


def test_the_loop_can_compile_all_of_it() -> None:
    """Without reference counting, as the loop is compiled, and with the same figures."""

    def all_of_it(bank: Cells, charge: float, temp: float, h: float) -> tuple[float, ...]:
        accepted = accepted_current(bank, charge, temp, h)
        floor = discharge_floor(bank, temp, -0.4 * bank.capacity)
        current = bank_current(bank, charge, temp, -900.0)
        volts = terminal_voltage(bank, charge, temp, current)
        warmed = bank_temperature(bank, temp, 10.0, 30.0, h)
        wait = time_to_temperature(bank, temp, 10.0, 30.0, 12.0)
        return (
            accepted.amps, accepted.cause, floor.charge, floor.cause, current, volts, warmed.end,
            warmed.to_air, wait, stored_energy(bank, charge), charge_rate(bank, current),
            1.0 if is_full(bank, charge, temp) else 0.0,
        )  # fmt: skip

    fast = numba.njit(_nrt=False, error_model="numpy")(all_of_it)
    for bank in (LITHIUM, LEAD):
        for share, temp in ((0.02, 25.0), (0.6, -12.0), (0.995, 1.0), (1.0, 55.0)):
            arguments = (bank, share * bank.capacity, temp, 300.0)
            assert fast(*arguments) == pytest.approx(all_of_it(*arguments), rel=1e-12)


@pytest.mark.parametrize("kind", [LITHIUM_CELLS, LEAD_CELLS])
def test_the_page_prints_the_tables(kind: Chemistry) -> None:
    page = (Path(__file__).parents[2] / "docs" / "equipment.md").read_text(encoding="utf-8")
    for row in (kind.volts, kind.rise):
        assert " | ".join(f"{x:g}" for x in row) in page
