"""Vented gaps after ISO 6946."""

import pytest

from vanclimate.network.damp import slices
from vanclimate.network.resistance import core_resistance
from vanclimate.network.shell import RSE, RSI
from vanclimate.network.vented import is_sheltered, without_vents
from vanclimate.van.layers import Layer, finish_stack


def stack(gap: str) -> tuple[Layer, ...]:
    texts = ("GRP 4 mm", gap, "XPS 1 in", "plywood 6 mm")
    return finish_stack(tuple(Layer.model_validate(t) for t in texts))


CORE = 0.0254 / 0.030 + 0.006 / 0.13


def total(gap: str) -> float:
    return RSE + core_resistance(without_vents(stack(gap))) + RSI


def test_a_shut_gap_stays_as_it_is() -> None:
    assert without_vents(stack("air gap 20 mm")) == stack("air gap 20 mm")


def test_behind_a_well_vented_gap_a_still_film_counts() -> None:
    assert total("well vented air gap 20 mm") == pytest.approx(0.13 + CORE + 0.13)
    assert is_sheltered(stack("vented air gap 20 mm"))


def test_a_slightly_vented_gap_is_the_mean_of_shut_and_well_vented() -> None:
    mean = (total("air gap 20 mm") + total("well vented air gap 20 mm")) / 2
    assert total("slightly vented air gap 20 mm") == pytest.approx(mean)
    assert not is_sheltered(stack("slightly vented air gap 20 mm"))


def test_a_lining_on_a_gap_open_to_the_cabin_is_mass_alone() -> None:
    layers = finish_stack(
        tuple(
            Layer.model_validate(t)
            for t in ("steel 1 mm", "XPS 1 in", "cabin-vented air gap 10 mm", "plywood 6 mm")
        )
    )
    got = without_vents(layers)
    assert core_resistance(got) == pytest.approx(0.0254 / 0.030, rel=1e-3)
    assert got[-1].thickness * got[-1].density == pytest.approx(3.0)


@pytest.mark.parametrize("how", ["", "slightly vented ", "well vented "])
def test_heat_and_vapour_see_the_same_resistance(how: str) -> None:
    found, rse, rsi = slices(stack(f"{how}air gap 20 mm"), "left")
    seen = rse + sum(s.resistance for s in found) + rsi
    assert seen == pytest.approx(total(f"{how}air gap 20 mm"))
