"""A cube root that is cheap inside compiled loops.

Belongs here: this one root. Film coefficients take two a surface and step, and the system library's
costs a third of a whole step.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from llvmlite import ir
from numba import types
from numba.extending import intrinsic, overload

from vanclimate.physics.branch import Floats

# A third of a float's bits, taken as a whole number, plus this is within 5 % of the cube root: the
# bits are a scaled logarithm. The constant is two thirds of the bits of 1.0, less a small balance.
_OFFSET = 0x2A9F7893782DA1CE
_HALLEY_STEPS = 2  # each takes the error to two thirds of its cube: 5 % to 4e-13


def cube_root(x: Floats) -> Floats:
    """Return the cube root of a value that is not negative.

    ``numpy.cbrt`` in Python; in compiled code a guess from the bits and two steps of Halley's
    method, equal to it within 1e-12: films are known to a tenth.

    Parameters
    ----------
    x : float or array, 0 or more

    Returns
    -------
    float or array

    Examples
    --------
    >>> round(float(cube_root(27.0)), 12)
    3.0
    """
    return np.cbrt(x)


def _same_bits(kind: Any) -> Callable[..., Any]:
    def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        return builder.bitcast(arguments[0], kind)

    return generate


def _to_bits(typing_context: Any, x: Any) -> Any:
    return types.int64(types.float64), _same_bits(ir.IntType(64))


def _to_float(typing_context: Any, x: Any) -> Any:
    return types.float64(types.int64), _same_bits(ir.DoubleType())


_bits: Any = intrinsic(_to_bits)
_float: Any = intrinsic(_to_float)


@overload(cube_root)
def _cube_root_compiled(x: Any) -> Callable[..., Any]:
    def scalar(x: Any) -> Any:
        x = x + 1e-60  # nothing at all has no logarithm
        y = _float(_bits(x) // 3 + _OFFSET)
        for _ in range(_HALLEY_STEPS):
            cube = y * y * y
            y = y * (cube + 2.0 * x) / (2.0 * cube + x)
        return y

    return scalar
