"""What outer faces see and which of them look into the wind."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests import invented
from vanclimate.network.compile import Model, compile_shell
from vanclimate.network.shell import shell_of
from vanclimate.network.surroundings import direction_known, radiant_surroundings, windward
from vanclimate.physics.longwave import view_shares
from vanclimate.physics.wind import windward_share

MODEL: Model = compile_shell(shell_of(invented.sheet()))
INDEX = {c.side: k for k, c in enumerate(MODEL.chains) if c.glazing is None}
TEMPS = st.floats(-40, 70)


def seen(air: float, sky: float, panel: float, beside: float, under: float) -> dict[str, float]:
    row = radiant_surroundings(MODEL, *(np.array([t]) for t in (air, sky, panel, beside, under)))[0]
    return {side: float(row[k]) for side, k in INDEX.items()}


@settings(max_examples=60)
@given(st.tuples(TEMPS, TEMPS, TEMPS, TEMPS, TEMPS))
def test_seen_is_between_the_coldest_and_the_warmest_source(
    temps: tuple[float, float, float, float, float],
) -> None:
    for value in seen(*temps).values():
        assert min(temps) - 1e-9 <= value <= max(temps) + 1e-9


def test_a_wall_by_hand() -> None:
    # half ground, of the other half sqrt(1/2) sky: 0.3536 sky, 0.1464 air, 0.5 ground, of which
    # 0.3 is shaded: fourth powers of 303.15, 283.15, 333.15 and 308.15 K
    sky, air, ground = (float(x) for x in view_shares(90.0))
    assert (sky, air, ground) == pytest.approx((0.35355, 0.14645, 0.5), abs=1e-5)
    fourth = 0.35355 * 283.15**4 + 0.14645 * 303.15**4 + 0.35 * 333.15**4 + 0.15 * 308.15**4
    assert seen(30.0, 10.0, 70.0, 60.0, 35.0)["left"] == pytest.approx(
        fourth**0.25 - 273.15, abs=0.01
    )


def test_warm_ground_is_seen_by_walls_and_hardly_by_the_underside_and_never_by_the_roof() -> None:
    cool, warm = (seen(30.0, 10.0, 40.0, ground, 32.0) for ground in (30.0, 60.0))
    assert warm["roof"] == cool["roof"]
    assert warm["left"] - cool["left"] > 8.0
    assert 0.0 < warm["floor"] - cool["floor"] < 5.0
    assert cool["floor"] == pytest.approx(32.0, abs=0.4)


def test_walls_on_every_side_see_the_same_ground() -> None:
    found = seen(20.0, 0.0, 20.0, 35.0, 22.0)
    assert len({round(found[side], 9) for side in ("left", "right", "front", "rear")}) == 1


@given(st.floats(-720, 720))
def test_windward_share_is_symmetric_and_turns(angle: float) -> None:
    share = float(windward_share(angle))
    assert 0.0 <= share <= 1.0
    assert share == pytest.approx(float(windward_share(-angle)), abs=1e-9)
    assert share == pytest.approx(float(windward_share(angle + 360.0)), abs=1e-9)


def shares(direction: float, heading: float, speed: float = 4.0) -> dict[str, float]:
    # a second hour from the north-east, so that the direction counts as known
    row = windward(MODEL, np.array([direction, 45.0]), np.array([speed, speed]), heading)[0]
    return {side: float(row[k]) for side, k in INDEX.items()}


def test_the_wind_meets_the_side_it_blows_on() -> None:
    found = shares(90.0, 0.0)  # nose to the north, wind from the east
    assert (found["right"], found["left"]) == (1.0, 0.0)
    assert found["front"] == found["rear"] == 0.75  # along them, within 100 degrees
    assert found["roof"] == 1.0
    assert found["floor"] == 0.5
    assert shares(180.0, 180.0)["front"] == 1.0


@given(st.floats(0, 359), st.floats(0, 359), st.floats(0, 359))
def test_van_and_wind_turned_together_are_the_same(
    direction: float, heading: float, turn: float
) -> None:
    assert shares((direction + turn) % 360.0, heading + turn) == pytest.approx(
        shares(direction, heading), abs=1e-9
    )


def test_unknown_and_calm_winds_are_the_mean_of_both() -> None:
    assert shares(90.0, 0.0, speed=0.2)["right"] == 0.5
    nothing = windward(MODEL, np.zeros(3), np.full(3, 5.0), 0.0)
    assert not direction_known(np.zeros(3))
    for side in ("left", "right", "front", "rear", "floor"):
        assert (nothing[:, INDEX[side]] == 0.5).all()
