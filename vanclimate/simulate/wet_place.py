"""What the loop knows of each place that can be wet: rows of one array (figures, chains + 1).

The places are the chains' inside faces; the air conditioner's coil is the last.
"""

from __future__ import annotations

(
    FILM,  # kg held; the coil's share is what lies on it
    CONTACT,  # kg/s of air in contact, 0 where a place takes no part
    SATURATION,  # kg/kg at the place
    RATE,  # kg/s from the air to the place, mean over the step
    DRYING,  # 1 where the place gives up all it holds within the step
) = range(5)
N_PLACE = 5
