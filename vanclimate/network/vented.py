"""Stacks with a vented gap, as the heat sees them.

Here: the rule of ISO 6946 for slightly and well vented air layers, put into layers that the network
can take. Not here: shut gaps (shell) and vapour (damp).
"""

from __future__ import annotations

from vanclimate.network.resistance import RSE, RSI, layer_resistance
from vanclimate.physics.conduction import Direction
from vanclimate.van.layers import Layer

SHELTERED = 0.02
"""Emissivity of a face behind a vented skin against sky and ground: it sees the skin, which is
taken at the air's temperature, so next to none; the least that a layer may have."""
MOVES_ALONG = 1e4  # W/m·K: a lining with cabin air on both sides has no resistance of its own


def is_sheltered(layers: tuple[Layer, ...]) -> bool:
    """Return whether a stack stands behind a well vented gap: neither sun nor sky reach it."""
    return any(x.ventilated == "well" for x in layers)


def without_vents(
    layers: tuple[Layer, ...], direction: Direction = "horizontal"
) -> tuple[Layer, ...]:
    """Return a stack in which vented gaps are what they are to the heat.

    Well vented: the gap and all outside it are left out, and the face behind has a still film, Rsi
    in place of Rse. Slightly vented: the mean of the resistances with the gap shut and well vented.
    Open to the cabin: the lining counts as mass only, for cabin air stands behind it too.

    Parameters
    ----------
    layers : OUTSIDE first
    direction : of the heat, for the gap's own resistance

    Returns
    -------
    tuple of Layer, as they were where nothing is vented

    References
    ----------
    ISO 6946:2017, 6.9.3 and 6.9.4, from memory; its openings of 500 to 1500 mm² a metre are slight,
    1000 taken. The rule is for steady heat: what the sun does to a vented skin is left out.
    """
    done: list[Layer] = []
    cabin = False
    for x in layers:
        if x.ventilated == "well":
            done = [_still(x, RSI - RSE)]
        elif x.ventilated == "slightly":
            half = [y.model_copy(update={"conductivity": 2.0 * y.conductivity}) for y in done]
            done = [*half, _still(x, layer_resistance(x, direction) / 2 + (RSI - RSE) / 2)]
        elif x.ventilated == "cabin":
            cabin = True
        else:
            own = {"conductivity": MOVES_ALONG} if cabin else {}
            done.append(x.model_copy(update=own) if own else x)
    return tuple(done)


def _still(gap: Layer, resistance: float) -> Layer:
    """Return a layer of air in place of a gap, with a resistance [m2K/W] that never changes."""
    return gap.model_copy(
        update={
            "material": "vented air", "air_gap": False, "ventilated": "no",
            "conductivity": gap.thickness / resistance,
        }
    )  # fmt: skip
