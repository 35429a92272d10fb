"""Longwave radiation between the faces of a room that is a box.

Belongs here: view factors of a box, what furniture in it takes of the view, grey faces. Exchange
areas are in m2: what passes from i to j is their exchange area times σ (T_i⁴ − T_j⁴). Not here:
the radiant star and Carroll's factors (``longwave``), which faces a van has (``network.radiant``).
"""

from __future__ import annotations

from functools import lru_cache
from math import atan, log, pi, sqrt

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
PLANES = ("roof", "floor", "left", "right", "front", "rear")
FACING = {"roof": "floor", "floor": "roof", "left": "right", "right": "left", "front": "rear",
            "rear": "front"}  # fmt: skip
_NORMAL = "zzyyxx"  # x along the box, y across, z up
MOST_REPEATS = 2000
FITTED = 1e-10  # of the area


def parallel_view(a: float, b: float, apart: float) -> float:
    """View factor of two equal rectangles a × b, face to face.

    Parameters
    ----------
    a, b, apart : float [m]

    Returns
    -------
    float [0..1]

    References
    ----------
    Howell's catalogue of radiation view factors, C-11; Incropera & DeWitt, table 13.2; from memory.

    Examples
    --------
    >>> round(parallel_view(1.0, 1.0, 1.0), 4)
    0.1998
    """
    x, y = a / apart, b / apart
    found = 0.5 * log((1 + x * x) * (1 + y * y) / (1 + x * x + y * y))
    found += x * sqrt(1 + y * y) * atan(x / sqrt(1 + y * y)) - x * atan(x)
    found += y * sqrt(1 + x * x) * atan(y / sqrt(1 + x * x)) - y * atan(y)
    return 2.0 / (pi * x * y) * found


def perpendicular_view(common: float, own: float, other: float) -> float:
    """View factor from a rectangle common × own to one common × other at a right angle to it.

    Parameters
    ----------
    common, own, other : float [m]

    Returns
    -------
    float [0..1]

    References
    ----------
    Howell's catalogue of radiation view factors, C-14; Incropera & DeWitt, table 13.2; from memory.

    Examples
    --------
    >>> round(perpendicular_view(1.0, 1.0, 1.0), 4)
    0.2
    """
    w, h = own / common, other / common
    s = w * w + h * h
    logs = (1 + w * w) * (1 + h * h) / (1 + s)
    by_w = (w * w * (1 + s) / ((1 + w * w) * s)) ** (w * w)
    by_h = (h * h * (1 + s) / ((1 + h * h) * s)) ** (h * h)
    arcs = w * atan(1 / w) + h * atan(1 / h) - sqrt(s) * atan(1 / sqrt(s))
    return (arcs + 0.25 * log(logs * by_w * by_h)) / (pi * w)


def box_exchange(length: float, width: float, height: float) -> Array:
    """Exchange areas between the black faces of a box, in the order of `PLANES`.

    Parameters
    ----------
    length, width, height : float [m]

    Returns
    -------
    array (6, 6) [m²], symmetric; each row's sum is the face's area
    """
    size = {"x": length, "y": width, "z": height}
    out = np.zeros((6, 6))
    for i, normal in enumerate(_NORMAL):
        area = length * width * height / size[normal]
        for j, other in enumerate(_NORMAL):
            if i != j and normal == other:
                a, b = (size[k] for k in "xyz" if k != normal)
                out[i, j] = area * parallel_view(a, b, size[normal])
            elif i != j:
                (common,) = (size[k] for k in "xyz" if k not in (normal, other))
                out[i, j] = area * perpendicular_view(common, size[other], size[normal])
    return out


def room_exchange(areas: Array) -> Array | None:
    """Exchange areas between black planes that close a room which is nearly a box.

    The box's proportions come from the larger plane of each pair; its exchange areas are then
    scaled, both ways alike, until each plane's sum is its own area.

    Parameters
    ----------
    areas : array (6,) [m²], in the order of `PLANES`, 0 where there is none

    Returns
    -------
    array (6, 6) [m²], symmetric; None where the planes are too few for a box, where one of them is
    larger than all the others together, or so nearly that the scaling does not end
    """
    return _room_exchange(tuple(areas.tolist()))


@lru_cache(maxsize=64)
def _room_exchange(planes: tuple[float, ...]) -> Array | None:
    areas = np.array(planes)
    pairs = [areas[k : k + 2] for k in (0, 2, 4)]
    if not all(pair.any() for pair in pairs) or 2.0 * areas.max() >= areas.sum():
        return None
    level, sides, ends = (float(pair.max()) for pair in pairs)
    length, width = sqrt(level * sides / ends), sqrt(level * ends / sides)
    whole = box_exchange(length, width, sides / length)
    scale = np.where(areas > 0.0, 1.0, 0.0)
    for _ in range(MOST_REPEATS):
        sums = scale * (whole @ scale)
        if np.abs(sums - areas).max() < FITTED * areas.max():
            found: Array = scale[:, None] * whole * scale
            found.setflags(write=False)  # kept, and handed out again
            return found
        scale *= np.sqrt(np.where(areas > 0.0, areas, 1.0) / np.where(areas > 0.0, sums, 1.0))
    return None


def with_furniture(exchange: Array, furniture: float) -> Array:
    """Put furniture into a room: it takes its share by area of every face's view.

    Parameters
    ----------
    exchange : array (n, n) [m²], of the empty room
    furniture : float [m²], its exposed area, no more than that of all faces

    Returns
    -------
    array (n + 1, n + 1) [m²], the furniture last; that it stands spread through the room and does
    not see itself is assumed, as it is by the radiant star

    Raises
    ------
    ValueError
        for furniture of a larger area
    """
    areas = exchange.sum(axis=1)
    share = min(1.0, furniture / areas.sum())
    if not 0.0 <= furniture <= areas.sum() * (1.0 + 1e-9):
        raise ValueError("furniture: need no more area than all faces together have")
    out = np.zeros((len(areas) + 1, len(areas) + 1))
    out[:-1, :-1] = (1.0 - share) * exchange
    out[-1, :-1] = out[:-1, -1] = share * areas
    return out


def grey_exchange(exchange: Array, emissivity: Array) -> Array:
    """Exchange areas between grey faces, from those between black ones.

    What i emits and j takes up, straight and by way of all the others:
    A_i ε_i [F (1 − (1 − ε) F)⁻¹]_ij ε_j.

    Parameters
    ----------
    exchange : array (n, n) [m²], symmetric, of black faces, each of whose rows sums to its area
    emissivity : array (n,) [0..1], each above 0

    Returns
    -------
    array (n, n) [m²], symmetric

    References
    ----------
    Hottel & Sarofim 1967, Radiative Transfer, total exchange areas; from memory.
    """
    areas = exchange.sum(axis=1)
    view = exchange / areas[:, None]
    back = np.eye(len(areas)) - (1.0 - emissivity)[:, None] * view
    found = (areas * emissivity)[:, None] * (view @ np.linalg.inv(back)) * emissivity
    return np.asarray(0.5 * (found + found.T))
