"""How finely a stack is cut, held against the exact wall of ISO 13786's matrix method."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vanclimate.network.resolution import BOUND, cut_error, parts_of
from vanclimate.physics.conduction import PureResistance, SolidLayer

STEEL, PLY = SolidLayer(0.0007, 50.0, 7800.0, 450.0), SolidLayer(0.006, 0.13, 500.0, 1600.0)
FOAM = SolidLayer(0.05, 0.026, 40.0, 1470.0)
CONCRETE = SolidLayer(0.2, 1.8, 2400.0, 1000.0)


def test_a_light_wall_needs_one_node_a_layer_and_a_heavy_one_more():
    assert parts_of([STEEL, SolidLayer(0.03, 0.038, 32.0, 840.0), PLY]) == (1, 1, 1)
    assert parts_of([CONCRETE])[0] >= 6
    assert parts_of([STEEL]) == (1,)


def test_halving_the_parts_quarters_the_error():
    errors = [cut_error([CONCRETE], [n]) for n in (8, 16, 32)]
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.1)
    assert errors[1] / errors[2] == pytest.approx(4.0, rel=0.1)


def test_resistances_alone_have_nothing_to_cut():
    assert parts_of([PureResistance(0.15)]) == (1,)
    assert cut_error([PureResistance(0.15), PureResistance(1.0)], [1, 1]) < 1e-12


layers = st.builds(
    SolidLayer,
    st.floats(0.002, 0.15), st.floats(0.02, 2.0), st.floats(10.0, 2500.0), st.floats(800.0, 2000.0),
)  # fmt: skip


@given(st.lists(layers, min_size=1, max_size=5))
def test_every_stack_is_cut_until_it_follows(stack):
    found = parts_of(stack)
    assert cut_error(stack, found) <= BOUND or max(found) >= 32
    assert np.prod(found) >= 1
