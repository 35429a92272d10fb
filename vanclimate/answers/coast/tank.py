"""The fresh-water tank of a van that grows cold: how soon there is ice in it.

What does not belong here: the water's balance (``physics.freezing``), and the air around it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from vanclimate.network.compile import Array
from vanclimate.physics.freezing import FUSION, after, heat_of
from vanclimate.van.fresh_water import FreshWater

FILLED = 0.5
"""Share of the tank that is filled; assumed. Half a tank is cold in two thirds of a full one's
time."""
FILM = 7.7
"""From tank to air [W/m2K]: inside surface resistance 0.13 m2K/W of ISO 6946, from memory. Its
plastic wall adds less than a tenth, boxing it in more; neither is counted, on the early side."""
DENSITY = 1000.0  # kg/m3
USUAL = 0.060
"""Volume [m3] where the sheet has no tank; assumed, between the 40 and 80 L of small vans' tanks,
from memory."""


@dataclass(frozen=True)
class Tank:
    """A tank in the living space.

    Attributes
    ----------
    volume_m3 : of the tank [m3]
    assumed : whether it is not the sheet's
    """

    volume_m3: float
    assumed: bool

    @property
    def mass(self) -> float:
        """Water in it [kg]."""
        return FILLED * DENSITY * self.volume_m3

    @property
    def exchange(self) -> float:
        """What its water exchanges with the air [W/kgK].

        A box twice as long as wide and high (assumed): its floor, the water's face and the wetted
        sides.
        """
        width = (self.volume_m3 / 2.0) ** (1.0 / 3.0)
        area = (4.0 + 6.0 * FILLED) * width**2
        return float(FILM * area / self.mass)


def tank_of(water: FreshWater | None) -> Tank:
    """Return the sheet's tank, or a usual one."""
    return Tank(USUAL, True) if water is None else Tank(water.tank, False)


def ice_times(tank: Tank, start: Array, air: Array, step: float) -> tuple[Array, Array]:
    """Return when there is first ice in the tank, and when half of it is [s]; inf for never.

    Parameters
    ----------
    tank : the tank
    start : (cases,) its water's temperature at first [°C]
    air : (cases, steps) around it [°C]; NaN where it is not known any more
    step : length of each [s]
    """
    held = np.asarray(heat_of(start), dtype=float)
    times = np.full((2, len(start)), np.inf)
    for i in range(air.shape[1]):
        known = np.isfinite(air[:, i])
        around, exchange = np.where(known, air[:, i], 0.0), np.where(known, tank.exchange, 0.0)
        then = np.asarray(after(held, around, exchange, step), dtype=float)
        for row, limit in enumerate((0.0, -0.5 * FUSION)):
            passed = (then < limit) & np.isinf(times[row])
            share = (held - limit)[passed] / (held - then)[passed]
            times[row, passed] = step * (i + share)
        held = then
    return times[0], times[1]
