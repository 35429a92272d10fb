"""Wind near the ground: from the height at which it is measured to that of a van, and which faces
of a body it meets.

Plain functions for what the site brings; nothing here runs inside the loop.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from vanclimate.physics.branch import Floats

STATION_HEIGHT = 10.0
"""Height at which weather services give the wind [m]."""

VAN_HEIGHT = 2.0
"""Height of a van's upper wall, where its wind is taken [m]; assumed."""


REPORTED_CALM = 0.5
"""Wind that a report of calm stands for [m/s]: stations report 2 knots and less as 0 (user's guide
of the automated stations of the United States, from memory), and this is the middle of it."""


class Terrain(NamedTuple):
    """A terrain's wind profile: exponent [-] and height of its boundary layer [m]."""

    exponent: float
    layer: float


TERRAINS = {
    "water": Terrain(0.10, 210.0),
    "open": Terrain(0.14, 270.0),
    "wooded": Terrain(0.22, 370.0),
    "town": Terrain(0.33, 460.0),
}
"""Flat ground beside open water; open ground with scattered low obstacles, as at a weather station;
woods, suburbs and other ground of many obstacles the size of a house; a town's centre. ASHRAE
Fundamentals, chapter on airflow around buildings, table of boundary layer parameters; from
memory."""


HEIGHT_RANGE = (0.5, 210.0)
"""Height [m] of `wind_at_height`: above what grows and stands there (assumed), below the lowest
boundary layer of `TERRAINS`."""


def wind_at_height(wind: Floats, height: float, terrain: str = "open") -> Floats:
    """Return the wind at a height over a terrain, from that at 10 m over open ground.

    ``U = U10 (270 / 10)^0.14 (z / d)^a``, d and a of the terrain.

    Parameters
    ----------
    wind : float or array [m/s], at 10 m over open ground
    height : z [m]; see `HEIGHT_RANGE`
    terrain : a key of `TERRAINS`

    Returns
    -------
    float or array [m/s]

    References
    ----------
    ASHRAE Fundamentals, chapter on airflow around buildings, equation for local wind speed; from
    memory.

    Examples
    --------
    >>> round(float(wind_at_height(5.0, 2.0)), 2), round(float(wind_at_height(5.0, 2.0, "town")), 2)
    (3.99, 1.32)
    """
    station, local = TERRAINS["open"], TERRAINS[terrain]
    above = (station.layer / STATION_HEIGHT) ** station.exponent
    return wind * above * (height / local.layer) ** local.exponent


def terrain_ratio(terrain: str) -> float:
    """Return the wind at a van's height over a terrain, as a share of that over open ground.

    Film and leakage formulae take the wind at 10 m over open ground and have what lies between it
    and the surface in their coefficients; so a terrain enters as this ratio.

    >>> terrain_ratio("open"), round(terrain_ratio("wooded"), 2)
    (1.0, 0.63)
    """
    local = float(wind_at_height(1.0, VAN_HEIGHT, terrain))
    return local / float(wind_at_height(1.0, VAN_HEIGHT))


WINDWARD_ANGLE = 100.0
"""Angle between the wind and a face's outward normal up to which the face counts as windward [deg];
ASHRAE literature, from memory."""

WIND_SWING = 20.0
"""Angle by which an hour's wind swings to either side of its mean [deg]; assumed, within what tells
stability classes apart (5 to 25 deg, from memory)."""


def windward_share(angle: Floats) -> Floats:
    """Return the share of an hour in which a face is to windward: 1, 0, and a ramp between them.

    The wind is taken to blow from every direction within `WIND_SWING` of its mean for equal times.

    Parameters
    ----------
    angle : float or array [deg], between where the wind comes from and the face's outward normal;
        any number of turns

    Returns
    -------
    float or array [0..1]

    Examples
    --------
    >>> [float(windward_share(a)) for a in (0.0, 90.0, 100.0, -100.0, 180.0)]
    [1.0, 0.75, 0.5, 0.5, 0.0]
    """
    apart = np.abs(np.mod(np.asarray(angle) + 180.0, 360.0) - 180.0)
    return np.clip((WINDWARD_ANGLE + WIND_SWING - apart) / (2.0 * WIND_SWING), 0.0, 1.0)
