"""Air through openings that are meant to be open: windows, vents, doors, and between two spaces.

Belongs here: what wind and temperature difference drive through an opening of known area. What does
not: leaks (``airflow``) and fans (``equipment.fans``).
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations
from math import hypot
from typing import NamedTuple

import numpy as np
from numba.extending import register_jitable

from vanclimate.physics.air import KELVIN
from vanclimate.physics.airflow import GRAVITY, REFERENCE, SHELTER
from vanclimate.physics.branch import Floats
from vanclimate.physics.wind import VAN_HEIGHT, wind_at_height

DISCHARGE = 0.61
"""Discharge coefficient of a sharp-edged opening [-]; textbook value, from memory."""

TWO_WAY_DISCHARGE = 0.6
"""Discharge coefficient of a door's two-way flow [-], after Brown and Solvason 1962, whose tests
gave 0.6 to 1; field tests of doorways (Kiel and Wilson 1989: 0.40 + 0.0045 |ΔT|) are up to a third
lower, since the streams mix. Both from memory."""

SINGLE_WIND, SINGLE_STACK, SINGLE_CALM = 0.001, 0.0035, 0.01
"""Coefficients of `single_sided`: [-], [m/(s² K)], [m²/s²]."""

WINDOW_WIND_RANGE = (0.0, 10.0)
"""Wind at 10 m [m/s] of `single_sided`: measured in ordinary weather, the end is assumed."""

TWO_WAY_RANGE = (0.0, 47.0)
"""Difference of temperature [K] of `two_way_flow`: Brown and Solvason tested up to 47 K; from
memory."""

PAIR_SPEED = 0.7
"""Speed that the wind drives through two openings on two sides, as a share of the wind at the van
[-]: the mean over all directions of √|ΔCp|. Swami and Chandra's (1988) pressure coefficients of a
low-rise block, from memory, give 0.74 to 0.85 for opposite and 0.68 for neighbouring sides with
sides of 1 : 3 to 3 : 1; a roof opening is taken alike (assumed)."""

LEVEL = ("roof", "floor")
"""Sides that lie level. Wind drives nothing from one to the other: in the leakage model too, the
wind's part vanishes where all leaks are in floor and roof."""


class Opening(NamedTuple):
    """One opening to outdoors."""

    area: float  # free area, m2
    side: str  # front, rear, left, right, roof or floor
    level: float  # of its middle above the floor, m
    height: float = 0.0  # of the opening itself, m; 0 where it lies level


class Drive(NamedTuple):
    """What drives air through openings: flow² = by_stack |ΔT| + by_wind U² + in_calm."""

    by_stack: float  # m6/(s2 K)
    by_wind: float  # m4, U at 10 m
    in_calm: float  # m6/s2


CLOSED = Drive(0.0, 0.0, 0.0)


@register_jitable
def single_sided(area: Floats, height: Floats, difference: Floats, wind: Floats) -> Floats:
    """Flow in and out through one open window: A/2 sqrt(0.001 U² + 0.0035 H |ΔT| + 0.01).

    Parameters
    ----------
    area : float or array [m²], free area
    height : H, float or array [m], of the opening
    difference : float or array [K], inside minus outside air
    wind : float or array [m/s] at 10 m; see `WINDOW_WIND_RANGE`

    Returns
    -------
    float or array [m³/s], outdoor air coming in

    References
    ----------
    de Gids and Phaff 1982, "Ventilation rates and energy consumption due to open windows"; taken
    over by EN 15242:2007 for airing; from memory. Measured on windows of buildings up to four
    storeys in built-up surroundings; the last term is the wind's turbulence, so that in truly still
    air (a garage) the formula is too high.

    Examples
    --------
    >>> round(float(single_sided(0.2, 0.5, 4.0, 3.0)) * 1000, 2)  # by hand: 0.1 sqrt(0.026) m3/s
    16.12
    """
    speed = np.sqrt(SINGLE_WIND * wind * wind + SINGLE_STACK * height * np.abs(difference)
                    + SINGLE_CALM)  # fmt: skip
    return 0.5 * area * speed


@register_jitable
def two_way_flow(area: Floats, height: Floats, temp_one: Floats, temp_other: Floats) -> Floats:
    """Flow each way through an upright opening between airs of two temperatures.

    ``Q = A/3 sqrt(g H |ΔT| / T)``, T the mean of both in kelvin: warm air leaves at the top, cold
    air enters at the bottom, in equal parts.

    Parameters
    ----------
    area : float or array [m²], free area times its discharge coefficient (`TWO_WAY_DISCHARGE`), or
        an effective leakage area, which has one of 1 by definition
    height : H, float or array [m], of the opening
    temp_one, temp_other : float or array [°C]; see `TWO_WAY_RANGE`

    Returns
    -------
    float or array [m³/s], each way

    References
    ----------
    Brown and Solvason 1962, "Natural convection through rectangular openings in partitions", Int.
    J. Heat and Mass Transfer 5, 859; the textbook form with a discharge coefficient; from memory.
    For leaks spread evenly over an upright wall the model of Sherman and Grimsrud is the same.

    Notes
    -----
    No wind and no fans: what they push through an opening between two spaces is not in this.

    Examples
    --------
    A door of 0.9 by 2 m at 10 K about 15 °C, by hand: 0.6 · 1.8 / 3 · sqrt(0.6807) m3/s.

    >>> round(float(two_way_flow(0.6 * 0.9 * 2.0, 2.0, 20.0, 10.0)), 3)
    0.297
    """
    mean = 0.5 * (temp_one + temp_other) + KELVIN
    return area / 3.0 * np.sqrt(GRAVITY * height * np.abs(temp_one - temp_other) / mean)


@register_jitable
def door_flow(through: Floats, rate: Floats, seconds: Floats, volume: Floats) -> Floats:
    """Mean flow by a door that is opened now and then; one opening renews the air once at most.

    Parameters
    ----------
    through : float or array [m³/s], while it is open
    rate : float or array [1/s], openings
    seconds : float or array [s], that it stands open each time
    volume : float or array [m³], of the space

    Returns
    -------
    float or array [m³/s]

    Examples
    --------
    >>> float(door_flow(0.3, 2.0 / 3600.0, 20.0, 12.0) * 3600.0)  # m3/h
    12.0
    """
    return rate * np.minimum(volume, seconds * through)


def door_drive(area: float, height: float) -> Drive:
    """Return what drives air through an open door to outdoors.

    The two-way flow by temperature difference at `airflow.REFERENCE`, and the wind's two terms of
    `single_sided` (assumed to hold for a door, whose stack term agrees within a fifth).

    Parameters
    ----------
    area : free area [m²]
    height : of the door [m]
    """
    stack = (TWO_WAY_DISCHARGE * area / 3.0) ** 2 * GRAVITY * height / (KELVIN + REFERENCE)
    half = (0.5 * area) ** 2
    return Drive(stack, half * SINGLE_WIND, half * SINGLE_CALM)


def openings_drive(openings: Iterable[Opening], shelter: str) -> Drive:
    """Return what drives air through windows and vents that are open together.

    Each term is the greater of what every opening does alone and of what the best pair does
    together: two levels by temperature difference, two sides by wind.

    Parameters
    ----------
    openings : those that are open
    shelter : a key of `airflow.SHELTER`

    References
    ----------
    Alone: `single_sided`. Pairs: the orifice equations of natural ventilation as in BS 5925:1991,
    ``Cd A sqrt(2 g ΔH ΔT / T)`` and ``Cd A U √ΔCp`` with ``1/A² = 1/A₁² + 1/A₂²``; from memory.
    """
    there = [o for o in openings if o.area > 0.0]
    half = 0.5 * sum(o.area for o in there)
    alone = half * 0.5 * sum(o.area * o.height for o in there) * SINGLE_STACK
    return Drive(
        max(alone, _stack_pair(there)),
        max(half**2 * SINGLE_WIND, _wind_pair(there, shelter)),
        half**2 * SINGLE_CALM,
    )


def _stack_pair(openings: list[Opening]) -> float:
    """Return the greatest by_stack of two levels."""
    area: dict[float, float] = {}
    for o in openings:
        area[o.level] = area.get(o.level, 0.0) + o.area
    best = 0.0
    for low, high in combinations(sorted(area), 2):
        through = (DISCHARGE**2) * _series(area[low], area[high])
        best = max(best, through * 2.0 * GRAVITY * (high - low) / (KELVIN + REFERENCE))
    return best


def _wind_pair(openings: list[Opening], shelter: str) -> float:
    """Return the greatest by_wind of two sides."""
    at_van = float(wind_at_height(1.0, VAN_HEIGHT)) ** 2 * SHELTER[shelter] / SHELTER["open"]
    area: dict[str, float] = {}
    for o in openings:
        area[o.side] = area.get(o.side, 0.0) + o.area
    best = 0.0
    for one, other in combinations(sorted(area), 2):
        if one in LEVEL and other in LEVEL:
            continue
        through = (DISCHARGE * PAIR_SPEED) ** 2 * _series(area[one], area[other])
        best = max(best, through * at_van)
    return best


def _series(one: float, other: float) -> float:
    """Return the square of the area that two openings are worth one behind the other [m⁴]."""
    return (one * other / hypot(one, other)) ** 2
