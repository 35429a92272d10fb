"""Spare circuits as a sheet describes them: wires that lie there for what comes later.

What does not belong here: what they carry (answers/circuits), and loads that are there (loads.py).
"""

from __future__ import annotations

from typing import Literal

from vanclimate.van.fields import Part, choice, custom, quantity, words_of
from vanclimate.van.wires import INSULATION, read_wire, write_wire


class SpareCircuit(Part):
    """A fused pair of wires, and what is planned on it; nothing draws from it yet."""

    name: str = words_of(longest=60)
    feed: Literal["battery", "inverter"] = choice(
        ("battery", "inverter"), "battery", why="assumed: on the battery's own voltage",
        settle="look where its fuse sits",
    )  # fmt: skip
    planned: float = quantity("power", 0.0, 10000.0, 0.0)
    fuse: float = quantity("current", 0.5, 600.0)
    wire: float = custom(read_wire, write_wire)
    length: float = quantity("length", 0.05, 50.0)
    insulation: int = choice(
        INSULATION, 75, why="assumed: the class of ordinary building wire",
        settle="read the print on the wire",
    )  # fmt: skip
    ambient: float = quantity(
        "temperature", 0.0, 55.0, 30.0, why="the surroundings for which ampacities are listed",
        at_least=20.0, at_most=50.0, settle="a thermometer beside the wire on a hot afternoon",
    )  # fmt: skip
    drop: float = quantity(
        "fraction", 0.005, 0.2, 0.03,
        why="American boat standard E-11, from memory: 3 % for what must not dim, 10 % for the rest"
    )  # fmt: skip
