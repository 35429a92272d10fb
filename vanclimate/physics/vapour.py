"""Water inside a stack of layers: the steady month by month check of ISO 13788.

Vapour diffuses through the layers in proportion to the difference of its pressure, over 12 months
of mean temperature and humidity on both sides. Belongs here: that balance, and the surface
temperature factor. Not here: stacks and climates, the room's own water balance (moisture), and
liquid water, air that leaks into the wall, or heat set free by condensing, which the standard
leaves out too.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from vanclimate.physics.air import dew_point_of_vapour_pressure, saturation_pressure

Array = NDArray[np.float64]

DELTA_AIR = 2.0e-10
"""Vapour permeability of still air [kg/(s m Pa)], ISO 13788, from memory."""
MONTH = 365.0 * 86400.0 / 12.0
"""Length of a month [s]."""
THICK = 0.25
"""Resistance of a layer above which it is divided [m²K/W], ISO 13788, from memory."""
CLASSES = {1: 270.0, 2: 540.0, 3: 810.0, 4: 1080.0, 5: 1360.0}
"""Vapour pressure inside above that outside at 0 °C and below [Pa], upper limit of each humidity
class: 1 stores, 2 offices, 3 dwellings with few people, 4 with many, 5 laundries. ISO 13788 annex
A, from memory."""
NEGLIGIBLE = 1e-9  # kg/m2: below it a place is dry


@dataclass(frozen=True)
class Balance:
    """A year's water inside a stack.

    Attributes
    ----------
    places : index of the layer, counted from outside, on whose INNER side each place lies; where a
        thick layer was divided the same index stands several times
    inside : whether each place lies within its layer, not at its inner face
    start : month with which the balance begins (0..11), or None where it never condenses
    gain : water gained by each place in each calendar month [kg/m²], shape (12, places); negative
        where it dries
    mass : water at each place at the end of each calendar month [kg/m²], same shape
    """

    places: tuple[int, ...]
    inside: tuple[bool, ...]
    start: int | None
    gain: Array
    mass: Array

    @property
    def peak(self) -> Array:
        """Most water at each place [kg/m²], shape (places,)."""
        most: Array = self.mass.max(axis=0)
        return most

    @property
    def left(self) -> float:
        """Water that is still there when a year is over [kg/m²]."""
        return 0.0 if self.start is None else float(self.mass[(self.start - 1) % 12].sum())


def class_pressure(outside_temp: Array, outside_pressure: Array, humidity_class: int) -> Array:
    """Vapour pressure inside, of the upper limit of a humidity class.

    The excess over outdoors is that of the class up to 0 °C and falls in a line to none at 20 °C.

    Parameters
    ----------
    outside_temp : array (n,) [°C]
    outside_pressure : array (n,) [Pa]
    humidity_class : int, 1 to 5

    Returns
    -------
    array (n,) [Pa]

    References
    ----------
    ISO 13788:2012 annex A, from memory.
    """
    share = np.clip((20.0 - outside_temp) / 20.0, 0.0, 1.0)
    return outside_pressure + CLASSES[humidity_class] * share


def surface_factor(u: float, rsi: float = 0.13) -> float:
    """Temperature factor of an inside face, (θsi − θe)/(θi − θe) = 1 − U Rsi.

    Parameters
    ----------
    u : float [W/m²K], with that `rsi` in it
    rsi : float [m²K/W]

    Returns
    -------
    float [0..1]

    References
    ----------
    ISO 13788:2012, fRsi.
    """
    return 1.0 - u * rsi


def surface_factor_needed(
    inside: float, humidity: float, outside: float, limit: float = 1.0
) -> float:
    """Least temperature factor that keeps a face's relative humidity at or below a limit.

    Parameters
    ----------
    inside, outside : float [°C], air
    humidity : float [0..1], relative humidity inside
    limit : float [0..1], 1 for condensation, 0.8 for mould

    Returns
    -------
    float; 0 or less where any face will do, above 1 where none does; 0 without a difference of
    temperature

    References
    ----------
    ISO 13788:2012, critical surface humidity.

    Examples
    --------
    >>> round(surface_factor_needed(20.0, 0.5, 0.0), 3)
    0.464
    """
    if inside - outside < 1e-6:
        return 0.0
    least = float(dew_point_of_vapour_pressure(humidity * saturation_pressure(inside) / limit))
    return (least - outside) / (inside - outside)


def taut_string(at: Array, pressure: Array, limit: Array) -> Array:
    """Vapour pressure between two ends, pulled taut below the saturation at each place.

    The line is the greatest convex one under the limits: where it touches, vapour arrives faster
    than it leaves, and condenses; everywhere else the flow is the same on both sides. That is the
    standard's construction by tangents for any number of places.

    Parameters
    ----------
    at : array (n,), rising, still air between the outside and each place, sd [m]
    pressure : array (2,) [Pa], at the first and the last place
    limit : array (n,) [Pa], saturation at each place

    Returns
    -------
    array (n,) [Pa]
    """
    points = limit.copy()
    points[0], points[-1] = pressure[0], pressure[1]
    hull = [0]
    for k in range(1, len(at)):
        while len(hull) > 1:
            i, j = hull[-2], hull[-1]
            # keep j only where it lies below the straight line from i to k
            across = (points[k] - points[i]) * (at[j] - at[i]) / (at[k] - at[i])
            if points[j] < points[i] + across - 1e-9:
                break
            hull.pop()
        hull.append(k)
    taut: Array = np.interp(at, at[hull], points[hull])
    return taut


def gains(at: Array, ends: Array, limit: Array, wet: NDArray[np.bool_]) -> Array:
    """Rate at which each place gains water, given where water lies already.

    A wet place is at saturation; between such places, and the ends, the string is pulled taut.

    Parameters
    ----------
    at, limit : as of `taut_string`
    ends : array (2,) [Pa]
    wet : array (n,) of bool; the ends never are

    Returns
    -------
    array (n,) [kg/m²s], 0 at both ends
    """
    fixed = [0, *(np.flatnonzero(wet[1:-1]) + 1), len(at) - 1]
    pressure = np.empty_like(at)
    known = limit.copy()
    known[0], known[-1] = ends
    for a, b in pairwise(fixed):
        part = slice(a, b + 1)
        pressure[part] = taut_string(at[part], known[[a, b]], limit[part])
    flow = DELTA_AIR * np.diff(pressure) / np.diff(at)  # towards the outside
    rate = np.zeros_like(at)
    rate[1:-1] = flow[1:] - flow[:-1]
    # where nothing condenses both flows are the same number, but for rounding
    rate[1:-1][np.abs(rate[1:-1]) < 1e-9 * DELTA_AIR * limit.max() / at[-1]] = 0.0
    return rate


def divided(resistance: Array, sd: Array) -> tuple[Array, Array, tuple[int, ...], tuple[bool, ...]]:
    """Return layers cut so that none has more than 0.25 m²K/W, and each one's index and place."""
    parts = np.maximum(1, np.ceil(resistance / THICK - 1e-9)).astype(int)
    own = np.repeat(np.arange(len(resistance)), parts)
    last = np.append(own[1:] != own[:-1], True)
    return (
        (resistance / parts)[own],
        (sd / parts)[own],
        tuple(int(k) for k in own),
        tuple(bool(not x) for x in last),
    )


def year_balance(
    *,
    resistance: Array,
    sd: Array,
    inside_temp: Array,
    inside_pressure: Array,
    outside_temp: Array,
    outside_pressure: Array,
    rsi: float = 0.13,
    rse: float = 0.04,
) -> Balance:
    """Water inside a stack over a year of monthly means.

    Parameters
    ----------
    resistance : array (layers,) [m²K/W], OUTSIDE first; 0 for a film
    sd : array (layers,) [m of still air], above 0
    inside_temp, outside_temp : array (12,) [°C]
    inside_pressure, outside_pressure : array (12,) [Pa], of vapour; held at saturation of the
        face they meet, for what is beyond that condenses there and is no matter of the stack
    rsi, rse : float [m²K/W]; their resistance to vapour is left out

    Returns
    -------
    Balance : over the year that starts with the first month of condensation, from dry. Within a
        month each place that runs dry does so at its own time.

    References
    ----------
    ISO 13788:2012, interstitial condensation and evaporation; from memory. Saturation over ice
    below 0 °C.
    """
    r, s, own, within = divided(resistance, sd)
    at = np.concatenate([[0.0], np.cumsum(s)])
    into = (rse + np.concatenate([[0.0], np.cumsum(r)])) / (rsi + r.sum() + rse)
    temp = outside_temp[:, None] + (inside_temp - outside_temp)[:, None] * into
    limit = np.asarray(saturation_pressure(temp))
    ends = np.stack(
        [np.minimum(outside_pressure, limit[:, 0]), np.minimum(inside_pressure, limit[:, -1])], 1
    )
    dry = np.zeros(len(at), dtype=bool)
    wets = [bool((gains(at, ends[m], limit[m], dry) > 0.0).any()) for m in range(12)]
    gain, mass = np.zeros((12, len(at))), np.zeros((12, len(at)))
    start = _first(wets)
    held = np.zeros(len(at))
    for m in [] if start is None else [(start + k) % 12 for k in range(12)]:
        after = _month(at, ends[m], limit[m], held)
        gain[m], mass[m] = after - held, after
        held = after
    return Balance(own[:-1], within[:-1], start, gain[:, 1:-1], mass[:, 1:-1])


def _first(wets: list[bool]) -> int | None:
    """Return the first wet month after the longest run of dry ones; January where none is dry."""
    if not any(wets):
        return None
    if all(wets):
        return 0
    starts = [m for m in range(12) if wets[m] and not wets[m - 1]]

    def dry_before(m: int) -> int:
        return next(k for k in range(12) if wets[m - 1 - k])

    return max(starts, key=dry_before)


def _month(at: Array, ends: Array, limit: Array, held: Array) -> Array:
    """Return the water at each place after a month that begins with `held` [kg/m²]."""
    now, left = held.copy(), MONTH
    for _ in range(4 * len(at)):  # each pass ends the month or dries a place
        rate = gains(at, ends, limit, now > NEGLIGIBLE)
        drying = (rate < 0.0) & (now > NEGLIGIBLE)
        runs_dry = np.where(drying, now / np.maximum(-rate, 1e-30), np.inf)
        step = min(left, float(runs_dry.min()))
        now = np.maximum(now + rate * step, 0.0)
        now[runs_dry <= step * (1.0 + 1e-12)] = 0.0
        left -= step
        if left <= 0.0:
            break
    return now
