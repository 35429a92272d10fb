"""Clear glass against the handbook's angular values and a standard test's window."""

import numpy as np
import pytest

from vanclimate.physics import glass

THREE_MM = glass.Pane(n=1.526, kl=-np.log(1.0 - 0.09))  # absorbs 9 % in one pass
INWARD = 0.27  # share of the absorbed light that comes inside, summer


@pytest.mark.parametrize(
    ("angle", "expected"),
    [(0.0, 0.86), (40.0, 0.84), (50.0, 0.82), (60.0, 0.78), (70.0, 0.67), (80.0, 0.42)],
)
def test_heat_gain_of_3_mm_clear_glass(angle: float, expected: float) -> None:
    # ASHRAE Fundamentals, table of solar heat gain coefficients of 3 mm clear glass, from memory
    transmitted, _, absorbed = glass.pane_optics(THREE_MM, np.cos(np.radians(angle)))
    assert transmitted + INWARD * absorbed == pytest.approx(expected, abs=0.006)


def test_pane_of_the_standard_test_window() -> None:
    # ANSI/ASHRAE Standard 140 window: one pane transmits 0.834 and reflects 0.075; solved, an index
    # near 1.52 and a double-pane transmittance near 0.70 (a fine-grid model written apart)
    pane = glass.pane_from_normal(0.834, 0.075)
    assert pane.n == pytest.approx(1.52, abs=0.005)
    assert glass.stack_optics([pane, pane], 1.0).transmittance == pytest.approx(0.70, abs=0.005)


def test_heat_gain_of_the_standard_test_window() -> None:
    # the same window's heat gain coefficient is about 0.77 at normal incidence, U about 2.1. The
    # heat absorbed comes inside in the share of the resistance outwards; Rse 0.04, Rsi 0.13 (ISO
    # 6946), the gap what U leaves, all from memory but the two figures
    pane = glass.pane_from_normal(0.834, 0.075)
    optics = glass.stack_optics([pane, pane], 1.0)
    u, rse, rsi = 2.1, 0.04, 0.13
    inward = np.array([u * rse, 1.0 - u * rsi])
    gain = optics.transmittance + inward @ optics.absorbed
    assert gain == pytest.approx(0.77, abs=0.015)  # 'about', two digits


def test_textbook_reflection_at_60_degrees() -> None:
    # Duffie & Beckman, first examples of chapter 5, from memory: n 1.526 at 60° reflects 0.185 and
    # 0.001 of the two polarisations at one face; one cover without absorption then passes the mean
    # of (1 − r)/(1 + r), 0.843; at normal incidence a face reflects 0.0434, the cover passes 0.917
    clear = glass.Pane(1.526, 0.0)
    assert glass.pane_optics(clear, 0.5)[0] == pytest.approx(0.843, abs=0.001)
    assert glass.pane_optics(clear, 1.0)[0] == pytest.approx(0.917, abs=0.001)


def test_diffuse_light_acts_as_at_60_degrees() -> None:
    # Duffie & Beckman, chapter 5: diffuse light passes covers as beam does at about 60°; from
    # memory
    found = glass.diffuse_optics([THREE_MM]).transmittance
    steeper, _, _ = glass.pane_optics(THREE_MM, np.cos(np.radians(62.0)))
    flatter, _, _ = glass.pane_optics(THREE_MM, np.cos(np.radians(58.0)))
    assert steeper < found < flatter
