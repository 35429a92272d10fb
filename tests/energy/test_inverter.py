"""The inverter: its loss curve, derating, low voltage, and the cable that feeds it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numba import njit
from scipy.optimize import brentq

from vanclimate.energy.inverter import (
    Inverter,
    cable_of,
    inverter_draw,
    inverter_input,
    inverter_limit,
    inverter_of,
    inverter_voltage,
)
from vanclimate.physics.wire import ampacity
from vanclimate.van.inverter import Inverter as Section

QUICK = settings(max_examples=60, deadline=None, derandomize=True, database=None)
USUAL = inverter_of(Section(), 12.8)


def of(**fields: object) -> Inverter:
    """Return an inverter of 12.8 V with these fields in its section."""
    return inverter_of(Section.model_validate(fields), 12.8)


@QUICK
@given(
    rating=st.floats(100, 8000), third=st.floats(0.75, 0.97), idle=st.floats(0.0, 0.008),
    shape=st.floats(0.0, 1.0),
)  # fmt: skip
def test_it_has_the_efficiencies_of_its_sheet(
    rating: float, third: float, idle: float, shape: float
) -> None:
    loss = rating / 3 * (1 / third - 1) - idle * rating
    full = rating / (rating * (1 + idle) + (3 + 6 * shape) * loss)
    inverter = of(
        rating=rating, idle=idle * rating, efficiency=third, full_load_efficiency=full,
        search_power=0.0,
    )  # fmt: skip
    assert rating / 3 / inverter_input(inverter, rating / 3) == pytest.approx(third, rel=1e-9)
    assert rating / inverter_input(inverter, rating) == pytest.approx(full, rel=1e-9)
    assert inverter.linear >= 0.0
    assert inverter.square >= 0.0


@QUICK
@given(low=st.floats(0.0, 6000.0), more=st.floats(1e-3, 500.0))
def test_more_output_takes_more_input_and_loses_more(low: float, more: float) -> None:
    one, two = inverter_input(USUAL, low), inverter_input(USUAL, low + more)
    assert two - one >= more
    assert one >= low


@pytest.mark.parametrize(("on", "waiting"), [("always", 20.0), ("needed", 0.0), ("search", 4.0)])
def test_what_it_draws_with_nothing_to_do(on: str, waiting: float) -> None:
    inverter = of(on=on)
    assert inverter_input(inverter, 0.0) == waiting
    assert inverter_input(inverter, 1e-9) == pytest.approx(20.0)
    assert inverter_input(inverter, 1000.0) == pytest.approx(1000.0 / 0.9)


def test_search_never_draws_more_than_idle() -> None:
    assert inverter_input(of(on="search", idle="5 W", search_power="9 W"), 0.0) == 5.0


def test_warm_air_takes_of_its_output_and_hot_air_all() -> None:
    assert inverter_limit(USUAL, -20.0) == 3000.0
    assert inverter_limit(USUAL, 40.0) == 3000.0
    assert inverter_limit(USUAL, 50.0) == pytest.approx(0.85 * 3000.0)
    assert inverter_limit(USUAL, 59.999) == pytest.approx(2100.0, rel=1e-4)
    assert inverter_limit(USUAL, 60.0) == 0.0


@QUICK
@given(volts=st.floats(9, 60), ohm=st.floats(1e-5, 0.05), power=st.floats(0, 6000))
def test_volts_behind_the_cable_solve_its_circuit(volts: float, ohm: float, power: float) -> None:
    inverter = USUAL._replace(cable=ohm)
    seen, drawn = inverter_voltage(inverter, volts, power), inverter_draw(inverter, volts, power)
    if power > 0.999 * volts**2 / (4 * ohm):
        assert seen < 0.52 * volts
        assert drawn >= 1.9 * power
        return
    # scipy finds the amps at which bank's volts less the cable's drop make the power
    top = volts / (2 * ohm)
    amps = brentq(lambda i: (volts - i * ohm) * i - power, 0.0, top, xtol=1e-12, rtol=1e-14)
    assert seen == pytest.approx(volts - amps * ohm, rel=1e-6)
    assert drawn - power == pytest.approx(amps**2 * ohm, rel=1e-4, abs=1e-6)


@QUICK
@given(
    volts=st.floats(9, 60), short=st.floats(0.0, 0.05), longer=st.floats(1e-6, 0.05),
    power=st.floats(0.0, 6000.0),
)  # fmt: skip
def test_a_longer_cable_never_gives_more(
    volts: float, short: float, longer: float, power: float
) -> None:
    one, two = USUAL._replace(cable=short), USUAL._replace(cable=short + longer)
    assert inverter_voltage(two, volts, power) <= inverter_voltage(one, volts, power)
    assert inverter_draw(two, volts, power) >= inverter_draw(one, volts, power)


def test_no_cable_loses_nothing() -> None:
    inverter = of(cable_resistance="0 ohm")
    assert inverter_voltage(inverter, 12.0, 3000.0) == 12.0
    assert inverter_draw(inverter, 12.0, 3000.0) == 3000.0
    assert inverter_draw(inverter, 12.0, 0.0) == 0.0


@pytest.mark.parametrize(
    ("bank", "blocks"),
    [(12.0, 1), (12.8, 1), (24.0, 2), (25.6, 2), (36.0, 3), (48.0, 4), (51.2, 4)],
)
def test_usual_limits_go_by_the_blocks_of_the_bank(bank: float, blocks: int) -> None:
    inverter = inverter_of(Section(), bank)
    assert (inverter.cut_off, inverter.restart) == (10.5 * blocks, 12.0 * blocks)


@QUICK
@given(bank=st.floats(10.0, 60.0))
def test_usual_limits_lie_below_any_bank(bank: float) -> None:
    inverter = inverter_of(Section(), bank)
    assert inverter.cut_off < inverter.restart <= bank * (1.0 + 1e-12)


def test_a_high_cut_off_moves_the_usual_restart() -> None:
    assert of(cut_off="12.2 V").restart == pytest.approx(12.7)
    assert of(cut_off="11 V", restart="12.5 V").restart == 12.5


@QUICK
@given(rating=st.floats(50, 20000), bank=st.sampled_from([12.0, 12.8, 25.6, 51.2]))
def test_the_usual_cable_carries_full_load(rating: float, bank: float) -> None:
    cable = cable_of(Section.model_validate({"rating": rating}), bank)
    assert cable.most >= cable.current
    assert cable.resistance > 0
    if cable.parallel > 1:
        assert cable.current > ampacity(cable.area, 105) * (cable.parallel - 1)


def test_resistance_goes_with_length_and_against_copper() -> None:
    base = of(cable_size="35 mm2", cable_length="1 m").cable
    assert of(cable_size="35 mm2", cable_length="3 m").cable == pytest.approx(3 * base)
    assert of(cable_size="70 mm2", cable_length="1 m").cable == pytest.approx(base / 2)
    assert of(cable_resistance="2 mohm").cable == 0.002


def whole(inverter: Inverter, power: float, temp: float) -> tuple[float, float, float, float]:
    """Return what each function says, as the loop calls them."""
    return (
        inverter_input(inverter, power),
        inverter_limit(inverter, temp),
        inverter_draw(inverter, 12.8, power),
        inverter_voltage(inverter, 12.8, power),
    )


@pytest.mark.parametrize(("power", "temp"), [(1500.0, 45.0), (0.0, 70.0), (60000.0, 20.0)])
def test_compiled_it_says_the_same(power: float, temp: float) -> None:
    compiled: Any = njit(whole)
    assert compiled(USUAL, power, temp) == pytest.approx(whole(USUAL, power, temp), rel=1e-14)
