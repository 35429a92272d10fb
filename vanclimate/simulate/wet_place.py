"""What the loop knows of each place that can be wet: rows of one array (figures, lanes + 1).

The places are the lanes' inside faces; the last is the air conditioner's coil, whose zone is the
living space. Most are dry most of the time, so those that take part in a step are listed: an array
``active`` of place numbers, its last element saying how many.
"""

from __future__ import annotations

(
    FILM,  # kg held; the coil's share is what lies on it
    FROST,  # kg of it that is ice
    CONTACT,  # kg/s of air in contact
    SATURATION,  # kg/kg at the place
    RATE,  # kg/s from the air to the place, mean over the step
    DRYING,  # 1 where the place gives up all it holds within the step
    ZONE,  # its air's
    BEFORE,  # kg/s over the last step
    DAMPED,  # kg/s of air in contact, less what the place's own latent heat undoes
    MET,  # kg/kg at the place as it would be without that heat
    FREEZING,  # kg/s that turn to ice over the step, below 0 where ice melts
    FROZE_BEFORE,  # kg/s over the last step
) = range(12)
N_PLACE = 12
