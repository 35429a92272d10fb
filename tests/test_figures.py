"""The figures in docs/ are what the code draws."""

from __future__ import annotations

import re

import numpy as np

from tests.figures import FOLDER, stamps
from tests.parked_figure import parked
from tests.published.test_parked_vehicle import RISE

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


def test_the_figure_of_stamps_is_what_the_code_draws():
    assert differ("stamps.svg", stamps()) <= 0.5
