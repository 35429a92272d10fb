"""The fresh-water tank as a sheet describes it.

What does not belong here: water that goes into the van's air (water.py).
"""

from __future__ import annotations

from vanclimate.van.fields import Part, quantity


def read_water(text: str) -> dict[str, str] | None:
    """Read '80 L', the tank's size, or 'none' in place of the section.

    >>> read_water("20 gal")
    {'tank': '20 gal'}
    """
    return None if text.strip().casefold() in ("none", "no") else {"tank": text}


class FreshWater(Part):
    """A tank of fresh water, and what people use of it, awake or asleep, each day alike."""

    tank: float = quantity(
        "volume", 0.001, 1.0, 0.080, why="assumed: 80 L, a usual tank", at_least=0.040,
        at_most=0.120, settle="read the tank's label",
    )  # fmt: skip
    use: float = quantity(
        "volume", 0.0005, 0.200, 0.010,
        why="assumed: 10 L a person a day to drink, cook and wash; people live on 7.5 to 15 L "
        "where it is scarce, the Sphere handbook, from memory",
        at_least=0.005, at_most=0.020, settle="how many days a full tank lasts",
    )  # fmt: skip
    at_start: float = quantity(
        "fraction", 0.0, 1.0, 1.0, words={"full": 1.0, "half": 0.5}, why="assumed: full",
        at_least=0.5, at_most=1.0, settle="ask the client",
    )  # fmt: skip
