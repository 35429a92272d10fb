"""When a thing of the sheet is on, shut or open: words and periods over the minutes of the day."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from vanclimate.network.compile import Array
from vanclimate.van.fields import DAY
from vanclimate.van.windows import When


def within(minute: Array, start: float, end: float) -> NDArray[np.bool_]:
    """Return whether minutes of the day lie in a period that may run across midnight."""
    return np.mod(minute - start, DAY) < (end - start) % DAY


def at_times(when: When, minute: Array, night: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Return (segments,) whether it is the time of a word, or lies in one of some periods.

    Parameters
    ----------
    when : never, night, day or always; or periods [minutes after midnight, from and until]
    minute : (segments,) of the day
    night : (segments,) whether it is night, bedtime to waking
    """
    if isinstance(when, str):
        words = {"never": night & False, "always": night | True, "night": night, "day": ~night}
        return words[when]
    during = np.zeros(len(minute), dtype=bool)
    for start, end in when:
        during |= within(minute, start, end)
    return during
