"""The inverter's loss curve beside measured inverters and the class of data sheets.

Measured: the list of the California Energy Commission as fitted by the Sandia inverter model, as
shipped with pvlib; grid inverters of 1 to 5 kW. They work at some hundred volts and lose half of
what battery inverters do, so only the curve's shape is compared, never its height.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray
from pydantic import ValidationError

from vanclimate.energy.inverter import inverter_input, inverter_of
from vanclimate.van.inverter import SQUARE_SHARE, Inverter

SHARES = (0.1, 0.2, 1.0 / 3.0, 0.5, 0.75, 1.0)


class Measured(NamedTuple):
    """Inverters: rating [W], idle draw [W], DC watts at each of SHARES of the rating."""

    rating: NDArray[np.float64]
    idle: NDArray[np.float64]
    dc: NDArray[np.float64]  # (shares, inverters)


@cache
def measured() -> Measured:
    """Return the inverters of 1 to 5 kW, the model's quadratic solved for the DC watts."""
    import pvlib

    table = pvlib.pvsystem.retrieve_sam("CECInverter")
    idle, rating, full, curve = (
        table.loc[key].astype(float).to_numpy() for key in ("Pso", "Paco", "Pdco", "C0")
    )
    some = (rating >= 1000.0) & (rating <= 5000.0)
    idle, rating, full, curve = idle[some], rating[some], full[some], curve[some]
    linear = rating / (full - idle) - curve * (full - idle)
    ac = np.outer(SHARES, rating)
    return Measured(rating, idle, idle + 2 * ac / (linear + np.sqrt(linear**2 + 4 * curve * ac)))


@cache
def ours() -> tuple[NDArray[np.float64], float]:
    """Return our efficiency less theirs at each share, and how many our curve cannot follow."""
    rows, refused = [], 0
    for rating, idle, dc in zip(measured().rating, measured().idle, measured().dc.T, strict=True):
        fields = {
            "rating": rating, "idle": idle, "efficiency": rating / 3.0 / dc[2],
            "full_load_efficiency": rating / dc[-1],
        }  # fmt: skip
        try:
            inverter = inverter_of(Inverter.model_validate(fields), 12.8)
        except ValidationError:
            refused += 1
            continue
        ac = rating * np.array(SHARES)
        rows.append(ac / [inverter_input(inverter, power) for power in ac] - ac / dc)
    return np.array(rows), refused / len(measured().rating)


def test_the_model_was_solved_right() -> None:
    import pvlib

    table = pvlib.pvsystem.retrieve_sam("CECInverter")
    name = table.columns[(table.loc["Paco"] >= 1000) & (table.loc["Paco"] <= 5000)][0]
    unit = table[name]
    found = pvlib.inverter.sandia(unit["Vdco"], measured().dc[:, 0], unit)
    assert found == pytest.approx(np.array(SHARES) * measured().rating[0], rel=1e-9)


def test_two_efficiencies_and_the_idle_draw_give_the_others() -> None:
    differences, refused = ours()
    assert len(differences) > 1000
    assert refused < 0.08  # a loss that falls with the output, or nothing but its square
    assert np.percentile(np.abs(differences), 95.0, axis=0).max() < 0.005


def test_the_guessed_shape_lies_among_the_measured() -> None:
    third = measured().dc[2] - measured().rating / 3.0 - measured().idle
    full = measured().dc[-1] - measured().rating - measured().idle
    square = 1.5 * (full - 3.0 * third) / 9.0 / third  # of the loss at a third, idle aside
    low, high = np.percentile(square, [25.0, 75.0])
    assert low < SQUARE_SHARE < high
    low, high = np.percentile(measured().idle / measured().rating, [25.0, 75.0])
    assert low < Inverter().idle / Inverter().rating < high


@pytest.mark.parametrize("rating", [1000.0, 2000.0, 3000.0])
def test_the_class_of_data_sheets(rating: float) -> None:
    # 0.85-0.93 with 5-25 W idle, from memory; at outputs from a tenth to all of the rating
    inverter = inverter_of(Inverter.model_validate({"rating": rating}), 12.8)
    assert 5.0 <= inverter.idle <= 25.0
    for share in SHARES:
        assert 0.85 <= share * rating / inverter_input(inverter, share * rating) <= 0.93
