"""The air gap between a pane and its cover: what leaks round the edges, and what is left of it.

Here: the flow through the slits round a cover's edges, the heat it carries, and the series
resistance and shares of sunlight that stand for that small network of pane, cover and gap air.
Not here: what a class of cover is made of (van), nodes (network). Nothing here runs in the loop.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, sqrt
from typing import NamedTuple

from vanclimate.physics.air import KELVIN
from vanclimate.physics.conduction import R_SE, R_SI
from vanclimate.physics.longwave import STEFAN_BOLTZMANN

GRAVITY = 9.81  # m/s2
REFERENCE = 15.0
"""Difference between a pane and the air that reaches its gap [K]: a cold night (assumed). The flow
goes by its root, so half the difference has 0.7 of the flow."""
WIND_DIFFERENCE = 0.3
"""Difference of pressure coefficients along the edges of a cover outside [-]; assumed, a tenth to a
half of the stagnation pressure lies between two edges of one face."""
WIND = 2.0
"""Wind at a cover outside, at the van's height [m/s]; assumed, a light breeze."""
OVERLAP = 0.01  # m, of a cover's edge on its frame: how deep its slits are; assumed
LEAST_SLIT = 1e-4  # m
DISCHARGE = 0.6  # of a sharp slit, ISO 15099's own figure
LEAST_RESISTANCE = 1e-3  # m2K/W: no cover makes a pane lose more than it does without one
_AIR = (1.2, 1006.0, 1.8e-5)  # kg/m3, J/kgK, Pa s at 15 °C


class Gap(NamedTuple):
    """Conductances of a gap [W/m2K]: its faces to each other, and each face to the air beyond."""

    across: float
    leak: float


class Inside(NamedTuple):
    """A cover inside, in series between pane and room; the sun's shares add up to one.

    Attributes
    ----------
    resistance : pane to the cover's node [m2K/W], to which the room's film is added
    to_cover, to_room, to_pane : where sunlight caught on the cover's outer face goes [-]
    """

    resistance: float
    to_cover: float
    to_room: float
    to_pane: float


class Outside(NamedTuple):
    """A cover outside: resistance to the pane [m2K/W], share of caught sunlight that counts [-].

    The rest of the sunlight is carried off by the gap's air before it comes near the pane.
    """

    resistance: float
    to_cover: float


def gap_speed(
    *, slit: float, gap: float, height: float, difference: float, wind: float = 0.0
) -> float:
    """Mean speed of the air in a gap that is open by a slit along each of its edges [m/s].

    Driving pressure ρ g H ΔT/T (and the wind's, ΔCp ρ U²/2) against velocity head, friction
    12 μ H v / d² in the gap and 12 μ b v_s / s² in each slit, and the losses at entry and exit,
    Z = (d / (0.6 s_eq) − 1)² each, solved for v. The slits at the sides count by a quarter of
    their area at each end, s_eq = s (1 + 1/2) for a square window.

    Parameters
    ----------
    slit : of each edge [m], 0.1 mm and more; less counts as sealed
    gap : between pane and cover [m]
    height : of the window [m]
    difference : between the mean air in the gap and beyond [K]
    wind : at the edges [m/s]; 0 inside

    References
    ----------
    ISO 15099:2003, thermally driven flow in a ventilated air gap (velocity head, friction, losses
    at the openings), from memory; friction in the slits (flow between plates) and the wind's share
    are added by us.
    """
    rho, _, viscosity = _AIR
    if slit < LEAST_SLIT or gap <= 0.0:
        return 0.0
    equivalent = 1.5 * slit
    loss = max(0.0, gap / (DISCHARGE * equivalent) - 1.0) ** 2
    pressure = rho * GRAVITY * height * abs(difference) / (KELVIN + 10.0)
    pressure += WIND_DIFFERENCE * 0.5 * rho * wind**2
    quadratic = 0.5 * rho * (1.0 + 2.0 * loss)
    linear = 12.0 * viscosity * (height / gap**2 + 2.0 * OVERLAP / slit**2 * gap / equivalent)
    return (sqrt(linear**2 + 4.0 * quadratic * pressure) - linear) / (2.0 * quadratic)


@lru_cache(maxsize=256)
def gap_of(
    *, slit: float, gap: float, height: float, emissivity: float, face_emissivity: float,
    beyond: float, difference: float = REFERENCE, wind: float = 0.0,
) -> Gap:  # fmt: skip
    """Return a gap's conductances, its air mixed with what comes in at the edges.

    A face meets the gap's air with h = 2 h_still + 4 v. Air that enters at the temperature beyond
    approaches that of the faces over the length H₀ = ρ c d v / 2h, so that the gap exchanges
    g = (ρ c d v / H)(1 − exp(−H/H₀)) with it. In a triangle of two faces and the air beyond that
    is a mean gap temperature with h to each face and 1/(1/g − 1/2h) onward. What drives the flow
    is that temperature, found with the flow by turns.

    Parameters
    ----------
    slit, gap, height, wind : as in `gap_speed`
    emissivity, face_emissivity : longwave, of the pane and of the cover's side towards it [0..1]
    beyond : from the cover's side towards the pane to the air beyond, mat and film [m2K/W]
    difference : between the pane and the air beyond [K]

    References
    ----------
    ISO 15099:2003, the same clause, from memory; the still gap's convection is ISO 6946's
    (1.25 W/m2K, or conduction through it), radiation 4 E σ T³ at 10 °C.
    """
    exchange = 1.0 / (1.0 / emissivity + 1.0 / face_emissivity - 1.0)
    radiant = exchange * 4.0 * STEFAN_BOLTZMANN * (KELVIN + 10.0) ** 3
    driving = difference / 2.0
    found = Gap(radiant, 0.0)
    for _ in range(40):
        speed = gap_speed(slit=slit, gap=gap, height=height, difference=driving, wind=wind)
        film = 2.0 * max(1.25, 0.025 / gap) + 4.0 * speed
        if speed <= 0.0:
            return Gap(radiant + film / 2.0, 0.0)
        out = _exchange(speed * gap / height, film)
        found = Gap(radiant + film**2 / (2.0 * film + out), film * out / (2.0 * film + out))
        onward = found.leak + 1.0 / beyond
        face = difference * found.across / (found.across + onward)
        driving = 0.5 * (driving + 0.5 * (difference + face) * 2.0 * film / (2.0 * film + out))
    return found


def _exchange(flow: float, film: float) -> float:
    """Return the conductance from a gap's mean air to that beyond, of a flow [m3/s a m2]."""
    rho, heat, _ = _AIR
    carried = rho * heat * flow
    g = carried * (1.0 - exp(-2.0 * film / carried))
    return 1.0 / (1.0 / g - 1.0 / (2.0 * film))


def inside_cover(gap: Gap, mat: float, film: float = R_SI["horizontal"]) -> Inside:
    """Return the series path that passes as much from pane to room as the leaky gap does.

    The cover's outer face F meets the pane through the gap, the room through mat and film, and the
    room's air through the edges. Held between a pane and a room at fixed temperatures, the path
    returned passes the same heat, and sunlight caught at F reaches room and pane in the same
    shares. Where the edges carry so much that the cover's node cannot stand for it, the rest is
    given to the room at once.

    Parameters
    ----------
    gap : Gap
    mat : the cover's own resistance [m2K/W]
    film : between the cover and the room [m2K/W]
    """
    through = 1.0 / (mat + film)
    onward = gap.leak + through
    u = gap.leak + gap.across * onward / (gap.across + onward)
    resistance = max(LEAST_RESISTANCE, 1.0 / u - film)
    pane_share = gap.across / (gap.across + onward)
    kept = resistance / (resistance + film)  # of heat at the cover's node, what the room gets
    to_cover = min(through / (gap.across + onward) / kept, pane_share / (1.0 - kept), 1.0)
    return Inside(
        resistance,
        to_cover,
        1.0 - pane_share - to_cover * kept,
        pane_share - to_cover * (1.0 - kept),
    )


def outside_cover(gap: Gap, mat: float, film: float = R_SE) -> Outside:
    """Return the same for a cover outside: its node is the face that the sun and the wind meet.

    Parameters
    ----------
    gap : Gap, leaking to outdoors
    mat : the cover's own resistance [m2K/W]
    film : between the cover and outdoors [m2K/W]
    """
    onward = gap.leak + 1.0 / (mat + film)
    u = gap.leak + gap.across * onward / (gap.across + onward)
    resistance = max(LEAST_RESISTANCE, 1.0 / u - film)
    inward = gap.leak + gap.across  # from the cover's inner face
    path = 1.0 / (mat + 1.0 / inward)
    arriving = path / (path + 1.0 / film) * gap.across / inward
    return Outside(resistance, min(1.0, arriving * (resistance + film) / film))
