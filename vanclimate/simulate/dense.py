"""A small dense system inside the loop: elimination without pivots.

The matrices that come here are those of a network of conductances: diagonally dominant with
nothing but negative entries beside the diagonal, so no pivot can vanish. Not here: which network.
"""

from __future__ import annotations

from numba.extending import register_jitable

from vanclimate.network.compile import Array


@register_jitable
def eliminate(a: Array) -> None:
    """Overwrite a square matrix (n, n) with its factors: L below the diagonal, U above.

    On the diagonal stands one over U's: a division waits long, and the solutions need none then.

    Examples
    --------
    >>> import numpy as np
    >>> a, x = np.array([[4.0, -1.0], [-1.0, 3.0]]), np.array([2.0, 5.0])
    >>> eliminate(a); substitute(a, x, 2)
    >>> x.tolist()
    [1.0, 2.0]
    """
    n = len(a)
    for k in range(n):
        a[k, k] = 1.0 / a[k, k]
        for i in range(k + 1, n):
            share = a[i, k] * a[k, k]
            a[i, k] = share
            for j in range(k + 1, n):
                a[i, j] -= share * a[k, j]


@register_jitable
def substitute(a: Array, x: Array, n: int) -> None:
    """Overwrite the first n of ``x`` with the solution for them; ``a`` from `eliminate`."""
    for i in range(1, n):
        total = x[i]
        for j in range(i):
            total -= a[i, j] * x[j]
        x[i] = total
    for i in range(n - 1, -1, -1):
        total = x[i]
        for j in range(i + 1, n):
            total -= a[i, j] * x[j]
        x[i] = total * a[i, i]


@register_jitable(fastmath={"reassoc"})
def sum_of_products(a: Array, b: Array) -> float:
    """Return the sum of a[i] b[i], added in whatever order is quickest."""
    total = 0.0
    for i in range(len(a)):
        total += a[i] * b[i]
    return total
