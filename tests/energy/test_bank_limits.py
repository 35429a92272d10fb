"""What a bank takes and gives at most, against a search by brute force."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.energy.bank_limits import (
    accepted_current,
    charge_limit_at,
    discharge_floor,
    given_share,
    is_full,
)
from vanclimate.energy.causes import CELLS, COLD, FULL, TOO_COLD, TOO_FAST, TOO_HOT
from vanclimate.energy.cells import CHARGE, Cells, cells_of, charge_rate, terminal_voltage
from vanclimate.van.battery import Battery

LITHIUM = cells_of(Battery(capacity=200.0))
LEAD = cells_of(Battery(kind="AGM", capacity=200.0))
# a resistance and a charge voltage at which the terminals are what holds the current back
STIFF = cells_of(Battery(capacity=200.0, resistance=0.02, charge_voltage=13.6))
LEAKY = cells_of(Battery(kind="AGM", capacity=200.0, resistance=0.05, charge_limit=150.0))
QUICK = settings(max_examples=120, deadline=None, derandomize=True, database=None)


def fits(bank: Cells, charge: float, temp: float, h: float, amps: float) -> bool:
    """Say whether a current may be held for ``h`` [s], by looking at many moments of it."""
    end = charge + charge_rate(bank, amps) * h
    knots = bank.table[CHARGE]
    passed = [q for q in knots if charge < q < end]
    volts = [
        terminal_voltage(bank, q, temp, amps) for q in [*np.linspace(charge, end, 60), *passed]
    ]
    eased = bank.tail + bank.acceptance * (bank.capacity - end)
    return bool(
        max(volts) <= bank.charge_voltage + 1e-9
        and end <= bank.capacity + 1e-9
        and amps <= eased + 1e-9
        and amps <= charge_limit_at(bank, temp) + 1e-9
    )


@QUICK
@given(
    bank=st.sampled_from([LITHIUM, LEAD, STIFF, LEAKY]), share=st.floats(-0.5, 1.0),
    temp=st.floats(0.0, 44.0), h=st.sampled_from([0.0, 1.0, 60.0, 300.0, 3600.0, 36000.0]),
)  # fmt: skip
@pytest.mark.slow
def test_it_takes_the_greatest_current_that_fits(
    bank: Cells, share: float, temp: float, h: float
) -> None:
    charge = share * bank.capacity
    found = accepted_current(bank, charge, temp, h)
    low, high = 0.0, bank.charge_limit
    if fits(bank, charge, temp, h, high):
        low = high
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if fits(bank, charge, temp, h, middle) else (low, middle)
    assert found.amps == pytest.approx(low, rel=1e-6, abs=1e-6)
    assert found.cause == (TOO_FAST if found.amps == bank.charge_limit else FULL)


@pytest.mark.parametrize("bank", [LITHIUM, LEAD, STIFF, LEAKY])
@pytest.mark.parametrize("step", [10.0, 300.0, 3600.0])
def test_it_is_filled_without_going_over_whatever_the_step(bank: Cells, step: float) -> None:
    charge, t = 0.2 * bank.capacity, 0.0
    while not is_full(bank, charge, 20.0):
        amps = accepted_current(bank, charge, 20.0, step).amps
        assert amps > 0.0
        charge, t = charge + charge_rate(bank, amps) * step, t + step
        assert charge <= bank.capacity * (1.0 + 1e-12)
        assert terminal_voltage(bank, charge, 20.0, amps) <= bank.charge_voltage + 1e-9
        assert t < 40 * 3600.0


def test_long_steps_take_little_more_time_than_short_ones() -> None:
    def hours(bank: Cells, step: float) -> float:
        charge, t = 0.2 * bank.capacity, 0.0
        while not is_full(bank, charge, 20.0):
            charge += charge_rate(bank, accepted_current(bank, charge, 20.0, step).amps) * step
            t += step
        return t / 3600.0

    for bank in (LITHIUM, LEAD):
        assert hours(bank, 300.0) == pytest.approx(hours(bank, 10.0), abs=0.3)


def test_cold_and_heat_hold_the_charge_back() -> None:
    assert accepted_current(LITHIUM, 100.0, -0.1, 60.0) == (0.0, TOO_COLD)
    assert accepted_current(LITHIUM, 100.0, 45.1, 60.0) == (0.0, TOO_HOT)
    assert accepted_current(LITHIUM, 100.0, 0.0, 60.0).amps == LITHIUM.charge_limit
    assert accepted_current(LEAD, 100.0, -0.1, 60.0).amps > 0.0
    assert accepted_current(LITHIUM, 200.0, 20.0, 60.0) == (0.0, FULL)
    assert accepted_current(LITHIUM, 900.0, 20.0, 60.0) == (0.0, FULL)


def test_between_the_cold_limit_and_where_slow_ends_it_takes_part() -> None:
    slow = cells_of(Battery(capacity=200.0, slow_below=10.0, slow_charge=20.0))
    amps = [accepted_current(slow, 100.0, t, 60.0) for t in (0.0, 5.0, 10.0)]
    assert [round(a.amps, 9) for a in amps] == [20.0, 60.0, 100.0]
    assert [a.cause for a in amps] == [TOO_COLD, TOO_COLD, TOO_FAST]


def test_a_bank_is_full_by_its_charge_or_by_its_tail() -> None:
    assert is_full(LITHIUM, 200.0, 20.0)
    assert not is_full(LITHIUM, 199.0, 20.0)
    # chargers that hold 13.7 V stop at the tail before the charge is all back
    low = cells_of(Battery(capacity=200.0, charge_voltage=13.7))
    before = next(q for q in np.arange(150.0, 200.0, 0.05) if is_full(low, q, 20.0))
    assert 197.0 < before < 200.0
    assert accepted_current(low, before, 20.0, 0.0).amps <= low.tail
    assert not is_full(LITHIUM, 100.0, -10.0)  # too cold to be charged is not full


@QUICK
@given(
    bank=st.sampled_from([LITHIUM, LEAD, STIFF, LEAKY]),
    temp=st.floats(-35.0, 50.0), amps=st.floats(0.0, 600.0),
)  # fmt: skip
def test_above_the_floor_the_terminals_hold_and_below_they_do_not(
    bank: Cells, temp: float, amps: float
) -> None:
    floor = discharge_floor(bank, temp, -amps).charge
    assert bank.cut_off <= floor <= bank.capacity
    kept = bank.capacity * (1.0 - given_share(bank, temp, amps))
    just_above = terminal_voltage(bank, floor + 1e-6, temp, -amps)
    if floor < bank.capacity:
        assert just_above >= bank.low_voltage - 1e-9
    if floor > max(bank.cut_off, kept) + 1e-6:
        assert terminal_voltage(bank, floor - 1e-4, temp, -amps) < bank.low_voltage


@QUICK
@given(
    bank=st.sampled_from([LITHIUM, LEAD, STIFF, LEAKY]),
    temps=st.tuples(st.floats(-35, 50), st.floats(-35, 50)),
    draws=st.tuples(st.floats(0, 600), st.floats(0, 600)),
)  # fmt: skip
def test_cold_and_current_raise_the_floor(
    bank: Cells, temps: tuple[float, float], draws: tuple[float, float]
) -> None:
    cold, warm = sorted(temps)
    less, more = sorted(draws)
    slack = 1e-9 * bank.capacity
    at = [discharge_floor(bank, t, -a).charge for t, a in ((warm, less), (cold, less))]
    assert at[1] >= at[0] - slack
    assert discharge_floor(bank, warm, -more).charge >= at[0] - slack


def test_a_floor_names_its_cause() -> None:
    assert discharge_floor(LITHIUM, 25.0, -100.0) == (LITHIUM.cut_off, CELLS)
    cold = discharge_floor(LITHIUM, -10.0, -100.0)
    assert cold.cause == COLD
    assert cold.charge > LITHIUM.cut_off
    assert discharge_floor(LITHIUM, -10.0, 50.0).charge < 200.0  # charging is no draw
    assert discharge_floor(STIFF, 25.0, -150.0).cause == CELLS
    assert discharge_floor(STIFF, 25.0, -150.0).charge > STIFF.cut_off
    assert discharge_floor(LEAD, 25.0, -10.0) == (100.0, CELLS)
