"""Still water in a tank as it cools, freezes and thaws, by the heat that it holds.

Belongs here: the balance of a body of one temperature whose water turns to ice at 0 °C. What does
not: which tank it is, and the air around it (`answers`).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vanclimate.physics.air import HFG0, HSG0
from vanclimate.physics.branch import Floats

Array = NDArray[np.float64]

WATER_HEAT = 4200.0
"""Specific heat of water [J/kgK] between 0 and 20 °C: 4.22 to 4.18 kJ/kgK, see the tests."""
ICE_HEAT = 2100.0
"""Of ice just below 0 °C [J/kgK]: 2.1 at 0, 2.0 at -20 °C; handbook value, from memory."""
FUSION = HSG0 - HFG0
"""Latent heat of fusion at 0 °C [J/kg]: what sublimation takes beyond evaporation."""


def heat_of(temp: Floats) -> Floats:
    """Heat that water or ice holds [J/kg], from water at 0 °C; water where it is just 0 °C.

    >>> heat_of(10.0), round(heat_of(-10.0) + FUSION)
    (42000.0, -21000)
    """
    t = np.asarray(temp, dtype=float)
    held = np.where(t >= 0.0, WATER_HEAT * t, ICE_HEAT * t - FUSION)
    return held if held.ndim else float(held)


def temp_of(held: Floats) -> Floats:
    """Temperature [°C] of water and ice that hold so much heat [J/kg]: 0 while both are there.

    >>> temp_of(42000.0), temp_of(-1000.0), temp_of(-FUSION - 21000.0)
    (10.0, 0.0, -10.0)
    """
    h = np.asarray(held, dtype=float)
    temp = np.maximum(h, 0.0) / WATER_HEAT + np.minimum(h + FUSION, 0.0) / ICE_HEAT
    return temp if temp.ndim else float(temp)


def ice_share(held: Floats) -> Floats:
    """Share of the mass that is ice [0..1], by the heat that it holds [J/kg].

    >>> ice_share(42000.0), ice_share(-FUSION / 2), ice_share(-2 * FUSION)
    (0.0, 0.5, 1.0)
    """
    share = np.clip(-np.asarray(held, dtype=float) / FUSION, 0.0, 1.0) + 0.0
    return share if share.ndim else float(share)


def after(held: Floats, temp_air: Floats, exchange: Floats, seconds: Floats) -> Floats:
    """Heat that a tank holds [J/kg] after some time in air of one temperature.

    As water and as ice it nears the air's temperature by T' = Ta + (T − Ta) exp(−k t / c); between,
    at 0 °C, dh/dt = k Ta. Each change from one to the next is located exactly, so a step may be of
    any length.

    Parameters
    ----------
    held : float or array [J/kg], see `heat_of`
    temp_air : float or array [°C], around the tank
    exchange : float or array [W/kgK], k: the tank's U-value times its area, by its mass
    seconds : float or array [s]

    Returns
    -------
    float or array [J/kg]

    Notes
    -----
    The water is of one temperature (Biot number U V/(A λ) above 1 in a tank of some litres, but
    still water turns itself over) and is never supercooled. That ice on the wall insulates is left
    out, and so is the wall's own heat: each errs to the early side.

    References
    ----------
    The enthalpy method, as in texts on phase change (Alexiades and Solomon 1993, from memory),
    for a single cell.

    Examples
    --------
    >>> k = 0.1  # W/kgK: at 10 K below freezing 3.3 kJ/kg an hour
    >>> round(ice_share(after(0.0, -10.0, k, 3600.0)), 4)
    0.0108
    """
    h, air, k, left = (
        np.array(x, dtype=float) for x in np.broadcast_arrays(held, temp_air, exchange, seconds)
    )
    for _ in range(3):  # water, both, ice: each at most once, for the air keeps to one side
        h, left = _within_phase(h, air, k, left)
    return h if h.ndim else float(h)


def _within_phase(h: Array, air: Array, k: Array, left: Array) -> tuple[Array, Array]:
    """Return the heat [J/kg] at the end of the phase or of the time, and the time then left [s]."""
    water = (h > 0.0) | ((h == 0.0) & (air >= 0.0))
    ice = (h < -FUSION) | ((h == -FUSION) & (air <= 0.0))
    capacity = np.where(water, WATER_HEAT, ICE_HEAT)
    base = np.where(water, 0.0, -FUSION)  # heat at which the phase ends
    excess = (h - base) / capacity - air
    crosses = np.where(water, air < 0.0, air > 0.0) & (k > 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        by_decay = capacity / k * np.log(excess / -air)
        melted = np.where(air < 0.0, -FUSION, 0.0)
        by_flow = (melted - h) / (k * air)
    until = np.where(water | ice, np.where(crosses, by_decay, np.inf), by_flow)
    until = np.where(np.isfinite(until), until, np.inf)
    taken = np.minimum(left, until)
    decayed = base + capacity * (air + excess * np.exp(-k * taken / capacity))
    reached = np.where(water | ice, decayed, h + k * air * taken)
    ended = np.where(water | ice, base, melted)
    return np.where(until <= left, ended, reached), left - taken
