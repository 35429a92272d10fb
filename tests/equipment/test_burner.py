"""A load that burns gas in the open: no electricity, but heat, water and carbon dioxide."""

from __future__ import annotations

import numpy as np
import pytest

from tests import invented
from vanclimate.equipment.burner import carbon_dioxide_of, water_of
from vanclimate.simulate.loads import load_arrays
from vanclimate.van.sheet import Sheet

HOB = "  - {{name: hob, power: 2 kW, when: 18:30 to 19:00, feed: gas}}\n"


def with_hob() -> Sheet:
    return invented.sheet_of(invented.TEXT + HOB)


def test_a_flame_by_hand() -> None:
    # 1 kW of 46.35 MJ/kg is 77.7 g/h of propane: 127 g of water, and 233 g of carbon dioxide,
    # which at 24.06 L a mole of 44.01 g are 127 L
    assert water_of(1000.0) * 3.6e6 == pytest.approx(127.0, abs=1.0)
    assert carbon_dioxide_of(1000.0) * 3.6e6 == pytest.approx(127.0, abs=1.0)


def test_a_flame_has_its_own_heat_water_and_gas_and_draws_nothing() -> None:
    minute = np.array([12 * 60.0, 18 * 60 + 45.0])
    lit, unlit = load_arrays(with_hob(), minute), load_arrays(invented.sheet(), minute)
    for name in ("power", "heat", "water", "fridge", "fridge_heat", "floor"):
        assert (getattr(lit, name) == getattr(unlit, name)).all(), name
    assert lit.free_heat[:, 0] == pytest.approx([0.0, 2000.0])
    assert lit.free_water[:, 0] == pytest.approx([0.0, water_of(2000.0)])
    assert lit.carbon_dioxide == pytest.approx([0.0, carbon_dioxide_of(2000.0)])


def test_a_load_on_gas_is_an_open_burner() -> None:
    assert with_hob().appliances == "open burner"
