"""The figures in docs/ are what the code draws."""

from __future__ import annotations

import re

import numpy as np
import pytest

from tests.figures import FOLDER, stamps
from tests.parked_figure import parked
from tests.published.building import DENVER
from tests.published.test_parked_vehicle import RISE
from tests.standard_figure import kept, measured, standard

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def differ(name: str, drawn: str) -> float:
    """Return the largest difference of places [px] between a kept figure and one drawn now."""
    kept = (FOLDER / name).read_text(encoding="utf-8")
    assert NUMBER.sub("#", kept) == NUMBER.sub("#", drawn)
    places = [np.array([float(n) for n in NUMBER.findall(text)]) for text in (kept, drawn)]
    return float(np.abs(places[0] - places[1]).max())


def test_the_parked_cars_figure_is_what_the_code_draws():
    # half a pixel, 0.07 K: other machines round the last digit otherwise
    assert differ("parked.svg", parked(RISE)) <= 0.5


@pytest.mark.slow
def test_the_figure_of_stamps_is_what_the_code_draws():
    assert differ("stamps.svg", stamps()) <= 0.5


def test_the_figure_of_the_standards_cases_is_what_its_kept_figures_draw():
    assert differ("standard.svg", standard(kept())) == 0.0


@pytest.mark.slow
@pytest.mark.skipif(not DENVER.exists(), reason="the Denver typical year is not beside the project")
def test_the_kept_figures_of_the_standards_cases_are_what_the_code_gives():
    # MWh, kW and K: other machines round the last digit otherwise
    for case, figures in measured().items():
        assert kept()[case] == pytest.approx(figures, abs=0.002)
