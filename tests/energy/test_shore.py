"""Shore power: what the inlet passes, who is served first, and what is left over."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numba import njit

from vanclimate.energy.shore import Shore, inlet_limit, shore_charge

QUICK = settings(max_examples=100, deadline=None, derandomize=True, database=None)
SHORE = Shore(
    amps=24.0, voltage=120.0, resistance=0.2, charger_amps=60.0, charger_efficiency=0.88,
    loads_first=True,
)  # fmt: skip
shores = st.builds(
    Shore,
    amps=st.floats(3, 50),
    voltage=st.floats(90, 250),
    resistance=st.floats(0, 3),
    charger_amps=st.floats(0, 200),
    charger_efficiency=st.floats(0.5, 1),
    loads_first=st.booleans(),
)


def test_volts_times_amps_at_the_inlet() -> None:
    assert inlet_limit(SHORE) == pytest.approx(24 * (120 - 24 * 0.2))


def test_a_cord_passes_no_more_than_its_greatest_power() -> None:
    thin = SHORE._replace(resistance=4.0)
    assert inlet_limit(thin) == pytest.approx(120.0**2 / 16)


@QUICK
@given(shore=shores, mains=st.floats(0, 8000), wanted=st.floats(0, 5000))
def test_the_inlet_is_never_overdrawn_and_every_watt_is_somewhere(
    shore: Shore, mains: float, wanted: float
) -> None:
    got = shore_charge(shore, mains, 13.5, wanted)
    taken = got.mains + got.power / shore.charger_efficiency
    assert taken <= inlet_limit(shore) * (1 + 1e-12) + 1e-9
    assert got.mains + got.rest == pytest.approx(mains)
    assert min(got.power, got.mains, got.rest) >= 0.0
    assert got.power <= min(shore.charger_amps * 13.5, wanted) * (1 + 1e-12)


@QUICK
@given(shore=shores, mains=st.floats(0, 8000))
def test_a_longer_cord_never_gives_more(shore: Shore, mains: float) -> None:
    longer = shore._replace(resistance=shore.resistance + 0.3)
    near, far = (shore_charge(s, mains, 14.4, inf) for s in (shore, longer))
    assert far.mains <= near.mains + 1e-9
    assert far.power <= near.power + 1e-9


def test_loads_first_leaves_the_charger_the_rest() -> None:
    got = shore_charge(SHORE, 2500.0, 14.4, inf)
    assert got.mains == 2500.0
    assert got.power == pytest.approx((inlet_limit(SHORE) - 2500.0) * 0.88)
    assert shore_charge(SHORE, 5000.0, 14.4, inf).power == 0.0


def test_a_charger_that_does_not_yield_leaves_the_loads_the_rest() -> None:
    stubborn = SHORE._replace(loads_first=False)
    got = shore_charge(stubborn, 2500.0, 14.4, inf)
    assert got.power == pytest.approx(60 * 14.4)
    assert got.rest == pytest.approx(2500.0 + 60 * 14.4 / 0.88 - inlet_limit(SHORE))
    # a bank that is full leaves the inlet to the loads
    assert shore_charge(stubborn, 2500.0, 14.4, 0.0).rest == 0.0


def test_the_loop_s_version_gives_the_same() -> None:
    compiled = njit(lambda shore, w: shore_charge(shore, w, 14.0, 900.0))
    assert compiled(SHORE, 2000.0) == pytest.approx(shore_charge(SHORE, 2000.0, 14.0, 900.0))
