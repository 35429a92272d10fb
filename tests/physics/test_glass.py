import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.physics import glass

panes = st.builds(glass.Pane, st.floats(1.3, 1.9), st.floats(0.0, 2.0))
stacks = st.lists(panes, min_size=1, max_size=3)
cosines = st.floats(0.0, 1.0)


@given(stacks, cosines)
def test_light_is_neither_made_nor_lost(stack: list[glass.Pane], cosine: float) -> None:
    optics = glass.stack_optics(stack, cosine)
    total = optics.transmittance + optics.reflectance + optics.absorbed.sum(axis=0)
    assert total == pytest.approx(1.0, abs=1e-12)
    assert np.all(optics.absorbed >= -1e-12)


@given(stacks, cosines)
def test_a_turned_stack_transmits_the_same(stack: list[glass.Pane], cosine: float) -> None:
    there = glass.stack_optics(stack, cosine)
    back = glass.stack_optics(stack[::-1], cosine)
    assert there.transmittance == pytest.approx(back.transmittance, abs=1e-12)
    assert there.reflectance == pytest.approx(back.reflectance_back, abs=1e-12)


@given(panes)
def test_pane_is_found_again_from_its_normal_values(pane: glass.Pane) -> None:
    transmittance, reflectance, _ = glass.pane_optics(pane, 1.0)
    found = glass.pane_from_normal(float(transmittance), float(reflectance))
    assert found.n == pytest.approx(pane.n, rel=1e-6)
    assert found.kl == pytest.approx(pane.kl, abs=1e-6)


@given(panes, cosines)
def test_stack_of_one_is_the_pane(pane: glass.Pane, cosine: float) -> None:
    optics = glass.stack_optics([pane], cosine)
    transmittance, reflectance, absorptance = glass.pane_optics(pane, cosine)
    assert optics.transmittance == pytest.approx(transmittance)
    assert optics.reflectance == pytest.approx(reflectance)
    assert optics.absorbed[0] == pytest.approx(absorptance, abs=1e-12)


def test_two_panes_against_counted_bounces() -> None:
    # own oracle at normal incidence, where polarisations are alike: follow the light by hand
    outer, inner = glass.Pane(1.5, 0.1), glass.Pane(1.6, 0.4)
    t_1, r_1, _ = glass.pane_optics(outer, 1.0)
    t_2, r_2, _ = glass.pane_optics(inner, 1.0)
    gap, through, out = t_1, 0.0, r_1
    for _ in range(60):
        through += gap * t_2
        returned = gap * r_2
        out += returned * t_1
        gap = returned * r_1
    optics = glass.stack_optics([outer, inner], 1.0)
    assert optics.transmittance == pytest.approx(through)
    assert optics.reflectance == pytest.approx(out)


def test_normal_reflection_by_hand() -> None:
    # one face of n 1.5: (0.5/2.5)² = 0.04; a clear pane 2·0.04/1.04
    assert glass.pane_optics(glass.Pane(1.5, 0.0), 1.0)[1] == pytest.approx(0.08 / 1.04)


def test_grazing_light_stays_out() -> None:
    optics = glass.stack_optics([glass.Pane(1.526, 0.1)], np.array([0.0, -0.5]))
    assert optics.transmittance == pytest.approx([0.0, 0.0], abs=1e-4)


def test_arrays_and_shapes() -> None:
    stack = [glass.Pane(1.526, 0.1)] * 3
    cosine = np.linspace(0.05, 1.0, 12).reshape(3, 4)
    optics = glass.stack_optics(stack, cosine)
    assert optics.transmittance.shape == (3, 4)
    assert optics.absorbed.shape == (3, 3, 4)
    one = glass.stack_optics(stack, cosine[1, 2])
    assert optics.absorbed[:, 1, 2] == pytest.approx(one.absorbed)


def test_diffuse_has_converged_and_balances() -> None:
    stack = [glass.Pane(1.526, 0.1)] * 2
    coarse, fine = glass.diffuse_optics(stack), glass.diffuse_optics(stack, 400)
    assert coarse.transmittance == pytest.approx(fine.transmittance, abs=1e-4)
    assert coarse.transmittance + coarse.reflectance + coarse.absorbed.sum() == pytest.approx(1.0)
    assert coarse.absorbed.shape == (2,)


@pytest.mark.parametrize(("transmittance", "reflectance"), [(0.9, 0.3), (0.5, 0.6)])
def test_no_such_pane(transmittance: float, reflectance: float) -> None:
    with pytest.raises(ValueError, match="no clear pane"):
        glass.pane_from_normal(transmittance, reflectance)


def test_empty_stack_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one"):
        glass.stack_optics([], 1.0)


milky_panes = st.builds(
    lambda n, passed, left: glass.MilkyPane(n, passed * 0.85, 0.12 + left * (0.88 - passed * 0.85)),
    st.floats(1.3, 1.6),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
)


@given(st.lists(panes, max_size=2), milky_panes, cosines)
def test_light_is_neither_made_nor_lost_over_a_milky_pane(clear, milky, cosine) -> None:
    stack = [*clear, milky]
    for optics in (glass.stack_optics(stack, cosine), glass.diffuse_optics(stack)):
        total = optics.transmittance + optics.reflectance + optics.absorbed.sum(axis=0)
        assert total == pytest.approx(1.0, abs=1e-12)
        assert np.all(optics.absorbed >= -1e-12)
        assert optics.absorbed.shape[0] == len(stack)
    assert glass.scatters(stack)
    assert not glass.scatters(clear)


def test_a_milky_pane_has_its_own_figures_at_normal_incidence() -> None:
    milky = glass.MilkyPane(1.49, 0.5, 0.4)
    optics = glass.stack_optics([milky], np.array([1.0, 0.0]))
    assert optics.transmittance == pytest.approx([0.5, 0.0], abs=1e-4)
    assert optics.reflectance == pytest.approx([0.4, 1.0], abs=1e-4)


def test_a_clear_pane_over_a_milky_one_against_counted_bounces() -> None:
    # own oracle: between the two all light is diffuse after its first bounce
    clear, milky = glass.Pane(1.49, 0.08), glass.MilkyPane(1.49, 0.5, 0.4)
    t_beam, r_beam, _ = glass.pane_optics(clear, 0.8)
    t_milky, r_milky = (float(x) for x in glass.stack_optics([milky], 0.8)[:2])
    t_again, r_again = glass.diffuse_milky(milky)
    up = glass.diffuse_optics([clear])
    through, rising, out = t_beam * t_milky, t_beam * r_milky, r_beam
    for _ in range(60):
        out += rising * float(up.transmittance)
        falling = rising * float(up.reflectance)
        through += falling * t_again
        rising = falling * r_again
    optics = glass.stack_optics([clear, milky], 0.8)
    assert optics.transmittance == pytest.approx(through)
    assert optics.reflectance == pytest.approx(out)


@pytest.mark.parametrize(("passed", "sent_back"), [(-0.1, 0.4), (0.5, 0.01), (0.7, 0.4)])
def test_a_milky_pane_that_cannot_be_is_refused(passed: float, sent_back: float) -> None:
    with pytest.raises(ValueError, match="milky pane"):
        glass.MilkyPane(1.49, passed, sent_back)


def test_a_milky_pane_stands_innermost() -> None:
    milky = glass.MilkyPane(1.49, 0.5, 0.4)
    with pytest.raises(ValueError, match="innermost"):
        glass.stack_optics([milky, glass.Pane(1.5, 0.1)], 1.0)
