"""A sleeper under bedding: what a bed system insulates, and the vote of who lies in it.

Not here: people who are awake (comfort), and which bedding to advise (answers).
"""

from typing import NamedTuple

import numpy as np

from vanclimate.physics.branch import Floats
from vanclimate.physics.comfort import CLO, vote_per_load

SLEEPING = 40.0
"""Heat of a sleeper [W/m² of skin], 0.7 met: ASHRAE table, read in a copy."""
_SKIN = 35.7 - 0.0275 * SLEEPING  # °C, comfortable at that heat: 34.6 (Fanger)
_SATURATED = 5.52  # kPa, at the skin
_RADIATIVE = 4.7  # W/m²K, linear coefficient of a body indoors (ASHRAE)
_EVAPORATION = 0.06 * 16.5 * 0.38  # K/kPa: wet share of a dry skin, Lewis ratio, permeability
STILL_FILM = 5.1
"""Convection from a body lying in air slower than 0.15 m/s [W/m²K], see `lying_film`."""
LYING_RANGE = (0.0, 1.5)
"""Air speed [m/s] for which `lying_film` is stated; Colin and Houdas 1967, from memory."""
FASTEST = LYING_RANGE[1]
INSULATION_RANGE = (0.90, 4.89)
"""Total insulation of the bed systems that were measured [clo], Lin & Deng 2008, from memory."""


class Bed(NamedTuple):
    """A bed system: mattress, sleepwear of a T-shirt and shorts, and what lies over the sleeper."""

    name: str
    clo: float
    """Total insulation in still air, the air layer included [clo of 0.155 m²K/W]."""
    low: float
    high: float


BEDS = (
    Bed("no cover", 1.0, 0.9, 1.2),
    Bed("a light sheet", 1.4, 1.2, 1.6),
    Bed("a sheet and a blanket", 2.0, 1.7, 2.4),
    Bed("two blankets", 2.6, 2.2, 3.0),
    Bed("a light duvet", 3.2, 2.7, 3.7),
    Bed("a heavy duvet", 4.4, 3.8, 4.9),
)
"""From least to most. The ends of the span, 0.90 clo for a bare sleeper on a mattress and 4.89
under a thick quilt, are of Lin & Deng 2008, Building and Environment 43, 905–916, from memory;
where a bedding lies between them is assumed, within the range beside it.
"""


def lying_film(air_speed: Floats) -> Floats:
    """Convection from a lying body: 5.1 W/m²K, or 2.7 + 8.7 v^0.67 where that is more.

    Parameters
    ----------
    air_speed : float or array [m/s]; held at the end of `LYING_RANGE`

    Returns
    -------
    float or array [W/m²K]

    References
    ----------
    Colin and Houdas 1967, as in ASHRAE Fundamentals, thermal comfort chapter ('reclining with
    moving air'); from memory.
    """
    held = np.minimum(air_speed, FASTEST)
    return np.maximum(STILL_FILM, 2.7 + 8.7 * held**0.67)


def bed_insulation(clo: Floats, air_speed: Floats) -> Floats:
    """Total insulation of a bed system in moving air.

    The air layer over it, 1 / (4.7 + h), shrinks with the film h; nothing else does. That a cover's
    surface is larger than the body's and that the mattress lets no air at a quarter of the skin
    would change the layer's part in opposite senses by about as much each; both are left out
    (assumed). Air is assumed not to get under the cover.

    Parameters
    ----------
    clo : float or array [clo], total in still air
    air_speed : float or array [m/s]

    Returns
    -------
    float or array [m²K/W]
    """
    still = 1.0 / (_RADIATIVE + STILL_FILM)
    return clo * CLO - still + 1.0 / (_RADIATIVE + lying_film(air_speed))


def sleeper_vote(
    temp_air: Floats, temp_radiant: Floats, *, air_speed: Floats, vapour: Floats, clo: Floats
) -> Floats:
    """Predicted mean vote of a sleeper in a bed system.

    PMV = k {40 − [(34.6 − t_o) + 0.3762 (5.52 − p)] / R − 0.056 (34 − t_a) − 0.692 (5.87 − p)}
    with k Fanger's factor at 40 W/m² (0.0998), t_o the mean of air and radiant temperature by film
    and radiative coefficient, R of `bed_insulation`, p in kPa. Unlike in ISO 7730, vapour of the
    skin, as wet as a dry skin is (0.06), has to pass the bedding (permeability 0.38).

    Parameters
    ----------
    temp_air, temp_radiant : float or array [°C]
    air_speed : float or array [m/s], over the bed; see `LYING_RANGE`
    vapour : float or array [Pa], partial pressure in the air
    clo : float or array [clo], total insulation of the bed system in still air; see
        `INSULATION_RANGE`

    Returns
    -------
    float or array, not held to ±3; a hot sleeper's sweat is not in it, so beyond +2 it is an order,
    not a number of people

    References
    ----------
    Lin & Deng 2008, Building and Environment 43, 70–81; from memory. Its 0.7 met and its bedding
    lie outside ISO 7730 (0.8 to 4 met, 0 to 2 clo).
    """
    film = lying_film(air_speed)
    operative = (_RADIATIVE * temp_radiant + film * temp_air) / (_RADIATIVE + film)
    pressure = vapour / 1000.0
    skin = (_SKIN - operative + _EVAPORATION * (_SATURATED - pressure)) / bed_insulation(
        clo, air_speed
    )
    breath = 1.4e-3 * SLEEPING * (34.0 - temp_air) + 1.73e-2 * SLEEPING * (5.87 - pressure)
    return vote_per_load(SLEEPING) * (SLEEPING - skin - breath)
