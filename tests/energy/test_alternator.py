"""Alternators: what each limit takes, the warming worked out exactly, and what never helps."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from vanclimate.energy.alternator import (
    COOL_DOWN,
    Alternator,
    DcCharger,
    drive,
    feed_current,
    given_by,
    mean_between,
    outdoor_share,
    warmth,
)

QUICK = settings(max_examples=80, deadline=None, derandomize=True, database=None)
FREE = Alternator(
    plate=250.0, speed_share=1.0, hot_share=1.0, warm_up=1200.0, vehicle=0.0, house=inf
)
REAL = Alternator(
    plate=180.0, speed_share=0.8, hot_share=0.8, warm_up=1200.0, vehicle=40.0, house=90.0,
    fuse=inf, voltage=14.0, feed_resistance=0.004,
)  # fmt: skip
PAIR = DcCharger(amps=60.0, efficiency=0.9)
HOUR = np.array([3600.0])
GOES, MILD = np.array([True]), np.array([20.0])
alternators = st.builds(
    Alternator,
    plate=st.floats(20, 400),
    speed_share=st.floats(0.1, 1),
    hot_share=st.floats(0.1, 1),
    warm_up=st.floats(60, 7200),
    vehicle=st.floats(0, 100),
    house=st.floats(0, 400),
    fuse=st.one_of(st.just(inf), st.floats(10, 300)),
    voltage=st.floats(13, 15),
    feed_resistance=st.floats(0, 0.01),
)


@pytest.mark.parametrize(
    ("change", "amps", "limit"),
    [
        ({}, 60.0, None),
        ({"vehicle": 210.0}, 40.0, "to_vehicle"),
        ({"house": 35.0}, 35.0, "to_share"),
        ({"fuse": 48.0}, 48.0, "to_fuse"),
        ({"speed_share": 0.2}, 50.0, "to_speed"),
        ({"hot_share": 0.2, "warm_up": 1e-3}, 50.0, "to_heat"),
    ],
)
def test_each_limit_takes_what_is_counted_to_it(
    change: dict[str, float], amps: float, limit: str | None
) -> None:
    given = given_by(FREE._replace(**change), 60.0, GOES, HOUR, MILD)
    assert given.amps[0] == pytest.approx(amps, rel=1e-4)
    for name in given._fields[1:]:
        assert getattr(given, name)[0] == pytest.approx(
            60.0 - amps if name == limit else 0.0, abs=0.02
        )


def test_the_vehicle_is_served_before_the_house() -> None:
    # 30 A are left of 100 once the vehicle has its 70, whatever the charger asks for
    given = given_by(FREE._replace(plate=100.0, vehicle=70.0), 60.0, GOES, HOUR, MILD)
    assert given.amps[0] == pytest.approx(30.0)
    none = given_by(FREE._replace(plate=60.0, vehicle=70.0), 60.0, GOES, HOUR, MILD)
    assert none.amps[0] == 0.0


@QUICK
@given(alternator=alternators, wanted=st.floats(0, 300), outdoor=st.floats(-30, 50))
def test_given_and_held_back_are_what_is_wanted(
    alternator: Alternator, wanted: float, outdoor: float
) -> None:
    on = np.array([True, True, False, True])
    given = given_by(alternator, wanted, on, np.full(4, 1800.0), np.full(4, outdoor))
    assert sum(given) == pytest.approx(wanted * on, abs=1e-9)
    assert all((part >= -1e-9).all() for part in given)


@QUICK
@given(
    base=st.floats(-200, 200), swing=st.floats(0, 200), tau=st.floats(60, 7200),
    time=st.floats(1, 3600), most=st.floats(0, 300),
)  # fmt: skip
def test_the_mean_of_a_held_fall_is_its_integral(
    base: float, swing: float, tau: float, time: float, most: float
) -> None:
    ours = mean_between(np.array([base]), np.array([swing]), tau, np.array([time]), most)[0]
    grid = (np.arange(20000) + 0.5) * time / 20000
    held = np.clip(base + swing * np.exp(-grid / tau), 0.0, most)
    assert ours == pytest.approx(float(held.mean()), abs=1e-5 * (1 + abs(base) + swing))


def test_the_mean_against_scipy_where_it_is_cut_at_both_ends() -> None:
    ours = mean_between(np.array([-20.0]), np.array([100.0]), 900.0, HOUR, 60.0)[0]
    cuts = [900.0 * np.log(100 / 80), 900.0 * np.log(100 / 20)]
    whole, _ = quad(
        lambda t: min(60.0, max(0.0, -20 + 100 * np.exp(-t / 900.0))), 0, 3600, points=cuts
    )
    assert ours == pytest.approx(whole / 3600, rel=1e-9)


def test_warming_against_scipy() -> None:
    on = np.array([True, True, False, True])
    seconds = np.array([900.0, 1800.0, 2700.0, 600.0])
    state, expected = 0.0, []
    for goes, length in zip(on, seconds, strict=True):
        expected.append(state)
        goal, tau = (1.0, 1200.0) if goes else (0.0, COOL_DOWN)
        run = solve_ivp(lambda t, x, g=goal, k=tau: (g - x) / k, (0, length), [state], rtol=1e-9)
        state = float(run.y[0, -1])
    assert warmth(on, seconds, 1200.0) == pytest.approx(expected, abs=1e-6)


def test_how_a_drive_is_cut_into_segments_changes_nothing() -> None:
    whole = given_by(REAL, 90.0, GOES, np.array([3600.0]), MILD)
    cut = given_by(REAL, 90.0, np.full(6, True), np.full(6, 600.0), np.full(6, 20.0))
    for once, often in zip(whole, cut, strict=True):
        assert often.mean() == pytest.approx(once[0], rel=1e-12)
    assert whole.to_heat[0] > 1.0


def test_a_feed_s_amps_give_the_watts_at_its_end() -> None:
    amps = feed_current(REAL, 960.0)
    assert amps * (14.0 - amps * 0.004) == pytest.approx(960.0)
    assert feed_current(REAL._replace(feed_resistance=0.0), 960.0) == pytest.approx(960 / 14)


worse = st.sampled_from(
    [("vehicle", 1.5), ("feed_resistance", 2.0), ("house", 0.7), ("fuse", 0.7), ("hot_share", 0.8),
     ("speed_share", 0.8), ("plate", 0.8), ("warm_up", 0.5)]
)  # fmt: skip


@QUICK
@given(alternator=alternators, change=worse, outdoor=st.floats(-20, 45))
def test_what_is_worse_never_gives_more(
    alternator: Alternator, change: tuple[str, float], outdoor: float
) -> None:
    name, factor = change
    on, seconds, air = np.full(3, True), np.full(3, 1800.0), np.full(3, outdoor)
    then = alternator._replace(**{name: getattr(alternator, name) * factor})
    before = drive(alternator, PAIR, None, 14.4, on, seconds, air).power
    after = drive(then, PAIR, None, 14.4, on, seconds, air).power
    assert (after <= before + 1e-9).all()
    hotter = drive(alternator, PAIR, None, 14.4, on, seconds, air + 8.0).power
    assert (hotter <= before + 1e-9).all()


def test_nothing_is_lost_in_cold_air_and_nothing_negative_left_in_hot() -> None:
    assert outdoor_share(np.array([-20.0, 23.0])) == pytest.approx([1.0, 1.0])
    assert outdoor_share(np.array([43.0, 900.0])) == pytest.approx([0.94, 0.0])


def test_a_charger_s_loss_is_what_it_takes_beyond_what_it_gives() -> None:
    given = drive(FREE, PAIR, None, 14.4, GOES, HOUR, MILD)
    at_the_charger = given.alternator_amps[0] * FREE.voltage
    assert given.power[0] == pytest.approx(60 * 14.4)
    assert given.power[0] * (1 + given.loss[0]) == pytest.approx(at_the_charger)


def test_a_second_alternator_adds_its_amps_without_a_charger_s_loss() -> None:
    second = FREE._replace(plate=100.0, house=80.0)
    alone = drive(None, None, second, 14.4, GOES, HOUR, MILD)
    assert (alone.direct.amps[0], alone.loss[0], alone.alternator_amps[0]) == (80.0, 0.0, 0.0)
    assert alone.amps[0] == 0.0
    assert alone.power[0] == pytest.approx(80 * 14.4)
    assert alone.to_share[0] == pytest.approx(20 * 14.4)
    both = drive(FREE, PAIR, second, 14.4, GOES, HOUR, MILD)
    assert (both.amps[0], both.direct.amps[0]) == pytest.approx((60.0, 80.0))
    assert both.power[0] == pytest.approx(140 * 14.4)
    # only the 60 A have passed through a charger
    assert both.power[0] * both.loss[0] == pytest.approx(60 * 14.4 * (1 / 0.9 - 1))


def test_a_van_that_stands_gives_nothing() -> None:
    still = drive(REAL, PAIR, FREE, 14.4, np.array([False]), HOUR, MILD)
    assert all(part[0] == 0.0 for part in still)
    nobody = drive(None, None, None, 14.4, GOES, HOUR, MILD)
    assert all(part[0] == 0.0 for part in nobody)
