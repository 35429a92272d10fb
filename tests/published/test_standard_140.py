"""ANSI/ASHRAE Standard 140, thermal fabric cases: six of them, all figures.

Bands: least and greatest of the published example results (Standard 140-2020/2023, section 7,
tables B8-1 to B8-5, read in a public rendering). Case descriptions from memory of the standard.
Weather: NREL TMY3 station 725650. One default configuration decides all cases; a figure that misses
is marked with its size and cause, and nothing in the model is fitted to a band.
``tests/published/sensitivities.py`` shows what other models are worth.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import pytest

from .building import DENVER, figures, run_case

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(
        not DENVER.exists(), reason="the Denver typical year is not beside the project"
    ),
]

# MWh a year, peaks as hourly means in kW; °C as hourly means
BANDS = {
    ("600", "heating"): (3.993, 4.504),
    ("600", "cooling"): (5.432, 6.162),
    ("600", "peak heating"): (3.020, 3.359),
    ("600", "peak cooling"): (5.422, 6.481),
    ("620", "heating"): (4.094, 4.719),
    ("620", "cooling"): (3.841, 4.404),
    ("620", "peak heating"): (3.038, 3.385),
    ("620", "peak cooling"): (3.955, 4.797),
    ("600FF", "max"): (62.4, 68.4),
    ("600FF", "min"): (-13.8, -9.9),
    ("900", "heating"): (1.379, 1.814),
    ("900", "cooling"): (2.267, 2.714),
    ("900", "peak heating"): (2.443, 2.778),
    ("900", "peak cooling"): (2.556, 3.376),
    ("900FF", "max"): (43.3, 46.0),
    ("900FF", "min"): (0.6, 2.2),
    ("195", "heating"): (3.951, 4.217),
    ("195", "cooling"): (0.592, 0.712),
    ("195", "peak heating"): (1.791, 1.802),
    ("195", "peak cooling"): (0.944, 1.118),
}


class Miss(NamedTuple):
    """How far a figure lies outside its band, in its own unit, and why."""

    by: float
    cause: str


FILM = (
    "the film outside: ours on glass is a measured one, a third below what most programs take; "
    "with ISO 6946's 4 + 4 v 620 and 900 lie inside, 600 is 0.005 short and 900FF 0.02 K over"
)
SOLID = (
    "not known; its case is from memory. Smooth surfaces, on which a van's film is measured, give "
    "more, and so do constant films inside"
)
MISSES = {
    ("600", "heating"): Miss(0.051, FILM),
    ("620", "heating"): Miss(0.007, FILM),
    ("900", "heating"): Miss(0.012, FILM),
    ("900FF", "min"): Miss(0.24, FILM),
    ("195", "cooling"): Miss(0.104, SOLID),
    ("195", "peak cooling"): Miss(0.052, SOLID),
}
FIGURES = lru_cache(figures)


def outside(key: tuple[str, str]) -> float:
    """Return how far a figure lies outside its band."""
    low, high = BANDS[key]
    value = FIGURES(key[0])[key[1]]
    return max(low - value, value - high)


@pytest.mark.parametrize(
    ("case", "figure"),
    [
        pytest.param(
            *key,
            marks=pytest.mark.xfail(
                reason=f"by {MISSES[key].by:g}: {MISSES[key].cause}", strict=True
            )
            if key in MISSES
            else (),
        )
        for key in BANDS
    ],
)
def test_inside_the_published_band(case: str, figure: str) -> None:
    assert outside((case, figure)) <= 0.0


@pytest.mark.parametrize("key", list(MISSES), ids=" ".join)
def test_a_miss_is_no_larger_than_recorded(key: tuple[str, str]) -> None:
    # recorded to the last digit given; half as much again would be another cause
    assert 0.0 < outside(key) < 1.5 * MISSES[key].by


def test_halving_the_step_changes_little() -> None:
    # second order: a few thousandths of a kelvin in a study of this scheme; here on yearly figures
    coarse, fine = run_case("600"), run_case("600", base=150.0)
    heat = [run.column("plant_w").clip(min=0) @ run.width for run in (coarse, fine)]
    assert heat[0] == pytest.approx(heat[1], rel=2e-3)
