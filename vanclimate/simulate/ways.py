"""Ways of spending a night: what of the sheet's equipment is used from bedtime to waking.

By day all ways live as the sheet says. What does not belong here: their names in an answer
(``report.words``).
"""

from __future__ import annotations

from typing import NamedTuple


class Way(NamedTuple):
    """What a way uses in the night."""

    cools: bool  # the air conditioner
    heats: bool  # heaters, and a heat pump
    blows: bool  # roof fans, open windows, a fan at the bed
    breathes: bool  # a fresh-air path for the sleepers


WAYS = {
    "closed": Way(cools=False, heats=False, blows=False, breathes=False),
    "fresh": Way(cools=False, heats=False, blows=False, breathes=True),
    "fans": Way(cools=False, heats=False, blows=True, breathes=True),
    "heat": Way(cools=False, heats=True, blows=False, breathes=True),
    "ac": Way(cools=True, heats=True, blows=False, breathes=True),
}
