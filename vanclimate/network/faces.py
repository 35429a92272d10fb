"""How large the inside faces are, as natural convection goes by it.

Not here: areas (``shell``) and the films themselves (``physics.convection``).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.shell import Shell
from vanclimate.physics.convection import SIZE

if TYPE_CHECKING:  # chains are made where these sizes go
    from vanclimate.network.compile import Chain

SIZES = (0.3, 8.0)  # m: what the films are for
FURNITURE_SIZE = 0.5  # m; assumed


def face_sizes(shell: Shell, chains: Sequence[Chain]) -> NDArray[np.float64]:
    """Return the length [m] that natural convection at each inside face goes by.

    An upright face's height is its zone's volume over its floor; panes and level sides are taken
    as square; furniture's faces are half a metre (assumed).
    """
    level: dict[tuple[int, str], float] = {}
    for c in chains:
        if c.glazing is None:
            level[c.zone, c.side] = level.get((c.zone, c.side), 0.0) + c.area
    out = np.full(len(chains), SIZE)
    for k, c in enumerate(chains):
        floor = level.get((c.zone, "floor"), 0.0)
        if c.side == "furnishing":
            out[k] = FURNITURE_SIZE
        elif c.glazing is not None:
            out[k] = sqrt(c.area)
        elif c.side in ("roof", "floor"):
            out[k] = sqrt(level[c.zone, c.side])
        elif floor > 0.0:
            out[k] = shell.zones[c.zone].volume / floor
    held: NDArray[np.float64] = np.clip(out, *SIZES)
    return held
