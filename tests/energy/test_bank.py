"""Bank and inverter: volts times amps, losses, round trip."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vanclimate.energy.bank import Bank, bank_current, bank_heat, charge_rate, inverter_input

BANK = Bank(
    capacity=200.0, voltage=12.8, resistance=0.002, charge_efficiency=0.955, cut_off=10.0,
    kept=20.0, inverter_idle=20.0, inverter_efficiency=0.9, inverter_always_on=True,
)  # fmt: skip
QUICK = settings(max_examples=60, deadline=None, derandomize=True, database=None)


@QUICK
@given(
    power=st.floats(-5000, 5000), volts=st.floats(10, 60), ohm=st.sampled_from([0.0, 1e-3, 6e-3])
)
def test_volts_times_amps_is_the_power(power: float, volts: float, ohm: float) -> None:
    bank = BANK._replace(voltage=volts, resistance=ohm)
    current = bank_current(bank, power)
    if ohm and power < -(volts**2) / (4 * ohm):
        assert current * (volts + current * ohm) == pytest.approx(-(volts**2) / (4 * ohm))
        return
    assert current * (volts + current * ohm) == pytest.approx(power, rel=1e-9, abs=1e-6)
    assert current * power >= 0


def test_a_small_power_loses_no_digits() -> None:
    current = bank_current(BANK, 1e-6)
    assert current == pytest.approx(1e-6 / 12.8, rel=1e-4)


@QUICK
@given(power=st.floats(-3000, 3000))
def test_watts_in_are_charge_and_heat(power: float) -> None:
    current = bank_current(BANK, power)
    stored = charge_rate(BANK, current) * 3600.0 * BANK.voltage
    assert stored + bank_heat(BANK, current) == pytest.approx(power, rel=1e-9, abs=1e-7)
    assert bank_heat(BANK, current) >= 0


def round_trip(hours: float) -> float:
    """Return watt-hours out over in, each at the current that moves the capacity in ``hours``."""
    amps = BANK.capacity / hours
    into = (
        amps
        / BANK.charge_efficiency
        * (BANK.voltage + amps / BANK.charge_efficiency * BANK.resistance)
    )
    out = amps * (BANK.voltage - amps * BANK.resistance)
    assert charge_rate(BANK, amps / BANK.charge_efficiency) == pytest.approx(amps / 3600)
    assert charge_rate(BANK, -amps) == pytest.approx(-amps / 3600)
    assert bank_current(BANK, into) == pytest.approx(amps / BANK.charge_efficiency)
    assert bank_current(BANK, -out) == pytest.approx(-amps)
    return out / into


def test_round_trip_at_c_5_lies_in_the_band() -> None:
    # lithium iron phosphate 92-96 %, from memory
    assert 0.92 <= round_trip(5.0) <= 0.96


def test_round_trip_falls_with_the_current() -> None:
    assert round_trip(20.0) > round_trip(5.0) > round_trip(1.0)
    assert round_trip(5.0) < BANK.charge_efficiency


def test_inverter_draws_idle_and_output_over_efficiency() -> None:
    assert inverter_input(BANK, 0.0) == 20.0
    assert inverter_input(BANK, 900.0) == pytest.approx(1020.0)
    needed = BANK._replace(inverter_always_on=False)
    assert inverter_input(needed, 0.0) == 0.0
    assert inverter_input(needed, 900.0) == pytest.approx(1020.0)
