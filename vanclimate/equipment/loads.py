"""Loads whose draw depends on the cabin: the fridge."""

from __future__ import annotations

from numba.extending import register_jitable


@register_jitable
def fridge_duty(cabin_temp: float) -> float:
    """Return the share of time a compressor fridge runs at a cabin temperature [°C].

    Linear through the middle of 25–35 % at 25 °C and of 50–70 % at 40 °C (from memory of trade
    data sheets), between 10 and 100 %.
    """
    return min(1.0, max(0.10, 0.30 + 0.02 * (cabin_temp - 25.0)))
