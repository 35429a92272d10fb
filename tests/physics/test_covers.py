"""The gap behind a cover: limits worked by hand, and what no leak may do."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics.conduction import air_layer_resistance
from vanclimate.physics.covers import Gap, gap_of, gap_speed, inside_cover, outside_cover

gaps = st.builds(Gap, st.floats(0.5, 8.0), st.floats(0.0, 3.5))
mats = st.floats(0.003, 2.0)


def gap(
    slit: float, *, thickness: float = 0.02, wind: float = 0.0, face: float = 0.9, mat: float = 0.3
) -> Gap:
    return gap_of(
        slit=slit, gap=thickness, height=0.8, emissivity=0.84, face_emissivity=face, wind=wind,
        beyond=mat + 0.13,
    )  # fmt: skip


@pytest.mark.parametrize("thickness", [0.01, 0.02, 0.05])
def test_a_sealed_gap_is_the_standard_s_air_layer(thickness):
    still = gap(0.0, thickness=thickness)
    by_standard = air_layer_resistance(thickness, 0.84, 0.9, "horizontal", mean_temp=10.0)
    assert 1.0 / still.across == pytest.approx(by_standard, rel=1e-3)
    assert still.leak == 0.0


def test_speed_without_losses_is_that_of_free_fall_by_buoyancy():
    # wide gap, no friction to speak of, slits as wide as the gap: v = sqrt(2 g H dT / T)
    # (friction in a gap of 0.1 m takes half a percent)
    speed = gap_speed(slit=1.0, gap=0.1, height=0.8, difference=10.0)
    assert speed == pytest.approx((2 * 9.81 * 0.8 * 10 / 283.15) ** 0.5, rel=0.02)


def test_speed_in_a_narrow_gap_is_that_between_plates():
    # friction alone: 12 mu H v / d2 = rho g H dT / T
    speed = gap_speed(slit=1.0, gap=0.001, height=0.8, difference=10.0)
    assert speed == pytest.approx(1.2 * 9.81 * 10 / 283.15 * 1e-6 / (12 * 1.8e-5), rel=0.02)


@given(st.floats(1e-4, 0.03), st.floats(0.005, 0.08), st.floats(0.0, 6.0))
def test_the_pressures_of_the_found_speed_balance(slit, thickness, wind):
    speed = gap_speed(slit=slit, gap=thickness, height=0.7, difference=8.0, wind=wind)
    driving = 1.2 * 9.81 * 0.7 * 8.0 / 283.15 + 0.3 * 0.6 * wind**2
    loss = max(0.0, thickness / (0.6 * 1.5 * slit) - 1.0) ** 2
    spent = 0.6 * speed**2 * (1 + 2 * loss) + 12 * 1.8e-5 * 0.7 * speed / thickness**2
    spent += 2 * 12 * 1.8e-5 * 0.01 / slit**2 * speed * thickness / (1.5 * slit)
    assert spent == pytest.approx(driving, rel=1e-6)


@given(st.floats(0.0, 0.02), st.floats(0.001, 0.02), mats)
def test_a_wider_slit_never_keeps_more_warmth(slit, wider, mat):
    tight = inside_cover(gap(slit, mat=mat), mat)
    loose = inside_cover(gap(slit + wider, mat=mat), mat)
    assert loose.resistance <= tight.resistance + 1e-9


def test_foil_that_faces_the_gap_gains():
    assert inside_cover(gap(0.001, face=0.1), 0.1).resistance > 1.15 * (
        inside_cover(gap(0.001), 0.1).resistance
    )


@given(gaps, mats, st.floats(0.05, 0.2))
def test_an_inside_cover_s_series_passes_what_its_network_passes(gap, mat, film):
    """Own oracle: pane 0, face, cover and room; the network solved by hand as two parallel ways."""
    path = inside_cover(gap, mat, film)
    onward = gap.leak + 1 / (mat + film)
    u = gap.leak + 1 / (1 / gap.across + 1 / onward)
    if 1 / u - film > 1e-3:
        assert 1 / (path.resistance + film) == pytest.approx(u)
    to_room = onward / (onward + gap.across)
    found = path.to_cover * path.resistance / (path.resistance + film) + path.to_room
    assert path.to_cover + path.to_room + path.to_pane == pytest.approx(1.0)
    assert found == pytest.approx(to_room)
    assert min(path) >= -1e-12


@given(gaps, mats)
def test_a_sealed_inside_cover_splits_the_sun_by_its_two_resistances(gap, mat):
    sealed = inside_cover(Gap(gap.across, 0.0), mat)
    assert sealed.resistance == pytest.approx(1 / gap.across + mat)
    assert sealed.to_cover == pytest.approx(1 / gap.across / sealed.resistance)
    assert sealed.to_room == pytest.approx(0.0, abs=1e-12)


@given(gaps, mats)
def test_an_outside_cover_sends_no_more_sun_inward_than_its_network_does(gap, mat):
    path = outside_cover(gap, mat, 0.04)
    inner = gap.leak + gap.across
    branch = 1 / (mat + 1 / inner)
    inward = branch / (branch + 25.0) * gap.across / inner
    assert path.to_cover * 0.04 / (path.resistance + 0.04) <= inward * (1 + 1e-9)
    assert 0.0 <= path.to_cover <= 1.0
    assert outside_cover(Gap(gap.across, 0.0), mat).to_cover == pytest.approx(1.0)


def test_wind_at_the_edges_costs_an_outside_cover_resistance():
    calm = outside_cover(gap(0.003, wind=0.0), 0.3).resistance
    assert outside_cover(gap(0.003, wind=4.0), 0.3).resistance < calm
