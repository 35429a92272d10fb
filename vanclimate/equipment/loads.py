"""Loads whose draw depends on the cabin: the fridge."""

from __future__ import annotations

from numba.extending import register_jitable

FRIDGE_RANGE = (15.0, 45.0)
"""Air round the fridge [°C]: its line runs through 25 and 40 °C; 10 K below, where it reaches a
fridge's least, and 5 K above are assumed."""
LEAST_DUTY = 0.10
"""Share of time a fridge runs at least; assumed."""


@register_jitable
def fridge_duty(cabin_temp: float) -> float:
    """Return the share of time a compressor fridge runs at a cabin temperature [°C].

    Linear through the middle of 25–35 % at 25 °C and of 50–70 % at 40 °C (from memory of trade
    data sheets), between `LEAST_DUTY` and 100 %; see `FRIDGE_RANGE`.
    """
    return min(1.0, max(LEAST_DUTY, 0.30 + 0.02 * (cabin_temp - 25.0)))
