"""Conductivity of insulation as it is in the wall: fibres squeezed together, or wet.

Belongs here: what changes a material's tabled conductivity. Not here: its change by temperature
(conduction, for the loop needs it), and the table (van/materials). Nothing is imported, so that a
sheet may be read without the numeric libraries.
"""

from math import exp

AIR_CONDUCTIVITY = 0.026
"""Of still air at 24 °C [W/mK], handbook value: the term A of `squeezed_conductivity`."""
FIBRE_TERM = 5e-5
"""B of `squeezed_conductivity` [W/mK per kg/m³]; from memory of glass fibre curves, whose least
conductivity of about 0.033 W/mK lies near 60 kg/m³."""
MOST_SQUEEZED = 3.0
"""Greatest ratio of the thicknesses: beyond it a batt springs back or breaks (assumed)."""


SQUEEZED_RANGE = (1.0, MOST_SQUEEZED)
"""Own thickness of a batt over that in the wall [-]; a sheet may hold no other."""
BATT_RANGE = (5.0, 100.0)
"""Density of a batt at its own thickness [kg/m³]: what the library's wools have, and what the term
of radiation between fibres is meant for (assumed)."""
WATER_RANGE = (0.0, 0.15)
"""Water in insulation [m³/m³] of `moisture_factor`, held beyond; ISO 10456, from memory."""


def squeezed_conductivity(conductivity: float, density: float, ratio: float) -> float:
    """Conductivity of a fibre batt squeezed to a part of its thickness.

    λ = A + B ρ + C/ρ: still air, fibres in contact, and radiation between the fibres. The batt's
    mass stays, so its density grows by the ratio; C follows from the batt as it was.

    Parameters
    ----------
    conductivity : float [W/mK], at its own thickness, 24 °C
    density : float [kg/m³], at its own thickness; see `BATT_RANGE`
    ratio : float, own thickness over the squeezed one; see `SQUEEZED_RANGE`

    Returns
    -------
    float [W/mK], good to 5 % (assumed)

    References
    ----------
    The form is that of texts on fibrous insulation, from memory; A and B see above. It gives the
    R-values of trade charts for squeezed glass fibre batts within R-1 (tests/published).

    Examples
    --------
    >>> round(squeezed_conductivity(0.0450, 11.0, 1.8), 4)
    0.0372
    """
    radiation = max(0.0, conductivity - AIR_CONDUCTIVITY - FIBRE_TERM * density)
    if radiation == 0.0:
        return conductivity + FIBRE_TERM * density * (ratio - 1.0)
    return AIR_CONDUCTIVITY + FIBRE_TERM * density * ratio + radiation / ratio


def moisture_factor(exponent: float, water: float) -> float:
    """Factor on the conductivity of a material that holds water: exp(f ψ).

    Parameters
    ----------
    exponent : float, f of the material [-]: 4 for mineral wool and expanded polystyrene, 2.5 for
        extruded polystyrene, 6 for urethane foam and cork
    water : float [m³ of water per m³]; held at the ends of `WATER_RANGE`

    Returns
    -------
    float, at least 1

    References
    ----------
    ISO 10456:2007, conversion for moisture by volume and its table, from memory.

    Examples
    --------
    >>> round(moisture_factor(4.0, 0.01), 3)
    1.041
    """
    low, high = WATER_RANGE
    return exp(exponent * min(max(water, low), high))
