"""Thermostats: what each switched device is set to, when it starts and stops.

One row a device of one array. A device is on or off; what it gives while on is its own affair
(``controls``, ``heating``). A crossing inside a step is located, see ``kernel.settle_step``.
"""

from __future__ import annotations

import numpy as np

from vanclimate.simulate.films import Array
from vanclimate.simulate.jit import part_of_loop

# devices; one compressor cools or heats, so it has two rows
COOLING, HEAT_PUMP, BURNER, ELECTRIC = range(4)
N_DEVICES = 4

(
    ON,  # 1 while it runs
    LOCK_UNTIL,  # s, the end of a minimum run or off time
    ALLOWED,  # 1 where it may run
    SETPOINT,  # °C
    DIFFERENTIAL,  # K between start and stop
    SENSE,  # +1 cools, -1 heats
    MINIMUM_RUN,  # s
    MINIMUM_OFF,  # s
    ZONE,  # whose air its thermostat hangs in
    STARTED,  # 1 where it started at the step's beginning
    WATCHED,  # 1 where it may switch within the step
) = range(11)
N_SWITCH = 11

CROSSING = 0.002  # K within which a crossing counts as located
SOON = 1e-6  # s: times closer than this are the same
LEAST_STEP = 1e-3  # s
REST = -1e18  # s: long before anything


@part_of_loop
def beyond(device: Array, air: float) -> float:
    """Return by how much [K] the air is past the temperature at which the device switches next."""
    excess = device[SENSE] * (air - device[SETPOINT])
    if device[ON] > 0.0:
        excess = -excess
    return float(excess - 0.5 * device[DIFFERENTIAL])


@part_of_loop
def ready(device: Array, t: float) -> bool:
    """Return whether the device may switch at ``t`` [s]."""
    return bool(device[ALLOWED] > 0.0 and t >= device[LOCK_UNTIL] - SOON)


@part_of_loop
def switch(device: Array, air: float, t: float, may_start: bool) -> bool:
    """Switch a device by its zone's ``air`` [°C] and by whether it may run; return if it did.

    One that is due but may not start is not watched: it would cross at once.
    """
    was_on, device[STARTED] = device[ON], 0.0
    due = ready(device, t) and beyond(device, air) >= -CROSSING
    if device[ON] > 0.0:
        if device[ALLOWED] == 0.0 or due:
            device[ON] = 0.0
            device[LOCK_UNTIL] = t + device[MINIMUM_OFF]
    elif due and may_start:
        device[ON] = device[STARTED] = 1.0
        device[LOCK_UNTIL] = t + device[MINIMUM_RUN]
    waits = ready(device, t) and beyond(device, air) < 0.0
    device[WATCHED] = 1.0 if waits else 0.0
    return bool(device[ON] != was_on)


@part_of_loop
def locked_for(device: Array, t: float) -> float:
    """Return how long [s] a device that may run is still held by a minimum time, else no end."""
    if device[ALLOWED] > 0.0 and device[LOCK_UNTIL] > t + SOON:
        return float(device[LOCK_UNTIL] - t)
    return float(np.inf)


@part_of_loop
def farthest(devices: Array, air: Array) -> float:
    """Return the greatest of all watched devices' `beyond`, -inf where none is watched.

    ``air`` (at least zones,) [°C].
    """
    most = -np.inf
    for d in range(len(devices)):
        if devices[d, WATCHED] > 0.0:
            most = max(most, beyond(devices[d], air[int(devices[d, ZONE])]))
    return float(most)
