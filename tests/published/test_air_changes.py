"""Air changes of parked cars, fan off, against measurements.

The body and the bands below were written before the first run and kept.

The body is car-like: the saloon of ``test_parked_vehicle``, 2.0 by 1.4 by 1.1 m inside. None of
the sources gives a leakage area, so the van's classes are used, by area of the envelope: a van of
3.6 by 1.78 by 1.88 m has 33 m2 and, ordinary, 60 cm2 (assumed, ``van.parts.LEAKAGE``); the car has
13 m2. One window is a front side window let down: 0.25 m2, 0.4 m high (assumed). Air 2 K warmer
inside, some shelter. Winds are those of a weather station; a car park between calm and moderate
sees 0 to 3 m/s (assumed).

Sources, abstracts read: Ott, Klepeis and Switzer 2008: below 1 air change an hour with everything
closed, 6.5 with one window open. Park, Spengler, Yoon, Dumyahn, Lee and Ozkaynak 1998: 1 to 3
closed, 13.3 to 26.1 with windows open. Knibbs, de Dear and Atkinson 2009: 0 to 1.4 closed,
moderately related to the wind.
"""

from __future__ import annotations

import pytest

from vanclimate.physics.airflow import leakage_flow, stack_coefficient, wind_coefficient
from vanclimate.physics.opening_flow import single_sided
from vanclimate.van.parts import LEAKAGE

LENGTH, WIDTH, HEIGHT = 2.0, 1.4, 1.1
VOLUME = LENGTH * WIDTH * HEIGHT
CAR, VAN = (
    2.0 * (x * y + y * z + z * x) for x, y, z in ((LENGTH, WIDTH, HEIGHT), (3.6, 1.78, 1.88))
)
WARMER = 2.0  # K
WINDOW, WINDOW_HEIGHT = 0.25, 0.4


def closed(wind: float, tightness: str = "ordinary") -> float:
    """Return air changes an hour with everything shut."""
    leaks = LEAKAGE[tightness] * CAR / VAN
    flow = leakage_flow(
        leaks, WARMER, wind, stack_coefficient(HEIGHT), wind_coefficient("some", HEIGHT)
    )
    return float(flow) * 3600.0 / VOLUME


def one_window(wind: float) -> float:
    """Return air changes an hour with one window let down."""
    window = float(single_sided(WINDOW, WINDOW_HEIGHT, WARMER, wind)) * 3600.0 / VOLUME
    return window + closed(wind)


def test_closed_below_one_in_a_light_wind() -> None:
    # Ott 2008; light: 1.5 m/s
    assert closed(1.5) < 1.0


@pytest.mark.parametrize("wind", [0.0, 1.0, 2.0, 3.0])
def test_closed_between_nothing_and_one_and_a_half(wind: float) -> None:
    # Knibbs 2009
    assert 0.0 <= closed(wind) <= 1.4


def test_closed_follows_the_wind() -> None:
    # Knibbs 2009: related to it, moderately: neither flat nor in proportion
    calm, windy = closed(0.0), closed(3.0)
    assert 1.5 * calm < windy
    assert windy < 3.0 * closed(1.0)


def test_an_older_leakier_car_one_to_three() -> None:
    # Park 1998: three cars, among them old ones; leaky, in a breeze of 2 m/s
    assert 1.0 <= closed(2.0, "leaky") <= 3.0


@pytest.mark.parametrize("wind", [1.0, 2.0, 3.0])
def test_windows_open_thirteen_to_twenty_six(wind: float) -> None:
    # Park 1998
    assert 13.3 <= one_window(wind) <= 26.1


@pytest.mark.xfail(
    strict=True,
    reason="18.5 an hour: the window formula's turbulence of the wind alone gives 15, in the midst "
    "of Park's measurements; without it 10. The two sources differ by two to four",
)
def test_one_window_open_six_and_a_half() -> None:
    # Ott 2008: one figure of one car, so within a factor of two; 1.5 m/s
    assert 6.5 / 2.0 <= one_window(1.5) <= 6.5 * 2.0


@pytest.mark.parametrize(
    "wind",
    [
        pytest.param(
            1.0,
            marks=pytest.mark.xfail(
                strict=True,
                reason="38: leaks fall with the wind, the window formula's turbulence does not",
            ),
        ),
        2.0,
        3.0,
    ],
)
def test_opening_a_window_is_worth_about_ten_times_the_leaks(wind: float) -> None:
    # ratios of the two pairs of figures, Ott 2008 above 6.5, Park 1998 from 13.3/3 to 26.1/1
    assert 4.4 <= one_window(wind) / closed(wind) <= 27.0
