"""A value between the points of a table in two directions.

What does not belong here: what a table holds.
"""

from __future__ import annotations

import numpy as np
from numba.extending import register_jitable
from numpy.typing import NDArray

Array = NDArray[np.float64]


@register_jitable
def _step_below(x: float, xs: Array) -> int:
    """Return the step of ``xs`` that ``x`` lies in; 0 where there is one value alone."""
    i = 0
    while i < len(xs) - 2 and x >= xs[i + 1]:
        i += 1
    return i


@register_jitable
def _way_along(x: float, i: int, xs: Array) -> float:
    """Return how far ``x`` lies between two neighbours [0..1], held at the ends."""
    if len(xs) < 2:
        return 0.0
    return float(min(1.0, max(0.0, (x - xs[i]) / (xs[i + 1] - xs[i]))))


@register_jitable
def bilinear(x: float, y: float, xs: Array, ys: Array, values: Array) -> float:
    """Return the value at a point, straight in each direction and held beyond the table's ends.

    Parameters
    ----------
    x, y : the point
    xs, ys : rising, one value or more each
    values : (xs, ys)

    >>> grid = np.array([[1.0, 2.0], [3.0, 6.0]])
    >>> bilinear(0.5, 9.0, np.array([0.0, 1.0]), np.array([0.0, 1.0]), grid)
    4.0
    """
    i, j = _step_below(x, xs), _step_below(y, ys)
    across, along = _way_along(x, i, xs), _way_along(y, j, ys)
    i_next, j_next = min(i + 1, len(xs) - 1), min(j + 1, len(ys) - 1)
    low = values[i, j] + along * (values[i, j_next] - values[i, j])
    high = values[i_next, j] + along * (values[i_next, j_next] - values[i_next, j])
    return float(low + across * (high - low))
