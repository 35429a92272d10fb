"""The measure of coverage measures what it says; its small form holds what its sample can tell."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.stats import binomtest, norm

from tests.coverage import (
    BLOCK,
    CASES,
    HEAD,
    PAGE,
    QUANTITIES,
    STATED,
    Count,
    counted,
    held_out,
    measured,
    row,
    wider,
)
from vanclimate.site.sites import find_site
from vanclimate.site.weather import MEANS, POINTS

HOURS = slice(24 * 181, 24 * 212)  # of July


def test_a_held_out_month_is_made_of_its_own_days():
    weather = find_site("greensboro")
    year = held_out(weather, 7, 1)
    days = {tuple(day) for day in weather.ghi[HOURS].reshape(-1, 24)}
    made = [tuple(day) for day in year.ghi[HOURS].reshape(-1, 24)]
    assert set(made) < days  # drawn with repetition, so some are missing
    together = [tuple(day) for day in weather.ghi[HOURS].reshape(-1, 24)]
    following = sum(together.index(b) - together.index(a) == 1
                    for a, b in pairwise(made))  # fmt: skip
    assert following >= len(made) // BLOCK
    for name in (*MEANS, *POINTS):
        old, new = getattr(weather, name), getattr(year, name)
        assert len(old) == len(new)
        for rest in (slice(0, HOURS.start), slice(HOURS.stop + 1, -1)):
            assert (old[rest] == new[rest]).all()


def test_the_same_seed_is_the_same_year_and_its_key_its_own():
    weather = find_site("greensboro")
    one, again, other = (held_out(weather, 1, seed) for seed in (1, 1, 2))
    assert (one.temp_air == again.temp_air).all()
    assert one.key == again.key
    assert (one.temp_air != other.temp_air).any()
    assert len({weather.key, one.key, other.key}) == 3


def test_a_december_is_no_trouble():
    weather = find_site("miami")
    assert np.isfinite(held_out(weather, 12, 3).temp_air).all()


def test_twice_the_spread_is_twice_the_normal_score():
    assert wider(np.array([0.5, 0.25]), 2.0) == pytest.approx([0.5, norm.cdf(2.0 * norm.ppf(0.25))])


def test_what_lies_in_a_range_is_counted():
    count = counted((0.0, 1.0), [-0.5, 0.0, 0.5, 1.0, 1.5, 2.0])
    assert count == Count(3, 1, 2)
    assert count.of == 6
    text = row(("holds.yaml", 1.0, "fuel_l"), count)
    assert "50%" in text.replace("50 %", "50%")
    assert "30.0 points" in text


def test_the_page_tells_every_case():
    section = PAGE.read_text(encoding="utf-8").split(HEAD)[1].split("\n## ")[0]
    for case in CASES.values():
        assert section.count(f"| {case} |") >= 4
    assert "synthetic" in section
    for name in ("charge_margin", "warm_margin_k", "fuel_l"):
        assert QUANTITIES[name][0] in section


@pytest.mark.slow
def test_a_small_form_of_it_holds_what_its_sample_can_tell():
    """Of so few, only a range that is far too narrow is seen: one in a thousand is the bound."""
    found = measured(8, 32)
    assert {file for file, _, _ in found} == set(CASES)
    for key, count in found.items():
        print(row(key, count))
        if key[1] == 1.0:
            assert binomtest(count.inside, count.of, STATED, "less").pvalue > 1e-3, key
