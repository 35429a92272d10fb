"""Water that goes into the air of a van by what people do, in words.

What does not belong here: sleepers' own water, which follows from their heat, a gas flame's
(equipment/burner), and what becomes of it (simulate/).
"""

from __future__ import annotations

G_PER_H = 1e-3 / 3600.0  # kg/s

WATER = {
    "none": 0.0,
    "cooking": 1000 * G_PER_H,
    "drying clothes": 100 * G_PER_H,
    "shower": 2500 * G_PER_H,
}
"""Water of each word [kg/s]. Cooking: 600-1500 g/h while at it, building code texts, read; its
middle. Drying clothes: a kilogram of water out of wrung clothes overnight, assumed, 50-200 g/h.
Shower inside: about 2.5 kg an hour of running it, from memory of tables for dwellings,
1500-3000."""

HOT_WATER = 600 * G_PER_H
"""What gives off as much without power is hot already, as food and showers are: the least of
cooking. Less dries by the warmth of the room, which 600 g/h would cool by 400 W; assumed."""
