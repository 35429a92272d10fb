"""Odds and what moves them, against exact answers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats
from scipy.special import ndtri

from tests.electric_vans import FIXED, van
from vanclimate.answers.futures.ensemble import run_units
from vanclimate.answers.futures.odds import INTERVAL, TOLD, movers, odds_of
from vanclimate.van.unknowns import OTHERS, UNKNOWNS, draws

NAMES = [unknown.name for unknown in UNKNOWNS]


@settings(deadline=None)
@given(st.data())
def test_the_interval_is_scipys_exact_one(data):
    of = data.draw(st.integers(1, 2000))
    held = data.draw(st.integers(0, of))
    odds = odds_of(held, of, of)
    exact = stats.binomtest(held, of).proportion_ci(INTERVAL, method="exact")
    assert odds.low == pytest.approx(exact.low, abs=1e-9)
    assert odds.high == pytest.approx(exact.high, abs=1e-9)


def test_few_of_their_own_widen_it():
    many, few = odds_of(800, 1000, 1000), odds_of(800, 1000, 10)
    exact = stats.binomtest(8, 10).proportion_ci(INTERVAL, method="exact")
    assert (few.low, few.high) == pytest.approx((exact.low, exact.high))
    assert few.low < many.low < many.share == few.share < many.high < few.high


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("seed", [1, 20])
def test_half_of_a_world_that_one_unknowns_median_decides_holds(name, seed):
    count, column = 400, OTHERS + NAMES.index(name)

    def work(draw: int) -> np.ndarray:
        return np.array([[draws(count, seed)[draw, column] - 0.5]])

    margin = run_units(range(count), work, ("margin",))["margin"]
    held = int((margin > 0.0).sum())
    assert stats.binomtest(held, count, 0.5).pvalue > 0.2
    odds = odds_of(held, count, count)
    assert odds.low < 0.5 < odds.high


def test_the_interval_holds_the_truth_as_often_as_it_says():
    """Of a world that holds seven times in ten: the exact interval covers at least what it says."""
    of, true = 60, 0.7
    inside = sum(stats.binom.pmf(held, of, true) for held in range(of + 1)
                 if odds_of(held, of, of).low <= true <= odds_of(held, of, of).high)  # fmt: skip
    assert INTERVAL <= inside < 0.95


def scores(count: int, seed: int) -> dict[str, np.ndarray]:
    """Return the normal scores of the draws by the unknowns' names."""
    table = ndtri(draws(count, seed)[:, OTHERS:])
    return {name: table[:, i] for i, name in enumerate(NAMES)}


MADE = van(air_conditioner=FIXED, roof_panels={"power": "400 W"})  # all that cools; no burner
WEIGHTS = {"sky's radiation": 3.0, "AC performance": -2.0, "battery health": 1.0,
           "bedtime": 0.3}  # fmt: skip


def test_shares_of_a_linear_margin_are_its_exact_ones():
    """Sobol's first-order index of Σ b z is b²/Σ b² (Saltelli et al. 2008, from memory)."""
    count, z = 1024, scores(1024, 7)
    margin = 0.5 + sum(b * z[name] for name, b in WEIGHTS.items())
    found = movers(MADE, 7, margin)
    total = sum(b * b for b in WEIGHTS.values())
    expected = {name: b * b / total for name, b in WEIGHTS.items() if b * b / total >= TOLD}
    assert [mover.name for mover in found] == list(expected)
    tenth = float(ndtri(0.9))
    for mover in found:
        # of a plain sample's variance: a relative error of √(2/n)
        assert mover.share == pytest.approx(expected[mover.name], abs=2.0 * np.sqrt(2.0 / count))
        b = WEIGHTS[mover.name]
        assert (mover.low, mover.high) == pytest.approx(
            (0.5 - tenth * b, 0.5 + tenth * b), abs=1e-6
        )


def test_shares_of_an_additive_margin_that_bends_are_those_of_its_straight_part():
    """f = b₁ z₁ + b₂ sin z₂ + b₃ (z₃² − 1), additive as Ishigami's without its product.

    Variances by hand, from memory of the normal's moments: of b sin z b² (1 − e⁻²) / 2, of which
    its straight part, slope E[cos z] = e^-½, has b² / e; of b (z² − 1) 2 b², of which none is
    straight. So a bent part is told short, and an even one not at all: that is what it does not
    know.
    """
    count, z = 4096, scores(4096, 7)
    one, two, three = 2.0, 2.0, 0.7
    margin = (one * z["AC performance"] + two * np.sin(z["battery health"])
              + three * (z["bedtime"] ** 2 - 1.0))  # fmt: skip
    variance = one**2 + two**2 * (1.0 - np.exp(-2.0)) / 2.0 + 2.0 * three**2
    shares = {mover.name: mover.share for mover in movers(MADE, 7, margin)}
    error = 3.0 * np.sqrt(2.0 / count)
    assert shares["AC performance"] == pytest.approx(one**2 / variance, abs=error)
    assert shares["battery health"] == pytest.approx(two**2 / np.e / variance, abs=error)
    assert "bedtime" not in shares


def test_linked_unknowns_are_told_apart():
    z = scores(1024, 7)
    found = movers(MADE, 7, z["leakage"] * 1.0)
    assert [mover.name for mover in found] == ["leakage"]  # and not the insulation fitted with it
    assert found[0].share == pytest.approx(1.0, abs=0.05)


def test_chance_moves_nothing():
    noise = np.random.default_rng(3).normal(size=64)
    told = [len(movers(MADE, seed, noise)) for seed in range(20)]
    # some of nineteen coefficients lie beyond two of their errors by chance: one in twenty
    assert np.mean(told) < 19 / 20.0 * 1.5


def test_what_the_van_has_not_moves_nothing():
    z = scores(256, 7)
    assert not movers(MADE, 7, z["heater's efficiency"])
    assert not movers(MADE, 7, np.full(256, 0.3))
    assert not movers(MADE, 7, z["leakage"][:10])  # fewer draws than unknowns


def test_a_margin_that_is_none_is_left_out():
    z = scores(256, 7)
    margin = 2.0 * z["AC performance"]
    margin[::7] = np.inf
    (found,) = movers(MADE, 7, margin)
    assert found.name == "AC performance"
