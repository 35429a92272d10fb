"""Fans against what the air must pass: the operating point of a van's fans and openings.

Worked out once for each state of fans and openings, outside the loop. What does not belong here:
what wind and temperature drive through openings (``physics.opening_flow``), and a fan's watts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import copysign, sqrt
from typing import NamedTuple

STANDARD_DENSITY = 1.2
"""Density [kg/m³] at which fan curves are given; from memory of the fan standards. In thin air
the pressures of fan and openings fall alike, so the flow stays."""

HALVINGS = 60
"""Of the bracket about the pressure inside: to a millionth of a millionth of it and beyond."""


@dataclass(frozen=True)
class FanCurve:
    """A fan's flow at each pressure that it works against; straight between points.

    Parameters
    ----------
    flow : [m³/s], from the free flow down to 0
    pressure : [Pa], from 0 up to the shut-off pressure, one for each flow

    Raises
    ------
    ValueError
        A curve that rises: more flow against more pressure.
    """

    flow: tuple[float, ...]
    pressure: tuple[float, ...]

    def __post_init__(self) -> None:
        falls = all(a > b for a, b in pairwise(self.flow))
        rises = all(a < b for a, b in pairwise(self.pressure))
        ends = self.flow[-1] == 0.0 and self.pressure[0] == 0.0
        if not (falls and rises and ends and len(self.flow) == len(self.pressure) > 1):
            raise ValueError("a fan curve falls from the free flow to the shut-off pressure")

    @property
    def free_flow(self) -> float:
        """Flow [m³/s] against no pressure."""
        return self.flow[0]

    @property
    def shut_off(self) -> float:
        """Pressure [Pa] against which nothing flows any more."""
        return self.pressure[-1]

    def flow_at(self, pressure: float) -> float:
        """Return the flow [m³/s] against a pressure [Pa].

        Helped along (below 0 Pa) it stays at the free flow, and beyond shut-off nothing flows back
        (both assumed).
        """
        if pressure <= 0.0:
            return self.free_flow
        spans = zip(pairwise(self.pressure), pairwise(self.flow), strict=True)
        for (low, high), (more, less) in spans:
            if pressure < high:
                return more + (less - more) * (pressure - low) / (high - low)
        return 0.0


def straight(free_flow: float, shut_off: float) -> FanCurve:
    """Return a straight curve between free flow [m³/s] and shut-off pressure [Pa].

    An axial fan's real curve bulges above it at both ends and sags between, where the blades
    stall (assumed to even out).
    """
    return FanCurve((free_flow, 0.0), (0.0, shut_off))


class Moved(NamedTuple):
    """What fans move through a van."""

    balanced: float  # m3/s brought in and taken out by fans alike
    unbalanced: float  # m3/s through the openings, whichever way
    pressure: float  # Pa inside, above outdoors

    @property
    def total(self) -> float:
        """Outdoor air [m³/s] coming in, or going out: the same."""
        return self.balanced + self.unbalanced


def opening_flow(area: float, pressure: float) -> float:
    """Return the flow out of an opening at a pressure inside: A sqrt(2 |Δp| / ρ), with its sign.

    Parameters
    ----------
    area : free area times discharge coefficient [m²], or an effective leakage area
    pressure : inside above outside [Pa]

    Returns
    -------
    float [m³/s]

    >>> round(opening_flow(0.61 * 0.1, 10.0), 4)  # by hand: 0.061 sqrt(16.67)
    0.249
    """
    return area * copysign(sqrt(2.0 * abs(pressure) / STANDARD_DENSITY), pressure)


@lru_cache(maxsize=256)  # vans that differ in other things ask for the same one
def operating_point(curve: FanCurve, blow_in: int, blow_out: int, area: float) -> Moved:
    """Return what fans move with openings beside them: the pressure at which the air balances.

    Parameters
    ----------
    curve : of each fan
    blow_in, blow_out : how many fans bring air in, and take it out
    area : of all other openings together, discharge coefficients counted in [m²]

    Notes
    -----
    Two alike, one in and one out, keep the pressure at that of outdoors and move the free flow of
    one; one alone works against its openings; with none nothing moves.
    """

    def outflow(pressure: float) -> float:
        taken_out = blow_out * curve.flow_at(-pressure)
        return taken_out - blow_in * curve.flow_at(pressure) + opening_flow(area, pressure)

    pressure = _root(outflow, curve.shut_off)
    brought = blow_in * curve.flow_at(pressure)
    taken = blow_out * curve.flow_at(-pressure)
    return Moved(min(brought, taken), abs(taken - brought), pressure)


def _root(rising: Callable[[float], float], limit: float) -> float:
    """Return where a rising function passes 0 between minus and plus a limit, by halving."""
    low, high = -limit, limit
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if rising(middle) < 0.0:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)
