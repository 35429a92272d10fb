"""What the outside does to each outer face besides sun: the radiant temperature it sees, and wind.

Here: view factors of a van's faces, and which of them look into the wind. Not here: sun
(``solar``), the ground's heat balance (``site.ground``), films (``physics.convection``).
"""

from __future__ import annotations

import numpy as np

from vanclimate.network.compile import (
    OUT_FIXED,
    OUT_ROOF,
    OUT_UNDER,
    OUT_WALL,
    OUT_WET,
    Array,
    Model,
)
from vanclimate.physics.air import KELVIN
from vanclimate.physics.convection import ROOF_SHARE
from vanclimate.physics.longwave import view_shares
from vanclimate.physics.wind import windward_share

OWN_SHADOW = 0.3
"""Share of the ground a wall sees that lies in the van's own shadow. Of its view of the ground 59 %
falls on the strip as wide as the wall is high (long strips with a common edge), and that strip is
shaded for about half of the sunny hours, which is assumed for every wall alike."""

UNDER_SEES = 0.8
"""Share of the underside's view that the ground below it fills: long parallel strips 2 m wide and
0.45 m apart, sqrt(1 + (h/w)²) − h/w; the rest goes out to the ground beside the van."""

CALM = 0.5
"""Wind below which no direction is trusted [m/s]: where cup anemometers start, from memory."""


def radiant_surroundings(
    model: Model, temp_air: Array, temp_sky: Array, temp_panel: Array, beside: Array, under: Array
) -> Array:
    """Return the radiant temperature [°C] that each outer face sees, shape (times, chains).

    A fourth-power mean over sky, air near the horizon and ground by view factor. A shade hides the
    sky it shades, and is at air temperature; panels hide their share of the roof from the sky. The
    ground counts as black: what it reflects of the sky is left out, 1 to 2 K in full sun.

    Parameters
    ----------
    temp_air, temp_sky : [°C], shape (times,)
    temp_panel : back of the panels on the roof [°C], shape (times,)
    beside, under : ground beside the van and below it [°C], shape (times,)
    """
    shell = model.shell
    air4, sky4, panel4, open4, under4 = (
        (t + KELVIN) ** 4 for t in (temp_air, temp_sky, temp_panel, beside, under)
    )
    ground4 = (1.0 - OWN_SHADOW) * open4 + OWN_SHADOW * under4
    mean4 = np.empty((len(temp_air), len(model.chains)))
    skies, _, grounds = view_shares(np.array([c.tilt for c in model.chains]))
    for k, c in enumerate(model.chains):
        kind = model.network.outside[k]
        if kind in (OUT_WALL, OUT_ROOF, OUT_WET):
            sky, ground = float(skies[k]) * shell.diffuse_transmission, float(grounds[k])
            mean = sky * sky4 + ground * ground4 + (1.0 - sky - ground) * air4
            if c.bears_panels:
                mean = (1.0 - shell.panel_share) * mean + shell.panel_share * panel4
        elif kind == OUT_UNDER:
            mean = UNDER_SEES * under4 + (1.0 - UNDER_SEES) * ground4
        else:  # a face that does not look outdoors; nothing reads this but what is fixed
            mean = air4
        mean4[:, k] = mean
    out: Array = mean4**0.25 - KELVIN
    fixed = model.network.outside == OUT_FIXED
    out[:, fixed] = model.network.fixed_temp[fixed]
    return out


def windward(model: Model, direction: Array, speed: Array, heading: float) -> Array:
    """Return how far each outer face is to windward, shape (times, chains) [0..1].

    1 to windward, 0 to leeward, see `physics.wind.windward_share`. A roof lies in the wind always
    (`physics.convection.ROOF_SHARE`); the underside, and every wall while nothing is known of the
    direction, take the mean of both.

    Parameters
    ----------
    direction : where the wind comes from, clockwise from north [deg], shape (times,); nothing but
        zeros where the weather does not tell
    speed : [m/s], shape (times,)
    heading : where the van's nose points [deg]
    """
    out = np.full((len(direction), len(model.chains)), 0.5)
    outside = model.network.outside
    out[:, np.isin(outside, (OUT_ROOF, OUT_WET))] = ROOF_SHARE
    walls = np.flatnonzero(outside == OUT_WALL)
    if direction_known(direction):
        azimuth = np.array([model.chains[k].azimuth for k in walls])
        share = windward_share((direction - heading)[:, None] - azimuth)
        out[:, walls] = np.where((speed < CALM)[:, None], 0.5, share)
    return out


def direction_known(direction: Array) -> bool:
    """Return whether a weather tells the wind's direction: where it does not, all are zero."""
    return bool(np.any(direction != 0.0))
