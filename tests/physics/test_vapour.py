"""Water inside a stack: limits, invariants, and the taut string by another way."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from vanclimate.physics.air import saturation_pressure
from vanclimate.physics.vapour import (
    DELTA_AIR,
    MONTH,
    gains,
    surface_factor_needed,
    taut_string,
    year_balance,
)

# an invented year: a cold winter, a mild summer
OUT = 8.0 - 12.0 * np.cos(2 * np.pi * (np.arange(12) + 0.5) / 12)
OUT_P = 0.8 * np.asarray(saturation_pressure(OUT))


def year(resistance, sd, *, excess=800.0, outside=OUT, outside_pressure=OUT_P):
    inside = np.maximum(outside, 20.0)
    return year_balance(
        resistance=np.array(resistance),
        sd=np.array(sd),
        inside_temp=inside,
        inside_pressure=outside_pressure + excess * np.clip((20.0 - outside) / 20.0, 0.0, 1.0),
        outside_temp=outside,
        outside_pressure=outside_pressure,
    )


def test_the_string_is_that_of_least_tension() -> None:
    # the same line is the least of sum dp²/dx under the limits: found by a general minimiser
    rng = np.random.default_rng(3)
    for _ in range(20):
        at = np.concatenate([[0.0], np.cumsum(rng.uniform(0.05, 3.0, 6))])
        limit = rng.uniform(400.0, 2400.0, 7)
        ends = np.minimum(rng.uniform(300.0, 2000.0, 2), limit[[0, -1]])

        def tension(x, at=at, ends=ends):
            return float((np.diff([ends[0], *x, ends[1]]) ** 2 / np.diff(at)).sum()) / 1e4

        found = minimize(
            tension, np.full(5, ends.min()), bounds=[(0.0, b) for b in limit[1:-1]],
            options={"ftol": 1e-15, "gtol": 1e-10, "maxiter": 5000},
        ).x  # fmt: skip
        assert taut_string(at, ends, limit)[1:-1] == pytest.approx(found, abs=1.0)


def test_a_dry_stack_has_a_straight_line() -> None:
    at = np.array([0.0, 1.0, 3.0])
    line = taut_string(at, np.array([500.0, 800.0]), np.full(3, 2000.0))
    assert line == pytest.approx([500.0, 600.0, 800.0])


def test_two_places_condense_at_once() -> None:
    # by hand: 1400 Pa inside, 300 outside, 1 m of still air between places held to 500 and 800 Pa:
    # slopes 200, 300 and 600 Pa/m rise at both
    at, limit = np.array([0.0, 1.0, 2.0, 3.0]), np.array([400.0, 500.0, 800.0, 2000.0])
    rate = gains(at, np.array([300.0, 1400.0]), limit, np.zeros(4, bool))
    assert rate == pytest.approx([0.0, 100 * DELTA_AIR, 300 * DELTA_AIR, 0.0])


def test_water_that_lies_there_dries_to_both_sides() -> None:
    at, limit = np.array([0.0, 1.0, 2.0]), np.array([1500.0, 1500.0, 1500.0])
    rate = gains(at, np.array([1000.0, 900.0]), limit, np.array([False, True, False]))
    assert rate[1] == pytest.approx(-(500 + 600) * DELTA_AIR)


def test_a_wall_without_difference_never_condenses() -> None:
    dry = year([0.0, 1.0], [1500.0, 1.0], excess=0.0, outside=np.full(12, 22.0),
               outside_pressure=np.full(12, 1500.0))  # fmt: skip
    assert dry.start is None
    assert dry.peak.max() == 0.0
    assert dry.left == 0.0


def test_an_open_wool_behind_a_tight_skin_is_the_classic_case() -> None:
    wet = year([0.0, 1.25, 0.05], [1500.0, 0.05, 0.7])
    assert wet.start is not None
    worst = int(wet.peak.argmax())
    assert (wet.places[worst], wet.inside[worst]) == (0, False)  # between the skin and the wool
    assert wet.mass.min() >= 0.0


def test_frozen_places_saturate_over_ice() -> None:
    # ISO 13788 takes saturation over ice below 0 °C: 260 Pa at -10 °C against 286 over water
    # (handbook tables, from memory)
    assert saturation_pressure(-10.0) == pytest.approx(260.0, abs=0.5)


def test_a_month_in_which_a_place_runs_dry_loses_what_it_held() -> None:
    whole = year([0.0, 1.25, 0.05], [1500.0, 0.05, 0.7])
    for m in range(12):
        before = whole.mass[m - 1] if m != whole.start else np.zeros_like(whole.mass[m])
        assert before + whole.gain[m] == pytest.approx(whole.mass[m], abs=1e-12)
    assert whole.gain.sum() == pytest.approx(whole.left, abs=1e-12)


def test_no_month_gains_more_than_reaches_the_stack() -> None:
    got = year([0.0, 1.25, 0.05], [1500.0, 0.05, 0.7])
    assert got.gain.max() < DELTA_AIR * 2300.0 / 0.7 * MONTH


LAYERS = st.lists(
    st.tuples(st.floats(0.0, 1.5), st.floats(0.02, 50.0)), min_size=1, max_size=4
)  # R, sd


@settings(max_examples=40, deadline=None)
@given(layers=LAYERS, skin=st.floats(0.1, 1500.0), excess=st.floats(0.0, 1300.0))
def test_water_is_never_negative_and_never_made(layers, skin, excess) -> None:
    r, sd = zip(*[(0.0, skin), *layers], strict=True)
    got = year(r, sd, excess=excess)
    assert got.mass.min() >= 0.0
    assert got.left >= 0.0
    if got.start is not None:
        assert got.gain.sum() == pytest.approx(got.left, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(
    layers=LAYERS, skin=st.floats(5.0, 1500.0), excess=st.floats(100.0, 1300.0),
    film=st.floats(0.1, 200.0),
)  # fmt: skip
def test_a_vapour_layer_inside_never_makes_it_wetter(layers, skin, excess, film) -> None:
    r, sd = zip(*[(0.0, skin), *layers], strict=True)
    for m in range(12):  # each from dry: what a film keeps out cannot condense
        bare = gained_from_dry(m, r, sd, excess)
        assert gained_from_dry(m, (*r, 0.0), (*sd, film), excess) <= bare + 1e-9


def gained_from_dry(month, resistance, sd, excess):
    """Return what condenses in a month [kg/m2] that finds the stack dry: a year of that month."""
    got = year(
        resistance, sd, excess=excess, outside=np.full(12, OUT[month]),
        outside_pressure=np.full(12, OUT_P[month]),
    )  # fmt: skip
    return 0.0 if got.start is None else float(got.gain[got.start].clip(0.0).sum())


def test_a_face_needs_nothing_where_it_is_as_warm_outside() -> None:
    assert surface_factor_needed(20.0, 0.9, 20.0) == 0.0
