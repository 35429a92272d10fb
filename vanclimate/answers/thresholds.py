"""Thresholds for people and animals that an answer is held against.

What does not belong here: the limits of parts and of models, and what is computed (comfort).
"""

from __future__ import annotations

WHO_LEAST = 18.0
"""Least indoor temperature the WHO advises [°C], from memory."""
ANIMALS_WARMEST, ANIMALS_COLDEST = 29.5, 7.2
"""Air [°C] at which a vehicle that carries dogs or cats must be ventilated or cooled, and which may
not be passed for more than `ANIMALS_HOURS`; and the same for the cold: 9 CFR 3.16(e), read."""
ANIMALS_HOURS = 4.0
HEAT_BANDS = (
    (80.0, "caution"),
    (90.0, "extreme caution"),
    (103.0, "danger"),
    (125.0, "extreme danger"),
)
"""Heat index [°F] from which on each holds: US National Weather Service, read."""

AIR_STEPS = (30.0, 35.0, 40.0)
"""Air [°C] to which a coasting van's rise is timed; assumed, round steps. The last is held for
dangerous whatever its humidity: from about there on the air warms a body that cannot leave."""
COLD_STEPS = (10.0, 5.0)
"""Air [°C] to which its fall is timed; assumed, round steps below every comfort. At the first
somebody in bed without bedding for it is in danger within hours."""
DANGER = 103.0
"""Heat index [°F] from which an adult is in danger, see `HEAT_BANDS`."""


def heat_band(heat_index: float) -> str:
    """Return the band of a heat index [°C], or '' below all.

    >>> heat_band(20.0), heat_band(40.0)
    ('', 'danger')
    """
    fahrenheit = 1.8 * heat_index + 32.0
    return next((name for least, name in reversed(HEAT_BANDS) if fahrenheit >= least), "")
