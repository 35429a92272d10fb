"""A choice between two values that works on floats, on arrays and inside compiled loops.

Belongs here: the helper and the type alias that every jittable formula shares. No physics.
"""

from collections.abc import Callable
from typing import Any, TypeAlias

import numpy as np
from numba.extending import overload

# A float or a float array, and the result is of the same sort. Written as Any because numpy's
# ufuncs and numba's decorators carry no such type; the docstring of each function tells which it
# takes.
Floats: TypeAlias = Any


def choose(condition: Floats, if_true: Floats, if_false: Floats) -> Floats:
    """Value for each element by a condition: ``numpy.where``, but free of cost when compiled.

    Both values are computed always, so neither may fail where the other is meant. (numba's own
    ``where`` builds an array even for three scalars: 140 ns against 1 ns, hence this one.)

    Parameters
    ----------
    condition : bool or array of bool
    if_true, if_false : float or array

    Returns
    -------
    float or array

    Examples
    --------
    >>> float(choose(1 > 2, 10.0, 20.0))
    20.0
    """
    picked: Floats = np.where(condition, if_true, if_false)
    return picked[()]  # a plain number where all three were numbers


@overload(choose)
def _choose_compiled(condition: Any, if_true: Any, if_false: Any) -> Callable[..., Any]:
    def scalar(condition: Any, if_true: Any, if_false: Any) -> Any:
        return if_true if condition else if_false

    return scalar
